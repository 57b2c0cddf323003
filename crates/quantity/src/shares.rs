//! Shares of doubt: which inputs carry the variance of an outcome, from draws already made.
//!
//! The first-order share of an input is the part of the outcome's variance that would go if that
//! input alone became known (Sobol', Math. Comput. Simul. 55 (2001) 271). It is found by fitting the
//! outcome with a sum of quadratics or cubics, one for each input, all inputs jointly.
//!
//! Two estimators that look simpler are wrong on Sobol' points and are not here: neighbours in rank
//! order, and bins corrected for chance. Sorting such points by one input leaves the others ordered.

use std::sync::OnceLock;

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use crate::{Ensemble, Sampling};

/// How the shares were found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// A sum of cubics of the normal scores, fitted jointly.
    AdditiveCubic,
    /// A sum of quadratics of the normal scores, fitted jointly; with many inputs.
    AdditiveQuadratic,
    /// Variance of the means of sixteen bins, input by input. Follows any shape, blurs small shares.
    Bins16,
    /// The outcome does not vary, so there is nothing to share.
    Constant,
}

/// Shares of doubt of one outcome.
#[derive(Debug, Clone, PartialEq)]
pub struct ShareReport {
    /// Share of variance of each input, in the order given to [`Shares::prepare`]. Small ones are
    /// kept; below 0.01 they are noise and should not be shown.
    pub first_order: Vec<f64>,
    /// What no single input carries: interactions, and shapes that the method cannot follow.
    pub rest: f64,
    /// How they were found.
    pub method: Method,
    /// Draws without an operating point, left out of the fit.
    pub missing: usize,
}

/// The part of the work that is the same for every outcome.
#[derive(Debug)]
pub struct Shares {
    draws: usize,
    inputs: usize,
    sampling: Sampling,
    fit: Option<Fit>,
    /// Scores of the inputs asked for, one after the other.
    scores: Vec<f64>,
    /// Bin of every score, made when first needed.
    bins: OnceLock<Vec<u8>>,
}

/// Above this rest a sum of cubics does not tell the outcome's story and bins are asked.
pub const REST_FOR_BINS: f64 = 0.15;

/// Bins of the fallback.
const BINS: usize = 16;
/// Draws wanted for each column of a cubic fit; with fewer the quadratic has less noise.
const DRAWS_PER_CUBIC_COLUMN: usize = 16;
/// Draws wanted for each column of any fit.
const DRAWS_PER_COLUMN: usize = 4;
/// A spread below this share of the largest value is rounding, not doubt.
const CONSTANT: f64 = 1e-12;

impl Shares {
    /// For these inputs of an ensemble: one factorisation, then many outcomes.
    ///
    /// After readings the inputs depend on one another, and shares of single inputs no longer add
    /// up to one: two that readings tie together look small, though together they rule.
    ///
    /// # Panics
    /// If an input is not in the ensemble.
    pub fn prepare(ensemble: &Ensemble, inputs: &[usize]) -> Self {
        let draws = ensemble.draws();
        let scores: Vec<f64> = inputs
            .iter()
            .flat_map(|input| ensemble.scores(*input))
            .copied()
            .collect();
        let fit = degree_for(draws, inputs.len())
            .and_then(|degree| Fit::new(&scores, draws, inputs.len(), degree));
        Self {
            draws,
            inputs: inputs.len(),
            sampling: ensemble.sampling(),
            fit,
            scores,
            bins: OnceLock::new(),
        }
    }

    /// Shares of an outcome given draw by draw, by the method that fits it: the additive fit, or
    /// bins where that leaves more than [`REST_FOR_BINS`] unexplained.
    ///
    /// Draws that are not finite are left out, so the shares are those of the doubt that remains
    /// when there is an operating point.
    ///
    /// # Panics
    /// If the outcome has another number of draws than the ensemble.
    pub fn of(&self, outcome: &[f64]) -> ShareReport {
        match self.additive(outcome) {
            Some(report) if report.rest <= REST_FOR_BINS => report,
            _ => self.in_bins(outcome),
        }
    }

    /// Shares by the additive fit, however badly it fits; `None` if there are too few draws for the
    /// number of inputs, or inputs that move together exactly.
    ///
    /// With normal scores r, He₁ = r, He₂ = (r² − 1)/√2, He₃ = (r³ − 3r)/√6 and coefficients c of
    /// the least-squares fit, S = Σ (c² − σ̂²·(G⁻¹)_diag)/V, negative ones set to zero. The
    /// subtracted term is what noise alone would put into c². V is the sum of all those terms and
    /// σ̂², the variance that the fit itself tells; the variance of the draws is a few percent off
    /// where a cubic has long tails, and shares of a perfect fit would not add up to one.
    ///
    /// # Panics
    /// If the outcome has another number of draws than the ensemble.
    pub fn additive(&self, outcome: &[f64]) -> Option<ShareReport> {
        let outcome = Outcome::of(outcome, self.draws);
        if outcome.is_constant() {
            return Some(self.nothing_to_share(&outcome));
        }
        let fit = self.fit.as_ref()?;
        let reduced;
        let solved = if outcome.missing.is_empty() {
            &fit.solved
        } else {
            reduced = fit.without(&outcome.missing)?;
            &reduced
        };
        let first_order = fit.shares(solved, &outcome);
        Some(self.report(first_order, fit.method(), &outcome))
    }

    /// Shares by sixteen bins of equal count for each input: variance of the bins' means.
    ///
    /// Raw on Sobol' points, where a correction for chance would be wrong; corrected (adjusted R²)
    /// after readings, where every bin's mean carries the chance of its draws.
    ///
    /// # Panics
    /// If the outcome has another number of draws than the ensemble.
    pub fn in_bins(&self, outcome: &[f64]) -> ShareReport {
        let outcome = Outcome::of(outcome, self.draws);
        if outcome.is_constant() {
            return self.nothing_to_share(&outcome);
        }
        let bins = self
            .bins
            .get_or_init(|| bins_of(&self.scores, self.draws, self.inputs));
        let first_order = (0..self.inputs)
            .map(|input| {
                let bins = &bins[input * self.draws..][..self.draws];
                outcome.share_between_bins(bins, self.sampling)
            })
            .collect();
        self.report(first_order, Method::Bins16, &outcome)
    }

    fn report(&self, first_order: Vec<f64>, method: Method, outcome: &Outcome) -> ShareReport {
        ShareReport {
            rest: (1.0 - first_order.iter().sum::<f64>()).max(0.0),
            first_order,
            method,
            missing: outcome.missing.len(),
        }
    }

    fn nothing_to_share(&self, outcome: &Outcome) -> ShareReport {
        ShareReport {
            first_order: vec![0.0; self.inputs],
            rest: 0.0,
            method: Method::Constant,
            missing: outcome.missing.len(),
        }
    }
}

/// The highest degree that the draws can bear.
fn degree_for(draws: usize, inputs: usize) -> Option<usize> {
    if draws >= (1 + 3 * inputs) * DRAWS_PER_CUBIC_COLUMN {
        Some(3)
    } else if draws >= (1 + 2 * inputs) * DRAWS_PER_COLUMN {
        Some(2)
    } else {
        None
    }
}

/// An outcome with its mean taken off and zero in the draws that are missing.
struct Outcome {
    centred: Vec<f64>,
    missing: Vec<usize>,
    /// Mean square of those present.
    variance: f64,
    /// Largest magnitude before the mean was taken off.
    largest: f64,
}

impl Outcome {
    fn of(outcome: &[f64], draws: usize) -> Self {
        assert_eq!(outcome.len(), draws, "one value for each draw");
        let missing: Vec<usize> = (0..draws).filter(|i| !outcome[*i].is_finite()).collect();
        let present = (draws - missing.len()) as f64;
        let finite = || outcome.iter().filter(|y| y.is_finite());
        let mean = finite().sum::<f64>() / present;
        let centred: Vec<f64> = outcome
            .iter()
            .map(|y| if y.is_finite() { y - mean } else { 0.0 })
            .collect();
        Self {
            variance: centred.iter().map(|y| y * y).sum::<f64>() / present,
            largest: finite().fold(0.0, |most, y| y.abs().max(most)),
            centred,
            missing,
        }
    }

    /// Also true where no draw is left, or the spread overflows.
    fn is_constant(&self) -> bool {
        !self.variance.is_finite() || self.variance.sqrt() <= CONSTANT * self.largest
    }

    fn present(&self) -> usize {
        self.centred.len() - self.missing.len()
    }

    fn share_between_bins(&self, bins: &[u8], sampling: Sampling) -> f64 {
        let mut sums = [0.0; BINS];
        let mut counts = [0_usize; BINS];
        for (bin, y) in bins.iter().zip(&self.centred) {
            sums[usize::from(*bin)] += y;
            counts[usize::from(*bin)] += 1;
        }
        for draw in &self.missing {
            counts[usize::from(bins[*draw])] -= 1;
        }
        let between: f64 = (0..BINS)
            .filter(|bin| counts[*bin] > 0)
            .map(|bin| sums[bin] * sums[bin] / counts[bin] as f64)
            .sum();
        let raw = between / (self.present() as f64 * self.variance);
        match sampling {
            Sampling::Sobol => raw,
            Sampling::AfterReadings => adjusted(raw, self.present(), BINS),
        }
    }
}

/// Coefficient of determination less what `parameters` would explain by chance.
fn adjusted(raw: f64, draws: usize, parameters: usize) -> f64 {
    if draws <= parameters {
        return 0.0;
    }
    let (draws, parameters) = (draws as f64, parameters as f64);
    (1.0 - (1.0 - raw) * (draws - 1.0) / (draws - parameters)).max(0.0)
}

/// Bin of each score by its rank within its input.
fn bins_of(scores: &[f64], draws: usize, inputs: usize) -> Vec<u8> {
    let mut bins = vec![0; draws * inputs];
    let mut order: Vec<usize> = (0..draws).collect();
    for input in 0..inputs {
        let column = &scores[input * draws..][..draws];
        order.sort_unstable_by(|a, b| column[*a].total_cmp(&column[*b]).then(a.cmp(b)));
        for (rank, draw) in order.iter().enumerate() {
            bins[input * draws + draw] = (rank * BINS / draws) as u8;
        }
    }
    bins
}

/// The least-squares fit by normal equations. The columns are nearly orthonormal, so squaring their
/// condition costs nothing.
#[derive(Debug)]
struct Fit {
    degree: usize,
    /// One row for each draw; a column of ones, then the columns of each input.
    design: DMatrix<f64>,
    gram: DMatrix<f64>,
    solved: Solved,
}

#[derive(Debug)]
struct Solved {
    factor: Cholesky<f64, Dyn>,
    inverse_diagonal: Vec<f64>,
}

impl Fit {
    fn new(scores: &[f64], draws: usize, inputs: usize, degree: usize) -> Option<Self> {
        let design = design(scores, draws, inputs, degree);
        let gram = gram(&design);
        let solved = Solved::of(gram.clone())?;
        Some(Self {
            degree,
            design,
            gram,
            solved,
        })
    }

    fn method(&self) -> Method {
        match self.degree {
            2 => Method::AdditiveQuadratic,
            _ => Method::AdditiveCubic,
        }
    }

    /// The same fit with some draws left out.
    fn without(&self, missing: &[usize]) -> Option<Solved> {
        let left = self.design.nrows() - missing.len();
        if left < DRAWS_PER_COLUMN * self.design.ncols() {
            return None;
        }
        let rows = self.design.select_rows(missing);
        Solved::of(&self.gram - gram(&rows))
    }

    fn shares(&self, solved: &Solved, outcome: &Outcome) -> Vec<f64> {
        let right = right_side(&self.design, &outcome.centred);
        let coefficients = solved.factor.solve(&right);
        let present = outcome.present() as f64;
        let total = present * outcome.variance;
        let residual = (total - coefficients.dot(&right)).max(0.0);
        let noise = residual / (present - self.design.ncols() as f64);
        let term = |column: usize| {
            coefficients[column] * coefficients[column] - noise * solved.inverse_diagonal[column]
        };
        let carried: Vec<f64> = (1..self.design.ncols())
            .step_by(self.degree)
            .map(|first| (first..first + self.degree).map(term).sum())
            .collect();
        let variance = carried.iter().sum::<f64>() + noise;
        carried
            .iter()
            .map(|part| (part / variance).max(0.0))
            .collect()
    }
}

impl Solved {
    fn of(gram: DMatrix<f64>) -> Option<Self> {
        let factor = Cholesky::new(gram)?;
        let inverse_diagonal: Vec<f64> = inverse_diagonal(factor.l_dirty());
        inverse_diagonal
            .iter()
            .all(|x| x.is_finite())
            .then_some(Self {
                factor,
                inverse_diagonal,
            })
    }
}

fn design(scores: &[f64], draws: usize, inputs: usize, degree: usize) -> DMatrix<f64> {
    let mut columns = Vec::with_capacity(draws * (1 + degree * inputs));
    columns.resize(draws, 1.0);
    for input in 0..inputs {
        let column = &scores[input * draws..][..draws];
        columns.extend_from_slice(column);
        let half = std::f64::consts::FRAC_1_SQRT_2;
        columns.extend(column.iter().map(|r| (r * r - 1.0) * half));
        if degree == 3 {
            let sixth = 1.0 / 6.0_f64.sqrt();
            columns.extend(column.iter().map(|r| (r * r - 3.0) * r * sixth));
        }
    }
    DMatrix::from_vec(draws, 1 + degree * inputs, columns)
}

/// XᵀX, the upper triangle in blocks of columns and then mirrored.
fn gram(design: &DMatrix<f64>) -> DMatrix<f64> {
    const BLOCK: usize = 48;
    let transposed = design.transpose();
    let columns = design.ncols();
    let mut gram = DMatrix::zeros(columns, columns);
    for start in (0..columns).step_by(BLOCK) {
        let end = (start + BLOCK).min(columns);
        gram.view_mut((0, start), (end, end - start)).gemm(
            1.0,
            &transposed.rows(0, end),
            &design.columns(start, end - start),
            0.0,
        );
    }
    gram.fill_lower_triangle_with_upper_triangle();
    gram
}

/// Xᵀy, column by column.
fn right_side(design: &DMatrix<f64>, outcome: &[f64]) -> DVector<f64> {
    let outcome = DVector::from_column_slice(outcome);
    design.tr_mul(&outcome)
}

/// Diagonal of (L·Lᵀ)⁻¹: the squares of the columns of L⁻¹, each found by forward substitution.
fn inverse_diagonal(lower: &DMatrix<f64>) -> Vec<f64> {
    let size = lower.nrows();
    let mut column = vec![0.0; size];
    (0..size)
        .map(|first| {
            column.fill(0.0);
            column[first] = 1.0;
            let mut squares = 0.0;
            for row in first..size {
                let value = column[row] / lower[(row, row)];
                squares += value * value;
                let below = &lower.as_slice()[row * size + row + 1..(row + 1) * size];
                for (entry, l) in column[row + 1..].iter_mut().zip(below) {
                    *entry -= value * l;
                }
            }
            squares
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outcome(ensemble: &Ensemble, of: impl Fn(&dyn Fn(usize) -> f64) -> f64) -> Vec<f64> {
        (0..ensemble.draws())
            .map(|draw| of(&|input| ensemble.scores(input)[draw]))
            .collect()
    }

    /// A polynomial of degree three in each input is in the span of the fit, so only the unevenness
    /// of the draws is left: a few times 1e-3 at 2,048 draws.
    const EVENNESS: f64 = 0.004;

    #[test]
    fn checked_shares_of_a_cubic() {
        // Var(2 z0 + He2·√2 of z3 + z5³): 4, 2, and E z⁶ = 15. Total 21.
        let ensemble = Ensemble::sobol(5, 2_048, 20);
        let y = outcome(&ensemble, |z| 2.0 * z(0) + z(3) * z(3) + z(5).powi(3));
        let report = Shares::prepare(&ensemble, &[0, 3, 5, 9]).of(&y);
        assert_eq!(report.method, Method::AdditiveCubic);
        for (found, share) in report.first_order.iter().zip([4.0, 2.0, 15.0, 0.0]) {
            assert!((found - share / 21.0).abs() < 4.0 * EVENNESS, "{report:?}");
        }
        assert!(report.rest < EVENNESS);
    }

    #[test]
    fn checked_many_inputs_are_fitted_by_quadratics() {
        // 80 inputs make 161 columns of quadratics. Weights 1 … 80: share k²/Σk², Σ = 173,880.
        let ensemble = Ensemble::sobol(5, 2_048, 80);
        let inputs: Vec<usize> = (0..80).collect();
        let y = outcome(&ensemble, |z| {
            (0..80).map(|k| (k + 1) as f64 * z(k)).sum::<f64>()
        });
        let report = Shares::prepare(&ensemble, &inputs).of(&y);
        assert_eq!(report.method, Method::AdditiveQuadratic);
        for (k, found) in report.first_order.iter().enumerate() {
            let share = ((k + 1) * (k + 1)) as f64 / 173_880.0;
            assert!((found - share).abs() < EVENNESS, "{k}: {found} {share}");
        }
    }

    #[test]
    fn checked_a_jump_is_told_by_bins() {
        // y = 1 where z0 is in the middle third of its range, plus little of z1: no cubic follows a
        // box, bins do but for the two that the edges cut.
        let ensemble = Ensemble::sobol(5, 2_048, 2);
        let y = outcome(&ensemble, |z| f64::from(z(0).abs() < 0.43) + 0.01 * z(1));
        let shares = Shares::prepare(&ensemble, &[0, 1]);
        assert!(shares.additive(&y).unwrap().rest > REST_FOR_BINS);
        let report = shares.of(&y);
        assert_eq!(report.method, Method::Bins16);
        assert!(report.first_order[0] > 0.85, "{report:?}");
    }

    #[test]
    fn checked_an_outcome_without_doubt_has_no_shares() {
        let ensemble = Ensemble::sobol(5, 256, 2);
        let shares = Shares::prepare(&ensemble, &[0, 1]);
        for y in [vec![0.1; 256], vec![0.0; 256], vec![f64::NAN; 256]] {
            let report = shares.of(&y);
            assert_eq!(report.method, Method::Constant);
            assert_eq!((report.rest, report.first_order), (0.0, vec![0.0; 2]));
        }
    }

    #[test]
    fn checked_missing_draws_are_left_out_exactly() {
        // The fit without some draws must be the fit of an ensemble that never had them.
        let ensemble = Ensemble::sobol(5, 1_024, 3);
        let mut y = outcome(&ensemble, |z| z(0) + 0.5 * z(1) * z(1) + 0.2 * z(0) * z(2));
        for draw in (0..1_024).step_by(9) {
            y[draw] = f64::NAN;
        }
        let left: Vec<usize> = (0..1_024).filter(|draw| draw % 9 != 0).collect();
        let scores = (0..3)
            .flat_map(|input| left.iter().map(move |draw| (input, *draw)))
            .map(|(input, draw)| ensemble.scores(input)[draw])
            .collect();
        let smaller = Ensemble::after_readings(left.len(), 3, scores);
        let left_y: Vec<f64> = left.iter().map(|draw| y[*draw]).collect();

        let with_gaps = Shares::prepare(&ensemble, &[0, 1, 2]).additive(&y).unwrap();
        let without = Shares::prepare(&smaller, &[0, 1, 2])
            .additive(&left_y)
            .unwrap();
        assert_eq!(with_gaps.missing, 114);
        for (a, b) in with_gaps.first_order.iter().zip(&without.first_order) {
            assert!((a - b).abs() < 1e-10);
        }
    }

    #[test]
    fn checked_too_few_draws_or_tied_inputs_fall_back_to_bins() {
        let few = Ensemble::sobol(5, 64, 40);
        let all: Vec<usize> = (0..40).collect();
        let y = few.scores(0).to_vec();
        assert_eq!(Shares::prepare(&few, &all).of(&y).method, Method::Bins16);
        let fixed = Ensemble::after_readings(64, 2, [few.scores(0), &[0.3; 64]].concat());
        let report = Shares::prepare(&fixed, &[0, 1]).of(&y);
        assert_eq!(report.method, Method::Bins16);
        assert!(report.first_order[0] > 0.9);
    }
}
