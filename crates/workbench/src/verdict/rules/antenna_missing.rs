//! A transmitter without an antenna.
//!
//! **Asks:** does every radio connector on the craft have an antenna?
//!
//! **Why:** a transmitter that works into nothing heats its own output stage; at high power it may be gone in a minute.
//!
//! **Judged:** a plain fact, for parts whose sheets show a radio connector.
//!
//! **Do:** put the antenna on before power, every time; power off before unscrewing it.
//!
//! **Example:** `stop  antenna-missing.video.air: no antenna is on video.air`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use wiring::aerial::{jack, name};

/// Its stable name.
pub const ID: &str = "antenna-missing";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let aerials = &state.plan.aerials;
    let bare = aerials.bare.iter().map(|&at| (at, Level::Stop, "no antenna is on "));
    let joined = aerials.joints.iter().map(|joint| (joint.radio, Level::Pass, "an antenna is on "));
    let found = bare.chain(joined).map(|(at, level, words)| {
        let name = name(&state.airframe, at);
        let place = jack(&state.airframe, at).map(|jack| jack.name.place);
        Draft::fact(level, Phrase::words(format!("{words}{name}")))
            .about(name)
            .at(place)
            .way("add an antenna of its band as a part; `fitout parts` has typical ones")
            .caution("antenna first, power last; power off before it is unscrewed")
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_bare_transmitter_is_a_stop() {
        check(&[("aerial = \"aerial\"\n", "")], "antenna-missing.video.air", Level::Stop);
    }
}
