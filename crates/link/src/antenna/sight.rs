//! Two antennas that look at each other, one of them on a craft that rolls, pitches and yaws.
//!
//! World north-east-down, body forward-right-down, R = Rz(yaw)·Ry(pitch)·Rx(roll): a pitch below zero puts the nose down.

use super::direction::{Vector, across, angle, cross, difference, dot, length, unit};
use super::{LongAxis, NULL_FLOOR_DB, Pattern, Ray};
use crate::polarisation::{Loss, loss_db, over_all_tilts};

/// How a craft is turned; zero looks north with its top up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Attitude {
    /// Right side down \[rad\].
    pub roll_rad: f64,
    /// Nose up \[rad\].
    pub pitch_rad: f64,
    /// Nose to the right \[rad\].
    pub yaw_rad: f64,
}

impl Attitude {
    /// A direction in the body, seen from the world.
    pub fn to_world(&self, body: [f64; 3]) -> [f64; 3] {
        let (sr, cr) = self.roll_rad.sin_cos();
        let (sp, cp) = self.pitch_rad.sin_cos();
        let (sy, cy) = self.yaw_rad.sin_cos();
        let [x, y, z] = body;
        let (y, z) = (cr * y - sr * z, sr * y + cr * z);
        let (x, z) = (cp * x + sp * z, cp * z - sp * x);
        [cy * x - sy * y, sy * x + cy * y, z]
    }
}

/// An antenna with the way it is mounted, in the frame of what carries it.
#[derive(Debug, Clone, PartialEq)]
pub struct Mounted {
    /// What it radiates.
    pub pattern: Pattern,
    /// Its axis; any length above zero. Up is (0, 0, −1).
    pub axis: [f64; 3],
    /// For a pattern that does not say: where its field, or the long axis of its ellipse, points. `None` where nobody knows.
    pub field: Option<[f64; 3]>,
}

/// How a craft and a ground station see each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sight {
    /// How far apart they are \[m\].
    pub range_m: f64,
    /// From the craft antenna's axis to the ground station \[rad\].
    pub theta_craft_rad: f64,
    /// From the ground antenna's axis to the craft \[rad\].
    pub theta_ground_rad: f64,
    /// Between both axes as they are seen along the ray, from 0 to π/2 \[rad\]; `None` where one is seen from its end.
    pub chi_rad: Option<f64>,
    /// What the craft sends that way.
    pub craft: Ray,
    /// What the ground antenna takes from there.
    pub ground: Ray,
    /// Lost between the two polarisations, over all tilts that can be; where the tilt is known all three are one. None is
    /// above [`NULL_FLOOR_DB`].
    pub polarisation: Loss,
}

impl Sight {
    /// Both gains less the polarisation's loss averaged over the tilts that can be \[dB\].
    pub fn gain_db(&self) -> f64 {
        self.craft.gain_dbi + self.ground.gain_dbi - self.polarisation.mean_db
    }
}

/// How an antenna on a turned craft and one on the ground see each other; places in the world \[m\]. `None` where both are in
/// one place or an axis has no length.
///
/// The tilt between two ellipses is known where both long axes are: along or across an axis, or stated with the mounting.
pub fn between(
    craft: &Mounted,
    attitude: Attitude,
    craft_m: [f64; 3],
    ground: &Mounted,
    ground_m: [f64; 3],
) -> Option<Sight> {
    let way = difference(ground_m, craft_m);
    let (range_m, ray) = (length(way), unit(way)?);
    let craft_axis = unit(attitude.to_world(craft.axis))?;
    let ground_axis = unit(ground.axis)?;
    let theta_craft_rad = angle(craft_axis, ray);
    let theta_ground_rad = angle(ground_axis, ray.map(|part| -part));
    let of_craft = craft.pattern.toward(theta_craft_rad);
    let of_ground = ground.pattern.toward(theta_ground_rad);
    let craft_field = craft.field.map(|field| attitude.to_world(field));
    let long_axes = (
        long_axis(of_craft.long_axis, craft_axis, craft_field, ray),
        long_axis(of_ground.long_axis, ground_axis, ground.field, ray),
    );
    let chi_rad = across(craft_axis, ray)
        .zip(across(ground_axis, ray))
        .map(|(one, other)| unsigned_angle(one, other));
    Some(Sight {
        range_m,
        theta_craft_rad,
        theta_ground_rad,
        chi_rad,
        craft: of_craft,
        ground: of_ground,
        polarisation: polarisation(&of_craft, &of_ground, long_axes),
    })
}

fn long_axis(lies: LongAxis, axis: Vector, field: Option<Vector>, ray: Vector) -> Option<Vector> {
    match lies {
        LongAxis::Along => across(axis, ray),
        LongAxis::Across => across(axis, ray).map(|seen| cross(ray, seen)),
        LongAxis::AsMounted => across(unit(field?)?, ray),
    }
}

fn polarisation(craft: &Ray, ground: &Ray, (one, other): (Option<Vector>, Option<Vector>)) -> Loss {
    let hands = craft.hand.with(ground.hand);
    let (craft_db, ground_db) = (craft.axial_ratio_db, ground.axial_ratio_db);
    let loss = match one.zip(other) {
        Some((one, other)) => {
            let known = loss_db(craft_db, ground_db, hands, unsigned_angle(one, other));
            Loss {
                best_db: known,
                mean_db: known,
                worst_db: known,
            }
        }
        None => over_all_tilts(craft_db, ground_db, hands),
    };
    Loss {
        best_db: loss.best_db.min(NULL_FLOOR_DB),
        mean_db: loss.mean_db.min(NULL_FLOOR_DB),
        worst_db: loss.worst_db.min(NULL_FLOOR_DB),
    }
}

/// Between two lines, which have no front: from 0 to π/2.
fn unsigned_angle(one: Vector, other: Vector) -> f64 {
    length(cross(one, other)).atan2(dot(one, other).abs())
}
