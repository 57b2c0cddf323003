//! Names that point at other things: sheets, parts, sockets, rails, the craft of a refit.

use crate::text::unknown_name;
use craft::airframe::{Airframe, Craft, Feed, Fitted, Refit};
use craft::facet::RegulatorKind;
use craft::{Bench, Diagnostic, Part, Place, Stated};
use std::collections::HashMap;
use std::sync::Arc;

/// Finds the sheet of every fitted part and checks every other name.
pub fn link(bench: &mut Bench) -> Vec<Diagnostic> {
    let mut diagnostics = Vec::new();
    let sheets = sheets_by_name(&bench.parts, &mut diagnostics);
    for craft in &mut bench.craft {
        find_sheets(&mut craft.parts, &sheets, &mut diagnostics);
    }
    for refit in &mut bench.refits {
        find_sheets(&mut refit.add, &sheets, &mut diagnostics);
    }
    for part in &bench.parts {
        check_own_rails(part, &mut diagnostics);
        check_sheet(part, &mut diagnostics);
    }
    for craft in &bench.craft {
        check_feeds(&Airframe::before(craft), &craft.feeds, &mut diagnostics);
    }
    for refit in &bench.refits {
        check_refit(bench, refit, &mut diagnostics);
    }
    diagnostics
}

type Sheets = HashMap<String, Arc<Part>>;

/// The builder's own sheet stands before a typical one of the same name; two own ones are a fault.
fn sheets_by_name(parts: &[Arc<Part>], diagnostics: &mut Vec<Diagnostic>) -> Sheets {
    let mut sheets = Sheets::new();
    for part in parts {
        let first = sheets
            .entry(part.name.clone())
            .or_insert_with(|| part.clone());
        if first.file != part.file && !crate::typical::is_typical(&part.name, part) {
            diagnostics.push(
                Diagnostic::error(
                    "sheet-twice",
                    part.header.place,
                    format!("a second sheet named `{}`", part.name),
                )
                .also(first.header.place, "the first one, which is used"),
            );
        }
    }
    sheets
}

fn find_sheets(fitted: &mut [Fitted], sheets: &Sheets, diagnostics: &mut Vec<Diagnostic>) {
    for part in fitted {
        let Some(sheet) = &part.table.sheet else {
            continue;
        };
        part.part = sheets.get(&sheet.value).cloned();
        if part.part.is_none() {
            let mut known: Vec<_> = sheets.keys().map(String::as_str).collect();
            known.sort_unstable();
            diagnostics.push(
                unknown_name("unknown-sheet", "part sheet", sheet, known).hint(
                    "own sheets are files in `parts/`; `fitout parts` lists the typical ones",
                ),
            );
        }
    }
}

fn check_own_rails(part: &Part, diagnostics: &mut Vec<Diagnostic>) {
    let rails: Vec<_> = part
        .rails
        .iter()
        .map(|rail| rail.name.value.as_str())
        .chain(["pack"])
        .collect();
    let inputs = part
        .inputs
        .iter()
        .filter_map(|input| input.facet.fed_by.as_ref());
    let chained = part
        .rails
        .iter()
        .filter_map(|rail| rail.facet.fed_by.as_ref());
    for name in inputs
        .chain(chained)
        .filter(|name| !rails.contains(&name.value.as_str()))
    {
        diagnostics.push(unknown_name(
            "unknown-rail",
            "rail of this part",
            name,
            rails.clone(),
        ));
    }
    for socket in part.inputs.iter().map(|input| &input.name) {
        if let Some(rail) = part
            .rails
            .iter()
            .find(|rail| rail.name.value == socket.value)
        {
            let message = format!("`{}` is the name of an input and of a rail", socket.value);
            diagnostics.push(
                Diagnostic::error("name-twice", socket.place, message)
                    .also(rail.name.place, "the rail"),
            );
        }
    }
}

/// What a sheet says that cannot be meant so.
fn check_sheet(part: &Part, diagnostics: &mut Vec<Diagnostic>) {
    for rail in &part.rails {
        let follows = |kind| matches!(kind, RegulatorKind::Through | RegulatorKind::Diode);
        if rail.facet.output.is_none() && rail.facet.kind.is_some_and(|kind| !follows(kind.value)) {
            let message = format!(
                "`{}` needs `output`, the volts it is set to",
                rail.name.value
            );
            diagnostics.push(
                Diagnostic::error("missing-key", rail.facet.place, message).label("missing here"),
            );
        }
        if leads_round(part, &rail.name.value) {
            let message = format!("`{}` feeds itself through `fed_by`", rail.name.value);
            diagnostics.push(
                Diagnostic::error("rail-circle", rail.facet.place, message)
                    .hint("one of these rails is fed from the pack"),
            );
        }
    }
    for input in part.inputs.iter().filter(|input| {
        input.facet.volts.is_none() && input.facet.cells.is_none() && input.facet.lock_out.is_none()
    }) {
        let message = format!("`{}` says nothing of volts", input.name.value);
        let hint = "write `volts = \"7..26 V\"` from its sheet; without it nobody can say whether it holds in a punch";
        diagnostics.push(Diagnostic::warning("no-volts", input.facet.place, message).hint(hint));
    }
    if let Some(blade) = &part.propeller {
        one_needs_the_other(
            (
                "static_thrust",
                blade.static_thrust.as_ref().map(|it| it.place),
            ),
            (
                "static_speed",
                blade.static_speed.as_ref().map(|it| it.place),
            ),
            diagnostics,
        );
    }
}

fn one_needs_the_other(
    one: (&str, Option<Place>),
    other: (&str, Option<Place>),
    diagnostics: &mut Vec<Diagnostic>,
) {
    let (place, has, lacks) = match (one.1, other.1) {
        (Some(place), None) => (place, one.0, other.0),
        (None, Some(place)) => (place, other.0, one.0),
        _ => return,
    };
    diagnostics.push(Diagnostic::error(
        "missing-key",
        place,
        format!("`{has}` needs `{lacks}` beside it"),
    ));
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

fn check_refit(bench: &Bench, refit: &Refit, diagnostics: &mut Vec<Diagnostic>) {
    let Some(name) = &refit.header.craft else {
        return;
    };
    let Some(craft) = bench.craft_named(name) else {
        let known = bench
            .craft
            .iter()
            .map(|craft| craft.name.as_str())
            .collect();
        diagnostics.push(unknown_name("unknown-craft", "craft", name, known));
        return;
    };
    check_removed(craft, refit, diagnostics);
    check_added(craft, refit, diagnostics);
    check_feeds(&Airframe::after(craft, refit), &refit.feeds, diagnostics);
}

fn removed(refit: &Refit) -> impl Iterator<Item = &Stated<String>> {
    refit.header.remove.iter().flat_map(|names| &names.value)
}

fn check_removed(craft: &Craft, refit: &Refit, diagnostics: &mut Vec<Diagnostic>) {
    let ids: Vec<_> = craft
        .parts
        .iter()
        .map(|part| part.id.value.as_str())
        .collect();
    for name in removed(refit).filter(|name| !ids.contains(&name.value.as_str())) {
        diagnostics.push(unknown_name("unknown-part", "part", name, ids.clone()));
    }
}

fn check_added(craft: &Craft, refit: &Refit, diagnostics: &mut Vec<Diagnostic>) {
    for added in &refit.add {
        let stays = craft
            .parts
            .iter()
            .find(|part| part.id.value == added.id.value);
        let Some(stays) =
            stays.filter(|part| !removed(refit).any(|name| name.value == part.id.value))
        else {
            continue;
        };
        diagnostics.push(
            Diagnostic::error(
                "part-twice",
                added.id.place,
                format!("`{}` is already on the craft", added.id.value),
            )
            .also(stays.id.place, "here")
            .hint("put the old one into `remove`, or give the new one another name"),
        );
    }
}

/// Checks the feeds written in one file against the airframe they end up on.
fn check_feeds(airframe: &Airframe, feeds: &[Feed], diagnostics: &mut Vec<Diagnostic>) {
    for feed in feeds {
        let Some(part) = fed_part(airframe, feed, diagnostics) else {
            continue;
        };
        let sockets: Vec<_> = part
            .inputs
            .iter()
            .map(|input| input.name.value.as_str())
            .chain(part.rails.iter().map(|rail| rail.name.value.as_str()))
            .collect();
        if !sockets.contains(&feed.socket.value.as_str()) {
            let what = format!("input or rail of `{}`", feed.part.value);
            diagnostics.push(unknown_name("unknown-socket", &what, &feed.socket, sockets));
        }
        if let Some(from) = &feed.table.from {
            check_from(airframe, from, diagnostics);
        }
    }
}

fn fed_part<'a>(
    airframe: &'a Airframe,
    feed: &Feed,
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<&'a Part> {
    let Some(at) = airframe.position(&feed.part) else {
        let ids = airframe
            .parts
            .iter()
            .map(|part| part.id.value.as_str())
            .collect();
        diagnostics.push(unknown_name("unknown-part", "part", &feed.part, ids));
        return None;
    };
    // A missing sheet has been reported where it is named; its sockets cannot be checked.
    airframe.parts[at].part.as_deref()
}

fn check_from(airframe: &Airframe, from: &Stated<String>, diagnostics: &mut Vec<Diagnostic>) {
    let taps: Vec<String> = airframe
        .found()
        .flat_map(|(_, fitted, part)| {
            part.rails
                .iter()
                .map(|rail| format!("{}.{}", fitted.id.value, rail.name.value))
        })
        .chain(["pack".to_owned()])
        .collect();
    let sheet_missing = airframe.parts.iter().any(|fitted| fitted.part.is_none());
    if !sheet_missing && !taps.contains(&from.value) {
        diagnostics.push(unknown_name(
            "unknown-source",
            "source of power",
            from,
            taps.iter().map(String::as_str).collect(),
        ));
    }
}
