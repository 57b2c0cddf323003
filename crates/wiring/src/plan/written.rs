//! Wires that the builder writes pad to pad.

use super::build::Builder;
use super::roles::{Fit, fit};
use super::{Carries, Fault};
use crate::choice::Wanted;
use crate::terminal::{Terminal, TerminalId};
use craft::pads::PadRole;

impl Builder<'_> {
    /// The wires of `[wires]`.
    pub(super) fn written_wires(&mut self) {
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
            self.written.insert(ends[0]);
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

    pub(super) fn written_ends(
        &self,
        wire: &craft::airframe::WireWritten,
    ) -> Option<[TerminalId; 2]> {
        let here = self.airframe.position(&wire.part)?;
        let (part, pad) = wire.table.to.as_ref()?.split_once('.')?;
        let there = self.airframe.position(part)?;
        let terminals = &self.plan.terminals;
        let (here, there) = (
            terminals.named(here, &wire.pad)?,
            terminals.named(there, pad)?,
        );
        if here == there {
            return None;
        }
        // A wire may be written from either end; the list begins at the device.
        if self.is_device_end(there) && !self.is_device_end(here) {
            Some([there, here])
        } else {
            Some([here, there])
        }
    }

    /// Whether a pad belongs to something the part needs, rather than to something it offers.
    pub(super) fn is_device_end(&self, id: TerminalId) -> bool {
        let it = self.plan.terminals.get(id);
        let (Some(part), Some(of)) = (self.part(it.part), it.of.as_deref()) else {
            return false;
        };
        it.role == PadRole::PowerIn
            || part.inputs.iter().any(|input| input.name.value == of)
            || part.signals.iter().any(|signal| signal.name.value == of)
    }

    /// What a written wire is for, by its device's pad.
    pub(super) fn carried_by(&self, here: &Terminal, there: &Terminal) -> Carries {
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
}
