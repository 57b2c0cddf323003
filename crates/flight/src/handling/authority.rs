//! Control authority: the largest angular acceleration about one axis with the other two held.
//!
//! A linear programme of as many unknowns as motors and two or three equations. It is solved by
//! looking at every corner of the permitted thrusts: with few motors these are tens to hundreds, the
//! answer is exact, and there is no iteration that could stall. A test holds it against a simplex
//! solver of others.

use super::trim::{Hover, NoTrim};
use nalgebra::{Matrix3, Vector3};
use quantity::STANDARD_GRAVITY;
use thiserror::Error;

/// Motors up to which all corners are looked at.
pub const MOST_ROTORS: usize = 12;

/// How far outside 0…1 a thrust may come out by rounding.
const ROUNDING: f64 = 1e-9;
/// Equations whose rows are this near to each other count once; unit rows.
const DEPENDENT: f64 = 1e-9;

/// Angular acceleration one way about one axis \[rad/s²\], as magnitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Acceleration {
    /// With the sum of thrusts held at the weight: the craft keeps its height.
    pub held_rad_s2: f64,
    /// With the sum free: what a mixer gives that lifts the low motors rather than clip.
    pub free_rad_s2: f64,
}

/// Both ways about one axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// Roll: left side up. Pitch: nose down. Yaw: nose to the left.
    pub plus: Acceleration,
    /// The other way.
    pub minus: Acceleration,
}

impl Axis {
    /// Weaker way over stronger, thrust held; below 0.6 deserves a warning (rule of thumb).
    pub fn evenness(&self) -> f64 {
        let (a, b) = (self.plus.held_rad_s2, self.minus.held_rad_s2);
        a.min(b) / a.max(b)
    }
}

/// All three axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Authority {
    /// About x.
    pub roll: Axis,
    /// About y.
    pub pitch: Axis,
    /// About z.
    pub yaw: Axis,
}

/// Why there is no authority to state.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoAuthority {
    /// The craft is not one.
    #[error(transparent)]
    Hover(#[from] NoTrim),
    /// A number that cannot be.
    #[error("{what} is {value}, which no craft has")]
    Meaningless {
        /// Which number.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// More motors than are searched.
    #[error("{0} motors; at most {MOST_ROTORS} are searched")]
    TooManyRotors(usize),
    /// No permitted thrusts leave the other axes at rest.
    #[error("no thrusts within the limits keep the other axes at rest")]
    NoHover,
}

/// Largest angular accelerations with each thrust between `thrust_min_n` and the full one.
///
/// `α = max(±row·T)/I` with the other two moments zero and `ΣT = mg` (held) or not asked (free);
/// `inertia_kg_m2` is the diagonal about x, y, z. Products of inertia and the spin-up of the rotors
/// are left out. Validated: `authority-*` within 0.1 %.
pub fn authority(
    hover: &Hover<'_>,
    thrust_min_n: f64,
    inertia_kg_m2: [f64; 3],
) -> Result<Authority, NoAuthority> {
    hover.meaningful()?;
    meaningful(hover, thrust_min_n, inertia_kg_m2)?;
    let craft = Scaled::new(hover, thrust_min_n);
    let axis = |axis: usize| -> Result<Axis, NoAuthority> {
        let held = craft.range(axis, true).ok_or(NoAuthority::NoHover)?;
        let free = craft.range(axis, false).ok_or(NoAuthority::NoHover)?;
        let moment_nm = craft.moment_nm[axis];
        let way = |held: f64, free: f64| Acceleration {
            held_rad_s2: held * moment_nm / inertia_kg_m2[axis],
            free_rad_s2: free * moment_nm / inertia_kg_m2[axis],
        };
        Ok(Axis {
            plus: way(held.1, free.1),
            minus: way(-held.0, -free.0),
        })
    };
    Ok(Authority {
        roll: axis(0)?,
        pitch: axis(1)?,
        yaw: axis(2)?,
    })
}

fn meaningful(hover: &Hover<'_>, least_n: f64, inertia: [f64; 3]) -> Result<(), NoAuthority> {
    if hover.rotors.len() > MOST_ROTORS {
        return Err(NoAuthority::TooManyRotors(hover.rotors.len()));
    }
    if !(0.0..hover.curve.thrust_max_n).contains(&least_n) {
        return Err(NoAuthority::Meaningless {
            what: "least thrust in N",
            value: least_n,
        });
    }
    match inertia.into_iter().find(|i| !(*i > 0.0 && i.is_finite())) {
        Some(value) => Err(NoAuthority::Meaningless {
            what: "moment of inertia in kg·m²",
            value,
        }),
        None => Ok(()),
    }
}

/// The programme with thrusts as shares 0…1 of the permitted range and levers over the longest.
struct Scaled {
    /// Moment rows about x, y, z, without unit.
    moments: [Vec<f64>; 3],
    /// Newton metres of one unit of each row.
    moment_nm: [f64; 3],
    /// Least thrust over the range.
    least: f64,
    /// Weight over the range.
    weight: f64,
}

impl Scaled {
    fn new(hover: &Hover<'_>, thrust_min_n: f64) -> Self {
        let (lever_m, range_n) = (hover.lever_m(), hover.curve.thrust_max_n - thrust_min_n);
        let row = |of: fn(&super::trim::Rotor) -> f64| hover.rotors.iter().map(of).collect();
        let over = |levers: Vec<f64>| levers.into_iter().map(|l| l / lever_m).collect();
        Self {
            moments: [
                over(row(|r| r.y_m)),
                over(row(|r| -r.x_m)),
                row(|r| r.spin.sign()),
            ],
            moment_nm: [
                lever_m * range_n,
                lever_m * range_n,
                hover.kappa_m * range_n,
            ],
            least: thrust_min_n / range_n,
            weight: hover.mass_kg * STANDARD_GRAVITY / range_n,
        }
    }

    /// Least and largest moment about an axis, in units of its row; nothing where nothing is permitted.
    fn range(&self, axis: usize, held: bool) -> Option<(f64, f64)> {
        let goal = &self.moments[axis];
        let mut equations = Equations::default();
        for (other, row) in self.moments.iter().enumerate() {
            if other != axis {
                equations.add(row.clone(), -self.least * row.iter().sum::<f64>())?;
            }
        }
        if held {
            let all = vec![1.0; goal.len()];
            equations.add(all, self.weight - self.least * goal.len() as f64)?;
        }
        let base = self.least * goal.iter().sum::<f64>();
        let (low, high) = equations.corners(goal)?;
        Some((base + low, base + high))
    }
}

/// Up to three equations `row·t = right` in orthogonal unit rows.
#[derive(Default)]
struct Equations {
    rows: Vec<Vec<f64>>,
    right: Vec<f64>,
}

impl Equations {
    /// Adds one, less what the others already say (Gram–Schmidt); nothing if it contradicts them.
    fn add(&mut self, mut row: Vec<f64>, mut right: f64) -> Option<()> {
        let length = norm(&row);
        if length > 0.0 {
            row.iter_mut().for_each(|entry| *entry /= length);
            right /= length;
        }
        for (earlier, value) in self.rows.iter().zip(&self.right) {
            let along = dot(earlier, &row);
            row.iter_mut()
                .zip(earlier)
                .for_each(|(entry, other)| *entry -= along * other);
            right -= along * value;
        }
        let left = norm(&row);
        if left <= DEPENDENT {
            return (right.abs() <= ROUNDING).then_some(());
        }
        self.rows
            .push(row.iter().map(|entry| entry / left).collect());
        self.right.push(right / left);
        Some(())
    }

    /// Least and largest `goal·t` over the corners of `0 ≤ t ≤ 1` that keep the equations.
    fn corners(&self, goal: &[f64]) -> Option<(f64, f64)> {
        let (unknowns, count) = (goal.len(), self.rows.len());
        let mut found: Option<(f64, f64)> = None;
        let mut share = vec![0.0; unknowns];
        for solved in (0_u32..1 << unknowns).filter(|set| set.count_ones() as usize == count) {
            let chosen: Vec<usize> = members(solved, unknowns).collect();
            let rest: Vec<usize> = members(!solved, unknowns).collect();
            let Some(inverse) = self.inverse(&chosen) else {
                continue;
            };
            for full in 0_u32..1 << rest.len() {
                for (place, &rotor) in rest.iter().enumerate() {
                    share[rotor] = f64::from(full >> place & 1);
                }
                if self.complete(&inverse, &chosen, &rest, &mut share) {
                    let value = dot(goal, &share);
                    found = Some(found.map_or((value, value), |(low, high)| {
                        (low.min(value), high.max(value))
                    }));
                }
            }
        }
        found
    }

    /// Inverse of the chosen columns, filled up to three by the identity.
    fn inverse(&self, chosen: &[usize]) -> Option<Matrix3<f64>> {
        let square =
            Matrix3::from_fn(
                |row, column| match (self.rows.get(row), chosen.get(column)) {
                    (Some(entries), Some(&rotor)) => entries[rotor],
                    _ => f64::from(u8::from(row == column)),
                },
            );
        (square.determinant().abs() > DEPENDENT)
            .then(|| square.try_inverse())
            .flatten()
    }

    /// Solves for the chosen shares with the rest at a limit; whether they are within 0…1.
    fn complete(
        &self,
        inverse: &Matrix3<f64>,
        chosen: &[usize],
        rest: &[usize],
        share: &mut [f64],
    ) -> bool {
        let right = Vector3::from_fn(|row, _| match self.rows.get(row) {
            Some(entries) => {
                self.right[row] - rest.iter().map(|&r| entries[r] * share[r]).sum::<f64>()
            }
            None => 0.0,
        });
        let solution = inverse * right;
        let inside = -ROUNDING..=1.0 + ROUNDING;
        chosen.iter().enumerate().all(|(place, &rotor)| {
            share[rotor] = solution[place].clamp(0.0, 1.0);
            inside.contains(&solution[place])
        })
    }
}

fn members(set: u32, count: usize) -> impl Iterator<Item = usize> {
    (0..count).filter(move |place| set >> place & 1 == 1)
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn norm(row: &[f64]) -> f64 {
    dot(row, row).sqrt()
}
