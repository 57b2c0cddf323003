//! Active flying does not last as long as you need.
//!
//! **Asks:** does active flying to the landing reserve last as long as the need says?
//!
//! **Why:** labels say capacity, not minutes; sag ends a flight before the charge does.
//!
//! **Judged:** the predicted time against your own need. Without a need nothing is judged.
//!
//! **Do:** a larger pack until more no longer adds time, less mass, calmer flying.
//!
//! **Example:** `watch  active-time-short: active flying lasts 3.1 ± 0.4 min; you need 3.5 min`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "active-time-short";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let Some(need) = state.needs.as_ref().and_then(|needs| needs.active_time.as_ref()) else { return Vec::new() };
    let Some(time) = state.summary(Outcome::ActiveTime) else { return Vec::new() };
    let need_s = need.value.0.in_seconds();
    let margin = state.map(Outcome::ActiveTime, |time| time - need_s);
    let claim = Phrase::words("active flying lasts ")
        .doubted(time.p50 / 60.0, time.sd / 60.0, "min")
        .then("; you need ")
        .number(need_s / 60.0, "min");
    let draft = Draft::margin(margin, claim).from_outcomes([Outcome::ActiveTime.id()]).at([need.place]);
    vec![draft.way("a larger pack, less mass, or a lower landing reserve")]
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_an_hour_is_too_much_to_ask() {
        check(&[("style = \"filming\"", "style = \"filming\"\nactive_time = \"60 min\"")], "active-time-short", Level::Stop);
    }
}
