//! What is lost because two antennas do not turn the field the same way.
//!
//! A polarisation is an ellipse: an axial ratio in decibels (zero is a circle, infinite a line), a hand, and the tilt of its
//! long axis. The power that gets across is η = ½ + \[4R₁R₂ + (R₁² − 1)(R₂² − 1)·cos 2δ\]/\[2(R₁² + 1)(R₂² + 1)\] with
//! R = ±10^(AR/20), the sign being the hand, and δ the difference of tilts; IEEE Std 145 and any antenna text. Written with
//! the angle ε = atan(1/|R|) it is a mix of two ends, η = cos²δ·η_best + sin²δ·η_worst, and holds for a line as well.

use crate::decibels;

/// The sense in which a field turns, seen along the way it travels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hand {
    /// Right.
    Right,
    /// Left.
    Left,
}

impl Hand {
    /// The other one: what a bounce from metal or from steep ground makes of it.
    pub fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }

    /// Whether two are the same.
    pub fn with(self, other: Self) -> Hands {
        if self == other {
            Hands::Same
        } else {
            Hands::Opposite
        }
    }
}

/// The hands of two antennas.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hands {
    /// Both the same.
    Same,
    /// One right, one left.
    Opposite,
}

/// What may be lost over all tilts of the two ellipses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loss {
    /// At the kindest tilt \[dB\].
    pub best_db: f64,
    /// Of the power averaged over all tilts \[dB\].
    pub mean_db: f64,
    /// At the worst tilt \[dB\]; infinite where nothing gets across.
    pub worst_db: f64,
}

/// Loss \[dB\] between two ellipses whose long axes are `tilt_rad` apart. Infinite where nothing gets across.
///
/// Axial ratios \[dB\] are taken without their sign; infinite is a line, whose hand means nothing.
pub fn loss_db(
    one_axial_ratio_db: f64,
    other_axial_ratio_db: f64,
    hands: Hands,
    tilt_rad: f64,
) -> f64 {
    let (best, worst) = ends(one_axial_ratio_db, other_axial_ratio_db, hands);
    let (sine, cosine) = tilt_rad.sin_cos();
    lost(cosine * cosine * best + sine * sine * worst)
}

/// Loss at the kindest and the worst tilt, and of the power averaged over all tilts.
pub fn over_all_tilts(one_axial_ratio_db: f64, other_axial_ratio_db: f64, hands: Hands) -> Loss {
    let (best, worst) = ends(one_axial_ratio_db, other_axial_ratio_db, hands);
    Loss {
        best_db: lost(best),
        mean_db: lost(0.5 * (best + worst)),
        worst_db: lost(worst),
    }
}

/// Share of the power that gets across with the long axes along and across each other.
fn ends(one_db: f64, other_db: f64, hands: Hands) -> (f64, f64) {
    let (one, other) = (narrowness(one_db), narrowness(other_db));
    let (best, worst) = match hands {
        Hands::Same => ((one - other).cos(), (one + other).sin()),
        Hands::Opposite => ((one + other).cos(), (one - other).sin()),
    };
    (best * best, worst * worst)
}

/// The angle ε of an ellipse: 45° for a circle, 0 for a line.
fn narrowness(axial_ratio_db: f64) -> f64 {
    10_f64.powf(-axial_ratio_db.abs() / 20.0).atan()
}

/// Never a negative zero, and infinite where only rounding gets across.
fn lost(share: f64) -> f64 {
    if share < NOTHING {
        return f64::INFINITY;
    }
    (-decibels(share.min(1.0))).max(0.0)
}

/// A right angle in floating point is one but for 6·10⁻¹⁷, and its cosine squared some 10⁻³³.
const NOTHING: f64 = 1e-30;

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: f64 = f64::INFINITY;

    #[test]
    fn checked_lines_and_circles() {
        let half = 10.0 * 2_f64.log10();
        assert!((loss_db(LINE, 0.0, Hands::Same, 0.7) - half).abs() < 1e-12);
        assert!(
            (loss_db(LINE, LINE, Hands::Opposite, 60_f64.to_radians()) - 2.0 * half).abs() < 1e-12
        );
        assert!(loss_db(0.0, 0.0, Hands::Same, 1.0).abs() < 1e-12);
        assert!(loss_db(LINE, LINE, Hands::Same, std::f64::consts::FRAC_PI_2).is_infinite());
        assert!(
            over_all_tilts(3.0, 3.0, Hands::Opposite)
                .worst_db
                .is_infinite()
        );
    }
}
