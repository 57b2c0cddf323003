//! How often a link that has a margin on average has none: fading, diversity, the rate of fades, shadow.
//!
//! A margin is the mean signal of one branch over what the receiver needs. An outage is the share of time or of places in
//! which the signal is below that need. The mean of every branch is the same here; branches with antennas of their own and
//! so with margins of their own go to [`selection_outage`].

pub mod rate;
mod table;
mod tails;

pub use table::OutageTable;

use crate::ratio;
use statrs::distribution::{ContinuousCDF, Normal};

/// How a signal varies around its mean over a few wavelengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fade {
    /// Echoes from all around and no direct wave.
    Rayleigh,
    /// A direct wave and echoes.
    Rician {
        /// Power of the direct wave over that of all echoes \[dB\]; more than 40 dB is taken as 40 dB.
        k_db: f64,
    },
}

/// What a receiver does with its branches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Combining {
    /// It takes the strongest at any moment.
    Selection,
    /// It adds them in phase, each by its strength.
    MaximalRatio,
}

/// Branches of a receiver, equal on average.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diversity {
    /// How many, from 1 to [`MOST_BRANCHES`].
    pub branches: u32,
    /// What is done with them.
    pub combining: Combining,
    /// Magnitude of the complex correlation of two branches, from 0 to 1; of their powers it is the square.
    pub correlation: f64,
}

impl Diversity {
    /// One branch.
    pub const ONE: Self = Self {
        branches: 1,
        combining: Combining::Selection,
        correlation: 0.0,
    };
}

/// More branches than this are refused.
pub const MOST_BRANCHES: u32 = 64;

/// Why there is no outage for a case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoModel {
    /// Neither none nor more than [`MOST_BRANCHES`].
    #[error("branches are counted from 1 to {MOST_BRANCHES}")]
    Branches,
    /// Below 0, above 1 or no number.
    #[error("a correlation lies from 0 to 1")]
    Correlation,
    /// The correlated forms are those of two branches without a direct wave.
    #[error(
        "correlated branches have a model for two of them in Rayleigh fading only; one branch is the pessimistic end, none \
         correlated the hopeful one"
    )]
    Correlated,
}

/// Most K that is told apart \[dB\].
const MOST_K_DB: f64 = 40.0;

/// Share of time in which the combined signal is below the need.
///
/// With x = 10^(−margin/10): Rayleigh, selection (1 − e^−x)^M, maximal ratio P(M, x); Rician, selection
/// \[1 − Q₁(√(2K), √(2(1 + K)x))\]^M, maximal ratio the noncentral χ² distribution at 2(1 + K)x with 2M degrees of freedom and
/// noncentrality 2KM; Simon & Alouini, Digital Communication over Fading Channels; Goldsmith, Wireless Communications, ch. 7.
/// Two correlated Rayleigh branches: Schwartz, Bennett & Stein (1966), in series of terms that are all positive, so that deep
/// fades keep their digits.
///
/// # Errors
/// Where no model stands behind the case.
pub fn outage(margin_db: f64, fade: Fade, diversity: Diversity) -> Result<f64, NoModel> {
    let case = Case::of(fade, diversity)?;
    Ok(case.outage(margin_db))
}

/// The margin \[dB\] of one branch that leaves this outage; inverse of [`outage`]. An outage outside (0, 1) has none and gives
/// an infinite one.
///
/// # Errors
/// As [`outage`].
pub fn margin_for_db(outage: f64, fade: Fade, diversity: Diversity) -> Result<f64, NoModel> {
    let case = Case::of(fade, diversity)?;
    if outage >= 1.0 {
        return Ok(f64::NEG_INFINITY);
    }
    if outage <= 0.0 || outage.is_nan() {
        return Ok(f64::INFINITY);
    }
    let (mut low, mut high) = (-60.0, 60.0);
    while case.outage(high) > outage {
        high *= 2.0;
    }
    while high - low > 1e-11 * f64::abs(high).max(1.0) {
        let middle = 0.5 * (low + high);
        if case.outage(middle) > outage {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(0.5 * (low + high))
}

/// Outage of a receiver that takes the best of branches which fade independently, each with its own margin \[dB\]: antennas
/// of different pattern or hand. No branch at all is always out.
pub fn selection_outage(margins_db: &[f64], fade: Fade) -> f64 {
    let case = Case {
        k: k_of(fade),
        branches: 1.0,
        way: Way::Selection,
    };
    margins_db
        .iter()
        .map(|margin| case.outage(*margin))
        .product()
}

/// Magnitude of the correlation of two antennas of one kind so far apart where echoes come from all around evenly:
/// |J₀(2πd/λ)|; Clarke (1968).
pub fn spacing_correlation(spacing_m: f64, frequency_hz: f64) -> f64 {
    let turns = spacing_m / crate::field::wavelength_m(frequency_hz);
    libm::j0(std::f64::consts::TAU * turns).abs()
}

/// What to add to a margin \[dB\] so that it is kept in this share of places where shadow of things too many to draw spreads
/// the mean by `sigma_db`: z·σ, 1.28 σ for 90 %. Infinite for a share of 0 or 1.
pub fn shadow_margin_db(sigma_db: f64, share_of_places: f64) -> f64 {
    sigma_db * Normal::standard().inverse_cdf(share_of_places.clamp(0.0, 1.0))
}

/// A case that has a model.
#[derive(Debug, Clone, Copy)]
struct Case {
    /// Power of the direct wave over that of the echoes.
    k: f64,
    branches: f64,
    way: Way,
}

#[derive(Debug, Clone, Copy)]
enum Way {
    Selection,
    MaximalRatio,
    SelectionOfPair { correlation: f64 },
    MaximalRatioOfPair { correlation: f64 },
}

impl Case {
    fn of(fade: Fade, diversity: Diversity) -> Result<Self, NoModel> {
        let Diversity {
            branches,
            combining,
            correlation,
        } = diversity;
        if !(1..=MOST_BRANCHES).contains(&branches) {
            return Err(NoModel::Branches);
        }
        if !(0.0..=1.0).contains(&correlation) {
            return Err(NoModel::Correlation);
        }
        let k = k_of(fade);
        let way = match combining {
            Combining::Selection => Way::Selection,
            Combining::MaximalRatio => Way::MaximalRatio,
        };
        let way = match (combining, correlation > 0.0 && branches > 1) {
            (_, false) => way,
            (_, true) if k > 0.0 || branches != 2 => return Err(NoModel::Correlated),
            (Combining::Selection, true) => Way::SelectionOfPair { correlation },
            (Combining::MaximalRatio, true) => Way::MaximalRatioOfPair { correlation },
        };
        Ok(Self {
            k,
            branches: f64::from(branches),
            way,
        })
    }

    fn outage(&self, margin_db: f64) -> f64 {
        let x = ratio(-margin_db);
        let (k, branches) = (self.k, self.branches);
        let threshold = (1.0 + k) * x;
        match self.way {
            Way::Selection => tails::below(threshold, 1.0, k).powf(branches),
            Way::MaximalRatio => tails::below(threshold, branches, k * branches),
            Way::SelectionOfPair { correlation } => tails::both_below(x, correlation),
            Way::MaximalRatioOfPair { correlation } => tails::sum_below(x, correlation),
        }
    }
}

fn k_of(fade: Fade) -> f64 {
    match fade {
        Fade::Rayleigh => 0.0,
        Fade::Rician { k_db } => ratio(k_db.min(MOST_K_DB)),
    }
}

#[cfg(test)]
mod tests;
