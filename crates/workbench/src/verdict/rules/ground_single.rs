//! One ground for a device that draws much.
//!
//! **Asks:** does a device that draws an ampere or more have two grounds?
//!
//! **Why:** over a single thin ground the picture's ground moves with the current, and if that one joint fails the current goes back through the signal wires.
//!
//! **Judged:** a plain fact, for devices that lose video or control and whose sheets show pads; never worse than watch. Common practice.
//!
//! **Do:** a second ground wire, or the same size as the plus and a tug test on the joint.
//!
//! **Example:** `watch  ground-single.video: video draws up to 1.6 A over 1 ground wire`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::pads::PadRole;
use wiring::Carries;

/// Its stable name.
pub const ID: &str = "ground-single";

/// Current from which two grounds are usual \[A\]. Common practice.
const TWO_GROUNDS_A: f64 = 1.0;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let plan = &state.plan;
    let found = plan.wires.iter().filter_map(|wire| {
        let Carries::Plus(part, socket) = &wire.carries else {
            return None;
        };
        let shown = plan.terminals.shows_pads[*part] && wire.sized_for_a >= TWO_GROUNDS_A;
        if !shown || state.airframe.parts[*part].part.as_deref()?.rail(socket).is_some() {
            return None;
        }
        let grounds = plan.wires.iter().filter(|other| {
            let end = plan.terminals.get(other.ends[0]);
            other.carries == Carries::Ground && end.part == *part && end.role == PadRole::Ground
        });
        let grounds = grounds.count();
        // None at all is another rule's business.
        let level = match grounds {
            0 => return None,
            1 => Level::Watch,
            _ => Level::Pass,
        };
        let name = &plan.terminals.part_names[*part];
        let claim = Phrase::words(format!("{name} draws up to "))
            .number(wire.sized_for_a, "A")
            .then(" over ")
            .number(grounds as f64, "")
            .then(if grounds == 1 { " ground wire" } else { " ground wires" });
        let draft = Draft::fact(level, claim).about(format!("{name}.{socket}")).at(wire.place);
        Some(draft.at_worst(Level::Watch).way("a second ground wire, to a second pad if there is one"))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_much_current_over_one_ground_is_watched() {
        check(&[("power = \"7 W\"", "power = \"16 W\""), ("[pad.G2]\nrole = \"ground\"\n", "")], "ground-single.video.main", Level::Watch);
    }

    #[test]
    fn checked_two_grounds_pass() {
        check(&[("power = \"7 W\"", "power = \"16 W\"")], "ground-single.video.main", Level::Pass);
    }
}
