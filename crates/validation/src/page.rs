//! The book's page of models and cases, written from the same list the test asserts.
//!
//! Markdown out, nothing read and nothing opened: the caller hands in the cases and what the
//! models say about themselves. The same cases give the same bytes, on any machine: errors that
//! are only rounding of the arithmetic are shown as such and not digit by digit.

use crate::{Case, Kind, Tolerance};
use std::fmt::Write;

/// From this many cases of one model and one source, the page shows the worst instead of each.
const ROWS_SHOWN: usize = 8;

/// A summarised group is split by what is compared, unless that would be another long table.
const QUANTITIES_SHOWN: usize = 6;

/// Below this share of the value an error is the arithmetic's rounding, and differs by machine.
const ROUNDING: f64 = 1e-9;

/// Significant digits of the two numbers that are compared.
const DIGITS: i32 = 6;

/// The whole page.
///
/// `not_validated` names each place that says of itself that it is not validated, and its words.
pub fn page(cases: &[Case], not_validated: &[(&str, &str)]) -> String {
    let mut out = String::new();
    opening(&mut out, cases);
    for model in distinct(cases.iter().map(|case| case.model)) {
        let of_model: Vec<&Case> = cases.iter().filter(|case| case.model == model).collect();
        section(&mut out, model, &of_model);
    }
    closing(&mut out, not_validated);
    out
}

fn opening(out: &mut String, cases: &[Case]) {
    let count = |kind| cases.iter().filter(|case| case.kind == kind).count();
    let _ = write!(
        out,
        "<!-- Written by `cargo xtask pages`; edits here are lost. -->\n\
         # Validation: every model against somebody else's numbers\n\n\
         {} comparisons. What they are worth depends on whose number it is:\n\n\
         | kind | the other's number is | comparisons |\n|---|---|--:|\n",
        cases.len()
    );
    for kind in [
        Kind::Equation,
        Kind::Simulation,
        Kind::Measurement,
        Kind::CommonPractice,
    ] {
        let (word, meaning) = (word(kind), meaning(kind));
        let _ = writeln!(out, "| {word} | {meaning} | {} |", count(kind));
    }
    out.push_str(
        "\nWhere one source gives many rows, the row nearest to its tolerance stands for all of \
         them. The test suite asserts every one.\n",
    );
}

fn section(out: &mut String, model: &str, cases: &[&Case]) {
    let _ = write!(
        out,
        "\n## {model}\n\n\
         | case | what | source | kind | expected | ours | error | tolerance |\n\
         |---|---|---|---|--:|--:|--:|---|\n"
    );
    let sources = distinct(cases.iter().map(|case| case.source));
    for (index, source) in sources.iter().enumerate() {
        let group: Vec<&Case> = of(cases, |case| case.source == *source);
        for rows in split(&group) {
            row(out, index + 1, &rows);
        }
    }
    out.push_str("\nSources:\n\n");
    for (index, source) in sources.iter().enumerate() {
        let _ = writeln!(out, "{}. {source}", index + 1);
    }
}

fn closing(out: &mut String, not_validated: &[(&str, &str)]) {
    out.push_str("\n## Not validated\n\n");
    if not_validated.is_empty() {
        out.push_str("No model says so of itself.\n");
        return;
    }
    out.push_str("These say of themselves that nobody else's numbers stand behind them yet.\n\n");
    for (place, words) in not_validated {
        let _ = writeln!(out, "- `{place}`: {words}");
    }
}

/// One source's cases as the sets that get a row each.
fn split<'a>(group: &[&'a Case]) -> Vec<Vec<&'a Case>> {
    if group.len() <= ROWS_SHOWN {
        return group.iter().map(|case| vec![*case]).collect();
    }
    let quantities = distinct(group.iter().map(|case| case.what.as_str()));
    if quantities.len() > QUANTITIES_SHOWN {
        return vec![group.to_vec()];
    }
    let alike = |what: &&str| of(group, |case| case.what == *what);
    quantities.iter().map(alike).collect()
}

/// One line of the table: a case, or the worst of several.
fn row(out: &mut String, source: usize, cases: &[&Case]) {
    let Some(worst) = worst(cases) else { return };
    let _ = writeln!(
        out,
        "| {} | {} | {source} | {} | {} | {} | {} | {} |",
        name(worst, cases.len()),
        cell(&worst.what),
        word(worst.kind),
        significant(worst.expected, DIGITS),
        significant(worst.computed, DIGITS),
        found(worst, cases),
        allowed(worst),
    );
}

/// The case that uses most of its tolerance; the first of equals.
fn worst<'a>(cases: &[&'a Case]) -> Option<&'a Case> {
    let more = |a: &'a Case, b: &'a Case| if used(b) > used(a) { b } else { a };
    cases.iter().copied().reduce(more)
}

/// Share of the tolerance that the error uses; a number that is no number uses all there is.
fn used(case: &Case) -> f64 {
    let miss = (case.computed - case.expected).abs();
    let share = match case.tolerance {
        Tolerance::Relative(share) => miss / (share * case.expected.abs()),
        Tolerance::Absolute(most) => miss / most,
        Tolerance::Band(low, high) => {
            (case.computed - 0.5 * (low + high)).abs() / (0.5 * (high - low))
        }
    };
    match (case.holds(), share.is_nan()) {
        (false, true) => f64::INFINITY,
        // An exact answer under a tolerance of nothing divides zero by zero.
        (true, true) => 0.0,
        _ => share,
    }
}

fn name(worst: &Case, count: usize) -> String {
    match count {
        1 => format!("`{}`", worst.id),
        _ => format!("worst of {count}: `{}`", worst.id),
    }
}

fn found(worst: &Case, cases: &[&Case]) -> String {
    let mut text = error(worst, miss(worst));
    let same_way = |case: &&&Case| same_way(case.tolerance, worst.tolerance);
    let is_band = matches!(worst.tolerance, Tolerance::Band(..));
    if cases.len() > 1 && !is_band && cases.iter().filter(same_way).count() == cases.len() {
        let _ = write!(text, " (half within {})", error(worst, median(cases)));
    }
    match cases.iter().all(|case| case.holds()) {
        true => text,
        false => format!("**missed**: {text}"),
    }
}

/// The error in the terms its tolerance is stated in.
fn miss(case: &Case) -> f64 {
    let miss = (case.computed - case.expected).abs();
    match case.tolerance {
        Tolerance::Relative(_) => miss / case.expected.abs(),
        Tolerance::Absolute(_) | Tolerance::Band(..) => miss,
    }
}

fn median(cases: &[&Case]) -> f64 {
    let mut misses: Vec<f64> = cases.iter().map(|case| miss(case)).collect();
    misses.sort_by(f64::total_cmp);
    misses[(misses.len() - 1) / 2]
}

fn error(case: &Case, miss: f64) -> String {
    let rounding = match case.tolerance {
        Tolerance::Relative(_) => ROUNDING,
        Tolerance::Absolute(_) | Tolerance::Band(..) => ROUNDING * case.expected.abs(),
    };
    match case.tolerance {
        Tolerance::Band(..) if case.holds() => "inside".to_owned(),
        Tolerance::Band(..) => "outside".to_owned(),
        _ if miss <= rounding => "rounding".to_owned(),
        Tolerance::Relative(_) => format!("{} %", significant(100.0 * miss, 2)),
        Tolerance::Absolute(_) => significant(miss, 2),
    }
}

fn allowed(case: &Case) -> String {
    let reason = cell(case.reason);
    match case.tolerance {
        Tolerance::Relative(share) => format!("{} %: {reason}", significant(100.0 * share, 2)),
        Tolerance::Absolute(most) => format!("{}: {reason}", significant(most, 2)),
        Tolerance::Band(low, high) => format!(
            "{} to {}: {reason}",
            significant(low, DIGITS),
            significant(high, DIGITS)
        ),
    }
}

fn same_way(a: Tolerance, b: Tolerance) -> bool {
    std::mem::discriminant(&a) == std::mem::discriminant(&b)
}

fn word(kind: Kind) -> &'static str {
    match kind {
        Kind::Equation => "equation",
        Kind::Simulation => "simulation",
        Kind::Measurement => "measurement",
        Kind::CommonPractice => "practice",
    }
}

fn meaning(kind: Kind) -> &'static str {
    match kind {
        Kind::Equation => {
            "the same equation worked out elsewhere: agreement shows no slip, not truth"
        }
        Kind::Simulation => "a more detailed simulation by another program",
        Kind::Measurement => "somebody's measurement",
        Kind::CommonPractice => "a figure builders agree on, with no single source to trace",
    }
}

fn of<'a>(cases: &[&'a Case], keep: impl Fn(&Case) -> bool) -> Vec<&'a Case> {
    cases.iter().copied().filter(|case| keep(case)).collect()
}

/// Each value once, in the order of first appearance.
fn distinct<'a>(values: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut seen = Vec::new();
    for value in values {
        if !seen.contains(&value) {
            seen.push(value);
        }
    }
    seen
}

/// Text that stays inside one cell of a table.
fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('\n', " ")
}

/// `value` to so many significant digits, without trailing zeros; powers of ten where a plain
/// number would be mostly zeros.
fn significant(value: f64, digits: i32) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if !value.is_finite() {
        return value.to_string();
    }
    let scientific = format!("{value:.*e}", (digits - 1) as usize);
    let (mantissa, exponent) = scientific.split_once('e').expect("`e` format writes an e");
    let exponent: i32 = exponent.parse().expect("`e` format writes an exponent");
    match exponent {
        -4..=6 => trimmed(&format!(
            "{value:.*}",
            (digits - 1 - exponent).max(0) as usize
        )),
        _ => format!("{}e{exponent}", trimmed(mantissa)),
    }
}

fn trimmed(number: &str) -> String {
    match number.contains('.') {
        true => number
            .trim_end_matches('0')
            .trim_end_matches('.')
            .to_owned(),
        false => number.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case(id: &str, what: &str, computed: f64, tolerance: Tolerance) -> Case {
        Case {
            model: "a model",
            id: id.to_owned(),
            source: "A table, 2nd edition",
            kind: Kind::Equation,
            what: what.to_owned(),
            expected: 2.0,
            computed,
            tolerance,
            reason: "printed to three digits",
        }
    }

    #[test]
    fn checked_a_few_cases_get_a_row_each() {
        let cases = [
            case("first", "volts [V]", 2.01, Tolerance::Relative(0.01)),
            case("second", "amps [A]", 2.0, Tolerance::Absolute(0.1)),
        ];
        let page = page(&cases, &[]);
        // |2.01 − 2| / 2 = 0.5 %.
        assert!(page.contains(
            "| `first` | volts [V] | 1 | equation | 2 | 2.01 | 0.5 % | 1 %: printed to three digits |"
        ));
        assert!(page.contains("| `second` | amps [A] | 1 | equation | 2 | 2 | rounding | 0.1: "));
        assert!(page.contains("1. A table, 2nd edition\n"));
        assert!(page.ends_with("No model says so of itself.\n"));
    }

    #[test]
    fn checked_many_rows_shrink_to_the_worst_of_each_quantity() {
        let row = |i: i32| {
            let (what, step) = match i % 2 {
                0 => ("thrust [N]", 1e-4),
                _ => ("torque [N·m]", 1e-3),
            };
            let computed = 2.0 + f64::from(i) * step;
            case(
                &format!("row-{i}"),
                what,
                computed,
                Tolerance::Relative(0.01),
            )
        };
        let cases: Vec<Case> = (0..10).map(row).collect();
        let page = page(&cases, &[]);
        // Even rows 0, 2, 4, 6, 8 miss by 0 … 8e-4, of 2: at worst 0.04 %, the middle 0.02 %.
        assert!(page.contains("| worst of 5: `row-8` | thrust [N] |"));
        assert!(page.contains("| 0.04 % (half within 0.02 %) |"));
        // Odd rows 1, 3, 5, 7, 9 miss by 1e-3 … 9e-3: at worst 0.45 %, the middle 0.25 %.
        assert!(page.contains("| worst of 5: `row-9` | torque [N·m] |"));
        assert!(page.contains("| 0.45 % (half within 0.25 %) |"));
    }

    #[test]
    fn checked_a_missed_case_says_so_even_behind_a_worse_looking_number() {
        let mut cases = vec![case(
            "nan",
            "volts [V]",
            f64::NAN,
            Tolerance::Relative(0.01),
        )];
        cases.push(case("band", "volts [V]", 2.9, Tolerance::Band(1.0, 3.0)));
        let page = page(&cases, &[]);
        assert!(page.contains("| **missed**: NaN % |"), "{page}");
        assert!(page.contains("| inside | 1 to 3: "), "{page}");
    }

    #[test]
    fn checked_what_is_not_validated_is_listed_last() {
        let page = page(&[], &[("flight::duct", "Lip shape is not validated.")]);
        assert!(page.ends_with("- `flight::duct`: Lip shape is not validated.\n"));
    }

    #[test]
    fn checked_numbers_keep_their_size_at_both_ends() {
        let shown = |value| significant(value, DIGITS);
        assert_eq!(shown(89_876.2), "89876.2");
        assert_eq!(shown(-0.058_491), "-0.058491");
        assert_eq!(shown(0.000_261_274_4), "0.000261274");
        assert_eq!(shown(1.757_85e-5), "1.75785e-5");
        assert_eq!(shown(1.34e8), "1.34e8");
        assert_eq!(shown(-0.0), "0");
        // Rounds up into the next power of ten.
        assert_eq!(significant(9.996, 2), "10");
    }
}
