//! Sums of masses against another library's, and what every body of matter keeps to.

use fit::{MassProperties, Part, PartFault, PartShape, Turn};
use parry3d_f64::mass_properties::MassProperties as Theirs;
use parry3d_f64::math::{Mat3, Pose3, Rot3, Vector};
use proptest::prelude::*;

/// Theirs goes through principal axes at every sum, whose closed form keeps half of the digits where two moments are nearly equal.
const EIGEN: f64 = 1e-7;

proptest! {
    #[test]
    fn checked_a_sum_of_boxes_and_cylinders_another_library(
        parts in proptest::collection::vec(part(), 1..12)
    ) {
        let each: Vec<_> = parts.iter().map(|part| part.properties().unwrap()).collect();
        let ours = MassProperties::sum(&each).unwrap();
        let theirs = parts.iter().map(theirs).reduce(|sum, part| sum + part).unwrap();
        prop_assert!((1e3 * ours.mass_kg / theirs.mass() - 1.0).abs() < 1e-9);
        let off = (1e3 * Vector::from(ours.centre_m)).distance(theirs.local_com);
        prop_assert!(off < 1e-9, "{off}");
        let their = theirs.reconstruct_inertia_matrix();
        let most = 1e9 * ours.principal_kg_m2()[2];
        for (row, column) in (0..3).flat_map(|row| (0..3).map(move |column| (row, column))) {
            let miss = 1e9 * ours.inertia_kg_m2[row][column] - their.col(column)[row];
            prop_assert!(miss.abs() < EIGEN * most, "{ours:?} {their:?}");
        }
    }

    #[test]
    fn checked_every_sum_is_a_possible_body(parts in proptest::collection::vec(part(), 1..12)) {
        let each: Vec<_> = parts.iter().map(|part| part.properties().unwrap()).collect();
        prop_assert!(each.iter().all(MassProperties::is_possible));
        let whole = MassProperties::sum(&each).unwrap();
        prop_assert!(whole.is_possible());
        // Turning and moving change no principal moment.
        let moved = whole.turned(Turn::degrees(10.0, 20.0, 30.0)).shifted([1.0, -2.0, 3.0]);
        for (before, after) in whole.principal_kg_m2().iter().zip(moved.principal_kg_m2()) {
            prop_assert!((before - after).abs() <= 1e-8 * whole.principal_kg_m2()[2]);
        }
    }

    #[test]
    fn checked_no_number_makes_a_part_panic(
        mass_kg in prop::num::f64::ANY,
        size in prop::array::uniform3(prop::num::f64::ANY),
        centre_m in prop::array::uniform3(prop::num::f64::ANY),
    ) {
        let [outer_m, inner_m, height_m] = size;
        for shape in [
            PartShape::Box { size_m: size },
            PartShape::Tube { outer_m, inner_m, height_m },
            PartShape::Ring { radius_m: outer_m },
            PartShape::Point,
        ] {
            let part = Part { mass_kg, shape, centre_m, turn: Turn::NONE };
            if let Ok(found) = part.properties() {
                let _ = MassProperties::sum(&[found, found]).map(|sum| sum.is_possible());
            }
        }
    }
}

#[test]
fn checked_what_no_body_has_is_told() {
    let impossible = MassProperties {
        mass_kg: 0.1,
        centre_m: [0.0; 3],
        inertia_kg_m2: [[1e-6, 0.0, 0.0], [0.0, 1e-6, 0.0], [0.0, 0.0, 3e-6]],
    };
    assert!(!impossible.is_possible());
    assert!(MassProperties::sum(&[]).is_none());
}

#[test]
fn checked_wrong_parts_are_refused_by_name() {
    let tube = |mass_kg, inner_m, height_m, roll| {
        let part = Part {
            mass_kg,
            shape: PartShape::Tube {
                outer_m: 0.006,
                inner_m,
                height_m,
            },
            centre_m: [0.0; 3],
            turn: Turn { roll, ..Turn::NONE },
        };
        part.properties().map(|_| ())
    };
    assert_eq!(tube(0.006, 0.004, 0.04, 0.0), Ok(()));
    assert_eq!(tube(0.0, 0.004, 0.04, 0.0), Err(PartFault::Mass));
    assert_eq!(tube(f64::NAN, 0.004, 0.04, 0.0), Err(PartFault::Mass));
    assert_eq!(tube(0.006, 0.006, 0.04, 0.0), Err(PartFault::Wall));
    assert_eq!(tube(0.006, 0.004, -0.04, 0.0), Err(PartFault::Size));
    assert_eq!(tube(0.006, 0.004, 0.04, f64::NAN), Err(PartFault::Place));
}

/// A thin ring is the end of a tube whose wall and height vanish.
#[test]
fn checked_a_ring_is_a_thin_tube() {
    let of = |shape| {
        let part = Part {
            mass_kg: 0.002,
            shape,
            centre_m: [0.0; 3],
            turn: Turn::NONE,
        };
        part.properties().unwrap().principal_kg_m2()
    };
    let ring = of(PartShape::Ring { radius_m: 0.02 });
    let tube = of(PartShape::Tube {
        outer_m: 0.02,
        inner_m: 0.02 * (1.0 - 1e-9),
        height_m: 0.0,
    });
    for (ring, tube) in ring.iter().zip(tube) {
        assert!((ring / tube - 1.0).abs() < 1e-8);
    }
}

fn part() -> impl Strategy<Value = Part> {
    let size = prop::array::uniform3(0.001..0.1_f64);
    let shape = prop_oneof![
        size.clone().prop_map(|size_m| PartShape::Box { size_m }),
        size.prop_map(|[radius_m, height_m, _]| PartShape::Cylinder { radius_m, height_m }),
    ];
    let place = prop::array::uniform3(-0.1..0.1_f64);
    (
        0.0002..0.2_f64,
        shape,
        place,
        prop::array::uniform3(-3.1..3.1_f64),
    )
        .prop_map(|(mass_kg, shape, centre_m, [roll, pitch, yaw])| Part {
            mass_kg,
            shape,
            centre_m,
            turn: Turn { roll, pitch, yaw },
        })
}

/// In grams and millimetres: theirs looks for principal axes and loses them where moments are as small as a small craft's in kg·m².
fn theirs(part: &Part) -> Theirs {
    let mut one = match part.shape {
        PartShape::Box { size_m } => Theirs::from_cuboid(1.0, 500.0 * Vector::from(size_m)),
        PartShape::Cylinder { radius_m, height_m } => {
            // Theirs stand along y.
            let upright = Pose3::from_rotation(Rot3::from_rotation_x(std::f64::consts::FRAC_PI_2));
            Theirs::from_cylinder(1.0, 500.0 * height_m, 1e3 * radius_m).transform_by(&upright)
        }
        _ => unreachable!("only boxes and cylinders are drawn"),
    };
    one.set_mass(1e3 * part.mass_kg, true);
    let turn = Mat3::from_rotation_z(part.turn.yaw)
        * Mat3::from_rotation_y(part.turn.pitch)
        * Mat3::from_rotation_x(part.turn.roll);
    one.transform_by(&Pose3::from_parts(
        1e3 * Vector::from(part.centre_m),
        Rot3::from_mat3(&turn),
    ))
}
