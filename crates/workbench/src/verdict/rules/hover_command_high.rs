//! Hover takes too much of the motor command.
//!
//! **Asks:** is the hover motor command at the landing reserve low enough for the style?
//!
//! **Why:** what hover uses is not there for recovery. Above 52 % there is no margin to catch a fall; above 60 % builders reject the craft.
//!
//! **Judged:** motor command with its idle offset, not stick position, against the builder's own need, else by style: indoor 52 %, cruise and filming 45 %, freestyle 40 %, race 35 %. Common practice.
//!
//! **Do:** less mass, more cells or Kv, a larger propeller; tell stick from motor command when you compare.
//!
//! **Example:** `watch  hover-command-high: hover takes 54 ± 4 % of the motor command at the landing reserve; indoor flying allows 52 %`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};
use craft::need::Style;

/// Its stable name.
pub const ID: &str = "hover-command-high";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let Some(command) = state.summary(Outcome::HoverCommandReserve) else { return Vec::new() };
    let own = state.needs.as_ref().and_then(|needs| needs.hover_command.as_ref());
    let allowed = own.map_or_else(|| usual(state.style), |own| own.value.0.in_percent());
    let margin = state.map(Outcome::HoverCommandReserve, |command| allowed - command);
    let who = own.map_or_else(|| format!("{} flying allows ", state.style.word()), |_| "you allow ".to_owned());
    let claim = Phrase::words("hover takes ")
        .doubted(command.p50, command.sd, "%")
        .then(" of the motor command at the landing reserve; ")
        .then(who)
        .number(allowed, "%");
    let draft = Draft::margin(margin, claim).from_outcomes([Outcome::HoverCommandReserve.id()]).at(own.map(|own| own.place));
    vec![draft.way("less mass, more cells, or a larger propeller")]
}

fn usual(style: Style) -> f64 {
    match style {
        Style::Indoor => 52.0,
        Style::Cruise | Style::Filming => 45.0,
        Style::Freestyle => 40.0,
        Style::Race => 35.0,
    }
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_twice_the_mass_asks_too_much() {
        check(&[("weighed = \"180 g\"", "weighed = \"500 g\"")], "hover-command-high", Level::Stop);
    }
}
