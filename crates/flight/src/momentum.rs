//! What any disc must pay for a thrust: the floor under every propeller, whatever its blades.
//!
//! Uniform inflow through a thin disc. No blades, no tips, no swirl: real propellers pay
//! 1 / figure-of-merit times this. Speeds through the disc count downwards for a hovering craft.

use quantity::{Area, Density, Force, Length, Power, Speed};
use thiserror::Error;

/// Induced velocity and ideal power of one disc.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hover {
    /// Speed the disc gives to the air as it passes, `v_h`.
    pub induced_velocity: Speed,
    /// `T·v_h`: no hovering disc of this size can do with less.
    pub ideal_power: Power,
}

/// Why momentum theory does not answer.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum OutsideMomentum {
    /// The stream comes from below, where the wake and the stream oppose one another.
    #[error("the air comes from below the disc; momentum theory does not hold there")]
    FromBelow,
    /// Descent other than 0…2 times the hover induced velocity.
    #[error("descent at {0} times the induced velocity is outside 0…2")]
    Descent(f64),
    /// Closer to the ground than half a radius.
    #[error("height of {0} radii is below the 0.5 the ground formula holds for")]
    TooLow(f64),
    /// An input that is no physical value.
    #[error("{what} is {value}, which nothing that flies has")]
    Unusable {
        /// Which input.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
}

/// Area swept by a propeller.
pub fn disc_area(diameter: Length) -> Area {
    let d = diameter.in_metres();
    Area::square_metres(std::f64::consts::FRAC_PI_4 * d * d)
}

/// Hover of one open disc: `v_h = √(T/(2ρA))`. Glauert, "Airplane Propellers", in
/// Durand, Aerodynamic Theory vol. IV (1935); from memory. Validated: `hover-*`.
pub fn hover(thrust: Force, diameter: Length, density: Density) -> Hover {
    let area = disc_area(diameter).in_square_metres();
    let load = thrust.in_newtons() / (2.0 * density.in_kilograms_per_cubic_metre() * area);
    let induced_velocity = Speed::metres_per_second(load.sqrt());
    Hover {
        induced_velocity,
        ideal_power: thrust * induced_velocity,
    }
}

/// Induced velocity when climbing along the axis: `v = −V/2 + √((V/2)² + v_h²)`. Same source.
///
/// Checked against [`oblique_induced_velocity`] at 90°.
pub fn climb_induced_velocity(hover: Speed, climb: Speed) -> Result<Speed, OutsideMomentum> {
    let half = climb.in_metres_per_second() / 2.0;
    if half.is_nan() || half < 0.0 {
        return Err(OutsideMomentum::FromBelow);
    }
    Ok(Speed::metres_per_second(
        half.hypot(hover.in_metres_per_second()) - half,
    ))
}

/// Induced velocity in a stream of `speed` that meets the disc plane at `incidence_rad`, positive
/// from above (a nose-down disc flying forward).
///
/// Glauert's hypothesis, ARC R&M 1111 (1926); from memory: `v = v_h²/√((V cosα)² + (V sinα + v)²)`.
/// Validated: `glauert-*`.
pub fn oblique_induced_velocity(
    hover: Speed,
    speed: Speed,
    incidence_rad: f64,
) -> Result<Speed, OutsideMomentum> {
    let along = speed.in_metres_per_second() * incidence_rad.cos();
    let through = speed.in_metres_per_second() * incidence_rad.sin();
    if through.is_nan() || through < 0.0 {
        return Err(OutsideMomentum::FromBelow);
    }
    Ok(Speed::metres_per_second(glauert(
        hover.in_metres_per_second(),
        along,
        through,
    )))
}

/// Induced velocity in a vertical descent of 0…2 times the hover induced velocity.
///
/// Momentum theory has no answer there; this is Leishman's fit to measured rotors ("Principles of
/// Helicopter Aerodynamics", 2nd ed., section 2.13; from memory). **Not validated.** It is the mean
/// of a very unsteady flow: real craft wobble in it.
pub fn descent_induced_velocity(hover: Speed, descent: Speed) -> Result<Speed, OutsideMomentum> {
    let ratio = descent / hover;
    if !(0.0..=2.0).contains(&ratio) {
        return Err(OutsideMomentum::Descent(ratio));
    }
    let x = -ratio;
    let factor = 1.0 + x * (-1.125 + x * (-1.372 + x * (-1.718 - 0.655 * x)));
    Ok(hover * factor)
}

/// Thrust near the ground over thrust far from it, at the same power: `1/(1 − (R/4z)²)`.
///
/// Cheeseman and Bennett, ARC R&M 3021 (1955), from memory, for `z ≥ R/2`; one open rotor, no craft under it.
/// Validated as an equation: `ground-*`. Small craft with several rotors differ by the fountain between them.
pub fn ground_thrust_ratio(height: Length, diameter: Length) -> Result<f64, OutsideMomentum> {
    let radii = height / (diameter / 2.0);
    if radii.is_nan() || radii < 0.5 {
        return Err(OutsideMomentum::TooLow(radii));
    }
    Ok(1.0 / (1.0 - (0.25 / radii).powi(2)))
}

/// An ideal duct: no lip separation, no tip gap, full exit.
///
/// `area_ratio` is the far wake's area over the disc's: 0.5 is the open rotor, 1 a straight duct. Pereira,
/// PhD thesis, University of Maryland (2008), as quoted by others. Validated as an equation: `duct-*`. Real guards of
/// small craft gain almost nothing of it: see [`crate::typical::duct_factor`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duct {
    area_ratio: f64,
}

impl Duct {
    /// From the wake's area over the disc's, at least the 0.5 of an open rotor.
    pub fn new(area_ratio: f64) -> Result<Self, OutsideMomentum> {
        if !(0.5..=2.0).contains(&area_ratio) {
            return Err(OutsideMomentum::Unusable {
                what: "duct area ratio (0.5…2)",
                value: area_ratio,
            });
        }
        Ok(Self { area_ratio })
    }

    /// Ideal power over that of the open rotor at equal thrust and disc: `1/√(2σ)`.
    pub fn power_ratio(&self) -> f64 {
        1.0 / (2.0 * self.area_ratio).sqrt()
    }

    /// Thrust over that of the open rotor at equal ideal power and disc: `(2σ)^⅓`.
    pub fn thrust_ratio(&self) -> f64 {
        (2.0 * self.area_ratio).cbrt()
    }

    /// Share of the thrust on the blades; the lip carries the rest: `1/(2σ)`.
    pub fn rotor_share(&self) -> f64 {
        1.0 / (2.0 * self.area_ratio)
    }
}

/// A craft in level flight, as far as momentum theory sees it.
///
/// Drag is a flat plate's: `D = ½ρV²·f`. Induced power takes a factor for uneven inflow; what hover
/// power remains is blade drag and grows with the advance ratio as `1 + 4.65 μ²` (Leishman, "Principles of
/// Helicopter Aerodynamics", section 5.4; from memory). **Not validated**: no open measurements of
/// small craft in forward flight were found. The hover limit and the optimum conditions are checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cruise {
    /// Weight of the craft.
    pub weight: Force,
    /// Number of rotors.
    pub rotors: u32,
    /// Propeller diameter.
    pub diameter: Length,
    /// Air density.
    pub density: Density,
    /// Ideal over shaft power in hover.
    pub figure_of_merit: f64,
    /// Blade tip speed in hover.
    pub tip_speed: Speed,
    /// Area of the flat plate (drag coefficient one) with the craft's drag.
    pub drag_area: Area,
    /// Shaft power over electrical power of motors and speed controllers.
    pub drive_efficiency: f64,
    /// Electrical power for everything that is not a motor.
    pub fixed_power: Power,
}

/// Level flight at one speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CruisePoint {
    /// Airspeed.
    pub speed: Speed,
    /// Lean of the discs \[rad\].
    pub tilt_rad: f64,
    /// Thrust of all rotors.
    pub thrust: Force,
    /// Shaft power of all rotors.
    pub shaft_power: Power,
    /// Electrical power of the craft.
    pub bus_power: Power,
}

/// Induced power over that of uniform inflow. Leishman, section 2.14.2 (from memory).
const UNEVEN_INFLOW: f64 = 1.15;

impl Cruise {
    /// Level flight at `speed`; zero is hover.
    pub fn at(&self, speed: Speed) -> Result<CruisePoint, OutsideMomentum> {
        self.check()?;
        let positive = speed.in_metres_per_second() >= 0.0 && speed.in_metres_per_second() < 1e3;
        if !positive {
            return Err(unusable("speed", speed.in_metres_per_second()));
        }
        Ok(self.point(speed.in_metres_per_second()))
    }

    /// The speed with the least electrical power: longest time in the air.
    pub fn best_endurance(&self) -> Result<CruisePoint, OutsideMomentum> {
        self.check()?;
        Ok(self.least(|point| point.bus_power.in_watts()))
    }

    /// The speed with the least electrical energy per metre in still air: farthest flight.
    pub fn best_range(&self) -> Result<CruisePoint, OutsideMomentum> {
        self.check()?;
        Ok(self.least(|point| point.bus_power.in_watts() / point.speed.in_metres_per_second()))
    }

    fn point(&self, speed_m_s: f64) -> CruisePoint {
        let density = self.density.in_kilograms_per_cubic_metre();
        let drag_n = 0.5 * density * speed_m_s * speed_m_s * self.drag_area.in_square_metres();
        let weight_n = self.weight.in_newtons();
        let thrust_n = drag_n.hypot(weight_n);
        let tilt = drag_n.atan2(weight_n);
        let (through, along) = (speed_m_s * tilt.sin(), speed_m_s * tilt.cos());
        let induced = glauert(self.hover_velocity_m_s(thrust_n), along, through);
        let uneven = UNEVEN_INFLOW.min(1.0 / self.figure_of_merit);
        let advance = along / self.tip_speed.in_metres_per_second();
        let blade_drag_w = self.hover_blade_drag_w(uneven) * (1.0 + 4.65 * advance * advance);
        let shaft_w = thrust_n * (through + uneven * induced) + blade_drag_w;
        CruisePoint {
            speed: Speed::metres_per_second(speed_m_s),
            tilt_rad: tilt,
            thrust: Force::newtons(thrust_n),
            shaft_power: Power::watts(shaft_w),
            bus_power: Power::watts(shaft_w / self.drive_efficiency) + self.fixed_power,
        }
    }

    fn hover_velocity_m_s(&self, thrust_n: f64) -> f64 {
        let per_rotor = Force::newtons(thrust_n / f64::from(self.rotors));
        hover(per_rotor, self.diameter, self.density)
            .induced_velocity
            .in_metres_per_second()
    }

    fn hover_blade_drag_w(&self, uneven: f64) -> f64 {
        let weight_n = self.weight.in_newtons();
        let ideal_w = weight_n * self.hover_velocity_m_s(weight_n);
        ideal_w * (1.0 / self.figure_of_merit - uneven)
    }

    /// The cruise point with the least `cost`: a coarse scan, then golden-section search.
    fn least(&self, cost: impl Fn(&CruisePoint) -> f64) -> CruisePoint {
        let top = self.top_speed_m_s();
        let step = top / 64.0;
        let coarse = (1..=64)
            .map(|i| f64::from(i) * step)
            .min_by(|a, b| cost(&self.point(*a)).total_cmp(&cost(&self.point(*b))))
            .unwrap_or(step);
        let (mut low, mut high) = ((coarse - step).max(1e-6 * step), coarse + step);
        let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
        for _ in 0..48 {
            let (a, b) = (high - golden * (high - low), low + golden * (high - low));
            if cost(&self.point(a)) < cost(&self.point(b)) {
                high = b;
            } else {
                low = a;
            }
        }
        self.point(0.5 * (low + high))
    }

    /// A speed beyond both optima: four times that at which drag equals weight is always enough, and
    /// where drag is tiny the blades set the bound.
    fn top_speed_m_s(&self) -> f64 {
        let density = self.density.in_kilograms_per_cubic_metre();
        let drag_area = self.drag_area.in_square_metres();
        let drag_is_weight = (2.0 * self.weight.in_newtons() / (density * drag_area)).sqrt();
        (4.0 * drag_is_weight).min(2.0 * self.tip_speed.in_metres_per_second())
    }

    fn check(&self) -> Result<(), OutsideMomentum> {
        let inputs = [
            ("weight", self.weight.in_newtons()),
            ("number of rotors", f64::from(self.rotors)),
            ("diameter", self.diameter.in_metres()),
            ("air density", self.density.in_kilograms_per_cubic_metre()),
            ("figure of merit", self.figure_of_merit),
            ("tip speed", self.tip_speed.in_metres_per_second()),
            ("drag area", self.drag_area.in_square_metres()),
            ("drive efficiency", self.drive_efficiency),
        ];
        match inputs
            .into_iter()
            .find(|(_, v)| !(*v > 0.0 && v.is_finite()))
        {
            Some((what, value)) => Err(unusable(what, value)),
            None => self.check_bounds(),
        }
    }

    fn check_bounds(&self) -> Result<(), OutsideMomentum> {
        let fixed_w = self.fixed_power.in_watts();
        match () {
            () if self.figure_of_merit > 1.0 => {
                Err(unusable("figure of merit (0…1)", self.figure_of_merit))
            }
            () if self.drive_efficiency > 1.0 => {
                Err(unusable("drive efficiency (0…1)", self.drive_efficiency))
            }
            () if !(0.0..f64::INFINITY).contains(&fixed_w) => Err(unusable("fixed power", fixed_w)),
            () => Ok(()),
        }
    }
}

fn unusable(what: &'static str, value: f64) -> OutsideMomentum {
    OutsideMomentum::Unusable { what, value }
}

/// Root of `v·√(along² + (through + v)²) = hover²`, `through ≥ 0`. The left side is convex and rising
/// and `v = hover` lies above the root, so Newton's steps come down to it without ever passing it.
fn glauert(hover: f64, along: f64, through: f64) -> f64 {
    let mut v = hover;
    for _ in 0..64 {
        let stream = along.hypot(through + v);
        if stream == 0.0 {
            return 0.0;
        }
        let excess = v * stream - hover * hover;
        let step = excess / (stream + v * (through + v) / stream);
        v -= step;
        if step.abs() <= 1e-14 * v {
            break;
        }
    }
    v
}

#[cfg(test)]
mod tests {
    use super::*;

    const CRAFT: Cruise = Cruise {
        weight: Force::newtons(2.255),
        rotors: 4,
        diameter: Length::millimetres(76.2),
        density: Density::kilograms_per_cubic_metre(1.225),
        figure_of_merit: 0.55,
        tip_speed: Speed::metres_per_second(68.0),
        drag_area: Area::square_centimetres(60.0),
        drive_efficiency: 0.7,
        fixed_power: Power::watts(6.0),
    };

    fn speed(value: f64) -> Speed {
        Speed::metres_per_second(value)
    }

    #[test]
    fn checked_straight_climb_is_the_oblique_case_at_ninety_degrees() {
        for climb in [0.0, 0.5, 3.0, 40.0] {
            let axial = climb_induced_velocity(speed(6.0), speed(climb)).unwrap();
            let oblique =
                oblique_induced_velocity(speed(6.0), speed(climb), std::f64::consts::FRAC_PI_2);
            assert!((axial / oblique.unwrap() - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn checked_descent_curve_starts_at_hover_and_stays_above_it_at_first() {
        let at = |descent| descent_induced_velocity(speed(6.0), speed(descent)).unwrap();
        assert_eq!(at(0.0), speed(6.0));
        assert!(at(3.0) > speed(6.0));
        assert!(descent_induced_velocity(speed(6.0), speed(12.1)).is_err());
    }

    #[test]
    fn checked_cruise_at_zero_speed_is_hover() {
        let ideal = hover(CRAFT.weight / 4.0, CRAFT.diameter, CRAFT.density).ideal_power * 4.0;
        let point = CRAFT.at(speed(0.0)).unwrap();
        assert!((point.shaft_power / (ideal / 0.55) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn checked_optima_are_stationary() {
        // Least power: dP/dV = 0. Least energy per metre: dP/dV = P/V, the tangent from the origin.
        let power = |v: f64| CRAFT.at(speed(v)).unwrap().bus_power.in_watts();
        let slope = |v: f64| (power(v + 1e-3) - power(v - 1e-3)) / 2e-3;
        let endurance = CRAFT.best_endurance().unwrap().speed.in_metres_per_second();
        let range = CRAFT.best_range().unwrap().speed.in_metres_per_second();
        assert!(slope(endurance).abs() < 1e-4 * power(endurance));
        assert!((slope(range) - power(range) / range).abs() < 1e-4 * power(range));
        assert!(endurance < range);
        assert!(power(endurance) < power(0.0));
    }

    #[test]
    fn checked_absurd_input_is_refused() {
        assert!(CRAFT.at(speed(f64::NAN)).is_err());
        assert!(
            Cruise {
                drag_area: Area::square_metres(0.0),
                ..CRAFT
            }
            .best_range()
            .is_err()
        );
        assert!(Cruise { rotors: 0, ..CRAFT }.at(speed(1.0)).is_err());
        let too_good = Cruise {
            figure_of_merit: 1.1,
            ..CRAFT
        };
        assert!(too_good.at(speed(1.0)).is_err());
        let feeding = Cruise {
            fixed_power: Power::watts(-1.0),
            ..CRAFT
        };
        assert!(feeding.at(speed(1.0)).is_err());
        assert!(ground_thrust_ratio(Length::metres(0.01), Length::metres(0.1)).is_err());
        assert!(climb_induced_velocity(speed(6.0), speed(-1.0)).is_err());
        assert!(oblique_induced_velocity(speed(6.0), speed(1.0), -0.1).is_err());
        assert!(Duct::new(0.4).is_err());
    }
}
