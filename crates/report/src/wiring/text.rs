//! The wiring for a terminal: ports and why, findings, what the iron does, wires, capacitor, meter card.
use super::{
    Row, is_as_good, is_told, moves_of, need_label, passed_words, port_label, row, standings,
};
use crate::layout::{columns, heading, line, wrapped};
use crate::number::{exact, plain, whole};
use crate::verdict::finding_text;
use craft::Bench;
use quantity::WireGauge;
use wiring::Carries;
use wiring::allot::Reason;
use wiring::joint::{NICKED, pull_n};
use wiring::meter::{Check, Limit, Round, card};
use wiring::moves::Stands;
use workbench::assess::Assessment;
use workbench::verdict::rules::{WIRING, capacitor_short};
use workbench::verdict::{Level, State};
use workbench::wires::{self, charts_a, drop_v, mass_kg};

/// The whole page.
pub fn text(bench: &Bench, assessment: &Assessment, width: usize) -> String {
    let mut out = headline(assessment, width);
    out.push_str(&ports(assessment, width));
    out.push_str(&findings(bench, assessment, width));
    out.push_str(&solder_moves(assessment, width));
    out.push_str(&wire_list(assessment, width));
    out.push_str(&currents(&assessment.judged, width));
    out.push_str(&capacitor(assessment, width));
    out.push_str(&usb(&assessment.judged, width));

    out.push_str(&joints(&assessment.judged, width));
    out.push_str(&meter_card(&assessment.judged, width));
    out.push_str(&cautions(width));
    out
}

fn headline(assessment: &Assessment, width: usize) -> String {
    let plan = &assessment.judged.plan;
    let name = &assessment.judged.airframe.name;
    let moves = moves_of(assessment);
    let count = |stands| moves.iter().filter(|it| it.stands == stands).count();
    let line = match assessment.before {
        Some(_) => format!(
            "wiring of {name} after the refit: {} wires, {} to take off, {} to move, {} to put on",
            plan.wires.len(),
            count(Stands::Removed),
            count(Stands::Moved),
            count(Stands::New)
        ),
        None => format!("wiring of {name}: {} wires", plan.wires.len()),
    };
    format!("{}\n", wrapped(&line, width, "", "  "))
}

fn ports(assessment: &Assessment, width: usize) -> String {
    let state = &assessment.judged;
    let signals = &state.plan.signals;
    let told: Vec<usize> = (0..signals.needs.len())
        .filter(|&need| is_told(signals.needs[need].kind))
        .collect();
    if told.is_empty() {
        return String::new();
    }
    let mut out = heading("Ports");
    for need in told {
        let label = need_label(state, need);
        let Some(choice) = signals.choices.get(need).and_then(Option::as_ref) else {
            let optional = signals.question.needs[need].may_be_left_out;
            let why = if optional {
                "left out: the craft does without"
            } else {
                "no port"
            };
            out.push_str(&line(width, &format!("{label}: {why}")));
            continue;
        };
        let why = wires::reason(choice.reason, signals.needs[need].today_said);
        let port = port_label(state, choice.port);
        out.push_str(&line(width, &format!("{label} → {port}: {why}")));
        if choice.reason == Reason::TheOwnerSaysSo {
            continue;
        }
        let told = choice
            .others
            .iter()
            .filter(|(_, passed)| !is_as_good(passed));
        for (other, passed) in told {
            let words = format!(
                "not {}: {}",
                signals.ports[*other].name,
                passed_words(state, need, passed)
            );
            out.push_str(&format!(
                "{}\n",
                wrapped(&words, width, "      ", "        ")
            ));
        }
    }
    out
}

fn findings(bench: &Bench, assessment: &Assessment, width: usize) -> String {
    let about_wires = |rule: &str| WIRING.contains(&rule);
    let told: Vec<_> = assessment
        .findings
        .iter()
        .filter(|finding| about_wires(finding.rule) && finding.level != Level::Pass)
        .collect();
    let passes = assessment
        .findings
        .iter()
        .filter(|finding| about_wires(finding.rule) && finding.level == Level::Pass)
        .count();
    let mut out = heading("Net check");
    for finding in &told {
        out.push_str(&finding_text(bench, assessment, finding, width));
    }
    out.push_str(&format!("  {passes} passed; {} to look at\n", told.len()));
    out
}

fn solder_moves(assessment: &Assessment, width: usize) -> String {
    let Some(before) = &assessment.before else {
        return String::new();
    };
    let moves = moves_of(assessment);
    if moves.is_empty() {
        return String::new();
    }
    let mut out = heading("Solder moves, in this order");
    let after = &assessment.judged.plan;
    for (at, it) in moves.iter().enumerate() {
        let old = it
            .old
            .map(|old| row(&before.plan, String::new(), &before.plan.wires[old]));
        let new = it
            .new
            .map(|new| row(after, number_of(new), &after.wires[new]));
        let words = match (it.stands, old, new) {
            (Stands::Removed, Some(old), _) => {
                format!("take off  {} — {} ({})", old.from, old.to, old.colour)
            }
            (Stands::Moved, Some(old), Some(new)) => {
                format!(
                    "move      {}: from {} to {} ({})",
                    new.from, old.to, new.to, new.colour
                )
            }
            (_, _, Some(new)) => format!(
                "put on    {} — {} (wire {}, {}, {} AWG, {} mm)",
                new.from, new.to, new.number, new.colour, new.gauge, new.length
            ),
            _ => continue,
        };
        let first = format!("  {:>2}  ", at + 1);
        out.push_str(&format!(
            "{}\n",
            wrapped(&words, width, &first, "                ")
        ));
    }
    out
}

/// Wires are counted from one.
pub(super) fn number_of(wire: usize) -> String {
    (wire + 1).to_string()
}

fn wire_list(assessment: &Assessment, width: usize) -> String {
    let plan = &assessment.judged.plan;
    if plan.wires.is_empty() {
        return String::new();
    }
    let standings = standings(assessment);
    let rows: Vec<Row> = plan
        .wires
        .iter()
        .enumerate()
        .map(|(at, wire)| row(plan, number_of(at), wire))
        .collect();
    let mut out = heading("Wire list");
    let heads = ["no", "from", "to", "colour", "AWG", "cut mm", "twist", ""];
    let cells = rows
        .iter()
        .zip(&plan.wires)
        .zip(&standings)
        .map(|((row, wire), stands)| {
            let twist = wire.twist.filter(|twist| is_twisted(plan, *twist));
            vec![
                row.number.clone(),
                row.from.clone(),
                row.to.clone(),
                row.colour.to_owned(),
                row.gauge.clone(),
                row.length.clone(),
                twist.map_or_else(String::new, |twist| format!("pair {twist}")),
                match stands {
                    Stands::New => "new".to_owned(),
                    Stands::Moved => "moved".to_owned(),
                    Stands::Kept | Stands::Removed => String::new(),
                },
            ]
        });
    out.push_str(&columns(&heads, cells.collect(), width));
    let mut notes: Vec<&str> = rows.iter().flat_map(|row| row.notes.clone()).collect();
    notes.sort_unstable();
    notes.dedup();
    for note in notes {
        let numbers: Vec<&str> = rows
            .iter()
            .filter(|row| row.notes.contains(&note))
            .map(|row| row.number.as_str())
            .collect();
        out.push_str(&line(width, &format!("{note}: {}", numbers.join(", "))));
    }
    let new_g: f64 = plan
        .wires
        .iter()
        .zip(&standings)
        .filter(|(_, stands)| **stands != Stands::Kept)
        .map(|(wire, _)| 1e3 * mass_kg(wire))
        .sum();
    if assessment.before.is_some() {
        let words = format!(
            "new wire weighs about {} g and is in the craft's mass",
            plain(new_g, 2)
        );
        out.push_str(&line(width, &words));
    }
    out.push_str(&line(
        width,
        "lengths are cut lengths: the way, a tenth more, and one loop of 8 to 10 mm; twist a pair one turn in 10 to 15 mm",
    ));
    out
}

/// Whether at least two wires carry this number.
fn is_twisted(plan: &wiring::Plan, twist: usize) -> bool {
    plan.wires
        .iter()
        .filter(|wire| wire.twist == Some(twist))
        .count()
        > 1
}
/// What each feed was sized for, and how far the charts disagree.
fn currents(state: &State, width: usize) -> String {
    let plan = &state.plan;
    let lines: String = plan
        .wires
        .iter()
        .enumerate()
        .filter(|(_, wire)| wire.sized_for_a > 0.0 && matches!(wire.carries, Carries::Plus(..)))
        .filter_map(|(at, wire)| {
            let ((least, most), burst) = charts_a(wire.gauge.value)?;
            let words = format!(
                "wire {}: up to {} A; charts let {} AWG carry {} to {} A, {} A for ten seconds; drops about {} mV there and back",
                number_of(at),
                plain(wire.sized_for_a, 2),
                exact(wire.gauge.value.in_awg()),
                exact(least),
                exact(most),
                exact(burst),
                plain(1e3 * drop_v(wire, wire.sized_for_a), 2)
            );
            Some(line(width, &words))
        })
        .collect();
    if lines.is_empty() {
        return lines;
    }
    format!("{}{lines}", heading("Currents in the feeds"))
}

/// What lives on USB alone, and what cannot be tried without the pack.
fn usb(state: &State, width: usize) -> String {
    let (mut alive, mut dead) = (Vec::new(), Vec::new());
    for (at, fitted, input) in state.airframe.inputs() {
        let name = format!("{}.{}", fitted.id.value, input.name.value);
        match wires::alive_on_usb(&state.airframe, at, input) {
            Some(true) => alive.push(name),
            Some(false) => dead.push(name),
            None => {}
        }
    }
    if alive.is_empty() {
        return String::new();
    }
    let mut words = format!("alive: {}", alive.join(", "));
    if !dead.is_empty() {
        words.push_str(&format!(
            "; dead, to be tried with the pack only (propellers off, lowest power, a fan): {}",
            dead.join(", ")
        ));
    }
    format!("{}{}", heading("On USB alone"), line(width, &words))
}

fn capacitor(assessment: &Assessment, width: usize) -> String {
    let Some(advice) = capacitor_short::wanted(&assessment.judged) else {
        return String::new();
    };
    let (least, most) = advice.microfarads;
    let size = if least > 0.0 {
        format!("{} to {} µF", exact(least), exact(most))
    } else {
        format!("none needed, up to {} µF does no harm", exact(most))
    };
    let words = format!(
        "{size}, low series resistance, printed {} V or more ({} V is comfortable), legs up to {} mm, body glued; common practice",
        exact(advice.sold_v()),
        whole(advice.volts.1),
        exact(advice.legs_mm)
    );
    format!(
        "{}{}",
        heading("Capacitor on the battery pads"),
        line(width, &words)
    )
}

/// What each joint must look like and bear, for the gauges of this craft.
fn joints(state: &State, width: usize) -> String {
    let mut gauges: Vec<f64> = state
        .plan
        .wires
        .iter()
        .map(|wire| wire.gauge.value.in_awg())
        .collect();
    if gauges.is_empty() {
        return String::new();
    }
    gauges.sort_by(f64::total_cmp);
    gauges.dedup();
    let pulls: Vec<String> = gauges
        .iter()
        .map(|&awg| {
            let (least, most) = pull_n(WireGauge::awg(awg));
            let range = if least < most {
                format!("{} to {}", exact(least), exact(most))
            } else {
                exact(most)
            };
            format!("{} AWG {range} N", exact(awg))
        })
        .collect();
    let nicked: Vec<String> = NICKED
        .iter()
        .map(|(strands, cut)| format!("up to {strands}: {cut}"))
        .collect();
    let mut out = heading("Joints, under a lens, both sides");
    out.push_str(&line(
        width,
        "wetted fillet, strands to be seen in it, contact angle up to 90°, no bridge, ball, burnt insulation or lifted pad (after IPC-A-610, class 2)",
    ));
    out.push_str(&line(
        width,
        &format!(
            "nicked strands allowed, by strands in the wire: {}, beyond that 6 % (IPC/WHMA-A-620B table 3-1, from an extract)",
            nicked.join(", ")
        ),
    ));
    out.push_str(&line(
        width,
        &format!("pull: {} (common practice)", pulls.join(", ")),
    ));
    out
}

fn meter_card(state: &State, width: usize) -> String {
    let mut out = heading("Meter card: before the first power");
    out.push_str(&line(
        width,
        "pack unplugged, leads of the meter zeroed; limits are common practice",
    ));
    let mut round = None;
    let mut number = 0;
    for check in card(&state.plan, &state.airframe) {
        if round != Some(check.round) {
            round = Some(check.round);
            out.push_str(&format!("  {}\n", round_words(check.round)));
            out.push_str(&format!(
                "{}\n",
                wrapped(
                    &format!("if not: {}", check.otherwise),
                    width,
                    "      ",
                    "        "
                )
            ));
        }
        number += 1;
        let words = format!("{} — {}: {}", check.from, check.to, limit_words(&check));
        let first = format!("  {number:>3} [ ] ");
        out.push_str(&format!(
            "{}\n",
            wrapped(&words, width, &first, "          ")
        ));
    }
    out
}

pub(super) fn round_words(round: Round) -> &'static str {
    match round {
        Round::Plugs => "Plugs, before they are mated",
        Round::Grounds => "Grounds, each by itself",
        Round::Shorts => "Plus against minus",
        Round::Rails => "Rails against one another",
        Round::Signals => "Signals, end to end",
        Round::Neighbours => "Pads beside one another",
        Round::Phases => "Motors",
    }
}

pub(super) fn limit_words(check: &Check) -> String {
    match check.limit {
        Limit::AtMost(ohms) => format!("at most {} Ω", exact(ohms)),
        Limit::Above(ohms) if ohms >= 1e6 => format!("above {} MΩ", exact(1e-6 * ohms)),
        Limit::Above(ohms) if ohms >= 1e3 => {
            format!("above {} kΩ once it has settled", exact(1e-3 * ohms))
        }
        Limit::Above(ohms) => format!("above {} Ω once it has settled", exact(ohms)),
        Limit::Alike(share) => format!(
            "within {} % of one another, by 1 A and a millivolt meter",
            exact(100.0 * share)
        ),
        Limit::Open => "open".to_owned(),
        Limit::Polarity => "meter which is plus, on both".to_owned(),
        Limit::PinOrder => "meter first".to_owned(),
    }
}

fn cautions(width: usize) -> String {
    let words = [
        "propellers off; pack away from the iron; ventilate: flux fume harms",
        "first power through a limiter of 0.5 A; the data sheets of your parts decide where they say otherwise",
    ];
    let lines: String = words.iter().map(|words| line(width, words)).collect();
    format!("{}{lines}", heading("Mind"))
}
