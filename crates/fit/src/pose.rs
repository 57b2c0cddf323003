//! Where a solid sits and how it is turned.

use parry3d_f64::math::{Mat3, Pose3, Rot3, Vector};

/// Three turns, applied roll first: R = Rz(yaw)·Ry(pitch)·Rx(roll) \[rad\].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Turn {
    /// About x; above zero lifts the left side.
    pub roll: f64,
    /// About y; above zero lowers the nose.
    pub pitch: f64,
    /// About z; above zero turns to the left.
    pub yaw: f64,
}

impl Turn {
    /// No turn at all.
    pub const NONE: Self = Self {
        roll: 0.0,
        pitch: 0.0,
        yaw: 0.0,
    };

    /// From angles in degrees.
    pub fn degrees(roll: f64, pitch: f64, yaw: f64) -> Self {
        Self {
            roll: roll.to_radians(),
            pitch: pitch.to_radians(),
            yaw: yaw.to_radians(),
        }
    }

    /// A vector of the part, seen from the craft.
    pub fn apply(&self, vector: [f64; 3]) -> [f64; 3] {
        (self.matrix() * Vector::from(vector)).to_array()
    }

    /// First the other turn, then this one.
    ///
    /// The angles are read back from the product; straight up or down, where roll and yaw are one, roll is taken as zero.
    pub fn after(&self, first: Self) -> Self {
        let m = self.matrix() * first.matrix();
        let sine = -m.x_axis.z;
        if sine.abs() > 1.0 - 1e-12 {
            return Self {
                roll: 0.0,
                pitch: sine.signum() * std::f64::consts::FRAC_PI_2,
                yaw: (-m.y_axis.x).atan2(m.y_axis.y),
            };
        }
        Self {
            roll: m.y_axis.z.atan2(m.z_axis.z),
            pitch: sine.asin(),
            yaw: m.x_axis.y.atan2(m.x_axis.x),
        }
    }

    /// The turn as a matrix.
    pub(crate) fn matrix(&self) -> Mat3 {
        Mat3::from_rotation_z(self.yaw)
            * Mat3::from_rotation_y(self.pitch)
            * Mat3::from_rotation_x(self.roll)
    }

    pub(crate) fn is_finite(&self) -> bool {
        self.roll.is_finite() && self.pitch.is_finite() && self.yaw.is_finite()
    }

    fn rotation(&self) -> Rot3 {
        Rot3::from_rotation_z(self.yaw)
            * Rot3::from_rotation_y(self.pitch)
            * Rot3::from_rotation_x(self.roll)
    }
}

/// A place and a turn about it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pose {
    /// Where the solid's own origin comes to lie \[m\]: the centre of a box or cylinder, the file's origin of a mesh.
    pub centre_m: [f64; 3],
    /// How it is turned there.
    pub turn: Turn,
}

impl Pose {
    /// At a place, not turned.
    pub const fn at(centre_m: [f64; 3]) -> Self {
        Self {
            centre_m,
            turn: Turn::NONE,
        }
    }

    /// At a place, turned.
    pub const fn turned(centre_m: [f64; 3], turn: Turn) -> Self {
        Self { centre_m, turn }
    }

    /// A pose that is told in the axes of `base`, told in the axes of the craft.
    pub fn on(&self, base: &Self) -> Self {
        Self {
            centre_m: base.place(self.centre_m),
            turn: base.turn.after(self.turn),
        }
    }

    /// A point told in the axes of this pose, told in the axes of the craft \[m\].
    pub fn place(&self, point_m: [f64; 3]) -> [f64; 3] {
        (Vector::from(self.centre_m) + self.turn.matrix() * Vector::from(point_m)).to_array()
    }

    /// The same in the unit the collision library works in: millimetres.
    pub(crate) fn in_millimetres(&self) -> Pose3 {
        Pose3::from_parts(1e3 * Vector::from(self.centre_m), self.turn.rotation())
    }

    pub(crate) fn is_finite(&self) -> bool {
        self.turn.is_finite() && self.centre_m.iter().all(|x| x.is_finite())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: [f64; 3], b: [f64; 3]) -> bool {
        a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12)
    }

    #[test]
    fn checked_each_turn_goes_the_way_its_words_say() {
        // Roll above zero lifts the left side, pitch lowers the nose, yaw turns to the left.
        assert!(Turn::degrees(10.0, 0.0, 0.0).apply([0.0, 1.0, 0.0])[2] > 0.0);
        assert!(Turn::degrees(0.0, 10.0, 0.0).apply([1.0, 0.0, 0.0])[2] < 0.0);
        assert!(near(
            Turn::degrees(0.0, 0.0, 90.0).apply([1.0, 0.0, 0.0]),
            [0.0, 1.0, 0.0]
        ));
    }

    #[test]
    fn checked_turns_in_a_row_are_one_turn() {
        let turns = [-170.0, -90.0, -35.0, 0.0, 20.0, 90.0, 130.0];
        let all = (0..343).map(|at| [at % 7, at / 7 % 7, at / 49].map(|at| turns[at]));
        for [roll, pitch, yaw] in all {
            let first = Turn::degrees(roll, pitch, yaw);
            let then = Turn::degrees(10.0, -25.0, 40.0);
            let both = then.after(first);
            for axis in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.3, -0.4, 0.5]] {
                let at_once = both.apply(axis);
                let in_a_row = then.apply(first.apply(axis));
                // Near straight up and down the sine gives the angle to no more than 1e-6.
                let same = at_once
                    .iter()
                    .zip(in_a_row)
                    .all(|(a, b)| (a - b).abs() < 3e-6);
                assert!(same, "{roll} {pitch} {yaw}");
            }
        }
    }

    #[test]
    fn checked_a_pose_on_a_pose() {
        let base = Pose::turned([1.0, 2.0, 3.0], Turn::degrees(0.0, 0.0, 90.0));
        let on = Pose::at([0.5, 0.0, 0.1]).on(&base);
        assert!(near(on.centre_m, [1.0, 2.5, 3.1]));
        assert!(near(on.turn.apply([1.0, 0.0, 0.0]), [0.0, 1.0, 0.0]));
    }

    #[test]
    fn checked_the_library_turns_as_the_matrix_does() {
        let turn = Turn::degrees(10.0, -25.0, 40.0);
        let by_library = Pose::turned([0.0; 3], turn)
            .in_millimetres()
            .transform_point(Vector::new(0.3, -0.4, 0.5));
        assert!(near(turn.apply([0.3, -0.4, 0.5]), by_library.to_array()));
    }
}
