//! Outages, the margins they ask for, and the rate of fades.

use link::fading::rate::fades;
use link::fading::{
    Combining, Diversity, Fade, margin_for_db, outage, shadow_margin_db, spacing_correlation,
};

use super::{LAST_OF_THREE, Printed, fade};
use crate::cell::{number, rows};
use crate::{Case, Kind, Tolerance};

const OUTAGES: &str = include_str!("../../data/radio-diversity-outage.csv");
const MARGINS: &str = include_str!("../../data/radio-diversity-margin.csv");
const CORRELATED: &str = include_str!("../../data/radio-diversity-correlated.csv");
const RATES: &str = include_str!("../../data/radio-fading-rate.csv");

pub(super) fn cases() -> Vec<Case> {
    [
        outages(),
        correlated(),
        margins(),
        rates(),
        spacing(),
        shadow(),
    ]
    .concat()
}

const MODEL: &str = "outage of faded branches";
const SCIPY: &str = "the same distributions with SciPy 1.17";
const DRAWN: &str = "four million drawn fields with numpy 2.4, seed 77";
const SIX_DIGITS: &str = "seven printed digits, and SciPy's own error in the tails";

const COMBININGS: [(Combining, &str, &str); 2] = [
    (Combining::Selection, "selection", "outage, strongest taken"),
    (
        Combining::MaximalRatio,
        "maximal-ratio",
        "outage, all added",
    ),
];

fn of(branches: f64, combining: Combining, correlation: f64) -> Diversity {
    Diversity {
        branches: branches as u32,
        combining,
        correlation,
    }
}

fn lost(margin_db: f64, fade: Fade, diversity: Diversity) -> f64 {
    outage(margin_db, fade, diversity).unwrap_or(f64::NAN)
}

fn outages() -> Vec<Case> {
    rows(OUTAGES)
        .flat_map(|row| {
            COMBININGS
                .into_iter()
                .enumerate()
                .flat_map(move |(index, (combining, name, what))| {
                    let (branches, margin_db) = (number(row[2]), number(row[3]));
                    let computed = lost(margin_db, fade(row[1]), of(branches, combining, 0.0));
                    let id = format!("k{}-{}-branches-{}-db-{name}", row[1], row[2], row[3]);
                    both_ways(
                        id,
                        what,
                        (number(row[4 + index]), number(row[6 + index])),
                        computed,
                    )
                })
        })
        .collect()
}

fn correlated() -> Vec<Case> {
    rows(CORRELATED)
        .flat_map(|row| {
            COMBININGS
                .into_iter()
                .enumerate()
                .flat_map(move |(index, (combining, name, what))| {
                    let (correlation, margin_db) = (number(row[0]), number(row[2]));
                    let computed = lost(margin_db, Fade::Rayleigh, of(2.0, combining, correlation));
                    let id = format!("correlated-{}-{}-db-{name}", row[0], row[2]);
                    both_ways(
                        id,
                        what,
                        (number(row[3 + index]), number(row[5 + index])),
                        computed,
                    )
                })
        })
        .collect()
}

/// Below this SciPy's distributions have lost their digits to a difference from one.
const DEEP: f64 = 1e-9;
/// Draws behind each share, and the fewest hits that tell something.
const DRAWS: f64 = 4e6;
const HITS: f64 = 100.0;

/// A chance against the closed form and against draws.
fn both_ways(
    id: String,
    what: &'static str,
    (closed, drawn): (f64, f64),
    computed: f64,
) -> Vec<Case> {
    let mut cases = Vec::new();
    if closed > DEEP {
        let printed = Printed {
            model: MODEL,
            id: id.clone(),
            source: SCIPY,
            what,
            expected: closed,
            computed,
        };
        cases.push(printed.share(1e-6, SIX_DIGITS));
    }
    if drawn * DRAWS > HITS && drawn < 1.0 {
        let error = (drawn * (1.0 - drawn) / DRAWS).sqrt();
        // Four digits are printed.
        let most = 4.0 * error + 5e-4 * drawn;
        let printed = Printed {
            model: MODEL,
            id,
            source: DRAWN,
            what,
            expected: drawn,
            computed,
        };
        cases.push(printed.case(
            Kind::Simulation,
            Tolerance::Absolute(most),
            "four standard errors and the printed digits",
        ));
    }
    cases
}

fn margins() -> Vec<Case> {
    let columns = [
        (1.0, Combining::Selection, "margin, one branch [dB]"),
        (2.0, Combining::Selection, "margin, better of two [dB]"),
        (2.0, Combining::MaximalRatio, "margin, two added [dB]"),
        (4.0, Combining::Selection, "margin, best of four [dB]"),
        (4.0, Combining::MaximalRatio, "margin, four added [dB]"),
    ];
    rows(MARGINS)
        .flat_map(|row| {
            columns
                .into_iter()
                .enumerate()
                .map(move |(index, (branches, combining, what))| {
                    let diversity = of(branches, combining, 0.0);
                    let computed = margin_for_db(number(row[1]), fade(row[0]), diversity);
                    Printed {
                        model: MODEL,
                        id: format!("margin-k{}-{}", row[0], row[1]),
                        source: SCIPY,
                        what,
                        expected: number(row[2 + index]),
                        computed: computed.unwrap_or(f64::NAN),
                    }
                    .within(6e-4, LAST_OF_THREE)
                })
        })
        .collect()
}

fn rates() -> Vec<Case> {
    rows(RATES)
        .flat_map(|row| {
            let found = fades(
                fade(row[3]),
                -number(row[4]),
                number(row[1]),
                1e6 * number(row[0]),
            );
            let printed = |what, column: usize, computed| Printed {
                model: "fades of a moving craft",
                id: format!("fades-{}-mhz-{}-m-s-k{}-{}", row[0], row[1], row[3], row[4]),
                source: SCIPY,
                what,
                expected: number(row[column]),
                computed,
            };
            [
                printed("Doppler shift [Hz]", 2, found.doppler_hz).within(6e-4, LAST_OF_THREE),
                printed("fades a second [1/s]", 5, found.per_second)
                    .within(6e-5, "half the last of four printed decimals"),
                printed("length of a fade [ms]", 6, 1e3 * found.mean_s)
                    .within(1e-6, "half the last of six printed decimals"),
            ]
        })
        .collect()
}

/// J₀ of π/2, π and 2π.
fn spacing() -> Vec<Case> {
    let wave_m = link::field::wavelength_m(5.8e9);
    [(0.25, 0.472_001), (0.5, 0.304_242), (1.0, 0.220_277)]
        .map(|(waves, expected)| {
            Printed {
                model: "likeness of two antennas",
                id: format!("spacing-{waves}-waves"),
                source: "power series of J₀ summed in Python",
                what: "correlation",
                expected,
                computed: spacing_correlation(waves * wave_m, 5.8e9),
            }
            .within(1e-6, "six printed decimals")
        })
        .to_vec()
}

fn shadow() -> Vec<Case> {
    [(0.9, 1.281_552), (0.99, 2.326_348)]
        .map(|(places, expected)| {
            Printed {
                model: "shadow",
                id: format!("shadow-{places}"),
                source: "quantiles of the normal distribution, Python's statistics module",
                what: "score of the normal distribution",
                expected,
                computed: shadow_margin_db(1.0, places),
            }
            .within(6e-7, "half the last of six printed decimals")
        })
        .to_vec()
}
