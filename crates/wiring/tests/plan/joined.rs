//! What the wires of a plan join, found by walking them.

use craft::airframe::{Airframe, Tap};
use craft::facet::RegulatorKind;
use craft::pads::PadRole;
use std::collections::BTreeMap;
use wiring::{Plan, Terminal, TerminalId, Wire};

/// A supply by where it comes from: none for the pack, else the part, which of several, and its rail.
pub type Supply = Option<(usize, Option<u32>, String)>;

/// What hangs together: the group of each terminal.
pub struct Joined(Vec<usize>);

impl Joined {
    /// Terminals joined by wires, or on one part by one ground or one supply.
    pub fn of(airframe: &Airframe, plan: &Plan) -> Self {
        let count = plan.terminals.list.len();
        let mut groups = Self((0..count).collect());
        for wire in &plan.wires {
            groups.join(wire.ends[0].0, wire.ends[1].0);
        }
        let terminals = plan.terminals.list.iter();
        let copper: Vec<_> = terminals.map(|it| on_board(airframe, it)).collect();
        for one in 0..count {
            for other in 0..one {
                if copper[one].is_some() && copper[one] == copper[other] {
                    groups.join(one, other);
                }
            }
        }
        groups
    }

    fn join(&mut self, one: usize, other: usize) {
        let (from, to) = (self.0[one], self.0[other]);
        if from == to {
            return;
        }
        for group in &mut self.0 {
            if *group == from {
                *group = to;
            }
        }
    }

    pub fn same(&self, one: TerminalId, other: TerminalId) -> bool {
        self.0[one.0] == self.0[other.0]
    }

    pub fn groups(&self) -> Vec<Vec<TerminalId>> {
        let mut groups: BTreeMap<usize, Vec<TerminalId>> = BTreeMap::new();
        for (at, &group) in self.0.iter().enumerate() {
            groups.entry(group).or_default().push(TerminalId(at));
        }
        groups.into_values().collect()
    }
}

/// The copper of its part that a terminal sits on.
fn on_board(airframe: &Airframe, it: &Terminal) -> Option<(usize, Option<u32>, bool, String)> {
    let name = match it.role {
        PadRole::Ground => "ground".to_owned(),
        PadRole::Power => {
            let of = it.of.clone()?;
            let inputs = &airframe.parts[it.part].part.as_ref()?.inputs;
            let input = inputs.iter().find(|input| input.name.value == of);
            let fed_by = input.and_then(|input| input.facet.fed_by.as_ref());
            fed_by.map_or(of, |rail| rail.value.clone())
        }
        PadRole::PowerIn => it.of.clone()?,
        _ => return None,
    };
    Some((it.part, it.copy, it.role == PadRole::PowerIn, name))
}

/// The supply that a terminal is the plus of.
pub fn supply(airframe: &Airframe, it: &Terminal) -> Option<Supply> {
    let of = it.of.as_deref().filter(|_| it.role == PadRole::Power)?;
    if of == "pack" {
        return Some(None);
    }
    let rails = &airframe.parts[it.part].part.as_ref()?.rails;
    let rail = rails.iter().position(|rail| rail.name.value == of)?;
    // What is only a wire or a switch hands the pack on.
    let through = rails[rail]
        .facet
        .kind
        .is_some_and(|kind| kind.value == RegulatorKind::Through);
    let from_pack = matches!(airframe.source_of_rail(it.part, rail), Ok((Tap::Pack, _)));
    Some((!(through && from_pack)).then(|| (it.part, it.copy, of.to_owned())))
}

/// Whether a wire is one of `[wires]`.
pub fn is_written(airframe: &Airframe, wire: &Wire) -> bool {
    let mut written = airframe.harness.wires.iter();
    wire.place.is_some() && written.any(|it| Some(it.table.place) == wire.place)
}
