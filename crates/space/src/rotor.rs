//! Where the motors stand, what their propellers sweep and what stands around them.

use crate::shape::{metres, or_zero};
use crate::typical;
use craft::facet::{Frame, Surround};
use craft::space::{MOST_ROTORS, MotorSide, Turning, TurningPattern, motor_names};
use craft::{Airframe, Part};
use fit::{Pose, Turn};

/// One motor's place.
#[derive(Debug, Clone, PartialEq)]
pub struct Rotor {
    /// "front left".
    pub name: String,
    /// Foot of the motor \[m\].
    pub foot_m: [f64; 3],
    /// Whether the motor hangs below its arm.
    pub hangs: bool,
    /// Which way its propeller turns, seen from above.
    pub turning: Turning,
}

impl Rotor {
    /// The middle of its arm, with x towards the motor.
    pub fn arm(&self) -> Pose {
        let [x, y, z] = self.foot_m;
        let turn = Turn {
            yaw: y.atan2(x),
            ..Turn::NONE
        };
        Pose::turned([0.5 * x, 0.5 * y, z], turn)
    }

    /// The pose of a motor that stands there.
    pub fn pose(&self) -> Pose {
        let roll = if self.hangs {
            std::f64::consts::PI
        } else {
            0.0
        };
        let turn = Turn { roll, ..Turn::NONE };
        Pose::turned(self.foot_m, turn)
    }
}

/// The rotors of an airframe; empty where no frame says where they are.
pub fn rotors(airframe: &Airframe) -> Vec<Rotor> {
    let frames = airframe
        .found()
        .filter_map(|(_, _, part)| Some((part, part.frame.as_ref()?)));
    let Some((part, frame)) = frames.into_iter().next() else {
        return Vec::new();
    };
    let hangs = frame.motor_side.map(|side| side.value) == Some(MotorSide::Below);
    if part.rotors.is_empty() {
        regular(part, frame, hangs)
    } else {
        written(part, frame, hangs)
    }
}

fn written(part: &Part, frame: &Frame, hangs: bool) -> Vec<Rotor> {
    let inward = is_inward(frame);
    let rotor = |place: &craft::part::Named<craft::space::RotorPlace>| {
        let (x, y) = (metres(&place.facet.x)?, metres(&place.facet.y)?);
        let z = metres(&place.facet.z).unwrap_or(or_zero(&frame.motor_height));
        Some(Rotor {
            name: place.name.value.clone(),
            foot_m: [x, y, z],
            hangs,
            turning: place
                .facet
                .turning
                .map_or(turning(x, y, inward), |turning| turning.value),
        })
    };
    part.rotors.iter().filter_map(rotor).collect()
}

/// Evenly on a circle, two in front.
fn regular(part: &Part, frame: &Frame, hangs: bool) -> Vec<Rotor> {
    let (Some(count), Some(diagonal_m)) = (frame.rotors, metres(&frame.diagonal)) else {
        return Vec::new();
    };
    let count = count.value;
    if !(3..=MOST_ROTORS).contains(&count) {
        return Vec::new();
    }
    let inward = is_inward(frame);
    let rotor = |(at, name): (u32, String)| {
        // From the front right one round to the left.
        let angle = std::f64::consts::TAU * (f64::from(at) - 0.5) / f64::from(count);
        let (x, y) = (
            0.5 * diagonal_m * angle.cos(),
            0.5 * diagonal_m * angle.sin(),
        );
        let even = if at.is_multiple_of(2) == inward {
            Turning::Left
        } else {
            Turning::Right
        };
        Rotor {
            name,
            foot_m: [x, y, or_zero(&frame.motor_height)],
            hangs,
            turning: even,
        }
    };
    (0..).zip(motor_names(part)).map(rotor).collect()
}

fn is_inward(frame: &Frame) -> bool {
    frame.turning.map(|turning| turning.value) != Some(TurningPattern::Outward)
}

/// Of four: the front right one turns left when the front blades move inward, and its neighbours the other way.
fn turning(x: f64, y: f64, inward: bool) -> Turning {
    let diagonal = (x > 0.0) == (y < 0.0);
    if diagonal == inward {
        Turning::Left
    } else {
        Turning::Right
    }
}

/// What a propeller sweeps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swept {
    /// Without flex \[m\].
    pub radius_m: f64,
    /// \[m\]
    pub height_m: f64,
}

/// The space that the blades of the craft's propellers sweep; none without a propeller.
pub fn swept(airframe: &Airframe) -> Option<Swept> {
    let mut propellers = airframe
        .found()
        .filter_map(|(_, _, part)| part.propeller.as_ref());
    let propeller = propellers.next()?;
    let diameter_m = metres(&propeller.diameter)?;
    let height_m = metres(&propeller.height).unwrap_or(typical::swept_height_m(diameter_m));
    Some(Swept {
        radius_m: 0.5 * diameter_m,
        height_m,
    })
}

/// The wall around each propeller, as the cylinder of its outer face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duct {
    /// Outer face \[m\].
    pub radius_m: f64,
    /// \[m\]
    pub height_m: f64,
    /// Middle of its height \[m\]; none: level with the propeller.
    pub middle_m: Option<f64>,
    /// Air between tip and wall \[m\].
    pub gap_m: f64,
}

/// The duct or guard of an airframe; none on an open frame.
pub fn duct(airframe: &Airframe) -> Option<Duct> {
    let mut frames = airframe
        .found()
        .filter_map(|(_, _, part)| part.frame.as_ref());
    let frame = frames.next()?;
    let surround = frame.surround.map(|surround| surround.value);
    if !matches!(surround, Some(Surround::Duct | Surround::Guard)) {
        return None;
    }
    let swept = swept(airframe)?;
    let gap_m = metres(&frame.duct_gap).unwrap_or(typical::DUCT_GAP_M);
    let wall_m = metres(&frame.duct_wall).unwrap_or(typical::DUCT_WALL_M);
    let usual_m = 2.0 * swept.radius_m * typical::DUCT_HEIGHT;
    let height_m = metres(&frame.duct_height).unwrap_or(usual_m);
    Some(Duct {
        radius_m: swept.radius_m + gap_m + wall_m,
        height_m,
        middle_m: metres(&frame.duct_foot).map(|foot| foot + 0.5 * height_m),
        gap_m,
    })
}
