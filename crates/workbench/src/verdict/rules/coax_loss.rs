//! Coax that eats the power it should carry.
//!
//! **Asks:** how much does the coax between radio and antenna lose?
//!
//! **Why:** thin coax loses about 5 dB in a metre at 5.8 GHz and each connector some tenths; one decibel is a fifth of the power.
//!
//! **Judged:** a plain fact, the upper end of the usual loss; more than 1 dB is watched. Figures from memory, scaled with the root of the frequency; not validated.
//!
//! **Do:** a shorter or thicker coax, no extension.
//!
//! **Example:** `watch  coax-loss.antenna.feed: 250 mm of coax lose 1.2 to 1.8 dB`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use wiring::aerial::{CONNECTOR_DB, all, coax_loss_db, name};

/// Its stable name.
pub const ID: &str = "coax-loss";

/// A fifth of the power \[dB\].
const MUCH_DB: f64 = 1.0;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let found = all(&state.airframe).filter_map(|(at, named)| {
        let (low, high) = coax_loss_db(&named.facet)?;
        let (low, high) = (low + CONNECTOR_DB.0, high + CONNECTOR_DB.1);
        let length = named.facet.coax_length?;
        let level = if high > MUCH_DB { Level::Watch } else { Level::Pass };
        let claim = Phrase::default()
            .number(length.value.0.in_millimetres(), "mm")
            .then(" of coax and a connector lose ")
            .number(low, "dB")
            .then(" to ")
            .number(high, "dB");
        let draft = Draft::fact(level, claim).about(name(&state.airframe, at)).at([length.place]);
        Some(draft.way("a shorter or thicker coax, without an extension"))
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_quarter_metre_of_thin_coax_is_watched() {
        check(&[("coax_length = \"60 mm\"", "coax_length = \"250 mm\"")], "coax-loss.aerial.feed", Level::Watch);
    }
}
