use super::*;
use proptest::prelude::*;
use quantity::{Length, VelocityConstant};

/// A 76 mm craft on four cells; the figures are those of coupled case C2 in the validation data.
fn drive() -> Drive {
    Drive {
        rotors: 4,
        propeller: Propeller::constant(Length::millimetres(76.2), 0.17, 0.1),
        motor: Motor {
            velocity_constant: VelocityConstant::rpm_per_volt(3800.0),
            resistance: Resistance::milliohms(150.0),
            no_load_current: Current::amperes(0.15),
            no_load_slope_a_per_v: 0.025,
        },
        esc_efficiency: 0.95,
    }
}

fn conditions() -> Conditions {
    Conditions {
        density: Density::kilograms_per_cubic_metre(1.225),
        source: BusSource {
            emf: Voltage::volts(15.17),
            resistance: Resistance::milliohms(40.0),
        },
        avionics: Power::watts(6.0),
    }
}

fn hover(mass_g: f64, conditions: &Conditions) -> OperatingPoint {
    at_thrust(&drive(), Force::grams_force(mass_g / 4.0), conditions).unwrap()
}

#[test]
fn checked_heavier_takes_more_duty_speed_and_power() {
    let (light, heavy) = (hover(230.0, &conditions()), hover(260.0, &conditions()));
    assert!(heavy.duty > light.duty);
    assert!(heavy.rotation > light.rotation);
    assert!(heavy.bus_power > light.bus_power);
    assert!(heavy.bus_voltage < light.bus_voltage);
}

#[test]
fn checked_thin_air_takes_more_speed() {
    let thin = Conditions {
        density: Density::kilograms_per_cubic_metre(0.9),
        ..conditions()
    };
    // n ∝ ρ^−½ at constant coefficients.
    let ratio = hover(230.0, &thin).rotation / hover(230.0, &conditions()).rotation;
    assert!((ratio - (1.225_f64 / 0.9).sqrt()).abs() < 1e-12);
}

#[test]
fn checked_full_command_meets_the_thrust_that_needs_all_of_the_bus() {
    // Second way: the thrust found at full command, asked of the closed form, needs duty one.
    for power_exponent in [0.0, -0.07, 0.3] {
        for duty in [1.0, 0.6, 0.25] {
            let mut drive = drive();
            drive.propeller.power_exponent = power_exponent;
            drive.propeller.thrust_exponent = 0.06;
            let full = at_full_command(&drive, duty, &conditions()).unwrap();
            // A hair below, so that rounding does not ask for more than the bus has.
            let asked = at_thrust(&drive, full.thrust * (1.0 - 1e-9), &conditions()).unwrap();
            assert!((asked.duty - duty).abs() < 1e-8 * duty);
            assert!((asked.bus_power / full.bus_power - 1.0).abs() < 1e-8);
        }
    }
}

#[test]
fn checked_more_thrust_than_full_command_is_refused_with_both_voltages() {
    let full = at_full_command(&drive(), 1.0, &conditions()).unwrap();
    match at_thrust(&drive(), full.thrust * 1.01, &conditions()) {
        Err(NoPoint::BeyondFullCommand { needed_v, bus_v }) => assert!(needed_v > bus_v),
        other => panic!("{other:?}"),
    }
}

#[test]
fn checked_collapse_names_the_limit() {
    // 12 V behind 1 Ω gives 12²/4 = 36 W at most; the hover of 230 g asks 43 W.
    let mut tired = conditions();
    tired.source.resistance = Resistance::ohms(1.0);
    tired.source.emf = Voltage::volts(12.0);
    match at_thrust(&drive(), Force::grams_force(57.5), &tired) {
        Err(NoPoint::BusCollapse { asked_w, limit_w }) => {
            assert!((limit_w - 36.0).abs() < 1e-12 && asked_w > 36.0);
        }
        other => panic!("{other:?}"),
    }
    // Avionics alone beyond the limit.
    tired.avionics = Power::watts(40.0);
    assert!(matches!(
        at_full_command(&drive(), 1.0, &tired),
        Err(NoPoint::BusCollapse { .. })
    ));
}

#[test]
fn checked_a_duty_too_small_does_not_turn_the_motor() {
    // 0.15 A × 0.15 Ω = 22.5 mV to begin; 0.1 % of 15 V is 15 mV.
    assert!(matches!(
        at_full_command(&drive(), 0.001, &conditions()),
        Err(NoPoint::DoesNotTurn { .. })
    ));
}

#[test]
fn checked_no_thrust_is_a_motor_at_rest() {
    let rest = at_thrust(&drive(), Force::newtons(0.0), &conditions()).unwrap();
    assert_eq!(rest.rotation, RotationSpeed::rpm(0.0));
    assert_eq!(rest.motor_efficiency, 0.0);
}

fn log_uniform(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

prop_compose! {
    fn any_train()(
        rotors in 1_u32..9,
        diameter in log_uniform(0.02, 0.4),
        ct in log_uniform(0.02, 0.4),
        cp in log_uniform(0.005, 0.5),
        exponents in (-0.3..0.3, -0.3..0.3),
        kv in log_uniform(300.0, 40_000.0),
        motor_ohm in log_uniform(1e-3, 2.0),
        no_load in (0.0..2.0, 0.0..0.2),
        efficiency in 0.5..1.0,
    ) -> Drive {
        Drive {
            rotors,
            propeller: Propeller {
                thrust_exponent: exponents.0,
                power_exponent: exponents.1,
                ..Propeller::constant(Length::metres(diameter), ct, cp)
            },
            motor: Motor {
                velocity_constant: VelocityConstant::rpm_per_volt(kv),
                resistance: Resistance::ohms(motor_ohm),
                no_load_current: Current::amperes(no_load.0),
                no_load_slope_a_per_v: no_load.1,
            },
            esc_efficiency: efficiency,
        }
    }
}

prop_compose! {
    fn any_conditions()(
        density in 0.5..1.5,
        emf in log_uniform(2.0, 60.0),
        source_ohm in prop_oneof![Just(0.0), log_uniform(1e-4, 2.0)],
        avionics in prop_oneof![Just(0.0), log_uniform(0.01, 200.0)],
    ) -> Conditions {
        Conditions {
            density: Density::kilograms_per_cubic_metre(density),
            source: BusSource {
                emf: Voltage::volts(emf),
                resistance: Resistance::ohms(source_ohm),
            },
            avionics: Power::watts(avionics),
        }
    }
}

/// Share of the source volts by which the three equations may miss: what a last step may leave.
const CLOSES: f64 = 2e-10;

proptest! {
    #![proptest_config(ProptestConfig { cases: 4096, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn checked_full_command_closes_all_balances(
        drive in any_train(), conditions in any_conditions(), duty in 0.05..=1.0_f64,
    ) {
        if let Ok(point) = at_full_command(&drive, duty, &conditions) {
            let emf = conditions.source.emf.in_volts();
            let sag = point.bus_current * conditions.source.resistance;
            prop_assert!((emf - sag.in_volts() - point.bus_voltage.in_volts()).abs() < CLOSES * emf);
            let (volts, amperes) = drive.motor.needs(point.rotation, point.torque);
            prop_assert!((volts.in_volts() - duty * point.bus_voltage.in_volts()).abs() < CLOSES * emf);
            prop_assert!((amperes / point.motor_current - 1.0).abs() < 1e-9);

        }
    }

    /// A brute scan of the same balance finds a crossing exactly when the solver does.
    #[test]
    fn checked_no_point_means_no_point(
        drive in any_train(), conditions in any_conditions(), duty in 0.05..=1.0_f64,
    ) {
        let balance = Balance::new(&drive, duty, &conditions);
        let top = duty * conditions.source.emf.in_volts();
        let highest = (1..=2000)
            .rev()
            .map(|i| f64::from(i) / 2000.0 * top)
            .find(|e| balance.balance(*e) < 0.0);
        match (at_full_command(&drive, duty, &conditions), highest) {
            (Err(NoPoint::BusCollapse { .. } | NoPoint::DoesNotTurn { .. }), found) => prop_assert!(found.is_none()),
            (Ok(point), Some(below)) => {
                let e = point.rotation.in_radians_per_second() / drive.motor.k();
                prop_assert!(e >= below * (1.0 - 1e-9) && e <= below + top / 2000.0 * (1.0 + 1e-9));
            }
            (Ok(_), None) => {} // Both crossings lie between two scan steps.
            (other, _) => prop_assert!(false, "{other:?}"),
        }
    }

    #[test]
    fn checked_any_bits_give_a_point_or_a_reason(bits in prop::array::uniform12(any::<f64>())) {
        let [d, ct, cp, te, pe, kv, r, i0, e, rs, p, t] = bits;
        let drive = Drive {
            rotors: 4,
            propeller: Propeller {
                diameter: Length::metres(d), thrust_coefficient: ct, power_coefficient: cp,
                reference: RotationSpeed::rpm(1e4), thrust_exponent: te, power_exponent: pe,
            },
            motor: Motor {
                velocity_constant: VelocityConstant::rpm_per_volt(kv), resistance: Resistance::ohms(r),
                no_load_current: Current::amperes(i0), no_load_slope_a_per_v: 0.0,
            },
            esc_efficiency: 0.9,
        };
        let conditions = Conditions {
            density: Density::kilograms_per_cubic_metre(1.2),
            source: BusSource { emf: Voltage::volts(e), resistance: Resistance::ohms(rs) },
            avionics: Power::watts(p),
        };
        let _ = at_thrust(&drive, Force::newtons(t), &conditions);
        let _ = at_rotation(&drive, RotationSpeed::rpm(t), &conditions);
        let _ = at_full_command(&drive, 1.0, &conditions);
    }
}
