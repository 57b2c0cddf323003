//! Names that point at other things: sheets, parts, sockets, rails, the craft of a refit.

use crate::table::FaultyKeys;
use crate::text::unknown_name;
use crate::{air, harness, placed, sense};
use craft::airframe::{Airframe, Craft, Feed, Fitted, Refit, Unfed};
use craft::{Bench, Diagnostic, Part, Stated};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// Finds the sheet of every fitted part and checks every other name.
pub fn link(bench: &mut Bench, faulty: &FaultyKeys) -> Vec<Diagnostic> {
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
        diagnostics.extend(sense::sheet(bench, part, faulty));
        diagnostics.extend(harness::sheet(bench, part));
        diagnostics.extend(placed::sheet(part, &bench.meshes));
        diagnostics.extend(air::sheet(part));
    }
    for craft in &bench.craft {
        let airframe = Airframe::before(craft);
        check_feeds(&airframe, &craft.feeds, &mut diagnostics);
        diagnostics.extend(harness::airframe(&airframe, &craft.harness, None));
        diagnostics.extend(sense::airframe(&airframe));
        diagnostics.extend(placed::airframe(&airframe, None));
        diagnostics.extend(air::airframe(&airframe, &craft.harness));
        diagnostics.extend(
            craft
                .needs
                .iter()
                .flat_map(|needs| sense::needs(bench, needs)),
        );
        diagnostics.extend(
            craft
                .conditions
                .iter()
                .flat_map(|given| sense::conditions(bench, given)),
        );
    }
    for refit in &bench.refits {
        check_refit(bench, refit, &mut diagnostics);
        diagnostics.extend(
            refit
                .needs
                .iter()
                .flat_map(|needs| sense::needs(bench, needs)),
        );
        diagnostics.extend(
            refit
                .conditions
                .iter()
                .flat_map(|given| sense::conditions(bench, given)),
        );
    }
    told_once(diagnostics)
}

/// What is wrong on the craft stays wrong on its refit; it is told where it was found first.
fn told_once(mut diagnostics: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let mut told = HashSet::new();
    diagnostics.retain(|fault| told.insert((fault.place, fault.id, fault.message.clone())));
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
    let airframe = Airframe::after(craft, refit);
    let (to_removed, feeds): (Vec<Feed>, Vec<Feed>) =
        refit.feeds.iter().cloned().partition(|feed| {
            airframe.position(&feed.part).is_none() && is_removed(refit, &feed.part)
        });
    diagnostics.extend(to_removed.iter().map(|feed| feeds_removed(refit, feed)));
    check_feeds(&airframe, &feeds, diagnostics);
    diagnostics.extend(harness::airframe(&airframe, &refit.harness, Some(refit)));
    diagnostics.extend(sense::airframe(&airframe));
    diagnostics.extend(placed::airframe(&airframe, Some(refit)));
    diagnostics.extend(air::airframe(&airframe, &refit.harness));
}

fn is_removed(refit: &Refit, part: &str) -> bool {
    removed(refit).any(|name| name.value == part)
}

fn feeds_removed(refit: &Refit, feed: &Feed) -> Diagnostic {
    let message = format!("`{}` is fed here, but it is taken off", feed.part.value);
    let fault = Diagnostic::error("unknown-part", feed.part.place, message);
    match removed(refit).find(|name| name.value == feed.part.value) {
        Some(name) => fault.also(name.place, "taken off here"),
        None => fault,
    }
}

/// Where the refit takes a part off, if it does.
pub(crate) fn taken_off<'a>(refit: Option<&'a Refit>, part: &str) -> Option<&'a Stated<String>> {
    removed(refit?).find(|name| name.value == part)
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
    let mut seen = HashSet::new();
    let known = removed(refit).filter(|name| ids.contains(&name.value.as_str()));
    for name in known.filter(|name| !seen.insert(name.value.as_str())) {
        let message = format!("`{}` is taken off twice", name.value);
        diagnostics.push(Diagnostic::warning("removed-twice", name.place, message));
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
        check_circle(airframe, feed, part, diagnostics);
    }
}

/// A rail that a feed leads back to itself, through whatever other rails.
fn check_circle(airframe: &Airframe, feed: &Feed, part: &Part, diagnostics: &mut Vec<Diagnostic>) {
    let rail = part
        .rails
        .iter()
        .position(|rail| rail.name.value == feed.socket.value);
    let (Some(at), Some(rail)) = (airframe.position(&feed.part), rail) else {
        return;
    };
    if airframe.source_of_rail(at, rail) == Err(Unfed::Circle) {
        let message = format!(
            "`{}.{}` feeds itself, directly or through other rails",
            feed.part.value, feed.socket.value
        );
        diagnostics.push(
            Diagnostic::error("rail-circle", feed.socket.place, message)
                .hint("one rail of the circle is fed from `pack` or by a part outside it"),
        );
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
