//! Radio links as they are told: the budget line by line with its doubt, and what the craft's attitude does.

use crate::model::{AerialModel, LinkModel};
use crate::predict::link_outcome;
use crate::verdict::State;
use crate::verdict::state::Basis;
use link::antenna::{Attitude, Sight, between};
use link::field;
use quantity::statistics::Summary;
use std::f64::consts::PI;

/// Where a budget is summed if nobody says how far the link must hold \[m\].
const USUAL_M: f64 = 100.0;
/// General public, 2 to 6 GHz and beyond, whole body, 30 min \[W/m²\]: 47 CFR 1.1310 (text read); ICNIRP 2020 (from memory).
pub const EXPOSURE_W_M2: f64 = 10.0;
/// Power with a reflecting ground over that without: FCC OET Bulletin 65, 1997.
pub const EXPOSURE_REFLECTION: f64 = 2.56;
/// Where the craft flies in that table: away, and overhead \[m\].
const AWAY_M: f64 = 50.0;
const OVERHEAD_M: f64 = 30.0;

/// One link.
#[derive(Debug, Clone)]
pub struct LinkView<'a> {
    /// The link.
    pub link: &'a LinkModel,
    /// Where the budget is summed \[m\].
    pub at_m: f64,
    /// Its lines: what, and how much in dB, or dBm where the line says so.
    pub lines: Vec<(String, Summary, &'static str)>,
    /// Range in the open \[m\].
    pub range_m: Summary,
    /// Range near the ground, in the worst and in the best of places \[m\].
    pub near_ground_m: Option<[Summary; 2]>,
    /// Radiated in the best direction \[mW\].
    pub radiated_mw: Summary,
    /// The distance at which the power through an area is the limit for anybody \[m\].
    pub exposure_m: Summary,
    /// Attitudes and what each does to the best link against level flight \[dB\].
    pub attitudes: Vec<(&'static str, f64)>,
}

/// Every link of a state.
pub fn views<'a>(state: &'a State, basis: &Basis) -> Vec<LinkView<'a>> {
    let links = state.model.links.iter().enumerate();
    links
        .map(|(at, link)| view(state, basis, at, link))
        .collect()
}

fn view<'a>(state: &'a State, basis: &Basis, at: usize, link: &'a LinkModel) -> LinkView<'a> {
    let at_m = link.distance_m.unwrap_or(USUAL_M);
    let count = state.outcomes.draws();
    let sums: Vec<_> = (0..count)
        .map(|draw| link.sum(basis.draws.row(draw), at_m))
        .collect();
    let band = |of: &dyn Fn(&crate::predict::air::LinkSum) -> f64| {
        Summary::of(&sums.iter().map(of).collect::<Vec<f64>>())
    };
    let mut lines = vec![
        (
            "power at the connector".to_owned(),
            band(&|sum| sum.power_dbm),
            "dBm",
        ),
        (
            "coax and connector on the craft".to_owned(),
            band(&|sum| -sum.craft_cable_db),
            "dB",
        ),
        (
            "the craft's antenna, level, at its worst heading".to_owned(),
            band(&|sum| sum.branches.first().map_or(f64::NAN, |it| it.craft_dbi)),
            "dBi",
        ),
        (
            "shadow of frame and pack".to_owned(),
            band(&|sum| -sum.shadow_db),
            "dB",
        ),
        (
            format!("free space, {at_m} m"),
            band(&|sum| -sum.path_db),
            "dB",
        ),
    ];
    for (nth, aerial) in link.ground.iter().enumerate() {
        let name = format!("{} on the ground", aerial.name);
        lines.push((
            format!("{name}: polarisation"),
            band(&|sum| -sum.branches[nth].polarisation_db),
            "dB",
        ));
        lines.push((
            format!("{name}: gain towards the craft"),
            band(&|sum| sum.branches[nth].gain_dbi),
            "dBi",
        ));
        lines.push((
            format!("{name}: its cable"),
            band(&|sum| -sum.branches[nth].cable_db),
            "dB",
        ));
        lines.push((
            format!("{name}: level at the receiver"),
            band(&|sum| sum.branches[nth].level_dbm),
            "dBm",
        ));
        lines.push((
            format!("{name}: over what is needed"),
            band(&|sum| sum.branches[nth].margin_db),
            "dB",
        ));
    }
    lines.push((
        "least level the receiver works with".to_owned(),
        band(&|sum| sum.least_dbm),
        "dBm",
    ));
    let first = link_outcome(&state.model, at);
    LinkView {
        link,
        at_m,
        lines,
        range_m: state.outcomes.summary(first),
        near_ground_m: link
            .near_ground
            .is_some()
            .then(|| [3, 4].map(|nth| state.outcomes.summary(first + nth))),
        radiated_mw: state.outcomes.summary(first + 2),
        exposure_m: band(&|sum| {
            field::exposure_distance_m(sum.radiated_dbm, EXPOSURE_W_M2, EXPOSURE_REFLECTION)
        }),
        attitudes: attitudes(link),
    }
}

/// What turning the craft does to the better antenna on the ground.
fn attitudes(link: &LinkModel) -> Vec<(&'static str, f64)> {
    let turned = |roll: f64, pitch: f64, yaw: f64| Attitude {
        roll_rad: roll.to_radians(),
        pitch_rad: pitch.to_radians(),
        yaw_rad: yaw.to_radians(),
    };
    // The craft is north of the station; heading 180° it flies towards it.
    let away = [AWAY_M, 0.0, 0.0];
    let poses = [
        ("level, towards you", turned(0.0, 0.0, 180.0), away),
        (
            "nose 30° down, towards you",
            turned(0.0, -30.0, 180.0),
            away,
        ),
        (
            "nose 30° down, away from you",
            turned(0.0, -30.0, 0.0),
            away,
        ),
        ("banked 60°, flying past", turned(60.0, 0.0, 90.0), away),
        ("upside down", turned(180.0, 0.0, 180.0), away),
        (
            "level, overhead",
            turned(0.0, 0.0, 180.0),
            [0.5, 0.0, -OVERHEAD_M],
        ),
    ];
    let gains = poses.map(|(name, attitude, at)| (name, best_db(link, attitude, at)));
    let level_db = gains[0].1;
    gains[1..]
        .iter()
        .map(|(name, gain)| (*name, gain - level_db))
        .collect()
}

fn best_db(link: &LinkModel, attitude: Attitude, at: [f64; 3]) -> f64 {
    let free_db = |metres: f64| field::free_space_loss_db(metres, link.frequency_hz);
    let over_away_db = |sight: Sight| sight.gain_db() + free_db(AWAY_M) - free_db(sight.range_m);
    let sights = sights(&link.craft, &link.ground, attitude, at).into_iter();
    sights.map(over_away_db).fold(f64::NEG_INFINITY, f64::max)
}

/// How the craft's antenna and each on the ground see each other; the craft's place is north, east and down of the station \[m\].
pub fn sights(
    craft: &AerialModel,
    ground: &[AerialModel],
    attitude: Attitude,
    at: [f64; 3],
) -> Vec<Sight> {
    let seen =
        |aerial: &AerialModel| between(&craft.mounted, attitude, at, &aerial.mounted, [0.0; 3]);
    ground.iter().filter_map(seen).collect()
}

/// Degrees between the axis of the craft's antenna and straight up.
pub fn leaning_deg(link: &LinkModel) -> f64 {
    let [x, y, z] = link.craft.mounted.axis;
    (x.hypot(y).atan2(-z).min(PI)).to_degrees()
}
