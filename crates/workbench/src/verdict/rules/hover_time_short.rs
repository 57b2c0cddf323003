//! Pure hover does not last as long as you need.
//!
//! **Asks:** does pure hover to the landing reserve last as long as the need says?
//!
//! **Why:** labels say capacity, not minutes; sag ends a flight before the charge does.
//!
//! **Judged:** the predicted time against your own need. Without a need nothing is judged.
//!
//! **Do:** a larger pack until more no longer adds time, less mass, calmer flying.
//!
//! **Example:** `watch  hover-time-short: pure hover lasts 6.1 ± 0.7 min; you need 7 min`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "hover-time-short";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let Some(need) = state.needs.as_ref().and_then(|needs| needs.hover_time.as_ref()) else { return Vec::new() };
    let Some(time) = state.summary(Outcome::HoverTime) else { return Vec::new() };
    let need_s = need.value.0.in_seconds();
    let margin = state.map(Outcome::HoverTime, |time| time - need_s);
    let claim = Phrase::words("pure hover lasts ")
        .doubted(time.p50 / 60.0, time.sd / 60.0, "min")
        .then("; you need ")
        .number(need_s / 60.0, "min");
    let draft = Draft::margin(margin, claim).from_outcomes([Outcome::HoverTime.id()]).at([need.place]);
    vec![draft.way("a larger pack, less mass, or a lower landing reserve")]
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_an_hour_is_too_much_to_ask() {
        check(&[("style = \"filming\"", "style = \"filming\"\nhover_time = \"60 min\"")], "hover-time-short", Level::Stop);
    }
}
