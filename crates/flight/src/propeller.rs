//! A propeller as two coefficients, and the ways to come by them.
//!
//! Propeller convention throughout: `C_T = T/(ρn²D⁴)`, `C_P = P/(ρn³D⁵)` with n in revolutions per
//! second. Helicopter texts write `C_T·4/π³` and `C_P·4/π⁴`.

mod geometry;
mod label;

pub use geometry::{GeometryPropeller, StaticPoint, from_geometry};
pub use label::{LabelError, LabelPropeller, from_label, label_blade};

use quantity::{Density, Force, Length, Power, RotationSpeed, Torque};
use std::f64::consts::{FRAC_1_PI, FRAC_2_PI, TAU};

/// Turns per radian.
pub(crate) const PER_TURN: f64 = 0.5 * FRAC_1_PI;

/// Static thrust and power coefficients at a reference speed, with their Reynolds trend.
///
/// `C_T(n) = thrust_coefficient · (n/reference)^thrust_exponent`, likewise for power. The exponents may
/// be zero; over 13 measured propellers of 57–130 mm they are [`THRUST_EXPONENT`] and
/// [`POWER_EXPONENT`] in the mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Propeller {
    /// Tip circle.
    pub diameter: Length,
    /// `C_T` at the reference speed.
    pub thrust_coefficient: f64,
    /// `C_P` at the reference speed.
    pub power_coefficient: f64,
    /// Speed the coefficients belong to.
    pub reference: RotationSpeed,
    /// Exponent of rotation speed in `C_T`.
    pub thrust_exponent: f64,
    /// Exponent of rotation speed in `C_P`.
    pub power_exponent: f64,
}

/// Mean exponent of rpm in `C_T`, sd 0.06 over the 13 measured propellers (see `from_label`).
pub const THRUST_EXPONENT: f64 = 0.06;
/// Mean exponent of rpm in `C_P`, sd 0.11 over the same set.
pub const POWER_EXPONENT: f64 = -0.07;

impl Propeller {
    /// Coefficients that do not change with speed.
    pub fn constant(diameter: Length, thrust_coefficient: f64, power_coefficient: f64) -> Self {
        Self {
            diameter,
            thrust_coefficient,
            power_coefficient,
            reference: RotationSpeed::rpm(10_000.0),
            thrust_exponent: 0.0,
            power_exponent: 0.0,
        }
    }

    /// Static thrust.
    pub fn thrust(&self, rotation: RotationSpeed, density: Density) -> Force {
        let n = rotation.in_radians_per_second() * PER_TURN;
        let trend = power_of(rotation / self.reference, self.thrust_exponent);
        Force::newtons(self.thrust_scale(density) * n * n * trend)
    }

    /// Shaft torque.
    pub fn torque(&self, rotation: RotationSpeed, density: Density) -> Torque {
        let n = rotation.in_radians_per_second() * PER_TURN;
        let trend = power_of(rotation / self.reference, self.power_exponent);
        Torque::newton_metres(self.torque_scale(density) * n * n * trend)
    }

    /// Shaft power.
    pub fn power(&self, rotation: RotationSpeed, density: Density) -> Power {
        self.torque(rotation, density) * rotation
    }

    /// Rotation speed for a static thrust; the closed inverse of [`Self::thrust`].
    pub fn rotation(&self, thrust: Force, density: Density) -> RotationSpeed {
        let reference = self.reference.in_radians_per_second();
        let n_reference = reference * PER_TURN;
        let at_reference = self.thrust_scale(density) * n_reference * n_reference;
        let ratio = thrust.in_newtons() / at_reference;
        RotationSpeed::radians_per_second(if self.thrust_exponent == 0.0 {
            reference * ratio.sqrt()
        } else {
            reference * ratio.powf(1.0 / (2.0 + self.thrust_exponent))
        })
    }

    /// Speed and torque for a static thrust.
    ///
    /// [`Self::rotation`] and [`Self::torque`] in one: with a trend one logarithm serves both powers.
    #[inline]
    pub(crate) fn turning(&self, thrust: Force, density: Density) -> (RotationSpeed, Torque) {
        let thrust_n = thrust.in_newtons();
        let (thrust_scale, torque_scale) = (self.thrust_scale(density), self.torque_scale(density));
        if !self.has_trend() {
            let square = thrust_n / thrust_scale;
            let rotation = RotationSpeed::radians_per_second(TAU * square.sqrt());
            return (rotation, Torque::newton_metres(torque_scale * square));
        }
        self.turning_by_trend(thrust_n, thrust_scale, torque_scale)
    }

    /// Apart, so that the short way stays short enough to be built into its callers.
    #[inline(never)]
    fn turning_by_trend(
        &self,
        thrust_n: f64,
        thrust_scale: f64,
        torque_scale: f64,
    ) -> (RotationSpeed, Torque) {
        let reference = self.reference.in_radians_per_second();
        let n = reference * PER_TURN;
        let log_speed = (thrust_n / (thrust_scale * n * n)).ln() / (2.0 + self.thrust_exponent);
        let torque = torque_scale * n * n * ((2.0 + self.power_exponent) * log_speed).exp();
        (
            RotationSpeed::radians_per_second(reference * log_speed.exp()),
            Torque::newton_metres(torque),
        )
    }

    /// Whether a coefficient changes with speed.
    #[inline]
    pub(crate) fn has_trend(&self) -> bool {
        self.thrust_exponent != 0.0 || self.power_exponent != 0.0
    }

    /// Ideal over shaft power at the reference speed: `C_T^1.5/C_P·√(2/π)`.
    pub fn figure_of_merit(&self) -> f64 {
        figure_of_merit(self.thrust_coefficient, self.power_coefficient)
    }

    /// The same propeller with thrust and power at equal speed multiplied by these.
    pub fn scaled(&self, thrust: f64, power: f64) -> Self {
        Self {
            thrust_coefficient: self.thrust_coefficient * thrust,
            power_coefficient: self.power_coefficient * power,
            ..*self
        }
    }

    /// The same propeller in a guard or duct that gives `factor` times the thrust per watt at equal
    /// thrust. Taken as less torque at the same speed: lip suction unloads the blades.
    pub fn with_power_loading(&self, factor: f64) -> Self {
        self.scaled(1.0, 1.0 / factor)
    }

    #[inline]
    pub(crate) fn thrust_scale(&self, density: Density) -> f64 {
        let d2 = self.diameter.in_metres() * self.diameter.in_metres();
        self.thrust_coefficient * density.in_kilograms_per_cubic_metre() * d2 * d2
    }

    #[inline]
    pub(crate) fn torque_scale(&self, density: Density) -> f64 {
        let d = self.diameter.in_metres();
        let d2 = d * d;
        self.power_coefficient * density.in_kilograms_per_cubic_metre() * d2 * d2 * (d * PER_TURN)
    }
}

/// Ideal over shaft power of a hovering propeller with these coefficients: `C_T^1.5/C_P·√(2/π)`.
pub fn figure_of_merit(thrust_coefficient: f64, power_coefficient: f64) -> f64 {
    thrust_coefficient.powf(1.5) / power_coefficient * FRAC_2_PI.sqrt()
}

/// `C_P` of a propeller with this `C_T` and figure of merit.
pub fn power_coefficient(thrust_coefficient: f64, figure_of_merit: f64) -> f64 {
    thrust_coefficient.powf(1.5) / figure_of_merit * FRAC_2_PI.sqrt()
}

/// `base^exponent` without the cost of a power where there is no trend.
#[inline]
pub(crate) fn power_of(base: f64, exponent: f64) -> f64 {
    if exponent == 0.0 {
        1.0
    } else {
        base.powf(exponent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_rotation_is_the_inverse_of_thrust() {
        let density = Density::kilograms_per_cubic_metre(1.1);
        for thrust_exponent in [0.0, 0.06, -0.2] {
            let propeller = Propeller {
                thrust_exponent,
                ..Propeller::constant(Length::millimetres(51.0), 0.19, 0.13)
            };
            let rotation = propeller.rotation(Force::grams_force(40.0), density);
            let thrust = propeller.thrust(rotation, density).in_grams_force();
            assert!((thrust - 40.0).abs() < 1e-10);
        }
    }

    #[test]
    fn checked_turning_is_rotation_and_torque() {
        let density = Density::kilograms_per_cubic_metre(1.1);
        for (thrust_exponent, power_exponent) in
            [(0.0, 0.0), (0.06, -0.07), (0.0, 0.3), (-0.2, 0.0)]
        {
            let propeller = Propeller {
                thrust_exponent,
                power_exponent,
                ..Propeller::constant(Length::millimetres(51.0), 0.19, 0.13)
            };
            let thrust = Force::grams_force(40.0);
            let (rotation, torque) = propeller.turning(thrust, density);
            assert!((rotation / propeller.rotation(thrust, density) - 1.0).abs() < 1e-13);
            assert!((torque / propeller.torque(rotation, density) - 1.0).abs() < 1e-13);
        }
    }

    #[test]
    fn checked_coefficient_and_merit_are_inverse() {
        let merit = figure_of_merit(0.17, 0.1);
        assert!((power_coefficient(0.17, merit) - 0.1).abs() < 1e-15);
        // The guard makes no thrust of its own here, only saves torque.
        let open = Propeller::constant(Length::millimetres(40.0), 0.17, 0.1);
        let guarded = open.with_power_loading(1.05);
        assert!((guarded.figure_of_merit() / open.figure_of_merit() - 1.05).abs() < 1e-12);
    }
}
