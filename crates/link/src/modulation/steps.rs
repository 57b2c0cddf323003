//! Bit errors of carriers that step between points, without a code, in white noise.

use super::falls_to;
use crate::ratio;

/// The points that a carrier steps between.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Constellation {
    /// Two phases.
    Bpsk,
    /// Four phases.
    Qpsk,
    /// A square of sixteen.
    Qam16,
    /// A square of sixty-four.
    Qam64,
    /// A square of two hundred and fifty-six.
    Qam256,
}

impl Constellation {
    /// Bits of one step.
    pub fn bits(self) -> u32 {
        match self {
            Self::Bpsk => 1,
            Self::Qpsk => 2,
            Self::Qam16 => 4,
            Self::Qam64 => 6,
            Self::Qam256 => 8,
        }
    }
}

/// Share of bits that are wrong, with Gray labels, at an energy of one step over the noise in one hertz \[dB\].
///
/// Exact: two phases ½·erfc √g, four ½·erfc √(g/2), squares by Cho & Yoon, IEEE Trans. Commun. 50(7) (2002).
pub fn bit_error(constellation: Constellation, es_n0_db: f64) -> f64 {
    let energy = ratio(es_n0_db);
    match constellation {
        Constellation::Bpsk => 0.5 * libm::erfc(energy.sqrt()),
        square => square_error(square.bits() / 2, energy),
    }
}

/// The energy of one step over the noise in one hertz \[dB\] that leaves this share of wrong bits; inverse of [`bit_error`],
/// between −60 and 60 dB.
pub fn es_n0_for_db(constellation: Constellation, bit_error_share: f64) -> f64 {
    falls_to(bit_error_share, |es_n0_db| {
        bit_error(constellation, es_n0_db)
    })
}

/// A square is two independent ladders of 2^bits rungs.
fn square_error(bits: u32, energy: f64) -> f64 {
    let rungs = f64::from(1_u32 << bits);
    let step = (1.5 * energy / (rungs * rungs - 1.0)).sqrt();
    let of_bit = |bit: u32| {
        let half = f64::from(1_u32 << (bit - 1));
        let last = ((1.0 - 0.5_f64.powi(bit as i32)) * rungs) as u32;
        let edge = |index: u32| {
            let place = f64::from(index) * half / rungs;
            let sign = if place.floor() % 2.0 == 0.0 {
                1.0
            } else {
                -1.0
            };
            let weight = half - (place + 0.5).floor();
            sign * weight * libm::erfc(f64::from(2 * index + 1) * step)
        };
        (0..last).map(edge).sum::<f64>() / rungs
    };
    (1..=bits).map(of_bit).sum::<f64>() / f64::from(bits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_four_phases_are_two_ladders_of_two() {
        for es_n0_db in [-5.0, 3.0, 9.0] {
            let expected = 0.5 * libm::erfc((0.5 * ratio(es_n0_db)).sqrt());
            let found = bit_error(Constellation::Qpsk, es_n0_db);
            assert!((found - expected).abs() < 1e-15);
        }
        // With no signal at all half the bits are right by luck.
        for constellation in [
            Constellation::Qam16,
            Constellation::Qam64,
            Constellation::Qam256,
        ] {
            assert!((bit_error(constellation, -200.0) - 0.5).abs() < 1e-9);
        }
    }
}
