//! How long a craft of sixty solids takes, two of them meshes of 20 000 triangles.

use std::f64::consts::TAU;
use std::sync::Arc;

use divan::{Bencher, black_box};
use fit::{Camera, Disc, Keep, Lens, Mesh, Pose, Solid, Turn, Unit, Wanted};
use fit::{blocked_share, distance, distance_m, spots};

fn main() {
    divan::main();
}

/// Every pair; the shell of one mesh stands over the other and over most parts.
#[divan::bench]
fn all_pairs(bencher: Bencher) {
    let solids = sixty();
    bencher.bench(|| pairs(black_box(&solids)));
}

/// The two meshes alone.
#[divan::bench]
fn two_meshes(bencher: Bencher) {
    let solids = sixty();
    bencher.bench(|| distance(black_box(&solids[0]), &solids[1]));
}

/// A bell in a bell, one millimetre apart all over: the hardest pair there is.
#[divan::bench(sample_count = 10)]
fn nested_meshes(bencher: Bencher) {
    let inner = bell(30.0, 1.0, [0.0; 3]);
    let outer = bell(32.0, 1.0, [0.0; 3]);
    bencher.bench(|| distance(black_box(&outer), &inner));
}

/// One draw of an ensemble: a solid is moved and its distance from another one is measured.
#[divan::bench(args = PAIRS)]
fn moved_and_measured(bencher: Bencher, pair: &str) {
    let [one, other] = pair_of(pair);
    bencher.bench(|| distance(&nudged(black_box(&one)), &other));
}

/// The same where nobody asks where the air is.
#[divan::bench(args = PAIRS)]
fn moved_and_air_alone(bencher: Bencher, pair: &str) {
    let [one, other] = pair_of(pair);
    bencher.bench(|| distance_m(&nudged(black_box(&one)), &other));
}

/// Moving alone.
#[divan::bench(args = PAIRS)]
fn moved(bencher: Bencher, pair: &str) {
    let [one, _] = pair_of(pair);
    bencher.bench(|| nudged(black_box(&one)));
}

/// Every spot about the sixty for a block of two solids, with 1 mm of air all round and something within 2.5 mm.
#[divan::bench(sample_count = 5)]
fn spots_for_a_part(bencher: Bencher) {
    let own = [
        Solid::block([12e-3, 12e-3, 4e-3], Pose::at([0.0; 3])).expect("a board"),
        Solid::cylinder(1e-3, 20e-3, Pose::at([8e-3, 0.0, 4e-3])).expect("an antenna"),
    ];
    let keeps: Vec<Keep> = sixty()
        .iter()
        .enumerate()
        .flat_map(|(owner, other)| {
            own.iter().map(move |own| Keep {
                own: own.clone(),
                other: other.clone(),
                air_m: 1e-3,
                owner,
                holds: true,
            })
        })
        .collect();
    let wanted = Wanted {
        low_m: [-0.06, -0.06, -0.03],
        high_m: [0.06, 0.06, 0.05],
        step_m: [4e-3, 4e-3, 2e-3],
        towards_m: [0.0; 2],
        hold_m: 2.5e-3,
        most: 300,
        effort: 300_000,
    };
    bencher.bench(|| spots(black_box(&keeps), &wanted));
}

/// From bytes to a mesh that is ready for distances.
#[divan::bench]
fn read_mesh(bencher: Bencher) {
    let bytes = ring_of_rings(|u, v| point_of_bell(30.0, 1.0, u, v));
    bencher.bench(|| Mesh::read(black_box(&bytes), Unit::Millimetre));
}

/// A camera between two discs under a bell.
#[divan::bench(sample_count = 10)]
fn view(bencher: Bencher) {
    let camera = Camera {
        pose: Pose::turned([0.044, 0.0, 0.016], Turn::degrees(0.0, -20.0, 0.0)),
        lens: Lens::Rectilinear {
            across: 2.1,
            upright: 1.6,
        },
    };
    let discs = [-1.0, 1.0].map(|side| Disc {
        radius_m: 0.0381,
        pose: Pose::at([0.062, side * 0.062, 0.010]),
    });
    let bells = [bell(30.0, 1.0, [0.0; 3])];
    bencher.bench(|| blocked_share(black_box(&camera), &discs, &bells));
}

const PAIRS: [&str; 4] = ["box-box", "box-cylinder", "mesh-box", "mesh-mesh"];

fn pair_of(name: &str) -> [Solid; 2] {
    let pose = Pose::turned([2e-3, -1e-3, 8e-3], Turn::degrees(4.0, -20.0, 30.0));
    let camera = Solid::block([19e-3, 19e-3, 18e-3], pose).expect("a camera");
    let board = Solid::block([30e-3, 30e-3, 6e-3], Pose::at([0.0, 0.0, -12e-3])).expect("a board");
    let disc = Solid::cylinder(38e-3, 4e-3, Pose::at([53e-3, 53e-3, 10e-3])).expect("a disc");
    match name {
        "box-box" => [camera, board],
        "box-cylinder" => [camera, disc],
        "mesh-box" => [bell(30.0, 1.0, [0.0; 3]), camera],
        _ => [bell(30.0, 1.0, [0.0; 3]), bell(36.0, 1.5, [0.0; 3])],
    }
}

/// As far as a place may be off.
fn nudged(solid: &Solid) -> Solid {
    let turn = Turn {
        roll: 0.01,
        pitch: -0.02,
        yaw: 0.015,
    };
    solid.moved([3e-4, -2e-4, 1e-4], turn, [1e-2, 0.0, 5e-3])
}

fn pairs(solids: &[Solid]) -> f64 {
    let all = solids.iter().enumerate();
    all.flat_map(|(index, one)| {
        solids[..index]
            .iter()
            .map(move |other| distance(one, other))
    })
    .map(|gap| gap.distance_m)
    .fold(f64::INFINITY, f64::min)
}

fn sixty() -> Vec<Solid> {
    let meshes = [
        bell(30.0, 1.0, [0.0, 0.0, 10.0]),
        bell(36.0, 1.5, [2.0, 1.0, -18.0]),
    ];
    let parts = (0..58).map(|index| {
        let i = f64::from(index);
        let centre = [
            i * 37.0 % 70.0 - 35.0,
            i * 23.0 % 60.0 - 30.0,
            i * 11.0 % 30.0 - 5.0,
        ];
        let pose = Pose::turned(
            centre.map(|x| 1e-3 * x),
            Turn::degrees(i * 13.0, i * 7.0, i * 29.0),
        );
        let solid = match index % 3 {
            0 => Solid::cylinder(3e-3 + 5e-4 * i, 4e-3, pose),
            _ => Solid::block([2e-3 + 1e-4 * i, 8e-3, 3e-3], pose),
        };
        solid.expect("sizes and places of a small craft")
    });
    meshes.into_iter().chain(parts).collect()
}

fn bell(radius: f64, wall: f64, centre: [f64; 3]) -> Solid {
    let bytes = ring_of_rings(|u, v| point_of_bell(radius, wall, u, v));
    let mesh = Mesh::read(&bytes, Unit::Millimetre).expect("closed");
    assert_eq!(mesh.triangles(), 20_000);
    assert!(mesh.properties().is_ok());
    let pose = Pose::at(centre.map(|x| 1e-3 * x));
    Solid::mesh(Arc::new(mesh), pose).expect("near")
}

/// A dome with a wall and a hole on top: out along v below a half and back inside.
fn point_of_bell(radius: f64, wall: f64, u: f64, v: f64) -> [f64; 3] {
    let (outside, along) = match v < 0.5 {
        true => (radius, 2.0 * v),
        false => (radius - wall, 2.0 - 2.0 * v),
    };
    let up = 0.2 + 1.2 * along;
    [
        outside * up.cos() * (TAU * u).cos(),
        outside * up.cos() * (TAU * u).sin(),
        outside * up.sin(),
    ]
}

/// 100 × 100 squares, joined at both ends both ways, as a binary mesh.
fn ring_of_rings(point: impl Fn(f64, f64) -> [f64; 3]) -> Vec<u8> {
    const STEPS: usize = 100;
    let at = |i: usize, j: usize| {
        let part = |x: usize| (x % STEPS) as f64 / STEPS as f64;
        point(part(i), part(j))
    };
    let mut stl = vec![0; 80];
    stl.extend((2 * STEPS as u32 * STEPS as u32).to_le_bytes());
    for (i, j) in (0..STEPS).flat_map(|i| (0..STEPS).map(move |j| (i, j))) {
        let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
        for triangle in [[a, b, c], [a, c, d]] {
            stl.extend([0; 12]);
            for x in triangle.into_iter().flatten() {
                stl.extend((x as f32).to_le_bytes());
            }
            stl.extend([0; 2]);
        }
    }
    stl
}
