//! The verdict as JSON, full precision.

use crate::{phrase, verdict};
use craft::Bench;
use quantity::statistics::Summary;
use serde_json::{Map, Value, json};
use workbench::assess::Assessment;
use workbench::chain::{From, Step};
use workbench::verdict::{Finding, State};

/// The whole verdict.
pub fn assessment(bench: &Bench, assessment: &Assessment) -> Value {
    json!({
        "craft": assessment.judged.airframe.name,
        "level": assessment.level().word(),
        "draws": assessment.draws,
        "seed": assessment.seed,
        "not_validated": assessment.not_validated(),
        "outcomes": outcomes_value(assessment),
        "wiring": {
            "allotment": crate::wiring::allotment(&assessment.judged),
            "nets": crate::wiring::nets(&assessment.judged),
        },
        "findings": assessment.findings.iter().map(|finding| finding_value(bench, assessment, finding)).collect::<Vec<_>>(),
    })
}

/// Each outcome by its dotted name, for the craft before and after the refit. A craft alone has only `before`.
pub fn outcomes_value(assessment: &Assessment) -> Value {
    let (before, after): (&State, Option<&State>) = match &assessment.before {
        Some(before) => (before, Some(&assessment.judged)),
        None => (&assessment.judged, None),
    };
    let mut map = Map::new();
    let infos = before
        .outcomes
        .infos
        .iter()
        .chain(after.iter().flat_map(|state| &state.outcomes.infos));
    for info in infos {
        if map.contains_key(&info.id) {
            continue;
        }
        let (unit, scale) = if info.unit == "%" {
            ("", 0.01)
        } else {
            (info.unit, 1.0)
        };
        let band = |state: Option<&State>| {
            let outcomes = &state?.outcomes;
            Some(summary(
                &outcomes.summary(outcomes.position(&info.id)?),
                scale,
            ))
        };
        let value = json!({ "name": info.name, "unit": unit, "before": band(Some(before)), "after": band(after) });
        map.insert(info.id.clone(), value);
    }
    Value::Object(map)
}

fn summary(summary: &Summary, scale: f64) -> Value {
    json!({
        "p05": summary.p05 * scale,
        "p50": summary.p50 * scale,
        "p95": summary.p95 * scale,
        "mean": summary.mean * scale,
        "sd": summary.sd * scale,
        "without_operating_point": summary.missing,
    })
}

/// One finding.
pub fn finding_value(bench: &Bench, assessment: &Assessment, finding: &Finding) -> Value {
    let inputs = &assessment.basis.inputs;
    let shares: Vec<Value> = finding
        .shares
        .iter()
        .map(|share| {
            let input = inputs.get(share.input);
            json!({ "input": input.key, "name": input.name, "share": share.share })
        })
        .collect();
    let next = finding.next_reading(inputs).map(
        |(input, reading, share)| json!({ "input": input.key, "reading": reading, "share": share }),
    );
    json!({
        "id": finding.id,
        "rule": finding.rule,
        "level": finding.level.word(),
        "before": finding.before.map(|level| level.word()),
        "on_the_line": finding.on_the_line,
        "chance": finding.chance.map(|chance| json!({
            "holds": chance.probability(),
            "standard_error": chance.standard_error(quantity::Sampling::Sobol),
        })),
        "claim": phrase::text(&finding.claim),
        "outcomes": finding.outcomes,
        "shares": shares,
        "rest": finding.rest,
        "next": next,
        "ways_out": finding.ways.iter().map(phrase::text).collect::<Vec<_>>(),
        "caution": finding.caution,
        "curve": finding.curve.as_ref().map(|curve| json!({ "along": curve.along, "shows": curve.shows, "points": curve.points })),
        "places": finding.places.iter().map(|place| verdict::place_text(bench, *place)).collect::<Vec<_>>(),
    })
}

/// The chain of numbers behind a finding.
pub fn steps(assessment: &Assessment, steps: &[Step]) -> Value {
    let used = |step: &Step| {
        step.uses
            .iter()
            .map(|used| {
                let (from, input) = match &used.from {
                    From::Given => ("given", None),
                    From::Step(_) => ("step", None),
                    From::Input(id) => ("input", Some(assessment.basis.inputs.get(*id))),
                };
                json!({
                    "name": used.name,
                    "value": used.value,
                    "unit": used.unit,
                    "from": from,
                    "step": if let From::Step(id) = &used.from { Some(id) } else { None },
                    "input": input.map(|input| &input.key),
                    "source": input.map(|input| input.source),
                })
            })
            .collect::<Vec<_>>()
    };
    let list: Vec<_> = steps
        .iter()
        .map(|step| json!({ "id": step.id, "what": step.what, "formula": step.formula, "uses": used(step), "result": step.result, "unit": step.unit }))
        .collect();
    Value::Array(list)
}
