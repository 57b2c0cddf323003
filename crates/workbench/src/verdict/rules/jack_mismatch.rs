//! Radio connectors that do not make contact.
//!
//! **Asks:** do the two halves of each radio connector belong together, on the craft and on the ground?
//!
//! **Why:** the two screwed families have the same threads and the pin reversed. They screw together with no centre contact, and the transmitter works into nothing; or two pins meet and both are bent. The smallest snaps come in sizes that look alike.
//!
//! **Judged:** a plain fact from both halves; open where one is not told.
//!
//! **Do:** look into both halves: exactly one has a pin.
//!
//! **Example:** `stop  jack-mismatch.video.air: video.air and antenna.feed screw together without a centre contact`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::Place;
use wiring::aerial::{Contact, contact, halves, jack, name, station_halves};

/// Its stable name.
pub const ID: &str = "jack-mismatch";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let airframe = &state.airframe;
    let on_craft = state.plan.aerials.joints.iter().filter_map(|joint| {
        let (radio, antenna) = (jack(airframe, joint.radio)?, jack(airframe, joint.antenna)?);
        let [one, other] = [name(airframe, joint.radio), name(airframe, joint.antenna)];
        let met = contact(halves(&radio.facet), halves(&antenna.facet));
        Some(draft(met, &one, &other, vec![radio.name.place, antenna.name.place]))
    });
    let stations = airframe.harness.ground_stations.iter();
    let on_ground = stations.filter(|station| station.facet.family.is_some()).map(|station| {
        let [own, antenna] = station_halves(&station.facet);
        let name = format!("ground.{}", station.name.value);
        draft(contact(own, antenna), &name, "its antenna", vec![station.name.place])
    });
    on_craft.chain(on_ground).collect()
}

fn draft(met: Contact, one: &str, other: &str, places: Vec<Place>) -> Draft {
    let words = match met {
        Contact::Mates => "mate",
        Contact::DoesNotMate => "do not go together",
        Contact::NoCentre => "screw together without a centre contact",
        Contact::TwoPins => "screw together pin on pin",
        Contact::Unknown => "",
    };
    let draft = match met {
        Contact::Mates => Draft::fact(Level::Pass, Phrase::words(format!("{one} and {other} {words}"))),
        Contact::Unknown => Draft::missing(Phrase::words(format!("which halves {one} and {other} have is not told"))),
        _ => Draft::fact(Level::Stop, Phrase::words(format!("{one} and {other} {words}"))),
    };
    draft.about(one).at(places).way("look into both halves: exactly one has a pin")
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_the_reversed_family_is_a_stop() {
        check(&[("role = \"antenna\"\nfamily = \"sma\"", "role = \"antenna\"\nfamily = \"reverse-sma\"")], "jack-mismatch.video.air", Level::Stop);
    }

    #[test]
    fn checked_a_half_that_nobody_tells_is_open() {
        check(&[("half = \"plug\"\n", "")], "jack-mismatch.video.air", Level::Open);
    }
}
