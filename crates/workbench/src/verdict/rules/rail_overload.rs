//! A regulator carries more than it should.
//!
//! **Asks:** is the load on a rail below 70 % of its continuous label, and all peaks together below 90 % of its peak label?
//!
//! **Why:** labels of small regulators are optimistic, and they sit beside hot parts without air.
//!
//! **Judged:** the chance that the sum of the loads stays below those shares. Common practice.
//!
//! **Do:** move a device to another rail or to its own regulator.
//!
//! **Example:** `watch  rail-overload.board.5v: board.5v carries 1.5 ± 0.2 A; 70 % of its label is 1.4 A`

use crate::model::RailModel;
use crate::phrase::Phrase;
use crate::predict::rail_outcome;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "rail-overload";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let rails = state.model.electrics.rails.iter().enumerate();
    rails
        .flat_map(|(at, rail)| {
            let usual = rail.continuous_a.map(|label| (rail_outcome(at), label, 0.70, "carries ", "its continuous label", ""));
            let peak = rail.peak_a.map(|label| (rail_outcome(at) + 1, label, 0.90, "peaks at ", "its peak label", ".peak"));
            usual.into_iter().chain(peak).filter_map(move |row| overload(state, rail, row))
        })
        .collect()
}

type Row = (usize, f64, f64, &'static str, &'static str, &'static str);

fn overload(state: &State, rail: &RailModel, (position, label_a, share, does, of, suffix): Row) -> Option<Draft> {
    let load = state.summary_at(position)?;
    // A rail that nothing hangs on has nothing to say.
    if load.p95 <= 0.0 {
        return None;
    }
    let margin = state.outcomes.column(position).into_iter().map(|load| share * label_a - load).collect();
    let claim = Phrase::words(format!("{} {does}", rail.id))
        .doubted(load.p50, load.sd, "A")
        .then("; ")
        .number(100.0 * share, "%")
        .then(format!(" of {of} is "))
        .number(share * label_a, "A");
    let place = state.airframe.rail(rail.at.0, rail.at.1).map(|named| named.facet.place);
    let draft = Draft::margin(margin, claim).about(format!("{}{suffix}", rail.id)).from_outcomes([state.outcomes.infos[position].id.clone()]);
    Some(draft.at(place).way("move a device to another rail or to a regulator of its own"))
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_twelve_watts_on_two_amperes_at_five_volts() {
        check(&[("power = \"0.8 W\"", "power = \"12 W\"")], "rail-overload.board.5v", Level::Stop);
    }
}
