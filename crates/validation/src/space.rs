//! Mass, balance, distances and views against numbers worked out elsewhere.

use std::sync::Arc;

use fit::{
    Camera, Disc, Lens, MassProperties, Mesh, Part, PartShape, Pose, Solid, Thickness, Turn, Unit,
    VolumeFault, blocked_share, distance, radial_overlap_m, smallest_rim_angle, stack,
};
use quantity::ensemble::Ensemble;

use crate::cell::{number, rows};
use crate::{Case, Kind, Tolerance};

const PARTS_A: &str = include_str!("../data/handling-parts-A.csv");
const PARTS_B: &str = include_str!("../data/handling-parts-B.csv");
const PARTS_C: &str = include_str!("../data/handling-parts-C.csv");
const MESH: &[u8] = include_bytes!("../data/handling-mesh-L.stl");
const INSIDE_OUT: &[u8] = include_bytes!("../data/handling-mesh-L-inverted.stl");
const OPEN: &[u8] = include_bytes!("../data/handling-mesh-L-open.stl");

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    [
        single_shapes(),
        turned_box(),
        part_lists(),
        replaced_parts(),
        spread(),
        profile(MESH, "mesh-l", 0.0),
        profile(INSIDE_OUT, "mesh-l-inside-out", 1.0),
        open_mesh(),
        gaps(),
        overlap(),
        stack_height(),
        views(),
        rims(),
    ]
    .concat()
}

/// Moments about the own centre \[g·mm²\]; 9/12·(20² + 8²) = 348 and so on.
fn single_shapes() -> Vec<Case> {
    let block = PartShape::Box {
        size_m: mm([30.0, 20.0, 8.0]),
    };
    let cylinder = PartShape::Cylinder {
        radius_m: 0.007,
        height_m: 0.012,
    };
    let tube = PartShape::Tube {
        outer_m: 0.006,
        inner_m: 0.004,
        height_m: 0.040,
    };
    [
        ("box", 9.0, block, [348.0, 723.0, 975.0]),
        ("cylinder", 7.0, cylinder, [169.75, 169.75, 171.5]),
        ("tube", 6.0, tube, [878.0, 878.0, 156.0]),
    ]
    .into_iter()
    .flat_map(|(name, mass_g, shape, expected)| {
        let ours = single(mass_g, shape, Turn::NONE);
        ["x", "y", "z"]
            .into_iter()
            .enumerate()
            .map(move |(axis, letter)| Case {
                model: MASS,
                id: format!("{name}-{letter}"),
                source: "closed form for even solids, by hand",
                kind: Kind::Equation,
                what: format!("moment about {letter} [g·mm²]"),
                expected: expected[axis],
                computed: ours[axis],
                tolerance: Tolerance::Relative(1e-9),
                reason: "the same closed form",
            })
    })
    .collect()
}

fn turned_box() -> Vec<Case> {
    let block = PartShape::Box {
        size_m: mm([30.0, 20.0, 8.0]),
    };
    let ours = single(9.0, block, Turn::degrees(10.0, -25.0, 40.0));
    let expected = [553.064, 636.163, 856.772, -130.756, -156.635, -182.417];
    ELEMENTS
        .into_iter()
        .zip(expected.into_iter().zip(ours))
        .map(|(element, (expected, computed))| Case {
            model: MASS,
            id: format!("turned-box-{element}"),
            source: "R·I·Rᵀ with R = Rz(40°)·Ry(−25°)·Rx(10°), evaluated with numpy 2.4",
            kind: Kind::Equation,
            what: format!("I_{element} [g·mm²]"),
            expected,
            computed,
            tolerance: Tolerance::Absolute(6e-4),
            reason: "last printed digit",
        })
        .collect()
}

fn part_lists() -> Vec<Case> {
    let a = Printed {
        mass_g: 25.5,
        centre_mm: [0.0627, 0.0, -2.7529],
        tensor: [7.3589, 9.6204, 14.6749, 0.0, -0.2948, 0.0],
        principal: &[7.3470, 9.6204, 14.6868],
    };
    let b = Printed {
        mass_g: 183.4,
        centre_mm: [-1.3642, 0.6494, 15.8975],
        tensor: [239.586, 310.631, 439.937, -0.7547, 4.3216, -2.0078],
        principal: &[239.486, 310.606, 440.062],
    };
    let c = Printed {
        mass_g: 525.7,
        centre_mm: [-4.8906, -0.7799, 19.2939],
        tensor: [1514.43, 2057.45, 2997.72, 5.880, 24.918, 10.885],
        principal: &[],
    };
    [
        whole("parts-a", &sum(&parts(PARTS_A)), &a),
        whole("parts-b", &sum(&parts(PARTS_B)), &b),
        whole("parts-c", &sum(&parts(PARTS_C)), &c),
    ]
    .concat()
}

/// A refit: one part goes, a box takes its place.
fn replaced_parts() -> Vec<Case> {
    let replaced = |list, name: &str, mass_g: f64, size, centre| {
        let mut parts = parts(list);
        for (part, old) in &mut parts {
            if part == &name {
                *old = Part {
                    mass_kg: 1e-3 * mass_g,
                    shape: PartShape::Box { size_m: mm(size) },
                    centre_m: mm(centre),
                    turn: Turn::NONE,
                };
            }
        }
        sum(&parts)
    };
    let b = Printed {
        mass_g: 199.2,
        centre_mm: [-5.8042, 0.5979, 15.5120],
        tensor: [241.793, 354.642, 484.926, -1.2835, -0.0839, -2.0537],
        principal: &[],
    };
    let a = Printed {
        mass_g: 27.7,
        centre_mm: [-0.6787, 0.0, -1.5162],
        tensor: [7.9231, 10.3536, 14.9842, 0.0, -0.0023, 0.0],
        principal: &[],
    };
    let heavier = replaced(PARTS_B, "vtx", 24.0, [34.0, 32.0, 13.0], [-48.0, 0.0, 10.0]);
    let digital = replaced(
        PARTS_A,
        "vtx_antenna",
        2.6,
        [18.0, 18.0, 4.0],
        [-10.0, 0.0, 13.0],
    );
    [
        whole("parts-b-refit", &heavier, &b),
        whole("parts-a-refit", &digital, &a),
    ]
    .concat()
}

/// Mass sd 3 % of each part, place sd 1 mm on each axis; 2048 draws.
fn spread() -> Vec<Case> {
    let parts = parts(PARTS_B);
    let draws = Ensemble::sobol(7, 2048, 4 * parts.len());
    let mut seen = vec![Vec::new(); 7];
    for draw in 0..draws.draws() {
        let score = |input: usize| draws.scores(input)[draw];
        let mut moved = parts.clone();
        for (index, (_, part)) in moved.iter_mut().enumerate() {
            part.mass_kg *= 1.0 + 0.03 * score(4 * index);
            for axis in 0..3 {
                part.centre_m[axis] += 1e-3 * score(4 * index + 1 + axis);
            }
        }
        let whole = sum(&moved);
        let [x, y, z] = whole.centre_m.map(|x| 1e3 * x);
        let tensor = elements(&whole).map(|x| 1e-3 * x);
        let values = [
            1e3 * whole.mass_kg,
            x,
            y,
            z,
            tensor[0],
            tensor[1],
            tensor[2],
        ];
        for (column, value) in seen.iter_mut().zip(values) {
            column.push(value);
        }
    }
    let named = [
        ("mass", "sd of the mass [g]", 2.41),
        ("centre-x", "sd of the centre along x [mm]", 0.48),
        ("centre-y", "sd of the centre along y [mm]", 0.47),
        ("centre-z", "sd of the centre along z [mm]", 0.50),
        ("xx", "sd of I_xx [kg·mm²]", 4.25),
        ("yy", "sd of I_yy [kg·mm²]", 4.71),
        ("zz", "sd of I_zz [kg·mm²]", 4.98),
    ];
    named
        .into_iter()
        .zip(&seen)
        .map(|((id, what, expected), column)| Case {
            model: MASS,
            id: format!("parts-b-spread-{id}"),
            source: "Monte Carlo with numpy 2.4 (data/handling-parts-B.csv)",
            kind: Kind::Simulation,
            what: what.into(),
            expected,
            computed: deviation(column),
            tolerance: Tolerance::Relative(0.08),
            reason: "two random samples, printed to two digits",
        })
        .collect()
}

/// An L profile, 40×30×8×8 and 12 high, turned by 30° and moved, of 5 g.
fn profile(bytes: &[u8], id: &str, inside_out: f64) -> Vec<Case> {
    let found = mesh(bytes).properties().expect("the file is a closed mesh");
    let whole = found.of_mass(0.005);
    let case = |name: &str, what: &str, expected, computed, tolerance, reason| Case {
        model: MESHES,
        id: format!("{id}-{name}"),
        source: "closed form of an L profile, equal to trimesh 5.2 within 1e-7 (data/handling-mesh-L.stl and -inverted.stl)",
        kind: Kind::Equation,
        what: what.into(),
        expected,
        computed,
        tolerance,
        reason,
    };
    let digits = "corners of the file have seven digits";
    let mut cases = vec![
        case(
            "volume",
            "volume [mm³]",
            5952.0,
            1e9 * found.volume_m3,
            Tolerance::Relative(1e-5),
            digits,
        ),
        case(
            "inside-out",
            "whether it faces inwards, 0 or 1",
            inside_out,
            f64::from(u8::from(found.inside_out)),
            Tolerance::Absolute(0.0),
            "yes or no",
        ),
    ];
    let centre = [12.742_43, 12.234_88, 8.0];
    for ((letter, expected), ours) in ["x", "y", "z"].into_iter().zip(centre).zip(whole.centre_m) {
        cases.push(case(
            letter,
            &format!("centre along {letter} [mm]"),
            expected,
            1e3 * ours,
            Tolerance::Absolute(1e-5),
            "last printed digit",
        ));
    }
    let tensor = [264.971, 933.935, 1078.906, -29.912, 0.0, 0.0];
    for ((element, expected), ours) in ELEMENTS.into_iter().zip(tensor).zip(elements(&whole)) {
        cases.push(case(
            element,
            &format!("I_{element} [g·mm²]"),
            expected,
            ours,
            Tolerance::Absolute(1e-3),
            "last printed digit",
        ));
    }
    cases
}

/// Two neighbouring triangles are missing: the hole has four edges.
fn open_mesh() -> Vec<Case> {
    let edges = match mesh(OPEN).properties() {
        Err(VolumeFault::Open { edges }) => edges as f64,
        _ => 0.0,
    };
    vec![Case {
        model: MESHES,
        id: "mesh-l-open".into(),
        source: "the L profile with two facets left out (data/handling-mesh-L-open.stl), edges counted by hand",
        kind: Kind::Equation,
        what: "open edges that are named".into(),
        expected: OPEN_EDGES,
        computed: edges,
        tolerance: Tolerance::Absolute(0.0),
        reason: "a count",
    }]
}

fn gaps() -> Vec<Case> {
    let disc = |x, y, z| cylinder([x, y, z], 38.1, 7.0, [0.0; 3]);
    let pairs = [
        (
            "camera-disc",
            block([44.0, 0.0, 14.0], [19.0, 19.0, 20.0], [0.0, -30.0, 0.0]),
            disc(62.0, -62.0, 10.0),
            14.6165,
        ),
        (
            "battery-disc",
            block([-3.0, 1.5, 35.0], [70.0, 32.0, 26.0], [0.0, 0.0, 3.0]),
            disc(-62.0, 62.0, 10.0),
            16.1567,
        ),
        (
            "antenna-disc",
            cylinder([-52.0, 0.0, 22.0], 3.0, 45.0, [0.0, -40.0, 0.0]),
            disc(-62.0, -62.0, 10.0),
            22.7191,
        ),
        (
            "board-leaning-disc",
            block([20.0, -20.0, 6.0], [36.0, 36.0, 14.0], [0.0, 0.0, 45.0]),
            cylinder([62.0, -62.0, 12.0], 38.1, 4.0, [8.0, 0.0, 0.0]),
            3.3610,
        ),
        (
            "small-board-disc",
            block([0.0; 3], [26.0, 26.0, 6.0], [0.0, 0.0, 45.0]),
            cylinder([23.0, -23.0, 4.0], 15.5, 5.0, [0.0; 3]),
            4.0269,
        ),
        (
            "disc-disc",
            cylinder([23.0, 23.0, 4.0], 15.5, 5.0, [0.0; 3]),
            cylinder([23.0, -23.0, 4.0], 15.5, 5.0, [0.0; 3]),
            15.0,
        ),
        (
            "mesh-disc",
            Solid::mesh(Arc::new(mesh(MESH)), Pose::default()).expect("near the origin"),
            cylinder([60.0, -30.0, 5.0], 25.0, 6.0, [0.0; 3]),
            25.8827,
        ),
    ];
    pairs
        .into_iter()
        .map(|(id, first, second, expected)| Case {
            model: GAPS,
            id: format!("gap-{id}"),
            source: "alternating projections in Python, equal to bounded minimisation with scipy 1.17 within 1e-4 mm",
            kind: Kind::Equation,
            what: "distance [mm]".into(),
            expected,
            computed: 1e3 * distance(&first, &second).distance_m,
            tolerance: Tolerance::Absolute(2e-4),
            reason: "the printed digits and the other's search",
        })
        .collect()
}

/// A camera that stands in a disc: its nearest corner is 14.5·√2 = 20.506 mm from the axis, and 38.1 − 20.506 = 17.594.
fn overlap() -> Vec<Case> {
    let disc = cylinder([62.0, -62.0, 10.0], 38.1, 7.0, [0.0; 3]);
    let camera = block([38.0, -38.0, 10.0], [19.0, 19.0, 20.0], [0.0; 3]);
    let case = |id: &str, what: &str, expected, computed, tolerance| Case {
        model: GAPS,
        id: id.into(),
        source: "closed form, by hand",
        kind: Kind::Equation,
        what: what.into(),
        expected,
        computed,
        tolerance,
        reason: "printed to a thousandth",
    };
    let air = 1e3 * distance(&camera, &disc).air_m();
    let reach = radial_overlap_m(&disc, &camera).map_or(f64::NAN, |reach| 1e3 * reach);
    vec![
        case(
            "gap-camera-in-disc",
            "air between them [mm]",
            0.0,
            air,
            Tolerance::Absolute(0.0),
        ),
        case(
            "radial-overlap-camera",
            "reach into the disc [mm]",
            17.594,
            reach,
            Tolerance::Absolute(5e-4),
        ),
    ]
}

fn stack_height() -> Vec<Case> {
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
    [
        ("nominal", 4.5, room.nominal_m),
        ("worst", 3.4, room.worst_m),
        ("statistical", 4.026, room.statistical_m),
    ]
    .map(|(id, expected, computed)| Case {
        model: "room above a stack",
        id: format!("stack-{id}"),
        source: "a standoff of 20 mm over five layers, by hand",
        kind: Kind::Equation,
        what: format!("room left, {id} [mm]"),
        expected,
        computed: 1e3 * computed,
        tolerance: Tolerance::Absolute(5e-4),
        reason: "printed to a thousandth",
    })
    .into()
}

fn views() -> Vec<Case> {
    let large = discs(62.0, 10.0, 38.1);
    let small = discs(23.0, 7.0, 15.5);
    let (back, ahead, whoop) = ([44.0, 0.0, 16.0], [52.0, 0.0, 16.0], [14.0, 0.0, 9.0]);
    let flat = |across: f64, upright: f64| Lens::Rectilinear {
        across: across.to_radians(),
        upright: upright.to_radians(),
    };
    let even = |across: f64, upright: f64| Lens::Equidistant {
        across: across.to_radians(),
        upright: upright.to_radians(),
    };
    [
        ("rectilinear-90", back, 20.0, flat(90.0, 60.0), &large, 0.76),
        (
            "rectilinear-120",
            back,
            20.0,
            flat(120.0, 90.0),
            &large,
            5.18,
        ),
        (
            "rectilinear-140",
            back,
            20.0,
            flat(140.0, 105.0),
            &large,
            8.61,
        ),
        ("equidistant-90", back, 20.0, even(90.0, 60.0), &large, 0.86),
        (
            "equidistant-120",
            back,
            20.0,
            even(120.0, 90.0),
            &large,
            2.69,
        ),
        (
            "equidistant-140",
            back,
            20.0,
            even(140.0, 105.0),
            &large,
            3.50,
        ),
        (
            "ahead-rectilinear",
            ahead,
            20.0,
            flat(120.0, 90.0),
            &large,
            3.62,
        ),
        (
            "ahead-equidistant",
            ahead,
            20.0,
            even(120.0, 90.0),
            &large,
            1.81,
        ),
        (
            "small-rectilinear",
            whoop,
            25.0,
            flat(100.0, 75.0),
            &small,
            4.34,
        ),
        (
            "small-equidistant",
            whoop,
            25.0,
            even(150.0, 110.0),
            &small,
            4.73,
        ),
    ]
    .into_iter()
    .map(|(id, place, tilt_up, lens, discs, expected)| Case {
        model: VIEWS,
        id: format!("view-{id}"),
        source: "a ray for each pixel, in Python with numpy 2.4",
        kind: Kind::Equation,
        what: "share of the picture that two discs block [%]".into(),
        expected,
        computed: blocked_share(&camera(place, tilt_up, lens), discs, &[])
            .map_or(f64::NAN, |share| 100.0 * share),
        tolerance: Tolerance::Absolute(0.1),
        reason: "two grids of rays",
    })
    .collect()
}

fn rims() -> Vec<Case> {
    let lens = Lens::Rectilinear {
        across: 1.5,
        upright: 1.0,
    };
    let large = discs(62.0, 10.0, 38.1)[0];
    let small = discs(23.0, 7.0, 15.5)[0];
    [
        ("back", [44.0, 0.0, 16.0], 20.0, large, 45.46),
        ("ahead", [52.0, 0.0, 16.0], 20.0, large, 50.40),
        ("small", [14.0, 0.0, 9.0], 25.0, small, 42.18),
    ]
    .map(|(id, place, tilt_up, disc, expected)| Case {
        model: VIEWS,
        id: format!("rim-{id}"),
        source: "points of the rim, in Python with numpy 2.4",
        kind: Kind::Equation,
        what: "smallest angle of a rim off the axis of the lens [°]".into(),
        expected,
        computed: smallest_rim_angle(&camera(place, tilt_up, lens), &disc).to_degrees(),
        tolerance: Tolerance::Absolute(6e-3),
        reason: "last printed digit",
    })
    .into()
}

const MASS: &str = "mass, balance and inertia";
const MESHES: &str = "mass inside a mesh";
const GAPS: &str = "distance of two solids";
const VIEWS: &str = "what discs take of a picture";
const ELEMENTS: [&str; 6] = ["xx", "yy", "zz", "xy", "xz", "yz"];
const OPEN_EDGES: f64 = 4.0;

/// What another program printed for a part list: centre in millimetres, moments in kg·mm².
struct Printed {
    mass_g: f64,
    centre_mm: [f64; 3],
    tensor: [f64; 6],
    principal: &'static [f64],
}

fn whole(id: &str, ours: &MassProperties, theirs: &Printed) -> Vec<Case> {
    let case = |name: &str, what: String, expected, computed, tolerance, reason| Case {
        model: MASS,
        id: format!("{id}-{name}"),
        source: "invented part lists summed in Python with numpy 2.4 and trimesh 5.2 (data/handling-parts-*.csv)",
        kind: Kind::Equation,
        what,
        expected,
        computed,
        tolerance: Tolerance::Absolute(tolerance),
        reason,
    };
    let mut cases = vec![case(
        "mass",
        "mass [g]".into(),
        theirs.mass_g,
        1e3 * ours.mass_kg,
        1e-9,
        "the list's own grams",
    )];
    let centre = theirs.centre_mm.into_iter().zip(ours.centre_m);
    for (letter, (expected, computed)) in ["x", "y", "z"].into_iter().zip(centre) {
        let what = format!("centre along {letter} [mm]");
        cases.push(case(
            letter,
            what,
            expected,
            1e3 * computed,
            6e-5,
            "last printed digit",
        ));
    }
    // Small lists print four digits after the point, large ones two.
    let (step, reason) = (2e-5 * theirs.tensor[2], "last printed digit");
    for (element, (expected, computed)) in ELEMENTS
        .into_iter()
        .zip(theirs.tensor.into_iter().zip(elements(ours)))
    {
        let what = format!("I_{element} [kg·mm²]");
        cases.push(case(element, what, expected, 1e-3 * computed, step, reason));
    }
    let principal = theirs.principal.iter().zip(ours.principal_kg_m2());
    for (number, (expected, computed)) in (1..).zip(principal) {
        let (name, what) = (
            format!("principal-{number}"),
            format!("principal moment {number} [kg·mm²]"),
        );
        cases.push(case(&name, what, *expected, 1e6 * computed, step, reason));
    }
    cases
}

fn parts(list: &'static str) -> Vec<(&'static str, Part)> {
    rows(list)
        .map(|row| {
            let n = |column: usize| number(row[column]);
            let part = Part {
                mass_kg: 1e-3 * n(2),
                shape: shape(row[1], [n(3), n(4), n(5)]),
                centre_m: mm([n(6), n(7), n(8)]),
                turn: Turn::degrees(n(9), n(10), n(11)),
            };
            (row[0], part)
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
        other => unreachable!("no list has the shape {other}"),
    }
}

fn sum(parts: &[(&str, Part)]) -> MassProperties {
    let each: Vec<_> = parts
        .iter()
        .map(|(_, part)| part.properties().expect("a whole part"))
        .collect();
    MassProperties::sum(&each).expect("parts have mass")
}

/// xx, yy, zz, xy, xz, yz of one shape about its own centre \[g·mm²\].
fn single(mass_g: f64, shape: PartShape, turn: Turn) -> [f64; 6] {
    let part = Part {
        mass_kg: 1e-3 * mass_g,
        shape,
        centre_m: [0.0; 3],
        turn,
    };
    elements(&part.properties().expect("a whole part"))
}

/// xx, yy, zz, xy, xz, yz \[g·mm²\].
fn elements(whole: &MassProperties) -> [f64; 6] {
    let i = whole.inertia_kg_m2;
    [i[0][0], i[1][1], i[2][2], i[0][1], i[0][2], i[1][2]].map(|x| 1e9 * x)
}

fn deviation(values: &[f64]) -> f64 {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    (squares / (count - 1.0)).sqrt()
}

fn mesh(bytes: &[u8]) -> Mesh {
    Mesh::read(bytes, Unit::Millimetre).expect("the file is a mesh")
}

fn mm(lengths: [f64; 3]) -> [f64; 3] {
    lengths.map(|x| 1e-3 * x)
}

fn pose(centre: [f64; 3], [roll, pitch, yaw]: [f64; 3]) -> Pose {
    Pose::turned(mm(centre), Turn::degrees(roll, pitch, yaw))
}

fn block(centre: [f64; 3], size: [f64; 3], turn: [f64; 3]) -> Solid {
    Solid::block(mm(size), pose(centre, turn)).expect("a box of a craft")
}

fn cylinder(centre: [f64; 3], radius: f64, height: f64, turn: [f64; 3]) -> Solid {
    Solid::cylinder(1e-3 * radius, 1e-3 * height, pose(centre, turn)).expect("a disc of a craft")
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
