//! The motor of four constants against worked numbers.

use crate::{Case, Kind, Tolerance};
use flight::motor::{Motor, Run};
use quantity::{Current, Resistance, RotationSpeed, VelocityConstant, Voltage};

const SOURCE: &str = "Drela's first-order motor model, worked in another language to five digits";

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    [outrunner(), one_cell(), identified()].concat()
}

fn case(id: &str, what: &str, expected: f64, computed: f64, printed: f64) -> Case {
    Case {
        model: "motor",
        id: id.into(),
        source: SOURCE,
        kind: Kind::Equation,
        what: what.into(),
        expected,
        computed,
        tolerance: Tolerance::Relative(printed),
        reason: "the last printed digit",
    }
}

fn motor(kv: f64, milliohms: f64, no_load_a: f64) -> Motor {
    Motor {
        velocity_constant: VelocityConstant::rpm_per_volt(kv),
        resistance: Resistance::milliohms(milliohms),
        no_load_current: Current::amperes(no_load_a),
        no_load_slope_a_per_v: 0.0,
    }
}

/// Kv 1800, 60 mΩ, 0.9 A at 12 V and 20 A: E = 12 − 1.2 = 10.8 V, 1800 × 10.8 = 19 440 rpm.
fn outrunner() -> Vec<Case> {
    let motor = motor(1800.0, 60.0, 0.9);
    let volts = Voltage::volts(12.0);
    let state = motor.state(volts, Current::amperes(20.0));
    let (best_current, best) = motor.peak_efficiency(volts);
    vec![
        case(
            "kv-1800-speed",
            "speed [rpm]",
            19_440.0,
            state.rotation.in_rpm(),
            1e-12,
        ),
        case(
            "kv-1800-torque",
            "torque [N·m]",
            0.101_33,
            state.torque.in_newton_metres(),
            5e-5,
        ),
        case(
            "kv-1800-power",
            "shaft power [W]",
            206.28,
            state.shaft_power.in_watts(),
            3e-5,
        ),
        case(
            "kv-1800-efficiency",
            "efficiency",
            0.8595,
            state.efficiency,
            6e-5,
        ),
        case(
            "kv-1800-best-current",
            "current of best efficiency [A]",
            13.416,
            best_current.in_amperes(),
            4e-5,
        ),
        case("kv-1800-best", "best efficiency", 0.870_34, best, 6e-6),
    ]
}

/// Kv 19 000, 110 mΩ, 0.25 A at 3.6 V and 2 A: 19 000 × 3.38 = 64 220 rpm; P = 1.75 × 3.38 W.
fn one_cell() -> Vec<Case> {
    let state = motor(19_000.0, 110.0, 0.25).state(Voltage::volts(3.6), Current::amperes(2.0));
    vec![
        case(
            "kv-19000-speed",
            "speed [rpm]",
            64_220.0,
            state.rotation.in_rpm(),
            1e-12,
        ),
        case(
            "kv-19000-power",
            "shaft power [W]",
            5.915,
            state.shaft_power.in_watts(),
            1e-12,
        ),
        case(
            "kv-19000-efficiency",
            "efficiency",
            0.821_53,
            state.efficiency,
            6e-6,
        ),
    ]
}

/// Two free runs and a loaded one, made from Kv 3800, 150 mΩ and I0 = 0.15 + 0.025·E and rounded to meter digits.
fn identified() -> Vec<Case> {
    let run = |volts, rpm, amperes| Run {
        voltage: Voltage::volts(volts),
        rotation: RotationSpeed::rpm(rpm),
        current: Current::amperes(amperes),
    };
    let free = [run(4.0, 15_058.03, 0.2491), run(12.0, 45_344.46, 0.4483)];
    let motor = Motor::identify(&free, &[run(12.0, 40_470.0, 9.0)]).expect("three unlike runs");
    [
        (
            "kv",
            "Kv [rpm/V]",
            3800.0,
            motor.velocity_constant.in_rpm_per_volt(),
        ),
        (
            "resistance",
            "resistance [Ω]",
            0.150,
            motor.resistance.in_ohms(),
        ),
        (
            "no-load",
            "no-load current at rest [A]",
            0.15,
            motor.no_load_current.in_amperes(),
        ),
        (
            "slope",
            "its growth [A/V]",
            0.025,
            motor.no_load_slope_a_per_v,
        ),
    ]
    .into_iter()
    .map(|(id, what, expected, computed)| Case {
        model: "motor, from bench runs",
        source: "runs computed from a known motor and rounded to the digits of a meter",
        reason: "current read to 0.1 mA, speed to 0.01 rpm",
        ..case(&format!("identified-{id}"), what, expected, computed, 1e-3)
    })
    .collect()
}
