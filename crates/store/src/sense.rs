//! What a file says that cannot all be meant: a limit below the value it limits, a figure without
//! the one that gives it meaning, two batteries where one is judged.
//!
//! Names that point nowhere are [`crate::link`]'s business; this looks at values that were read.

use crate::table::FaultyKeys;
use craft::airframe::{Airframe, Fitted};
use craft::facet::{Esc, Input, Motor, Propeller, Rail, RegulatorKind};
use craft::need::{Conditions, Needs};
use craft::part::Named;
use craft::{Bench, Diagnostic, Part, Place, Stated};
use quantity::Dimension;

/// Volts above which nobody lands one lithium cell, so that the pack's volts must be meant.
const NO_CELL_LANDS_AT: f64 = 4.4;

/// A sheet by itself; a key that is there but faulty is not missing.
pub fn sheet(bench: &Bench, part: &Part, faulty: &FaultyKeys) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for named in &part.rails {
        found.extend(rail(bench, named, faulty));
        if leads_round(part, &named.name.value) {
            let message = format!("`{}` feeds itself through `fed_by`", named.name.value);
            found.push(
                Diagnostic::error("rail-circle", named.facet.place, message)
                    .hint("one of these rails is fed from the pack"),
            );
        }
    }
    let inputs = part.inputs.iter();
    found.extend(inputs.flat_map(|named| input(bench, named, faulty)));
    found.extend(part.motor.iter().flat_map(|it| motor(it, faulty)));
    let blades = part.propeller.iter();
    found.extend(blades.flat_map(|it| propeller(it, faulty)));
    found.extend(part.esc.iter().flat_map(|drivers| esc(bench, drivers)));
    found
}

/// What is asked of the craft.
pub fn needs(bench: &Bench, needs: &Needs) -> Vec<Diagnostic> {
    match (&needs.mass_limit, &needs.mass_reserve) {
        (Some(limit), Some(reserve)) if reserve.value >= limit.value => vec![upside_down(
            bench,
            ("mass_reserve", reserve.place),
            ("mass_limit", limit.place),
            "the reserve is what stays free below the limit",
        )],
        _ => Vec::new(),
    }
}

/// Air and pack.
pub fn conditions(bench: &Bench, conditions: &Conditions) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    if let Some(volts) = &conditions.landing_volts
        && volts.value.0.in_volts() > NO_CELL_LANDS_AT
    {
        let message = "`landing_volts` is more than a full cell has";
        found.push(
            Diagnostic::warning("pack-volts", volts.place, message)
                .hint("it is meant for each cell: `3.5 V`, not `7.0 V` for two of them"),
        );
    }
    if let (Some(cold), Some(usual)) = (
        &conditions.cold_pack_temperature,
        &conditions.pack_temperature,
    ) && cold.written > usual.written
    {
        found.push(upside_down(
            bench,
            ("cold_pack_temperature", cold.place),
            ("pack_temperature", usual.place),
            "the first punch of a cold day is not warmer than ordinary flight",
        ));
    }
    found
}

/// Parts that do not go together: a second battery, three motors under a frame for four.
pub fn airframe(airframe: &Airframe) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (what, has) in KINDS {
        let fitted: Vec<_> = airframe
            .found()
            .filter(|(_, _, part)| has(part))
            .map(|(_, fitted, _)| fitted)
            .collect();
        if let [first, .., last] = fitted.as_slice() {
            found.push(two_of_a_kind(what, first, last));
        }
    }
    found.extend(several_packs(airframe));
    found.extend(rotor_count(airframe, ("motor", "motors"), |part| {
        part.motor.is_some()
    }));
    found.extend(rotor_count(airframe, ("propeller", "propellers"), |part| {
        part.propeller.is_some()
    }));
    found
}

type Kind = (&'static str, fn(&Part) -> bool);

/// What a craft has one sheet of, as far as the checks go.
const KINDS: &[Kind] = &[
    ("frame", |part| part.frame.is_some()),
    ("motor", |part| part.motor.is_some()),
    ("propeller", |part| part.propeller.is_some()),
    ("battery", |part| part.cells.is_some()),
    ("motor driver", |part| part.esc.is_some()),
];

fn two_of_a_kind(what: &str, first: &Fitted, last: &Fitted) -> Diagnostic {
    let (used, other) = (&first.id, &last.id);
    let message = format!(
        "`{}` is a {what} as `{}` is; only `{}` is judged, both are weighed",
        other.value, used.value, used.value
    );
    Diagnostic::warning("two-of-a-kind", other.place, message)
        .also(used.place, format!("the {what} that is judged"))
        .hint("if one replaces the other, put the old one into `remove` of the refit")
}

fn several_packs(airframe: &Airframe) -> Option<Diagnostic> {
    let (_, fitted, _) = airframe
        .found()
        .find(|(_, fitted, part)| part.cells.is_some() && fitted.count() > 1)?;
    let message = format!(
        "{} of `{}` are weighed, but the cells of one are judged",
        fitted.count(),
        fitted.id.value
    );
    let hint = "write one sheet for all of them, with their `series` and `parallel` and their mass together";
    Some(Diagnostic::warning("several-packs", fitted.id.place, message).hint(hint))
}

/// Motors or propellers, `(one, several)` in words, against the rotors of the frame.
fn rotor_count(
    airframe: &Airframe,
    (one, several): (&str, &str),
    has: fn(&Part) -> bool,
) -> Option<Diagnostic> {
    let rotors = airframe
        .found()
        .find_map(|(_, _, part)| part.frame.as_ref()?.rotors)?;
    let fitted: Vec<_> = airframe
        .found()
        .filter(|(_, _, part)| has(part))
        .map(|(_, fitted, _)| fitted)
        .collect();
    let first = fitted.first()?;
    let count: u32 = fitted
        .iter()
        .map(|fitted| fitted.count())
        .fold(0, u32::saturating_add);
    if count == rotors.value {
        return None;
    }
    let message = format!(
        "{count} {} for a frame with {} rotors",
        if count == 1 { one } else { several },
        rotors.value
    );
    let sheet = first.table.sheet.as_ref().map_or("…", |sheet| &sheet.value);
    let hint = format!(
        "write `{} = {{ sheet = \"{sheet}\", count = {} }}`",
        first.id.value, rotors.value
    );
    Some(
        Diagnostic::warning("rotor-count", first.id.place, message)
            .also(rotors.place, "rotors of the frame")
            .hint(hint),
    )
}

fn rail(bench: &Bench, named: &Named<Rail>, faulty: &FaultyKeys) -> Vec<Diagnostic> {
    let rail = &named.facet;
    let mut found = Vec::new();
    let follows = |kind| matches!(kind, RegulatorKind::Through | RegulatorKind::Diode);
    let unset = rail.output.is_none() && !faulty.has(rail.place, "output");
    if unset && rail.kind.is_some_and(|kind| !follows(kind.value)) {
        let message = format!(
            "`{}` needs `output`, the volts it is set to",
            named.name.value
        );
        found.push(Diagnostic::error("missing-key", rail.place, message).label("missing here"));
    }
    found.extend(ordered(
        bench,
        ("continuous", rail.continuous.map(|it| it.map_si())),
        ("peak", rail.peak.map(|it| it.map_si())),
    ));
    found
}

fn input(bench: &Bench, named: &Named<Input>, faulty: &FaultyKeys) -> Vec<Diagnostic> {
    let input = &named.facet;
    let mut found = Vec::new();
    let unread = |key| faulty.has(input.place, key);
    let silent = input.volts.is_none() && input.cells.is_none() && input.lock_out.is_none();
    if silent && !["volts", "cells", "lock_out"].into_iter().any(unread) {
        let message = format!("`{}` says nothing of volts", named.name.value);
        let hint = "write `volts = \"7..26 V\"` from its sheet; without it nobody can say whether it holds in a punch";
        found.push(Diagnostic::warning("no-volts", input.place, message).hint(hint));
    }
    found.extend(ordered(
        bench,
        (
            "power",
            input.power.map(|it| Stated::new(it.written.si(), it.place)),
        ),
        (
            "peak_power",
            input
                .peak_power
                .map(|it| Stated::new(it.written.si(), it.place)),
        ),
    ));
    if let (Some(stops), Some(rated)) = (&input.lock_out, &input.volts)
        && stops.written >= rated.high
    {
        found.push(upside_down(
            bench,
            ("lock_out", stops.place),
            ("volts", rated.place),
            "a device works above the volts at which it stops",
        ));
    }
    found
}

fn motor(motor: &Motor, faulty: &FaultyKeys) -> Vec<Diagnostic> {
    one_needs_the_other(
        (
            "no_load_current",
            motor.no_load_current.as_ref().map(|it| it.place),
        ),
        (
            "no_load_volts",
            motor.no_load_volts.as_ref().map(|it| it.place),
        ),
        |key| faulty.has(motor.place, key),
    )
}

fn propeller(blade: &Propeller, faulty: &FaultyKeys) -> Vec<Diagnostic> {
    one_needs_the_other(
        (
            "static_thrust",
            blade.static_thrust.as_ref().map(|it| it.place),
        ),
        (
            "static_speed",
            blade.static_speed.as_ref().map(|it| it.place),
        ),
        |key| faulty.has(blade.place, key),
    )
}

fn esc(bench: &Bench, esc: &Esc) -> Vec<Diagnostic> {
    ordered(
        bench,
        ("continuous", esc.continuous.map(|it| it.map_si())),
        ("burst", esc.burst.map(|it| it.map_si())),
    )
}

/// A definite value as its number, for comparing within one dimension.
trait MapSi {
    fn map_si(self) -> Stated<f64>;
}

impl<D: Dimension> MapSi for Stated<craft::sheet::Definite<D>> {
    fn map_si(self) -> Stated<f64> {
        Stated::new(self.value.0.si(), self.place)
    }
}

type Key<'a> = (&'a str, Option<Stated<f64>>);

/// The first is never above the second, where both are given.
fn ordered(bench: &Bench, low: Key<'_>, high: Key<'_>) -> Vec<Diagnostic> {
    match (low.1, high.1) {
        (Some(less), Some(more)) if less.value > more.value => vec![upside_down(
            bench,
            (low.0, less.place),
            (high.0, more.place),
            "one of the two is mistyped, or they are swapped",
        )],
        _ => Vec::new(),
    }
}

fn upside_down(bench: &Bench, one: (&str, Place), other: (&str, Place), hint: &str) -> Diagnostic {
    let with_value = |(key, place): (&str, Place)| {
        let written = bench.text_at(place).trim_matches(['"', '\'']);
        format!("`{key}` {written}")
    };
    let message = format!("{} is not below {}", with_value(one), with_value(other));
    Diagnostic::warning("upside-down", one.1, message)
        .also(other.1, format!("`{}`", other.0))
        .hint(hint)
}

fn one_needs_the_other(
    one: (&str, Option<Place>),
    other: (&str, Option<Place>),
    unread: impl Fn(&str) -> bool,
) -> Vec<Diagnostic> {
    let (place, has, lacks) = match (one.1, other.1) {
        (Some(place), None) => (place, one.0, other.0),
        (None, Some(place)) => (place, other.0, one.0),
        _ => return Vec::new(),
    };
    if unread(lacks) {
        return Vec::new();
    }
    vec![Diagnostic::error(
        "missing-key",
        place,
        format!("`{has}` needs `{lacks}` beside it"),
    )]
}

/// Whether following `fed_by` from a rail comes back to it.
fn leads_round(part: &Part, start: &str) -> bool {
    let next = |name: &str| {
        part.rails
            .iter()
            .find(|rail| rail.name.value == name)
            .and_then(|rail| rail.facet.fed_by.as_ref())
    };
    let mut at = next(start);
    for _ in 0..part.rails.len() {
        match at {
            Some(name) if name.value == start => return true,
            Some(name) => at = next(&name.value),
            None => return false,
        }
    }
    false
}
