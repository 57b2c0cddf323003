//! What the iron does: wires taken off, moved and put on.

use crate::plan::{Carries, Plan, Wire};
use crate::terminal::TerminalId;

/// How a wire stands between before and after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// There before and after.
    Kept,
    /// Put on.
    New,
    /// Taken off.
    Removed,
    /// One end stays, the other goes to another pad.
    Moved,
}

/// One move of the iron.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// Which.
    pub stands: Stands,
    /// The wire before, by its position in the plan before.
    pub old: Option<usize>,
    /// The wire after, by its position in the plan after.
    pub new: Option<usize>,
}

/// Every move from one plan to the other: first what comes off, then what moves, then what goes on;
/// kept wires are not moves.
pub fn moves(before: &Plan, after: &Plan) -> Vec<Move> {
    let new_keys: Vec<[String; 2]> = after.wires.iter().map(|wire| key(after, wire)).collect();
    let old_keys: Vec<[String; 2]> = before.wires.iter().map(|wire| key(before, wire)).collect();
    let gone: Vec<usize> = unmatched(&old_keys, &new_keys);
    let come: Vec<usize> = unmatched(&new_keys, &old_keys);
    let mut moved = Vec::new();
    for &new in &come {
        let old = gone.iter().copied().find(|&old| {
            let taken = moved.iter().any(|(taken, _)| *taken == old);
            !taken && same_device_end(before, &before.wires[old], after, &after.wires[new])
        });
        moved.extend(old.map(|old| (old, new)));
    }
    let off = gone
        .iter()
        .filter(|old| !moved.iter().any(|(moved, _)| moved == *old))
        .map(|&old| Move {
            stands: Stands::Removed,
            old: Some(old),
            new: None,
        });
    let over = moved.iter().map(|&(old, new)| Move {
        stands: Stands::Moved,
        old: Some(old),
        new: Some(new),
    });
    let on = come
        .iter()
        .filter(|new| !moved.iter().any(|(_, moved)| moved == *new))
        .map(|&new| Move {
            stands: Stands::New,
            old: None,
            new: Some(new),
        });
    off.chain(over).chain(on).collect()
}

/// How each wire of the plan after stands.
pub fn standing(before: Option<&Plan>, after: &Plan) -> Vec<Stands> {
    let Some(before) = before else {
        return vec![Stands::Kept; after.wires.len()];
    };
    let mut standing = vec![Stands::Kept; after.wires.len()];
    for it in moves(before, after) {
        if let Some(new) = it.new {
            standing[new] = it.stands;
        }
    }
    standing
}

fn unmatched(keys: &[[String; 2]], among: &[[String; 2]]) -> Vec<usize> {
    let mut left: Vec<&[String; 2]> = among.iter().collect();
    let mut unmatched = Vec::new();
    for (at, key) in keys.iter().enumerate() {
        match left.iter().position(|other| *other == key) {
            Some(found) => {
                left.swap_remove(found);
            }
            None => unmatched.push(at),
        }
    }
    unmatched
}

fn key(plan: &Plan, wire: &Wire) -> [String; 2] {
    wire.ends.map(|end| end_key(plan, end))
}

/// The part with its sheet's pad: a part that is replaced by another under the same name has other pads,
/// or the same ones on another thing; the battery is unplugged, not unsoldered.
fn end_key(plan: &Plan, id: TerminalId) -> String {
    let it = plan.terminals.get(id);
    if Some(it.part) == plan.battery {
        return format!("battery {:?}", it.role);
    }
    let sheet = it.place.map(|place| place.file);
    format!("{} {} {sheet:?}", plan.terminals.part_name(id), it.name)
}

fn same_device_end(before: &Plan, old: &Wire, after: &Plan, new: &Wire) -> bool {
    let kind = |carries: &Carries| std::mem::discriminant(carries);
    end_key(before, old.ends[0]) == end_key(after, new.ends[0])
        && kind(&old.carries) == kind(&new.carries)
}
