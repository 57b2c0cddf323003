//! What the draws of one outcome say: its spread, and the chance that a need holds.

use crate::Sampling;

/// The spread of one outcome over the draws.
///
/// A draw without an operating point is NaN. It has no place on the scale, so it is left out of
/// the five figures and counted in `missing`; whoever shows the figures must show the count too.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// One draw in twenty lies below.
    pub p05: f64,
    /// The median.
    pub p50: f64,
    /// One draw in twenty lies above.
    pub p95: f64,
    /// The mean.
    pub mean: f64,
    /// The standard deviation, divisor `n − 1`; NaN for fewer than two draws.
    pub sd: f64,
    /// Draws that are not a finite number.
    pub missing: usize,
}

impl Summary {
    /// Of these draws. All five figures are NaN if none is finite. Quantiles as in [`quantile`].
    pub fn of(draws: &[f64]) -> Self {
        let mut present: Vec<f64> = draws.iter().copied().filter(|x| x.is_finite()).collect();
        let (mean, sd) = mean_and_sd(&present);
        Self {
            p50: quantile(&mut present, 0.50),
            p05: quantile(&mut present, 0.05),
            p95: quantile(&mut present, 0.95),
            mean,
            sd,
            missing: draws.len() - present.len(),
        }
    }
}

/// The value below which a share of the numbers lies: between the two order statistics around rank
/// `1 + (n − 1)·share`, linearly. Definition 7 of Hyndman & Fan, Am. Stat. 50 (1996) 361, the usual
/// one of spreadsheets. Reorders the numbers; NaN for none.
///
/// # Panics
/// If `share` is outside 0 to 1.
pub fn quantile(numbers: &mut [f64], share: f64) -> f64 {
    assert!((0.0..=1.0).contains(&share));
    if numbers.is_empty() {
        return f64::NAN;
    }
    let rank = (numbers.len() - 1) as f64 * share;
    let whole = rank.floor() as usize;
    let (_, low, above) = numbers.select_nth_unstable_by(whole, f64::total_cmp);
    match above.iter().copied().min_by(f64::total_cmp) {
        Some(next) => *low + (rank - whole as f64) * (next - *low),
        None => *low,
    }
}

/// How many draws meet a need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Chance {
    /// Draws in which the need holds.
    pub holds: usize,
    /// All draws, those without an operating point included.
    pub draws: usize,
}

impl Chance {
    /// Of a margin: it holds where the margin is zero or more. A draw without an operating point
    /// (NaN) does not hold.
    pub fn of_margins(margins: &[f64]) -> Self {
        Self::of(margins.iter().map(|margin| *margin >= 0.0))
    }

    /// Of answers draw by draw.
    pub fn of(answers: impl IntoIterator<Item = bool>) -> Self {
        answers
            .into_iter()
            .fold(Self { holds: 0, draws: 0 }, |chance, holds| Self {
                holds: chance.holds + usize::from(holds),
                draws: chance.draws + 1,
            })
    }

    /// The share of draws in which the need holds; NaN without draws.
    pub fn probability(self) -> f64 {
        self.holds as f64 / self.draws as f64
    }

    /// The Monte-Carlo standard error of [`Self::probability`]: c·√(p̃(1 − p̃)/N) with
    /// p̃ = (k + 2)/(N + 4), which stays above zero where all draws agree.
    ///
    /// It says how well the draws were counted, not how well the spreads are known.
    pub fn standard_error(self, sampling: Sampling) -> f64 {
        let (holds, draws) = (self.holds as f64, self.draws as f64);
        let shrunk = (holds + 2.0) / (draws + 4.0);
        sampling.error_factor() * (shrunk * (1.0 - shrunk) / draws).sqrt()
    }

    /// Whether the draws are too few to say on which side of `threshold` the probability lies: it
    /// is nearer than two standard errors.
    pub fn is_on_the_line(self, threshold: f64, sampling: Sampling) -> bool {
        (self.probability() - threshold).abs() < 2.0 * self.standard_error(sampling)
    }
}

impl Sampling {
    /// Error of a counted share against that of independent draws.
    ///
    /// From repeats on an example craft of 28 inputs: 0.39 to 0.63 before readings, by need, over 600
    /// scrambles of 2,048 draws; 0.85 to 1.2 after. Other craft have not been tried.
    pub const fn error_factor(self) -> f64 {
        match self {
            Sampling::Sobol => 0.6,
            Sampling::AfterReadings => 1.2,
        }
    }
}

fn mean_and_sd(numbers: &[f64]) -> (f64, f64) {
    let n = numbers.len() as f64;
    let mean = numbers.iter().sum::<f64>() / n;
    let squares: f64 = numbers.iter().map(|x| (x - mean) * (x - mean)).sum();
    let sd = if numbers.len() < 2 {
        f64::NAN
    } else {
        (squares / (n - 1.0)).sqrt()
    };
    (mean, sd)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_summary_of_the_first_hundred_numbers() {
        // 1 … 101 in any order: rank of 5 % is 1 + 100 × 0.05 = 6, of 95 % 96; mean 51;
        // variance n(n+1)/12 = 101 × 102/12 = 858.5.
        let draws: Vec<f64> = (0..101).map(|i| f64::from(i * 37 % 101 + 1)).collect();
        let summary = Summary::of(&draws);
        assert_eq!((summary.p05, summary.p50, summary.p95), (6.0, 51.0, 96.0));
        assert_eq!(summary.mean, 51.0);
        assert!((summary.sd - 858.5_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn checked_quantile_between_two_numbers() {
        // Rank 1 + 3 × 0.95 = 3.85 of 1, 2, 3, 10: 3 + 0.85 × 7 = 8.95.
        assert!((quantile(&mut [10.0, 1.0, 3.0, 2.0], 0.95) - 8.95).abs() < 1e-12);
        assert_eq!(quantile(&mut [4.0], 0.3), 4.0);
        assert!(quantile(&mut [], 0.5).is_nan());
    }

    #[test]
    fn checked_draws_without_an_operating_point_are_counted_apart() {
        let summary = Summary::of(&[1.0, f64::NAN, 3.0, f64::INFINITY]);
        assert_eq!((summary.mean, summary.missing), (2.0, 2));
        assert!(Summary::of(&[f64::NAN]).p50.is_nan());
        let chance = Chance::of_margins(&[0.0, f64::NAN, -1.0, 2.0]);
        assert_eq!((chance.holds, chance.draws), (2, 4));
    }

    #[test]
    fn checked_error_where_all_draws_agree_is_not_zero() {
        let all = Chance {
            holds: 2_048,
            draws: 2_048,
        };
        assert!(all.standard_error(Sampling::Sobol) > 0.0);
        assert!(!all.is_on_the_line(0.95, Sampling::Sobol));
        // 1,945 of 2,048 is 0.9497, two errors of 0.0029 from 0.95: on the line.
        let near = Chance {
            holds: 1_945,
            draws: 2_048,
        };
        assert!(near.is_on_the_line(0.95, Sampling::Sobol));
    }
}
