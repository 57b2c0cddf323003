//! Antenna patterns, turned craft and polarisations.

use link::antenna::{
    Attitude, Mounted, Pattern, Ray, between, directional_beamwidth_rad, directional_exponent,
};
use link::polarisation::{Hand, Hands, over_all_tilts};

use super::{LAST_OF_FOUR, LAST_OF_THREE, NUMPY, Printed};
use crate::cell::{number, rows};
use crate::{Case, Kind, Tolerance};

const SIMULATED: &str = include_str!("../../data/radio-antenna-nec.csv");
const ATTITUDES: &str = include_str!("../../data/radio-antenna-attitude.csv");
const PATCHES: &str = include_str!("../../data/radio-antenna-patch.csv");
const POLARISATIONS: &str = include_str!("../../data/radio-polarisation.csv");

pub(super) fn cases() -> Vec<Case> {
    [
        simulated(),
        dipole(),
        patches(),
        attitudes(),
        polarisations(),
        polarisation_of_lines(),
    ]
    .concat()
}

const METHOD_OF_MOMENTS: &str =
    "method of moments in free space at 5.8 GHz, PyNEC 2.3.4 (data/radio-antenna-nec.csv)";

/// Every direction of the simulated patterns but the axis of those with a null there.
fn simulated() -> Vec<Case> {
    rows(SIMULATED)
        .filter(|row| number(row[2]) > -90.0)
        .flat_map(|row| {
            let (name, pattern) = simulated_pattern(row[0]);
            let ray = pattern.toward(number(row[1]).to_radians());
            let case = |what, expected, computed, most, reason| {
                Printed {
                    model: "antenna patterns",
                    id: format!("{name}-{}", row[1]),
                    source: METHOD_OF_MOMENTS,
                    what,
                    expected,
                    computed,
                }
                .case(Kind::Simulation, Tolerance::Absolute(most), reason)
            };
            let wire = name == "dipole";
            let (most, reason) = if wire {
                (
                    0.1,
                    "a wire of a width and 0.474 wavelengths against one without and of a half",
                )
            } else {
                (0.01, MEDIAN)
            };
            let mut cases = vec![case(
                "gain [dBi]",
                number(row[2]),
                ray.gain_dbi,
                most,
                reason,
            )];
            // The table gives lines as 60 dB.
            if !wire && number(row[7]) < 60.0 {
                cases.push(case(
                    "axial ratio [dB]",
                    number(row[7]),
                    ray.axial_ratio_db,
                    1e-3,
                    MEDIAN,
                ));
                let weak_dbi = number(row[5]).min(number(row[6]));
                // Weaker ones are filled by echoes.
                if weak_dbi > -link::antenna::NULL_FLOOR_DB {
                    cases.push(case(
                        "gain of the weaker hand [dBi]",
                        weak_dbi,
                        weaker_dbi(&ray),
                        0.7,
                        MEAN,
                    ));
                }
            }
            cases
        })
        .collect()
}

const MEDIAN: &str = "the pattern is this table, rounded";
const MEAN: &str = "the mean of its power over the turn against that of the median axial ratio";

/// What turns the other way: with t = 1/R it is (1 − t)²/(2(1 + t²)) of all.
fn weaker_dbi(ray: &Ray) -> f64 {
    let t = 10_f64.powf(-ray.axial_ratio_db / 20.0);
    ray.gain_dbi + 10.0 * ((1.0 - t).powi(2) / (2.0 * (1.0 + t * t))).log10()
}

fn simulated_pattern(name: &str) -> (&'static str, Pattern) {
    let hand = Hand::Right;
    match name.split_whitespace().next() {
        Some("half-wave") => ("dipole", Pattern::Dipole),
        Some("crossed") => ("crossed", Pattern::CrossedDipole { front: hand }),
        _ => ("ring", Pattern::Ring { hand }),
    }
}

fn dipole() -> Vec<Case> {
    [(30.0, -5.43), (60.0, 0.39), (90.0, 2.15)]
        .map(|(degrees, expected)| {
            Printed {
                model: "antenna patterns",
                id: format!("half-wave-{degrees}"),
                source: NUMPY,
                what: "gain of a half-wave dipole [dBi]",
                expected,
                computed: Pattern::Dipole.toward(f64::to_radians(degrees)).gain_dbi,
            }
            .within(0.01, "two printed decimals")
        })
        .to_vec()
}

fn patches() -> Vec<Case> {
    let angles = [
        (15.0, "gain at 15° [dBi]"),
        (30.0, "gain at 30° [dBi]"),
        (45.0, "gain at 45° [dBi]"),
        (60.0, "gain at 60° [dBi]"),
        (75.0, "gain at 75° [dBi]"),
    ];
    rows(PATCHES)
        .flat_map(|row| {
            let gain_dbi = number(row[0]);
            let printed = |what, expected, computed| Printed {
                model: "antenna patterns",
                id: format!("patch-{}-dbi", row[0]),
                source: NUMPY,
                what,
                expected,
                computed,
            };
            let patch = Pattern::Directional {
                gain_dbi,
                floor_below_db: 200.0,
                axial_ratio_db: 0.0,
                hand: Hand::Right,
            };
            let width = directional_beamwidth_rad(gain_dbi).to_degrees();
            let mut cases = vec![
                printed("exponent", number(row[1]), directional_exponent(gain_dbi))
                    .within(6e-5, LAST_OF_FOUR),
                printed("beamwidth [°]", number(row[2]), width).within(6e-4, LAST_OF_THREE),
            ];
            for (index, (degrees, what)) in angles.into_iter().enumerate() {
                let expected = number(row[index + 3]);
                // Weaker ones are filled up here.
                if expected > -link::antenna::NULL_FLOOR_DB {
                    let gain = patch.toward(f64::to_radians(degrees)).gain_dbi;
                    cases.push(printed(what, expected, gain).within(6e-4, LAST_OF_THREE));
                }
            }
            cases
        })
        .collect()
}

fn attitudes() -> Vec<Case> {
    rows(ATTITUDES)
        .enumerate()
        .flat_map(|(index, row)| {
            let wire = |axis| Mounted {
                pattern: Pattern::Dipole,
                axis,
                field: None,
            };
            let attitude = Attitude {
                yaw_rad: number(row[0]).to_radians(),
                pitch_rad: number(row[1]).to_radians(),
                roll_rad: number(row[2]).to_radians(),
            };
            let (craft, ground) = (wire(three(row[3])), wire([0.0, 0.0, -1.0]));
            let seen = between(&craft, attitude, three(row[4]), &ground, [0.0, 0.0, -1.5]);
            let seen = seen.expect("two places");
            let case = |what, column: usize, computed, most, reason| {
                Printed {
                    model: "antennas of a turned craft",
                    id: format!("attitude-{}", index + 1),
                    source: NUMPY,
                    what,
                    expected: number(row[column]),
                    computed,
                }
                .within(most, reason)
            };
            let chi = seen.chi_rad.unwrap_or(f64::NAN).to_degrees();
            let mut cases = vec![
                case("distance [m]", 5, seen.range_m, 6e-5, LAST_OF_FOUR),
                case(
                    "angle at the craft [°]",
                    6,
                    seen.theta_craft_rad.to_degrees(),
                    6e-4,
                    LAST_OF_THREE,
                ),
                case(
                    "angle at the ground [°]",
                    7,
                    seen.theta_ground_rad.to_degrees(),
                    6e-4,
                    LAST_OF_THREE,
                ),
                case(
                    "gain of the craft's [dBi]",
                    8,
                    seen.craft.gain_dbi,
                    1e-4,
                    LAST_OF_FOUR,
                ),
                case(
                    "gain on the ground [dBi]",
                    9,
                    seen.ground.gain_dbi,
                    1e-4,
                    LAST_OF_FOUR,
                ),
                case(
                    "angle between both, as seen [°]",
                    10,
                    chi,
                    6e-4,
                    LAST_OF_THREE,
                ),
            ];
            // Where all is lost the table says 99 dB and we 30 dB: echoes fill nulls.
            if number(row[11]) < 90.0 {
                cases.push(case(
                    "polarisation's loss [dB]",
                    11,
                    seen.polarisation.mean_db,
                    1e-4,
                    LAST_OF_FOUR,
                ));
                cases.push(case(
                    "all together [dB]",
                    12,
                    seen.gain_db(),
                    2e-4,
                    LAST_OF_FOUR,
                ));
            }
            cases
        })
        .collect()
}

fn three(text: &str) -> [f64; 3] {
    let mut numbers = text.split_whitespace().map(number);
    std::array::from_fn(|_| numbers.next().expect("three numbers"))
}

/// Every pair of axial ratios; a loss without end stands as 1000 dB.
fn polarisations() -> Vec<Case> {
    rows(POLARISATIONS)
        .flat_map(|row| {
            let hands = if row[2] == "same" {
                Hands::Same
            } else {
                Hands::Opposite
            };
            let loss = over_all_tilts(ratio(row[0]), ratio(row[1]), hands);
            let case = |what, column: usize, computed: f64| {
                Printed {
                    model: "polarisation",
                    id: format!("polarisation-{}-{}-{}", row[0], row[1], row[2]),
                    source: "the standard form and 20 000 random Jones products with numpy 2.4 (data/radio-polarisation.csv)",
                    what,
                    expected: ratio(row[column]).min(ENDLESS),
                    computed: computed.min(ENDLESS),
                }
                .within(6e-5, LAST_OF_FOUR)
            };
            [
                case("loss at the kindest tilt [dB]", 3, loss.best_db),
                case("loss over all tilts [dB]", 4, loss.mean_db),
                case("loss at the worst tilt [dB]", 5, loss.worst_db),
            ]
        })
        .collect()
}

const ENDLESS: f64 = 1000.0;

fn ratio(text: &str) -> f64 {
    match text {
        "inf" => f64::INFINITY,
        text => number(text),
    }
}

/// Malus: two lines lose −20·log10 cos of the angle between them, half of the power at 45°.
fn polarisation_of_lines() -> Vec<Case> {
    [(0.0, 0.0), (45.0, 3.0103), (60.0, 6.0206)]
        .map(|(degrees, expected)| {
            let tilt = f64::to_radians(degrees);
            let line = f64::INFINITY;
            Printed {
                model: "polarisation",
                id: format!("lines-{degrees}"),
                source: "Malus's law, by hand",
                what: "loss between two lines [dB]",
                expected,
                computed: link::polarisation::loss_db(line, line, Hands::Same, tilt),
            }
            .within(6e-5, LAST_OF_FOUR)
        })
        .to_vec()
}
