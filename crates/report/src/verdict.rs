//! The verdict on a terminal: the table before and after, then the findings, worst first.

use crate::layout::{heading, line, wrapped};
use crate::{number, phrase};
use anstyle::{AnsiColor, Style};
use comfy_table::{Cell, CellAlignment, ContentArrangement, Table, presets};
use craft::{Bench, Place};
use quantity::statistics::Summary;
use workbench::assess::Assessment;
use workbench::outcome::{Outcome, OutcomeInfo};
use workbench::verdict::{Finding, Level, State};

/// How the verdict is shown.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// Columns of the terminal.
    pub width: usize,
    /// Whether passes are told one by one.
    pub passes: bool,
}

/// Narrowest width that is laid out; below it lines are cut by the terminal.
const NARROWEST: usize = 40;
/// Width from which the table has columns.
const ROOM_FOR_COLUMNS: usize = 90;
/// Digits of a band's middle, however narrow the band.
const DIGITS: usize = 4;
/// Inputs named in a doubt line.
const NAMED_SHARES: usize = 4;
/// Chance above which a whole percent would say more than is known.
const NEARLY: f64 = 0.99;

/// The whole verdict.
pub fn text(bench: &Bench, assessment: &Assessment, look: Look) -> String {
    let look = Look {
        width: look.width.max(NARROWEST),
        ..look
    };
    let mut out = String::new();
    out.push_str(&headline(assessment));
    out.push('\n');
    out.push_str(&table(assessment, look.width));
    out.push('\n');
    for finding in assessment
        .findings
        .iter()
        .filter(|finding| look.passes || finding.level != Level::Pass)
    {
        out.push_str(&finding_text(bench, assessment, finding, look.width));
    }
    if !look.passes {
        out.push_str(&passes(assessment, look.width));
    }
    out.push_str(&footer(assessment, look.width));
    out
}

fn headline(assessment: &Assessment) -> String {
    let count = |level| {
        assessment
            .findings
            .iter()
            .filter(|finding| finding.level == level)
            .count()
    };
    let levels = [Level::Stop, Level::Watch, Level::Open, Level::Pass];
    let counts: Vec<_> = levels
        .iter()
        .map(|level| format!("{} {}", count(*level), level.word()))
        .collect();
    let what = if assessment.before.is_some() {
        "refit"
    } else {
        "craft"
    };
    format!(
        "{what} of {}: {}   ({})\n",
        assessment.judged.airframe.name,
        painted(assessment.level()),
        counts.join(", ")
    )
}

fn painted(level: Level) -> String {
    let style = style(level);
    format!("{style}{}{style:#}", level.word())
}

fn style(level: Level) -> Style {
    let colour = match level {
        Level::Stop => AnsiColor::Red,
        Level::Watch => AnsiColor::Yellow,
        Level::Open => AnsiColor::Cyan,
        Level::Pass => AnsiColor::Green,
    };
    colour.on_default().bold()
}

/// Outcomes of the table: those that a builder looks for, then supplies and rails. In columns where
/// there is room, else each outcome above its numbers.
fn table(assessment: &Assessment, width: usize) -> String {
    let rows = rows(assessment);
    if width < ROOM_FOR_COLUMNS {
        stacked(&rows)
    } else {
        columns(assessment, rows, width)
    }
}

fn stacked(rows: &[Row]) -> String {
    let mut out = "middle and 90 % band\n".to_owned();
    for row in rows {
        out.push_str(&format!("{}\n    {}\n", row.name, row.bands.join("  →  ")));
    }
    out
}

fn columns(assessment: &Assessment, rows: Vec<Row>, width: usize) -> String {
    let right = |text: String| Cell::new(text).set_alignment(CellAlignment::Right);
    let heads: &[&str] = if assessment.before.is_some() {
        &["before", "after"]
    } else {
        &["as it is"]
    };
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(width as u16);
    table.set_header(
        [Cell::new("middle and 90 % band")]
            .into_iter()
            .chain(heads.iter().map(|head| right((*head).to_owned()))),
    );
    for row in rows {
        table.add_row(
            [Cell::new(row.name)]
                .into_iter()
                .chain(row.bands.into_iter().map(right)),
        );
    }
    table
        .to_string()
        .lines()
        .map(|line| format!("{}\n", line.trim()))
        .collect()
}

/// One line of the table: an outcome and its bands in the states shown.
struct Row {
    name: String,
    bands: Vec<String>,
}

fn rows(assessment: &Assessment) -> Vec<Row> {
    let judged = &assessment.judged;
    let mut ids: Vec<&str> = Outcome::ALL
        .iter()
        .filter(|outcome| shown(**outcome))
        .map(|outcome| outcome.id())
        .collect();
    ids.extend(
        judged
            .outcomes
            .infos
            .iter()
            .map(|info| info.id.as_str())
            .filter(|id| device(id)),
    );
    if let Some(before) = &assessment.before {
        let gone = before
            .outcomes
            .infos
            .iter()
            .map(|info| info.id.as_str())
            .filter(|id| device(id) && judged.outcomes.position(id).is_none());
        ids.extend(gone);
    }
    ids.into_iter()
        .filter_map(|id| row(assessment, id))
        .collect()
}

fn device(id: &str) -> bool {
    (id.starts_with("supply.") && id.ends_with(".min_v"))
        || (id.starts_with("rail.") && (id.ends_with(".load_a") || id.ends_with(".headroom_a")))
}

fn shown(outcome: Outcome) -> bool {
    !matches!(
        outcome,
        Outcome::SumOfParts
            | Outcome::HoverCurrentShown
            | Outcome::HoverPowerRatio
            | Outcome::FullSpeedRatio
            | Outcome::PackEnergy
            | Outcome::PackWorth
            | Outcome::Ixy
            | Outcome::Ixz
            | Outcome::Iyz
            | Outcome::RollEvenness
            | Outcome::PitchEvenness
            | Outcome::YawControl
            | Outcome::RollGain
            | Outcome::PitchGain
            | Outcome::YawGain
    )
}

fn row(assessment: &Assessment, id: &str) -> Option<Row> {
    let in_state = |state: &State| -> Option<(OutcomeInfo, Summary)> {
        let at = state.outcomes.position(id)?;
        Some((state.outcomes.infos[at].clone(), state.outcomes.summary(at)))
    };
    let after = in_state(&assessment.judged);
    let before = assessment.before.as_ref().map(in_state);
    let info = after
        .as_ref()
        .or(before.as_ref().and_then(|before| before.as_ref()))?
        .0
        .clone();
    let (unit, scale) = shown_unit(info.unit);
    let name = if unit.is_empty() {
        info.name
    } else {
        format!("{} [{unit}]", info.name)
    };
    let show = |found: &Option<(OutcomeInfo, Summary)>| {
        found
            .as_ref()
            .map_or("–".to_owned(), |(_, summary)| band(summary, scale))
    };
    let told = |found: &Option<(OutcomeInfo, Summary)>| {
        found
            .as_ref()
            .is_some_and(|(_, summary)| summary.p50.is_finite())
    };
    if !told(&after) && !before.as_ref().is_some_and(told) {
        return None;
    }
    // A rail that nothing hangs on has nothing to tell.
    let idle = |found: &Option<(OutcomeInfo, Summary)>| {
        found.as_ref().is_none_or(|(_, summary)| {
            summary.p95 == 0.0 || summary.p05 == summary.p95 && id.ends_with(".headroom_a")
        })
    };
    if id.starts_with("rail.") && idle(&after) && before.as_ref().is_none_or(idle) {
        return None;
    }
    Some(Row {
        name,
        bands: before.iter().map(show).chain([show(&after)]).collect(),
    })
}

/// Times are read in minutes.
fn shown_unit(unit: &'static str) -> (&'static str, f64) {
    if unit == "s" {
        ("min", 1.0 / 60.0)
    } else {
        (unit, 1.0)
    }
}

/// "41.6  40.2..43.1", all to the place that the band itself warrants.
pub fn band(summary: &Summary, scale: f64) -> String {
    if !summary.p50.is_finite() {
        return "none".to_owned();
    }
    let places =
        number::band_places(summary.sd * scale).min(number::places_of(summary.p50 * scale, DIGITS));
    let show = |value: f64| number::to_places(value * scale, places);
    if summary.p05 == summary.p95 {
        return number::plain(summary.p50 * scale, 4);
    }
    format!(
        "{}  {}..{}",
        show(summary.p50),
        show(summary.p05),
        show(summary.p95)
    )
}

/// The findings of some rules, and how many more pass.
pub fn findings_of(
    bench: &Bench,
    assessment: &Assessment,
    width: usize,
    rules: &[&'static str],
) -> String {
    let told = assessment
        .findings
        .iter()
        .filter(|finding| rules.contains(&finding.rule));
    let (pass, rest): (Vec<_>, Vec<_>) = told.partition(|finding| finding.level == Level::Pass);
    let mut out = heading("Findings");
    for finding in &rest {
        out.push_str(&finding_text(bench, assessment, finding, width));
    }
    if !pass.is_empty() {
        let words = format!("{} pass; `fitout check --passes` tells them", pass.len());
        out.push_str(&line(width, &words));
    }
    out
}

/// One finding: the first line stands alone.
pub fn finding_text(
    bench: &Bench,
    assessment: &Assessment,
    finding: &Finding,
    width: usize,
) -> String {
    let mut out = format!("{}\n", first_line(finding, width));
    let mut line = |label: &str, text: &str| out.push_str(&indented(label, text, width));
    if let Some(chance) = chance(assessment, finding) {
        line("holds", &chance);
    }
    if !finding.shares.is_empty() && finding.level != Level::Pass {
        line("doubt", &doubt(assessment, finding));
    }
    if let Some((input, reading, share)) = finding
        .next_reading(&assessment.basis.inputs)
        .filter(|_| finding.level != Level::Pass)
    {
        line(
            "next",
            &format!(
                "{reading} → {} ({} % of the doubt)",
                input.name,
                number::whole(100.0 * share)
            ),
        );
    }
    if finding.level != Level::Pass {
        for way in &finding.ways {
            line("way out", &phrase::text(way));
        }
        if let Some(caution) = finding.caution {
            line("caution", caution);
        }
        if !finding.places.is_empty() {
            let places: Vec<_> = finding
                .places
                .iter()
                .map(|place| place_text(bench, *place))
                .collect();
            line("at", &places.join(", "));
        }
    }
    out.push('\n');
    out
}

/// "stop  supply-brownout.air-unit.main: …"
pub fn first_line(finding: &Finding, width: usize) -> String {
    let word = finding.level.word();
    let plain = format!("{word:<5} {}: {}", finding.id, phrase::text(&finding.claim));
    let wrapped = wrapped(&plain, width, "", "      ");
    let style = style(finding.level);
    format!("{style}{word}{style:#}{}", &wrapped[word.len()..])
}

fn indented(label: &str, text: &str, width: usize) -> String {
    let first = format!("      {label}: ");
    format!(
        "{}
",
        wrapped(text, width, &first, "        ")
    )
}

/// "in 12 % of the draws; before the refit: pass".
fn chance(assessment: &Assessment, finding: &Finding) -> Option<String> {
    let was = finding
        .before
        .map(|before| format!("before the refit: {}", before.word()));
    let Some(chance) = finding.chance else {
        return was;
    };
    let holds = chance.probability();
    let percent = if holds > NEARLY {
        "> 99 %".to_owned()
    } else if holds < 1.0 - NEARLY {
        "< 1 %".to_owned()
    } else {
        format!("{} %", number::whole(100.0 * holds))
    };
    let error = finding.on_the_line.then(|| {
        let points = 100.0 * chance.standard_error(quantity::Sampling::Sobol);
        format!(
            " ± {} from {} draws: on the line",
            number::plain(points, 1),
            assessment.draws
        )
    });
    let text = format!("{percent}{}", error.unwrap_or_default());
    Some(match was {
        Some(was) => format!("{text}; {was}"),
        None => text,
    })
}

fn doubt(assessment: &Assessment, finding: &Finding) -> String {
    let named = finding.shares.iter().take(NAMED_SHARES).map(|share| {
        format!(
            "{} {} %",
            assessment.basis.inputs.get(share.input).name,
            number::whole(100.0 * share.share)
        )
    });
    let told: f64 = finding
        .shares
        .iter()
        .take(NAMED_SHARES)
        .map(|share| share.share)
        .sum();
    let others = format!(
        "all else {} %",
        number::whole(100.0 * (1.0 - told).max(0.0))
    );
    named.chain([others]).collect::<Vec<_>>().join(", ")
}

/// "hull-85.refit.toml:12:3".
pub fn place_text(bench: &Bench, place: Place) -> String {
    let (line, column) = bench.line_and_column(place);
    format!("{}:{line}:{column}", bench.file(place.file).path)
}

fn passes(assessment: &Assessment, width: usize) -> String {
    let names: Vec<_> = assessment
        .findings
        .iter()
        .filter(|finding| finding.level == Level::Pass)
        .map(|finding| finding.id.as_str())
        .collect();
    if names.is_empty() {
        return String::new();
    }
    let style = style(Level::Pass);
    let text = wrapped(&names.join(", "), width, "pass  ", "      ");
    format!("{style}pass{style:#}{}\n\n", &text["pass".len()..])
}

fn footer(assessment: &Assessment, width: usize) -> String {
    let list = assessment.not_validated();
    let open = if list.is_empty() {
        String::new()
    } else {
        format!("not validated by outside numbers: {}.", list.join(", "))
    };
    let draws = format!(
        "{} draws, seed {}. Bands are what the figures in your files warrant; the models' own limits are in the book.",
        assessment.draws, assessment.seed
    );
    [open.as_str(), &draws, CAUTION]
        .iter()
        .filter(|text| !text.is_empty())
        .map(|text| format!("{}\n", wrapped(text, width, "", "")))
        .collect()
}

/// What holds for every bench, and who decides.
const CAUTION: &str = "Propellers off for every powered bench step; antenna on before power. What a pack bears is for its maker and the fire service \
                       to say, what a transmitter may do for the spectrum authority, where and what you may fly for the aviation authority of your country.";
