//! What a radio link has to spare: antennas and how they are turned, polarisation, fading, noise, the budget, exposure.
//!
//! Pure kernels on plain numbers whose unit is in the name. They know no parts list, no doubt and no files, and they do not
//! know where walls, trees or the ground are: what lies in the way comes in as decibels that somebody else worked out.
//!
//! ```
//! use link::fading::{Combining, Diversity, Fade, outage};
//! use link::{budget, noise};
//!
//! // 25 mW at 5800 MHz over 300 m to a patch, 18 MHz of noise, two branches of which the better one is taken.
//! let budget = budget::Budget {
//!     eirp_dbm: 13.979,
//!     path_loss_db: link::field::free_space_loss_db(300.0, 5.8e9),
//!     receiver_gain_dbi: 8.0,
//!     polarisation_loss_db: 0.5,
//!     receiver_loss_db: 0.5,
//!     receiver: budget::Receiver::Noise { noise_dbm: noise::floor_dbm(18e6, 6.0), snr_needed_db: 10.0 },
//!     ..budget::Budget::default()
//! };
//! let margin_db = budget.sum().margin_db;
//! let two = Diversity { branches: 2, combining: Combining::Selection, correlation: 0.0 };
//! let lost = outage(margin_db, Fade::Rician { k_db: 6.0 }, two)?;
//! assert!((margin_db - 9.14).abs() < 0.01 && (lost - 4.84e-4).abs() < 1e-6);
//! # Ok::<(), link::fading::NoModel>(())
//! ```

pub mod antenna;
pub mod budget;
pub mod fading;
pub mod field;
pub mod modulation;
pub mod noise;
pub mod polarisation;

/// A ratio of powers from decibels.
fn ratio(db: f64) -> f64 {
    10_f64.powf(db / 10.0)
}

/// Decibels of a ratio of powers.
fn decibels(ratio: f64) -> f64 {
    10.0 * ratio.log10()
}
