//! Spots about the frame where a part clears everything and something is near enough to tape it to.

use super::{Balance, Candidate, Fastened, Offered, figure, is_near, length, tried, with_place};
use crate::assess::Assessment;
use craft::Stated;
use craft::airframe::Airframe;
use craft::pads::JackRole;
use craft::space::PlaceTable;
use fit::{Keep, Spot, Wanted, spots};
use quantity::Angle;
use rayon::prelude::*;
use space::clearance::{Body, Demand, demands};
use space::layout::Layout;
use space::shape::Meshes;

/// Turns about z that are tried \[°\].
const YAWS_DEG: [f64; 4] = [0.0, 90.0, 180.0, -90.0];
/// Steps of the grid sideways and upward \[mm\]: whole ones, for they are written by hand.
const GRID_MM: [f64; 2] = [2.0, 1.0];
/// How far the grid reaches beyond the parts that have a place \[mm\].
const BEYOND_MM: f64 = 6.0;
/// Something must be as near as this for the part to hold on to \[m\].
const HOLD_M: f64 = 1.5e-3;
/// Spots that are looked at more closely.
const MOST: usize = 400;
/// Measurements after which a search ends: about a quarter of a second for each turn.
const EFFORT: usize = 150_000;

/// The best of those spots, at most `most`, each looked at once more as it would be written.
pub(super) fn offered(
    assessment: &Assessment,
    part: usize,
    balance: &Balance,
    most: usize,
) -> Vec<Offered> {
    let mut found: Vec<Found> = YAWS_DEG
        .into_par_iter()
        .flat_map_iter(|yaw_deg| turned(assessment, part, balance, yaw_deg))
        .collect();
    // To half a millimetre of balance and one of air; then unturned, then as it comes.
    found.sort_by_key(|it| {
        let far = (2.0 * it.balance_mm[0].hypot(it.balance_mm[1])).round() as i64;
        let spare_mm = (1e3 * it.spot.spare_m).round() as i64;
        (far, -spare_mm, it.yaw_deg != 0.0)
    });
    let mut kept: Vec<Offered> = Vec::new();
    for Found { yaw_deg, spot, .. } in found {
        if kept.len() == most {
            break;
        }
        if !kept.iter().any(|other| is_near(other.at_m, spot.at_m)) {
            let candidate = written(assessment, part, &spot, yaw_deg);
            kept.extend(
                tried(assessment, part, balance, candidate).map(|it| Offered {
                    slack_m: spot.spare_m,
                    ..it
                }),
            );
        }
    }
    kept
}

struct Found {
    yaw_deg: f64,
    spot: Spot,
    balance_mm: [f64; 2],
}

fn turned(assessment: &Assessment, part: usize, balance: &Balance, yaw_deg: f64) -> Vec<Found> {
    let state = &assessment.judged;
    let Some([mut low_m, high_m]) = extent_m(&state.space.layout) else {
        return Vec::new();
    };
    let candidate = written(
        assessment,
        part,
        &Spot {
            at_m: [0.0; 3],
            held_by: part,
            spare_m: 0.0,
        },
        yaw_deg,
    );
    let airframe = with_place(assessment, part, candidate);
    let layout = Layout::of(&airframe, &mut Meshes::default());
    let Some(at) = layout.items.iter().position(|item| item.part == part) else {
        return Vec::new();
    };
    let item = &layout.items[at];
    let centre_m = item.of_one_kilogram().centre_m;
    // Nothing is taped where the craft would land on it.
    if let (Some(ground_m), Some([low, _])) = (state.space.ground_m, item.extent_m()) {
        low_m[2] = low_m[2].max(1e-3 * (1e3 * (ground_m - low[2])).ceil());
    }
    let wish_m = balance.wish_m();
    let keeps = keeps(&airframe, &layout, at);
    let wanted = Wanted {
        low_m,
        high_m,
        step_m: [GRID_MM[0], GRID_MM[0], GRID_MM[1]].map(|mm| 1e-3 * mm),
        towards_m: [0, 1].map(|axis| {
            let towards_m = wish_m[axis] - centre_m[axis];
            towards_m.clamp(low_m[axis], high_m[axis])
        }),
        hold_m: HOLD_M,
        most: MOST,
        effort: EFFORT,
    };
    let found = spots(&keeps, &wanted).found.into_iter();
    let found = found.map(|spot| Found {
        yaw_deg,
        spot,
        balance_mm: balance.with_mm([0, 1, 2].map(|axis| spot.at_m[axis] + centre_m[axis])),
    });
    found.collect()
}

fn keeps(airframe: &Airframe, layout: &Layout, at: usize) -> Vec<Keep> {
    let keep = |demand: Demand| {
        let mine = usize::from(demand.bodies[0] != Body::Item(at));
        let other = demand.bodies[1 - mine];
        let (owner, holds) = match other {
            Body::Item(other) => (layout.items[other].part, holds(airframe, layout, other)),
            Body::Disc(rotor) => (airframe.parts.len() + rotor, false),
            Body::Duct(rotor) => (airframe.parts.len() + layout.hubs_m.len() + rotor, false),
            Body::Ground => (usize::MAX, false),
        };
        let air_m = demand.keep_m;
        demand.pairs.into_iter().map(move |[first, second]| {
            let (own, other) = match mine {
                0 => (first, second),
                _ => (second, first),
            };
            Keep {
                own,
                other,
                air_m,
                owner,
                holds,
            }
        })
    };
    demands(airframe, layout, at)
        .into_iter()
        .flat_map(keep)
        .collect()
}

/// Whether a part can be taped to it: not to what turns, is taken out to be charged, radiates or looks.
fn holds(airframe: &Airframe, layout: &Layout, item: usize) -> bool {
    let item = &layout.items[item];
    let sheet = airframe.parts[item.part].part.as_deref();
    item.rotor.is_none()
        && sheet.is_some_and(|sheet| {
            let antenna = sheet.jacks.iter().any(|jack| {
                jack.facet
                    .role
                    .is_some_and(|role| role.value == JackRole::Antenna)
            });
            sheet.cells.is_none() && sheet.view.is_none() && !antenna
        })
}

/// The box around everything that has a place, and some more, in whole millimetres \[m\].
fn extent_m(layout: &Layout) -> Option<[[f64; 3]; 2]> {
    let corners = layout.items.iter().filter_map(space::Item::extent_m);
    let all = corners.reduce(|all, one| {
        let pick = |end: usize, f: fn(f64, f64) -> f64| {
            [0, 1, 2].map(|axis| f(all[end][axis], one[end][axis]))
        };
        [pick(0, f64::min), pick(1, f64::max)]
    })?;
    let out = |end: usize, sign: f64| all[end].map(|x| 1e-3 * (1e3 * x + sign * BEYOND_MM).round());
    Some([out(0, -1.0), out(1, 1.0)])
}

/// A place by coordinates.
fn written(assessment: &Assessment, part: usize, spot: &Spot, yaw_deg: f64) -> Candidate {
    let parts = &assessment.judged.airframe.parts;
    let here = parts[part].id.place;
    let [x, y, z] = spot.at_m.map(|m| (1e6 * m).round() / 1e3 + 0.0);
    let mut table = PlaceTable {
        x: Some(length(here, x)),
        y: Some(length(here, y)),
        z: Some(length(here, z)),
        ..PlaceTable::empty(here)
    };
    let mut as_written = format!("{{ x = \"{x} mm\", y = \"{y} mm\", z = \"{z} mm\"");
    if yaw_deg != 0.0 {
        table.yaw = Some(Stated::new(figure(Angle::degrees(yaw_deg)), here));
        as_written.push_str(&format!(", yaw = \"{yaw_deg} °\""));
    }
    as_written.push_str(" }");
    Candidate {
        by: Fastened::Taped(parts[spot.held_by].id.value.clone()),
        table,
        as_written,
    }
}
