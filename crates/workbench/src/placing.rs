//! Places for parts of which nobody said where they go.

use crate::assess::Assessment;
use crate::input::Draw;
use crate::verdict::State;
use craft::airframe::Airframe;
use craft::part::Named;
use craft::sheet::Figure;
use craft::space::{PlaceTable, Seat, SeatKind};
use craft::{Part, Place, Stated};
use quantity::{Basis, Doubt, Length, Quantity};
use space::holes::{HoleFit, meets};
use space::layout::{Layout, Why};
use space::shape::Meshes;

/// Posts that are tried between two boards \[mm\].
const POSTS_MM: [f64; 6] = [3.0, 4.0, 5.0, 6.0, 8.0, 10.0];
/// Turns about z that are tried \[°\].
const YAWS_DEG: [f64; 2] = [0.0, 90.0];
/// Shifts on a seat that are tried forward and sideways \[mm\].
const SHIFTS_MM: [f64; 5] = [0.0, -4.0, 4.0, -8.0, 8.0];

/// Places offered for one part.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// Position of the part on the airframe.
    pub part: usize,
    /// Best first.
    pub places: Vec<Offered>,
    /// What is missing where there are none.
    pub why_none: &'static str,
}

/// One place.
#[derive(Debug, Clone, PartialEq)]
pub struct Offered {
    /// As it is written into the file.
    pub as_written: String,
    /// Where its origin is then \[m\].
    pub at_m: [f64; 3],
    /// Least air to spare \[m\].
    pub slack_m: f64,
    /// Where the balance is then, forward and to the left of the motors' middle \[mm\].
    pub balance_mm: [f64; 2],
}

/// Places in which each part without one clears everything, those that keep the balance first; at most `most` for each.
///
/// Tried are free seats, places over boards whose holes meet, and small shifts and quarter turns on seats.
pub fn offers(assessment: &Assessment, most: usize) -> Vec<Offer> {
    let state = &assessment.judged;
    let unplaced = state
        .space
        .layout
        .unplaced
        .iter()
        .filter(|it| it.why == Why::Nothing);
    unplaced
        .filter_map(|it| offer(assessment, it.part, most))
        .collect()
}

fn offer(assessment: &Assessment, part: usize, most: usize) -> Option<Offer> {
    let state = &assessment.judged;
    let sheet = state.airframe.parts[part].part.as_deref()?;
    if sheet.solids.is_empty() {
        let places = Vec::new();
        let why_none = "its sheet has no `[solid]`: write how large it is";
        return sheet.body.as_ref().map(|_| Offer {
            part,
            places,
            why_none,
        });
    }
    let mut found: Vec<Offered> = candidates(state, part, sheet)
        .into_iter()
        .filter_map(|candidate| tried(assessment, part, candidate))
        .collect();
    found.sort_by(|one, other| {
        far(one)
            .total_cmp(&far(other))
            .then(other.slack_m.total_cmp(&one.slack_m))
    });
    found = apart(found, most);
    Some(Offer {
        part,
        places: found,
        why_none: "none of the free seats gives it the air it wants; try coordinates",
    })
}

/// Answers nearer to a better one than this are no answers of their own \[m\].
const APART_M: f64 = 6e-3;

/// The best, without those that are next to a better one.
fn apart(found: Vec<Offered>, most: usize) -> Vec<Offered> {
    let mut kept: Vec<Offered> = Vec::new();
    for offered in found {
        let near = |other: &Offered| {
            let squares = offered
                .at_m
                .iter()
                .zip(other.at_m)
                .map(|(a, b)| (a - b) * (a - b));
            squares.sum::<f64>().sqrt() < APART_M
        };
        if kept.len() < most && !kept.iter().any(near) {
            kept.push(offered);
        }
    }
    kept
}

fn far(offered: &Offered) -> f64 {
    // Half a millimetre of balance is not worth a worse fit, and a part that touches another is last.
    let touches = if offered.slack_m < TOUCHES_M {
        1e3
    } else {
        0.0
    };
    touches + (2.0 * offered.balance_mm[0].hypot(offered.balance_mm[1])).round()
}

/// A place and how it is written.
struct Candidate {
    table: PlaceTable,
    as_written: String,
}

fn candidates(state: &State, part: usize, sheet: &Part) -> Vec<Candidate> {
    let airframe = &state.airframe;
    let here = airframe.parts[part].id.place;
    let mut found = Vec::new();
    for (holder, fitted, owner) in airframe.found() {
        if !state
            .space
            .layout
            .items
            .iter()
            .any(|item| item.part == holder)
        {
            continue;
        }
        let id = &fitted.id.value;
        for seat in owner
            .seats
            .iter()
            .filter(|seat| is_free(airframe, id, seat) && suits(sheet, owner, seat))
        {
            let name = format!("{id}.{}", seat.name.value);
            found.extend(on_seat(here, &name, seat));
        }
        let boards_meet = sheet.holes.iter().any(|own| {
            owner.holes.iter().any(|theirs| {
                matches!(
                    meets(&own.facet, &theirs.facet, 0.0),
                    Some(HoleFit::Meets { .. })
                )
            })
        });
        let is_board = owner.frame.is_none() && owner.motor.is_none();
        let is_topmost = !airframe.places.iter().any(|place| {
            place
                .facet
                .above
                .as_ref()
                .is_some_and(|above| above.value == *id)
        });
        if boards_meet && is_board && is_topmost {
            for posts in POSTS_MM {
                let table = PlaceTable {
                    above: Some(Stated::new(id.clone(), here)),
                    standoff: Some(length(here, posts)),
                    ..PlaceTable::empty(here)
                };
                found.push(Candidate {
                    table,
                    as_written: format!("{{ above = \"{id}\", standoff = \"{posts} mm\" }}"),
                });
            }
        }
    }
    found
}

fn on_seat(here: Place, name: &str, seat: &Named<Seat>) -> Vec<Candidate> {
    let is_fixed = matches!(
        seat.facet.kind.map(|kind| kind.value),
        Some(SeatKind::Posts | SeatKind::Cheeks)
    );
    let shifts: &[f64] = if is_fixed { &[0.0] } else { &SHIFTS_MM };
    let yaws: &[f64] = if is_fixed { &[0.0] } else { &YAWS_DEG };
    let mut found = Vec::new();
    for &yaw in yaws {
        for &x in shifts {
            for &y in shifts {
                let mut words = vec![format!("seat = \"{name}\"")];
                let mut table = PlaceTable {
                    seat: Some(Stated::new(name.to_owned(), here)),
                    ..PlaceTable::empty(here)
                };
                if x != 0.0 {
                    table.x = Some(length(here, x));
                    words.push(format!("x = \"{x} mm\""));
                }
                if y != 0.0 {
                    table.y = Some(length(here, y));
                    words.push(format!("y = \"{y} mm\""));
                }
                if yaw != 0.0 {
                    table.yaw = Some(Stated::new(figure(quantity::Angle::degrees(yaw)), here));
                    words.push(format!("yaw = \"{yaw} °\""));
                }
                let as_written = if words.len() == 1 {
                    format!("\"{name}\"")
                } else {
                    format!("{{ {} }}", words.join(", "))
                };
                found.push(Candidate { table, as_written });
            }
        }
    }
    found
}

fn is_free(airframe: &Airframe, holder: &str, seat: &Named<Seat>) -> bool {
    // Tape holds more than one small part; posts, trays and cheeks hold one.
    let is_flat = seat.facet.kind.map(|kind| kind.value) == Some(SeatKind::Flat);
    let name = format!("{holder}.{}", seat.name.value);
    is_flat
        || !airframe.places.iter().any(|place| {
            place
                .facet
                .seat
                .as_ref()
                .is_some_and(|seat| seat.value == name)
        })
}

fn suits(sheet: &Part, owner: &Part, seat: &Named<Seat>) -> bool {
    match seat.facet.kind.map(|kind| kind.value) {
        Some(SeatKind::Cheeks) => sheet.view.is_some(),
        Some(SeatKind::Tray) => sheet.cells.is_some(),
        Some(SeatKind::Posts) => {
            let name = seat.facet.holes.as_ref().map(|holes| holes.value.as_str());
            let theirs = owner
                .holes
                .iter()
                .find(|holes| Some(holes.name.value.as_str()) == name);
            let own = sheet.holes.first();
            own.zip(theirs).is_some_and(|(own, theirs)| {
                matches!(
                    meets(&own.facet, &theirs.facet, 0.0),
                    Some(HoleFit::Meets { .. })
                )
            })
        }
        Some(SeatKind::Flat) => true,
        None => false,
    }
}

/// The airframe with one part in a new place.
fn with_place(assessment: &Assessment, part: usize, candidate: Candidate) -> Airframe {
    let mut airframe = assessment.judged.airframe.clone();
    let name = airframe.parts[part].id.clone();
    airframe
        .places
        .retain(|place| place.name.value != name.value);
    airframe.places.push(Named {
        name,
        facet: candidate.table,
    });
    airframe
}

/// The least air of the part in this place and the balance then; none where something is short.
fn tried(assessment: &Assessment, part: usize, candidate: Candidate) -> Option<Offered> {
    let as_written = candidate.as_written.clone();
    let airframe = with_place(assessment, part, candidate);
    let layout = Layout::of(&airframe, &mut Meshes::default());
    let at = layout.items.iter().position(|item| item.part == part)?;
    let pairs = space::clearance::of_item(&airframe, &layout, at);
    let slack_m = pairs
        .iter()
        .map(space::Clearance::slack_m)
        .fold(f64::INFINITY, f64::min);
    if slack_m < 0.0 {
        return None;
    }
    let item = &layout.items[at];
    Some(Offered {
        as_written,
        at_m: item.pose.centre_m,
        slack_m: slack_m.min(FAR_M),
        balance_mm: balance_mm(assessment, part, item.of_one_kilogram().centre_m),
    })
}

/// With less air than this to spare a part as good as touches \[m\].
const TOUCHES_M: f64 = 1e-3;
/// Air beyond this is plenty \[m\].
const FAR_M: f64 = 0.03;

/// The balance with one part in a new place, in the middle of every input.
fn balance_mm(assessment: &Assessment, part: usize, centre_m: [f64; 3]) -> [f64; 2] {
    let state = &assessment.judged;
    let middle = assessment.basis.inputs.middle();
    let middle = Draw(&middle);
    let Some(space) = &state.model.space else {
        return [0.0; 2];
    };
    let (mut mass_kg, mut moment) = (0.0, [0.0; 2]);
    for body in &space.bodies {
        let own_kg = middle.of(body.mass) * body.copies;
        let is_it = body
            .carried_by
            .iter()
            .any(|held| space.held[*held].part == part);
        let at = if is_it { centre_m } else { body.centre_m };
        mass_kg += own_kg;
        for axis in 0..2 {
            moment[axis] += own_kg * at[axis];
        }
    }
    moment.map(|moment| {
        if mass_kg > 0.0 {
            1e3 * moment / mass_kg
        } else {
            0.0
        }
    })
}

fn length(here: Place, millimetres: f64) -> Stated<Figure<Length>> {
    Stated::new(figure(Length::millimetres(millimetres)), here)
}

fn figure<D: Copy>(value: D) -> Figure<D> {
    Figure {
        written: value,
        quantity: Quantity {
            value,
            doubt: Doubt::Exact,
            basis: Basis::Measured,
        },
    }
}
