//! Whether a part of the battery path bears the current it carries, for long and in a punch.

use super::{Draft, Level, State};
use crate::outcome::Outcome;
use crate::phrase::Phrase;
use craft::Place;
use quantity::Current;

/// What a plug or a lead bears.
#[derive(Debug, Clone, Copy)]
pub struct Bears {
    /// For long.
    pub continuous: Current,
    /// For some seconds.
    pub burst: Current,
}

/// Active flying against what the part bears for long, full command against what it bears for
/// seconds. A punch lasts a second or two and costs volts and heat rather than the craft, so that
/// half is never worse than watch.
pub fn carried(
    state: &State,
    id: &str,
    named: &str,
    bears: Bears,
    place: Place,
    way: &str,
) -> Vec<Draft> {
    let active = (
        "active",
        "active flying draws ",
        bears.continuous,
        "for long",
        Outcome::ActiveCurrent,
        Level::Stop,
    );
    let punch = (
        "punch",
        "full command draws ",
        bears.burst,
        "for seconds",
        Outcome::PeakCurrent,
        Level::Watch,
    );
    [active, punch]
        .into_iter()
        .filter_map(|(subject, does, limit, how_long, outcome, worst)| {
            let current = state.summary(outcome)?;
            let limit_a = limit.in_amperes();
            let claim = Phrase::words(does)
                .doubted(current.p50, current.sd, "A")
                .then(format!("; {named} takes "))
                .number(limit_a, "A")
                .then(format!(" {how_long}"));
            let draft = Draft::margin(state.map(outcome, |current| limit_a - current), claim)
                .about(format!("{id}.{subject}"))
                .from_outcomes([outcome.id()]);
            Some(draft.at([place]).at_worst(worst).way(way))
        })
        .collect()
}
