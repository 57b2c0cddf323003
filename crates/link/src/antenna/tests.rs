//! Closed forms and limits; numbers of others are in the validation crate.

use super::*;
use std::f64::consts::{FRAC_PI_2, PI};

/// Mean of a pattern's gain over all directions.
fn mean_gain(pattern: &Pattern) -> f64 {
    let count = 20_000;
    let ring = |index: i32| {
        let theta = PI * (f64::from(index) + 0.5) / f64::from(count);
        0.5 * theta.sin() * crate::ratio(pattern.toward(theta).gain_dbi)
    };
    (0..count).map(ring).sum::<f64>() * PI / f64::from(count)
}

#[test]
fn checked_lossless_patterns_radiate_all_their_power() {
    let patch = Pattern::Directional {
        gain_dbi: 8.0,
        floor_below_db: 200.0,
        axial_ratio_db: 1.0,
        hand: Hand::Right,
    };
    for (pattern, most_off) in [
        (Pattern::ShortDipole, 1e-4),
        (Pattern::Dipole, 1e-4),
        // The floor at −30 dBi covers half of the sphere.
        (patch, 1e-3),
        // Rows 15° apart of a simulation.
        (Pattern::CrossedDipole { front: Hand::Right }, 5e-3),
        (Pattern::Ring { hand: Hand::Right }, 5e-3),
    ] {
        let mean = mean_gain(&pattern);
        assert!((mean - 1.0).abs() < most_off, "{pattern:?}: {mean}");
    }
}

#[test]
fn checked_crossed_dipoles_swap_hands_and_rings_do_not() {
    let crossed = Pattern::CrossedDipole { front: Hand::Left };
    assert_eq!(crossed.toward(0.3).hand, Hand::Left);
    assert_eq!(crossed.toward(PI - 0.3).hand, Hand::Right);
    let (face, back) = (crossed.toward(0.3), crossed.toward(PI - 0.3));
    assert!((face.gain_dbi - back.gain_dbi).abs() < 1e-9);
    assert!(crossed.toward(FRAC_PI_2).axial_ratio_db > 60.0);
    let ring = Pattern::Ring { hand: Hand::Left };
    assert_eq!(ring.toward(1.0).hand, ring.toward(PI - 1.0).hand);
    assert_eq!(ring.toward(0.0).gain_dbi, -NULL_FLOOR_DB);
    assert_eq!(Pattern::Dipole.toward(PI).gain_dbi, -NULL_FLOOR_DB);
}

#[test]
fn checked_a_table_of_a_dipole_is_a_dipole() {
    let rows: Vec<Row> = (1..18)
        .map(|index| {
            let theta_rad = f64::from(10 * index).to_radians();
            let ray = Pattern::Dipole.toward(theta_rad);
            Row {
                theta_rad,
                gain_dbi: ray.gain_dbi,
                axial_ratio_db: ray.axial_ratio_db,
                hand: ray.hand,
            }
        })
        .collect();
    let table = Pattern::Table(Table::new(&rows, LongAxis::Along).expect("rows"));
    for degrees in [10.0, 34.0, 55.0, 91.0, 126.0] {
        let theta = f64::to_radians(degrees);
        let (found, expected) = (table.toward(theta), Pattern::Dipole.toward(theta));
        assert!(
            (found.gain_dbi - expected.gain_dbi).abs() < 0.01,
            "{degrees}"
        );
        assert!(found.axial_ratio_db.is_infinite());
    }
    assert!((table.peak_dbi() - Pattern::Dipole.peak_dbi()).abs() < 1e-12);
    let mut turned = rows.clone();
    turned.reverse();
    assert_eq!(
        Table::new(&turned, LongAxis::Along),
        Err(TableFault::Angles)
    );
    assert_eq!(Table::new(&[], LongAxis::Along), Err(TableFault::Empty));
}

// A short dipole seen by a short dipole: |a·(I − kkᵀ)·g| holds both patterns and the tilt.
#[test]
fn checked_short_dipoles_couple_by_their_projections() {
    let short = |axis| Mounted {
        pattern: Pattern::ShortDipole,
        axis,
        field: None,
    };
    let attitude = Attitude {
        roll_rad: 0.5,
        pitch_rad: -0.3,
        yaw_rad: 2.0,
    };
    let (axis, ground_axis) = ([0.2, -0.4, -0.9], [0.1, 0.0, -1.0]);
    let seen = between(
        &short(axis),
        attitude,
        [30.0, -20.0, -12.0],
        &short(ground_axis),
        [0.0, 0.0, -1.5],
    )
    .expect("two places");
    let a = direction::unit(attitude.to_world(axis)).expect("a direction");
    let g = direction::unit(ground_axis).expect("a direction");
    let k = direction::unit([-30.0, 20.0, 10.5]).expect("a direction");
    let coupling = direction::dot(a, g) - direction::dot(a, k) * direction::dot(k, g);
    let expected = 2.0 * crate::decibels(1.5 * coupling.abs());
    assert!(
        (seen.gain_db() - expected).abs() < 1e-9,
        "{} {expected}",
        seen.gain_db()
    );
}

#[test]
fn checked_upside_down_flight_costs_a_crossed_dipole_its_hand() {
    let crossed = Mounted {
        pattern: Pattern::CrossedDipole { front: Hand::Right },
        axis: [0.0, 0.0, -1.0],
        field: None,
    };
    let patch = Mounted {
        pattern: Pattern::Directional {
            gain_dbi: 8.0,
            floor_below_db: 15.0,
            axial_ratio_db: 1.0,
            hand: Hand::Right,
        },
        axis: [0.0, 0.0, -1.0],
        field: None,
    };
    let over_head = [1.0, 0.0, -60.0];
    let loss = |roll_rad| {
        let attitude = Attitude {
            roll_rad,
            ..Attitude::default()
        };
        let seen = between(&crossed, attitude, over_head, &patch, [0.0; 3]).expect("two places");
        seen.polarisation.mean_db
    };
    assert!(
        loss(0.0) > 20.0,
        "its lower face has the other hand: {}",
        loss(0.0)
    );
    assert!(loss(PI) < 0.1, "its upper face looks down: {}", loss(PI));
}

#[test]
fn checked_mismatch_of_a_ratio_and_its_inverse() {
    assert_eq!(mismatch_loss_db(1.0), 0.0);
    assert!((mismatch_loss_db(3.0) - mismatch_loss_db(1.0 / 3.0)).abs() < 1e-12);
    assert!((return_loss_db(3.0) - 20.0 * 2_f64.log10()).abs() < 1e-12);
}
