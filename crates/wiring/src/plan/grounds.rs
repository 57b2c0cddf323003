//! A wire for every ground pad of every device.

use super::build::{Builder, Server};
use super::{Carries, Fault, Picked, Wire};
use crate::terminal::{TerminalId, copies};
use craft::airframe::Colour;
use craft::pads::{PadRole, SignalKind};

impl Builder<'_> {
    /// A wire for every ground pad of every device, to the part that feeds or hears it.
    pub(super) fn grounds(&mut self) {
        let airframe = self.airframe;
        for (at, fitted, _) in airframe.found() {
            if Some(at) == self.plan.battery {
                continue;
            }
            for copy in copies(fitted.count()) {
                if !self.is_home(at, copy) {
                    self.grounds_of(at, copy);
                }
            }
        }
    }

    pub(super) fn grounds_of(&mut self, at: usize, copy: Option<u32>) {
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
            if !self.written.contains(&here) {
                self.ground(at, here, &wires);
            }
        }
    }

    pub(super) fn needs_ground(&self, carries: &Carries) -> bool {
        match carries {
            Carries::Plus(..) => true,
            Carries::Signal(need) => self.plan.signals.needs[*need].kind != SignalKind::MotorPhases,
            Carries::Ground | Carries::Other => false,
        }
    }

    /// The grounds that a part itself sends a wire from; a board's other grounds are for its devices.
    pub(super) fn initiating(&self, at: usize, shown: Vec<TerminalId>) -> Vec<TerminalId> {
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
            it.of.as_deref().is_some_and(|of| {
                of == "pack"
                    || part.input(of).is_some()
                    || part.signals.iter().any(|signal| signal.name.value == of)
                    || part.rail(of).is_some()
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
    pub(super) fn ground(&mut self, at: usize, here: TerminalId, wires: &[usize]) {
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
    pub(super) fn said_ground(
        &self,
        at: usize,
        carries: &Carries,
    ) -> Option<(usize, Option<TerminalId>)> {
        let Carries::Plus(_, socket) = carries else {
            return None;
        };
        let feed = self.airframe.feed(&self.airframe.parts[at].id, socket)?;
        let ground = feed.table.ground.as_ref()?;
        let (part, pad) = match ground.split_once('.') {
            Some((part, pad)) => (part, Some(pad)),
            None => (ground.value.as_str(), None),
        };
        // A ground that would end on its own part is told where it is written.
        let part = self.airframe.position(part).filter(|part| *part != at)?;
        Some((
            part,
            pad.and_then(|pad| self.plan.terminals.named(part, pad)),
        ))
    }
}
