//! Mass, distance and view against numbers that were worked out elsewhere.
//!
//! Sources: closed form and a public mesh program for mass; alternating projections checked by bounded minimisation for distances; rays in
//! Python for views. The same cases stand in the book's table.

use std::sync::Arc;

use fit::{
    Camera, Disc, Lens, MassProperties, Mesh, Part, PartShape, Pose, Solid, Thickness, Turn, Unit,
    VolumeFault, blocked_share, distance, radial_overlap_m, smallest_rim_angle, stack,
};

const PARTS_A: &str = include_str!("../../validation/data/handling-parts-A.csv");
const PARTS_B: &str = include_str!("../../validation/data/handling-parts-B.csv");
const PARTS_C: &str = include_str!("../../validation/data/handling-parts-C.csv");
const MESH: &[u8] = include_bytes!("../../validation/data/handling-mesh-L.stl");
const INSIDE_OUT: &[u8] = include_bytes!("../../validation/data/handling-mesh-L-inverted.stl");
const OPEN: &[u8] = include_bytes!("../../validation/data/handling-mesh-L-open.stl");

/// Printed figures are good to this share of the largest of their kind.
const PRINTED: f64 = 1e-4;
/// Of distances \[mm\]; the expected numbers have four digits after the point.
const DISTANCE_MM: f64 = 0.02;
/// Of a share of the picture \[%\].
const SHARE: f64 = 0.1;

#[test]
fn validated_single_shapes_closed_form() {
    // Box 9 g, 30×20×8 mm: 9/12·(20² + 8²) = 348 g·mm², 9/12·(30² + 8²) = 723, 9/12·(30² + 20²) = 975.
    let inertia = |mass_g: f64, shape| in_g_mm2(&part(mass_g, shape, [0.0; 3], Turn::NONE));
    let block = PartShape::Box {
        size_m: mm([30.0, 20.0, 8.0]),
    };
    assert_diagonal(inertia(9.0, block), [348.0, 723.0, 975.0]);
    let cylinder = PartShape::Cylinder {
        radius_m: 0.007,
        height_m: 0.012,
    };
    assert_diagonal(inertia(7.0, cylinder), [169.75, 169.75, 171.5]);
    let tube = PartShape::Tube {
        outer_m: 0.006,
        inner_m: 0.004,
        height_m: 0.040,
    };
    assert_diagonal(inertia(6.0, tube), [878.0, 878.0, 156.0]);
}

#[test]
fn validated_a_turned_box_numpy() {
    let block = PartShape::Box {
        size_m: mm([30.0, 20.0, 8.0]),
    };
    let [x, y, z] = in_g_mm2(&part(
        9.0,
        block,
        [0.0; 3],
        Turn::degrees(10.0, -25.0, 40.0),
    ));
    for (ours, theirs) in [
        (x[0], 553.064),
        (y[1], 636.163),
        (z[2], 856.772),
        (x[1], -130.756),
        (x[2], -156.635),
        (y[2], -182.417),
    ] {
        assert!((ours - theirs).abs() <= PRINTED * 975.0, "{ours} {theirs}");
    }
}

/// Mass \[g\], centre \[mm\], xx yy zz xy xz yz \[kg·mm²\].
type Printed = (f64, [f64; 3], [f64; 6]);

#[test]
fn validated_part_lists_trimesh_and_numpy() {
    let whole = |list| MassProperties::sum(&of(&parts(list, |_, part| part))).unwrap();
    let a: Printed = (
        25.5,
        [0.0627, 0.0, -2.7529],
        [7.3589, 9.6204, 14.6749, 0.0, -0.2948, 0.0],
    );
    assert_whole(&whole(PARTS_A), a, Some([7.3470, 9.6204, 14.6868]));
    let b: Printed = (
        183.4,
        [-1.3642, 0.6494, 15.8975],
        [239.586, 310.631, 439.937, -0.7547, 4.3216, -2.0078],
    );
    assert_whole(&whole(PARTS_B), b, Some([239.486, 310.606, 440.062]));
    let c: Printed = (
        525.7,
        [-4.8906, -0.7799, 19.2939],
        [1514.43, 2057.45, 2997.72, 5.880, 24.918, 10.885],
    );
    assert_whole(&whole(PARTS_C), c, None);
}

#[test]
fn validated_a_part_is_replaced_trimesh_and_numpy() {
    let replaced = |list, name: &'static str, new: Part| {
        let parts = parts(list, move |part, old| if part == name { new } else { old });
        MassProperties::sum(&of(&parts)).unwrap()
    };
    let box_of = |mass_g: f64, size, centre| Part {
        mass_kg: 1e-3 * mass_g,
        shape: PartShape::Box { size_m: mm(size) },
        centre_m: mm(centre),
        turn: Turn::NONE,
    };
    let heavier = box_of(24.0, [34.0, 32.0, 13.0], [-48.0, 0.0, 10.0]);
    let b: Printed = (
        199.2,
        [-5.8042, 0.5979, 15.5120],
        [241.793, 354.642, 484.926, -1.2835, -0.0839, -2.0537],
    );
    assert_whole(&replaced(PARTS_B, "vtx", heavier), b, None);
    let digital = box_of(2.6, [18.0, 18.0, 4.0], [-10.0, 0.0, 13.0]);
    let a: Printed = (
        27.7,
        [-0.6787, 0.0, -1.5162],
        [7.9231, 10.3536, 14.9842, 0.0, -0.0023, 0.0],
    );
    assert_whole(&replaced(PARTS_A, "vtx_antenna", digital), a, None);
}

#[test]
fn validated_an_l_profile_closed_form_and_trimesh() {
    for (bytes, inside_out) in [(MESH, false), (INSIDE_OUT, true)] {
        let found = read(bytes).properties().unwrap();
        assert_eq!(found.inside_out, inside_out);
        assert!((1e9 * found.volume_m3 - 5952.0).abs() < PRINTED * 5952.0);
        let whole = found.of_mass(0.005);
        for (ours, theirs) in whole.centre_m.iter().zip([12.742_43, 12.234_88, 8.0]) {
            assert!(
                (1e3 * ours - theirs).abs() < PRINTED * 12.7,
                "{ours} {theirs}"
            );
        }
        let [x, y, z] = in_g_mm2(&whole);
        for (ours, theirs) in [
            (x[0], 264.971),
            (y[1], 933.935),
            (z[2], 1078.906),
            (x[1], -29.912),
        ] {
            assert!((ours - theirs).abs() < PRINTED * 1079.0, "{ours} {theirs}");
        }
    }
}

#[test]
fn validated_two_missing_triangles_are_named() {
    // Two neighbouring triangles leave a hole with four edges.
    let refused = read(OPEN).properties().unwrap_err();
    assert_eq!(refused, VolumeFault::Open { edges: 4 });
    assert!(refused.to_string().contains("open"));
}

/// Mass sd 3 % and position sd 1 mm on each axis, by first differences; a Monte Carlo run in Python gave the expected spreads.
#[test]
fn validated_spread_of_a_part_list_monte_carlo() {
    let middle = parts(PARTS_B, |_, part| part);
    let seen = |parts: &[Part]| {
        let whole = MassProperties::sum(&of(parts)).unwrap();
        let i = whole.inertia_kg_m2;
        let [x, y, z] = whole.centre_m;
        [whole.mass_kg, x, y, z, i[0][0], i[1][1], i[2][2]]
    };
    let mut variance = [0.0; 7];
    for index in 0..middle.len() {
        for input in 0..4 {
            let moved = |sign: f64| {
                let mut parts = middle.clone();
                match input {
                    0 => parts[index].mass_kg *= 1.0 + sign * 0.03,
                    axis => parts[index].centre_m[axis - 1] += sign * 0.001,
                }
                seen(&parts)
            };
            let (up, down) = (moved(1.0), moved(-1.0));
            for (sum, (up, down)) in variance.iter_mut().zip(up.iter().zip(down)) {
                *sum += ((up - down) / 2.0).powi(2);
            }
        }
    }
    let printed = [
        2.41e-3, 0.48e-3, 0.47e-3, 0.50e-3, 4.25e-6, 4.71e-6, 4.98e-6,
    ];
    for (ours, theirs) in variance.iter().map(|v| v.sqrt()).zip(printed) {
        assert!((ours / theirs - 1.0).abs() < 0.08, "{ours} {theirs}");
    }
}

#[test]
fn validated_gaps_alternating_projections() {
    let disc = |x, y, z| cylinder([x, y, z], 38.1, 7.0, [0.0; 3]);
    let cases = [
        (
            block([44.0, 0.0, 14.0], [19.0, 19.0, 20.0], [0.0, -30.0, 0.0]),
            disc(62.0, -62.0, 10.0),
            14.6165,
        ),
        (
            block([-3.0, 1.5, 35.0], [70.0, 32.0, 26.0], [0.0, 0.0, 3.0]),
            disc(-62.0, 62.0, 10.0),
            16.1567,
        ),
        (
            cylinder([-52.0, 0.0, 22.0], 3.0, 45.0, [0.0, -40.0, 0.0]),
            disc(-62.0, -62.0, 10.0),
            22.7191,
        ),
        (
            block([20.0, -20.0, 6.0], [36.0, 36.0, 14.0], [0.0, 0.0, 45.0]),
            cylinder([62.0, -62.0, 12.0], 38.1, 4.0, [8.0, 0.0, 0.0]),
            3.3610,
        ),
        (
            block([0.0; 3], [26.0, 26.0, 6.0], [0.0, 0.0, 45.0]),
            cylinder([23.0, -23.0, 4.0], 15.5, 5.0, [0.0; 3]),
            4.0269,
        ),
        (
            cylinder([23.0, 23.0, 4.0], 15.5, 5.0, [0.0; 3]),
            cylinder([23.0, -23.0, 4.0], 15.5, 5.0, [0.0; 3]),
            15.0,
        ),
        (
            Solid::mesh(Arc::new(read(MESH)), Pose::default()).unwrap(),
            cylinder([60.0, -30.0, 5.0], 25.0, 6.0, [0.0; 3]),
            25.8827,
        ),
    ];
    for (first, second, expected) in &cases {
        for found in [distance(first, second), distance(second, first)] {
            let ours = 1e3 * found.distance_m;
            assert!((ours - expected).abs() < DISTANCE_MM, "{ours} {expected}");
        }
    }
}

#[test]
fn validated_a_camera_in_a_disc_closed_form() {
    let disc = cylinder([62.0, -62.0, 10.0], 38.1, 7.0, [0.0; 3]);
    let camera = block([38.0, -38.0, 10.0], [19.0, 19.0, 20.0], [0.0; 3]);
    let found = distance(&camera, &disc);
    assert!(found.is_contact());
    assert_eq!(found.air_m(), 0.0);
    // Nearest corner (47.5, −47.5): 14.5·√2 = 20.506 mm from the axis; 38.1 − 20.506 = 17.594.
    let reach = 1e3 * radial_overlap_m(&disc, &camera).unwrap();
    assert!((reach - 17.594).abs() < DISTANCE_MM, "{reach}");
}

#[test]
fn validated_a_stack_by_hand() {
    // 20 − 3.2 − 1.6 − 5.0 − 1.6 − 4.1 = 4.5; less 1.1; less √(0.04 + 0.09 + 0.0225 + 0.01 + 0.0225 + 0.04) = 0.4743.
    let of = |nominal: f64, tolerance: f64| Thickness {
        nominal_m: 1e-3 * nominal,
        tolerance_m: 1e-3 * tolerance,
    };
    let layers = [
        of(3.2, 0.3),
        of(1.6, 0.15),
        of(5.0, 0.1),
        of(1.6, 0.15),
        of(4.1, 0.2),
    ];
    let room = stack::clearance(of(20.0, 0.2), &layers);
    assert!((room.nominal_m - 4.5e-3).abs() < 1e-9);
    assert!((room.worst_m - 3.4e-3).abs() < 1e-9);
    assert!((room.statistical_m - 4.026e-3).abs() < 1e-6);
}

#[test]
fn validated_views_rays_in_python() {
    let three = [(90.0, 60.0), (120.0, 90.0), (140.0, 105.0)];
    let open = discs(62.0, 10.0, 38.1);
    let (back, ahead) = ([44.0, 0.0, 16.0], [52.0, 0.0, 16.0]);
    for ((angles, flat), even) in three
        .into_iter()
        .zip([0.76, 5.18, 8.61])
        .zip([0.86, 2.69, 3.50])
    {
        assert_share(&camera(back, 20.0, rectilinear(angles)), &open, flat);
        assert_share(&camera(back, 20.0, equidistant(angles)), &open, even);
    }
    assert_share(&camera(ahead, 20.0, rectilinear(three[1])), &open, 3.62);
    assert_share(&camera(ahead, 20.0, equidistant(three[1])), &open, 1.81);
    let small = discs(23.0, 7.0, 15.5);
    let on_small = |lens| camera([14.0, 0.0, 9.0], 25.0, lens);
    assert_share(&on_small(rectilinear((100.0, 75.0))), &small, 4.34);
    assert_share(&on_small(equidistant((150.0, 110.0))), &small, 4.73);
}

#[test]
fn validated_rims_rays_in_python() {
    let lens = rectilinear((90.0, 60.0));
    for (place, tilt, disc, expected) in [
        ([44.0, 0.0, 16.0], 20.0, discs(62.0, 10.0, 38.1)[0], 45.46),
        ([52.0, 0.0, 16.0], 20.0, discs(62.0, 10.0, 38.1)[1], 50.40),
        ([14.0, 0.0, 9.0], 25.0, discs(23.0, 7.0, 15.5)[0], 42.18),
    ] {
        let ours = smallest_rim_angle(&camera(place, tilt, lens), &disc).to_degrees();
        assert!((ours - expected).abs() < 0.01, "{ours} {expected}");
    }
}

fn parts(list: &str, each: impl Fn(&str, Part) -> Part) -> Vec<Part> {
    list.lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("part,"))
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let n = |column: usize| cells[column].parse::<f64>().unwrap();
            let part = Part {
                mass_kg: 1e-3 * n(2),
                shape: shape(cells[1], [n(3), n(4), n(5)]),
                centre_m: mm([n(6), n(7), n(8)]),
                turn: Turn::degrees(n(9), n(10), n(11)),
            };
            each(cells[0], part)
        })
        .collect()
}

fn shape(name: &str, [d1, d2, d3]: [f64; 3]) -> PartShape {
    match name {
        "box" => PartShape::Box {
            size_m: mm([d1, d2, d3]),
        },
        "cyl" => PartShape::Cylinder {
            radius_m: d1 / 2e3,
            height_m: d2 / 1e3,
        },
        "tube" => PartShape::Tube {
            outer_m: d1 / 2e3,
            inner_m: d2 / 2e3,
            height_m: d3 / 1e3,
        },
        "point" => PartShape::Point,
        other => panic!("no shape {other}"),
    }
}

fn of(parts: &[Part]) -> Vec<MassProperties> {
    parts
        .iter()
        .map(|part| part.properties().unwrap())
        .collect()
}

fn part(mass_g: f64, shape: PartShape, centre_m: [f64; 3], turn: Turn) -> MassProperties {
    let part = Part {
        mass_kg: 1e-3 * mass_g,
        shape,
        centre_m,
        turn,
    };
    part.properties().unwrap()
}

fn in_g_mm2(whole: &MassProperties) -> [[f64; 3]; 3] {
    whole.inertia_kg_m2.map(|row| row.map(|x| 1e9 * x))
}

fn assert_diagonal(ours: [[f64; 3]; 3], theirs: [f64; 3]) {
    for axis in 0..3 {
        assert!((ours[axis][axis] - theirs[axis]).abs() < PRINTED * theirs[axis]);
        assert!(ours[axis][(axis + 1) % 3].abs() < 1e-9);
    }
}

fn assert_whole(ours: &MassProperties, theirs: Printed, principal: Option<[f64; 3]>) {
    let (mass_g, centre, tensor) = theirs;
    assert!((1e3 * ours.mass_kg - mass_g).abs() < PRINTED * mass_g);
    for (ours, theirs) in ours.centre_m.iter().zip(centre) {
        // Printed to a ten-thousandth of a millimetre.
        assert!((1e3 * ours - theirs).abs() < 1e-4, "{ours} {theirs}");
    }
    let i = ours.inertia_kg_m2;
    let flat = [i[0][0], i[1][1], i[2][2], i[0][1], i[0][2], i[1][2]];
    let most = PRINTED * tensor[2];
    for (ours, theirs) in flat.iter().zip(tensor) {
        assert!((1e6 * ours - theirs).abs() < most, "{ours} {theirs}");
    }
    for (ours, theirs) in ours
        .principal_kg_m2()
        .iter()
        .zip(principal.into_iter().flatten())
    {
        assert!((1e6 * ours - theirs).abs() < most, "{ours} {theirs}");
    }
}

fn read(bytes: &[u8]) -> Mesh {
    Mesh::read(bytes, Unit::Millimetre).unwrap()
}

fn mm(lengths: [f64; 3]) -> [f64; 3] {
    lengths.map(|x| 1e-3 * x)
}

fn pose(centre: [f64; 3], [roll, pitch, yaw]: [f64; 3]) -> Pose {
    Pose::turned(mm(centre), Turn::degrees(roll, pitch, yaw))
}

fn block(centre: [f64; 3], size: [f64; 3], turn: [f64; 3]) -> Solid {
    Solid::block(mm(size), pose(centre, turn)).unwrap()
}

fn cylinder(centre: [f64; 3], radius: f64, height: f64, turn: [f64; 3]) -> Solid {
    Solid::cylinder(1e-3 * radius, 1e-3 * height, pose(centre, turn)).unwrap()
}

fn rectilinear((across, upright): (f64, f64)) -> Lens {
    Lens::Rectilinear {
        across: across.to_radians(),
        upright: upright.to_radians(),
    }
}

fn equidistant((across, upright): (f64, f64)) -> Lens {
    Lens::Equidistant {
        across: across.to_radians(),
        upright: upright.to_radians(),
    }
}

fn camera(place: [f64; 3], tilt_up: f64, lens: Lens) -> Camera {
    Camera {
        pose: pose(place, [0.0, -tilt_up, 0.0]),
        lens,
    }
}

fn discs(aside: f64, z: f64, radius: f64) -> [Disc; 2] {
    [-1.0, 1.0].map(|side| Disc {
        radius_m: 1e-3 * radius,
        pose: pose([aside, side * aside, z], [0.0; 3]),
    })
}

fn assert_share(camera: &Camera, discs: &[Disc], percent: f64) {
    let ours = 100.0 * blocked_share(camera, discs, &[]).unwrap();
    assert!((ours - percent).abs() < SHARE, "{ours} {percent}");
}
