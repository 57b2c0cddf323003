//! Signals that cannot all have a port.
//!
//! **Asks:** is there a port of the right kind for every signal of the craft at once?
//!
//! **Why:** a board shows more ports than it has free: an on-board receiver owns one, two share a pad, one inverts for good. A new device that finds no full pair talks to nobody, and that is found out after the soldering.
//!
//! **Judged:** a plain fact, by exact search over what each port can do, what shares a pad and what you have fixed. Named are the fewest signals that cannot be met together, and each single change that would make everything fit. Soft serial counts up to 19 200 bit/s over all its ports.
//!
//! **Do:** one of the changes named, or another board.
//!
//! **Example:** `stop  port-none-free: 3 signals cannot all have a port: receiver.data, video.overlay, gps.data`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use crate::wires;
use wiring::allot::{Relief, SOFT_LIMIT};

/// Its stable name.
pub const ID: &str = "port-none-free";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let signals = &state.plan.signals;
    if let Some(why) = signals.gave_up {
        return vec![Draft::missing(Phrase::words(format!("ports were not allotted: {why}")))];
    }
    let Some(conflict) = &signals.conflict else {
        let met = signals.choices.iter().flatten().count();
        if met == 0 {
            return Vec::new();
        }
        let claim = Phrase::words("a port for every signal: ").number(met as f64, "").then(" allotted");
        return vec![Draft::fact(Level::Pass, claim)];
    };
    let names: Vec<&str> = conflict.together.iter().map(|&need| signals.needs[need].name.as_str()).collect();
    let claim = match names.as_slice() {
        [alone] => Phrase::words(format!("no port can serve {alone}")),
        many => Phrase::default()
            .number(many.len() as f64, "")
            .then(format!(" signals cannot all have a port: {}", many.join(", "))),
    };
    let claim = too_fast_for_soft(state, &conflict.together, claim);
    let places = conflict.together.iter().map(|&need| signals.needs[need].place);
    let mut draft = Draft::fact(Level::Stop, claim).at(places);
    for &relief in &conflict.reliefs {
        draft = draft.way(wires::relief(signals, relief));
    }
    // Leaving out is always offered; where nothing else helps, the board is too small.
    let only_less = conflict.reliefs.iter().all(|relief| matches!(relief, Relief::LeaveOut(_)));
    if only_less {
        draft = draft.way("another board: with one more pair free, or with its receiver on board and off the ports");
    }
    vec![draft]
}

/// Says of which signals soft serial is no way out.
fn too_fast_for_soft(state: &State, needs: &[usize], claim: Phrase) -> Phrase {
    let signals = &state.plan.signals;
    let fast = needs.iter().filter_map(|&need| {
        let rate = signals.question.needs[need].baud.filter(|rate| *rate > SOFT_LIMIT)?;
        Some(format!("{} wants {rate}", signals.needs[need].name))
    });
    let fast: Vec<String> = fast.collect();
    if fast.is_empty() {
        return claim;
    }
    claim.then(format!("; soft serial carries {SOFT_LIMIT} bit/s over all its ports, {}", fast.join(", ")))
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_pair_too_few_is_a_stop() {
        check(&[("[port.2]\nhighest_rate = \"1 Mbit/s\"", "[port.2]\nused_by = \"on-board receiver\"\nhighest_rate = \"1 Mbit/s\"")], "port-none-free", Level::Stop);
    }
}
