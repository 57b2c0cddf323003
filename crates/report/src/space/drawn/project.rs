//! From solids in space to outlines on paper.

use space::shape::{Form, Piece};
use std::f64::consts::TAU;

/// From where the craft is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// Forward is up, left is left.
    Above,
    /// Forward is to the right, up is up.
    Right,
    /// The craft's left is to the right, up is up.
    Front,
}

impl View {
    /// All of them, in the order of the sheet.
    pub const ALL: [Self; 3] = [Self::Above, Self::Right, Self::Front];

    /// Its heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Above => "from above, forward is up",
            Self::Right => "from the right, forward is to the right",
            Self::Front => "from the front",
        }
    }

    /// A place of the craft \[mm\], across and up on the paper.
    pub fn at(self, place_mm: [f64; 3]) -> [f64; 2] {
        let [x, y, z] = place_mm;
        match self {
            Self::Above => [-y, x],
            Self::Right => [x, z],
            Self::Front => [y, z],
        }
    }

    /// Which of the craft's axes run across and up.
    pub fn axes(self) -> [usize; 2] {
        match self {
            Self::Above => [1, 0],
            Self::Right => [0, 2],
            Self::Front => [1, 2],
        }
    }
}

/// Points around a cylinder's rim.
const RIM: usize = 48;

/// Corners of a piece \[mm\].
fn corners_mm(piece: &Piece) -> Vec<[f64; 3]> {
    let in_part: Vec<[f64; 3]> = match &piece.form {
        Form::Box(size) => (0..8)
            .map(|at| [0, 1, 2].map(|axis| size[axis] * (f64::from(at >> axis & 1) - 0.5)))
            .collect(),
        Form::Cylinder { radius_m, height_m } => (0..2 * RIM)
            .map(|at| {
                let angle = TAU * (at % RIM) as f64 / RIM as f64;
                let side = if at < RIM { -0.5 } else { 0.5 };
                [
                    radius_m * angle.cos(),
                    radius_m * angle.sin(),
                    side * height_m,
                ]
            })
            .collect(),
        // A mesh is shown by the box around it.
        Form::Mesh(_) => {
            let [low, high] = piece.solid.extent_m();
            let corner = |at: usize| {
                [0, 1, 2].map(|axis| {
                    if at >> axis & 1 == 0 {
                        low[axis]
                    } else {
                        high[axis]
                    }
                })
            };
            return (0..8).map(|at| corner(at).map(|x| 1e3 * x)).collect();
        }
    };
    in_part
        .into_iter()
        .map(|point| piece.pose.place(point).map(|x| 1e3 * x))
        .collect()
}

/// The outline of a piece in a view \[mm\]: the convex hull of its corners, against the clock.
pub fn outline(piece: &Piece, view: View) -> Vec<[f64; 2]> {
    hull(
        corners_mm(piece)
            .into_iter()
            .map(|corner| view.at(corner))
            .collect(),
    )
}

/// Andrew's monotone chain.
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup_by(|a, b| (a[0] - b[0]).abs() + (a[1] - b[1]).abs() < 1e-9);
    let turn = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| {
        (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    };
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for point in points {
            while chain.len() > 1
                && turn(chain[chain.len() - 2], chain[chain.len() - 1], point) <= 0.0
            {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut around = half(&mut points.iter().copied());
    around.extend(half(&mut points.iter().rev().copied()));
    around
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::space::Material;
    use fit::{Pose, Turn};

    #[test]
    fn checked_a_cube_is_as_wide_in_each_view() {
        let pose = Pose::turned([0.01, 0.02, 0.03], Turn::degrees(0.0, 0.0, 45.0));
        let cube =
            Piece::new("cube", Form::Box([0.02; 3]), pose, Material::Plastic).expect("a cube");
        let wide = |view: View, axis: usize| {
            let around = outline(&cube, view);
            let most = around
                .iter()
                .map(|point| point[axis])
                .fold(f64::MIN, f64::max);
            most - around
                .iter()
                .map(|point| point[axis])
                .fold(f64::MAX, f64::min)
        };
        // Turned by 45° it is as wide as its diagonal, and as high as before.
        for (view, across, up) in [
            (View::Above, 28.284, 28.284),
            (View::Right, 28.284, 20.0),
            (View::Front, 28.284, 20.0),
        ] {
            assert!(
                (wide(view, 0) - across).abs() < 1e-3 && (wide(view, 1) - up).abs() < 1e-3,
                "{view:?}"
            );
        }
        assert_eq!(outline(&cube, View::Above).len(), 4);
    }

    #[test]
    fn checked_each_view_looks_the_way_its_heading_says() {
        let [forward, left, up] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        assert_eq!(
            (View::Above.at(forward), View::Above.at(left)),
            ([0.0, 1.0], [-1.0, 0.0])
        );
        assert_eq!(
            (View::Right.at(forward), View::Right.at(up)),
            ([1.0, 0.0], [0.0, 1.0])
        );
        assert_eq!(
            (View::Front.at(left), View::Front.at(up)),
            ([1.0, 0.0], [0.0, 1.0])
        );
    }
}
