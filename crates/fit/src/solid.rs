//! Solids in their places: boxes, cylinders and meshes.

use std::sync::Arc;

use parry3d_f64::bounding_volume::Aabb;
use parry3d_f64::math::{Pose3, Rot3, Vector};
use parry3d_f64::shape::{Cuboid, Cylinder, Shape};

use crate::mesh::{FARTHEST_M, Mesh};
use crate::pose::{Pose, Turn};

/// Smallest edge, radius or height of a solid \[m\].
pub const SMALLEST_M: f64 = 1e-6;

/// Why there is no such solid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum SolidFault {
    /// Smaller than [`SMALLEST_M`], larger than 10 m or not a number.
    #[error("a size is not between 1 µm and 10 m")]
    Size,
    /// Farther than 10 m from the origin, or not a number.
    #[error("the place is more than 10 m away or not a number")]
    Place,
}

/// A solid in its place, ready for distances and rays.
#[derive(Debug, Clone)]
pub struct Solid {
    form: Form,
    /// In millimetres; of the library's form, whose cylinders stand along y.
    at: Pose3,
}

#[derive(Debug, Clone)]
enum Form {
    Box(Cuboid),
    Cylinder(Cylinder),
    Mesh(Arc<Mesh>),
}

impl Solid {
    /// A box of these edges along its own x, y and z \[m\].
    pub fn block(size_m: [f64; 3], pose: Pose) -> Result<Self, SolidFault> {
        check(&size_m, &pose)?;
        Ok(Self {
            form: Form::Box(Cuboid::new(500.0 * Vector::from(size_m))),
            at: pose.in_millimetres(),
        })
    }

    /// A cylinder along its own z; low and wide it is the disc that a propeller sweeps \[m\].
    pub fn cylinder(radius_m: f64, height_m: f64, pose: Pose) -> Result<Self, SolidFault> {
        check(&[radius_m, height_m], &pose)?;
        // The library's y comes to lie along our z.
        let upright = Pose3::from_rotation(Rot3::from_rotation_x(std::f64::consts::FRAC_PI_2));
        Ok(Self {
            form: Form::Cylinder(Cylinder::new(500.0 * height_m, 1e3 * radius_m)),
            at: pose.in_millimetres() * upright,
        })
    }

    /// A mesh; its file's origin comes to lie at the pose's place.
    pub fn mesh(mesh: Arc<Mesh>, pose: Pose) -> Result<Self, SolidFault> {
        check(&[], &pose)?;
        Ok(Self {
            form: Form::Mesh(mesh),
            at: pose.in_millimetres(),
        })
    }

    /// The same solid turned about a point of the craft \[m\] and then moved \[m\]; a mesh is not built anew.
    pub fn moved(&self, by_m: [f64; 3], turn: Turn, about_m: [f64; 3]) -> Self {
        if turn == Turn::NONE {
            let mut moved = self.clone();
            moved.at.translation += 1e3 * Vector::from(by_m);
            return moved;
        }
        let about = Pose3::from_translation(1e3 * Vector::from(about_m));
        let turned = Pose::turned([0.0; 3], turn).in_millimetres();
        let shift = Pose3::from_translation(1e3 * Vector::from(by_m));
        Self {
            form: self.form.clone(),
            at: shift * about * turned * about.inverse() * self.at,
        }
    }

    /// Whether it is a surface of triangles.
    pub fn is_mesh(&self) -> bool {
        matches!(self.form, Form::Mesh(_))
    }

    /// Where its own origin lies \[m\].
    pub fn centre_m(&self) -> [f64; 3] {
        (1e-3 * self.at.translation).to_array()
    }

    /// Lowest and highest corner of the box along the axes that holds it \[m\].
    pub fn extent_m(&self) -> [[f64; 3]; 2] {
        let around: Aabb = self.shape().compute_aabb(&self.at);
        [around.mins, around.maxs].map(|corner| (1e-3 * corner).to_array())
    }

    /// Radius and height of a cylinder \[mm\].
    pub(crate) fn round(&self) -> Option<(f64, f64)> {
        match &self.form {
            Form::Cylinder(cylinder) => Some((cylinder.radius, 2.0 * cylinder.half_height)),
            Form::Box(_) | Form::Mesh(_) => None,
        }
    }

    pub(crate) fn as_mesh(&self) -> Option<&Mesh> {
        match &self.form {
            Form::Mesh(mesh) => Some(mesh),
            Form::Box(_) | Form::Cylinder(_) => None,
        }
    }

    pub(crate) fn shape(&self) -> &dyn Shape {
        match &self.form {
            Form::Box(cuboid) => cuboid,
            Form::Cylinder(cylinder) => cylinder,
            Form::Mesh(mesh) => mesh.shape(),
        }
    }

    pub(crate) fn at(&self) -> &Pose3 {
        &self.at
    }

    /// Some point of the solid \[mm\].
    pub(crate) fn one_point(&self) -> Vector {
        match &self.form {
            Form::Mesh(mesh) => self.at.transform_point(mesh.surface().vertices()[0]),
            Form::Box(_) | Form::Cylinder(_) => self.at.translation,
        }
    }

    /// Whether a point lies in the space inside a mesh that encloses one \[mm\].
    pub(crate) fn hollow_holds(&self, point: Vector) -> bool {
        let Some(mesh) = self.as_mesh().filter(|mesh| mesh.properties().is_ok()) else {
            return false;
        };
        let inside = self.at.inverse_transform_point(point);
        mesh.surface().local_aabb().contains_local_point(inside)
            && mesh.shape().contains_local_point(inside)
    }
}

fn check(sizes_m: &[f64], pose: &Pose) -> Result<(), SolidFault> {
    if !sizes_m
        .iter()
        .all(|x| (SMALLEST_M..=FARTHEST_M).contains(x))
    {
        return Err(SolidFault::Size);
    }
    match pose.is_finite() && pose.centre_m.iter().all(|x| x.abs() <= FARTHEST_M) {
        true => Ok(()),
        false => Err(SolidFault::Place),
    }
}
