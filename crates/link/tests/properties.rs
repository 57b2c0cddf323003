//! What must stay as it is when both ends, the world or the power is changed.

use link::antenna::{Attitude, Mounted, Pattern, between, mismatch_loss_db};
use link::budget::{Budget, Receiver, free_space_range_m};
use link::field;
use link::polarisation::{Hand, Hands, loss_db, over_all_tilts};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

fn any_hand() -> impl Strategy<Value = Hand> {
    prop_oneof![Just(Hand::Right), Just(Hand::Left)]
}

fn any_ratio() -> impl Strategy<Value = f64> {
    prop_oneof![5 => 0.0..40.0_f64, 1 => Just(0.0), 1 => Just(f64::INFINITY)]
}

fn any_pattern() -> impl Strategy<Value = Pattern> {
    prop_oneof![
        Just(Pattern::Dipole),
        Just(Pattern::ShortDipole),
        any_hand().prop_map(|front| Pattern::CrossedDipole { front }),
        any_hand().prop_map(|hand| Pattern::Ring { hand }),
        (any_ratio(), any_hand()).prop_map(|(axial_ratio_db, hand)| Pattern::Isotropic {
            axial_ratio_db,
            hand
        }),
        (4.0..14.0_f64, any_ratio(), any_hand()).prop_map(|(gain_dbi, axial_ratio_db, hand)| {
            Pattern::Directional {
                gain_dbi,
                floor_below_db: 18.0,
                axial_ratio_db,
                hand,
            }
        }),
    ]
}

fn any_vector(reach: f64) -> impl Strategy<Value = [f64; 3]> {
    [-reach..reach, -reach..reach, -reach..reach]
}

fn any_mounted() -> impl Strategy<Value = Mounted> {
    let field = prop::option::of(any_vector(1.0));
    (any_pattern(), any_vector(1.0), field).prop_map(|(pattern, axis, field)| Mounted {
        pattern,
        axis,
        field,
    })
}

fn any_attitude() -> impl Strategy<Value = Attitude> {
    [-PI..PI, -PI..PI, -PI..PI].prop_map(|[roll_rad, pitch_rad, yaw_rad]| Attitude {
        roll_rad,
        pitch_rad,
        yaw_rad,
    })
}

/// Turned about the vertical.
fn turned([x, y, z]: [f64; 3], by: f64) -> [f64; 3] {
    let (sine, cosine) = by.sin_cos();
    [cosine * x - sine * y, sine * x + cosine * y, z]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1024, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn checked_polarisation_does_not_ask_who_sends(
        one in any_ratio(), other in any_ratio(), one_hand in any_hand(), other_hand in any_hand(), tilt in -TAU..TAU
    ) {
        let (there, back) = (
            loss_db(one, other, one_hand.with(other_hand), tilt),
            loss_db(other, one, other_hand.with(one_hand), -tilt),
        );
        prop_assert!(there == back || (there - back).abs() < 1e-9 * (1.0 + there), "{there} {back}");
    }

    // The textbook form with R = ±10^(AR/20); Balanis, Antenna Theory, ch. 2.
    #[test]
    fn checked_polarisation_is_the_textbook_form(one in 0.0..30.0_f64, other in 0.0..30.0_f64, same in any::<bool>(), tilt in -PI..PI) {
        let (hands, sign) = if same { (Hands::Same, 1.0) } else { (Hands::Opposite, -1.0) };
        let (a, b) = (10_f64.powf(one / 20.0), sign * 10_f64.powf(other / 20.0));
        let crossed = (a * a - 1.0) * (b * b - 1.0) * (2.0 * tilt).cos();
        let share = 0.5 + (4.0 * a * b + crossed) / (2.0 * (a * a + 1.0) * (b * b + 1.0));
        let found = 10_f64.powf(-loss_db(one, other, hands, tilt) / 10.0);
        prop_assert!((found - share).abs() < 1e-12, "{found} {share}");
        let all = over_all_tilts(one, other, hands);
        let loss = loss_db(one, other, hands, tilt);
        prop_assert!(all.best_db <= loss + 1e-9 && loss <= all.worst_db + 1e-9);
        prop_assert!(all.best_db <= all.mean_db && all.mean_db <= all.worst_db);
    }

    #[test]
    fn checked_turning_the_world_changes_nothing(
        craft in any_mounted(), attitude in any_attitude(), place in any_vector(100.0), ground in any_mounted(), by in -PI..PI
    ) {
        let seen = between(&craft, attitude, place, &ground, [1.0, 2.0, -1.5]);
        let yawed = Attitude { yaw_rad: attitude.yaw_rad + by, ..attitude };
        let moved = Mounted {
            axis: turned(ground.axis, by),
            field: ground.field.map(|field| turned(field, by)),
            ..ground
        };
        let again = between(&craft, yawed, turned(place, by), &moved, turned([1.0, 2.0, -1.5], by));
        let (seen, again) = (seen.expect("two places"), again.expect("two places"));
        // A hand changes on the horizon of crossed dipoles; there both are equally strong.
        prop_assert!((seen.craft.gain_dbi - again.craft.gain_dbi).abs() < 1e-6);
        prop_assert!((seen.ground.gain_dbi - again.ground.gain_dbi).abs() < 1e-6);
        prop_assert!((seen.polarisation.mean_db - again.polarisation.mean_db).abs() < 1e-4, "{seen:?} {again:?}");
    }

    #[test]
    fn checked_yaw_means_nothing_to_an_upright_aerial(
        pattern in any_pattern(), ground in any_mounted(), place in any_vector(100.0), yaw_rad in -PI..PI
    ) {
        let craft = Mounted { pattern, axis: [0.0, 0.0, -1.0], field: None };
        let at = |yaw_rad| {
            let attitude = Attitude { yaw_rad, ..Attitude::default() };
            between(&craft, attitude, place, &ground, [0.0, 0.0, -1.5]).expect("two places")
        };
        prop_assert!((at(0.0).gain_db() - at(yaw_rad).gain_db()).abs() < 1e-9);
    }

    #[test]
    fn checked_both_ends_may_change_places(
        craft in any_mounted(), place in any_vector(100.0), ground in any_mounted()
    ) {
        let level = Attitude::default();
        let there = between(&craft, level, place, &ground, [0.0; 3]).expect("two places");
        let back = between(&ground, level, [0.0; 3], &craft, place).expect("two places");
        prop_assert!((there.gain_db() - back.gain_db()).abs() < 1e-6);
    }

    #[test]
    fn checked_twice_the_power_is_three_decibels_and_root_two_of_distance(
        eirp_dbm in -30.0..40.0_f64, loss_db in 0.0..150.0_f64, distance_m in 1.0..1e4_f64
    ) {
        let more_dbm = eirp_dbm + 10.0 * 2_f64.log10();
        let margin = |eirp_dbm| {
            let receiver = Receiver::Sensitivity { level_dbm: -95.0 };
            Budget { eirp_dbm, path_loss_db: loss_db, receiver, ..Budget::default() }.sum().margin_db
        };
        let (once, twice) = (margin(eirp_dbm), margin(more_dbm));
        prop_assert!((twice - once - 3.010_299_957).abs() < 1e-8);
        let grown = free_space_range_m(distance_m, twice) / free_space_range_m(distance_m, once);
        prop_assert!((grown - 2_f64.sqrt()).abs() < 1e-9);
        let nearer = field::exposure_distance_m(eirp_dbm, 10.0, 2.56);
        prop_assert!((field::exposure_distance_m(more_dbm, 10.0, 2.56) / nearer - 2_f64.sqrt()).abs() < 1e-9);
        prop_assert!((field::power_density_w_m2(eirp_dbm, nearer, 2.56) / 10.0 - 1.0).abs() < 1e-9);
        let field_v_m = field::field_v_m(eirp_dbm, distance_m);
        prop_assert!((field::eirp_dbm(field_v_m, distance_m) - eirp_dbm).abs() < 1e-9);
    }

    #[test]
    fn checked_mismatch_grows(ratio in 1.0..50.0_f64, more in 0.001..5.0_f64) {
        prop_assert!(mismatch_loss_db(ratio + more) > mismatch_loss_db(ratio));
    }
}
