//! Antennas whose fields turn against one another.
//!
//! **Asks:** do the antennas at both ends of a radio link turn the same way?
//!
//! **Why:** opposite hands cost about 20 dB: a tenth of the range. A circular and a linear one cost 3 dB, whatever the angle.
//!
//! **Judged:** a plain fact, for links whose ground end is described: opposite hands stop, circular with linear is watched. Common practice; not validated by measurement.
//!
//! **Do:** match the hand on the craft and on every antenna on the ground.
//!
//! **Example:** `stop  antenna-hand.antenna.feed: antenna.feed is left-hand, ground.video is right-hand: about 20 dB lost`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::air::GroundStation;
use craft::pads::Jack;
use craft::part::Named;
use wiring::aerial::{CIRCULAR_LINEAR_DB, hand_loss_db, jack, name};

/// Its stable name.
pub const ID: &str = "antenna-hand";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let airframe = &state.airframe;
    let mut found = Vec::new();
    for joint in &state.plan.aerials.joints {
        let Some(antenna) = jack(airframe, joint.antenna) else {
            continue;
        };
        for station in &airframe.harness.ground_stations {
            found.extend(draft(&name(airframe, joint.antenna), antenna, station));
        }
    }
    found
}

fn draft(name: &str, antenna: &Named<Jack>, station: &Named<GroundStation>) -> Option<Draft> {
    let (here, there) = (antenna.facet.hand.as_ref()?, station.facet.hand.as_ref()?);
    let other_band = antenna.facet.frequency.zip(station.facet.frequency).is_some_and(|(one, other)| {
        (one.value.0.in_hertz() / other.value.0.in_hertz() - 1.0).abs() > 0.1
    });
    if other_band {
        return None;
    }
    let ground = format!("ground.{}", station.name.value);
    let words = format!("{name} is {}, {ground} is {}", hand(here.value), hand(there.value));
    let draft = match hand_loss_db(here.value, there.value) {
        None => Draft::fact(Level::Pass, Phrase::words(words)),
        Some(loss) => {
            let level = if loss > CIRCULAR_LINEAR_DB { Level::Stop } else { Level::Watch };
            Draft::fact(level, Phrase::words(format!("{words}: about ")).number(loss, "dB").then(" lost"))
        }
    };
    Some(draft.about(format!("{name}.{}", station.name.value)).at([here.place, there.place]).way("the same hand on both ends"))
}

fn hand(hand: craft::pads::Hand) -> &'static str {
    match hand {
        craft::pads::Hand::Right => "right-hand",
        craft::pads::Hand::Left => "left-hand",
        craft::pads::Hand::Linear => "linear",
    }
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_opposite_hands_are_a_stop() {
        check(&[("hand = \"right\"", "hand = \"left\"")], "antenna-hand.aerial.feed.video", Level::Stop);
    }

    #[test]
    fn checked_circular_and_linear_are_watched() {
        check(&[("hand = \"right\"", "hand = \"linear\"")], "antenna-hand.aerial.feed.video", Level::Watch);
    }
}
