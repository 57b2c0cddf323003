//! Wires that the builder writes pad to pad.

use super::build::Builder;
use super::roles::{Fit, fit};
use super::{Carries, Fault};
use crate::choice::Wanted;
use crate::terminal::{Terminal, TerminalId};
use craft::Place;
use craft::airframe::{Feed, Tap};
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
            self.against_feed(&carries, ends, feed, place);
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

    /// A written plus wire that ends at another source than the feed says.
    fn against_feed(
        &mut self,
        carries: &Carries,
        ends: [TerminalId; 2],
        feed: Option<&Feed>,
        place: Place,
    ) {
        let (Carries::Plus(part, socket), Some(feed)) = (carries, feed) else {
            return;
        };
        let Some(from) = &feed.table.from else { return };
        let said = match from.split_once('.') {
            Some((part, rail)) => (self.airframe.position(part), rail.to_owned()),
            None => (None, from.value.clone()),
        };
        let found = self.source_at(ends[1]);
        // A pad that is no plus at all is told by its role.
        if self.plan.terminals.get(ends[1]).role == PadRole::Power && found != Some(said) {
            self.plan.faults.push(Fault::OtherFeed {
                part: *part,
                socket: socket.clone(),
                ends,
                said: from.value.clone(),
                places: vec![place, feed.place()],
            });
        }
    }

    /// What stands behind a plus pad: a part and its rail, no part for the pack; of a device's input what feeds it. None where nothing does.
    fn source_at(&self, pad: TerminalId) -> Option<(Option<usize>, String)> {
        let it = self.plan.terminals.get(pad);
        let of = it.of.as_deref()?;
        if of == "pack" {
            return Some((None, of.to_owned()));
        }
        let part = self.part(it.part)?;
        let Some(input) = part.input(of) else {
            return Some((Some(it.part), of.to_owned()));
        };
        match self.airframe.source_of_input(it.part, input).ok()?.0 {
            Tap::Pack => Some((None, "pack".to_owned())),
            Tap::Rail(part, rail) => {
                let rail = self.airframe.rail(part, rail)?;
                Some((Some(part), rail.name.value.clone()))
            }
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
        // A wire may be written from either end; the list begins at the device. Of two grounds that is the one
        // that is not on the part the battery is soldered to.
        let is_ground = |id| terminals.get(id).role == PadRole::Ground;
        let is_entry = |id| Some(terminals.get(id).part) == self.plan.entry;
        let from_entry = is_ground(here) && is_ground(there) && is_entry(here) && !is_entry(there);
        if from_entry || (self.is_device_end(there) && !self.is_device_end(here)) {
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
            || part.input(of).is_some()
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
                (need.part, need.copy) == (end.part, end.copy)
                    && sheet.is_some_and(|part| end.is_of(&part.signals[need.signal].name.value))
            })
        };
        need_of(here)
            .or_else(|| need_of(there))
            .map_or(Carries::Other, Carries::Signal)
    }
}
