//! Antennas, fading, noise, budgets and exposure against numbers worked out, drawn or simulated elsewhere.

mod antenna;
mod fading;
mod modulation;

use link::budget::{Budget, Receiver, free_space_range_m};
use link::fading::{Combining, Diversity, Fade, outage};
use link::noise::{Stage, cascade_db, floor_dbm};
use link::{antenna as aerial, field};

use crate::Case;
use crate::cell::{number, rows};
use crate::printed::Printed;

const BUDGETS: &str = include_str!("../data/radio-link-cases.csv");
const NOISE: &str = include_str!("../data/radio-noise-floor.csv");
const CASCADES: &str = include_str!("../data/radio-nf-cascade.csv");
const FIELDS: &str = include_str!("../data/radio-eirp-field.csv");
const EXPOSURES: &str = include_str!("../data/radio-exposure.csv");
const MISMATCHES: &str = include_str!("../data/radio-vswr.csv");

/// The cases of this file and of those beside it.
pub fn cases() -> Vec<Case> {
    [
        antenna::cases(),
        mismatches(),
        fading::cases(),
        noise(),
        cascades(),
        modulation::cases(),
        budgets(),
        fields(),
        exposures(),
    ]
    .concat()
}

const NUMPY: &str = "the same equation evaluated with numpy 2.4";

const LAST_OF_THREE: &str = "half the last of three printed decimals";
const LAST_OF_FOUR: &str = "half the last of four printed decimals";

fn mismatches() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let ratio = number(row[0]);
        let printed = |what, expected, computed| Printed {
            model: "mismatch of an antenna",
            id: format!("mismatch-{}", row[0]),
            source: NUMPY,
            what,
            expected,
            computed,
        };
        [
            printed(
                "mismatch loss [dB]",
                number(row[3]),
                aerial::mismatch_loss_db(ratio),
            )
            .within(6e-5, LAST_OF_FOUR),
            printed(
                "return loss [dB]",
                number(row[2]),
                aerial::return_loss_db(ratio),
            )
            .within(6e-5, LAST_OF_FOUR),
        ]
    };
    rows(MISMATCHES).flat_map(of_row).collect()
}

fn noise() -> Vec<Case> {
    let figures = [0.0, 2.0, 4.0, 6.0, 8.0, 10.0];
    rows(NOISE)
        .flat_map(|row| {
            figures.into_iter().enumerate().map(move |(index, figure)| {
                Printed {
                    model: "noise of a receiver",
                    id: format!("noise-{}-mhz-{figure}-db", row[0]),
                    source: NUMPY,
                    what: "noise [dBm]",
                    expected: number(row[index + 1]),
                    computed: floor_dbm(1e6 * number(row[0]), figure),
                }
                // 203 kHz is printed as 0.2031 MHz: 0.001 dB.
                .within(1.6e-3, "half the last printed decimal of both")
            })
        })
        .collect()
}

fn cascades() -> Vec<Case> {
    let amplifier = Stage {
        gain_db: 15.0,
        noise_figure_db: 1.5,
    };
    let receiver = |noise_figure_db| Stage {
        gain_db: 0.0,
        noise_figure_db,
    };
    let chains = [
        ("cable-first", vec![Stage::loss(1.0), receiver(6.0)]),
        (
            "amplifier-first",
            vec![amplifier, Stage::loss(2.0), receiver(8.0)],
        ),
        (
            "amplifier-behind-cable",
            vec![Stage::loss(2.0), amplifier, receiver(8.0)],
        ),
    ];
    rows(CASCADES)
        .zip(chains)
        .map(|(row, (id, chain))| {
            Printed {
                model: "noise of a receiver",
                id: id.to_owned(),
                source: NUMPY,
                what: "noise figure of a chain [dB]",
                expected: number(row[1]),
                computed: cascade_db(&chain),
            }
            .within(6e-5, LAST_OF_FOUR)
        })
        .collect()
}

fn budgets() -> Vec<Case> {
    rows(BUDGETS)
        .enumerate()
        .flat_map(|(index, row)| {
            let at = |column: usize| number(row[column]);
            let distance_m = at(3);
            let sum = Budget {
                eirp_dbm: at(1),
                path_loss_db: field::free_space_loss_db(distance_m, 1e6 * at(2)),
                receiver_gain_dbi: at(4),
                polarisation_loss_db: at(5),
                receiver_loss_db: at(6),
                obstacle_loss_db: at(7),
                receiver: Receiver::Noise {
                    noise_dbm: floor_dbm(1e6 * at(8), at(9)),
                    snr_needed_db: at(10),
                },
                ..Budget::default()
            }
            .sum();
            let diversity = Diversity {
                branches: at(12) as u32,
                combining: Combining::Selection,
                correlation: 0.0,
            };
            let lost = outage(sum.margin_db, fade(row[11]), diversity).unwrap_or(f64::NAN);
            let printed = |what, column: usize, computed| Printed {
                model: "link budget",
                id: format!("link-{}", index + 1),
                source: NUMPY,
                what,
                expected: number(row[column]),
                computed,
            };
            [
                printed("received [dBm]", 14, sum.received_dbm).within(6e-5, LAST_OF_FOUR),
                printed("margin [dB]", 18, sum.margin_db).within(6e-5, LAST_OF_FOUR),
                printed("outage", 19, lost).share(1e-5, "six printed digits"),
                printed(
                    "range [m]",
                    20,
                    free_space_range_m(distance_m, sum.margin_db),
                )
                .within(6e-3, "half the last of two printed decimals"),
            ]
        })
        .collect()
}

/// Of a column that says the direct wave in decibels, or none.
fn fade(k: &str) -> Fade {
    match k {
        "none" | "-inf" => Fade::Rayleigh,
        k_db => Fade::Rician { k_db: number(k_db) },
    }
}

fn fields() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let eirp_dbm = field::level_dbm(1e-3 * number(row[0]));
        let printed = |what, expected, computed| Printed {
            model: "field and radiated power",
            id: format!("radiated-{}-mw", row[0]),
            source: NUMPY,
            what,
            expected,
            computed,
        };
        let at_3_m = number(row[4]);
        [
            printed(
                "radiated over a dipole [dBm]",
                number(row[2]),
                field::erp_dbm(eirp_dbm),
            )
            .within(1e-4, LAST_OF_FOUR),
            printed(
                "field at 3 m [mV/m]",
                at_3_m,
                1e3 * field::field_v_m(eirp_dbm, 3.0),
            )
            .share(2e-4, "four printed digits"),
            printed(
                "field at 3 m [dBµV/m]",
                number(row[7]),
                field::field_dbuv_m(field::field_v_m(eirp_dbm, 3.0)),
            )
            .within(1e-4, LAST_OF_FOUR),
            printed(
                "radiated, from the field at 3 m [dBm]",
                eirp_dbm,
                field::eirp_dbm(1e-3 * at_3_m, 3.0),
            )
            .within(2e-3, "four printed digits of the field"),
        ]
    };
    rows(FIELDS).flat_map(of_row).collect()
}

fn exposures() -> Vec<Case> {
    let columns = [
        (10.0, 1.0, "open, 10 W/m²: distance [m]"),
        (10.0, 2.56, "ground as OET 65, 10 W/m²: distance [m]"),
        (10.0, 4.0, "all in phase, 10 W/m²: distance [m]"),
        (40.0, 1.0, "open, 40 W/m²: distance [m]"),
        (40.0, 2.56, "ground as OET 65, 40 W/m²: distance [m]"),
        (40.0, 4.0, "all in phase, 40 W/m²: distance [m]"),
    ];
    rows(EXPOSURES)
        .flat_map(|row| {
            columns
                .into_iter()
                .enumerate()
                .map(move |(index, (limit, reflection, what))| {
                    let eirp_dbm = field::level_dbm(1e-3 * number(row[0]));
                    Printed {
                        model: "exposure distance",
                        id: format!("exposure-{}-mw", row[0]),
                        source: NUMPY,
                        what,
                        expected: number(row[index + 1]),
                        computed: field::exposure_distance_m(eirp_dbm, limit, reflection),
                    }
                    .within(6e-5, LAST_OF_FOUR)
                })
        })
        .collect()
}
