//! A camera that does not go between its cheeks, or does not tilt as written.
//!
//! **Asks:** does the camera fit its mount, and does the mount reach the tilt?
//!
//! **Why:** cameras come 14, 19, 20 to 22 and 28 mm wide; one size too wide does not go in, one too narrow hangs loose and shakes the picture.
//!
//! **Judged:** the width of the camera's body against the room between the cheeks: wider is a stop, more than 1 mm narrower a watch; the tilt as written against the range of the seat: outside is a stop. A plain fact.
//!
//! **Do:** a mount of its width, or washers of the same thickness on both sides.
//!
//! **Example:** `stop  camera-mount.camera: camera is 19 mm wide; there is room for 14 mm`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};

/// Its stable name.
pub const ID: &str = "camera-mount";

/// Cheeks give by this much \[m\].
const GIVES_M: f64 = 0.2e-3;
/// Narrower than this a camera hangs loose \[m\].
const LOOSE_M: f64 = 1.0e-3;
/// A tilt read by eye \[rad\].
const BY_EYE: f64 = 0.01;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let mut found = Vec::new();
    for (camera, _) in &state.space.cameras {
        let name = &state.airframe.parts[camera.part].id.value;
        if let Some((wide_m, room_m)) = camera.widths_m {
            let claim = Phrase::words(format!("{name} is ")).number(1e3 * wide_m, "mm").then(" wide; there is room for ").number(1e3 * room_m, "mm");
            let (level, way) = match room_m - wide_m {
                left if left < -GIVES_M => (Level::Stop, Some(Phrase::words("a mount as wide as the camera"))),
                left if left > LOOSE_M => (Level::Watch, Some(Phrase::words("washers of ").number(500.0 * left, "mm").then(" on both sides"))),
                _ => (Level::Pass, None),
            };
            let draft = Draft::fact(level, claim).about(name.clone()).at([camera.place]);
            found.push(match way {
                Some(way) => draft.way(way),
                None => draft,
            });
        }
        if let Some((least, most)) = camera.tilts {
            let inside = (least - BY_EYE..=most + BY_EYE).contains(&camera.tilt);
            let claim = Phrase::words(format!("{name} is tilted up by "))
                .number(camera.tilt.to_degrees(), "°")
                .then("; its mount goes from ")
                .number(least.to_degrees(), "°")
                .then(" to ")
                .number(most.to_degrees(), "°");
            let level = if inside { Level::Pass } else { Level::Stop };
            found.push(Draft::fact(level, claim).about(format!("{name}.tilt")).at([camera.place]));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_camera_wider_than_its_mount_and_tilted_too_far() {
        check(&[("width = \"19 mm\" # cheeks", "width = \"14 mm\"")], "camera-mount.camera", Level::Stop);
        check(&[("width = \"19 mm\" # cheeks", "width = \"22 mm\"")], "camera-mount.camera", Level::Watch);
        check(&[("tilt = \"25 °\"", "tilt = \"55 °\"")], "camera-mount.camera.tilt", Level::Stop);
    }
}
