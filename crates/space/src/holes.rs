//! Whether holes meet posts, and screws the thread without the winding.

use crate::layout::{Item, Layout};
use crate::shape::{angle, metres};
use craft::part::Named;
use craft::space::{Holes, Thread};
use craft::{Airframe, Part, Place};
use std::f64::consts::{FRAC_PI_2, SQRT_2};

/// Diameter of a screw \[m\] (ISO 261 nominal diameters).
pub fn diameter_m(thread: Thread) -> f64 {
    1e-3 * match thread {
        Thread::M1 => 1.0,
        Thread::M12 => 1.2,
        Thread::M14 => 1.4,
        Thread::M16 => 1.6,
        Thread::M2 => 2.0,
        Thread::M25 => 2.5,
        Thread::M3 => 3.0,
    }
}

/// A hole for a screw where nobody says \[m\]: ISO 273 medium series (M1 1.2, M1.2 1.4, M1.4 1.6, M1.6 1.8, M2 2.4, M2.5 2.9, M3 3.4).
pub fn clear_hole_m(thread: Thread) -> f64 {
    1e-3 * match thread {
        Thread::M1 => 1.2,
        Thread::M12 => 1.4,
        Thread::M14 => 1.6,
        Thread::M16 => 1.8,
        Thread::M2 => 2.4,
        Thread::M25 => 2.9,
        Thread::M3 => 3.4,
    }
}

/// How two sets of holes go together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HoleFit {
    /// They meet, with this much play for each hole \[m\].
    Meets {
        /// \[m\]
        play_m: f64,
    },
    /// Each hole is off by this much, and the screw has less play.
    Off {
        /// \[m\]
        by_m: f64,
        /// \[m\]
        play_m: f64,
    },
    /// One set is turned against the other \[rad\].
    Turned {
        /// \[rad\]
        by: f64,
    },
    /// A square meets a circle, or the counts differ.
    OtherKind,
    /// The screw is thicker than the hole.
    TooThick {
        /// Screw \[m\].
        screw_m: f64,
        /// Hole \[m\].
        hole_m: f64,
    },
}

/// A part and what it is screwed to.
#[derive(Debug, Clone, PartialEq)]
pub struct Screwed {
    /// The part: position on the airframe.
    pub part: usize,
    /// What holds it.
    pub holder: usize,
    /// Sizes as printed: of the part, of its holder \[m\].
    pub sizes_m: [f64; 2],
    /// How they go together.
    pub fit: HoleFit,
    /// Where both are written.
    pub places: [Place; 2],
}

/// Parts on posts, and motors on their arms.
pub fn screwed(airframe: &Airframe, layout: &Layout) -> Vec<Screwed> {
    let mut found = Vec::new();
    let mut told = vec![false; airframe.parts.len()];
    for item in &layout.items {
        if std::mem::replace(&mut told[item.part], true) {
            continue;
        }
        found.extend(one(airframe, item));
    }
    found
}

fn one(airframe: &Airframe, item: &Item) -> Option<Screwed> {
    let sheet = |at: usize| airframe.parts[at].part.as_deref();
    let part = sheet(item.part)?;
    let id = &airframe.parts[item.part].id.value;
    let place = airframe.place(id).map(|place| &place.facet);
    let (holder, theirs) = if part.motor.is_some() {
        let holder = airframe
            .found()
            .find(|(_, _, part)| part.frame.is_some())?
            .0;
        (holder, named(sheet(holder)?, "motors")?)
    } else if let Some((_, seat)) = place
        .and_then(|it| it.seat.as_ref())
        .and_then(|seat| seat.split_once('.'))
    {
        let holder = item.holder?;
        let seats = &sheet(holder)?.seats;
        let seat = seats.iter().find(|it| it.name.value == seat)?;
        (
            holder,
            named(sheet(holder)?, &seat.facet.holes.as_ref()?.value)?,
        )
    } else {
        // On the same posts as the part below.
        place.and_then(|it| it.standoff.as_ref())?;
        let holder = item.holder?;
        (holder, sheet(holder)?.holes.first()?)
    };
    let own = part.holes.first()?;
    let yaw = if part.motor.is_some() {
        0.0
    } else {
        place
            .and_then(|it| it.yaw.as_ref())
            .map_or(0.0, |yaw| yaw.quantity.value.in_radians())
    };
    Some(Screwed {
        part: item.part,
        holder,
        sizes_m: [size_m(&own.facet)?, size_m(&theirs.facet)?],
        fit: meets(&own.facet, &theirs.facet, yaw)?,
        places: [own.facet.place, theirs.facet.place],
    })
}

fn named<'a>(part: &'a Part, name: &str) -> Option<&'a Named<Holes>> {
    part.holes.iter().find(|holes| holes.name.value == name)
}

fn size_m(holes: &Holes) -> Option<f64> {
    metres(&holes.square).or(metres(&holes.circle))
}

/// How the holes of a part that is turned by `yaw` meet those of its holder; none where a size is missing.
pub fn meets(own: &Holes, theirs: &Holes, yaw: f64) -> Option<HoleFit> {
    let thread = own.thread.or(theirs.thread).map(|thread| thread.value);
    let screw_m = theirs
        .thread
        .map(|it| diameter_m(it.value))
        .or(thread.map(diameter_m));
    let hole_m = metres(&own.diameter).or(thread.map(clear_hole_m));
    if let (Some(screw_m), Some(hole_m)) = (screw_m, hole_m)
        && screw_m > hole_m + 1e-6
    {
        return Some(HoleFit::TooThick { screw_m, hole_m });
    }
    let slot_m = [own, theirs]
        .iter()
        .filter_map(|holes| metres(&holes.slot))
        .sum::<f64>();
    let play_m = 0.5 * (hole_m.unwrap_or(0.0) - screw_m.unwrap_or(0.0)).max(0.0) + 0.5 * slot_m;
    let count = |holes: &Holes| holes.count.map_or(4, |count| count.value);
    let by_m = match (
        metres(&own.square),
        metres(&theirs.square),
        metres(&own.circle),
        metres(&theirs.circle),
    ) {
        (Some(own_m), Some(theirs_m), _, _) => {
            let turned = yaw + angle(&own.turned) - angle(&theirs.turned);
            let by = (turned + 0.5 * FRAC_PI_2).rem_euclid(FRAC_PI_2) - 0.5 * FRAC_PI_2;
            if by.abs() > TURNED {
                return Some(HoleFit::Turned { by });
            }
            // Each corner is off by half the difference along both sides.
            (own_m - theirs_m).abs() / SQRT_2
        }
        (_, _, Some(own_m), Some(theirs_m)) if count(own) == count(theirs) => {
            0.5 * (own_m - theirs_m).abs()
        }
        (None, _, None, _) | (_, None, _, None) => return None,
        _ => return Some(HoleFit::OtherKind),
    };
    // A drawing is good to two hundredths.
    Some(if by_m <= play_m + 2e-5 {
        HoleFit::Meets {
            play_m: play_m - by_m,
        }
    } else {
        HoleFit::Off { by_m, play_m }
    })
}

/// Turned by less than this the holes still meet \[rad\].
const TURNED: f64 = 0.035;

/// A screw that goes through an arm into a part.
#[derive(Debug, Clone, PartialEq)]
pub struct ScrewLength {
    /// The part: position on the airframe.
    pub part: usize,
    /// Under the head \[m\].
    pub length_m: f64,
    /// What it goes through \[m\].
    pub through_m: f64,
    /// How deep it may go into the part \[m\], where the sheet says.
    pub depth_m: Option<f64>,
    /// Thread \[m\].
    pub thread_m: f64,
    /// Where it is written.
    pub place: Place,
}

impl ScrewLength {
    /// How far it goes into the part \[m\].
    pub fn bite_m(&self) -> f64 {
        self.length_m - self.through_m
    }
}

/// Screws of motors, where the builder wrote their length and the frame the thickness of its arms.
pub fn screw_lengths(airframe: &Airframe) -> Vec<ScrewLength> {
    let frame = airframe
        .found()
        .find_map(|(_, _, part)| part.frame.as_ref());
    let through_m = frame.and_then(|frame| metres(&frame.arm_thickness));
    let one = |(part, fitted, sheet): (usize, &craft::Fitted, &Part)| {
        sheet.motor.as_ref()?;
        let place = &airframe.place(&fitted.id.value)?.facet;
        Some(ScrewLength {
            part,
            length_m: metres(&place.screw_length)?,
            through_m: through_m?,
            depth_m: sheet
                .holes
                .first()
                .and_then(|holes| metres(&holes.facet.depth)),
            thread_m: diameter_m(place.screw?.value),
            place: place.screw_length?.place,
        })
    };
    airframe.found().filter_map(one).collect()
}
