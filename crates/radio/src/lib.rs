//! What happens to a wave on its way from one antenna to another: spread, edges, ground, walls, leaves and rain.
//!
//! Every loss is in decibels and above zero where power is lost. Distances and heights are in metres, frequencies in hertz, angles in
//! radians. Numbers go in and numbers come out: no parts list, no doubt, no files. Losses that nothing passes are infinite, never not a
//! number, so that [`sum_paths_db`] can add what comes by other ways.

pub mod cover;
pub mod edges;
pub mod free_space;
pub mod ground;
pub mod wall;

pub use edges::{Edge, Path};
pub use ground::{Ground, Polarisation};
pub use wall::{Layer, Material};

/// Loss \[dB\] of several ways together: their powers added, `−10·lg Σ 10^(−L/10)`, as waves of unlike ways have no fixed phase.
///
/// Infinite where there is no way at all.
pub fn sum_paths_db(losses_db: &[f64]) -> f64 {
    let power: f64 = losses_db.iter().map(|loss| power_share(*loss)).sum();
    if power > 0.0 {
        loss_of_power_share_db(power)
    } else {
        f64::INFINITY
    }
}

/// The share of the power that is left after a loss \[dB\].
#[inline]
fn power_share(loss_db: f64) -> f64 {
    10_f64.powf(-0.1 * loss_db)
}

/// The loss \[dB\] that leaves a share of the power.
#[inline]
fn loss_of_power_share_db(share: f64) -> f64 {
    -10.0 * share.log10()
}

/// Whether two names are the same but for capitals, hyphens and spaces.
fn same_name(one: &str, other: &str) -> bool {
    let letters = |name: &str| -> Vec<char> {
        let kept = name.chars().filter(|letter| letter.is_alphanumeric());
        kept.flat_map(char::to_lowercase).collect()
    };
    letters(one) == letters(other)
}
