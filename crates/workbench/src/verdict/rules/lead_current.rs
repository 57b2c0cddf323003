//! The battery lead carries too much.
//!
//! **Asks:** does the lead stay below what is sensible for its gauge in active flying, and below its ten-second current at full command?
//!
//! **Why:** published charts differ two- to threefold because some mean minutes and some seconds; a lead that gets hot loses volts and melts its joint.
//!
//! **Judged:** active current against the upper end of the sensible range for a short lead with air over it, peak current against the ten-second figure. Common practice.
//!
//! **Do:** a thicker or shorter lead.
//!
//! **Example:** `watch  lead-current.whip.punch: full command draws 21 ± 2 A; 22 AWG takes 14 A for ten seconds`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use power::typical::wire_currents;

/// Its stable name.
pub const ID: &str = "lead-current";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let leads = state.airframe.found().filter_map(|(_, fitted, part)| Some((fitted, part.lead.as_ref()?.gauge.as_ref()?)));
    leads
        .filter_map(|(fitted, gauge)| Some((fitted, gauge, wire_currents(gauge.value.0)?)))
        .flat_map(|(fitted, gauge, currents)| {
            let id = &fitted.id.value;
            let awg = gauge.value.0.in_awg();
            let active = ("active", "active flying draws ", currents.sensible.1, "for long with air over it", Outcome::ActiveCurrent);
            let punch = ("punch", "full command draws ", currents.burst, "for ten seconds", Outcome::PeakCurrent);
            [active, punch].into_iter().filter_map(move |(subject, does, limit, how_long, outcome)| {
                let current = state.summary(outcome)?;
                let limit_a = limit.in_amperes();
                let margin = state.map(outcome, |current| limit_a - current);
                let claim = Phrase::words(does)
                    .doubted(current.p50, current.sd, "A")
                    .then("; ")
                    .number(awg, "AWG")
                    .then(" takes ")
                    .number(limit_a, "A")
                    .then(format!(" {how_long}"));
                let draft = Draft::margin(margin, claim).about(format!("{id}.{subject}")).from_outcomes([outcome.id()]).at([gauge.place]);
                Some(draft.way("a thicker or shorter lead"))
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_thin_lead_is_abused() {
        check(&[("gauge = \"14 AWG\"", "gauge = \"24 AWG\"")], "lead-current.board.punch", Level::Stop);
    }
}
