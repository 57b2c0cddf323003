//! A radio link of which something is not said.
//!
//! **Asks:** is there enough on both ends to say how far a link reaches?
//!
//! **Why:** range follows from power, antennas and receiver together; without one of them it is a guess.
//!
//! **Judged:** open for each station on the ground that shares a band with a radio on the craft, where a figure is missing on either end.
//!
//! **Do:** write what is named. What a station or a receiver needs stands in its sheet.
//!
//! **Example:** `open  link-unknown.video: how far video reaches cannot be said without the power of what sends`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "link-unknown";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let draft = |lack: &crate::model::LinkLack| {
        let claim = Phrase::words(format!("how far {} reaches cannot be said without {}", lack.name, lack.what));
        Draft::missing(claim).about(lack.name.clone()).at([lack.place]).way("write it: see the book's page on air")
    };
    state.model.link_lacks.iter().map(draft).collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::{LINK, check};

    #[test]
    fn checked_a_station_without_an_antenna_is_open() {
        check(&[LINK[0], LINK[1]], "link-unknown.video", Level::Open);
    }
}
