//! Where things are: the shape of a part, the seats a frame offers, holes, openings, places, and
//! what the settings do with a turn.
//!
//! Axes of a craft: x forward, y left, z up; the origin is the middle of the motors at the height
//! of the top of the bottom plate. Axes of a part: the same, from the spot it is mounted by: the
//! middle of its underside for boards, packs and motors, the tilt axis for a camera.

use crate::Stated;
use crate::sheet::{Definite, Rated, choices, tables};
use quantity::{Angle, Frequency, Length, Ratio, Time};

choices! {
    /// The form of a solid.
    SolidShape {
        /// A box with edges along the part's axes.
        Box "box";
        /// A cylinder along the part's z.
        Cylinder "cylinder";
        /// A circuit board: a plate with its tallest parts above and below.
        Board "board";
        /// A hood: a box of thin walls, open below and where `open` says.
        Hood "hood";
        /// The surface in an STL file.
        Mesh "mesh";
    }
    /// What a solid is made of, where that matters to its neighbours.
    Material {
        /// Lets radio through and does not conduct.
        Plastic "plastic";
        /// Conducts, and stops radio.
        Carbon "carbon";
        /// Conducts.
        Metal "metal";
        /// Bare joints and parts: must not touch anything that conducts.
        Circuit "circuit";
        /// Gives way: foam, rubber, tape, cells in their sleeve.
        Soft "soft";
        /// The part of an antenna that radiates.
        Aerial "aerial";
    }
    /// What one step in a mesh file is.
    MeshUnit {
        /// Millimetres, as nearly all are.
        Millimetre "mm";
        /// Metres.
        Metre "m";
    }
    /// A direction on the part.
    Facing {
        /// Along x.
        Front "front";
        /// Against x.
        Back "back";
        /// Along y.
        Left "left";
        /// Against y.
        Right "right";
        /// Along z.
        Up "up";
        /// Against z.
        Down "down";
    }
    /// What an opening is for.
    OpeningKind {
        /// The socket for a USB cable.
        Usb "usb";
        /// A button that is pressed.
        Button "button";
        /// A slot for a memory card.
        Card "card";
        /// A plug that is pulled in the field, such as the battery's.
        Plug "plug";
        /// Wires leave here and bend away.
        Wires "wires";
    }
    /// How a seat holds a part.
    SeatKind {
        /// Posts or screws through holes in the corners of a board.
        Posts "posts";
        /// A floor that a pack lies on, under a strap.
        Tray "tray";
        /// Two walls with a camera between them, which turns about their screws.
        Cheeks "cheeks";
        /// A flat spot for tape or glue.
        Flat "flat";
    }
    /// A screw by its thread.
    Thread {
        /// 1.0 mm.
        M1 "M1";
        /// 1.2 mm.
        M12 "M1.2";
        /// 1.4 mm.
        M14 "M1.4";
        /// 1.6 mm.
        M16 "M1.6";
        /// 2.0 mm.
        M2 "M2";
        /// 2.5 mm.
        M25 "M2.5";
        /// 3.0 mm.
        M3 "M3";
    }
    /// Which way a propeller turns, seen from above.
    Turning {
        /// Against the clock.
        Left "left";
        /// With the clock.
        Right "right";
    }
    /// How the front propellers turn.
    TurningPattern {
        /// Their front blades move towards the middle of the craft.
        Inward "inward";
        /// Their front blades move away from it.
        Outward "outward";
    }
    /// On which side of its arm a motor stands.
    MotorSide {
        /// Above, blowing past the arm.
        Above "above";
        /// Below.
        Below "below";
    }
    /// A filter of the rate loop.
    FilterKind {
        /// Low-pass of the first order.
        FirstOrder "first-order";
        /// Butterworth low-pass of the second order.
        SecondOrder "butterworth-2";
        /// Notch.
        Notch "notch";
    }
    /// What a filter works on.
    FilterPath {
        /// Everything that comes from the gyro.
        Gyro "gyro";
        /// Only the derivative part.
        Derivative "derivative";
    }
}

tables! {
    /// A piece of the part's shape.
    "solid" [named] Solid {
        /// Its form.
        shape ! required: SolidShape;
        /// Size front to back; for a board the outline's if left out.
        length: Definite<Length>;
        /// Size across; for a board the outline's if left out.
        width: Definite<Length>;
        /// Size from below to above.
        height: Definite<Length>;
        /// Of a cylinder.
        diameter: Definite<Length>;
        /// Of a cylinder: the hole along it, for what it weighs.
        bore: Definite<Length>;
        /// Of a board: the plate alone; 1.0 mm if left out.
        thickness: Definite<Length>;
        /// Of a board: its tallest part above the plate.
        above: Definite<Length>;
        /// Of a board: its tallest part below the plate.
        below: Definite<Length>;
        /// Of a hood: how thick its walls are; 0.8 mm if left out.
        wall: Definite<Length>;
        /// Of a hood: sides without a wall besides the one below.
        open: Vec<Stated<String>>;
        /// The file of a mesh, in the folder of the bench or beside the sheet.
        mesh: String;
        /// What one step in the mesh is; millimetres if left out.
        mesh_unit: MeshUnit;
        /// What it is made of; plastic if left out, circuit for a board.
        material: Material;
        /// Its middle forward of the part's origin.
        x: Definite<Length>;
        /// Its middle to the left.
        y: Definite<Length>;
        /// Its middle above; if left out it stands on the origin.
        z: Definite<Length>;
        /// Turned about x, left side up.
        roll: Definite<Angle>;
        /// Turned about y, nose down.
        pitch: Definite<Angle>;
        /// Turned about z, to the left.
        yaw: Definite<Angle>;
    }

    /// A set of screw holes.
    "holes" [named] Holes {
        /// Side of the square they stand in, middle to middle.
        square: Definite<Length>;
        /// Diameter of the circle they stand on, middle to middle.
        circle: Definite<Length>;
        /// How many; four if left out.
        count: u32;
        /// The screw they are made for.
        thread: Thread;
        /// Their diameter, without grommet.
        diameter: Definite<Length>;
        /// How much longer than wide they are.
        slot: Definite<Length>;
        /// Turned about z; 45° for a square that stands on its corner.
        turned: Definite<Angle>;
        /// How deep a screw may go before it touches something; for a motor, its winding.
        depth: Definite<Length>;
    }

    /// A spot where another part is put.
    "seat" [named] Seat {
        /// How it holds the part.
        kind ! required: SeatKind;
        /// Middle of its floor, forward.
        x: Definite<Length>;
        /// Middle of its floor, to the left.
        y: Definite<Length>;
        /// Its floor, upward; of cheeks, their screws.
        z: Definite<Length>;
        /// Which way it faces; up if left out, down for a tray under the frame.
        faces: Facing;
        /// Room front to back.
        length: Definite<Length>;
        /// Room across; of cheeks, between them.
        width: Definite<Length>;
        /// Room above its floor.
        height: Definite<Length>;
        /// The holes of this part that it uses.
        holes: String;
        /// Of cheeks: how far a camera can be tilted up, least to most.
        tilt: Rated<Angle>;
        /// How far a part on it can be moved forward or backward, either way.
        slide: Definite<Length>;
    }

    /// Something that hands must reach, or wires leave by.
    "opening" [named] Opening {
        /// What it is for.
        kind ! required: OpeningKind;
        /// Where it is, forward.
        x: Definite<Length>;
        /// Where it is, to the left.
        y: Definite<Length>;
        /// Where it is, upward.
        z: Definite<Length>;
        /// Which way it opens.
        faces ! required: Facing;
        /// How far straight out must be clear; by its kind if left out.
        room: Definite<Length>;
        /// How wide that must be; by its kind if left out.
        across: Definite<Length>;
    }

    /// A motor's place on the frame; for a square, `diagonal` of the frame says it all.
    "rotor" [named] RotorPlace {
        /// Forward of the middle.
        x ! required: Definite<Length>;
        /// To the left of the middle.
        y ! required: Definite<Length>;
        /// Foot of the motor above the bottom plate's top.
        z: Definite<Length>;
        /// Which way its propeller turns.
        turning: Turning;
    }

    /// What the camera sees.
    "view" View {
        /// Across the picture.
        horizontal ! required: Definite<Angle>;
        /// From top to bottom of the picture.
        vertical ! required: Definite<Angle>;
        /// Its lens forward of the part's origin.
        x: Definite<Length>;
        /// Its lens above the part's origin.
        z: Definite<Length>;
        /// Its body where the cheeks hold it.
        width: Definite<Length>;
    }

    /// Where a part is. `board = "frame.stack"` is short for `board = { seat = "frame.stack" }`.
    "places" [named] PlaceTable {
        /// A part and its seat: `frame.stack`.
        seat: String;
        /// The part below it on the same posts.
        above: String;
        /// Length of the posts or spacers between the two plates.
        standoff: Length, ~ CALLIPER;
        /// Forward of the middle; on a seat, of the seat's middle.
        x: Length, ~ PLACE;
        /// To the left of the middle; on a seat, of the seat's middle.
        y: Length, ~ PLACE;
        /// Above the bottom plate; on a seat, above its floor.
        z: Length, ~ PLACE;
        /// Turned about x, left side up.
        roll: Angle, ~ TURN;
        /// Turned about y, nose down.
        pitch: Angle, ~ TURN;
        /// Turned about z, to the left.
        yaw: Angle, ~ TURN;
        /// Nose up.
        tilt: Angle, ~ TURN;
        /// The arm it lies on, by the name of its motor: `front left`. Then `x` is from the middle of the arm towards the motor.
        arm: String;
        /// One at each motor, or shared out among them.
        at_motors: bool;
        /// The part that covers it when the craft is closed.
        under: String;
        /// The screw that holds it.
        screw: Thread;
        /// Its length under the head.
        screw_length: Definite<Length>;
    }

    /// What the rate loop does with a turn.
    "rate_loop" RateLoop {
        /// Delay besides filters and motors: sampling, calculation, the link to the drivers.
        delay: Time, ~ DELAY;
        /// Whether the settings make thrust proportional to command.
        thrust_linear: bool;
        /// Where the loop's gain passes one in roll, if you know it; by class if left out.
        crossover: Definite<Frequency>;
    }

    /// Gains of one axis, `roll`, `pitch` or `yaw`, in shares of full command.
    "gains" [named] AxisGains {
        /// For each rad/s of error.
        p ! required: Definite<Ratio>;
        /// For each rad of error summed up.
        i: Definite<Ratio>;
        /// For each rad/s² of turning.
        d: Definite<Ratio>;
    }

    /// A filter in the loop, by a name of your choice.
    "filter" [named] LoopFilter {
        /// What sort it is.
        kind ! required: FilterKind;
        /// Where it begins, or its middle.
        frequency ! required: Definite<Frequency>;
        /// Quality of a notch.
        q: Definite<Ratio>;
        /// What it works on; the gyro if left out.
        path: FilterPath;
    }
}

/// What the motors of a frame are called, from the front right one round to the left; none where its sheet does not say how many there are.
pub fn motor_names(frame: &crate::Part) -> Vec<String> {
    if !frame.rotors.is_empty() {
        return frame
            .rotors
            .iter()
            .map(|rotor| rotor.name.value.clone())
            .collect();
    }
    match frame.frame.as_ref().and_then(|frame| frame.rotors) {
        Some(count) if count.value == 4 => ["front right", "front left", "rear left", "rear right"]
            .map(str::to_owned)
            .into(),
        Some(count) => (1..=count.value.min(MOST_ROTORS))
            .map(|at| format!("rotor {at}"))
            .collect(),
        None => Vec::new(),
    }
}

/// Rotors of a craft at most.
pub const MOST_ROTORS: u32 = 12;

impl PlaceTable {
    /// A place that says nothing yet, written here.
    pub fn empty(place: crate::Place) -> Self {
        Self {
            place,
            seat: None,
            above: None,
            standoff: None,
            x: None,
            y: None,
            z: None,
            roll: None,
            pitch: None,
            yaw: None,
            tilt: None,
            arm: None,
            at_motors: None,
            under: None,
            screw: None,
            screw_length: None,
        }
    }
}

/// What the settings do with a turn: loop, gains, filters.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tune {
    /// The loop as a whole.
    pub rate_loop: Option<RateLoop>,
    /// Gains by axis.
    pub gains: Vec<crate::part::Named<AxisGains>>,
    /// Filters.
    pub filters: Vec<crate::part::Named<LoopFilter>>,
}

impl Tune {
    /// With the refit's word over the craft's, name by name.
    pub(crate) fn after(&self, refit: &Self) -> Self {
        Self {
            rate_loop: refit.rate_loop.clone().or_else(|| self.rate_loop.clone()),
            gains: overlaid(&self.gains, &refit.gains),
            filters: overlaid(&self.filters, &refit.filters),
        }
    }
}

/// The old ones that are not written anew, then the new ones.
pub(crate) fn overlaid<T: Clone>(
    old: &[crate::part::Named<T>],
    new: &[crate::part::Named<T>],
) -> Vec<crate::part::Named<T>> {
    let kept = old
        .iter()
        .filter(|old| !new.iter().any(|new| new.name.value == old.name.value));
    kept.chain(new).cloned().collect()
}

/// A mesh file of the bench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeshFile {
    /// Its path in the bench's folder.
    pub path: String,
    /// Its bytes; empty where it was too large to read.
    pub bytes: std::sync::Arc<[u8]>,
    /// How large it is on the disk \[bytes\].
    pub size: u64,
}
