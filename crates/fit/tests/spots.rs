//! The search for spots against every spot of a grid measured one by one.

use std::sync::Arc;

use fit::{Keep, Mesh, Pose, Solid, Spots, Turn, Unit, Wanted, distance, spots};
use proptest::prelude::*;

fn pose(centre: [f64; 3], turn: [f64; 3]) -> Pose {
    Pose::turned(
        centre.map(|mm| 1e-3 * mm),
        Turn::degrees(turn[0], turn[1], turn[2]),
    )
}

/// A closed mesh of a box around the origin, as text.
fn mesh_of_box(half: [f64; 3]) -> Arc<Mesh> {
    let corner = |at: usize| {
        [0, 1, 2].map(|axis| {
            if at >> axis & 1 == 1 {
                half[axis]
            } else {
                -half[axis]
            }
        })
    };
    let sides = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let mut text = String::from("solid box\n");
    for [a, b, c, d] in sides {
        for triangle in [[a, b, c], [a, c, d]] {
            text.push_str("facet normal 0 0 0\nouter loop\n");
            for [x, y, z] in triangle.map(corner) {
                text.push_str(&format!("vertex {x} {y} {z}\n"));
            }
            text.push_str("endloop\nendfacet\n");
        }
    }
    text.push_str("endsolid box\n");
    Arc::new(Mesh::read(text.as_bytes(), Unit::Millimetre).expect("a box"))
}

fn any_solid(reach: f64) -> impl Strategy<Value = Solid> {
    let size = prop::array::uniform3(2.0..14.0);
    let centre = prop::array::uniform3(-reach..=reach);
    let turn = prop::array::uniform3(-90.0..90.0);
    (0..3, size, centre, turn).prop_map(|(kind, size, centre, turn)| {
        let pose = pose(centre, turn);
        let made = match kind {
            0 => Solid::block(size.map(|mm| 1e-3 * mm), pose),
            1 => Solid::cylinder(1e-3 * size[0], 1e-3 * size[1], pose),
            _ => Solid::mesh(mesh_of_box(size.map(|mm| 0.5 * mm)), pose),
        };
        made.expect("small and near")
    })
}

fn any_keeps() -> impl Strategy<Value = Vec<Keep>> {
    let own = prop::collection::vec(any_solid(3.0), 1..3);
    let others = prop::collection::vec((any_solid(25.0), 0.0..4.0, any::<bool>()), 1..7);
    (own, others).prop_map(|(own, others)| {
        let pairs = others
            .iter()
            .enumerate()
            .flat_map(|(owner, (other, air, holds))| {
                own.iter().map(move |own| Keep {
                    own: own.clone(),
                    other: other.clone(),
                    air_m: 1e-3 * air,
                    owner,
                    holds: *holds,
                })
            });
        pairs.collect()
    })
}

fn wanted(towards_m: [f64; 2]) -> Wanted {
    Wanted {
        low_m: [-0.024, -0.020, -0.016],
        high_m: [0.024, 0.020, 0.016],
        step_m: [0.006, 0.005, 0.004],
        towards_m,
        hold_m: 2.5e-3,
        most: usize::MAX,
        effort: usize::MAX,
    }
}

/// Spots where all is well, in the order of the grid, and those that are too near to the edge of it to be told.
fn one_by_one(keeps: &[Keep], wanted: &Wanted) -> (Vec<[f64; 3]>, Vec<[f64; 3]>) {
    const EDGE_M: f64 = 1e-7;
    let (mut well, mut edge) = (Vec::new(), Vec::new());
    for at in grid(wanted) {
        let air_m = |keep: &Keep| {
            distance(&keep.own.moved(at, Turn::NONE, [0.0; 3]), &keep.other).distance_m
        };
        let slack_m = keeps
            .iter()
            .map(|keep| match air_m(keep) {
                // An overlap with a mesh has no depth.
                air_m if air_m <= 0.0 => air_m.min(-2.0 * EDGE_M) - keep.air_m,
                air_m => air_m - keep.air_m,
            })
            .fold(f64::INFINITY, f64::min);
        let holds = keeps.iter().filter(|keep| keep.holds);
        let hold_m = holds.map(air_m).fold(f64::INFINITY, f64::min);
        if slack_m.abs() < EDGE_M || (hold_m - wanted.hold_m).abs() < EDGE_M {
            edge.push(at);
        } else if slack_m > 0.0 && hold_m < wanted.hold_m {
            well.push(at);
        }
    }
    (well, edge)
}

fn grid(wanted: &Wanted) -> Vec<[f64; 3]> {
    let along = |axis: usize| {
        let steps =
            ((wanted.high_m[axis] - wanted.low_m[axis]) / wanted.step_m[axis]).round() as usize;
        (0..=steps).map(move |at| wanted.low_m[axis] + at as f64 * wanted.step_m[axis])
    };
    let rows = along(0).flat_map(|x| along(1).map(move |y| (x, y)));
    rows.flat_map(|(x, y)| along(2).map(move |z| [x, y, z]))
        .collect()
}

fn is_in(at: [f64; 3], all: &[[f64; 3]]) -> bool {
    all.iter()
        .any(|other| (0..3).all(|axis| (at[axis] - other[axis]).abs() < 1e-6))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]

    #[test]
    fn checked_every_spot_that_will_do_is_found(
        keeps in any_keeps(),
        towards in prop::array::uniform2(-0.03..0.03),
    ) {
        let wanted = wanted(towards);
        let (well, edge) = one_by_one(&keeps, &wanted);
        let Spots { found, is_all } = spots(&keeps, &wanted);
        prop_assert!(is_all);
        let found_at: Vec<[f64; 3]> = found.iter().map(|spot| spot.at_m).collect();
        for at in &well {
            prop_assert!(is_in(*at, &found_at), "missed {at:?} of {}", well.len());
        }
        for at in &found_at {
            prop_assert!(is_in(*at, &well) || is_in(*at, &edge), "invented {at:?}");
        }
        let far = |at: &[f64; 3]| (at[0] - towards[0]).hypot(at[1] - towards[1]);
        prop_assert!(found_at.windows(2).all(|two| far(&two[0]) <= far(&two[1]) + 1e-12), "not the nearest first");
    }

    #[test]
    fn checked_a_short_search_finds_the_first_of_a_long_one(keeps in any_keeps(), most in 1..5_usize) {
        let all = spots(&keeps, &wanted([0.01, -0.004]));
        let few = spots(&keeps, &Wanted { most, ..wanted([0.01, -0.004]) });
        prop_assert_eq!(&few.found[..], &all.found[..most.min(all.found.len())]);
    }
}

/// A plate of 40 × 40 × 2 mm holds a block of 4 mm with 1 mm of air: above and below it and beside its edges, and nowhere else.
#[test]
fn checked_a_plate_holds_a_block_on_its_faces() {
    let plate = Solid::block([0.040, 0.040, 0.002], Pose::at([0.0; 3])).expect("a plate");
    let block = Solid::block([0.004; 3], Pose::at([0.0; 3])).expect("a block");
    let keep = Keep {
        own: block,
        other: plate,
        air_m: 1e-3,
        owner: 7,
        holds: true,
    };
    let found = spots(&[keep], &wanted([0.0; 2])).found;
    assert_eq!((found[0].at_m[0], found[0].at_m[1]), (0.0, 0.0));
    // 4 mm from the middle of the plate leave 4 − 2 − 1 = 1 mm of air, 8 mm would leave 5.
    assert!(
        found
            .iter()
            .all(|spot| spot.held_by == 7 && spot.at_m[2].abs() < 5e-3)
    );
    assert!(found.iter().any(|spot| spot.at_m[2] < -3e-3));
}

#[test]
fn checked_a_search_without_room_ends_at_once() {
    let none = Wanted {
        high_m: [-1.0; 3],
        ..wanted([0.0; 2])
    };
    assert_eq!(
        spots(&[], &none),
        Spots {
            found: Vec::new(),
            is_all: true
        }
    );
    let no_steps = Wanted {
        step_m: [0.0; 3],
        ..wanted([0.0; 2])
    };
    assert!(spots(&[], &no_steps).found.is_empty());
    // Nothing to hold on to.
    assert!(spots(&[], &wanted([0.0; 2])).found.is_empty());
}
