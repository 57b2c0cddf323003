//! Motor screws that reach the winding, or hardly hold.
//!
//! **Asks:** do the motor screws go deep enough and not too deep?
//!
//! **Why:** a screw one millimetre too long touches the winding: the motor burns, and the driver with it.
//!
//! **Judged:** length under the head less the frame's `arm_thickness`, against the `depth` of the motor's holes: deeper is a stop, less than 0.5 mm to spare a watch, and a watch where it bites less than 0.75 of its diameter. From memory of the trade. A plain fact; open where the motor's depth is not written.
//!
//! **Do:** another length, or a washer; turn the bell by hand with the screws in and feel for a touch.
//!
//! **Example:** `stop  screw-too-long.motors: 6 mm screws go 3 mm into motors; 2 mm is the most`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use space::holes::ScrewLength;

/// Its stable name.
pub const ID: &str = "screw-too-long";

/// Left between screw and winding \[m\].
const SPARE_M: f64 = 0.5e-3;
/// Least bite over the screw's diameter.
const LEAST_BITE: f64 = 0.75;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    state.space.screws.iter().map(|it| draft(state, it)).collect()
}

fn draft(state: &State, it: &ScrewLength) -> Draft {
    let name = &state.airframe.parts[it.part].id.value;
    let bite_m = it.bite_m();
    let claim = Phrase::default().number(1e3 * it.length_m, "mm").then(" screws go ").number(1e3 * bite_m, "mm").then(format!(" into {name}"));
    let least_m = LEAST_BITE * it.thread_m;
    let draft = if bite_m < least_m {
        let level = if bite_m <= 0.0 { Level::Stop } else { Level::Watch };
        Draft::fact(level, claim.then("; they hold with ").number(1e3 * least_m, "mm").then(" or more")).way("longer screws")
    } else if let Some(depth_m) = it.depth_m {
        let level = match depth_m - bite_m {
            spare if spare < 0.0 => Level::Stop,
            spare if spare < SPARE_M => Level::Watch,
            _ => Level::Pass,
        };
        let draft = Draft::fact(level, claim.then("; ").number(1e3 * depth_m, "mm").then(" is the most"));
        if level == Level::Pass { draft } else { draft.way("shorter screws, or a washer under the head") }
    } else {
        Draft::missing(claim.then("; nobody says how deep they may go")).way("look through the motor's base with a light, measure to the winding and write `depth` under its `[holes]`")
    };
    draft.about(name.clone()).at([it.place])
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_long_screw_reaches_the_winding() {
        check(&[("screw_length = \"5 mm\"", "screw_length = \"7 mm\"")], "screw-too-long.motors", Level::Stop);
        check(&[("screw_length = \"5 mm\"", "screw_length = \"3.5 mm\"")], "screw-too-long.motors", Level::Watch);
    }
}
