//! The craft does not stay in the mass class you named.
//!
//! **Asks:** is the take-off mass below the limit, with a reserve for tape, repairs and the scale?
//!
//! **Why:** strap, tape and glue are forgotten; a scale is good to a gram; the limit counts everything that takes off.
//!
//! **Judged:** all-up mass against `mass_limit` less `mass_reserve` (2 g if you name none). Common practice.
//!
//! **Do:** lighter parts, or another class. What the limit means where you fly is for the aviation authority to say.
//!
//! **Example:** `watch  mass-over-limit: all-up mass is 247.6 ± 2.1 g; 250 g less 2 g of reserve leaves 248 g`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "mass-over-limit";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let Some(limit) = state.needs.as_ref().and_then(|needs| needs.mass_limit.as_ref()) else { return Vec::new() };
    let Some(mass) = state.summary(Outcome::AllUpMass) else { return Vec::new() };
    let limit_g = limit.value.0.in_grams();
    let reserve = state.needs.as_ref().and_then(|needs| needs.mass_reserve.as_ref());
    let reserve_g = reserve.map_or(USUAL_RESERVE_G, |reserve| reserve.value.0.in_grams());
    let margin = state.map(Outcome::AllUpMass, |mass| limit_g - reserve_g - mass);
    let claim = Phrase::words("all-up mass is ")
        .doubted(mass.p50, mass.sd, "g")
        .then("; ")
        .number(limit_g, "g")
        .then(" less ")
        .number(reserve_g, "g")
        .then(" of reserve leaves ")
        .number(limit_g - reserve_g, "g");
    let draft = Draft::margin(margin, claim).from_outcomes([Outcome::AllUpMass.id()]).at([limit.place]);
    vec![draft.way("lighter parts, or weigh what carries the doubt").caution("what a mass class allows is for the aviation authority of the country to say")]
}

/// Strap, tape and repairs, where you name no reserve. Common practice 2 to 3 g.
const USUAL_RESERVE_G: f64 = 2.0;

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_two_grams_of_reserve_are_kept() {
        check(&[("style = \"filming\"", "style = \"filming\"\nmass_limit = \"181 g\"")], "mass-over-limit", Level::Stop);
    }

    #[test]
    fn checked_a_limit_far_away_passes() {
        check(&[("style = \"filming\"", "style = \"filming\"\nmass_limit = \"250 g\"")], "mass-over-limit", Level::Pass);
    }
}
