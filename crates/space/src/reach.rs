//! What hands must reach: the free way out of sockets, buttons and slots, and what stands in it.

use crate::layout::{Item, Layout, towards};
use crate::shape::{Form, Piece, metres, or_zero};
use craft::space::{Facing, Material, OpeningKind};
use craft::{Airframe, Part, Place};
use fit::{Pose, distance};

/// Straight out, across and high that an opening needs where nobody says \[m\]. From memory of plugs and fingers.
fn usual_m(kind: OpeningKind) -> (f64, f64, f64) {
    match kind {
        // The moulded shell of a small USB plug is about 11 × 6 mm and stands out by 20 to 25 mm.
        OpeningKind::Usb => (22e-3, 11e-3, 6e-3),
        // A stick that presses the button.
        OpeningKind::Button => (15e-3, 2e-3, 2e-3),
        // A memory card and the nail that pulls it.
        OpeningKind::Card => (14e-3, 11e-3, 3e-3),
        OpeningKind::Plug => (20e-3, 10e-3, 8e-3),
        // The bend of thin wires.
        OpeningKind::Wires => (5e-3, 3e-3, 3e-3),
    }
}

/// The way out of an opening.
#[derive(Clone)]
pub struct Corridor {
    /// Its name on the part.
    pub name: String,
    /// What it is for.
    pub kind: OpeningKind,
    /// The space that must be clear.
    pub piece: Piece,
    /// Where it is written.
    pub place: Place,
}

/// The ways out of a part's openings, in the axes of the craft.
pub fn corridors(part: &Part, item: &Item) -> Vec<Corridor> {
    let one = |opening: &craft::part::Named<craft::space::Opening>| {
        let facet = &opening.facet;
        let kind = facet.kind?.value;
        let (room_m, across_m, high_m) = usual_m(kind);
        let room_m = metres(&facet.room).unwrap_or(room_m);
        let across_m = metres(&facet.across).unwrap_or(across_m);
        let at = [or_zero(&facet.x), or_zero(&facet.y), or_zero(&facet.z)];
        let faces = facet.faces?.value;
        let out = Pose::turned(at, towards(faces));
        let size_m = match faces {
            Facing::Front | Facing::Back => [high_m.min(across_m), across_m, room_m],
            _ => [across_m, high_m.min(across_m), room_m],
        };
        let middle = Pose::at([0.0, 0.0, 0.5 * room_m + SKIN_M])
            .on(&out)
            .on(&item.pose);
        let form = Form::Box(size_m);
        Some(Corridor {
            name: opening.name.value.clone(),
            kind,
            piece: Piece::new(&opening.name.value, form, middle, Material::Soft)?,
            place: facet.place,
        })
    };
    part.openings.iter().filter_map(one).collect()
}

/// The way begins this far outside the opening, so that the part's own face is not in it \[m\].
const SKIN_M: f64 = 0.2e-3;

/// Whether an opening can be reached.
#[derive(Clone)]
pub struct Reach {
    /// The placed part: position in the layout.
    pub item: usize,
    /// Its opening.
    pub corridor: Corridor,
    /// What stands in the way with everything mounted, by name.
    pub behind: Vec<String>,
    /// What still stands in the way when the part that covers it is off; the same where nothing covers it.
    pub behind_open: Vec<String>,
    /// The part that covers it.
    pub cover: Option<String>,
}

/// Every opening that hands must reach.
pub fn reach(airframe: &Airframe, layout: &Layout) -> Vec<Reach> {
    let mut found = Vec::new();
    for (at, item) in layout.items.iter().enumerate() {
        let fitted = &airframe.parts[item.part];
        let Some(part) = fitted.part.as_deref() else {
            continue;
        };
        let place = airframe.place(&fitted.id.value);
        let cover = place
            .and_then(|place| place.facet.under.as_ref())
            .map(|under| under.value.clone());
        let is_cover = |other: &Item| Some(&airframe.parts[other.part].id.value) == cover.as_ref();
        for corridor in corridors(part, item) {
            if corridor.kind == OpeningKind::Wires {
                continue;
            }
            let blocks = |other: &&Item| {
                let mut pieces = other.pieces.iter();
                other.part != item.part
                    && pieces
                        .any(|piece| distance(&piece.solid, &corridor.piece.solid).is_contact())
            };
            let all: Vec<&Item> = layout.items.iter().filter(blocks).collect();
            let names =
                |items: Vec<&Item>| items.into_iter().map(|item| item.name.clone()).collect();
            found.push(Reach {
                item: at,
                behind_open: names(
                    all.iter()
                        .copied()
                        .filter(|other| !is_cover(other))
                        .collect(),
                ),
                behind: names(all),
                corridor,
                cover: cover.clone(),
            });
        }
    }
    found
}
