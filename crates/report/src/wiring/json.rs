//! The wiring as JSON, full precision.

use super::text::{limit_words, number_of, round_words};
use super::{carries_word, moves_of, passed_words, standings};
use crate::verdict;
use craft::Bench;
use craft::pads::SignalKind;
use serde_json::{Value, json};
use wiring::meter::{Limit, card};
use wiring::moves::Stands;
use workbench::assess::Assessment;
use workbench::verdict::State;
use workbench::verdict::rules::{WIRING, capacitor_short};
use workbench::wires::{self, counts_from_zero, mass_kg};

/// The whole plan with its findings.
pub fn value(bench: &Bench, assessment: &Assessment) -> Value {
    let state = &assessment.judged;
    let findings: Vec<Value> = assessment
        .findings
        .iter()
        .filter(|finding| WIRING.contains(&finding.rule))
        .map(|finding| crate::json::finding_value(bench, assessment, finding))
        .collect();
    json!({
        "craft": state.airframe.name,
        "allotment": allotment(state),
        "nets": nets(state),
        "wires": wire_values(bench, assessment),
        "moves": move_values(assessment),
        "capacitor": capacitor(state),
        "meter_card": meter_card(state),
        "findings": findings,
    })
}

/// Who goes to which port, and why; and what stands in the way where not all can.
pub fn allotment(state: &State) -> Value {
    let signals = &state.plan.signals;
    let from_zero = counts_from_zero(&state.airframe);
    let each: Vec<Value> = (0..signals.needs.len())
        .map(|at| {
            let need = &signals.needs[at];
            let choice = signals.choices.get(at).and_then(Option::as_ref);
            let port = choice.map(|choice| &signals.ports[choice.port]);
            let printed = port.and_then(|port| port.number);
            let serial = need.kind == SignalKind::Serial;
            json!({
                "signal": need.name,
                "kind": need.kind.word(),
                "protocol": need.protocol,
                "port": port.map(|port| &port.name),
                "printed": printed,
                "counted": printed.filter(|_| serial).map(|number| if from_zero { number.saturating_sub(1) } else { number }),
                "why": choice.map(|choice| wires::reason(choice.reason, need.today_said)),
                "others": choice.map(|choice| choice.others.iter().map(|(other, passed)| json!({
                    "port": signals.ports[*other].name,
                    "why":
passed_words(state, at, passed),
                })).collect::<Vec<_>>()),
                "optional": signals.question.needs[at].may_be_left_out,
            })
        })
        .collect();
    let conflict = signals.conflict.as_ref().map(|conflict| {
        json!({
            "together": conflict.together.iter().map(|&need| &signals.needs[need].name).collect::<Vec<_>>(),
            "changes": conflict.reliefs.iter().map(|&relief| wires::relief(signals, relief)).collect::<Vec<_>>(),
        })
    });
    json!({
        "signals": each,
        "conflict": conflict,
        "unheard": signals.unheard.iter().map(|need| &need.name).collect::<Vec<_>>(),
    })
}

/// Every net with its terminals.
pub fn nets(state: &State) -> Value {
    let terminals = &state.plan.terminals;
    let nets = wiring::net::nets(&state.plan, &state.airframe);
    nets.iter()
        .map(|net| {
            json!({
                "name": net.name,
                "kind": match net.kind {
                    wiring::net::NetKind::Ground => "ground",
                    wiring::net::NetKind::Supply => "supply",
                    wiring::net::NetKind::Signal => "signal",
                },
                "terminals": net.terminals.iter().map(|&id| terminals.label(id)).collect::<Vec<_>>(),
            })
        })
        .collect()
}

fn wire_values(bench: &Bench, assessment: &Assessment) -> Vec<Value> {
    let plan = &assessment.judged.plan;
    let standings = standings(assessment);
    plan.wires
        .iter()
        .zip(standings)
        .enumerate()
        .map(|(at, (wire, stands))| {
            json!({
                "number": number_of(at),
                "from": plan.terminals.label(wire.ends[0]),
                "to": plan.terminals.label(wire.ends[1]),
                "carries": carries_word(&wire.carries),
                "colour": wire.colour.value.word(),
                "gauge_awg": wire.gauge.value.in_awg(),
                "gauge_written": wire.gauge.said,
                "length_mm": wire.length.value.in_millimetres(),
                "length_written": wire.length.said,
                "twist": wire.twist,
                "mass_g": 1e3 * mass_kg(wire),
                "sized_for_a": wire.sized_for_a,
                "charts_a": wires::charts_a(wire.gauge.value).map(|((least, most), burst)| json!({
                    "least": least, "most": most, "ten_seconds": burst,
                })),
                "stands": stands_word(stands),
                "place": wire.place.map(|place| verdict::place_text(bench, place)),
            })
        })
        .collect()
}

fn stands_word(stands: Stands) -> &'static str {
    match stands {
        Stands::Kept => "kept",
        Stands::New => "new",
        Stands::Removed => "removed",
        Stands::Moved => "moved",
    }
}

fn move_values(assessment: &Assessment) -> Vec<Value> {
    let after = &assessment.judged.plan;
    let Some(before) = assessment.before.as_ref().map(|state| &state.plan) else {
        return Vec::new();
    };
    let ends = |plan: &wiring::Plan, wire: usize| {
        plan.wires[wire].ends.map(|end| plan.terminals.label(end))
    };
    moves_of(assessment)
        .into_iter()
        .map(|it| {
            json!({
                "does": stands_word(it.stands),
                "old": it.old.map(|old| ends(before, old)),
                "new": it.new.map(|new| ends(after, new)),
                "wire": it.new.map(number_of),
            })
        })
        .collect()
}

fn capacitor(state: &State) -> Value {
    match capacitor_short::wanted(state) {
        Some(advice) => json!({
            "least_uf": advice.microfarads.0,
            "most_uf": advice.microfarads.1,
            "least_v": advice.volts.0,
            "comfortable_v": advice.volts.1,
            "longest_legs_mm": advice.legs_mm,
        }),
        None => Value::Null,
    }
}

fn meter_card(state: &State) -> Vec<Value> {
    card(&state.plan, &state.airframe)
        .iter()
        .map(|check| {
            let (at_most, above) = match check.limit {
                Limit::AtMost(ohms) => (Some(ohms), None),
                Limit::Above(ohms) => (None, Some(ohms)),
                _ => (None, None),
            };
            json!({
                "round": round_words(check.round),
                "from": check.from,
                "to": check.to,
                "shows": limit_words(check),
                "at_most_ohm": at_most,
                "above_ohm": above,
                "otherwise": check.otherwise,
            })
        })
        .collect()
}
