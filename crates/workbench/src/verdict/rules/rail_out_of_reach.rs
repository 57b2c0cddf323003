//! A step-down rail cannot exist at the pack's bottom.
//!
//! **Asks:** does a rail that steps down still have its volts in the worst punch at the landing reserve?
//!
//! **Why:** a step-down cannot give more than its input less 0.3 to 0.8 V; on two cells a 9 V rail follows its input or locks out.
//!
//! **Judged:** the chance that the rail's lowest volts stay within 5 % of its setting. Only rails that feed something are judged.
//!
//! **Do:** another rail, a step-up, or one more cell with every limit checked again.
//!
//! **Example:** `stop  rail-out-of-reach.board.9v: board.9v is set to 9 V; it falls to 5.6 ± 0.2 V`

use crate::model::Parent;
use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::predict::rail_outcome;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use power::RegulatorKind;

/// Its stable name.
pub const ID: &str = "rail-out-of-reach";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let electrics = &state.model.electrics;
    let used = |rail: usize| {
        electrics.loads.iter().any(|load| load.parent == Some(Parent::Rail(rail)))
            || electrics.rails.iter().any(|other| other.parent == Parent::Rail(rail))
    };
    let steps_down = |kind| matches!(kind, RegulatorKind::Buck | RegulatorKind::Linear);
    let rails = electrics.rails.iter().enumerate();
    rails
        .filter(|(at, rail)| steps_down(rail.kind) && used(*at))
        .filter_map(|(at, rail)| {
            let position = rail_outcome(at) + 2;
            let lowest = state.summary_at(position)?;
            let margin = state.outcomes.column(position).into_iter().map(|volts| volts - WITHIN * rail.output_v).collect();
            let claim = Phrase::words(format!("{} is set to ", rail.id)).number(rail.output_v, "V").then("; it falls to ").doubted(lowest.p50, lowest.sd, "V");
            let place = state.airframe.rail(rail.at.0, rail.at.1).map(|named| named.facet.place);
            let draft = Draft::margin(margin, claim).about(rail.id.clone()).from_outcomes([Outcome::PunchVolts.id().to_owned(), state.outcomes.infos[position].id.clone()]);
            Some(draft.at(place).way("another rail, a step-up, or one more cell with every limit checked again"))
        })
        .collect()
}

/// Share of its setting that a rail must keep. Common practice: board tests allow 3 to 5 %.
const WITHIN: f64 = 0.95;

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_fifteen_volts_from_four_cells_do_not_exist() {
        check(&[("output = \"5 V\"", "output = \"15 V\"")], "rail-out-of-reach.board.5v", Level::Stop);
    }
}
