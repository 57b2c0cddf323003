//! Permittivities, reflections and two rays against another program's.

use num_complex::Complex64;
use radio::Path;
use radio::ground::{
    Bounce, Ground, Polarisation, Soil, TwoRay, breakpoint_m, coherent_share, reflection,
    rough_above_m, sea_water, soil_permittivity, two_ray_band_db, two_ray_db, water,
};
use std::f64::consts::TAU;

use super::{FIVE, FOUR, LAST, Printed, THREE, TWO};
use crate::Case;
use crate::cell::{number, rows};

const PERMITTIVITY: &str = include_str!("../../data/radio-ground-permittivity.csv");
const REFLECTION: &str = include_str!("../../data/radio-ground-reflection.csv");
const ROUGH: &str = include_str!("../../data/radio-roughness.csv");
const TWO_RAY: &str = include_str!("../../data/radio-two-ray.csv");
const LANDMARKS: &str = include_str!("../../data/radio-two-ray-breakpoint.csv");

pub(super) fn cases() -> Vec<Case> {
    [
        permittivity(),
        reflections(),
        roughness(),
        two_rays(),
        landmarks(),
    ]
    .concat()
}

fn permittivity() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let frequency = 1e9 * number(row[0]);
        let found = of_surface(&row, frequency);
        let case = |name: &str, what, expected, computed| {
            Printed {
                model: "permittivity of the ground",
                id: format!("ground-{}-{}-{}-{}-{name}", row[0], row[2], row[3], row[4]),
                source: "Rec. ITU-R P.527-4 (2017), section 5, and P.2040-3 (2023), Table 3, evaluated with numpy 2.4 (data/radio-ground-permittivity.csv)",
                what,
                expected: number(expected),
                computed,
            }
            .within(FOUR, LAST)
        };
        [
            case("real", "ε′", row[5], found.re),
            case("loss", "ε″", row[6], -found.im),
        ]
    };
    rows(PERMITTIVITY).flat_map(of_row).collect()
}

fn of_surface(row: &[&'static str], frequency_hz: f64) -> Complex64 {
    let soil = |soil| soil_permittivity(&soil, number(row[3]), number(row[4]), frequency_hz);
    match row[2] {
        "sandy loam" => soil(Soil::SANDY_LOAM),
        "loam" => soil(Soil::LOAM),
        "silty loam" => soil(Soil::SILTY_LOAM),
        "silty clay" => soil(Soil::SILTY_CLAY),
        "fresh water" => water(number(row[4]), frequency_hz),
        "sea water" => sea_water(number(row[4]), 35.0, frequency_hz),
        name => {
            let ground = Ground::named(name).unwrap_or_else(|| panic!("no ground {name}"));
            ground.permittivity(frequency_hz)
        }
    }
}

fn reflections() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let frequency = 1e9 * number(row[0]);
        let ground = match row[1] {
            "wet soil (P.527 loam mv 0.30)" => Ground::Soil(Soil::LOAM, 0.30),
            "dry soil (P.527 sandy loam mv 0.05)" => Ground::Soil(Soil::SANDY_LOAM, 0.05),
            "medium dry ground (P.2040-3)" => Ground::MediumDry,
            "concrete (P.2040-3)" => Ground::Concrete,
            "fresh water 20C" => Ground::FreshWater,
            other => unreachable!("no row has the ground {other}"),
        };
        let found = reflection(number(row[2]).to_radians(), ground.permittivity(frequency));
        let case = |name: &str, what, expected, computed| Printed {
            model: "reflection by the ground",
            id: format!("reflection-{}-{}-{}-{name}", row[0], row[1], row[2]),
            source: "Fresnel's coefficients evaluated with numpy 2.4 (data/radio-ground-reflection.csv)",
            what,
            expected: number(expected),
            computed,
        };
        // A phase jumps from 180° to −180° between what is printed and what is computed.
        let phase = |name: &str, what, printed: &'static str, of: Complex64| {
            let degrees = of.arg().to_degrees();
            let turn = 360.0 * ((number(printed) - degrees) / 360.0).round();
            case(name, what, printed, degrees + turn).within(TWO, LAST)
        };
        let share = |name: &str, what, printed, of: Complex64| {
            case(name, what, printed, of.norm()).within(FIVE, LAST)
        };
        [
            share("level", "share of a level field", row[3], found.h),
            phase("level-phase", "phase of a level field [°]", row[4], found.h),
            share("upright", "share of an upright field", row[5], found.v),
            phase(
                "upright-phase",
                "phase of an upright field [°]",
                row[6],
                found.v,
            ),
            share(
                "same-hand",
                "share of the same hand",
                row[7],
                found.same_hand,
            ),
            share(
                "other-hand",
                "share of the other hand",
                row[8],
                found.cross_hand,
            ),
        ]
    };
    rows(REFLECTION).flat_map(of_row).collect()
}

fn roughness() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let (frequency, grazing) = (1e6 * number(row[0]), number(row[1]).to_radians());
        let case = |name: String, what, expected, computed| Printed {
            model: "rough ground",
            id: format!("rough-{}-mhz-{}-deg-{name}", row[0], row[1]),
            source: "Ament (1953) and Rayleigh's limit, evaluated with numpy 2.4 (data/radio-roughness.csv)",
            what,
            expected: number(expected),
            computed,
        };
        let limit = case(
            "limit".into(),
            "height that counts as rough [m]",
            row[2],
            rough_above_m(grazing, frequency),
        );
        let shares = [(0.01, 3), (0.03, 4), (0.10, 5)].map(|(height, column)| {
            let share = coherent_share(height, grazing, frequency);
            let name = format!("{height}-m");
            case(name, "share that stays in step", row[column], share).within(FIVE, LAST)
        });
        [limit.within(FOUR, LAST)].into_iter().chain(shares)
    };
    rows(ROUGH).flat_map(of_row).collect()
}

fn two_rays() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let frequency_hz = 1e6 * number(row[0]);
        let ground = Ground::named(row[1]).unwrap_or_else(|| panic!("no ground {}", row[1]));
        let path = Path {
            distance_m: number(row[6]),
            heights_m: [number(row[4]), number(row[5])],
            frequency_hz,
        };
        let smooth = |swing| Bounce::smooth(ground.permittivity(frequency_hz), swing);
        let rough = Bounce {
            roughness_m: 0.03,
            ..smooth(Polarisation::Vertical)
        };
        [
            ("vertical", 9, smooth(Polarisation::Vertical)),
            ("horizontal", 10, smooth(Polarisation::Horizontal)),
            ("circular", 11, smooth(Polarisation::Circular)),
            ("rough", 12, rough),
        ]
        .map(|(name, column, bounce)| {
            Printed {
                model: "direct and reflected ray",
                id: format!(
                    "two-ray-{}-mhz-{}-{}-{}-{}-m-{name}",
                    row[0], row[1], row[4], row[5], row[6]
                ),
                source: "the same two rays with numpy 2.4 (data/radio-two-ray.csv)",
                what: "loss [dB]",
                expected: number(row[column]),
                computed: two_ray_db(&path, &bounce),
            }
            .within(THREE, LAST)
        })
    };
    rows(TWO_RAY).flat_map(of_row).collect()
}

/// The breakpoint, the last best place and the dips, found in our own curve.
fn landmarks() -> Vec<Case> {
    let of_row = |row: Vec<&'static str>| {
        let frequency_hz = 1e6 * number(row[0]);
        let heights_m = [number(row[1]), number(row[2])];
        let case = |name: &str, what, expected, computed| {
            Printed {
                model: "direct and reflected ray",
                id: format!("two-ray-{name}-{}-mhz-{}-{}-m", row[0], row[1], row[2]),
                source: "Rec. ITU-R P.1411-12 (2023), section 4.1.2, and exact roots with numpy 2.4 (data/radio-two-ray-breakpoint.csv)",
                what,
                expected: number(expected),
                computed,
            }
            .within(TWO, LAST)
        };
        // Where the reflected ray is late by half a wave the band of the loss closes.
        let at = |distance_m: f64| Path {
            distance_m,
            heights_m,
            frequency_hz,
        };
        let bounce = Bounce::smooth(Complex64::from(4.0), Polarisation::Horizontal);
        let late_rad = |distance_m: f64| TwoRay::of(&at(distance_m), &bounce).late_rad;
        let closes = |distance_m: f64| {
            let [least, most] = two_ray_band_db(&at(distance_m), &bounce);
            least == most
        };
        let guess = number(row[4]);
        let last = bisect(0.9 * guess, 1.1 * guess, closes);
        // A dip lies where the reflected ray is late by so many whole waves.
        let dip = |waves: f64, printed: &'static str| {
            let guess = number(printed);
            bisect(0.9 * guess, 1.1 * guess, |distance_m| {
                late_rad(distance_m) <= waves * TAU
            })
        };
        [
            case(
                "breakpoint",
                "breakpoint [m]",
                row[3],
                breakpoint_m(heights_m, frequency_hz),
            ),
            case("dip-1", "farthest dip [m]", row[5], dip(1.0, row[5])),
            case("dip-2", "second dip [m]", row[6], dip(2.0, row[6])),
            case("dip-5", "fifth dip [m]", row[7], dip(5.0, row[7])),
            case("last", "where the last swing ends [m]", row[4], last),
        ]
    };
    rows(LANDMARKS).flat_map(of_row).collect()
}

/// Where a question begins to be answered yes.
fn bisect(mut no: f64, mut yes: f64, asked: impl Fn(f64) -> bool) -> f64 {
    if asked(no) || !asked(yes) {
        return f64::NAN;
    }
    for _ in 0..60 {
        let middle = 0.5 * (no + yes);
        if asked(middle) {
            yes = middle;
        } else {
            no = middle;
        }
    }
    yes
}
