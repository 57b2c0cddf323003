//! Every wire of a craft, from pad to pad, and what is wrong with them.
//!
//! Power follows the craft's feeds, signals follow the allotment, and each ground pad of a device
//! gets a wire of its own. A wire that the builder writes stands in place of the planned one.

use crate::allot::{NeedDuplex, PortDuplex};
use crate::choice::{Job, Wanted, cut_length, gauge_for, usual_lead};
use crate::signals::{Signals, USUAL_LEVEL_V};
use crate::terminal::{Terminal, TerminalId, Terminals, copies};
use craft::airframe::{Airframe, Colour, Feed, Tap};
use craft::facet::Input;
use craft::pads::{PadRole, SignalKind};
use craft::part::Named;
use craft::{Part, Place, Stated};
use quantity::{Length, WireGauge};
use std::collections::HashMap;

/// What a wire is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Carries {
    /// Plus of an input or of a converter: the part and its socket.
    Plus(usize, String),
    /// Minus.
    Ground,
    /// A signal, by its position among the needs.
    Signal(usize),
    /// Something only the builder knows.
    Other,
}

/// A figure of a wire, and whether the builder wrote it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Picked<T> {
    /// The figure.
    pub value: T,
    /// Written in the files; otherwise chosen here.
    pub said: bool,
}

/// One wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Wire {
    /// From a device to what serves it.
    pub ends: [TerminalId; 2],
    /// What it is for.
    pub carries: Carries,
    /// Its size.
    pub gauge: Picked<WireGauge>,
    /// Its length as cut: routed length, a tenth more, and a loop.
    pub length: Picked<Length>,
    /// Colour of its insulation.
    pub colour: Picked<Colour>,
    /// Wires with the same number are twisted together.
    pub twist: Option<usize>,
    /// The current it was sized for \[A\]; zero for signals.
    pub sized_for_a: f64,
    /// Where it is written.
    pub place: Option<Place>,
}

/// Something wrong with the wiring as planned or as written.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// A sheet that shows pads shows no ground, and the part takes power or a signal.
    NoGround {
        /// The part.
        part: usize,
        /// Where.
        places: Vec<Place>,
    },
    /// A sheet that shows pads shows none for this.
    NoPad {
        /// The part.
        part: usize,
        /// For what: "plus of main", "TX of data".
        what: String,
        /// Where it is asked for.
        place: Option<Place>,
    },
    /// A written wire joins two pads that both send or both listen.
    Swapped {
        /// Its ends.
        ends: [TerminalId; 2],
        /// Where it is written.
        place: Place,
    },
    /// A written wire joins pads that have nothing to say to one another.
    WrongPads {
        /// Its ends.
        ends: [TerminalId; 2],
        /// Where it is written.
        place: Place,
    },
    /// Wires join two supplies.
    SuppliesJoined {
        /// A pad of each.
        pads: [TerminalId; 2],
        /// The wires written by the builder that do it.
        places: Vec<Place>,
    },
    /// Wires join a supply to ground.
    SupplyToGround {
        /// A pad of each.
        pads: [TerminalId; 2],
        /// The wires written by the builder that do it.
        places: Vec<Place>,
    },
    /// An input has a source on its own board and another one through a wire.
    FedTwice {
        /// The part.
        part: usize,
        /// Its input.
        socket: String,
        /// What feeds it on the board.
        on_board: String,
        /// What feeds it through a wire.
        by_wire: String,
        /// Where both are written.
        places: Vec<Place>,
    },
    /// A pad that sends more volts than the other takes.
    TooManyVolts {
        /// The sender and the listener.
        pads: [TerminalId; 2],
        /// What is sent \[V\].
        sends_v: f64,
        /// What is taken \[V\]; none where nobody says.
        takes_v: Option<f64>,
        /// Where both are described.
        places: Vec<Place>,
    },
}

/// The wiring of a craft in one state.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Plan {
    /// Everything a wire can end at.
    pub terminals: Terminals,
    /// Signals, ports and who goes where.
    pub signals: Signals,
    /// Every wire.
    pub wires: Vec<Wire>,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// The part that the battery's wires are soldered to.
    pub entry: Option<usize>,
    /// The battery.
    pub battery: Option<usize>,
}

impl Plan {
    /// The wiring of an airframe; ports that signals have `today` are kept where they can be.
    pub fn of(airframe: &Airframe, today: Option<&Self>) -> Self {
        let terminals = Terminals::of(airframe);
        let signals = Signals::of(airframe, &terminals, today.map(|plan| &plan.signals));
        let first = |wanted: &dyn Fn(&Part) -> bool| {
            airframe
                .found()
                .find(|(.., part)| wanted(part))
                .map(|(at, ..)| at)
        };
        let is_pack_pad = |part: &Part| {
            part.pads.iter().any(|pad| {
                let facet = &pad.facet;
                facet.role.is_some_and(|role| role.value == PadRole::Power)
                    && facet.of.as_ref().is_some_and(|of| of.value == "pack")
            })
        };
        let battery = first(&|part| part.cells.is_some());
        let entry =
            first(&|part| is_pack_pad(part) && (part.lead.is_some() || part.board.is_some()))
                .or_else(|| first(&is_pack_pad))
                .or_else(|| first(&|part| part.board.is_some()))
                .or_else(|| first(&|part| part.lead.is_some() && part.cells.is_none()));
        let mut builder = Builder {
            airframe,
            plan: Self {
                terminals,
                signals,
                entry,
                battery,
                ..Self::default()
            },
            landed: HashMap::new(),
            written: HashMap::new(),
            today: HashMap::new(),
            twists: 0,
        };
        builder.keep_in_place(today);

        builder.written_wires();
        builder.battery_lead();
        builder.feeds();
        builder.signal_wires();
        builder.grounds();
        let mut plan = builder.plan;
        plan.check_volts(airframe);
        plan.faults.extend(crate::net::faults(&plan, airframe));
        plan
    }

    /// The wires that end at a terminal.
    pub fn wires_at(&self, id: TerminalId) -> impl Iterator<Item = &Wire> {
        self.wires
            .iter()
            .filter(move |wire| wire.ends.contains(&id))
    }

    /// Both ends of a serial or other signal: more volts than are taken.
    fn check_volts(&mut self, airframe: &Airframe) {
        for at in 0..self.signals.needs.len() {
            let Some(port) = self.signals.port_of(at) else {
                continue;
            };
            let need = &self.signals.needs[at];
            let port = &self.signals.ports[port];
            let sheet = |part: usize| airframe.parts[part].part.as_deref();
            let (Some(device), Some(board)) = (sheet(need.part), sheet(port.part)) else {
                continue;
            };
            let signal = &device.signals[need.signal].facet;
            let socket = &board.ports[port.port].facet;
            let volts = |given: &Option<Stated<craft::sheet::Definite<quantity::Voltage>>>| {
                given.map(|volts| volts.value.0.in_volts())
            };
            let wires: Vec<_> = self
                .wires
                .iter()
                .filter(|wire| wire.carries == Carries::Signal(at))
                .map(|wire| wire.ends)
                .collect();
            for [here, there] in wires {
                let (sends, takes, pads) = if is_sender(self.terminals.get(here)) {
                    (
                        volts(&signal.level),
                        volts(&socket.tolerates),
                        [here, there],
                    )
                } else {
                    (
                        volts(&socket.level),
                        volts(&signal.tolerates),
                        [there, here],
                    )
                };
                let sends_v = sends.unwrap_or(USUAL_LEVEL_V);
                let fits = takes.map_or(sends_v <= USUAL_LEVEL_V + SAME_LEVEL_V, |takes| {
                    sends_v <= takes + SAME_LEVEL_V
                });
                // Other kinds than serial have levels of their own.
                if !fits && need.kind == SignalKind::Serial {
                    self.faults.push(Fault::TooManyVolts {
                        pads,
                        sends_v,
                        takes_v: takes,
                        places: vec![need.place, port.place],
                    });
                }
            }
        }
    }
}

/// Levels nearer than this are the same level \[V\].
const SAME_LEVEL_V: f64 = 0.3;

fn is_sender(terminal: &Terminal) -> bool {
    matches!(terminal.role, PadRole::SerialOut | PadRole::SignalOut)
}

struct Builder<'a> {
    airframe: &'a Airframe,
    plan: Plan,
    /// How many wires end at each terminal so far.
    landed: HashMap<TerminalId, usize>,
    /// Wires the builder wrote, by the end they are written for.
    written: HashMap<TerminalId, usize>,
    /// Where a wire from this end lands today.
    today: HashMap<TerminalId, TerminalId>,
    twists: usize,
}

/// Who serves a wire: a part, and which of its pads are meant.
#[derive(Clone, Copy)]
struct Server<'s> {
    part: usize,
    of: &'s str,
}

impl Builder<'_> {
    fn part(&self, at: usize) -> Option<&Part> {
        self.airframe.parts[at].part.as_deref()
    }
    fn push(&mut self, wire: Wire) {
        // A wire that stays has been counted where it lands.
        let stays = self.today.get(&wire.ends[0]) == Some(&wire.ends[1]);
        *self.landed.entry(wire.ends[0]).or_default() += 1;
        if !stays {
            *self.landed.entry(wire.ends[1]).or_default() += 1;
        }
        self.plan.wires.push(wire);
    }

    /// Wires of today whose pads are all still there keep their pads, and new ones look for others.
    fn keep_in_place(&mut self, today: Option<&Plan>) {
        let Some(today) = today else {
            return;
        };
        for wire in &today.wires {
            let [here, there] = wire
                .ends
                .map(|end| self.plan.terminals.same_as(&today.terminals, end));
            if let (Some(here), Some(there)) = (here, there) {
                self.today.insert(here, there);
                *self.landed.entry(there).or_default() += 1;
            }
        }
    }

    fn next_twist(&mut self) -> usize {
        self.twists += 1;
        self.twists
    }

    /// The wires of `[wires]`.
    fn written_wires(&mut self) {
        let airframe = self.airframe;
        for wire in &airframe.harness.wires {
            let Some(ends) = self.written_ends(wire) else {
                continue;
            };
            let [here, there] = ends.map(|end| self.plan.terminals.get(end).clone());
            let carries = self.carried_by(&here, &there);
            let duplex = match carries {
                Carries::Signal(need) => Some(self.plan.signals.question.needs[need].duplex),
                _ => None,
            };
            let place = wire.table.place;
            self.plan.faults.extend(match fit(&here, &there, duplex) {
                Fit::Right => None,
                Fit::Swapped => Some(Fault::Swapped { ends, place }),
                Fit::Wrong => Some(Fault::WrongPads { ends, place }),
            });
            let feed = match &carries {
                Carries::Plus(part, socket) => airframe.feed(&airframe.parts[*part].id, socket),
                _ => None,
            };
            let sized_for_a = self.nominal_current(&carries, feed);
            self.written.insert(ends[0], self.plan.wires.len());
            let wanted = Wanted {
                job: self.job(&carries),
                current_a: sized_for_a,
                volts: None,
                gauge: wire.table.gauge.map(|gauge| gauge.value.0),
                length: wire.table.length.map(|length| length.value.quantity.value),
            };
            self.wire(
                ends,
                carries,
                wanted,
                wire.table.colour.map(|colour| colour.value),
                None,
                Some(place),
            );
        }
    }

    fn written_ends(&self, wire: &craft::airframe::WireWritten) -> Option<[TerminalId; 2]> {
        let here = self.airframe.position(&wire.part)?;
        let (part, pad) = wire.table.to.as_ref()?.split_once('.')?;
        let there = self.airframe.position(part)?;
        let terminals = &self.plan.terminals;
        let (here, there) = (
            terminals.named(here, &wire.pad)?,
            terminals.named(there, pad)?,
        );
        // A wire may be written from either end; the list begins at the device.
        if self.is_device_end(there) && !self.is_device_end(here) {
            Some([there, here])
        } else {
            Some([here, there])
        }
    }

    /// Whether a pad belongs to something the part needs, rather than to something it offers.
    fn is_device_end(&self, id: TerminalId) -> bool {
        let it = self.plan.terminals.get(id);
        let (Some(part), Some(of)) = (self.part(it.part), it.of.as_deref()) else {
            return false;
        };
        it.role == PadRole::PowerIn
            || part.inputs.iter().any(|input| input.name.value == of)
            || part.signals.iter().any(|signal| signal.name.value == of)
    }

    /// What a written wire is for, by its device's pad.
    fn carried_by(&self, here: &Terminal, there: &Terminal) -> Carries {
        match here.role {
            PadRole::Ground => return Carries::Ground,
            PadRole::Power | PadRole::PowerIn => {
                return Carries::Plus(here.part, here.of.clone().unwrap_or_default());
            }
            _ => {}
        }
        let need_of = |end: &Terminal| {
            self.plan.signals.needs.iter().position(|need| {
                let sheet = self.part(need.part);
                need.part == end.part
                    && sheet.is_some_and(|part| end.is_of(&part.signals[need.signal].name.value))
            })
        };
        need_of(here)
            .or_else(|| need_of(there))
            .map_or(Carries::Other, Carries::Signal)
    }

    /// Adds a wire with what the builder wrote, or with what is chosen for it.
    fn wire(
        &mut self,
        ends: [TerminalId; 2],
        carries: Carries,
        wanted: Wanted,
        colour: Option<Colour>,
        twist: Option<usize>,
        place: Option<Place>,
    ) {
        let class = self.airframe.class.map(|class| class.value);
        let usual = usual_colour(&self.plan, &carries, ends);
        let length = Picked {
            value: wanted
                .length
                .unwrap_or_else(|| cut_length(class, wanted.job)),
            said: wanted.length.is_some(),
        };
        let gauge = Picked {
            value: wanted
                .gauge
                .unwrap_or_else(|| gauge_for(class, &wanted, length.value)),
            said: wanted.gauge.is_some(),
        };
        self.push(Wire {
            ends,
            carries,
            gauge,
            length,
            colour: Picked {
                value: colour.unwrap_or(usual),
                said: colour.is_some(),
            },
            twist,
            sized_for_a: wanted.current_a,
            place,
        });
    }

    /// The two wires from the battery's plug to the part that carries its current.
    fn battery_lead(&mut self) {
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
            let near = self.landing(
                Server {
                    part: entry,
                    of: "pack",
                },
                role,
                None,
                None,
            );
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
    fn feeds(&mut self) {
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

    fn feed_input(&mut self, at: usize, copy: Option<u32>, input: &Named<Input>) {
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

    fn feed_socket(
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
        for here in self.own_pads(at, copy, role, socket, "+", "plus of", place) {
            if self.written.contains_key(&here) {
                continue;
            }
            let near = self.port_pad(at, copy, server);
            let there = self.landing(
                Server {
                    part: server,
                    of: &of,
                },
                PadRole::Power,
                near,
                Some(here),
            );
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
    fn port_pad(&self, at: usize, copy: Option<u32>, server: usize) -> Option<TerminalId> {
        let signals = &self.plan.signals;
        (0..signals.needs.len()).find_map(|need| {
            let asked = &signals.needs[need];
            let port = &signals.ports[signals.port_of(need)?];
            if (asked.part, asked.copy, port.part) != (at, copy, server) {
                return None;
            }
            let name = &self.part(server)?.ports[port.port].name.value;
            let pads = self.plan.terminals.on(server, None, |it| it.is_of(name));
            pads.into_iter()
                .find(|&pad| self.plan.terminals.get(pad).at_mm.is_some())
        })
    }

    /// A second board with pads for the pack hangs on the first one's.
    fn feed_pack_pads(&mut self, at: usize, copy: Option<u32>) {
        let (Some(entry), false) = (self.plan.entry, Some(at) == self.plan.battery) else {
            return;
        };
        let pads = self
            .plan
            .terminals
            .on(at, copy, |it| it.role == PadRole::Power && it.is_of("pack"));
        let Some(&here) = pads.first().filter(|_| at != entry) else {
            return;
        };
        if self.written.contains_key(&here) {
            return;
        }
        let there = self.landing(
            Server {
                part: entry,
                of: "pack",
            },
            PadRole::Power,
            None,
            Some(here),
        );
        let twist = Some(self.next_twist());
        let wanted = self
            .own_legs(at)
            .unwrap_or_else(|| Wanted::usual(Job::Board));
        let carries = Carries::Plus(at, "pack".to_owned());
        self.wire([here, there], carries, wanted, None, twist, None);
    }
    /// A capacitor stands on its own legs: no wire to choose.
    fn own_legs(&self, at: usize) -> Option<Wanted> {
        let capacitor = self.part(at)?.capacitor.as_ref()?;
        let legs = capacitor.legs.map(|legs| legs.value.0);
        Some(Wanted {
            gauge: Some(LEG_GAUGE),
            length: Some(legs.unwrap_or(USUAL_LEGS)),
            ..Wanted::usual(Job::Board)
        })
    }

    /// The pads of a device for one of its sockets; an end of its own wire where the sheet shows no pads.
    #[expect(
        clippy::too_many_arguments,
        reason = "the words of a fault travel with it"
    )]
    fn own_pads(
        &mut self,
        part: usize,
        copy: Option<u32>,
        role: PadRole,
        of: &str,
        sign: &str,
        what: &str,
        place: Option<Place>,
    ) -> Vec<TerminalId> {
        let either = |it: &Terminal| it.is_of(of) && (it.role == role);
        let shown = self.plan.terminals.on(part, copy, either);
        if !shown.is_empty() {
            return shown;
        }
        if self.plan.terminals.shows_pads[part] {
            self.plan.faults.push(Fault::NoPad {
                part,
                what: format!("{what} {of}"),
                place,
            });
        }
        let name = format!("{of} {sign}");
        vec![self.plan.terminals.invent(part, copy, &name, role, of)]
    }
    /// The pad of a server that a wire from an end lands on: where it is today if that is one of those meant;
    /// else the one with the fewest wires, and of those the nearest to `near`.
    fn landing(
        &mut self,
        server: Server<'_>,
        role: PadRole,
        near: Option<TerminalId>,
        from: Option<TerminalId>,
    ) -> TerminalId {
        let Server { part, of } = server;
        let terminals = &self.plan.terminals;
        let wanted = |it: &Terminal| it.role == role && (role == PadRole::Ground || it.is_of(of));
        if let Some(&today) = from.and_then(|from| self.today.get(&from)) {
            let it = terminals.get(today);
            if it.part == part && wanted(it) {
                return today;
            }
        }

        let here = near.and_then(|near| {
            let it = terminals.get(near);
            it.at_mm.filter(|_| it.part == part)
        });
        let rank = |&id: &TerminalId| {
            let it = terminals.get(id);
            // A ground that is nobody's own is everybody's; one that belongs to something else is last.
            let meant = match (&it.of, role) {
                (Some(own), _) if own == of => 0,
                (None, PadRole::Ground) => 1,
                _ => 2,
            };
            let away = here.zip(it.at_mm).map_or(f64::INFINITY, |(one, other)| {
                (one.0 - other.0).hypot(one.1 - other.1)
            });
            (self.landed.get(&id).copied().unwrap_or(0), meant, away)
        };
        let best = terminals
            .on(part, None, wanted)
            .into_iter()
            .min_by(|one, other| {
                let (one, other) = (rank(one), rank(other));
                one.0
                    .cmp(&other.0)
                    .then(one.1.cmp(&other.1))
                    .then(one.2.total_cmp(&other.2))
            });
        if let Some(best) = best {
            return best;
        }
        let name = match role {
            PadRole::Ground if Some(part) == self.plan.battery => "minus",
            PadRole::Ground => "ground",
            _ if Some(part) == self.plan.battery => "plus",
            _ => of,
        };
        if terminals.shows_pads[part] {
            self.plan.faults.push(Fault::NoPad {
                part,
                what: if role == PadRole::Ground {
                    "a ground that others can use".to_owned()
                } else {
                    format!("plus of {of}")
                },
                place: None,
            });
        }
        self.plan.terminals.invent(part, None, name, role, of)
    }

    /// The part behind a tap, and what its pads are called.
    fn server(&self, tap: Tap) -> Option<(usize, String)> {
        match tap {
            Tap::Pack => Some((self.plan.entry.or(self.plan.battery)?, "pack".to_owned())),
            Tap::Rail(part, rail) => {
                Some((part, self.airframe.rail(part, rail)?.name.value.clone()))
            }
        }
    }

    fn volts_of(&self, tap: Tap) -> Option<f64> {
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
    fn nominal_current(&self, carries: &Carries, feed: Option<&Feed>) -> f64 {
        let Carries::Plus(part, socket) = carries else {
            return 0.0;
        };
        let input = self
            .part(*part)
            .and_then(|part| part.inputs.iter().find(|input| input.name.value == *socket));
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

    fn job(&self, carries: &Carries) -> Job {
        match carries {
            Carries::Plus(part, socket) => {
                let loss = self
                    .part(*part)
                    .and_then(|part| part.inputs.iter().find(|input| input.name.value == *socket))
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

    /// The wires of every signal that has a port.
    fn signal_wires(&mut self) {
        for need in 0..self.plan.signals.needs.len() {
            let Some(port) = self.plan.signals.port_of(need) else {
                continue;
            };
            let twist = (self.plan.signals.needs[need].kind == SignalKind::CompositeVideo)
                .then(|| self.next_twist());
            for (here, there) in self.signal_ends(need, port) {
                if self.written.contains_key(&here) {
                    continue;
                }
                let (gauge, length, place) = self.link_words(need);
                let wanted = Wanted {
                    gauge,
                    length,
                    ..Wanted::usual(self.job(&Carries::Signal(need)))
                };
                self.wire(
                    [here, there],
                    Carries::Signal(need),
                    wanted,
                    None,
                    twist,
                    place,
                );
            }
        }
    }

    fn link_words(&self, need: usize) -> (Option<WireGauge>, Option<Length>, Option<Place>) {
        let need = &self.plan.signals.needs[need];
        let fitted = &self.airframe.parts[need.part];
        let signal = fitted
            .part
            .as_deref()
            .map(|part| &part.signals[need.signal].name.value);
        let link = signal.and_then(|signal| self.airframe.harness.link(&fitted.id, signal));
        match link.map(|link| &link.table) {
            Some(table) => (
                table.gauge.map(|gauge| gauge.value.0),
                table.length.map(|length| length.value.quantity.value),
                Some(table.place),
            ),
            None => (None, None, None),
        }
    }

    /// The pads a signal's wires run between, device first.
    fn signal_ends(&mut self, need: usize, port: usize) -> Vec<(TerminalId, TerminalId)> {
        let (at, to) = (
            &self.plan.signals.needs[need],
            &self.plan.signals.ports[port],
        );
        let (part, copy, kind, place) = (at.part, at.copy, at.kind, at.place);
        let (board, board_place) = (to.part, to.place);
        let name_of = |at: usize, signal: bool, index: usize| -> Option<String> {
            let part = self.part(at)?;
            Some(if signal {
                part.signals.get(index)?.name.value.clone()
            } else {
                part.ports.get(index)?.name.value.clone()
            })
        };
        let (Some(signal), Some(socket)) = (
            name_of(part, true, at.signal),
            name_of(board, false, to.port),
        ) else {
            return Vec::new();
        };
        let asked = &self.plan.signals.question.needs[need];
        let offered = &self.plan.signals.question.ports[port];
        let pairs = role_pairs(kind, asked.duplex, offered.duplex);
        let mut ends = Vec::new();
        for (mine, theirs) in pairs {
            let here = self.signal_pads(part, copy, &signal, mine, place);
            let there = self.signal_pads(board, None, &socket, theirs, board_place);
            ends.extend(here.into_iter().zip(there));
        }
        ends
    }

    /// Pads of one signal or port, by the first role of which there are some.
    fn signal_pads(
        &mut self,
        part: usize,
        copy: Option<u32>,
        of: &str,
        roles: &[PadRole],
        place: Place,
    ) -> Vec<TerminalId> {
        for &role in roles {
            let shown = self
                .plan
                .terminals
                .on(part, copy, |it| it.is_of(of) && it.role == role);
            if !shown.is_empty() {
                return shown;
            }
        }
        let role = roles[0];
        if self.plan.terminals.shows_pads[part] {
            self.plan.faults.push(Fault::NoPad {
                part,
                what: format!("{} of {of}", role_word(role)),
                place: Some(place),
            });
        }
        let count = if role == PadRole::Phase { 3 } else { 1 };
        (0..count)
            .map(|at| {
                let name = match role {
                    PadRole::Phase => format!("{} {}", of, ["a", "b", "c"][at]),
                    _ => format!("{of} {}", role_word(role)),
                };
                self.plan.terminals.invent(part, copy, &name, role, of)
            })
            .collect()
    }

    /// A wire for every ground pad of every device, to the part that feeds or hears it.
    fn grounds(&mut self) {
        let airframe = self.airframe;
        for (at, fitted, _) in airframe.found() {
            if Some(at) == self.plan.entry || Some(at) == self.plan.battery {
                continue;
            }
            for copy in copies(fitted.count()) {
                self.grounds_of(at, copy);
            }
        }
    }

    fn grounds_of(&mut self, at: usize, copy: Option<u32>) {
        let wires: Vec<usize> = (0..self.plan.wires.len())
            .filter(|&wire| {
                let it = self.plan.terminals.get(self.plan.wires[wire].ends[0]);
                it.part == at
                    && it.copy == copy
                    && self.needs_ground(&self.plan.wires[wire].carries)
            })
            .collect();
        if wires.is_empty() {
            return;
        }
        let shown = self
            .plan
            .terminals
            .on(at, copy, |it| it.role == PadRole::Ground);
        if shown.is_empty() && self.plan.terminals.shows_pads[at] {
            let places = wires.iter().filter_map(|&wire| self.plan.wires[wire].place);
            let fitted = self.airframe.parts[at].id.place;
            let places = std::iter::once(fitted).chain(places).collect();
            self.plan.faults.push(Fault::NoGround { part: at, places });
            return;
        }
        let initiating = self.initiating(at, shown);
        if initiating.is_empty() {
            let here = self
                .plan
                .terminals
                .invent(at, copy, "ground", PadRole::Ground, "ground");
            self.ground(at, here, &wires);
        }
        for here in initiating {
            if !self.written.contains_key(&here) {
                self.ground(at, here, &wires);
            }
        }
    }

    fn needs_ground(&self, carries: &Carries) -> bool {
        match carries {
            Carries::Plus(..) => true,
            Carries::Signal(need) => self.plan.signals.needs[*need].kind != SignalKind::MotorPhases,
            Carries::Ground | Carries::Other => false,
        }
    }

    /// The grounds that a part itself sends a wire from; a board's other grounds are for its devices.
    fn initiating(&self, at: usize, shown: Vec<TerminalId>) -> Vec<TerminalId> {
        let Some(part) = self.part(at) else {
            return shown;
        };
        let own = |id: &TerminalId| {
            let of = self.plan.terminals.get(*id).of.as_deref();
            !of.is_some_and(|of| part.ports.iter().any(|port| port.name.value == of))
        };
        let serves =
            !part.rails.is_empty() || part.ports.iter().any(|port| port.facet.kind.is_none());
        if !serves {
            return shown.into_iter().filter(own).collect();
        }
        let fed = |id: &TerminalId| {
            let it = self.plan.terminals.get(*id);
            let rail_in = |of: &str| part.rails.iter().any(|rail| rail.name.value == of);
            it.of.as_deref().is_some_and(|of| {
                of == "pack"
                    || part.inputs.iter().any(|input| input.name.value == of)
                    || part.signals.iter().any(|signal| signal.name.value == of)
                    || rail_in(of)
            })
        };
        let meant: Vec<_> = shown.iter().copied().filter(fed).collect();
        if meant.is_empty() {
            shown.into_iter().filter(own).take(1).collect()
        } else {
            meant
        }
    }

    /// One ground wire, to where the current of its input or signal comes back.
    fn ground(&mut self, at: usize, here: TerminalId, wires: &[usize]) {
        let of = self.plan.terminals.get(here).of.clone();
        let is_mine = |wire: &&usize| match &self.plan.wires[**wire].carries {
            Carries::Plus(_, socket) => of.as_deref() == Some(socket),
            Carries::Signal(need) => {
                let need = &self.plan.signals.needs[*need];
                let signal = self
                    .part(need.part)
                    .map(|part| part.signals[need.signal].name.value.as_str());
                of.is_some() && of.as_deref() == signal
            }
            _ => false,
        };
        let is_plus = |wire: &&usize| matches!(self.plan.wires[**wire].carries, Carries::Plus(..));
        let lead = wires
            .iter()
            .find(is_mine)
            .or_else(|| wires.iter().find(is_plus))
            .or(wires.first());
        let Some(lead) = lead.map(|&at| self.plan.wires[at].clone()) else {
            return;
        };
        let there = self.plan.terminals.get(lead.ends[1]).clone();
        let said = self.said_ground(at, &lead.carries);
        let landing = match said {
            Some((_, Some(pad))) => pad,
            Some((part, None)) => {
                let of = there.of.clone().unwrap_or_default();
                self.landing(Server { part, of: &of }, PadRole::Ground, None, Some(here))
            }
            None => {
                let of = there.of.clone().unwrap_or_default();
                let server = Server {
                    part: there.part,
                    of: &of,
                };
                self.landing(server, PadRole::Ground, Some(lead.ends[1]), Some(here))
            }
        };
        // Same size as what it returns; a signal's ground runs beside the signal.
        self.push(Wire {
            ends: [here, landing],
            carries: Carries::Ground,
            colour: Picked {
                value: Colour::Black,
                said: false,
            },
            place: lead.place,
            ..lead
        });
    }

    /// Where `ground` of a feed says the return goes.
    fn said_ground(&self, at: usize, carries: &Carries) -> Option<(usize, Option<TerminalId>)> {
        let Carries::Plus(_, socket) = carries else {
            return None;
        };
        let feed = self.airframe.feed(&self.airframe.parts[at].id, socket)?;
        let ground = feed.table.ground.as_ref()?;
        let (part, pad) = match ground.split_once('.') {
            Some((part, pad)) => (part, Some(pad)),
            None => (ground.value.as_str(), None),
        };
        let part = self.airframe.position(part)?;
        Some((
            part,
            pad.and_then(|pad| self.plan.terminals.named(part, pad)),
        ))
    }
}
/// The legs of a small electrolytic are about 0.6 mm thick.
const LEG_GAUGE: WireGauge = WireGauge::awg(22.0);
/// Legs as short as they should be, where the sheet does not say.
const USUAL_LEGS: Length = Length::millimetres(5.0);
/// Volts of a cell in ordinary flight, for sizing wires.
const LOADED_CELL_V: f64 = 3.5;

/// Which roles a signal's wires join, device first; of each list the first role the sheet shows.
fn role_pairs(
    kind: SignalKind,
    asked: NeedDuplex,
    offered: PortDuplex,
) -> Vec<(&'static [PadRole], &'static [PadRole])> {
    use PadRole::{Clock, Data, OneWire, Phase, SerialIn, SerialOut, SignalIn, SignalOut};
    match kind {
        SignalKind::TwoWireBus => vec![(&[Clock], &[Clock]), (&[Data], &[Data])],
        SignalKind::MotorPhases => vec![(&[Phase], &[Phase])],
        SignalKind::Serial => match asked {
            NeedDuplex::OneWire => vec![(&[OneWire, SerialOut, SerialIn], &[SerialOut, OneWire])],
            NeedDuplex::DeviceSends => vec![(&[SerialOut], &[SerialIn])],
            NeedDuplex::DeviceReceives => vec![(&[SerialIn], &[SerialOut])],
            NeedDuplex::Full if offered == PortDuplex::Full => {
                vec![(&[SerialOut], &[SerialIn]), (&[SerialIn], &[SerialOut])]
            }
            NeedDuplex::Full => vec![(&[SerialOut], &[SerialIn])],
        },
        _ => match asked {
            NeedDuplex::DeviceSends => vec![(&[SignalOut], &[SignalIn])],
            _ => vec![(&[SignalIn], &[SignalOut])],
        },
    }
}

fn role_word(role: PadRole) -> &'static str {
    match role {
        PadRole::SerialOut => "TX",
        PadRole::SerialIn => "RX",
        PadRole::OneWire => "one wire",
        PadRole::SignalOut => "out",
        PadRole::SignalIn => "in",
        PadRole::Clock => "clock",
        PadRole::Data => "data",
        PadRole::Phase => "phase",
        PadRole::Power | PadRole::PowerIn => "+",
        PadRole::Ground => "ground",
        PadRole::Other => "pad",
    }
}

enum Fit {
    Right,
    Swapped,
    Wrong,
}

/// Whether two pads may be joined by a wire.
fn fit(here: &Terminal, there: &Terminal, duplex: Option<NeedDuplex>) -> Fit {
    use PadRole::{
        Ground, OneWire, Other, Power, PowerIn, SerialIn, SerialOut, SignalIn, SignalOut,
    };
    let one_wire = duplex == Some(NeedDuplex::OneWire);
    match (here.role, there.role) {
        (Other, _) | (_, Other) => Fit::Right,
        (Power | PowerIn, Power | PowerIn) => Fit::Right,
        // Joined supplies and grounds are told by the nets.
        (Power | PowerIn, Ground) | (Ground, Power | PowerIn) => Fit::Right,
        (SerialOut, SerialIn) | (SerialIn, SerialOut) => Fit::Right,
        (SerialOut | OneWire, SerialOut | OneWire) if one_wire => Fit::Right,
        (OneWire, OneWire | SerialOut) | (SerialOut, OneWire) => Fit::Right,
        (SerialOut, SerialOut) | (SerialIn, SerialIn) => Fit::Swapped,
        (SignalOut, SignalIn) | (SignalIn, SignalOut) => Fit::Right,
        (SignalOut, SignalOut) | (SignalIn, SignalIn) => Fit::Swapped,
        (one, other) if one == other => Fit::Right,
        _ => Fit::Wrong,
    }
}

/// The trade's usual colours where nobody says: red from the pack, orange from a rail, black for
/// minus, and for signals a colour for each way.
fn usual_colour(plan: &Plan, carries: &Carries, ends: [TerminalId; 2]) -> Colour {
    let [here, there] = ends.map(|end| plan.terminals.get(end));
    match carries {
        Carries::Plus(..) if there.is_of("pack") => Colour::Red,
        Carries::Plus(..) => Colour::Orange,
        Carries::Ground => Colour::Black,
        Carries::Other => Colour::Violet,
        Carries::Signal(_) => match here.role {
            PadRole::SerialOut => Colour::Green,
            PadRole::SerialIn => Colour::White,
            PadRole::SignalOut | PadRole::SignalIn => Colour::Yellow,
            PadRole::Clock => Colour::Blue,
            PadRole::Data => Colour::Violet,
            PadRole::Phase => Colour::Grey,
            _ => Colour::Brown,
        },
    }
}
