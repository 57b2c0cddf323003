//! A radio link that does not reach as far as you need.
//!
//! **Asks:** does each radio link hold at the distance you wrote, in the open?
//!
//! **Why:** pictures break up before the craft is out of sight, and a lost control link is a lost craft.
//!
//! **Judged:** free space between both ends, level flight at the heading that gives least, the antennas' own patterns and polarisation, shadow of the frame; it may fail as often as you wrote, 1 % if you did not, with echoes 6 dB below the direct wave. The better of several antennas on the ground counts, each fading by itself. Ground, walls and trees are not in it. The parts are held against outside figures, a whole link is not validated.
//!
//! **Do:** more gain on the ground, the same hand on both ends, a shorter coax, more power where the rules allow it, or fly nearer.
//!
//! **Example:** `stop  link-short.video: video reaches 240 ± 90 m in the open; you need 400 m`

use crate::air::leaning_deg;
use crate::phrase::Phrase;
use crate::predict::link_outcome;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "link-short";

/// An antenna that leans more than this in level flight points its null at somebody \[°\].
const LEANS_DEG: f64 = 40.0;

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let links = state.model.links.iter().enumerate();
    links.filter_map(|(at, link)| {
        let wanted_m = link.distance_m?;
        let first = link_outcome(&state.model, at);
        let range = state.summary_at(first)?;
        let claim = Phrase::words(format!("{} reaches ", link.name))
            .doubted(range.p50, range.sd, "m")
            .then(" in the open; you need ")
            .number(wanted_m, "m");
        let outcomes = [first, first + 1].map(|at| state.outcomes.infos[at].id.as_str());
        let places = state.airframe.harness.ground_stations.iter().filter(|it| it.name.value == link.name).map(|it| it.name.place);
        let draft = Draft::margin(state.outcomes.column(first + 1), claim).about(link.name.clone()).from_outcomes(outcomes).at(places);
        let lean_deg = leaning_deg(link);
        let draft = match lean_deg > LEANS_DEG {
            true => draft.way(Phrase::words("stand the craft's antenna upright: it leans by ").number(lean_deg, "°")),
            false => draft,
        };
        Some(draft.way("more gain on the ground, the same hand on both ends, a shorter coax, or fly nearer"))
    }).collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::{LINK, check};

    #[test]
    fn checked_a_hundred_metres_hold_and_ten_kilometres_do_not() {
        check(&LINK, "link-short.video", Level::Pass);
        let far = ("distance = \"100 m\"", "distance = \"10 km\"");
        check(&[LINK[0], LINK[1], LINK[2], far], "link-short.video", Level::Stop);
    }

    /// Opposite hands leave a tenth of the range: 20 dB.
    #[test]
    fn checked_the_wrong_hand_on_the_ground_shortens_the_link() {
        let range_m = |edits: &[(&str, &str)]| {
            let assessment = crate::verdict::rules::trial::assessment(edits);
            let state = &assessment.judged;
            let at = state.outcomes.position("link.video.range_m").expect("a link");
            state.summary_at(at).expect("a range").p50
        };
        let (same, other) = (range_m(&LINK), range_m(&[LINK[0], LINK[1], LINK[2], ("hand = \"right\"\n[ground_antenna", "hand = \"left\"\n[ground_antenna")]));
        assert!((0.03..0.4).contains(&(other / same)), "{same} {other}");
    }

    /// Far beyond 4·h₁·h₂/λ both rays leave 40·lg d − 20·lg(h₁·h₂), as textbooks have it: 140 dB at 5477 m for 1.5 and 2 m.
    #[test]
    fn checked_far_away_the_ground_takes_the_fourth_power() {
        let heights = ("distance = \"100 m\"", "distance = \"100 m\"\nheight = \"1.5 m\"\nflying_height = \"2 m\"");
        let assessment = crate::verdict::rules::trial::assessment(&[LINK[0], LINK[1], LINK[2], heights]);
        let link = &assessment.judged.model.links[0];
        let [low_m, high_m] = link.near_ground_m(140.0).expect("both heights are said");
        assert!((low_m / 5477.0 - 1.0).abs() < 0.03 && low_m == high_m, "{low_m} {high_m}");
        // Nearer than that the worst places fail first, and none reaches farther than in the open.
        let [low_m, high_m] = link.near_ground_m(100.0).expect("both heights are said");
        assert!(low_m < high_m && high_m < 4.2 * 411.0, "{low_m} {high_m}");
    }
}
