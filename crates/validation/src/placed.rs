//! The whole road from a written place to balance, inertia and gains, against numbers worked out elsewhere.
//!
//! A part list that another program summed is written as the files of a bench, one sheet and one place for each part, and assessed.

use crate::cell::rows;
use crate::{Case, Kind, Tolerance};
use craft::SourceFile;
use quantity::statistics::Summary;
use workbench::assess::{Assessment, Options, assess};
use workbench::outcome::Outcome;
use workbench::verdict::State;

const PARTS_B: &str = include_str!("../data/handling-parts-B.csv");
const MODEL: &str = "balance of a placed craft";
const SOURCE: &str =
    "data/handling-parts-B.csv, summed by trimesh 5.2; the refit replaces vtx by a box of 24 g";

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    [balance(), spread(), gains()].concat()
}

fn assessed(files: Vec<(String, String)>, refit: bool) -> Assessment {
    let source = |(path, text): (String, String)| SourceFile { path, text };
    let (bench, faults) = store::text::read(files.into_iter().map(source).collect());
    assert!(faults.is_empty(), "{faults:#?}");
    let job = craft::bench::Job {
        craft: &bench.craft[0],
        refit: refit.then(|| &bench.refits[0]),
    };
    let options = Options {
        settle: false,
        ..Options::default()
    };
    assess(&job, options)
}

/// The list as a bench; `place` and `mass` are the doubts written, "± 1 mm" and "± 3 %".
fn bench(place: &str, mass: &str, weighed: &str) -> Vec<(String, String)> {
    let mut files = vec![(
        "parts/cross.toml".to_owned(),
        // Motors at ± 62 mm: a diagonal of 175.36 mm. It weighs nothing to speak of: the list has plate and arms as parts.
        "source = \"measured\"\n[body]\nmass = \"0.000001 g\"\n[frame]\nrotors = 4\ndiagonal = \"175.36248 mm\"\nsurround = \"open\"\n".to_owned(),
    )];
    let (mut parts, mut places) = ("cross = \"cross\"\n".to_owned(), String::new());
    for row in rows(PARTS_B).filter(|row| row.len() == 12) {
        let [part, shape, mass_g, a, b, c, x, y, z, roll, pitch, yaw] = row[..] else {
            continue;
        };
        let solid = match shape {
            "box" => format!(
                "shape = \"box\"\nlength = \"{a} mm\"\nwidth = \"{b} mm\"\nheight = \"{c} mm\"\n"
            ),
            "cyl" => format!("shape = \"cylinder\"\ndiameter = \"{a} mm\"\nheight = \"{b} mm\"\n"),
            _ => format!(
                "shape = \"cylinder\"\ndiameter = \"{a} mm\"\nbore = \"{b} mm\"\nheight = \"{c} mm\"\n"
            ),
        };
        files.push((
            format!("parts/{part}.toml"),
            format!("source = \"measured\"\n[body]\nmass = \"{mass_g} g{mass}\"\n[solid.body]\n{solid}z = \"0 mm\"\n"),
        ));
        parts.push_str(&format!("{part} = \"{part}\"\n"));
        places.push_str(&format!(
            "{part} = {{ x = \"{x} mm{place}\", y = \"{y} mm{place}\", z = \"{z} mm{place}\", roll = \"{roll} ° ± 0.0001 °\", pitch = \"{pitch} ° ± 0.0001 °\", yaw = \"{yaw} ° ± 0.0001 °\" }}\n"
        ));
    }
    files.push((
        "b.craft.toml".to_owned(),
        format!("{weighed}[parts]\n{parts}[places]\n{places}"),
    ));
    files
}

/// Before and after the refit, every figure at its middle.
fn balance() -> Vec<Case> {
    let mut files = bench(
        " ± 0.0001 mm",
        " ± 0.00001 g",
        "weighed = \"183.4 ± 0.0001 g\"\n",
    );
    files.push((
        "parts/digital.toml".into(),
        "source = \"measured\"\n[body]\nmass = \"24 g ± 0.00001 g\"\n[solid.body]\nshape = \"box\"\nlength = \"34 mm\"\nwidth = \"32 mm\"\nheight = \"13 mm\"\nz = \"0 mm\"\n".into(),
    ));
    files.push((
        "b.refit.toml".into(),
        "craft = \"b\"\nremove = [\"vtx\"]\n[add]\ndigital = \"digital\"\n[places]\ndigital = { x = \"-48 mm ± 0.0001 mm\", y = \"0 mm ± 0.0001 mm\", z = \"10 mm ± 0.0001 mm\" }\n".into(),
    ));
    let assessment = assessed(files, true);
    let before = [
        183.4, -1.3642, 0.6494, 15.8975, 239.586, 310.631, 439.937, -0.7547, 4.3216, -2.0078,
    ];
    let after = [
        199.2, -5.8042, 0.5979, 15.5120, 241.793, 354.642, 484.926, -1.2835, -0.0839, -2.0537,
    ];
    let old = assessment
        .before
        .as_ref()
        .expect("a refit has a state before");
    [
        of("before", old, before),
        of("after", &assessment.judged, after),
    ]
    .concat()
}

const OUTCOMES: [(Outcome, &str); 10] = [
    (Outcome::AllUpMass, "mass [g]"),
    (Outcome::CgX, "centre of gravity, x [mm]"),
    (Outcome::CgY, "centre of gravity, y [mm]"),
    (Outcome::CgZ, "centre of gravity, z [mm]"),
    (Outcome::Ixx, "I_xx [kg·mm²]"),
    (Outcome::Iyy, "I_yy [kg·mm²]"),
    (Outcome::Izz, "I_zz [kg·mm²]"),
    (Outcome::Ixy, "I_xy [kg·mm²]"),
    (Outcome::Ixz, "I_xz [kg·mm²]"),
    (Outcome::Iyz, "I_yz [kg·mm²]"),
];

fn of(when: &str, state: &State, expected: [f64; 10]) -> Vec<Case> {
    OUTCOMES
        .iter()
        .zip(expected)
        .map(|((outcome, what), expected)| Case {
            model: MODEL,
            id: format!("placed-b-{when}-{}", outcome.id()),
            source: SOURCE,
            kind: Kind::Equation,
            what: (*what).into(),
            expected,
            computed: state.summary(*outcome).map_or(f64::NAN, |band| band.p50),
            tolerance: Tolerance::Absolute(1e-3),
            reason: "last printed digit, and a written doubt of 0.1 µm for each place",
        })
        .collect()
}

/// Masses ± 3 %, places ± 1 mm.
fn spread() -> Vec<Case> {
    let assessment = assessed(bench(" ± 1 mm", " ± 3 %", ""), false);
    let axes = [
        (Outcome::CgX, 0.48),
        (Outcome::CgY, 0.47),
        (Outcome::CgZ, 0.50),
    ];
    let case = |(outcome, expected): (Outcome, f64)| Case {
        model: MODEL,
        id: format!("placed-b-spread-{}", outcome.id()),
        source: "data/handling-parts-B.csv, Monte Carlo with numpy 2.4",
        kind: Kind::Simulation,
        what: format!("sd of {} [mm]", outcome.info().name),
        expected,
        computed: assessment
            .judged
            .summary(outcome)
            .map_or(f64::NAN, |band| band.sd),
        tolerance: Tolerance::Relative(0.08),
        reason: "two samples of draws",
    };
    axes.into_iter().map(case).collect()
}

/// 30 % more mass in the middle: builders lower the gains, they do not raise them.
fn gains() -> Vec<Case> {
    let mut files: Vec<(String, String)> = FLIES
        .iter()
        .map(|(path, text)| ((*path).into(), (*text).into()))
        .collect();
    files.push(("heavier.refit.toml".into(), "craft = \"flies\"\n[add]\nballast = \"ballast\"\n[places]\nballast = { x = \"0 mm ± 0.1 mm\", y = \"0 mm ± 0.1 mm\", z = \"19 mm ± 0.1 mm\" }\n".into()));
    let assessment = assessed(files, true);
    let before = assessment
        .before
        .as_ref()
        .expect("a refit has a state before");
    let of = |outcome| {
        let middle = |state: &State| state.summary(outcome).map_or(f64::NAN, |band| band.p50);
        middle(&assessment.judged) / middle(before)
    };
    let (mass, inertia) = (of(Outcome::AllUpMass), of(Outcome::Ixx));
    let factor = assessment
        .judged
        .handling
        .axes
        .first()
        .and_then(|axis| axis.factor.as_ref());
    vec![Case {
        model: "gains after a refit",
        id: "heavier-in-the-middle".into(),
        source: "trade figure: new over old = (inertia ratio)·(mass ratio)^−0.4; +30 % mass, +5 % inertia gives −5 %",
        kind: Kind::CommonPractice,
        what: format!(
            "factor on the roll gains at {:.0} % more mass and {:.0} % more inertia",
            100.0 * (mass - 1.0),
            100.0 * (inertia - 1.0)
        ),
        expected: inertia * mass.powf(-0.4),
        computed: factor.map_or(f64::NAN, |factor| Summary::of(factor).p50),
        tolerance: Tolerance::Absolute(0.05),
        reason: "the exponent is a rule of thumb; here lag changes as well",
    }]
}

/// An open 3-inch craft with what the loop needs.
const FLIES: &[(&str, &str)] = &[
    (
        "parts/frame.toml",
        "source = \"measured\"\n[body]\nmass = \"28 g\"\n[frame]\nrotors = 4\nsurround = \"open\"\ndiagonal = \"155 mm\"\n[solid.plate]\nshape = \"box\"\nlength = \"110 mm\"\nwidth = \"110 mm\"\nheight = \"3 mm\"\n",
    ),
    (
        "parts/motor.toml",
        "source = \"measured\"\n[body]\nmass = \"9.3 g\"\n[motor]\ncode = \"1404\"\nkv = \"3200 rpm/V\"\nresistance = \"260 mΩ\"\nno_load_current = \"0.5 A\"\nno_load_volts = \"10 V\"\n",
    ),
    (
        "parts/propeller.toml",
        "source = \"measured\"\n[body]\nmass = \"1.3 g\"\n[propeller]\ndiameter = \"76.2 mm\"\npitch = \"50 mm\"\nblades = 3\nthrust_coefficient = \"0.15\"\npower_coefficient = \"0.092\"\n",
    ),
    (
        "parts/pack.toml",
        "source = \"measured\"\n[body]\nmass = \"78 g\"\n[cells]\nchemistry = \"lipo\"\nseries = 4\ncapacity = \"650 mAh\"\nresistance = \"8.5 mΩ\"\n[plug]\nsize = \"xt60\"\n[solid.pack]\nshape = \"box\"\nlength = \"70 mm\"\nwidth = \"30 mm\"\nheight = \"26 mm\"\n",
    ),
    (
        "parts/board.toml",
        "source = \"measured\"\n[body]\nmass = \"25 g\"\n[esc]\n[board]\n[lead]\ngauge = \"14 AWG\"\nlength = \"50 mm\"\n[solid.board]\nshape = \"board\"\nlength = \"30 mm\"\nwidth = \"30 mm\"\n",
    ),
    (
        "parts/ballast.toml",
        "source = \"measured\"\n[body]\nmass = \"54 g\"\n[solid.body]\nshape = \"box\"\nlength = \"40 mm\"\nwidth = \"40 mm\"\nheight = \"20 mm\"\nz = \"0 mm\"\n",
    ),
    (
        "flies.craft.toml",
        "class = \"open-3-inch\"\nweighed = \"180 g\"\n[parts]\nframe = \"frame\"\nmotors = { sheet = \"motor\", count = 4 }\npropellers = { sheet = \"propeller\", count = 4 }\nbattery = \"pack\"\nboard = \"board\"\n[places]\nbattery = { x = \"0 mm\", y = \"0 mm\", z = \"25 mm\" }\nboard = { x = \"0 mm\", y = \"0 mm\", z = \"6 mm\" }\n[rate_loop]\ndelay = \"1.0 ms\"\n",
    ),
];
