//! Whole craft against what builders see: the demo benches and the typical parts, through the same calls as
//! `fitout check`. Common practice, no traceable source; a band of ± 15 % is what the trade itself gives.

use crate::{Case, Kind, Tolerance};
use craft::SourceFile;
use craft::bench::Job;
use workbench::assess::{Assessment, Options, assess};
use workbench::outcome::Outcome;
use workbench::verdict::State;

const TRADE: &str = "builders' worked refits and check values; common practice";
/// What the trade allows its own worked refits.
const WORKED: f64 = 0.15;

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    let loft = demo("loft-75", LOFT);
    let hull = demo("hull-85", HULL);
    [
        worked_one_cell(&loft),
        worked_two_cell(&hull),
        laws(&hull),
        packs(),
        ratios(&loft),
        ratios(&hull),
    ]
    .concat()
}

const LOFT: &[(&str, &str)] = &[
    (
        "parts/rafter-frame.toml",
        include_str!("../../../benches/loft-75/parts/rafter-frame.toml"),
    ),
    (
        "parts/rafter-motor.toml",
        include_str!("../../../benches/loft-75/parts/rafter-motor.toml"),
    ),
    (
        "parts/rafter-board.toml",
        include_str!("../../../benches/loft-75/parts/rafter-board.toml"),
    ),
    (
        "parts/slate-450.toml",
        include_str!("../../../benches/loft-75/parts/slate-450.toml"),
    ),
    (
        "parts/gable-video.toml",
        include_str!("../../../benches/loft-75/parts/gable-video.toml"),
    ),
    (
        "loft-75.craft.toml",
        include_str!("../../../benches/loft-75/loft-75.craft.toml"),
    ),
    (
        "loft-75.refit.toml",
        include_str!("../../../benches/loft-75/loft-75.refit.toml"),
    ),
];

const HULL: &[(&str, &str)] = &[
    (
        "parts/bilge-frame.toml",
        include_str!("../../../benches/hull-85/parts/bilge-frame.toml"),
    ),
    (
        "parts/bilge-motor.toml",
        include_str!("../../../benches/hull-85/parts/bilge-motor.toml"),
    ),
    (
        "parts/bilge-board.toml",
        include_str!("../../../benches/hull-85/parts/bilge-board.toml"),
    ),
    (
        "parts/keel-2x450.toml",
        include_str!("../../../benches/hull-85/parts/keel-2x450.toml"),
    ),
    (
        "parts/porthole-video.toml",
        include_str!("../../../benches/hull-85/parts/porthole-video.toml"),
    ),
    (
        "hull-85.craft.toml",
        include_str!("../../../benches/hull-85/hull-85.craft.toml"),
    ),
    (
        "hull-85.refit.toml",
        include_str!("../../../benches/hull-85/hull-85.refit.toml"),
    ),
];

fn demo(name: &str, files: &[(&str, &str)]) -> Assessment {
    assessed(name, files, &[])
}

/// A demo with pieces of text replaced.
fn assessed(name: &str, files: &[(&str, &str)], edits: &[(&str, &str)]) -> Assessment {
    let edited = |text: &str| {
        edits
            .iter()
            .fold(text.to_owned(), |text, (from, to)| text.replace(from, to))
    };
    let files = files
        .iter()
        .map(|(path, text)| SourceFile {
            path: (*path).into(),
            text: edited(text),
        })
        .collect();
    let (bench, _) = store::text::read(files);
    let job: Job<'_> = bench.refit_job(name).expect("the demo's refit");
    assess(
        &job,
        Options {
            settle: false,
            ..Options::default()
        },
    )
}

fn middle(state: &State, outcome: Outcome) -> f64 {
    state.summary(outcome).expect("every demo flies").p50
}

fn practice(
    model: &'static str,
    id: &str,
    what: &str,
    expected: f64,
    computed: f64,
    tolerance: Tolerance,
    reason: &'static str,
) -> Case {
    Case {
        model,
        id: id.to_owned(),
        source: TRADE,
        kind: Kind::CommonPractice,
        what: what.to_owned(),
        expected,
        computed,
        tolerance,
        reason,
    }
}

/// A 75 mm one-cell craft of 33 g goes from analogue to digital video and 41.5 g.
fn worked_one_cell(loft: &Assessment) -> Vec<Case> {
    let before = loft.before.as_ref().expect("a refit has a before");
    let row = |state: &State, when: &str, expected: [f64; 4]| {
        let computed = [
            middle(state, Outcome::HoverPower),
            middle(state, Outcome::HoverCurrent),
            middle(state, Outcome::HoverCommand),
            middle(state, Outcome::HoverTime) / 60.0,
        ];
        let names = [
            "hover power [W]",
            "hover current [A]",
            "hover motor command [%]",
            "pure hover [min]",
        ];
        (0..4)
            .map(|at| {
                let id = format!("worked-75-{when}-{}", at + 1);
                practice(
                    "whole craft, worked refit",
                    &id,
                    names[at],
                    expected[at],
                    computed[at],
                    Tolerance::Relative(WORKED),
                    "the trade's own ± 15 %",
                )
            })
            .collect::<Vec<_>>()
    };
    [
        row(before, "before", [8.3, 2.2, 43.0, 9.7]),
        row(&loft.judged, "after", [13.4, 3.6, 50.0, 6.0]),
    ]
    .concat()
}

/// An 85 mm two-cell craft of 85 g with a digital unit: 23 W, 3.1 A, 7.1 min.
fn worked_two_cell(hull: &Assessment) -> Vec<Case> {
    let state = &hull.judged;
    [
        ("hover power [W]", 23.0, middle(state, Outcome::HoverPower)),
        (
            "hover current [A]",
            3.1,
            middle(state, Outcome::HoverCurrent),
        ),
        (
            "pure hover [min]",
            7.1,
            middle(state, Outcome::HoverTime) / 60.0,
        ),
    ]
    .into_iter()
    .enumerate()
    .map(|(at, (what, expected, computed))| {
        let id = format!("worked-85-{}", at + 1);
        practice(
            "whole craft, worked refit",
            &id,
            what,
            expected,
            computed,
            Tolerance::Relative(WORKED),
            "the trade's own ± 15 %",
        )
    })
    .collect()
}

/// Ten percent more mass: propulsion power +15 %, hover time −13 %, command +6 %.
fn laws(hull: &Assessment) -> Vec<Case> {
    let heavier = assessed(
        "hull-85",
        HULL,
        &[("weighed = \"74.2 g\"", "weighed = \"81.62 g\"")],
    );
    let (base, more) = (
        hull.before.as_ref().expect("a before"),
        heavier.before.as_ref().expect("a before"),
    );
    let electronics = middle(base, Outcome::Electronics);
    let propulsion = |state: &State| middle(state, Outcome::HoverPower) - electronics;
    let reason = "a rule of thumb for propulsion alone";
    vec![
        practice(
            "whole craft, laws of scale",
            "ten-percent-power",
            "propulsion power for 10 % more mass, ratio",
            1.15,
            propulsion(more) / propulsion(base),
            Tolerance::Absolute(0.03),
            reason,
        ),
        practice(
            "whole craft, laws of scale",
            "ten-percent-command",
            "hover motor command for 10 % more mass, ratio",
            1.06,
            middle(more, Outcome::HoverCommand) / middle(base, Outcome::HoverCommand),
            Tolerance::Absolute(0.03),
            reason,
        ),
        practice(
            "whole craft, laws of scale",
            "ten-percent-time",
            "pure hover for 10 % more mass, ratio",
            0.87,
            middle(more, Outcome::HoverTime) / middle(base, Outcome::HoverTime),
            Tolerance::Absolute(0.03),
            reason,
        ),
    ]
}

/// Energy over mass and resistance times capacity of the typical packs.
fn packs() -> Vec<Case> {
    let (bench, _) = store::text::read(Vec::new());
    bench
        .parts
        .iter()
        .filter_map(|part| {
            Some((
                part,
                part.cells.as_ref()?,
                part.body.as_ref()?.mass.as_ref()?,
            ))
        })
        .flat_map(|(part, cells, mass)| {
            let capacity = cells
                .capacity
                .as_ref()
                .expect("typical packs are whole")
                .written;
            let series = f64::from(
                cells
                    .series
                    .as_ref()
                    .expect("typical packs are whole")
                    .value,
            );
            let energy = 3.7 * series * capacity.in_ampere_hours() / mass.written.in_kilograms();
            let merit = power::typical::merit(
                power::typical::new_cell_resistance(capacity).quantity.value,
                capacity,
            );
            [
                practice(
                    "typical parts",
                    &format!("{}-energy", part.name),
                    "energy over mass [Wh/kg]",
                    130.0,
                    energy,
                    Tolerance::Band(105.0, 155.0),
                    "packs with leads",
                ),
                practice(
                    "cell resistance by class",
                    &format!("{}-merit", part.name),
                    "new cell resistance times capacity [mΩ·Ah]",
                    7.0,
                    merit,
                    Tolerance::Band(4.0, 10.0),
                    "good to normal packs",
                ),
            ]
        })
        .collect()
}

/// Ratios that hold for any craft: active against hover time, command against thrust over weight, grams for
/// a watt, sag at full command, honest rate.
fn ratios(assessment: &Assessment) -> Vec<Case> {
    let state = &assessment.judged;
    let name = &state.airframe.name;
    let get = |outcome| middle(state, outcome);
    let active = get(Outcome::HoverTime) / get(Outcome::ActiveTime);
    // u = (1/TWR)^(1/1.6), common practice; our command carries the idle offset.
    let by_thrust = 100.0 * (1.0 / get(Outcome::ThrustFull)).powf(1.0 / 1.6);
    let band = |model, id: &str, what: &str, computed, low: f64, high: f64, reason| {
        practice(
            model,
            &format!("{name}-{id}"),
            what,
            0.5 * (low + high),
            computed,
            Tolerance::Band(low, high),
            reason,
        )
    };
    vec![
        band(
            "whole craft, active flying",
            "active",
            "pure hover over active time",
            active,
            1.2,
            2.4,
            "gentle to freestyle; the electronics' share draws it down",
        ),
        practice(
            "whole craft, laws of scale",
            &format!("{name}-command"),
            "hover motor command from thrust over weight [%]",
            by_thrust,
            get(Outcome::HoverCommand),
            Tolerance::Absolute(8.0),
            "± 5 points of the rule, and our idle offset of 3",
        ),
        band(
            "whole craft, laws of scale",
            "grams",
            "all-up grams for a watt of hover",
            get(Outcome::AllUpMass) / get(Outcome::HoverPower),
            2.8,
            4.3,
            "ducted micros",
        ),
        band(
            "cell resistance by class",
            "rate",
            "discharge rate held for long [C]",
            get(Outcome::HonestRate),
            12.0,
            36.0,
            "28 packs tested by a hobbyist",
        ),
        band(
            "whole craft, volts",
            "sag",
            "sag of a cell, worst punch, cold and aged [V]",
            get(Outcome::PunchSag),
            0.5,
            1.2,
            "0.5 to 0.9 V warm and new; cold and aged more",
        ),
    ]
}
