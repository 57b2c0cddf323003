//! Something is missing, so part of the verdict cannot be given.
//!
//! **Asks:** is everything there that the predictions need?
//!
//! **Why:** a figure that is not there must not be guessed in silence; the rest of the check goes on.
//!
//! **Judged:** one `open` finding for each thing that is missing.
//!
//! **Do:** write it into the file at the place shown, or fit the part.
//!
//! **Example:** `open  cannot-say.1: the mass of camera is missing: all-up mass, and all that follows from it, comes out too low`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "cannot-say";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    state
        .model
        .missing
        .iter()
        .enumerate()
        .map(|(at, missing)| {
            let claim = Phrase::words(format!("{} is missing: {}", missing.what, missing.stops));
            Draft::missing(claim).about((at + 1).to_string()).at(missing.place)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_missing_mass_is_named() {
        check(&[("mass = \"22 g\"\n", "")], "cannot-say.1", Level::Open);
    }
}
