//! The pack is asked for more than it honestly gives.
//!
//! **Asks:** is the rate of discharge in active flying below what the cell resistance bears for long, and at full command below twice that?
//!
//! **Why:** the C on a label is a claim: of 28 packs tested by a hobbyist the real figure was 12 to 36 whatever was printed. A pack beyond its rate sags, heats and ages.
//!
//! **Judged:** the rate that cell resistance and capacity bear for long, 2.5/√(R·Q) with R in mΩ and Q in Ah over 1000; twice that for some seconds, never worse than watch. Common practice.
//!
//! **Do:** a pack of less resistance or more capacity, less current.
//!
//! **Example:** `watch  battery-rate.punch: full command draws 46 ± 5 C; this pack bears 44 ± 12 C for some seconds`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use quantity::Summary;

/// Its stable name.
pub const ID: &str = "battery-rate";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let capacity = state.zip(Outcome::PeakCurrent, Outcome::PeakRate, |current, rate| current / rate);
    let current = state.of(Outcome::ActiveCurrent);
    let active = current.iter().zip(&capacity).map(|(current, capacity)| current / capacity).collect::<Vec<_>>();
    let sustained = rate(state, "active", "active flying draws ", &active, 1.0, "for long", Outcome::ActiveCurrent);
    let punch = rate(state, "punch", "full command draws ", &state.of(Outcome::PeakRate), SECONDS_OVER_LONG, "for some seconds", Outcome::PeakRate);
    sustained.into_iter().chain(punch).collect()
}

/// What a pack bears for some seconds over what it bears for long. Common practice.
const SECONDS_OVER_LONG: f64 = 2.0;

fn rate(state: &State, subject: &str, does: &str, drawn: &[f64], factor: f64, how_long: &str, outcome: Outcome) -> Option<Draft> {
    let honest = state.map(Outcome::HonestRate, |rate| factor * rate);
    let (draws, bears) = (Summary::of(drawn), Summary::of(&honest));
    if !draws.p50.is_finite() {
        return None;
    }
    let margin = drawn.iter().zip(&honest).map(|(drawn, honest)| honest - drawn).collect();
    let claim = Phrase::words(does)
        .doubted(draws.p50, draws.sd, "C")
        .then("; this pack bears ")
        .doubted(bears.p50, bears.sd, "C")
        .then(format!(" {how_long}"));
    let place = state.first(|part| part.cells.as_ref()).map(|(_, cells)| cells.rate.as_ref().map_or(cells.place, |rate| rate.place));
    let draft = Draft::margin(margin, claim).about(subject).from_outcomes([outcome.id(), Outcome::HonestRate.id()]).at(place);
    // A punch lasts a second or two: it costs heat and life, not the craft.
    let worst = if subject == "punch" { Level::Watch } else { Level::Stop };
    Some(draft.at_worst(worst).way("a pack of less resistance or more capacity").caution(CAUTION))
}

const CAUTION: &str = "a pack hotter than 55 °C or swollen is done; the pack maker and the fire service say what to do with it";

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_soft_pack_is_beyond_its_rate() {
        check(&[("resistance = \"8.5 mΩ\"", "resistance = \"200 mΩ\"")], "battery-rate.active", Level::Stop);
    }
}
