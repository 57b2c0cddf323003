use super::*;
use proptest::prelude::*;
use quantity::TemperatureDifference;

fn stream(rpm: f64, axial_m_s: f64) -> Stream {
    let still = Stream::still(
        Air::standard(Length::metres(0.0), TemperatureDifference::kelvins(0.0)).unwrap(),
        RotationSpeed::rpm(rpm),
    );
    Stream {
        axial: Speed::metres_per_second(axial_m_s),
        ..still
    }
}

/// Constant chord and angle from r/R 0.15 to the tip.
fn plain(angle_deg: f64, chord_ratio: f64, blades: u32) -> Blade {
    let station = |radius_ratio| Station {
        radius_ratio,
        chord_ratio,
        angle_rad: angle_deg.to_radians(),
    };
    Blade::new(
        vec![station(0.15), station(1.0)],
        blades,
        Length::millimetres(76.0),
    )
    .unwrap()
}

#[test]
fn checked_solidity_of_a_plain_blade() {
    // 3 × 0.2 × 0.85 / π = 0.16234.
    assert!((plain(10.0, 0.2, 3).solidity() - 0.6 * 0.85 / PI).abs() < 1e-12);
}

#[test]
fn checked_thirty_elements_are_near_four_hundred() {
    let blade = plain(12.0, 0.25, 3);
    let coarse = blade
        .loads(&SmallPropellerSection, &stream(2e4, 0.0))
        .unwrap();
    let fine = blade
        .loads_with(&SmallPropellerSection, &stream(2e4, 0.0), 400)
        .unwrap();
    assert!((coarse.thrust_coefficient / fine.thrust_coefficient - 1.0).abs() < 0.012);
    assert!((coarse.power_coefficient / fine.power_coefficient - 1.0).abs() < 0.012);
}

#[test]
fn checked_a_blade_set_the_wrong_way_pushes_up() {
    // Symmetric section: the mirrored blade has the mirrored thrust and the same torque.
    let section = LinearSection {
        slope: 5.7,
        drag: 0.02,
    };
    let down = plain(8.0, 0.2, 2)
        .loads(&section, &stream(2e4, 0.0))
        .unwrap();
    let up = plain(-8.0, 0.2, 2)
        .loads(&section, &stream(2e4, 0.0))
        .unwrap();
    assert!((down.thrust_coefficient + up.thrust_coefficient).abs() < 1e-9);
    assert!((down.power_coefficient - up.power_coefficient).abs() < 1e-9);
}

#[test]
fn checked_drag_free_power_is_above_the_ideal() {
    // No blade beats the uniform disc: figure of merit below one even without drag.
    let section = LinearSection {
        slope: 5.7,
        drag: 0.0,
    };
    let loads = plain(10.0, 0.2, 2)
        .loads(&section, &stream(2e4, 0.0))
        .unwrap();
    assert!(loads.figure_of_merit() > 0.8 && loads.figure_of_merit() < 1.0);
}

#[test]
fn checked_shapes_that_are_none_are_refused() {
    let station = |radius_ratio, chord_ratio| Station {
        radius_ratio,
        chord_ratio,
        angle_rad: 0.2,
    };
    let build = |stations, blades, mm| Blade::new(stations, blades, Length::millimetres(mm));
    let good = || vec![station(0.2, 0.2), station(1.0, 0.1)];
    assert!(build(good(), 3, 76.0).is_ok());
    assert_eq!(build(vec![], 3, 76.0), Err(BladeError::Stations));
    assert_eq!(
        build(vec![station(0.5, 0.2), station(0.2, 0.2)], 3, 76.0),
        Err(BladeError::Stations)
    );
    assert!(build(vec![station(0.2, f64::NAN), station(1.0, 0.1)], 3, 76.0).is_err());
    assert!(build(good(), 0, 76.0).is_err());
    assert!(build(good(), 3, -1.0).is_err());
    let blade = build(good(), 3, 76.0).unwrap();
    for (rpm, axial) in [
        (f64::NAN, 0.0),
        (0.0, 0.0),
        (2e4, -1.0),
        (2e4, f64::INFINITY),
    ] {
        assert!(
            blade
                .loads(&SmallPropellerSection, &stream(rpm, axial))
                .is_err()
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    /// Every shape has loads, finite ones; more axial speed never gives more thrust below stall.
    #[test]
    fn checked_every_shape_balances(
        angle in 2.0..40.0_f64, chord in 0.02..0.6_f64, blades in 1_u32..8,
        rpm in 500.0..60_000.0_f64, axial in prop_oneof![Just(0.0), 0.01..60.0_f64],
    ) {
        let loads = plain(angle, chord, blades).loads(&SmallPropellerSection, &stream(rpm, axial));
        let loads = loads.map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert!(loads.thrust_coefficient.is_finite() && loads.power_coefficient.is_finite());
        if axial == 0.0 {
            prop_assert!(loads.thrust_coefficient > 0.0 && loads.power_coefficient > 0.0);
            prop_assert!(loads.figure_of_merit() < 1.0);
        }
    }
}
