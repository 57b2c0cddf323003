//! A step-down rail cannot exist at the pack's bottom.
//!
//! **Asks:** does a rail that steps down still have its volts when the pack is at its landing volts in ordinary flight?
//!
//! **Why:** a step-down cannot give more than its input less 0.3 to 0.8 V; on two cells a 9 V rail follows its input or locks out.
//!
//! **Judged:** the chance that landing volts times cells, less the step-down difference, leave at least 95 % of the rail's setting. Only rails that feed something are judged. What a punch does to a rail is judged at the devices on it.
//!
//! **Do:** another rail, a step-up, or one more cell with every limit checked again.
//!
//! **Example:** `stop  rail-out-of-reach.board.9v: board.9v is set to 9 V; at the landing volts of the pack it can give 6.5 ± 0.2 V`

use crate::model::{Parent, RailModel};
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use power::RegulatorKind;
use quantity::Summary;

/// Its stable name.
pub const ID: &str = "rail-out-of-reach";

/// Share of its setting that a rail must keep. Common practice: board tests allow 3 to 5 %.
const WITHIN: f64 = 0.95;

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    let rails = state.model.electrics.rails.iter().enumerate();
    rails
        .filter(|(at, rail)| steps_down(rail) && used(state, *at))
        .filter_map(|(_, rail)| out_of_reach(state, basis, rail))
        .collect()
}

fn steps_down(rail: &RailModel) -> bool {
    matches!(rail.kind, RegulatorKind::Buck | RegulatorKind::Linear)
}

fn used(state: &State, rail: usize) -> bool {
    let electrics = &state.model.electrics;
    let from = Parent::Rail(rail);
    electrics.loads.iter().any(|load| load.parent == Some(from)) || electrics.rails.iter().any(|other| other.parent == from)
}

fn out_of_reach(state: &State, basis: &Basis, rail: &RailModel) -> Option<Draft> {
    let draws = state.outcomes.draws();
    let input_v = match rail.parent {
        Parent::Bus => {
            let landing_v = state.model.situation.landing_v * f64::from(state.model.battery.as_ref()?.series);
            let gain = basis.term(state.model.situation.voltage_gain, draws);
            gain.into_iter().map(|gain| landing_v / gain).collect()
        }
        Parent::Rail(parent) => vec![state.model.electrics.rails[parent].output_v; draws],
    };
    let gives: Vec<f64> = input_v.iter().zip(basis.term(rail.drop_out, draws)).map(|(input, drop)| input - drop).collect();
    let can = Summary::of(&gives);
    let claim = Phrase::words(format!("{} is set to ", rail.id))
        .number(rail.output_v, "V")
        .then("; at the landing volts of the pack it can give ")
        .doubted(can.p50, can.sd, "V");
    let place = state.airframe.rail(rail.at.0, rail.at.1).map(|named| named.facet.place);
    let margin = gives.into_iter().map(|volts| volts - WITHIN * rail.output_v).collect();
    let draft = Draft::margin(margin, claim).about(rail.id.clone()).at(place);
    Some(draft.way("another rail, a step-up, or one more cell with every limit checked again"))
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_fifteen_volts_from_four_cells_do_not_exist() {
        check(&[("output = \"5 V\"", "output = \"15 V\"")], "rail-out-of-reach.board.5v", Level::Stop);
    }
}
