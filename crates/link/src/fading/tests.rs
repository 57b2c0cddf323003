//! Closed forms, limits and the inverse; numbers of others are in the validation crate.

use super::*;

const SELECTION: Combining = Combining::Selection;
const MAXIMAL_RATIO: Combining = Combining::MaximalRatio;

fn of(branches: u32, combining: Combining, correlation: f64) -> Diversity {
    Diversity {
        branches,
        combining,
        correlation,
    }
}

#[track_caller]
fn near(found: f64, expected: f64, share: f64) {
    assert!(
        (found / expected - 1.0).abs() < share,
        "{found} is not {expected}"
    );
}

// 1 − e^−x at x = 0.1, and P(2, x) = 1 − e^−x·(1 + x).
#[test]
fn checked_rayleigh_closed_forms() {
    let found = outage(10.0, Fade::Rayleigh, Diversity::ONE).expect("a model");
    near(found, -(-0.1_f64).exp_m1(), 1e-13);
    let found = outage(10.0, Fade::Rayleigh, of(2, MAXIMAL_RATIO, 0.0)).expect("a model");
    near(found, 1.0 - (-0.1_f64).exp() * 1.1, 1e-12);
}

// Exponentials of means 1 ± ρ added: 1 − [(1 + ρ)e^(−x/(1+ρ)) − (1 − ρ)e^(−x/(1−ρ))]/(2ρ).
#[test]
fn checked_correlated_maximal_ratio_closed_form() {
    for rho in [0.1, 0.5, 0.9, 0.999] {
        for margin_db in [-5.0, 0.0, 3.0, 12.0] {
            let x = ratio(-margin_db);
            let (more, less) = (1.0 + rho, 1.0 - rho);
            let expected =
                1.0 - (more * (-x / more).exp() - less * (-x / less).exp()) / (2.0 * rho);
            let found =
                outage(margin_db, Fade::Rayleigh, of(2, MAXIMAL_RATIO, rho)).expect("a model");
            near(found, expected, 1e-9);
        }
    }
}

#[test]
fn checked_correlation_runs_from_two_branches_to_one() {
    for combining in [SELECTION, MAXIMAL_RATIO] {
        let at = |rho| outage(8.0, Fade::Rayleigh, of(2, combining, rho)).expect("a model");
        near(at(1e-9), at(0.0), 1e-7);
        let mut before = at(0.0);
        for rho in [0.2, 0.5, 0.8, 0.95, 0.999, 0.999_99, 1.0] {
            let now = at(rho);
            assert!(now > before, "{combining:?} at {rho}: {now} after {before}");
            before = now;
        }
    }
    let one = outage(8.0, Fade::Rayleigh, Diversity::ONE).expect("a model");
    near(
        outage(8.0, Fade::Rayleigh, of(2, SELECTION, 1.0)).expect("a model"),
        one,
        1e-12,
    );
    // Two that are one still add up to twice the power.
    let twice =
        outage(8.0 + 10.0 * 2_f64.log10(), Fade::Rayleigh, Diversity::ONE).expect("a model");
    near(
        outage(8.0, Fade::Rayleigh, of(2, MAXIMAL_RATIO, 1.0)).expect("a model"),
        twice,
        1e-12,
    );
}

#[test]
fn checked_the_margin_is_the_inverse() {
    for fade in [Fade::Rayleigh, Fade::Rician { k_db: 6.0 }] {
        for diversity in [
            Diversity::ONE,
            of(2, SELECTION, 0.0),
            of(4, MAXIMAL_RATIO, 0.0),
        ] {
            for outage_asked in [0.9, 0.3, 1e-2, 1e-6, 1e-15] {
                let margin_db = margin_for_db(outage_asked, fade, diversity).expect("a model");
                near(
                    outage(margin_db, fade, diversity).expect("a model"),
                    outage_asked,
                    1e-9,
                );
            }
        }
    }
    assert_eq!(
        margin_for_db(0.0, Fade::Rayleigh, Diversity::ONE),
        Ok(f64::INFINITY)
    );
    assert_eq!(
        margin_for_db(1.0, Fade::Rayleigh, Diversity::ONE),
        Ok(f64::NEG_INFINITY)
    );
}

#[test]
fn checked_cases_without_a_model_say_so() {
    let rician = Fade::Rician { k_db: 6.0 };
    assert_eq!(
        outage(1.0, rician, of(2, SELECTION, 0.5)),
        Err(NoModel::Correlated)
    );
    assert_eq!(
        outage(1.0, Fade::Rayleigh, of(3, SELECTION, 0.5)),
        Err(NoModel::Correlated)
    );
    assert_eq!(
        outage(1.0, rician, of(0, SELECTION, 0.0)),
        Err(NoModel::Branches)
    );
    assert_eq!(
        outage(1.0, rician, of(2, SELECTION, f64::NAN)),
        Err(NoModel::Correlation)
    );
}

// Hardly any echo: the outage is a step, and with shadow the share of places below it, Φ(−m/σ).
#[test]
fn checked_shadow_of_a_steady_signal() {
    let steady = OutageTable::new(Fade::Rician { k_db: 40.0 }, Diversity::ONE).expect("a model");
    let shadowed = steady.shadowed(4.0);
    for margin_db in [-6.0, 0.0, 4.0, 8.0] {
        let expected = Normal::standard().cdf(-margin_db / 4.0);
        let found = shadowed.at(margin_db);
        assert!(
            (found - expected).abs() < 5e-3,
            "{margin_db}: {found} {expected}"
        );
    }
    assert!((shadow_margin_db(4.0, 0.9) - 4.0 * 1.281_552).abs() < 1e-5);
}
