//! Mass, balance point and inertia of parts and of everything together.
//!
//! Uniform density in every shape. Inertia is about the centre of mass, with the products below zero off the diagonal: I_xy = −∫xy dm.

use parry3d_f64::math::{Mat3, SymmetricEigen3, Vector};

use crate::mesh::MeshProperties;
use crate::pose::Turn;

/// What a part looks like to gravity, in its own axes about its own centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PartShape {
    /// A box of these edges along x, y and z \[m\].
    Box {
        /// Edges.
        size_m: [f64; 3],
    },
    /// A full cylinder along z.
    Cylinder {
        /// Outer radius.
        radius_m: f64,
        /// Along z.
        height_m: f64,
    },
    /// A hollow cylinder along z.
    Tube {
        /// Outer radius.
        outer_m: f64,
        /// Inner radius.
        inner_m: f64,
        /// Along z.
        height_m: f64,
    },
    /// A thin ring about z.
    Ring {
        /// Radius of the thread.
        radius_m: f64,
    },
    /// So small that only its place counts.
    Point,
    /// A closed mesh filled evenly; the part's centre is the origin of the mesh's file.
    Mesh(MeshProperties),
}

/// One part in its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Mass \[kg\].
    pub mass_kg: f64,
    /// Shape.
    pub shape: PartShape,
    /// Where its centre lies \[m\].
    pub centre_m: [f64; 3],
    /// How it is turned about its centre.
    pub turn: Turn,
}

/// Why a part has no mass properties.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PartFault {
    /// Zero, below zero or not a number.
    #[error("the mass must be above zero")]
    Mass,
    /// A size below zero or not a number.
    #[error("a size is below zero or not a number")]
    Size,
    /// The hole is as wide as the tube.
    #[error("the inner radius must be smaller than the outer one")]
    Wall,
    /// A place or an angle that is not a number.
    #[error("a place or an angle is not a number")]
    Place,
}

impl Part {
    /// Mass, centre and inertia in the axes of the craft.
    ///
    /// I' = R·I·Rᵀ. Validated: `box-*`, `cylinder-*`, `tube-*` and `turned-box-*`, within the printed digits.
    pub fn properties(&self) -> Result<MassProperties, PartFault> {
        self.check()?;
        Ok(self.unturned().turned(self.turn).shifted(self.centre_m))
    }

    fn check(&self) -> Result<(), PartFault> {
        let whole = |x: &f64| x.is_finite() && *x >= 0.0;
        if !(self.mass_kg.is_finite() && self.mass_kg > 0.0) {
            return Err(PartFault::Mass);
        }
        if !(self.turn.is_finite() && self.centre_m.iter().all(|x| x.is_finite())) {
            return Err(PartFault::Place);
        }
        if !self.sizes().iter().all(whole) {
            return Err(PartFault::Size);
        }
        match self.shape {
            PartShape::Tube {
                outer_m, inner_m, ..
            } if inner_m >= outer_m => Err(PartFault::Wall),
            _ => Ok(()),
        }
    }

    fn sizes(&self) -> [f64; 3] {
        match self.shape {
            PartShape::Box { size_m } => size_m,
            PartShape::Cylinder { radius_m, height_m } => [radius_m, height_m, 0.0],
            PartShape::Tube {
                outer_m,
                inner_m,
                height_m,
            } => [outer_m, inner_m, height_m],
            PartShape::Ring { radius_m } => [radius_m, 0.0, 0.0],
            PartShape::Point | PartShape::Mesh(_) => [0.0; 3],
        }
    }

    fn unturned(&self) -> MassProperties {
        let m = self.mass_kg;
        let about_own_centre = |x, y, z| MassProperties {
            mass_kg: m,
            centre_m: [0.0; 3],
            inertia_kg_m2: [[x, 0.0, 0.0], [0.0, y, 0.0], [0.0, 0.0, z]],
        };
        let round = |outer: f64, inner: f64, h: f64| {
            let squares = outer * outer + inner * inner;
            let across = m * (3.0 * squares + h * h) / 12.0;
            about_own_centre(across, across, m * squares / 2.0)
        };
        match self.shape {
            PartShape::Box { size_m: [a, b, c] } => {
                let [a, b, c] = [a * a, b * b, c * c];
                let k = m / 12.0;
                about_own_centre(k * (b + c), k * (a + c), k * (a + b))
            }
            PartShape::Cylinder { radius_m, height_m } => round(radius_m, 0.0, height_m),
            PartShape::Tube {
                outer_m,
                inner_m,
                height_m,
            } => round(outer_m, inner_m, height_m),
            PartShape::Ring { radius_m } => round(radius_m, radius_m, 0.0),
            PartShape::Point => about_own_centre(0.0, 0.0, 0.0),
            PartShape::Mesh(mesh) => mesh.of_mass(m),
        }
    }
}

/// Mass, centre of mass and inertia about that centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassProperties {
    /// Mass \[kg\].
    pub mass_kg: f64,
    /// Centre of mass \[m\].
    pub centre_m: [f64; 3],
    /// Symmetric tensor about the centre of mass, rows then columns \[kg·m²\].
    pub inertia_kg_m2: [[f64; 3]; 3],
}

impl MassProperties {
    /// Everything together; nothing where there is nothing.
    ///
    /// I = Σ \[I_k + m_k((d·d)1 − d·dᵀ)\], d from the common centre to that of part k: the parallel-axis theorem.
    /// Validated: `parts-a-*` to `parts-c-*`, three part lists summed by another program, within the printed digits.
    pub fn sum(parts: &[Self]) -> Option<Self> {
        let mass: f64 = parts.iter().map(|part| part.mass_kg).sum();
        if !(mass > 0.0 && mass.is_finite()) {
            return None;
        }
        let moment: Vector = parts
            .iter()
            .map(|part| part.mass_kg * Vector::from(part.centre_m))
            .sum();
        let centre = moment / mass;
        let inertia = parts
            .iter()
            .fold(Mat3::ZERO, |sum, part| sum + part.tensor_about(centre));
        Some(Self {
            mass_kg: mass,
            centre_m: centre.to_array(),
            inertia_kg_m2: rows(inertia),
        })
    }

    /// The same body moved.
    pub fn shifted(&self, by_m: [f64; 3]) -> Self {
        Self {
            centre_m: (Vector::from(self.centre_m) + Vector::from(by_m)).to_array(),
            ..*self
        }
    }

    /// The same body turned about the origin of its axes, which carries its centre along.
    pub fn turned(&self, turn: Turn) -> Self {
        let r = turn.matrix();
        Self {
            mass_kg: self.mass_kg,
            centre_m: (r * Vector::from(self.centre_m)).to_array(),
            inertia_kg_m2: rows(r * matrix(self.inertia_kg_m2) * r.transpose()),
        }
    }

    /// Inertia about another point, for instance a pendulum's pivot \[kg·m²\].
    pub fn inertia_about(&self, point_m: [f64; 3]) -> [[f64; 3]; 3] {
        rows(self.tensor_about(Vector::from(point_m)))
    }

    /// The three principal moments, smallest first \[kg·m²\].
    ///
    /// Validated: `parts-*-principal-*`.
    pub fn principal_kg_m2(&self) -> [f64; 3] {
        let mut moments = SymmetricEigen3::eigenvalues(matrix(self.inertia_kg_m2)).to_array();
        moments.sort_by(f64::total_cmp);
        moments
    }

    /// Whether any body of matter can have these figures: a mass above zero, and no principal moment larger than the other two together.
    pub fn is_possible(&self) -> bool {
        let [small, middle, large] = self.principal_kg_m2();
        // Rounding of a flat plate, where the two sides are equal, must not make it impossible.
        let rounding = 1e-9 * large.abs();
        self.mass_kg > 0.0 && small >= -rounding && large <= small + middle + rounding
    }

    fn tensor_about(&self, point: Vector) -> Mat3 {
        let d = Vector::from(self.centre_m) - point;
        let outer = Mat3::from_cols(d * d.x, d * d.y, d * d.z);
        matrix(self.inertia_kg_m2)
            + self.mass_kg * (Mat3::from_diagonal(Vector::splat(d.dot(d))) - outer)
    }
}

fn matrix(rows: [[f64; 3]; 3]) -> Mat3 {
    Mat3::from_cols_array_2d(&rows).transpose()
}

fn rows(matrix: Mat3) -> [[f64; 3]; 3] {
    matrix.transpose().to_cols_array_2d()
}
