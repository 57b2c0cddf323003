//! What a wave loses on its way against numbers worked out, integrated or measured elsewhere.
//!
//! Tables of Recommendations evaluated by other programs show that no equation slipped, not that walls and trees obey it. Edges are held against
//! the Fresnel integral that their methods approximate. Nobody's measurement stands behind trees at 5.8 GHz.

mod edges;
mod exact;
mod ground;
mod walls;

use radio::cover::{self, Foliage};
use radio::{Polarisation, free_space};

use crate::cell::{number, rows};
use crate::printed::Printed;
use crate::{Case, Kind, Tolerance};

const FREE_SPACE: &str = include_str!("../data/radio-fspl.csv");
const ZONES: &str = include_str!("../data/radio-fresnel-zone.csv");
const RAIN: &str = include_str!("../data/radio-rain.csv");
const GAS: &str = include_str!("../data/radio-gas.csv");
const TREES: &str = include_str!("../data/radio-p833-vegetation.csv");

/// The cases of this file and of those beside it.
pub fn cases() -> Vec<Case> {
    [
        spread(),
        zones(),
        edges::cases(),
        ground::cases(),
        walls::cases(),
        trees(),
        measured_trees(),
        rain(),
        gas(),
    ]
    .concat()
}

/// Half the last printed decimal and a little for what is half way.
const TWO: f64 = 5.1e-3;
const THREE: f64 = 5.1e-4;
const FOUR: f64 = 5.1e-5;
const FIVE: f64 = 5.1e-6;
const LAST: &str = "half the last printed decimal";

fn spread() -> Vec<Case> {
    let megahertz = [
        2400.0, 2440.0, 2480.0, 5362.0, 5658.0, 5732.0, 5800.0, 5866.0, 5917.0,
    ];
    let of_row = |row: Vec<&'static str>| {
        megahertz.into_iter().enumerate().map(move |(index, mhz)| {
            Printed {
                model: "free-space loss",
                id: format!("free-space-{}-m-{mhz}-mhz", row[0]),
                source: "Rec. ITU-R P.525-4 (2019), section 2.2, evaluated with numpy 2.4 (data/radio-fspl.csv)",
                what: "loss [dB]",
                expected: number(row[index + 1]),
                computed: free_space::loss_db(number(row[0]), 1e6 * mhz),
            }
            .within(FOUR, LAST)
        })
    };
    rows(FREE_SPACE).flat_map(of_row).collect()
}

fn zones() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let length = number(row[1]);
        let d1 = if row[2] == "mid" { 0.5 * length } else { 2.0 };
        Printed {
            model: "Fresnel zone",
            id: format!("zone-{}-mhz-{}-m-{}", row[0], row[1], row[2]),
            source: "Rec. ITU-R P.526-15 (2019), section 2, evaluated with numpy 2.4 (data/radio-fresnel-zone.csv)",
            what: "radius of the first zone [m]",
            expected: number(row[3]),
            computed: free_space::fresnel_radius_m(d1, length - d1, 1e6 * number(row[0])),
        }
        .within(FOUR, LAST)
    };
    rows(ZONES).map(of_row).collect()
}

/// Both ways of carrying the specific loss on, and a second opinion.
fn trees() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let (frequency, depth) = (1e6 * number(row[0]), number(row[1]));
        let foliage = Foliage::at(frequency);
        let [least, _, most] = foliage.loss_db(depth);
        let case = |name: &str, what, expected, computed| {
            Printed {
                model: "trees in leaf",
                id: format!("trees-{name}-{}-mhz-{}-m", row[0], row[1]),
                source: "Rec. ITU-R P.833-9 (2016), section 2.1, and Weissberger, ESD-TR-81-101 (1982), evaluated with numpy 2.4 (data/radio-p833-vegetation.csv); \
                         extrapolated above 2.1 GHz",
                what,
                expected: number(expected),
                computed,
            }
            .within(THREE, LAST)
        };
        [
            case("points", "loss by the measured points [dB]", row[2], least),
            case("figure", "loss by the figure [dB]", row[3], most),
            case(
                "second",
                "loss by Weissberger [dB]",
                row[4],
                cover::weissberger_db(depth, frequency),
            ),
        ]
    };
    rows(TREES).flat_map(of_row).collect()
}

/// The five points that the Recommendation measured, which end at 2.1 GHz.
fn measured_trees() -> Vec<Case> {
    let points = [
        (105.9, 0.04, 9.4),
        (466.475, 0.12, 18.0),
        (949.0, 0.17, 26.5),
        (1852.2, 0.30, 29.0),
        (2117.5, 0.34, 34.1),
    ];
    points
        .into_iter()
        .flat_map(|(mhz, specific, maximum)| {
            let foliage = Foliage::at(1e6 * mhz);
            let case = |name: &str, what, expected, computed, share, reason| {
                Printed {
                    model: "trees in leaf",
                    id: format!("trees-measured-{name}-{mhz}-mhz"),
                    source: "measurements in woodland, Rec. ITU-R P.833-9 (2016), section 2.1",
                    what,
                    expected,
                    computed,
                }
                .case(Kind::Measurement, Tolerance::Relative(share), reason)
            };
            [
                case(
                    "specific",
                    "loss of a short way [dB/m]",
                    specific,
                    foliage.specific_db_per_m[1],
                    0.10,
                    "one power law fitted to these five woods",
                ),
                case(
                    "maximum",
                    "most loss [dB]",
                    maximum,
                    foliage.maximum_db,
                    0.18,
                    "the Recommendation's own law, fitted to these",
                ),
            ]
        })
        .collect()
}

fn rain() -> Vec<Case> {
    let swings = [
        ("horizontal", 4, Polarisation::Horizontal),
        ("vertical", 8, Polarisation::Vertical),
        ("circular", 12, Polarisation::Circular),
    ];
    let of_row = |row: Vec<&'static str>| {
        swings.into_iter().map(move |(name, column, swing)| {
            Printed {
                model: "rain",
                id: format!("rain-{}-ghz-{}-mm-h-{name}", row[0], row[1]),
                source: "Rec. ITU-R P.838-3 (2005) by two libraries, crc-covlib 4.6.2 and itur 0.4.0 (data/radio-rain.csv)",
                what: "loss [dB/km]",
                expected: number(row[column]),
                computed: cover::rain_db_per_km(number(row[1]), 1e9 * number(row[0]), swing),
            }
            .within(FIVE, LAST)
        })
    };
    rows(RAIN).flat_map(of_row).collect()
}

/// The short form against the sum over all lines; only the rows of 15 °C, which it is for.
fn gas() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        Printed {
            model: "gases of the air",
            id: format!("gas-{}-ghz-{}-g-m3", row[0], row[3]),
            source: "Rec. ITU-R P.676-13 (2022), Annex 1, line by line, by crc-covlib 4.6.2, equal to itur 0.4.0 and p676 0.1.0 (data/radio-gas.csv)",
            what: "loss [dB/km]",
            expected: number(row[5]),
            computed: cover::gas_db_per_km(1e9 * number(row[0]), number(row[3])),
        }
        .case(
            Kind::Simulation,
            Tolerance::Absolute(1e-4),
            "a hundredth of what would matter",
        )
    };
    let standard = rows(GAS).filter(|row| row[4] == "288.15");
    standard.map(of_row).collect()
}
