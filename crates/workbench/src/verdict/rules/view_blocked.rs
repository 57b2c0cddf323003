//! A camera that sees too much of its own craft.
//!
//! **Asks:** how much of the picture do propellers, frame and canopy take at the tilt as written?
//!
//! **Why:** what the craft takes from the picture you fly without.
//!
//! **Judged:** a ray for each point of the picture, once for a lens that keeps lines straight and once for one that bends them evenly; real lenses lie between. A watch above 3 % with both. Limit from memory. Propellers count as full discs: they blur rather than hide.
//!
//! **Do:** more tilt, or the camera further forward. `fitout space` shows the share at each tilt.
//!
//! **Example:** `watch  view-blocked.camera: camera sees its own craft in 4.2 to 7.9 % of the picture at 10° of tilt; 3 % is usual at most`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};

/// Its stable name.
pub const ID: &str = "view-blocked";

/// Share of the picture above which it is told.
const MOST: f64 = 0.03;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let drafts = state.space.cameras.iter().filter_map(|(camera, seen)| {
        let name = &state.airframe.parts[camera.part].id.value;
        let shares: Vec<f64> = [seen.straight, seen.even].into_iter().flatten().collect();
        let least = shares.iter().copied().min_by(f64::total_cmp)?;
        let most = shares.iter().copied().max_by(f64::total_cmp)?;
        let level = if least > MOST { Level::Watch } else { Level::Pass };
        let claim = Phrase::words(format!("{name} sees its own craft in "))
            .number(100.0 * least, "%")
            .then(" to ")
            .number(100.0 * most, "%")
            .then(" of the picture at ")
            .number(camera.tilt.to_degrees(), "°")
            .then(" of tilt; ")
            .number(100.0 * MOST, "%")
            .then(" is usual at most");
        let draft = Draft::fact(level, claim).about(name.clone()).at([camera.place]);
        Some(if level == Level::Pass { draft } else { draft.way("more tilt, or the camera further forward") })
    });
    drafts.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_camera_that_looks_at_its_own_propellers() {
        let back = ("x = \"50 mm\"\nz = \"16 mm\"", "x = \"0 mm\"\nz = \"45 mm\"");
        let down = ("tilt = \"25 °\"", "tilt = \"-20 °\"");
        check(&[back, down], "view-blocked.camera", Level::Watch);
    }
}
