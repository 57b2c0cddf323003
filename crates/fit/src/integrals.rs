//! Volume, centre and inertia of the space inside a closed mesh.

use parry3d_f64::math::{Mat3, Vector};

/// Integrals over the space inside, per unit of density.
pub struct Integrals {
    /// Below zero where the triangles face inwards.
    pub volume: f64,
    /// Centre of the space.
    pub centre: Vector,
    /// About the centre, for a mass of one.
    pub inertia: Mat3,
}

/// Sum over the tetrahedra between each triangle and a point, each with its sign.
///
/// V = a·(b×c)/6; ∫x = V(a+b+c)/4; ∫xxᵀ = V/20·(aaᵀ + bbᵀ + ccᵀ + ssᵀ), s = a+b+c; I = tr(C)1 − C. The point is the middle of the
/// mesh, so that a mesh far from its origin loses no digits. The centre and inertia do not depend on which way the triangles face.
/// Validated: `mesh-l-*`, an L profile, against closed form, within 1e-6.
pub fn over(triangles: impl Iterator<Item = [Vector; 3]>, middle: Vector) -> Integrals {
    let (mut volume, mut first, mut second) = (0.0, Vector::ZERO, Mat3::ZERO);
    for triangle in triangles {
        let [a, b, c] = triangle.map(|corner| corner - middle);
        let v = a.dot(b.cross(c)) / 6.0;
        let s = a + b + c;
        volume += v;
        first += v / 4.0 * s;
        second += v / 20.0 * (square(a) + square(b) + square(c) + square(s));
    }
    let mean = first / volume;
    let spread = second * (1.0 / volume) - square(mean);
    let trace = spread.x_axis.x + spread.y_axis.y + spread.z_axis.z;
    Integrals {
        volume,
        centre: middle + mean,
        inertia: Mat3::from_diagonal(Vector::splat(trace)) - spread,
    }
}

fn square(x: Vector) -> Mat3 {
    Mat3::from_cols(x * x.x, x * x.y, x * x.z)
}
