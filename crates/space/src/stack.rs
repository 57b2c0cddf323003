//! Boards over each other on the same posts: how high each one is, and what room is left.

use crate::layout::Layout;
use crate::shape::{metres, plate_m};
use craft::Airframe;
use craft::space::SeatKind;
use quantity::Dimension;

/// One layer of a stack.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// The part: position on the airframe.
    pub part: usize,
    /// Underside of its plate above the seat's floor \[m\].
    pub foot_m: f64,
    /// Upper face of its plate \[m\].
    pub plate_m: f64,
    /// Its lowest point, parts below the plate counted \[m\].
    pub low_m: f64,
    /// Its highest point \[m\].
    pub top_m: f64,
    /// Posts below it \[m\]; none for the first one.
    pub posts_m: Option<f64>,
}

/// Everything on one set of posts, from below.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    /// The part that has the seat.
    pub holder: usize,
    /// The seat.
    pub seat: String,
    /// Its layers.
    pub layers: Vec<Layer>,
    /// Room above the seat's floor \[m\], where the sheet says.
    pub room_m: Option<f64>,
}

impl Stack {
    /// Room left over the highest layer \[m\].
    pub fn left_m(&self) -> Option<f64> {
        let tops = self.layers.iter().map(|layer| layer.top_m);
        Some(self.room_m? - tops.fold(0.0, f64::max))
    }
}

/// The stacks of an airframe.
pub fn stacks(airframe: &Airframe, layout: &Layout) -> Vec<Stack> {
    let on_posts = layout
        .items
        .iter()
        .filter(|item| item.seat == Some(SeatKind::Posts));
    let mut found = Vec::new();
    for first in on_posts {
        let seat = place(airframe, first.part).and_then(|place| place.seat.as_ref());
        let Some((_, name)) = seat.and_then(|seat| seat.split_once('.')) else {
            continue;
        };
        let Some(holder) = first.holder else { continue };
        let seats = airframe.parts[holder]
            .part
            .iter()
            .flat_map(|part| &part.seats);
        let room_m = seats
            .filter(|seat| seat.facet.kind.is_some() && seat.name.value == name)
            .find_map(|seat| metres(&seat.facet.height));
        let mut layers = Vec::new();
        let mut at = Some(first.part);
        while let Some(part) = at {
            layers.extend(layer(
                airframe,
                layout,
                first.pose.centre_m[2] - own_z_m(airframe, first.part),
                part,
            ));
            at = above(airframe, part).filter(|_| layers.len() <= airframe.parts.len());
        }
        // A canopy on posts of its own is no stack.
        if !layers
            .iter()
            .any(|layer: &Layer| layer.plate_m > layer.foot_m)
        {
            continue;
        }
        found.push(Stack {
            holder,
            seat: name.to_owned(),
            layers,
            room_m,
        });
    }
    found
}

fn place(airframe: &Airframe, part: usize) -> Option<&craft::space::PlaceTable> {
    airframe
        .place(&airframe.parts[part].id.value)
        .map(|place| &place.facet)
}

fn own_z_m(airframe: &Airframe, part: usize) -> f64 {
    place(airframe, part)
        .and_then(|place| place.z.as_ref())
        .map_or(0.0, |z| z.quantity.value.si())
}

/// The part on posts over another one.
fn above(airframe: &Airframe, below: usize) -> Option<usize> {
    let id = &airframe.parts[below].id.value;
    let on_it = |place: &&craft::part::Named<craft::space::PlaceTable>| {
        place.facet.standoff.is_some()
            && place
                .facet
                .above
                .as_ref()
                .is_some_and(|above| above.value == *id)
    };
    airframe.position(&airframe.places.iter().find(on_it)?.name.value)
}

fn layer(airframe: &Airframe, layout: &Layout, floor_m: f64, part: usize) -> Option<Layer> {
    let item = layout.items_of(part).next()?;
    let [low, high] = item.extent_m()?;
    let foot_m = item.pose.centre_m[2] - floor_m;
    let thick_m = airframe.parts[part]
        .part
        .as_deref()
        .and_then(plate_m)
        .unwrap_or(0.0);
    let posts = place(airframe, part).and_then(|place| place.standoff.as_ref());
    Some(Layer {
        part,
        foot_m,
        plate_m: foot_m + thick_m,
        low_m: low[2] - floor_m,
        top_m: high[2] - floor_m,
        posts_m: posts.map(|posts| posts.quantity.value.si()),
    })
}
