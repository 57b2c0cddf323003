//! The wires of every signal that has a port.

use super::build::Builder;
use super::roles::{role_pairs, role_word};
use super::{Carries, Fault};
use crate::choice::Wanted;
use crate::terminal::TerminalId;
use craft::Place;
use craft::pads::{PadRole, SignalKind};
use quantity::{Length, WireGauge};

impl Builder<'_> {
    /// The wires of every signal that has a port.
    pub(super) fn signal_wires(&mut self) {
        for need in 0..self.plan.signals.needs.len() {
            let Some(port) = self.plan.signals.port_of(need) else {
                continue;
            };
            let twist = (self.plan.signals.needs[need].kind == SignalKind::CompositeVideo)
                .then(|| self.next_twist());
            for (here, there) in self.signal_ends(need, port) {
                if self.written.contains(&here) {
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

    pub(super) fn link_words(
        &self,
        need: usize,
    ) -> (Option<WireGauge>, Option<Length>, Option<Place>) {
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
    pub(super) fn signal_ends(
        &mut self,
        need: usize,
        port: usize,
    ) -> Vec<(TerminalId, TerminalId)> {
        let (at, to) = (
            &self.plan.signals.needs[need],
            &self.plan.signals.ports[port],
        );
        let (part, copy, kind, place) = (at.part, at.copy, at.kind, at.place);
        let (board, board_copy, board_place) = (to.part, to.copy, to.place);
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
            let there = self.signal_pads(board, board_copy, &socket, theirs, board_place);
            // Three phases on fewer pads: the leads left over have nowhere to go.
            if kind == SignalKind::MotorPhases && there.len() < here.len() {
                self.plan.faults.push(Fault::NoPad {
                    part: board,
                    what: format!("all {} phases of {socket}", here.len()),
                    place: Some(board_place),
                });
            }
            ends.extend(here.into_iter().zip(there));
        }
        ends
    }

    /// Pads of one signal or port, by the first role of which there are some.
    pub(super) fn signal_pads(
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
}
