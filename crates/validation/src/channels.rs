//! Carriers side by side against every product and every set worked out elsewhere.

use channels::{Answer, Band, Craft, Question, Tuning, near_far, plan, products};

use crate::cell::{number, rows};
use crate::{Case, Kind, Tolerance};

const SETS: &str = include_str!("../data/channels-sets.csv");
const PRODUCTS: &str = include_str!("../data/channels-products.csv");
const PLANS: &str = include_str!("../data/channels-plans.csv");
const LIST: &str = include_str!("../data/channels-list.csv");
const NEAR_FAR: &str = include_str!("../data/channels-near-far.csv");

const EXACT: Tolerance = Tolerance::Absolute(0.0);
const WHOLE: &str = "whole numbers";

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    [sets(), lists(), plans(), neighbours()].concat()
}

/// Counts and distances of whole sets.
fn sets() -> Vec<Case> {
    rows(SETS).flat_map(|row| set(&row)).collect()
}

fn set(row: &[&'static str]) -> Vec<Case> {
    let carriers = carriers(row[2]);
    let found = products::products(&carriers);
    let least = |twice: bool| {
        let of = found
            .iter()
            .filter(|product| (product.plus_khz[0] == product.plus_khz[1]) == twice);
        of.map(|product| product.offset_khz.abs())
            .min()
            .unwrap_or(-1) as f64
            / 1000.0
    };
    let near = |product: &products::Product| {
        let near = |carrier: &&u32| (product.khz - i64::from(**carrier)).abs() <= 10_000;
        carriers.iter().filter(near).count()
    };
    let mhz = |khz: Option<u32>| khz.map_or(f64::NAN, |khz| f64::from(khz) / 1000.0);
    let figures = [
        (
            "smallest spacing [MHz]",
            3,
            mhz(products::spacing_khz(&carriers)),
        ),
        ("nearest 2a − b [MHz]", 4, least(true)),
        ("nearest a + b − c [MHz]", 5, least(false)),
        (
            "clearance [MHz]",
            6,
            mhz(products::clearance_khz(&carriers)),
        ),
        ("products", 7, found.len() as f64),
        (
            "products on a carrier",
            8,
            products::exact_hits(&carriers) as f64,
        ),
        (
            "products within 10 MHz",
            9,
            found.iter().map(near).sum::<usize>() as f64,
        ),
    ];
    let case = |(what, column, computed): (&str, usize, f64)| Case {
        model: "third-order products",
        id: format!("{} {what}", row[0]).replace(' ', "-"),
        source: "a Python program, product by product",
        kind: Kind::Equation,
        what: what.to_owned(),
        expected: number(row[column]),
        computed,
        tolerance: EXACT,
        reason: WHOLE,
    };
    figures.into_iter().map(case).collect()
}

/// Every product of a set, with the carrier it is nearest to.
fn lists() -> Vec<Case> {
    let mut sets: Vec<&str> = rows(PRODUCTS).map(|row| row[0]).collect();
    sets.dedup();
    let case = |set: &str| {
        let mut printed: Vec<[i64; 2]> = rows(PRODUCTS)
            .filter(|row| row[0] == set)
            .map(|row| [1, 3].map(|column| 1000 * number(row[column]) as i64))
            .collect();
        let found = products::products(&carriers(set));
        let mut ours: Vec<[i64; 2]> = found
            .iter()
            .map(|product| [product.khz, product.offset_khz])
            .collect();
        // Of two carriers as near as each other either may be named.
        for list in [&mut printed, &mut ours] {
            list.iter_mut()
                .for_each(|product| product[1] = product[1].abs());
            list.sort_unstable();
        }
        let differ = printed
            .iter()
            .zip(&ours)
            .filter(|(one, other)| one != other)
            .count();
        Case {
            model: "third-order products",
            id: format!("products-of-{}", set.replace(' ', "-")),
            source: "a Python program, product by product",
            kind: Kind::Equation,
            what: "products that differ from the list".to_owned(),
            expected: 0.0,
            computed: (differ + printed.len().abs_diff(ours.len())) as f64,
            tolerance: EXACT,
            reason: WHOLE,
        }
    };
    sets.into_iter().map(case).collect()
}

/// Best plans; of a plan its carriers, its clearance and its spacing.
fn plans() -> Vec<Case> {
    rows(PLANS).flat_map(|row| best(&row)).collect()
}

fn best(row: &[&'static str]) -> Vec<Case> {
    let id = format!("plan-{}-of-{}-at-{}-mhz", row[1], row[0], row[2]);
    let case = |what: &str, expected: f64, computed: f64| Case {
        model: "channel plans",
        id: format!("{id}-{}", what.split([',', ' ']).next().unwrap_or_default()),
        source: "a Python program that tries every set",
        kind: Kind::Equation,
        what: what.to_owned(),
        expected,
        computed,
        tolerance: EXACT,
        reason: WHOLE,
    };
    let answer = plan(&question(
        row[0],
        number(row[1]) as usize,
        number(row[2]) as u32,
    ));
    if row[3].is_empty() {
        let none = matches!(answer, Ok(Answer::Impossible(_)));
        return vec![case(
            "impossible, yes or no",
            1.0,
            f64::from(u8::from(none)),
        )];
    }
    let Ok(Answer::Plan(plan)) = answer else {
        return vec![case("possible, yes or no", 1.0, 0.0)];
    };
    let printed = carriers(row[3]);
    let off = printed
        .iter()
        .zip(&plan.carriers_khz)
        .map(|(one, other)| one.abs_diff(*other))
        .max();
    let off = off.filter(|_| printed.len() == plan.carriers_khz.len());
    let mhz = |khz: Option<u32>| khz.map_or(f64::NAN, |khz| f64::from(khz) / 1000.0);
    vec![
        case(
            "carriers, farthest from the printed one [MHz]",
            0.0,
            mhz(off),
        ),
        case("clearance [MHz]", number(row[4]), mhz(plan.clearance_khz)),
        case("spacing [MHz]", number(row[5]), mhz(plan.spacing_khz)),
        case(
            "proved best, yes or no",
            1.0,
            f64::from(u8::from(plan.proved_best)),
        ),
    ]
}

fn question(choice: &str, count: usize, spacing_mhz: u32) -> Question {
    let list = || {
        rows(LIST)
            .map(|row| 1000 * number(row[0]) as u32)
            .collect::<Vec<_>>()
    };
    let tuning = match choice {
        "8" => Tuning::dial(5_658_000, 5_917_000, 37_000),
        "grid" => Tuning::dial(5_735_000, 5_865_000, 5_000),
        _ => Tuning::channels(&list()),
    };
    let inside = Band {
        from_khz: 5_725_000,
        to_khz: 5_875_000,
    };
    Question {
        crafts: vec![Craft::tuning(tuning); count],
        bands: Vec::from_iter((choice == "23").then_some(inside)),
        bandwidth_khz: 20_000,
        spacing_khz: 1000 * spacing_mhz,
        ..Question::default()
    }
}

/// A neighbour nearer or stronger than one's own craft.
fn neighbours() -> Vec<Case> {
    rows(NEAR_FAR).flat_map(|row| neighbour(&row)).collect()
}

fn neighbour(row: &[&'static str]) -> Vec<Case> {
    let interference_db = near_far::interference_db(number(row[0]), 1.0, number(row[1]));
    let figures = [
        ("interference over carrier [dB]", 2, interference_db),
        (
            "rejection for 10 dB [dB]",
            3,
            near_far::rejection_needed_db(interference_db, near_far::HOLDS_DB),
        ),
        (
            "rejection for 20 dB [dB]",
            4,
            near_far::rejection_needed_db(interference_db, near_far::CLEAN_DB),
        ),
    ];
    let case = |(what, column, computed): (&str, usize, f64)| Case {
        model: "near and far",
        id: format!("near-far-{}-times-{}-db-column-{column}", row[0], row[1]),
        source: "the same formula in Python, two decimals",
        kind: Kind::Equation,
        what: what.to_owned(),
        expected: number(row[column]),
        computed,
        tolerance: Tolerance::Absolute(0.005_001),
        reason: "half the last printed digit",
    };
    figures.into_iter().map(case).collect()
}

/// `5658 5695` as kilohertz.
fn carriers(mhz: &str) -> Vec<u32> {
    mhz.split(' ')
        .map(|mhz| 1000 * number(mhz) as u32)
        .collect()
}
