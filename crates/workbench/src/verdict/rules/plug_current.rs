//! The battery plug carries too much.
//!
//! **Asks:** does the plug stay below its continuous current in active flying, and below its burst current at full command?
//!
//! **Why:** a small two-pin plug at 6 to 10 A is abuse: it heats, its resistance grows, and the volts go with it.
//!
//! **Judged:** currents against the plug's class. Common practice, some from memory.
//!
//! **Do:** a larger plug of less resistance on pack and craft.
//!
//! **Example:** `stop  plug-current.battery.punch: full command draws 13 ± 2 A; a 2.0-mm-two-pin plug takes 5 A for seconds`

use crate::assemble::plug_class;
use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use power::typical::plug_rating;

/// Its stable name.
pub const ID: &str = "plug-current";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let plugs = state.airframe.found().filter_map(|(_, fitted, part)| Some((fitted, part.plug.as_ref()?.size.as_ref()?)));
    plugs
        .filter_map(|(fitted, size)| Some((fitted, size, plug_rating(plug_class(size.value)?))))
        .flat_map(|(fitted, size, rating)| {
            let id = &fitted.id.value;
            let named = format!("; a {} plug takes ", size.value.word());
            let active = ("active", "active flying draws ", rating.continuous, "for long", Outcome::ActiveCurrent);
            let punch = ("punch", "full command draws ", rating.burst, "for seconds", Outcome::PeakCurrent);
            [active, punch].into_iter().filter_map(move |(subject, does, limit, how_long, outcome)| {
                let current = state.summary(outcome)?;
                let limit_a = limit.in_amperes();
                let margin = state.map(outcome, |current| limit_a - current);
                let claim = Phrase::words(does).doubted(current.p50, current.sd, "A").then(named.clone()).number(limit_a, "A").then(format!(" {how_long}"));
                let draft = Draft::margin(margin, claim).about(format!("{id}.{subject}")).from_outcomes([outcome.id()]).at([size.place]);
                Some(draft.way("a plug of less resistance on pack and craft"))
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_the_small_two_pin_plug_is_abused() {
        check(&[("size = \"xt60\"", "size = \"2.0-mm-two-pin\"")], "plug-current.battery.punch", Level::Stop);
    }
}
