//! Air between two solids against the air that is wanted.

use super::{Draft, Level, State};
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use quantity::statistics::Summary;
use space::clearance::{Body, Clearance, Want};
use space::cure::moves;
use space::layout::written_at;
use std::collections::BTreeMap;

/// A pair with this much more air than it wants is not told one by one \[m\].
const PLENTY_M: f64 = 8e-3;

/// With less air than this in the middle a pair is a stop \[mm\]: what is merely short of what is wanted is a watch.
fn touches_mm(want: Want) -> f64 {
    match want {
        Want::Blade | Want::BladeLoose => 0.5,
        Want::Circuit => 0.2,
        // Paper is not that exact.
        Want::Duct | Want::Canopy | Want::Parts => -0.3,
        // Many small craft land on their pack; carbon only shades.
        Want::Ground | Want::Aerial => f64::NEG_INFINITY,
    }
}

/// Moves are looked for to mend the tightest pairs of a kind, so many of them.
const CURED: usize = 8;

/// Every pair of these kinds that is near its limit, one finding for two parts: the tightest of their copies.
pub fn judged(state: &State, basis: &Basis, wants: &[Want]) -> Vec<Draft> {
    let mut tightest: BTreeMap<(usize, String), &Clearance> = BTreeMap::new();
    for pair in state
        .space
        .clearances
        .iter()
        .filter(|pair| wants.contains(&pair.want))
    {
        let best = tightest.entry(pair_of(state, pair)).or_insert(pair);
        if pair.slack_m() < best.slack_m() {
            *best = pair;
        }
    }
    let mut pairs: Vec<&Clearance> = tightest
        .into_values()
        .filter(|pair| pair.slack_m() < PLENTY_M)
        .collect();
    pairs.sort_by(|one, other| one.slack_m().total_cmp(&other.slack_m()));
    pairs
        .into_iter()
        .enumerate()
        .map(|(at, pair)| draft(state, basis, pair, at < CURED))
        .collect()
}

/// The part of the first side, and what the second side is, copies taken together.
fn pair_of(state: &State, pair: &Clearance) -> (usize, String) {
    let part = |body: Body| match body {
        Body::Item(item) => Some(state.space.layout.items[item].part),
        _ => None,
    };
    let other = match pair.bodies[1] {
        Body::Item(_) => part(pair.bodies[1]).map_or(String::new(), |part| {
            state.airframe.parts[part].id.value.clone()
        }),
        Body::Disc(_) => "propellers".into(),
        Body::Duct(_) => "ducts".into(),
        Body::Ground => "ground".into(),
    };
    // Wires that leave a part are told apart from the part.
    let wires = if pair.names[0].starts_with("wires of ") {
        "wires-"
    } else {
        ""
    };
    (
        part(pair.bodies[0]).unwrap_or(usize::MAX),
        format!("{wires}{other}"),
    )
}

fn draft(state: &State, basis: &Basis, pair: &Clearance, is_cured: bool) -> Draft {
    let model = state.model.space.as_ref();
    let draws = state.outcomes.draws();
    let air_m = state.space.air_m(pair, model, &basis.draws, draws);
    let margin: Vec<f64> = air_m.iter().map(|air| air - pair.keep_m).collect();
    let air = Summary::of(&air_m);
    let (part, other) = pair_of(state, pair);
    let id = state
        .airframe
        .parts
        .get(part)
        .map_or("", |part| part.id.value.as_str());
    let claim = Phrase::words(format!("{} and {}: ", pair.names[0], pair.names[1]));
    let claim = if pair.gap.distance_m < 0.0 || air.p50 < 0.0 {
        claim
            .then("they overlap by ")
            .doubted(-1e3 * air.p50, 1e3 * air.sd, "mm")
    } else {
        claim
            .doubted(1e3 * air.p50, 1e3 * air.sd, "mm")
            .then(" of air")
    };
    let claim = match pair.keep_m {
        keep if keep <= 0.0 => claim.then("; they may touch, not more"),
        keep => claim.then("; ").number(1e3 * keep, "mm").then(" is wanted"),
    };
    let places = pair.bodies.iter().filter_map(|body| match body {
        Body::Item(item) => Some(written_at(
            &state.airframe,
            state.space.layout.items[*item].part,
        )),
        _ => None,
    });
    let mut draft = Draft::margin(margin.clone(), claim)
        .about(format!("{id}.{other}"))
        .at(places);
    if 1e3 * air.p50 >= touches_mm(pair.want) {
        draft = draft.at_worst(Level::Watch);
    }
    let short =
        margin.iter().filter(|margin| **margin < 0.0).count() as f64 / margin.len().max(1) as f64;
    if is_cured && short > 1.0 - super::PASS {
        for (way, _) in ways(state, pair, 2.0 * air.sd).into_iter().take(2) {
            draft = draft.way(way);
        }
    }
    draft
}

/// Moves of either part that would give the pair its air, with its doubt, shortest first.
fn ways(state: &State, pair: &Clearance, extra_m: f64) -> Vec<(Phrase, f64)> {
    let mut found = Vec::new();
    for body in pair.bodies {
        let Body::Item(item) = body else { continue };
        let Some(part) = state.space.layout.items[item].carried_by.last() else {
            continue;
        };
        let layout = &state.space.layout;
        for it in moves(
            &state.airframe,
            layout,
            &state.space.clearances,
            pair,
            *part,
            extra_m,
        ) {
            let name = &state.airframe.parts[*part].id.value;
            let way = Phrase::words(format!("move {name} "))
                .number(1e3 * it.length_m, "mm")
                .then(format!(" {}", it.way.word()));
            found.push((way, it.length_m));
        }
    }
    found.sort_by(|one, other| one.1.total_cmp(&other.1));
    found
}
