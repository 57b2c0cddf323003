//! Materials, slabs, piled walls, buildings and rooms against other programs' numbers.

use radio::wall::{
    Building, Layer, Material, Polarisation, Room, Through, building_entry_db, indoor_db,
    indoor_sd_db, layers_db, mean_db, slab,
};

use super::{FIVE, LAST, Printed, THREE, TWO};
use crate::cell::{number, rows};
use crate::{Case, Kind, Tolerance};

const MATERIALS: &str = include_str!("../../data/radio-p2040-materials.csv");
const SLABS: &str = include_str!("../../data/radio-p2040-slab.csv");
const WALLS: &str = include_str!("../../data/radio-p2040-walls.csv");
const BUILDINGS: &str = include_str!("../../data/radio-p2109.csv");
const ROOMS: &str = include_str!("../../data/radio-p1238.csv");

pub(super) fn cases() -> Vec<Case> {
    [
        materials(),
        slabs(),
        walls(),
        open_office(),
        buildings(),
        rooms(),
    ]
    .concat()
}

const WALL: &str = "walls and windows";

fn material(name: &str) -> Material {
    Material::named(name).unwrap_or_else(|| panic!("no material {name}"))
}

fn materials() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let found = material(row[1]).permittivity(1e6 * number(row[0]));
        let case = |name: &str, what, expected, computed| Printed {
            model: "permittivity of building materials",
            id: format!("material-{}-mhz-{}-{name}", row[0], row[1]),
            source: "Rec. ITU-R P.2040-3 (2023), Table 3, as sionna-rt 1.2.2 has it (data/radio-p2040-materials.csv)",
            what,
            expected: number(expected),
            computed,
        };
        // The loss is printed to five significant digits.
        let digits = Tolerance::Relative(5.1e-5);
        [
            case("real", "ε′", row[6], found.re).within(FIVE, LAST),
            case("loss", "ε″", row[8], -found.im).case(
                Kind::Equation,
                digits,
                "half the last of five printed digits",
            ),
        ]
    };
    rows(MATERIALS).flat_map(of_row).collect()
}

/// The bands that the tables average over: middle and width \[Hz\].
fn band(mhz: &str) -> [f64; 2] {
    match mhz {
        "2440" => [0.5e6 * (2400.0 + 2483.5), 83.5e6],
        _ => [5800e6, 300e6],
    }
}

/// How far the tables' means are off: they sum 61 places with both ends of the band, which so weigh twice. Redone with 3001 places three of
/// the worst rows come within 2e-4 dB of ours.
const SUMMED: f64 = 0.013;
const ENDS: &str = "the other mean weighs the ends of the band twice";

/// Every slab but metal, which is opaque here: the table's 0.1 mm of it leaks 400 dB and more.
fn slabs() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let (frequency, angle) = (1e6 * number(row[0]), number(row[3]).to_radians());
        let layer = Layer {
            material: material(row[1]),
            thickness_m: 1e-3 * number(row[2]),
        };
        let swing = if row[4] == "TM" {
            Polarisation::Tm
        } else {
            Polarisation::Te
        };
        let Through {
            loss_db, reflected, ..
        } = slab(layer, frequency, angle, swing);
        let [middle, width] = band(row[0]);
        let mean = mean_db(&[layer], middle, [width, 0.0], angle, swing);
        let case = |name: &str, what, expected, computed| Printed {
            model: WALL,
            id: format!(
                "slab-{}-mhz-{}-{}-mm-{}-{}-{name}",
                row[0], row[1], row[2], row[3], row[4]
            ),
            source: "slabs of Rec. ITU-R P.2040-3 (2023), section 2.2.2.2, evaluated with numpy 2.4, equal to tmm 0.2.0 to 1e-12 in power (data/radio-p2040-slab.csv)",
            what,
            expected: number(expected),
            computed,
        };
        // A reflection near nothing is printed in decibels of nothing.
        let back = -20.0 * reflected.norm().log10();
        [
            case("through", "loss [dB]", row[5], loss_db).within(THREE, LAST),
            case("mean", "loss averaged over the band [dB]", row[6], mean).within(SUMMED, ENDS),
            case("back", "return loss [dB]", row[7], back).within(THREE, LAST),
        ]
    };
    let passing = rows(SLABS).filter(|row| row[1] != "metal");
    passing.flat_map(of_row).collect()
}

fn walls() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let (frequency, angle) = (1e6 * number(row[0]), number(row[2]).to_radians());
        let pile = pile(row[1]);
        let [middle, width] = band(row[0]);
        [("te", Polarisation::Te, 3), ("tm", Polarisation::Tm, 5)]
            .into_iter()
            .flat_map(|(name, swing, column)| {
                let case = |of: &str, what, expected, computed| Printed {
                    model: WALL,
                    id: format!("wall-{}-mhz-{}-{}-{name}-{of}", row[0], row[1], row[2]),
                    source: "piled layers with numpy 2.4, equal to tmm 0.2.0 to 1e-10 in power (data/radio-p2040-walls.csv)",
                    what,
                    expected: number(expected),
                    computed,
                };
                let mean = mean_db(&pile, middle, [width, 0.0], angle, swing);
                [
                    case("through", "loss [dB]", row[column], layers_db(&pile, frequency, angle, swing))
                        .within(THREE, LAST),
                    case("mean", "loss averaged over the band [dB]", row[column + 1], mean)
                        .within(SUMMED, ENDS),
                ]
            })
            .collect::<Vec<_>>()
    };
    rows(WALLS).flat_map(of_row).collect()
}

/// The layers behind the table's words; thicknesses in millimetres.
fn pile(words: &str) -> Vec<Layer> {
    use Material::{Air, Brick, Chipboard, Concrete, Glass, Plasterboard, Plywood, Wood};
    let layers: &[(Material, f64)] = match words {
        "stud wall: 12.5 plasterboard/75 air/12.5 plasterboard" => {
            &[(Plasterboard, 12.5), (Air, 75.0), (Plasterboard, 12.5)]
        }
        "stud wall double board: 2x12.5/75 air/2x12.5" => {
            &[(Plasterboard, 25.0), (Air, 75.0), (Plasterboard, 25.0)]
        }
        "double glazing 4/16/4" => &[(Glass, 4.0), (Air, 16.0), (Glass, 4.0)],
        "double glazing 6/12/6" => &[(Glass, 6.0), (Air, 12.0), (Glass, 6.0)],
        "triple glazing 4/12/4/12/4" => &[
            (Glass, 4.0),
            (Air, 12.0),
            (Glass, 4.0),
            (Air, 12.0),
            (Glass, 4.0),
        ],
        "brick cavity wall 102.5/50 air/100 concrete/12.5 plasterboard" => &[
            (Brick, 102.5),
            (Air, 50.0),
            (Concrete, 100.0),
            (Plasterboard, 12.5),
        ],
        "solid brick 215 + plasterboard 12.5" => &[(Brick, 215.0), (Plasterboard, 12.5)],
        "concrete 200" => &[(Concrete, 200.0)],
        "floor: 18 chipboard/200 air/12.5 plasterboard" => {
            &[(Chipboard, 18.0), (Air, 200.0), (Plasterboard, 12.5)]
        }
        "hollow door 2x 4 plywood/32 air" => &[(Plywood, 4.0), (Air, 32.0), (Plywood, 4.0)],
        "solid wood door 40" => &[(Wood, 40.0)],
        "timber shed wall 20" => &[(Wood, 20.0)],
        other => unreachable!("no row has the wall {other}"),
    };
    let layers = layers.iter().map(|(material, mm)| Layer {
        material: *material,
        thickness_m: 1e-3 * mm,
    });
    layers.collect()
}

/// Another model of the same walls, fitted to measurements for planning mobile networks: 5 + 4·f dB through concrete, f in gigahertz.
fn open_office() -> Vec<Case> {
    let concrete = Layer {
        material: Material::Concrete,
        thickness_m: 0.2,
    };
    vec![
        Printed {
            model: WALL,
            id: "concrete-38-901".into(),
            source: "3GPP TR 38.901, Table 7.4.3-1: 5 + 4·f dB through concrete of no stated thickness",
            what: "loss of 200 mm of concrete at 5.8 GHz [dB]",
            expected: 5.0 + 4.0 * 5.8,
            computed: slab(concrete, 5.8e9, 0.0, Polarisation::Te).loss_db,
        }
        .case(
            Kind::CommonPractice,
            Tolerance::Absolute(1.5),
            "another model of no stated thickness",
        ),
    ]
}

fn buildings() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let building = match row[1] {
            "traditional" => Building::Traditional,
            _ => Building::ThermallyEfficient,
        };
        [(0.05, 3), (0.10, 4), (0.50, 5), (0.90, 6), (0.95, 7)].map(|(share, column)| {
            let elevation = number(row[2]).to_radians();
            let loss = building_entry_db(building, 1e9 * number(row[0]), elevation, share);
            Printed {
                model: "entry into a building",
                id: format!("building-{}-ghz-{}-{}-deg-{share}", row[0], row[1], row[2]),
                source: "Rec. ITU-R P.2109-2 (2023) by crc-covlib 4.6.2 (data/radio-p2109.csv)",
                what: "loss [dB]",
                expected: number(row[column]),
                computed: loss.unwrap_or(f64::NAN),
            }
            .within(THREE, LAST)
        })
    };
    rows(BUILDINGS).flat_map(of_row).collect()
}

fn rooms() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let room = match row[2] {
            "office" => Room::Office,
            "corridor" => Room::Corridor,
            _ => Room::Industrial,
        };
        let in_sight = row[3] == "LoS";
        let case = |name: &str, what, expected, computed| Printed {
            model: "on one floor",
            id: format!(
                "room-{}-ghz-{}-{}-{}-m-{name}",
                row[1], row[2], row[3], row[4]
            ),
            source: "Rec. ITU-R P.1238-12 (2023), section 3.1, evaluated with numpy 2.4 (data/radio-p1238.csv)",
            what,
            expected: number(expected),
            computed,
        };
        let loss = indoor_db(room, in_sight, number(row[4]), 1e9 * number(row[1]));
        [
            case("loss", "median loss [dB]", row[5], loss).within(THREE, LAST),
            case(
                "spread",
                "spread of places [dB]",
                row[6],
                indoor_sd_db(room, in_sight),
            )
            .within(TWO, LAST),
        ]
    };
    let general = rows(ROOMS).filter(|row| row[0].starts_with("site-general"));
    general.flat_map(of_row).collect()
}
