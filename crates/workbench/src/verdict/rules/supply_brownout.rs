//! A device loses its supply in the worst punch.
//!
//! **Asks:** do the volts at every device stay above the volts at which it stops, with a margin, in a full-command climb at the landing reserve on a cold, aged pack?
//!
//! **Why:** analogue video flickers and returns within a second; digital video restarts for 10 to 35 s, which through goggles counts as loss of control. A flight controller or receiver that restarts is a crash.
//!
//! **Judged:** lowest volts at the device, its own feed wire counted, against its lowest volts plus 0.5 V for digital video, 0.3 V for analogue video and for control, nothing for the rest. Behind a rail that still holds its volts no margin is asked: the margin is for what sags. Common practice. Ripple is not computed; the margin is there for it.
//!
//! **Do:** feed it from a step-up regulator, use a plug and leads of less resistance, a fresher or warmer pack, land earlier, limit the command.
//!
//! **Example:** `stop  supply-brownout.air-unit.main: air-unit.main falls to 6.1 ± 0.2 V; it stops at 6.8 V and wants 0.5 V above that`

use crate::model::{LoadModel, Parent};
use crate::phrase::Phrase;
use crate::predict::load_outcome;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use craft::facet::{Loss, PlugSize};
use power::RegulatorKind;
use quantity::Summary;

/// Its stable name.
pub const ID: &str = "supply-brownout";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    let loads = state.model.electrics.loads.iter().enumerate();
    loads.filter(|(_, load)| load.parent.is_some()).map(|(at, load)| supply(state, basis, at, load)).collect()
}

/// Volts wanted above the lowest, by what is lost. Common practice.
fn wanted_v(loss: Option<Loss>) -> f64 {
    match loss {
        Some(Loss::DigitalVideo) => 0.5,
        Some(Loss::AnalogueVideo | Loss::Control) => 0.3,
        Some(Loss::Nothing) | None => 0.0,
    }
}

fn supply(state: &State, basis: &Basis, at: usize, load: &LoadModel) -> Draft {
    let fitted = &state.airframe.parts[load.at.0];
    let input = fitted.part.as_deref().map(|part| &part.inputs[load.at.1].facet);
    let loss = input.and_then(|input| input.loss.as_ref()).map(|loss| loss.value);
    let Some(floor) = load.floor else {
        let claim = Phrase::words(format!("the lowest volts of {} are missing; cannot say whether it holds in a punch", load.id));
        return Draft::missing(claim).about(load.id.clone()).at(state.load_place(load.at));
    };
    if state.model.drive.is_none() || state.model.battery.is_none() {
        let words = format!("the volts of {} in a punch cannot be worked out: frame, motors, propellers and battery are not all there", load.id);
        return Draft::missing(Phrase::words(words)).about(load.id.clone()).at(state.load_place(load.at));
    }
    let wanted_v = wanted_v(loss);
    let position = load_outcome(&state.model, at);
    let lowest = state.outcomes.column(position);
    let floors = basis.term(floor, lowest.len());
    let wants = |volts: f64| if held(state, load, volts) { 0.0 } else { wanted_v };
    // A bus without an operating point supplies nothing.
    let margin: Vec<f64> =
        lowest.iter().zip(&floors).map(|(volts, floor)| volts.max(0.0) - floor - wants(*volts)).collect();
    let (volts, stops) = (Summary::of(&lowest), Summary::of(&floors));
    let claim = fall(&load.id, &volts).then("; it stops at ").doubted(stops.p50, stops.sd, "V");
    let claim = if wants(volts.p50) > 0.0 { claim.then(" and wants ").number(wanted_v, "V").then(" above that") } else { claim };
    let draft = Draft::margin(margin, claim)
        .about(load.id.clone())
        .from_outcomes([state.outcomes.infos[position].id.clone()])
        .at(state.load_place(load.at));
    ways(state, load, loss, draft)
}

/// How far the volts fall. Where a regulator gives up in some draws and holds in the rest, the middle says nothing
/// of the fall, so the low end is named.
fn fall(id: &str, volts: &Summary) -> Phrase {
    let (below, above) = (volts.p50 - volts.p05, volts.p95 - volts.p50);
    if below > GIVES_UP_V && below > LOPSIDED * above {
        return Phrase::words(format!("{id} holds "))
            .number(volts.p50, "V")
            .then(" in the middle draw and falls to ")
            .number(volts.p05, "V")
            .then(" in one of twenty");
    }
    Phrase::words(format!("{id} falls to ")).doubted(volts.p50, volts.sd, "V")
}

/// A fall between the middle and the low end that is more than doubt of the sag.
const GIVES_UP_V: f64 = 0.5;
/// How much longer the low side of such a band is than its high side.
const LOPSIDED: f64 = 4.0;

/// Whether a rail holds its volts in this draw: then nothing sags at the device but its own wire, and the
/// margin for sag and ripple is not asked for.
fn held(state: &State, load: &LoadModel, volts: f64) -> bool {
    let Some(Parent::Rail(rail)) = load.parent else { return false };
    let rail = &state.model.electrics.rails[rail];
    rail.output_v > 0.0 && volts > HELD_SHARE * rail.output_v
}

/// Share of its setting above which a rail counts as holding: its own tolerance and the feed wire.
const HELD_SHARE: f64 = 0.97;

fn ways(state: &State, load: &LoadModel, loss: Option<Loss>, draft: Draft) -> Draft {
    let plug = state.first(|part| part.plug.as_ref()).and_then(|(_, plug)| plug.size.as_ref()).map(|size| size.value);
    let mut draft = match load.parent {
        Some(Parent::Bus) => draft.way(format!("feed {} from a step-up regulator or a rail that holds its volts", load.id)),
        Some(Parent::Rail(rail)) => {
            let rail = &state.model.electrics.rails[rail];
            match rail.kind {
                RegulatorKind::Buck | RegulatorKind::Linear => draft.way(format!("{} needs more input than the pack has at its bottom: a step-up, or one more cell and every limit checked again", rail.id)),
                _ => draft.way(format!("a stronger source than {}", rail.id)),
            }
        }
        None => draft,
    };
    if plug == Some(PlugSize::TwoPin) {
        draft = draft.way("a plug of less resistance than the 2.0 mm two-pin one");
    }
    draft = draft.way("land earlier, warm the pack, or limit the command");
    if loss == Some(Loss::DigitalVideo) {
        draft = draft.caution("a digital restart of 10 to 35 s counts as loss of control");
    }
    draft
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_device_that_needs_sixteen_volts_is_a_stop() {
        check(&[("lock_out = \"6.8 V\"", "lock_out = \"14 V\"")], "supply-brownout.video.main", Level::Stop);
    }

    #[test]
    fn checked_an_unknown_limit_is_open() {
        check(&[("volts = \"7..26 V\"\nlock_out = \"6.8 V\"\n", "")], "supply-brownout.video.main", Level::Open);
    }
}
