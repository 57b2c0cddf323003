//! Symbol errors of chirps that a receiver tells apart without their phase.

use super::falls_to;
use crate::fading::rate::scaled_bessel_i0;
use crate::ratio;

/// Share of symbols that are wrong, for 2^`spreading_factor` chirps in white noise at a signal over noise in the whole band.
///
/// ∫ Rice(y; √(2Mρ), 1)·\[1 − (1 − e^(−y²/2))^(M−1)\] dy with M chirps; Afisiadis and others, IEEE Trans. Wireless Commun. 19(2)
/// (2020), eq. (16). No code, perfect timing. Spreading factors above 20 are taken as 20.
pub fn chirp_symbol_error(spreading_factor: u32, snr_db: f64) -> f64 {
    let others = f64::from((1_u32 << spreading_factor.min(20)) - 1);
    let mean = (2.0 * (others + 1.0) * ratio(snr_db)).sqrt();
    let start = (mean - REACH).max(0.0);
    let width = (mean + REACH - start) / f64::from(POINTS);
    let at = |index: u32| {
        let y = start + width * f64::from(index);
        let density = y * (-0.5 * (y - mean).powi(2)).exp() * scaled_bessel_i0(y * mean);
        density * beaten(y, others)
    };
    let ends = 0.5 * (at(0) + at(POINTS));
    width * (ends + (1..POINTS).map(at).sum::<f64>())
}

/// Signal over noise in the whole band \[dB\] that leaves this share of wrong symbols; inverse of [`chirp_symbol_error`],
/// between −60 and 60 dB.
pub fn chirp_snr_for_db(spreading_factor: u32, symbol_error: f64) -> f64 {
    falls_to(symbol_error, |snr_db| {
        chirp_symbol_error(spreading_factor, snr_db)
    })
}

/// Chance that at least one of the others is above `y`: 1 − (1 − e^(−y²/2))^others.
fn beaten(y: f64, others: f64) -> f64 {
    let one_below = -(-0.5 * y * y).exp();
    -(others * one_below.ln_1p()).exp_m1()
}

/// Beyond this many standard deviations nothing is left.
const REACH: f64 = 12.0;
/// Points of the trapezoid sum.
const POINTS: u32 = 400;
