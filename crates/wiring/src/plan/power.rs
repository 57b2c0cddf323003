//! Plus wires: the battery's lead, inputs, converters, second boards, capacitors.

use super::build::{Builder, Server};
use super::{Carries, Fault, Picked, Wire};
use crate::choice::{Job, Wanted, usual_lead};
use crate::terminal::{Terminal, TerminalId, copies};
use craft::airframe::{Colour, Feed, Tap};
use craft::facet::Input;
use craft::pads::{PadRole, SignalKind};
use craft::part::Named;
use quantity::{Length, WireGauge};

impl Builder<'_> {
    /// The two wires from the battery's plug to the part that carries its current.
    pub(super) fn battery_lead(&mut self) {
        let (Some(entry), Some(battery)) = (self.plan.entry, self.plan.battery) else {
            return;
        };
        if entry == battery {
            return;
        }
        let class = self.airframe.class.map(|class| class.value);
        let lead = self
            .airframe
            .found()
            .find_map(|(at, _, part)| (at != battery).then_some(part.lead.as_ref()).flatten());
        let (usual_gauge, usual_length) = usual_lead(class);
        let gauge = lead
            .and_then(|lead| lead.gauge.as_ref())
            .map(|gauge| gauge.value.0);
        let length = lead
            .and_then(|lead| lead.length.as_ref())
            .map(|length| length.value.quantity.value);
        let place = lead.map(|lead| lead.place);
        let twist = Some(self.next_twist());
        for role in [PadRole::Power, PadRole::Ground] {
            let stays = self.lead_today(entry, role);
            let server = Server {
                part: entry,
                of: "pack",
            };
            let first = self.first_of_many(entry);
            let near = stays.unwrap_or_else(|| self.landing(server, role, first, None));
            let far = self.landing(
                Server {
                    part: battery,
                    of: "pack",
                },
                role,
                None,
                Some(near),
            );
            let plus = role == PadRole::Power;
            let carries = if plus {
                Carries::Plus(entry, "pack".to_owned())
            } else {
                Carries::Ground
            };
            self.push(Wire {
                ends: [near, far],
                carries,
                gauge: Picked {
                    value: gauge.unwrap_or(usual_gauge),
                    said: gauge.is_some(),
                },
                length: Picked {
                    value: length.unwrap_or(usual_length),
                    said: length.is_some(),
                },
                colour: Picked {
                    value: if plus { Colour::Red } else { Colour::Black },
                    said: false,
                },
                twist,
                sized_for_a: 0.0,
                place,
            });
        }
    }

    /// Plus wires: inputs, converters, and boards that have pads for the pack but are not its entry.
    pub(super) fn feeds(&mut self) {
        let airframe = self.airframe;
        for (at, fitted, part) in airframe.found() {
            for copy in copies(fitted.count()) {
                for input in &part.inputs {
                    self.feed_input(at, copy, input);
                }
                for (rail, named) in part.rails.iter().enumerate() {
                    if let Ok((tap, Some(feed))) = airframe.source_of_rail(at, rail) {
                        self.feed_socket(at, copy, &named.name, PadRole::PowerIn, tap, feed);
                    }
                }
                self.feed_pack_pads(at, copy);
            }
        }
    }

    pub(super) fn feed_input(&mut self, at: usize, copy: Option<u32>, input: &Named<Input>) {
        let Ok((tap, Some(feed))) = self.airframe.source_of_input(at, input) else {
            return;
        };
        if let Some(on_board) = &input.facet.fed_by
            && copy.is_none_or(|copy| copy == 1)
        {
            self.plan.faults.push(Fault::FedTwice {
                part: at,
                socket: input.name.value.clone(),
                on_board: on_board.value.clone(),
                by_wire: feed
                    .table
                    .from
                    .as_ref()
                    .map_or_else(String::new, |from| from.value.clone()),
                places: vec![feed.place(), on_board.place],
            });
        }
        self.feed_socket(at, copy, &input.name, PadRole::Power, tap, feed);
    }

    pub(super) fn feed_socket(
        &mut self,
        at: usize,
        copy: Option<u32>,
        socket: &str,
        role: PadRole,
        tap: Tap,
        feed: &Feed,
    ) {
        let Some((server, of)) = self.server(tap) else {
            return;
        };
        if server == at {
            return;
        }
        let carries = Carries::Plus(at, socket.to_owned());
        let twist = Some(self.next_twist());
        let place = Some(feed.place());
        let beside = self.port_pad(at, copy, server);
        let mut first = None;
        for here in self.own_pads((at, copy), role, socket, place) {
            if self.written.contains(&here) {
                continue;
            }
            // Pads of one input do not join two copies of what feeds it.
            let near = beside.or(first);
            let there = self.landing(
                Server {
                    part: server,
                    of: &of,
                },
                PadRole::Power,
                near,
                Some(here),
            );
            first = first.or(Some(there));
            let wanted = Wanted {
                job: self.job(&carries),
                current_a: self.nominal_current(&carries, Some(feed)),
                volts: self.volts_of(tap),
                gauge: feed.table.gauge.map(|gauge| gauge.value.0),
                length: feed.table.length.map(|length| length.value.quantity.value),
            };
            self.wire([here, there], carries.clone(), wanted, None, twist, place);
        }
    }

    /// A pad on `server` that a signal of the device goes to: its power is best taken beside it.
    pub(super) fn port_pad(
        &self,
        at: usize,
        copy: Option<u32>,
        server: usize,
    ) -> Option<TerminalId> {
        let signals = &self.plan.signals;
        (0..signals.needs.len()).find_map(|need| {
            let asked = &signals.needs[need];
            let port = &signals.ports[signals.port_of(need)?];
            if (asked.part, asked.copy, port.part) != (at, copy, server) {
                return None;
            }
            let name = &self.part(server)?.ports[port.port].name.value;
            let pads = self
                .plan
                .terminals
                .on(server, port.copy, |it| it.is_of(name));
            pads.into_iter()
                .find(|&pad| self.plan.terminals.get(pad).at_mm.is_some())
        })
    }

    /// A second board with pads for the pack, or a second copy of the first, hangs on the first one's.
    pub(super) fn feed_pack_pads(&mut self, at: usize, copy: Option<u32>) {
        let (Some(entry), false) = (self.plan.entry, Some(at) == self.plan.battery) else {
            return;
        };
        let pads = self
            .plan
            .terminals
            .on(at, copy, |it| it.role == PadRole::Power && it.is_of("pack"));
        let Some(&here) = pads.first().filter(|_| !self.is_home(at, copy)) else {
            return;
        };
        if self.written.contains(&here) {
            return;
        }
        let there = self.landing(
            Server {
                part: entry,
                of: "pack",
            },
            PadRole::Power,
            self.first_of_many(entry).filter(|_| at == entry),
            Some(here),
        );
        let twist = Some(self.next_twist());
        let wanted = self
            .own_legs(at)
            .unwrap_or_else(|| Wanted::usual(Job::Board));
        let carries = Carries::Plus(at, "pack".to_owned());
        self.wire([here, there], carries, wanted, None, twist, None);
    }

    /// Rails said to live off the pack for want of another word, on a part that no wire feeds.
    pub(super) fn unfed_rails(&mut self) {
        let airframe = self.airframe;
        for (at, fitted, part) in airframe.found() {
            let comes_in = |it: &Terminal| {
                let is_plus = it.role == PadRole::Power && it.is_of("pack");
                it.part == at && (it.role == PadRole::PowerIn || is_plus)
            };
            let is_fed = |wire: &Wire| {
                let ends = wire.ends.map(|end| self.plan.terminals.get(end));
                let feeds_rail = matches!(&wire.carries, Carries::Plus(fed, socket)
                    if *fed == at && part.rail(socket).is_some());
                feeds_rail || ends.into_iter().any(comes_in)
            };
            if Some(at) == self.plan.entry || Some(at) == self.plan.battery {
                continue;
            }
            if self.plan.wires.iter().any(is_fed) {
                continue;
            }
            for (rail, named) in part.rails.iter().enumerate() {
                if let Ok((Tap::Pack, None)) = airframe.source_of_rail(at, rail) {
                    self.plan.faults.push(Fault::UnfedRail {
                        part: at,
                        rail: named.name.value.clone(),
                        place: fitted.id.place,
                    });
                }
            }
        }
    }

    /// A capacitor stands on its own legs: no wire to choose.
    pub(super) fn own_legs(&self, at: usize) -> Option<Wanted> {
        let capacitor = self.part(at)?.capacitor.as_ref()?;
        let legs = capacitor.legs.map(|legs| legs.value.0);
        Some(Wanted {
            gauge: Some(LEG_GAUGE),
            length: Some(legs.unwrap_or(USUAL_LEGS)),
            ..Wanted::usual(Job::Board)
        })
    }

    /// The part behind a tap, and what its pads are called.
    pub(super) fn server(&self, tap: Tap) -> Option<(usize, String)> {
        match tap {
            Tap::Pack => Some((self.plan.entry.or(self.plan.battery)?, "pack".to_owned())),
            Tap::Rail(part, rail) => {
                Some((part, self.airframe.rail(part, rail)?.name.value.clone()))
            }
        }
    }

    pub(super) fn volts_of(&self, tap: Tap) -> Option<f64> {
        match tap {
            Tap::Pack => {
                let battery = self.part(self.plan.battery?)?;
                let series = battery.cells.as_ref()?.series.as_ref()?.value;
                Some(f64::from(series) * LOADED_CELL_V)
            }
            Tap::Rail(part, rail) => {
                let output = self.airframe.rail(part, rail)?.facet.output.as_ref()?;
                Some(output.value.0.in_volts())
            }
        }
    }

    /// The current a plus wire is sized for: the device's highest power at its source's usual volts.
    pub(super) fn nominal_current(&self, carries: &Carries, feed: Option<&Feed>) -> f64 {
        let Carries::Plus(part, socket) = carries else {
            return 0.0;
        };
        let input = self.part(*part).and_then(|part| part.input(socket));
        let Some(input) = input else {
            return 0.0;
        };
        let power = input
            .facet
            .peak_power
            .as_ref()
            .or(input.facet.power.as_ref());
        let tap = feed.and_then(|_| self.airframe.source_of_input(*part, input).ok());
        let volts = tap.and_then(|(tap, _)| self.volts_of(tap));
        match (power, volts) {
            (Some(power), Some(volts)) if volts > 0.0 => {
                power.value.quantity.value.in_watts() / volts
            }
            _ => 0.0,
        }
    }

    pub(super) fn job(&self, carries: &Carries) -> Job {
        match carries {
            Carries::Plus(part, socket) => {
                let loss = self
                    .part(*part)
                    .and_then(|part| part.input(socket))
                    .and_then(|input| input.facet.loss);
                Job::feed(loss.map(|loss| loss.value))
            }
            Carries::Signal(need)
                if self.plan.signals.needs[*need].kind == SignalKind::MotorPhases =>
            {
                Job::Motor
            }
            _ => Job::Signal,
        }
    }
}

/// The legs of a small electrolytic are about 0.6 mm thick.
const LEG_GAUGE: WireGauge = WireGauge::awg(22.0);
/// Legs as short as they should be, where the sheet does not say.
const USUAL_LEGS: Length = Length::millimetres(5.0);
/// Volts of a cell in ordinary flight, for sizing wires.
const LOADED_CELL_V: f64 = 3.5;
