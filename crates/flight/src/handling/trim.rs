//! Hover trim: how the motors share the weight when the centre of gravity is where it is.
//!
//! Left out: the height of the centre of gravity (it does not enter in hover), wind, wash of one
//! propeller into another, propellers that are not parallel.

use nalgebra::{DMatrix, DVector, Matrix4xX};
use quantity::STANDARD_GRAVITY;
use thiserror::Error;

/// Share of the weight that may remain unbalanced, in thrust or as moment over the longest lever.
const BALANCED: f64 = 1e-9;
/// Singular values below this share of the largest count as zero.
const RANK: f64 = 1e-10;
/// Sweeps of the decomposition; it settles in a handful.
const SWEEPS: usize = 500;

/// Which way the propeller's drag turns the craft, about z up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spin {
    /// The drag yaws the nose to the left: the propeller turns clockwise seen from above.
    NoseLeft,
    /// The drag yaws the nose to the right.
    NoseRight,
}

impl Spin {
    /// +1 to the left, −1 to the right.
    pub fn sign(self) -> f64 {
        match self {
            Self::NoseLeft => 1.0,
            Self::NoseRight => -1.0,
        }
    }
}

/// Where a motor stands and which way it turns the craft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rotor {
    /// Forward of the centre of gravity \[m\].
    pub x_m: f64,
    /// Left of the centre of gravity \[m\].
    pub y_m: f64,
    /// Way of its drag.
    pub spin: Spin,
}

/// Thrust of a motor against its command in 0…1: `T/T_max = a·u + (1 − a)·u²`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThrustCurve {
    /// Thrust at full command \[N\].
    pub thrust_max_n: f64,
    /// `a`, in 0…1: 0.3–0.6 for small craft (from memory), 1 where the controller linearises thrust.
    pub shape: f64,
}

impl ThrustCurve {
    /// Command for a thrust \[N\]: the inverse `u = 2t/(a + √(a² + 4(1 − a)t))`, `t = T/T_max`.
    ///
    /// The usual `(−a + √…)/(2(1 − a))` rationalised, so that `a = 1` is no special case.
    /// Validated: `hover-trim-*` within 0.1 %.
    pub fn command(&self, thrust_n: f64) -> f64 {
        let (a, t) = (self.shape, thrust_n / self.thrust_max_n);
        if t == 0.0 {
            return 0.0;
        }
        2.0 * t / (a + (a * a + 4.0 * (1.0 - a) * t).sqrt())
    }

    /// Slope of thrust over command \[N\]: `T_max·(a + 2(1 − a)u)`.
    pub fn slope_n(&self, command: f64) -> f64 {
        self.thrust_max_n * (self.shape + 2.0 * (1.0 - self.shape) * command)
    }
}

/// A craft in hover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hover<'a> {
    /// The motors.
    pub rotors: &'a [Rotor],
    /// Torque over thrust of a propeller \[m\]; matters for yaw authority, not for the trim.
    pub kappa_m: f64,
    /// What each motor gives for a command.
    pub curve: ThrustCurve,
    /// Mass of the craft \[kg\].
    pub mass_kg: f64,
}

/// What each motor does in hover, in the order of the motors.
#[derive(Debug, Clone, PartialEq)]
pub struct Trim {
    /// Thrust \[N\].
    pub thrust_n: Vec<f64>,
    /// Command in 0…1.
    pub command: Vec<f64>,
    /// Speed over that at the mean thrust: `√(T/mean T)`.
    pub relative_speed: Vec<f64>,
    /// Largest command less the smallest; above 0.10 deserves a warning (rule of thumb).
    pub command_spread: f64,
    /// All motors at full command over the weight.
    pub thrust_to_weight: f64,
}

/// Why the craft does not hover level.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoTrim {
    /// A number that cannot be one of a craft.
    #[error("{what} is {value}, which no craft has")]
    Meaningless {
        /// Which number.
        what: &'static str,
        /// Its value, in the unit of its field.
        value: f64,
    },
    /// No set of thrusts carries the weight without turning the craft.
    #[error("no set of thrusts carries the weight without turning the craft")]
    OutOfBalance,
    /// A motor would have to pull down, or to stand.
    #[error("motor {} would need {} N; the balance lies outside the motors", rotor + 1, thrust_n[*rotor])]
    PullsDown {
        /// The worst motor, counted from 0.
        rotor: usize,
        /// Thrusts the balance asks for \[N\].
        thrust_n: Vec<f64>,
    },
    /// A motor would have to give more than it has.
    #[error("motor {} would need {} N; it gives {thrust_max_n} N", rotor + 1, thrust_n[*rotor])]
    TooHeavy {
        /// The worst motor, counted from 0.
        rotor: usize,
        /// Thrusts the balance asks for \[N\].
        thrust_n: Vec<f64>,
        /// What a motor gives at full command \[N\].
        thrust_max_n: f64,
    },
}

impl Hover<'_> {
    /// Thrusts and commands of level hover.
    ///
    /// `T = A⁺·(mg, 0, 0, 0)` with rows thrust, roll (`y`), pitch (`−x`), yaw (`s`): unique for four
    /// motors, the smallest sum of squares for more, which is how a plain mixer shares them. The
    /// ratio κ is common to all motors and drops out of a yaw moment of zero. With more than four
    /// motors another sharing may lie inside the limits where this one does not.
    /// Validated: `hover-trim-*` within 0.1 %.
    pub fn trim(&self) -> Result<Trim, NoTrim> {
        self.meaningful()?;
        let weight_n = self.mass_kg * STANDARD_GRAVITY;
        let thrust_n = shared(self.rotors, weight_n).ok_or(NoTrim::OutOfBalance)?;
        let thrust_n = self.within(thrust_n)?;
        let command: Vec<f64> = thrust_n.iter().map(|&t| self.curve.command(t)).collect();
        let mean_n = weight_n / self.rotors.len() as f64;
        Ok(Trim {
            command_spread: largest(&command) + largest_of(command.iter().map(|u| -u)),
            relative_speed: thrust_n.iter().map(|t| (t / mean_n).sqrt()).collect(),
            thrust_to_weight: self.curve.thrust_max_n * self.rotors.len() as f64 / weight_n,
            thrust_n,
            command,
        })
    }

    /// Longest lever in x or y \[m\]; 1 where all motors stand on the centre of gravity.
    pub(super) fn lever_m(&self) -> f64 {
        lever_m(self.rotors)
    }

    /// Refuses numbers that no craft has.
    pub(super) fn meaningful(&self) -> Result<(), NoTrim> {
        let positive = [
            ("mass in kg", self.mass_kg),
            ("weight in N", self.mass_kg * STANDARD_GRAVITY),
            ("thrust at full command in N", self.curve.thrust_max_n),
            ("torque over thrust in m", self.kappa_m),
            ("number of motors", self.rotors.len() as f64),
        ];
        let places = self.rotors.iter().flat_map(|rotor| {
            [
                ("place in x in m", rotor.x_m),
                ("place in y in m", rotor.y_m),
            ]
        });
        let shape = self.curve.shape;
        let wrong = positive
            .into_iter()
            .find(|&(_, value)| !(value > 0.0 && value.is_finite()))
            .or_else(|| places.into_iter().find(|(_, value)| !value.is_finite()))
            .or((!(0.0..=1.0).contains(&shape)).then_some(("shape of the thrust curve", shape)));
        match wrong {
            Some((what, value)) => Err(NoTrim::Meaningless { what, value }),
            None => Ok(()),
        }
    }

    fn within(&self, thrust_n: Vec<f64>) -> Result<Vec<f64>, NoTrim> {
        let worst = |score: fn(f64) -> f64| {
            (0..thrust_n.len()).max_by(|&a, &b| score(thrust_n[a]).total_cmp(&score(thrust_n[b])))
        };
        let thrust_max_n = self.curve.thrust_max_n;
        match (worst(|t| -t), worst(|t| t)) {
            (Some(rotor), _) if thrust_n[rotor] <= 0.0 => {
                Err(NoTrim::PullsDown { rotor, thrust_n })
            }
            (_, Some(rotor)) if thrust_n[rotor] > thrust_max_n => Err(NoTrim::TooHeavy {
                rotor,
                thrust_n,
                thrust_max_n,
            }),
            _ => Ok(thrust_n),
        }
    }
}

/// Least-squares sharing of the weight, or nothing where a moment is left over.
fn shared(rotors: &[Rotor], weight_n: f64) -> Option<Vec<f64>> {
    let lever_m = lever_m(rotors);
    let rows = Matrix4xX::from_fn(rotors.len(), |row, column| {
        let rotor = rotors[column];
        [
            1.0,
            rotor.y_m / lever_m,
            -rotor.x_m / lever_m,
            rotor.spin.sign(),
        ][row]
    });
    let matrix = DMatrix::from_iterator(4, rotors.len(), rows.iter().copied());
    let asked = DVector::from_vec(vec![1.0, 0.0, 0.0, 0.0]);
    let parts = matrix.clone().try_svd(true, true, f64::EPSILON, SWEEPS)?;
    let rank = RANK * parts.singular_values.max();
    let share = parts.solve(&asked, rank).ok()?;
    let missed = (&matrix * &share - asked).amax();
    (missed <= BALANCED).then(|| share.iter().map(|part| part * weight_n).collect())
}

fn lever_m(rotors: &[Rotor]) -> f64 {
    let longest = largest_of(rotors.iter().flat_map(|r| [r.x_m.abs(), r.y_m.abs()]));
    if longest > 0.0 { longest } else { 1.0 }
}

fn largest(numbers: &[f64]) -> f64 {
    largest_of(numbers.iter().copied())
}

fn largest_of(numbers: impl Iterator<Item = f64>) -> f64 {
    numbers.fold(f64::NEG_INFINITY, f64::max)
}
