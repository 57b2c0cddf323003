//! Places, clearances, balance and control as JSON, full precision.

use super::text::fastened;
use crate::json::{finding_value, outcomes_value};
use craft::Bench;
use serde_json::{Value, json};
use space::Item;
use workbench::assess::Assessment;
use workbench::handling::split;
use workbench::placing::offers;
use workbench::verdict::rules::SPACE;

/// Places offered for each part.
const OFFERS: usize = 8;

/// Everything that `fitout space` knows.
pub fn value(bench: &Bench, assessment: &Assessment) -> Value {
    let state = &assessment.judged;
    let name = |part: usize| state.airframe.parts[part].id.value.as_str();
    let findings = assessment
        .findings
        .iter()
        .filter(|finding| SPACE.contains(&finding.rule));
    let item = |item: &Item| {
        let turn = item.pose.turn;
        let turn_deg = [turn.roll, turn.pitch, turn.yaw].map(f64::to_degrees);
        json!({
            "part": name(item.part),
            "name": item.name,
            "place_mm": item.pose.centre_m.map(|x| 1e3 * x),
            "turn_deg": turn_deg,
            "extent_mm": item.extent_m().map(|corners| corners.map(|corner| corner.map(|x| 1e3 * x))),
        })
    };
    let pair = |pair: &space::Clearance| {
        json!({
            "between": pair.names,
            "want": format!("{:?}", pair.want).to_lowercase(),
            "air_mm": 1e3 * pair.gap.distance_m,
            "wanted_mm": 1e3 * pair.keep_m,
            "nearest_mm": pair.gap.nearest_m.map(|point| point.map(|x| 1e3 * x)),
        })
    };
    let reach = |it: &space::reach::Reach| {
        json!({
            "part": name(state.space.layout.items[it.item].part),
            "opening": it.corridor.name,
            "behind": it.behind,
            "cover": it.cover,
            "behind_with_cover_off": it.behind_open,
        })
    };
    let axis = |it: &workbench::handling::AxisHandling| {
        let margins = it
            .margins
            .as_ref()
            .and_then(|margins| margins.middle.as_ref().ok());
        json!({
            "axis": it.axis,
            "kept_crossover_hz": it.kept_hz,
            "factor": it.factor.as_ref().map(|factor| band(factor)),
            "crossover_hz": margins.map(|margins| margins.crossover_hz),
            "phase_margin_deg": margins.map(|margins| margins.phase_margin_deg),
            "gain_margin_db": margins.and_then(|margins| Some(margins.gain_margin?.db)),
            "sensitivity_peak": margins.and_then(|margins| margins.sensitivity_peak),
            "stable": margins.map(|margins| margins.stable),
        })
    };
    let offer = |offer: &workbench::placing::Offer| {
        let place = |place: &workbench::placing::Offered| json!({ "write": place.as_written, "held_by": fastened(&place.by), "slack_mm": 1e3 * place.slack_m, "balance_mm": place.balance_mm });
        json!({ "part": name(offer.part), "places": offer.places.iter().map(place).collect::<Vec<_>>() })
    };
    json!({
        "craft": state.airframe.name,
        "items": state.space.layout.items.iter().map(item).collect::<Vec<_>>(),
        "without_place": state.space.layout.unplaced.iter().map(|it| name(it.part)).collect::<Vec<_>>(),
        "clearances": state.space.clearances.iter().map(pair).collect::<Vec<_>>(),
        "reach": state.space.reach.iter().map(reach).collect::<Vec<_>>(),
        "hover_thrust_n": split(state).into_iter().map(|(name, newtons)| json!({ "motor": name, "thrust_n": newtons })).collect::<Vec<_>>(),
        "axes": state.handling.axes.iter().map(axis).collect::<Vec<_>>(),
        "offers": offers(assessment, OFFERS).iter().map(offer).collect::<Vec<_>>(),
        "outcomes": outcomes_value(assessment),
        "findings": findings.map(|finding| finding_value(bench, assessment, finding)).collect::<Vec<_>>(),
    })
}

fn band(values: &[f64]) -> Value {
    let band = quantity::statistics::Summary::of(values);
    json!({ "p05": band.p05, "p50": band.p50, "p95": band.p95, "sd": band.sd })
}
