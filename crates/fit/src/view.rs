//! How much of a camera's picture propellers and the craft itself take away.

use std::f64::consts::{PI, TAU};

use parry3d_f64::math::Vector;
use parry3d_f64::query::Ray;

use crate::pose::Pose;
use crate::solid::Solid;

/// How a lens maps directions to the picture. Small lenses lie between the two: report both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lens {
    /// Straight lines stay straight; the tangent of the angle grows evenly.
    Rectilinear {
        /// Full angle across \[rad\], below π.
        across: f64,
        /// Full angle up and down \[rad\], below π.
        upright: f64,
    },
    /// The angle itself grows evenly.
    Equidistant {
        /// Full angle across \[rad\], at most 2π.
        across: f64,
        /// Full angle up and down \[rad\], at most 2π.
        upright: f64,
    },
}

/// A camera in its place, looking along its own x; a tilt up is a pitch below zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Place of the lens and its turn.
    pub pose: Pose,
    /// How it maps.
    pub lens: Lens,
}

/// A flat disc, as a turning propeller is seen; it faces its own z.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disc {
    /// Radius \[m\].
    pub radius_m: f64,
    /// Centre and turn.
    pub pose: Pose,
}

/// Rays across the picture, and as many up and down.
pub const RAYS: usize = 500;

/// Share of the picture that discs and solids block, from 0 to 1; nothing where the lens has no such angles.
///
/// One ray in the middle of each of [`RAYS`]² cells, always the same ones. An edge across the picture leaves out half a cell at most, and the
/// errors of the cells along it cancel: 2e-4 for a share made of a few smooth edges (checked against four times as many rays). Validated:
/// `view-*`, within 0.001.
pub fn blocked_share(camera: &Camera, discs: &[Disc], solids: &[Solid]) -> Option<f64> {
    blocked_by_rays(camera, discs, solids, RAYS)
}

/// As [`blocked_share`] with fewer rays, `rays` across and as many up and down: good to about 1/`rays` of the picture for each long edge,
/// and far better where several edges cross it.
pub fn roughly_blocked_share(
    camera: &Camera,
    discs: &[Disc],
    solids: &[Solid],
    rays: usize,
) -> Option<f64> {
    blocked_by_rays(camera, discs, solids, rays.clamp(8, RAYS))
}

/// Smallest angle between where the camera looks and the rim of a disc \[rad\].
///
/// Looked for at a thousand points of the rim and then between the best neighbours, to 1e-6 rad. Validated: `rim-*`.
pub fn smallest_rim_angle(camera: &Camera, disc: &Disc) -> f64 {
    let (eye, look) = (
        Vector::from(camera.pose.centre_m),
        camera.pose.turn.matrix().x_axis,
    );
    let (centre, turn) = (Vector::from(disc.pose.centre_m), disc.pose.turn.matrix());
    let angle = |around: f64| {
        let rim =
            centre + disc.radius_m * (turn.x_axis * around.cos() + turn.y_axis * around.sin());
        off_axis(look, rim - eye)
    };
    let step = TAU / 1000.0;
    let best = (0..1000)
        .map(|index| f64::from(index) * step)
        .min_by(|a, b| angle(*a).total_cmp(&angle(*b)))
        .unwrap_or(0.0);
    angle(lowest(angle, best - step, best + step))
}

fn off_axis(look: Vector, way: Vector) -> f64 {
    look.cross(way).length().atan2(look.dot(way))
}

/// Golden section.
fn lowest(value: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let share = (5f64.sqrt() - 1.0) / 2.0;
    for _ in 0..40 {
        let step = share * (high - low);
        match value(high - step) < value(low + step) {
            true => high = low + step,
            false => low = high - step,
        }
    }
    (low + high) / 2.0
}

fn blocked_by_rays(camera: &Camera, discs: &[Disc], solids: &[Solid], rays: usize) -> Option<f64> {
    camera.lens.is_possible().then_some(())?;
    camera.pose.is_finite().then_some(())?;
    let eye = Vector::from(camera.pose.centre_m);
    let turn = camera.pose.turn.matrix();
    let discs: Vec<Seen> = discs.iter().map(|disc| Seen::from(disc, eye)).collect();
    let middle = |index: usize| (2 * index + 1) as f64 / rays as f64 - 1.0;
    let blocked = (0..rays * rays)
        .filter(|cell| {
            let way = camera.lens.way(middle(cell % rays), middle(cell / rays));
            let way = turn * way;
            discs.iter().any(|disc| disc.is_hit(way)) || solids.iter().any(|s| is_hit(s, eye, way))
        })
        .count();
    Some(blocked as f64 / (rays * rays) as f64)
}

impl Lens {
    fn is_possible(&self) -> bool {
        let (angles, most) = match *self {
            Self::Rectilinear { across, upright } => ([across, upright], PI - 1e-6),
            Self::Equidistant { across, upright } => ([across, upright], TAU),
        };
        angles.iter().all(|angle| *angle > 0.0 && *angle <= most)
    }

    /// The direction of a place in the picture, u to the right and v downwards from −1 to 1; x is forward.
    fn way(&self, u: f64, v: f64) -> Vector {
        match *self {
            Self::Rectilinear { across, upright } => {
                Vector::new(1.0, -u * (across / 2.0).tan(), -v * (upright / 2.0).tan())
            }
            Self::Equidistant { across, upright } => {
                let (a, b) = (u * across / 2.0, v * upright / 2.0);
                let off = a.hypot(b);
                let share = if off > 0.0 { off.sin() / off } else { 1.0 };
                Vector::new(off.cos(), -a * share, -b * share)
            }
        }
    }
}

/// A disc as seen from one place.
struct Seen {
    /// From the eye to the centre.
    centre: Vector,
    normal: Vector,
    radius: f64,
}

impl Seen {
    fn from(disc: &Disc, eye: Vector) -> Self {
        Self {
            centre: Vector::from(disc.pose.centre_m) - eye,
            normal: disc.pose.turn.matrix().z_axis,
            radius: disc.radius_m,
        }
    }

    fn is_hit(&self, way: Vector) -> bool {
        let along = self.centre.dot(self.normal) / way.dot(self.normal);
        along > 0.0 && along.is_finite() && (along * way).distance(self.centre) <= self.radius
    }
}

fn is_hit(solid: &Solid, eye: Vector, way: Vector) -> bool {
    let ray = Ray::new(1e3 * eye, way.normalize());
    solid.shape().intersects_ray(solid.at(), &ray, FAR_MM)
}

/// Farther away nothing is part of a craft.
const FAR_MM: f64 = 1e5;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Turn;

    #[test]
    fn checked_four_times_as_many_rays_move_the_share_by_less_than_promised() {
        for tilt in [-60.0_f64, -35.0, -20.0, 0.0] {
            for lens in [
                Lens::Rectilinear {
                    across: 2.1,
                    upright: 1.6,
                },
                Lens::Equidistant {
                    across: 2.6,
                    upright: 1.9,
                },
            ] {
                let camera = Camera {
                    pose: Pose::turned([0.044, 0.0, 0.016], Turn::degrees(0.0, tilt, 0.0)),
                    lens,
                };
                let discs = [-1.0, 1.0].map(|side| Disc {
                    radius_m: 0.0381,
                    pose: Pose::at([0.062, side * 0.062, 0.010]),
                });
                let coarse = blocked_by_rays(&camera, &discs, &[], RAYS).unwrap();
                let fine = blocked_by_rays(&camera, &discs, &[], 2 * RAYS).unwrap();
                assert!(
                    (coarse - fine).abs() < 2e-4,
                    "{tilt} {lens:?}: {coarse} {fine}"
                );
            }
        }
    }

    /// At 100 mm the picture of a lens of 90° is 200 mm wide: a plate of 20 × 10 mm is 1/200 of it, a disc of 15 mm π·15²/200².
    #[test]
    fn checked_plates_across_the_view_closed_form() {
        let camera = Camera {
            pose: Pose::default(),
            lens: Lens::Rectilinear {
                across: PI / 2.0,
                upright: PI / 2.0,
            },
        };
        let plate = Solid::block([0.001, 0.020, 0.010], Pose::at([0.1005, 0.012, -0.02])).unwrap();
        let share = blocked_share(&camera, &[], &[plate]).unwrap();
        assert!((share - 0.005).abs() < 2e-4, "{share}");
        let facing = Turn::degrees(0.0, 90.0, 0.0);
        let disc = |x: f64| Disc {
            radius_m: 0.015,
            pose: Pose::turned([x, 0.02, 0.03], facing),
        };
        let share = blocked_share(&camera, &[disc(0.1)], &[]).unwrap();
        assert!((share - PI * 225.0 / 40_000.0).abs() < 2e-4, "{share}");
        assert_eq!(blocked_share(&camera, &[disc(-0.1)], &[]), Some(0.0));
    }

    #[test]
    fn checked_lenses_that_cannot_be_have_no_share() {
        for angle in [0.0, -1.0, 3.2, f64::NAN, f64::INFINITY] {
            let camera = Camera {
                pose: Pose::default(),
                lens: Lens::Rectilinear {
                    across: angle,
                    upright: 1.0,
                },
            };
            assert_eq!(blocked_share(&camera, &[], &[]), None);
        }
    }
}
