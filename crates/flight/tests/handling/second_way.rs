//! Each model held against a second way of ours or against a solver of others.

use flight::handling::authority::authority;
use flight::handling::filter::Filter;
use flight::handling::rate_loop::{Gains, Plant, RateLoop, gain_factor, loop_gain_rad_s2};
use flight::handling::rotor_lag::{Rotor as Turning, Slowing, Waited};
use flight::handling::trim::{Hover, Rotor, Spin, ThrustCurve};
use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOutcome};
use proptest::prelude::*;

/// Agreement of the corner search with the simplex solver, as share of the largest moment.
const SOLVERS: f64 = 1e-6;

fn rotors() -> impl Strategy<Value = Vec<Rotor>> {
    let rotor = (-0.1..0.1, -0.1..0.1, any::<bool>()).prop_map(|(x_m, y_m, left)| Rotor {
        x_m,
        y_m,
        spin: if left {
            Spin::NoseLeft
        } else {
            Spin::NoseRight
        },
    });
    proptest::collection::vec(rotor, 4..8)
}

fn hover(rotors: &[Rotor], mass_kg: f64) -> Hover<'_> {
    Hover {
        rotors,
        kappa_m: 0.006,
        curve: ThrustCurve {
            thrust_max_n: 2.0,
            shape: 0.4,
        },
        mass_kg,
    }
}

/// Rows of the moments about x, y, z, in newton metres for a newton.
fn rows(rotors: &[Rotor]) -> [Vec<f64>; 3] {
    [
        rotors.iter().map(|r| r.y_m).collect(),
        rotors.iter().map(|r| -r.x_m).collect(),
        rotors.iter().map(|r| 0.006 * r.spin.sign()).collect(),
    ]
}

/// Largest `sign·moment` by the simplex solver.
fn simplex(hover: &Hover<'_>, least_n: f64, axis: usize, sign: f64, held: bool) -> Option<f64> {
    let rows = rows(hover.rotors);
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let thrusts: Vec<_> = rows[axis]
        .iter()
        .map(|lever| problem.add_var(sign * lever, (least_n, hover.curve.thrust_max_n)))
        .collect();
    for row in (0..3).filter(|row| *row != axis) {
        // Scaled so that the solver's absolute tolerances fit.
        let terms = thrusts
            .iter()
            .zip(&rows[row])
            .map(|(t, lever)| (*t, 100.0 * lever));
        problem.add_constraint(terms, ComparisonOp::Eq, 0.0);
    }
    if held {
        let weight_n = hover.mass_kg * 9.806_65;
        problem.add_constraint(
            thrusts.iter().map(|t| (*t, 1.0)),
            ComparisonOp::Eq,
            weight_n,
        );
    }
    match problem.solve() {
        Ok(SolveOutcome::Solution(solution)) => Some(solution.objective()),
        _ => None,
    }
}

proptest! {
    #[test]
    fn checked_corners_agree_with_a_simplex_solver(
        rotors in rotors(), mass_kg in 0.05..0.6, least_n in 0.0..0.1,
    ) {
        let hover = hover(&rotors, mass_kg);
        let found = authority(&hover, least_n, [1.0; 3]);
        for held in [true, false] {
            for axis in 0..3 {
                for sign in [1.0, -1.0] {
                    let other = simplex(&hover, least_n, axis, sign, held);
                    let Ok(found) = &found else {
                        continue;
                    };
                    let both = [found.roll, found.pitch, found.yaw][axis];
                    let way = if sign > 0.0 { both.plus } else { both.minus };
                    let ours = if held { way.held_rad_s2 } else { way.free_rad_s2 };
                    let scale = [0.8, 0.8, 0.05][axis];
                    let other = other.expect("ours found thrusts, so there are some");
                    prop_assert!((ours - other).abs() <= SOLVERS * scale, "{ours} {other}");
                }
            }
        }
        if found.is_err() {
            // With nothing permitted for us, the other finds nothing in some direction either.
            let all = (0..3).all(|axis| {
                [true, false].iter().all(|held| simplex(&hover, least_n, axis, 1.0, *held).is_some())
            });
            prop_assert!(!all);
        }
    }

    #[test]
    fn checked_trim_balances_and_is_the_smallest(rotors in rotors(), mass_kg in 0.05..0.6) {
        let hover = hover(&rotors, mass_kg);
        if let Ok(trim) = hover.trim() {
            let sum: f64 = trim.thrust_n.iter().sum();
            prop_assert!((sum - mass_kg * 9.806_65).abs() < 1e-7);
            for row in rows(&rotors) {
                let moment: f64 = row.iter().zip(&trim.thrust_n).map(|(l, t)| l * t).sum();
                prop_assert!(moment.abs() < 1e-7);
            }
            for (thrust, command) in trim.thrust_n.iter().zip(&trim.command) {
                let back = 2.0 * (0.4 * command + 0.6 * command * command);
                prop_assert!((back - thrust).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn checked_symmetric_craft_shares_evenly(arm_m in 0.01..0.2, mass_kg in 0.05..0.6) {
        let rotors = cross(arm_m);
        let trim = hover(&rotors, mass_kg).trim().expect("a craft");
        for thrust in &trim.thrust_n {
            prop_assert!((thrust - trim.thrust_n[0]).abs() < 1e-12);
        }
        prop_assert!(trim.command_spread.abs() < 1e-12);
    }

    #[test]
    fn checked_more_delay_less_phase(
        gain in 800.0..3000.0, lag_s in 0.01..0.04, delay_s in 0.0..0.003_f64, more_s in 1e-5..0.002_f64,
    ) {
        let early = usual(gain, lag_s, delay_s).margins().expect("a loop");
        let late = usual(gain, lag_s, delay_s + more_s).margins().expect("a loop");
        // A pure delay leaves the gain alone: same crossover, 360° f T less.
        prop_assert!((late.crossover_hz / early.crossover_hz - 1.0).abs() < 1e-9);
        let lost: f64 = 360.0 * early.crossover_hz * more_s;
        prop_assert!((early.phase_margin_deg - late.phase_margin_deg - lost).abs() < 1e-6);
        if let (Some(a), Some(b)) = (early.gain_margin, late.gain_margin) {
            prop_assert!(b.db < a.db);
        }
    }

    #[test]
    fn checked_bounds_between_peak_and_margins(
        gain in 800.0..3000.0, lag_s in 0.01..0.04, delay_s in 0.0..0.003_f64,
    ) {
        let found = usual(gain, lag_s, delay_s).margins().expect("a loop");
        if let (Some(peak), Some(margin)) = (found.sensitivity_peak, found.gain_margin) {
            // GM ≥ Ms/(Ms − 1), PM ≥ 2 asin(1/(2 Ms)).
            prop_assert!(10_f64.powf(margin.db / 20.0) >= peak / (peak - 1.0) - 1e-6);
            let least = 2.0 * (0.5 / peak).asin().to_degrees();
            prop_assert!(found.phase_margin_deg >= least - 1e-6);
        }
    }

    #[test]
    fn checked_both_forms_of_the_gain_factor(
        gain in 800.0..3000.0, lag_s in 0.01..0.04, change in 0.5..2.0, slower in 0.7..1.5,
    ) {
        let old = usual(gain, lag_s, 0.001);
        let new = usual(gain * change, lag_s * slower, 0.001);
        let crossover_hz = old.margins().expect("a loop").crossover_hz;
        let plant = |rate_loop: &RateLoop| Plant {
            gain_rad_s2: rate_loop.gain_rad_s2,
            lag_s: rate_loop.lag_s,
        };
        let simple = gain_factor(plant(&old), plant(&new), crossover_hz);
        prop_assert!((new.factor_for_crossover(crossover_hz) / simple - 1.0).abs() < 1e-9);
    }

    #[test]
    fn checked_mass_enters_the_loop_only_through_the_slope(mass_kg in 0.05..0.3, more in 1.05..2.0) {
        let rotors = cross(0.06);
        let gain = |mass_kg: f64, linear: bool| {
            let mut hover = hover(&rotors, mass_kg);
            if linear {
                hover.curve.shape = 1.0;
            }
            let slope = hover.curve.slope_n(hover.trim().expect("a craft").command[0]);
            loop_gain_rad_s2(&[0.06; 4], slope, 2e-4)
        };
        prop_assert!((gain(mass_kg, true) / gain(mass_kg * more, true) - 1.0).abs() < 1e-12);
        prop_assert!(gain(mass_kg * more, false) > gain(mass_kg, false));
    }

    #[test]
    fn checked_group_delay_is_the_slope_of_the_phase(hz in 5.0..140.0, corner in 150.0..400.0, q in 1.0..8.0) {
        let step = 1e-4;
        for filter in [
            Filter::FirstOrder { cutoff_hz: corner },
            Filter::Butterworth2 { cutoff_hz: corner },
            Filter::Notch { centre_hz: corner, q },
            Filter::Delay { delay_s: 1.0 / corner },
        ] {
            let slope = (filter.phase_rad(hz - step) - filter.phase_rad(hz + step))
                / (2.0 * step * std::f64::consts::TAU);
            prop_assert!((slope / filter.group_delay_s(hz) - 1.0).abs() < 1e-5);
            let turned = filter.response(hz) / num_complex::Complex64::cis(filter.phase_rad(hz));
            prop_assert!(turned.im.abs() < 1e-9 && turned.re > 0.0);
            if let Some(digital) = filter.digital(8000.0) {
                let past = digital.response(hz - step) / digital.response(hz + step);
                let slope = past.arg() / (2.0 * step * std::f64::consts::TAU);
                prop_assert!((slope / digital.group_delay_s(hz) - 1.0).abs() < 1e-4);
            }
        }
    }
}

fn cross(arm_m: f64) -> [Rotor; 4] {
    [
        (1.0, -1.0, Spin::NoseLeft),
        (1.0, 1.0, Spin::NoseRight),
        (-1.0, 1.0, Spin::NoseLeft),
        (-1.0, -1.0, Spin::NoseRight),
    ]
    .map(|(x, y, spin)| Rotor {
        x_m: arm_m * x,
        y_m: arm_m * y,
        spin,
    })
}

fn usual(gain_rad_s2: f64, lag_s: f64, delay_s: f64) -> RateLoop {
    RateLoop {
        gain_rad_s2,
        lag_s,
        delay_s,
        gains: Gains {
            p: 0.05,
            i: 0.2,
            d: 0.0009,
        },
        gyro_filters: vec![
            Filter::Butterworth2 { cutoff_hz: 250.0 },
            Filter::Notch {
                centre_hz: 310.0,
                q: 5.0,
            },
        ],
        d_filters: vec![Filter::Butterworth2 { cutoff_hz: 120.0 }],
    }
}

/// Largest rate in the last tenth over that in the first after a small push, simulated in time.
///
/// Loop L-A: plant, motor lag, dead time as a queue, both Butterworth filters as state equations.
fn grows(gain_factor: f64) -> f64 {
    const STEP_S: f64 = 1e-5;
    const STEPS: usize = 300_000;
    let (gain, lag_s) = (2400.0 * gain_factor, 0.020);
    let mut queue = std::collections::VecDeque::from(vec![0.0; 110]);
    let (mut rate, mut acceleration, mut sum) = (1.0_f64, 0.0, 0.0);
    let (mut gyro, mut slope) = ([0.0, 0.0], [0.0, 0.0]);
    let (mut early, mut late) = (0.0_f64, 0.0_f64);
    for step in 0..STEPS {
        let filter = |state: &mut [f64; 2], input: f64, cutoff_hz: f64| {
            let w = std::f64::consts::TAU * cutoff_hz;
            state[1] += STEP_S * w * (w * (input - state[0]) / w - 2_f64.sqrt() * state[1]);
            state[0] += STEP_S * w * state[1];
        };
        filter(&mut gyro, rate, 250.0);
        // d·s·F_d of the measured rate: the filter's own speed state is its derivative over ω0.
        filter(&mut slope, gyro[0], 120.0);
        let derivative = std::f64::consts::TAU * 120.0 * slope[1];
        sum += STEP_S * gyro[0];
        queue.push_back(-(0.050 * gyro[0] + 0.20 * sum + 0.0009 * derivative));
        let command = queue.pop_front().unwrap_or(0.0);
        acceleration += STEP_S * (gain * command - acceleration) / lag_s;
        rate += STEP_S * acceleration;
        if (STEPS / 10..STEPS / 5).contains(&step) {
            early = early.max(rate.abs());
        }
        if step >= STEPS - STEPS / 10 {
            late = late.max(rate.abs());
        }
    }
    late / early
}

#[test]
fn checked_gain_margin_against_a_simulation_in_time() {
    let mut rate_loop = usual(2400.0, 0.020, 0.0011);
    rate_loop.gyro_filters.truncate(1);
    let margin = rate_loop
        .margins()
        .expect("a loop")
        .gain_margin
        .expect("a margin");
    let factor = 10_f64.powf(margin.db / 20.0);
    assert!(grows(0.96 * factor) < 0.5);
    assert!(grows(1.04 * factor) > 2.0);
    for (share, stable) in [(0.96, true), (1.04, false)] {
        let found = rate_loop
            .with_gains_times(share * factor)
            .margins()
            .expect("a loop");
        assert_eq!(found.stable, stable);
    }
}

/// Seconds to a share of the change of speed, by small steps of the torque balance.
fn stepped_s(rotor: &Turning, ratio: f64, share: f64, coasting: bool) -> f64 {
    const STEP_S: f64 = 1e-6;
    let k = 60.0 / (std::f64::consts::TAU * rotor.kv_rpm_per_v);
    let start = rotor.speed_rpm * std::f64::consts::PI / 30.0;
    let drag = rotor.kappa_m * rotor.thrust_n / (start * start);
    let volts = ratio * rotor.lag().motor_v;
    let pull = |speed: f64| {
        let amperes = (volts - k * speed) / rotor.resistance_ohm;
        let amperes = if coasting { amperes.max(0.0) } else { amperes };
        (k * amperes - drag * speed * speed) / rotor.inertia_kg_m2
    };
    let mut rest = start;
    for _ in 0..2_000_000 {
        rest += STEP_S * pull(rest);
    }
    let (mut speed, mut time_s) = (start, 0.0);
    while (speed - start).abs() < share * (rest - start).abs() {
        speed += STEP_S * pull(speed);
        time_s += STEP_S;
    }
    time_s
}

#[test]
fn checked_steps_against_small_steps_of_time() {
    let rotor = Turning {
        inertia_kg_m2: 3.1872e-8,
        kv_rpm_per_v: 19_000.0,
        resistance_ohm: 0.105,
        thrust_n: 0.0625,
        kappa_m: 4.3e-3,
        speed_rpm: 32_450.0,
    };
    // To 95 % a coasting motor draws again before it is there; at 0.99 of the volts it never coasts.
    for (ratio, share) in [(0.7, 0.63), (0.7, 0.95), (0.99, 0.63), (1.5, 0.95)] {
        for (slowing, coasting) in [(Slowing::Braked, false), (Slowing::Coasting, true)] {
            let ours = rotor.step_time_s(ratio, share, Waited::Speed, slowing);
            let other = stepped_s(&rotor, ratio, share, coasting);
            assert!(
                (ours / other - 1.0).abs() < 2e-3,
                "{ratio} {share} {ours} {other}"
            );
        }
    }
}

#[test]
fn checked_integral_alone_is_unstable_and_no_gain_is_too_weak() {
    let mut rate_loop = usual(2000.0, 0.02, 0.001);
    rate_loop.gains = Gains {
        p: 0.0,
        i: 0.2,
        d: 0.0,
    };
    assert!(!rate_loop.margins().expect("a loop").stable);
    assert!(rate_loop.with_gains_times(0.0).margins().is_err());
}
