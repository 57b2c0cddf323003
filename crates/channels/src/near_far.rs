//! How loud a near neighbour is beside one's own craft far away.
//!
//! Free space and equal antennas. A receiver that cannot tell the two apart by as much as
//! [`rejection_needed_db`] shows the neighbour's picture, or none.

/// Carrier-to-interference ratio at which a robust digital link or the capture of a frequency-modulated
/// receiver holds \[dB\]; common practice.
pub const HOLDS_DB: f64 = 10.0;

/// The same for a clean analogue picture \[dB\]; common practice.
pub const CLEAN_DB: f64 = 20.0;

/// Interference over carrier \[dB\]: `20·log₁₀(d_wanted/d_interferer)` and what the interferer radiates more \[dB\].
///
/// Infinite where the interferer sits on the antenna.
pub fn interference_db(wanted_m: f64, interferer_m: f64, eirp_more_db: f64) -> f64 {
    20.0 * (wanted_m / interferer_m).log10() + eirp_more_db
}

/// Rejection that the receiver needs between the two channels \[dB\]; below zero where it needs none.
pub fn rejection_needed_db(interference_db: f64, carrier_over_interference_db: f64) -> f64 {
    interference_db + carrier_over_interference_db
}

/// How near the interferer may come \[m\] to a receiver of this rejection \[dB\] while one's own craft is out
/// there.
pub fn nearest_allowed_m(
    wanted_m: f64,
    eirp_more_db: f64,
    rejection_db: f64,
    carrier_over_interference_db: f64,
) -> f64 {
    let short_db = eirp_more_db + carrier_over_interference_db - rejection_db;
    wanted_m * 10_f64.powf(short_db / 20.0)
}
