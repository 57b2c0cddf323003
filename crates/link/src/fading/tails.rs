//! Distributions of the power of faded branches, each as a sum of positive terms.
//!
//! With whole shapes an incomplete gamma function is the tail of a Poisson distribution, and the noncentral χ² distribution a
//! mix of such tails. Summed from the far end inwards nothing is ever subtracted: an outage of 10⁻⁵⁰ keeps its digits, which
//! 1 − Q₁ would not. What is left is the rounding of logarithms of chances: below 10⁻⁹ of an outage. No library at hand has the noncentral χ² distribution or Marcum's Q function.

/// Terms below this share of the largest are left out.
const NOTHING: f64 = 1e-20;

/// Chance that a Poisson count of mean `y` is at least `shape` plus another Poisson count of mean `a`; which is the
/// noncentral χ² distribution at 2y with 2·shape degrees of freedom and noncentrality 2a, and for a = 0 the regularised lower
/// incomplete gamma function P(shape, y). `shape` is a whole number from 1.
pub(super) fn below(y: f64, shape: f64, a: f64) -> f64 {
    if y == 0.0 || y.is_nan() || a.is_nan() {
        return y * a;
    }
    // The two counts are then so far apart that what is missing is below 10⁻²⁰.
    if y == f64::INFINITY || y > a + shape + 12.0 * (y + a + shape).sqrt() + 40.0 {
        return 1.0;
    }
    if a == 0.0 {
        return tail(shape, y);
    }
    let peak = peak(y, shape, a);
    let scale = ln_poisson(peak, a) + ln_poisson(shape + peak, y);
    // Weights rise towards `a` while chances fall: taken from one and given to the other, so that neither overflows.
    let tilt = (a / peak.max(1.0)).max(1.0);
    let (mut weight, mut chance) = (1.0, 1.0);
    let mut more = peak;
    // Out to where terms are negligible: the tail of `y` falls no slower than its first term.
    let mut bound = 1.0;
    while bound > NOTHING {
        more += 1.0;
        let thinner = y / (shape + more);
        weight *= a / (tilt * more);
        chance *= tilt * thinner;
        bound *= a / more * thinner.min(1.0);
    }
    // And inwards from there.
    let mut beyond = chance * series(shape + more, y);
    let mut sum = 0.0;
    loop {
        let term = weight * beyond;
        sum += term;
        if more == 0.0 || (more < peak && term < NOTHING * sum) {
            break;
        }
        weight *= tilt * more / a;
        chance *= (shape + more) / (tilt * y);
        more -= 1.0;
        beyond = beyond / tilt + chance;
    }
    (scale.exp() * sum).min(1.0)
}

/// Where the largest term of the mix is, or near it.
fn peak(y: f64, shape: f64, a: f64) -> f64 {
    let crossing = 0.5 * ((shape * shape + 4.0 * a * y).sqrt() - shape);
    crossing.min(a).floor().max(0.0)
}

/// Chance that the powers of two correlated Rayleigh branches are both below `x` of their mean:
/// (1 − ρ²)·Σ ρ^(2k)·P(k + 1, x/(1 − ρ²))².
pub(super) fn both_below(x: f64, correlation: f64) -> f64 {
    if x > CERTAIN {
        return 1.0;
    }
    let shared = correlation * correlation;
    if 1.0 - shared < INSEPARABLE {
        return tail(1.0, x);
    }
    geometric(shared, x / (1.0 - shared), 1.0, |chance| chance * chance)
}

/// Chance that the sum of the powers of two correlated Rayleigh branches is below `x` of the mean of one: a sum of two
/// exponentials of means 1 ± ρ, as a mix of gamma distributions of the smaller mean.
pub(super) fn sum_below(x: f64, correlation: f64) -> f64 {
    if x > CERTAIN {
        return 1.0;
    }
    let small = 1.0 - correlation;
    if small < INSEPARABLE {
        return tail(1.0, x / (1.0 + correlation));
    }
    let rest = 1.0 - small / (1.0 + correlation);
    geometric(rest, x / small, 2.0, |chance| chance)
}

/// A pair is below so many times its mean but for less than 10⁻²⁰.
const CERTAIN: f64 = 100.0;

/// Two branches nearer to one than this are one: they differ in fades deeper than 50 dB alone.
const INSEPARABLE: f64 = 1e-6;

/// (1 − q)·Σ q^k·f(P(first + k, y)).
fn geometric(q: f64, y: f64, first: f64, f: fn(f64) -> f64) -> f64 {
    if y == 0.0 || y.is_nan() {
        return y;
    }
    // Below `low` every tail is one, and the weights add up by themselves.
    let low = (y - 12.0 * y.sqrt() - 40.0 - first).floor().max(0.0);
    let mut k = (y - first).floor().max(0.0);
    let mut chance = ln_poisson(first + k, y).exp();
    let mut bound = 1.0;
    while bound > NOTHING {
        k += 1.0;
        let thinner = y / (first + k);
        chance *= thinner;
        bound *= thinner.min(1.0) * q.max(NOTHING);
    }
    let mut beyond = chance * series(first + k, y);
    let mut sum = 0.0;
    loop {
        sum += q.powf(k) * f(beyond.min(1.0));
        if k == low {
            break;
        }
        chance *= (first + k) / y;
        k -= 1.0;
        beyond += chance;
    }
    ((1.0 - q) * sum + (1.0 - q.powf(low))).min(1.0)
}

/// Chance that a Poisson count of mean `y` is at least `n`.
fn tail(n: f64, y: f64) -> f64 {
    if y < n {
        return ln_poisson(n, y).exp() * series(n, y);
    }
    // Its complement is the smaller part: what is below `n`, from there down.
    let (mut term, mut sum, mut at) = (1.0, 0.0, n - 1.0);
    while at >= 0.0 && term > NOTHING {
        sum += term;
        term *= at / y;
        at -= 1.0;
    }
    (1.0 - ln_poisson(n - 1.0, y).exp() * sum).max(0.0)
}

/// 1 + y/(n + 1) + y²/((n + 1)(n + 2)) + …
fn series(n: f64, y: f64) -> f64 {
    let (mut term, mut sum, mut at) = (1.0, 1.0, n);
    loop {
        at += 1.0;
        term *= y / at;
        sum += term;
        if at > y && term < 1e-17 * sum || !sum.is_finite() {
            return sum;
        }
    }
}

/// Logarithm of the chance of exactly `n`.
fn ln_poisson(n: f64, mean: f64) -> f64 {
    n * mean.ln() - mean - libm::lgamma(n + 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    // SciPy 1.17, scipy.stats.ncx2.cdf and gammainc would be outside; here the second way is the complement summed up.
    #[test]
    fn checked_tails_against_a_sum_of_chances() {
        for (y, shape, a) in [
            (0.5, 2.0, 8.0),
            (30.0, 4.0, 40.0),
            (3.0, 1.0, 0.2),
            (90.0, 3.0, 100.0),
        ] {
            let mut sum = 0.0;
            for j in 0..600 {
                for n in 0..600 {
                    if f64::from(n) >= shape + f64::from(j) {
                        sum += (ln_poisson(f64::from(j), a) + ln_poisson(f64::from(n), y)).exp();
                    }
                }
            }
            let found = below(y, shape, a);
            assert!(
                (found / sum - 1.0).abs() < 1e-10,
                "{y} {shape} {a}: {found} {sum}"
            );
        }
    }

    #[test]
    fn checked_incomplete_gamma_against_a_library() {
        for shape in [1.0, 2.0, 4.0, 9.0] {
            for y in [1e-6, 0.01, 0.5, 1.0, 4.0, 9.0, 30.0] {
                let library = statrs::function::gamma::gamma_lr(shape, y);
                let found = below(y, shape, 0.0);
                assert!(
                    (found - library).abs() < 1e-9 * library,
                    "{shape} {y}: {found} {library}"
                );
            }
        }
    }
}
