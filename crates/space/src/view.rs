//! What the camera sees of its own craft, and whether it fits between its cheeks.

use crate::layout::{Item, Layout};
use crate::shape::{Piece, metres, or_zero};
use craft::space::SeatKind;
use craft::{Airframe, Place};
use fit::{Camera, Disc, Lens, Pose, Solid, Turn, roughly_blocked_share, smallest_rim_angle};
use quantity::Dimension;

/// A camera on the craft.
#[derive(Debug, Clone)]
pub struct Seeing {
    /// The part: position on the airframe.
    pub part: usize,
    /// Tilt up as placed \[rad\].
    pub tilt: f64,
    /// Tilts its seat allows, least and most \[rad\].
    pub tilts: Option<(f64, f64)>,
    /// Width of its body and of the room between the cheeks \[m\].
    pub widths_m: Option<(f64, f64)>,
    /// Where its place is written.
    pub place: Place,
    /// Across and upright angle of its picture \[rad\].
    pub angles: (f64, f64),
    /// Lens in the part's axes \[m\].
    lens_m: [f64; 3],
    item: usize,
}

/// Share of the picture that the craft itself takes, for a lens that keeps lines straight and for one that bends them; a real
/// one lies between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blocked {
    /// Tilt up \[rad\].
    pub tilt: f64,
    /// Lines stay straight; none where the picture is too wide for it.
    pub straight: Option<f64>,
    /// Angles grow evenly.
    pub even: Option<f64>,
    /// Smallest angle between where it looks and the rim of a propeller's disc \[rad\].
    pub rim: Option<f64>,
}

/// The cameras that have a place and a view.
pub fn cameras(airframe: &Airframe, layout: &Layout) -> Vec<Seeing> {
    let one = |(at, item): (usize, &Item)| {
        let fitted = &airframe.parts[item.part];
        let view = fitted.part.as_deref()?.view.as_ref()?;
        let angles = (
            view.horizontal?.value.0.in_radians(),
            view.vertical?.value.0.in_radians(),
        );
        let forward = item.pose.turn.apply([1.0, 0.0, 0.0]);
        let seat = item
            .seat
            .filter(|seat| *seat == SeatKind::Cheeks)
            .and(item.holder);
        let name = airframe
            .place(&fitted.id.value)
            .and_then(|place| place.facet.seat.as_ref());
        let name = name
            .and_then(|seat| seat.split_once('.'))
            .map(|(_, name)| name);
        let cheeks = seat.and_then(|holder| {
            let seats = &airframe.parts[holder].part.as_deref()?.seats;
            seats
                .iter()
                .find(|seat| Some(seat.name.value.as_str()) == name)
        });
        let tilts = cheeks.and_then(|seat| seat.facet.tilt);
        let room_m = cheeks.and_then(|seat| metres(&seat.facet.width));
        Some(Seeing {
            part: item.part,
            tilt: forward[2].clamp(-1.0, 1.0).asin(),
            tilts: tilts.map(|tilts| (tilts.value.low.si(), tilts.value.high.si())),
            widths_m: metres(&view.width).zip(room_m),
            place: crate::layout::written_at(airframe, item.part),
            angles,
            lens_m: [or_zero(&view.x), 0.0, or_zero(&view.z)],
            item: at,
        })
    };
    layout.items.iter().enumerate().filter_map(one).collect()
}

/// What a camera sees of the craft when it is tilted up like this.
pub fn blocked(layout: &Layout, camera: &Seeing, tilt: f64) -> Blocked {
    let item = &layout.items[camera.item];
    // The craft's own pitch is nose down.
    let turned = Turn {
        pitch: item.pose.turn.pitch - (tilt - camera.tilt),
        ..item.pose.turn
    };
    let base = Pose::turned(item.pose.centre_m, turned);
    let pose = Pose::turned(base.place(camera.lens_m), turned);
    let discs: Vec<Disc> = (layout.hubs_m.iter().zip(layout.swept.iter().cycle()))
        .map(|(hub, swept)| Disc {
            radius_m: swept.radius_m,
            pose: Pose::at(*hub),
        })
        .collect();
    let others = layout.items.iter().filter(|other| other.part != item.part);
    let forward = turned.apply([1.0, 0.0, 0.0]);
    let ahead = others
        .flat_map(|other| &other.pieces)
        .filter(|piece| is_ahead(pose.centre_m, forward, piece));
    let solids: Vec<Solid> = ahead.map(|piece| piece.solid.clone()).collect();
    let (across, upright) = camera.angles;
    let share = |lens| roughly_blocked_share(&Camera { pose, lens }, &discs, &solids, RAYS);
    let straight = Camera {
        pose,
        lens: Lens::Rectilinear { across, upright },
    };
    let rims = discs.iter().map(|disc| smallest_rim_angle(&straight, disc));
    Blocked {
        tilt,
        straight: share(Lens::Rectilinear { across, upright }),
        even: share(Lens::Equidistant { across, upright }),
        rim: rims.min_by(f64::total_cmp),
    }
}

/// Rays across the picture, and as many up and down: the share is good to about a thousandth.
const RAYS: usize = 100;

/// Whether any corner of the box around a piece lies before the lens; wide lenses look back by up to 10°.
fn is_ahead(eye_m: [f64; 3], forward: [f64; 3], piece: &Piece) -> bool {
    let corners = piece.solid.extent_m();
    (0..8).any(|at| {
        let corner = [0, 1, 2].map(|axis| corners[at >> axis & 1][axis] - eye_m[axis]);
        let along: f64 = corner.iter().zip(forward).map(|(a, b)| a * b).sum();
        let far = corner.iter().map(|x| x * x).sum::<f64>().sqrt();
        along > -0.18 * far
    })
}
