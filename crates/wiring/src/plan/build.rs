//! The plan while it is made: what every kind of wire needs.

use super::roles::usual_colour;
use super::{Carries, Fault, Picked, Plan, Wire};
use crate::choice::{Wanted, cut_length, gauge_for};
use crate::terminal::{Terminal, TerminalId, Terminals};
use craft::airframe::{Airframe, Colour};
use craft::pads::PadRole;
use craft::{FileId, Part, Place};
use std::collections::{HashMap, HashSet};

pub(super) struct Builder<'a> {
    pub(super) airframe: &'a Airframe,
    pub(super) plan: Plan,
    /// How many wires end at each terminal so far.
    pub(super) landed: HashMap<TerminalId, usize>,
    /// The device's ends of the wires that the builder wrote.
    pub(super) written: HashSet<TerminalId>,
    /// Where a wire from this end lands today, for ends that are still there.
    today: HashMap<End, Landing>,
    twists: usize,
}

/// Where a wire lands today.
#[derive(Clone, Copy)]
struct Landing {
    /// The pad, if it is still there.
    pad: Option<TerminalId>,
    /// It is on the battery.
    on_battery: bool,
}

/// An end of a wire by what it is called: the same in both states of a craft.
#[derive(PartialEq, Eq, Hash)]
struct End {
    part: String,
    copy: Option<u32>,
    role: PadRole,
    name: String,
    of: Option<String>,
    /// The sheet that shows it; another sheet may use the same name for another pad.
    sheet: Option<FileId>,
}

impl End {
    fn of(terminals: &Terminals, id: TerminalId) -> Self {
        let it = terminals.get(id);
        Self {
            part: terminals.part_names[it.part].clone(),
            copy: it.copy,
            role: it.role,
            name: it.name.clone(),
            of: it.of.clone(),
            sheet: it.place.map(|place| place.file),
        }
    }
}

/// Who serves a wire: a part, and which of its pads are meant.
#[derive(Clone, Copy)]
pub(super) struct Server<'s> {
    pub(super) part: usize,
    pub(super) of: &'s str,
}

impl<'a> Builder<'a> {
    /// Nothing wired yet; wires of `today` whose pads are all still there will keep them.
    pub(super) fn new(airframe: &'a Airframe, plan: Plan, today: Option<&Plan>) -> Self {
        let mut builder = Self {
            airframe,
            plan,
            landed: HashMap::new(),
            written: HashSet::new(),
            today: HashMap::new(),
            twists: 0,
        };
        builder.keep_in_place(today);
        builder
    }

    pub(super) fn part(&self, at: usize) -> Option<&Part> {
        self.airframe.parts[at].part.as_deref()
    }
    pub(super) fn push(&mut self, wire: Wire) {
        // A wire that ends where it begins is told where it is written, and is none.
        if wire.ends[0] == wire.ends[1] {
            return;
        }
        // A wire that stays has been counted where it lands.
        let stays = self.kept(wire.ends[0]) == Some(wire.ends[1]);
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
            let end = today.terminals.get(wire.ends[0]);
            let part = &today.terminals.part_names[end.part];
            // An end that no sheet shows is there as long as its part is.
            let stays =
                here.is_some() || (!end.is_described() && self.airframe.position(part).is_some());
            if !stays {
                continue;
            }
            let landing = Landing {
                pad: there,
                on_battery: Some(today.terminals.get(wire.ends[1]).part) == today.battery,
            };
            let end = End::of(&today.terminals, wire.ends[0]);
            let known = self.today.entry(end).or_insert(landing);
            known.pad = there.or(known.pad);
            known.on_battery |= landing.on_battery;
            if let Some(there) = there {
                *self.landed.entry(there).or_default() += 1;
            }
        }
    }

    fn landing_today(&self, from: TerminalId) -> Option<Landing> {
        let end = End::of(&self.plan.terminals, from);
        self.today.get(&end).copied()
    }

    /// Where a wire from this end lands today, if both ends are still there.
    fn kept(&self, from: TerminalId) -> Option<TerminalId> {
        self.landing_today(from)?.pad
    }

    /// The pad of the entry that the battery's wire is soldered to today.
    pub(super) fn lead_today(&self, entry: usize, role: PadRole) -> Option<TerminalId> {
        let pads = self.plan.terminals.on_any(entry, |it| it.role == role);
        pads.into_iter().find(|&pad| {
            let landing = self.landing_today(pad);
            landing.is_some_and(|it| it.on_battery) && !self.written.contains(&pad)
        })
    }

    /// Whether the battery is soldered to this copy of a part: of several the first.
    pub(super) fn is_home(&self, part: usize, copy: Option<u32>) -> bool {
        self.plan.entry == Some(part) && copy.is_none_or(|copy| copy == 1)
    }

    /// A pad of the first copy of a part that is there several times.
    pub(super) fn first_of_many(&self, part: usize) -> Option<TerminalId> {
        let pads = self.plan.terminals.on(part, Some(1), |_| true);
        pads.first().copied()
    }

    pub(super) fn next_twist(&mut self) -> usize {
        self.twists += 1;
        self.twists
    }

    /// Adds a wire with what the builder wrote, or with what is chosen for it.
    pub(super) fn wire(
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

    /// The plus pads of a device for one of its sockets; an end of its own wire where the sheet shows
    /// no pads.
    pub(super) fn own_pads(
        &mut self,
        (part, copy): (usize, Option<u32>),
        role: PadRole,
        of: &str,
        place: Option<Place>,
    ) -> Vec<TerminalId> {
        let mine = |it: &Terminal| it.role == role && it.is_of(of);
        let shown = self.plan.terminals.on(part, copy, mine);
        if !shown.is_empty() {
            return shown;
        }
        if self.plan.terminals.shows_pads[part] {
            self.plan.faults.push(Fault::NoPad {
                part,
                what: format!("plus of {of}"),
                place,
            });
        }
        let name = format!("{of} +");
        vec![self.plan.terminals.invent(part, copy, &name, role, of)]
    }

    /// The pad of a server that a wire from an end lands on: where it is today if that is one of those meant;
    /// else the one with the fewest wires, and of those the nearest to `near`.
    pub(super) fn landing(
        &mut self,
        server: Server<'_>,
        role: PadRole,
        near: Option<TerminalId>,
        from: Option<TerminalId>,
    ) -> TerminalId {
        let Server { part, of } = server;
        let terminals = &self.plan.terminals;
        let wanted = |it: &Terminal| it.role == role && (role == PadRole::Ground || it.is_of(of));
        if let Some(today) = from.and_then(|from| self.kept(from)) {
            let it = terminals.get(today);
            if it.part == part && wanted(it) {
                return today;
            }
        }

        // What comes back goes to the copy that it came from; otherwise device 2 looks to server 2.
        let near_copy = near.and_then(|near| {
            let it = terminals.get(near);
            (it.part == part).then_some(it.copy)
        });
        let from_copy = from.and_then(|from| terminals.get(from).copy);
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
            let other_copy = it.copy.is_some() && it.copy != from_copy;
            let landed = self.landed.get(&id).copied().unwrap_or(0);
            ((other_copy, landed, meant), away)
        };
        let best = terminals
            .on_any(part, wanted)
            .into_iter()
            .filter(|id| near_copy.is_none_or(|copy| terminals.get(*id).copy == copy))
            .min_by(|one, other| {
                let (one, other) = (rank(one), rank(other));
                one.0.cmp(&other.0).then(one.1.total_cmp(&other.1))
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
        // One ground for all, whatever comes back to it.
        let of = if role == PadRole::Ground { name } else { of };
        let copy = near_copy.flatten();
        self.plan.terminals.invent(part, copy, name, role, of)
    }
}
