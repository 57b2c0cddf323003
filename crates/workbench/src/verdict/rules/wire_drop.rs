//! A feed that loses too many volts in its own wire.
//!
//! **Asks:** does each feed keep within its budget of lost volts?
//!
//! **Why:** 50 mV on a 5 V video feed show as lines in the picture; on a feed from the pack the loss adds to the sag.
//!
//! **Judged:** the device's highest power at its lowest volts, over both wires at 40 °C: at most 50 mV for video on a rail of up to 5.5 V, otherwise 3 % of the volts. The battery lead: 1 % in hover, 3 % at full command. Never worse than watch. Common practice. Lengths and gauges that nobody wrote are the program's own choice.
//!
//! **Do:** a thicker or a shorter wire.
//!
//! **Example:** `watch  wire-drop.video.main: 80 mm of 30 AWG lose 70 ± 10 mV; 50 mV is the most for video`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::predict::load_outcome;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use crate::wires::drop_v;
use craft::Tap;
use quantity::statistics::Summary;
use wiring::choice::{CRUISE_DROP, Job, LOW_RAIL_V, PUNCH_DROP, VIDEO_DROP_V};
use wiring::{Carries, Wire};

/// Its stable name.
pub const ID: &str = "wire-drop";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    let feeds = state.plan.wires.iter().filter_map(|wire| match &wire.carries {
        Carries::Plus(part, socket) => feed(state, basis, wire, *part, socket),
        _ => None,
    });
    feeds.chain(lead(state)).collect()
}

fn feed(state: &State, basis: &Basis, wire: &Wire, part: usize, socket: &str) -> Option<Draft> {
    let name = format!("{}.{socket}", state.plan.terminals.part_names[part]);
    let (at, load) = state.model.electrics.loads.iter().enumerate().find(|(_, load)| load.id == name)?;
    let volts = state.outcomes.column(load_outcome(&state.model, at));
    let peak = basis.term(load.peak, volts.len());
    let input = state.airframe.parts[part].part.as_deref()?.inputs.get(load.at.1)?;
    let job = Job::feed(input.facet.loss.map(|loss| loss.value));
    let is_video = matches!(job, Job::DigitalVideo | Job::AnalogueVideo);
    let from_low_rail = match state.airframe.source_of_input(part, input) {
        Ok((Tap::Rail(at, rail), _)) => {
            let output = state.airframe.rail(at, rail)?.facet.output;
            output.is_some_and(|output| output.value.0.in_volts() <= LOW_RAIL_V)
        }
        _ => false,
    };
    let budget = |volts: &f64| if is_video && from_low_rail { VIDEO_DROP_V } else { PUNCH_DROP * volts };
    let drops: Vec<f64> = volts.iter().zip(&peak).map(|(volts, watts)| drop_v(wire, watts / volts)).collect();
    let budgets: Vec<f64> = volts.iter().map(budget).collect();
    let draft = draft(wire, &drops, &budgets)?.about(name.clone());
    Some(draft.from_outcomes([format!("supply.{name}.min_v")]))
}

/// The battery lead: hover and full command.
fn lead(state: &State) -> Vec<Draft> {
    let (Some(entry), volts) = (state.plan.entry, state.of(Outcome::PunchVolts)) else {
        return Vec::new();
    };
    let is_lead = |wire: &&Wire| {
        matches!(&wire.carries, Carries::Plus(part, socket) if *part == entry && socket == "pack")
    };
    let Some(wire) = state.plan.wires.iter().find(is_lead) else {
        return Vec::new();
    };
    let name = &state.plan.terminals.part_names[entry];
    let cases = [("hover", Outcome::HoverCurrent, CRUISE_DROP), ("punch", Outcome::PeakCurrent, PUNCH_DROP)];
    let drafts = cases.into_iter().filter_map(|(when, current, share)| {
        let drops: Vec<f64> = state.of(current).iter().map(|amperes| drop_v(wire, *amperes)).collect();
        let budgets: Vec<f64> = volts.iter().map(|volts| share * volts).collect();
        let draft = draft(wire, &drops, &budgets)?.about(format!("{name}.lead.{when}"));
        Some(draft.from_outcomes([current.id()]))
    });
    drafts.collect()
}

fn draft(wire: &Wire, drops: &[f64], budgets: &[f64]) -> Option<Draft> {
    let (drop, budget) = (Summary::of(drops), Summary::of(budgets));
    if !(drop.p50.is_finite() && budget.p50.is_finite()) {
        return None;
    }
    let chosen = if wire.gauge.said && wire.length.said { "" } else { " as chosen here" };
    let claim = Phrase::default()
        .number(wire.length.value.in_millimetres(), "mm")
        .then(format!(" of {} AWG{chosen} lose ", wire.gauge.value.in_awg()))
        .doubted(1e3 * drop.p50, 1e3 * drop.sd, "mV")
        .then("; the budget is ")
        .number(1e3 * budget.p50, "mV");
    // Where the supply is gone, the drop is not what is wrong: another rule says so.
    let margin = drops.iter().zip(budgets).map(|(drop, budget)| if drop.is_finite() { budget - drop } else { *budget }).collect();
    Some(Draft::margin(margin, claim).at(wire.place).at_worst(Level::Watch).way("a thicker or a shorter wire"))
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_long_thin_feed_is_watched() {
        check(&[("gauge = \"26 AWG\", length = \"80 mm\"", "gauge = \"30 AWG\", length = \"1200 mm\"")], "wire-drop.video.main", Level::Watch);
    }

    #[test]
    fn checked_a_thin_lead_is_watched() {
        check(&[("gauge = \"14 AWG\"", "gauge = \"24 AWG\"")], "wire-drop.board.lead.punch", Level::Watch);
    }
}
