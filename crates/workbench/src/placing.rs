//! Places for parts of which nobody said where they go.

mod anywhere;

use crate::assess::Assessment;
use crate::input::Draw;
use crate::verdict::State;
use crate::verdict::rules::balance_moved;
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

/// What holds a part in a place.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fastened {
    /// Posts, cheeks or a tray, or posts on another board.
    Seated(String),
    /// Tape on a flat seat.
    Flat(String),
    /// Tape on whatever is near: the name of the part.
    Taped(String),
}

/// One place.
#[derive(Debug, Clone, PartialEq)]
pub struct Offered {
    /// What would hold it.
    pub by: Fastened,
    /// As it is written into the file.
    pub as_written: String,
    /// Where its origin is then \[m\].
    pub at_m: [f64; 3],
    /// Least air to spare \[m\].
    pub slack_m: f64,
    /// Where the balance is then, forward and to the left of the motors' middle \[mm\].
    pub balance_mm: [f64; 2],
}

/// Places in which each part without one clears everything, at most `most` for each: those that keep the balance near the middle between the
/// motors first, of those posts, cheeks and trays before tape, then those with the better balance and more air.
///
/// Tried are free seats, places over boards whose holes meet, small shifts and quarter turns on seats, and every spot of a grid about the frame where
/// something is near enough to tape the part to.
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
    let balance = Balance::without(assessment, part);
    let seats = candidates(state, part, sheet).into_iter();
    let mut found: Vec<Offered> = seats
        .filter_map(|candidate| tried(assessment, part, &balance, candidate))
        .collect();
    found.extend(anywhere::offered(assessment, part, &balance, most));
    found.sort_by(|one, other| {
        let worth = balance.worth(one).cmp(&balance.worth(other));
        worth.then(other.slack_m.total_cmp(&one.slack_m))
    });
    found = apart(found, most);
    Some(Offer {
        part,
        places: found,
        why_none: "no free seat and no spot about the frame gives it the air it wants",
    })
}

/// Answers nearer to a better one than this are no answers of their own \[m\].
const APART_M: f64 = 10e-3;

/// The best, without those that are next to a better one or another spot on the same seat.
fn apart(found: Vec<Offered>, most: usize) -> Vec<Offered> {
    let mut kept: Vec<Offered> = Vec::new();
    for offered in found {
        let is_another = |other: &Offered| {
            is_near(offered.at_m, other.at_m)
                || (offered.by == other.by && !matches!(other.by, Fastened::Taped(_)))
        };
        if kept.len() < most && !kept.iter().any(is_another) {
            kept.push(offered);
        }
    }
    kept
}

fn is_near(one: [f64; 3], other: [f64; 3]) -> bool {
    let squares = one.iter().zip(other).map(|(a, b)| (a - b) * (a - b));
    squares.sum::<f64>().sqrt() < APART_M
}

/// A place and how it is written.
struct Candidate {
    by: Fastened,
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
                    by: Fastened::Seated(format!("{id} posts")),
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
    let by = match is_fixed || seat.facet.kind.map(|kind| kind.value) == Some(SeatKind::Tray) {
        true => Fastened::Seated(name.to_owned()),
        false => Fastened::Flat(name.to_owned()),
    };
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
                found.push(Candidate {
                    by: by.clone(),
                    table,
                    as_written,
                });
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
fn tried(
    assessment: &Assessment,
    part: usize,
    balance: &Balance,
    candidate: Candidate,
) -> Option<Offered> {
    let (by, as_written) = (candidate.by.clone(), candidate.as_written.clone());
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
        by,
        as_written,
        at_m: item.pose.centre_m,
        slack_m: slack_m.min(FAR_M),
        balance_mm: balance.with_mm(item.of_one_kilogram().centre_m),
    })
}

/// With less air than this to spare a part as good as touches \[m\].
const TOUCHES_M: f64 = 1e-3;
/// Air beyond this is plenty \[m\].
const FAR_M: f64 = 0.03;

/// The balance of everything but one part, in the middle of every input.
struct Balance {
    /// Of the rest \[kg\].
    rest_kg: f64,
    /// Of the rest, forward and to the left \[kg·m\].
    moment_kg_m: [f64; 2],
    /// Of the part \[kg\].
    part_kg: f64,
}

impl Balance {
    fn without(assessment: &Assessment, part: usize) -> Self {
        let middle = assessment.basis.inputs.middle();
        let middle = Draw(&middle);
        let mut balance = Self {
            rest_kg: 0.0,
            moment_kg_m: [0.0; 2],
            part_kg: 0.0,
        };
        let Some(space) = &assessment.judged.model.space else {
            return balance;
        };
        for body in &space.bodies {
            let own_kg = middle.of(body.mass) * body.copies;
            if body
                .carried_by
                .iter()
                .any(|held| space.held[*held].part == part)
            {
                balance.part_kg += own_kg;
                continue;
            }
            balance.rest_kg += own_kg;
            for axis in 0..2 {
                balance.moment_kg_m[axis] += own_kg * body.centre_m[axis];
            }
        }
        balance
    }

    /// With the part's centre here \[mm\].
    fn with_mm(&self, centre_m: [f64; 3]) -> [f64; 2] {
        let mass_kg = self.rest_kg + self.part_kg;
        [0, 1].map(|axis| match mass_kg > 0.0 {
            true => 1e3 * (self.moment_kg_m[axis] + self.part_kg * centre_m[axis]) / mass_kg,
            false => 0.0,
        })
    }

    /// Smaller is better: the balance is kept, it is seated, it does not as good as touch, half millimetres of balance.
    fn worth(&self, offered: &Offered) -> (bool, bool, bool, i64) {
        let off_mm = offered.balance_mm[0].hypot(offered.balance_mm[1]);
        let is_seated = matches!(offered.by, Fastened::Seated(_));
        (
            off_mm > balance_moved::most_mm(1e3 * (self.rest_kg + self.part_kg)),
            !is_seated,
            !is_seated && offered.slack_m < TOUCHES_M,
            (2.0 * off_mm).round() as i64,
        )
    }

    /// Where the part's centre brings the balance into the middle between the motors \[m\].
    fn wish_m(&self) -> [f64; 2] {
        self.moment_kg_m.map(|moment| match self.part_kg > 0.0 {
            true => -moment / self.part_kg,
            false => 0.0,
        })
    }
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
