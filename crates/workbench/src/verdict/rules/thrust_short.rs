//! Too little thrust is left at the end of the pack.
//!
//! **Asks:** is thrust over weight at the landing reserve enough for the style it is flown in?
//!
//! **Why:** the last minute is where a climb-out is needed and volts are lowest.
//!
//! **Judged:** against the builder's own need, else by style: indoor 2.0, cruise and filming 2.4, freestyle 4, race 8. These are the lower ends of what builders want of a full pack (2.5, 3, 5, 10) times 0.8 for the volts lost. Common practice; below 2 is a no-go for all.
//!
//! **Do:** less mass, more cells, propellers of more pitch or blades, landing earlier.
//!
//! **Example:** `watch  thrust-short: thrust is 1.9 ± 0.2 times the weight at the landing reserve; indoor flying wants 2.0`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use craft::need::Style;

/// Its stable name.
pub const ID: &str = "thrust-short";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let Some(ratio) = state.summary(Outcome::ThrustReserve) else { return Vec::new() };
    let own = state.needs.as_ref().and_then(|needs| needs.thrust_to_weight.as_ref());
    let wanted = own.map_or_else(|| usual(state.style), |own| own.value.0.in_ones());
    let margin = state.map(Outcome::ThrustReserve, |ratio| ratio - wanted);
    let who = own.map_or_else(|| format!("{} flying wants ", state.style.word()), |_| "you want ".to_owned());
    let claim = Phrase::words("thrust is ")
        .doubted(ratio.p50, ratio.sd, "")
        .then(" times the weight at the landing reserve; ")
        .then(who)
        .number(wanted, "");
    let draft = Draft::margin(margin, claim).from_outcomes([Outcome::ThrustReserve.id()]).at(own.map(|own| own.place));
    vec![draft.way("less mass, or propellers and cells for this mass").way("land earlier")]
}

fn usual(style: Style) -> f64 {
    match style {
        Style::Indoor => 2.0,
        Style::Cruise | Style::Filming => 2.4,
        Style::Freestyle => 4.0,
        Style::Race => 8.0,
    }
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_twice_the_mass_leaves_too_little() {
        check(&[("weighed = \"180 g\"", "weighed = \"600 g\"")], "thrust-short", Level::Stop);
    }

    #[test]
    fn checked_the_owners_own_need_is_used() {
        check(&[("style = \"filming\"", "style = \"filming\"\nthrust_to_weight = \"12\"")], "thrust-short", Level::Stop);
    }
}
