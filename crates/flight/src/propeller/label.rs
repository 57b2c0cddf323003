//! A propeller of which only the label is known: diameter, pitch and blades.

use super::geometry::Bias;
use super::{POWER_EXPONENT, Propeller, THRUST_EXPONENT, power_coefficient};
use crate::air::{Air, AirError};
use crate::blade_element::{Blade, BladeError, SmallPropellerSection, Station, Stream};
use quantity::{
    Angle, Basis, Density, Doubt, Length, Pressure, Quantity, Ratio, RotationSpeed, Temperature,
};
use std::f64::consts::PI;
use thiserror::Error;

/// Coefficients of a propeller nobody measured, with their doubt.
///
/// Validated from label text alone on 13 measured propellers of 57–130 mm, cases `label-*`; their average
/// blade and the correction went into the model, so what is validated is the spread. Nothing was found in the
/// open below 57 mm or with four blades: not validated there beyond the usual size of coefficients
/// (`usual-*`, common practice), the doubt is wider and [`extrapolated`](Self::extrapolated) says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelPropeller {
    /// `C_T` at `reference`.
    pub thrust_coefficient: Quantity<Ratio>,
    /// Ideal over shaft power at `reference`.
    pub figure_of_merit: Quantity<Ratio>,
    /// `C_P` at `reference`. Its doubt is smaller than independent draws of the other two would give:
    /// see `correlation` and [`Self::draw`].
    pub power_coefficient: Quantity<Ratio>,
    /// Correlation between the logarithms of `C_T` and figure of merit.
    pub correlation: f64,
    /// Exponent of rpm in `C_T`.
    pub thrust_exponent: Quantity<Ratio>,
    /// Exponent of rpm in `C_P`.
    pub power_exponent: Quantity<Ratio>,
    /// Tip circle.
    pub diameter: Length,
    /// Speed the coefficients belong to.
    pub reference: RotationSpeed,
    /// Blade over disc area of the average blade taken for it.
    pub solidity: f64,
    /// Chord Reynolds number at 0.75 of the tip radius.
    pub reynolds: f64,
    /// In which way the propeller lies outside the set the doubt was found on, if it does.
    pub extrapolated: Option<&'static str>,
}

/// Why a label gives no propeller.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum LabelError {
    /// No propeller of a small craft.
    #[error("{what} is {value}; {range} is expected")]
    Range {
        /// Which figure of the label.
        what: &'static str,
        /// As given.
        value: f64,
        /// What would do.
        range: &'static str,
    },
    /// The blade has no loads.
    #[error(transparent)]
    Blade(#[from] BladeError),
    /// The density is no air.
    #[error(transparent)]
    Air(#[from] AirError),
}

/// Chord at each r/R over the chord at r/R 0.75; mean of the 12 blade shapes measured in the
/// University of Illinois Propeller Database, volume 2 (57–130 mm).
const CHORD_SHAPE: [(f64, f64); 18] = [
    (0.15, 0.93),
    (0.20, 0.97),
    (0.25, 1.07),
    (0.30, 1.13),
    (0.35, 1.17),
    (0.40, 1.19),
    (0.45, 1.20),
    (0.50, 1.20),
    (0.55, 1.17),
    (0.60, 1.135),
    (0.65, 1.095),
    (0.70, 1.05),
    (0.75, 1.00),
    (0.80, 0.94),
    (0.85, 0.875),
    (0.90, 0.80),
    (0.95, 0.66),
    (1.00, 0.19),
];

/// Tangent of the blade angle at each r/R over that of a true helix through the angle at 0.75; mean of
/// the same blades. Real blades flatten towards the hub and the tip.
const TWIST_SHAPE: [(f64, f64); 18] = [
    (0.15, 0.485),
    (0.20, 0.625),
    (0.25, 0.725),
    (0.30, 0.81),
    (0.35, 0.86),
    (0.40, 0.905),
    (0.45, 0.93),
    (0.50, 0.955),
    (0.55, 0.97),
    (0.60, 0.975),
    (0.65, 0.985),
    (0.70, 0.99),
    (0.75, 1.00),
    (0.80, 0.995),
    (0.85, 0.995),
    (0.90, 0.99),
    (0.95, 0.95),
    (1.00, 0.70),
];

/// Chord at 0.75 of the radius: the same 9.6 mm, sd 18 %, at every diameter of that set.
const CHORD_M: f64 = 9.6e-3;
/// The widest chord over radius there; smaller propellers are taken as scaled copies of it.
const WIDEST_CHORD: f64 = 0.345;

/// Chord-line angle over that of the nominal pitch: mean of 22 commercial propellers under 150 mm of the
/// same database; sd 3.0°, range −6.9…+6.0°.
const ANGLE_OVER_PITCH: Angle = Angle::degrees(0.2);

/// Spread of that difference over the 22 propellers (1 sd): the greatest doubt of a label.
const ANGLE_DOUBT: Angle = Angle::degrees(3.0);
/// Doubt of the logarithm of `C_T` that remains with a known angle: 0.134 of blade elements with measured
/// shape, each propeller left out in turn, and 0.05 for the average blade (chord sd 18 %, `C_T ∝ σ^0.3`).
const THRUST_DOUBT: f64 = 0.14;
/// The same for the figure of merit.
const MERIT_DOUBT: f64 = 0.14;
/// The same below 57 mm, where no measurements are open to see: wide enough to hold 0.44 ± 0.10, to
/// which the measured Reynolds trend extrapolates.
const SMALL_MERIT_DOUBT: f64 = 0.20;
/// Correlation between the logarithms of those two remaining errors.
const REMAINING_CORRELATION: f64 = 0.75;

/// Smallest propeller of the measured set.
const SMALLEST: Length = Length::millimetres(57.0);

/// A propeller of which the label gives diameter, pitch and blades, about the speed it will turn at.
///
/// The average blade of the measured set (chord and twist), its angle from the nominal pitch, blade
/// elements with the small-propeller polar, then a correction for blade area
/// and figure of merit, see `geometry`.
pub fn from_label(
    diameter: Length,
    pitch: Length,
    blades: u32,
    rotation: RotationSpeed,
    density: Density,
) -> Result<LabelPropeller, LabelError> {
    let (d_mm, p_mm) = (diameter.in_millimetres(), pitch.in_millimetres());
    range("diameter in mm", d_mm, 20.0, 400.0, "20…400")?;
    range("pitch over diameter", p_mm / d_mm, 0.1, 1.6, "0.1…1.6")?;
    range("number of blades", f64::from(blades), 2.0, 8.0, "2…8")?;
    let air = air_of(density)?;
    let at = |more_rad| {
        middle(
            &typical_blade(diameter, pitch, blades, more_rad)?,
            air,
            rotation,
        )
    };
    let (thrust, merit) = at(0.0)?;
    let blade = typical_blade(diameter, pitch, blades, 0.0)?;
    // How the logarithms move with one sd of the blade angle.
    let half = 0.5 * ANGLE_DOUBT.in_radians();
    let (steep, flat) = (at(half)?, at(-half)?);
    let spread = Spread {
        thrust_by_angle: (steep.0 / flat.0).ln(),
        merit_by_angle: (steep.1 / flat.1).ln(),
        thrust: THRUST_DOUBT.hypot(Bias::of(&blade).thrust_doubt),
        merit: if diameter < SMALLEST {
            SMALL_MERIT_DOUBT
        } else {
            MERIT_DOUBT
        },
    };
    Ok(LabelPropeller {
        thrust_coefficient: factor(thrust, spread.of_thrust()),
        figure_of_merit: factor(merit, spread.of_merit()),
        power_coefficient: factor(power_coefficient(thrust, merit), spread.of_power()),
        correlation: spread.correlation(),
        thrust_exponent: plain(THRUST_EXPONENT, 0.06),
        power_exponent: plain(POWER_EXPONENT, 0.11),
        diameter,
        reference: rotation,
        solidity: blade.solidity(),
        reynolds: blade.reynolds(&air, rotation),
        extrapolated: outside(diameter, blades, blade.solidity()),
    })
}

/// The average blade of the measured set, scaled to a label and set to its nominal pitch.
///
/// For what depends on shape rather than strength, such as how thrust falls with advance.
pub fn label_blade(diameter: Length, pitch: Length, blades: u32) -> Result<Blade, BladeError> {
    typical_blade(diameter, pitch, blades, 0.0)
}

impl LabelPropeller {
    /// The propeller at two independent standard-normal scores, with the correlation between thrust
    /// and figure of merit.
    pub fn draw(&self, thrust_z: f64, merit_z: f64) -> Propeller {
        let across = (1.0 - self.correlation * self.correlation).sqrt();
        let merit_z = self.correlation * thrust_z + across * merit_z;
        let thrust = self.thrust_coefficient.at(thrust_z).in_ones();
        // No draw of the far tail may beat an ideal disc.
        let merit = self.figure_of_merit.at(merit_z).in_ones().min(0.9);
        Propeller {
            diameter: self.diameter,
            thrust_coefficient: thrust,
            power_coefficient: power_coefficient(thrust, merit),
            reference: self.reference,
            thrust_exponent: self.thrust_exponent.value.in_ones(),
            power_exponent: self.power_exponent.value.in_ones(),
        }
    }
}

/// Standard deviations of logarithms: what the angle does, and what remains.
struct Spread {
    thrust_by_angle: f64,
    merit_by_angle: f64,
    thrust: f64,
    merit: f64,
}

impl Spread {
    fn of_thrust(&self) -> f64 {
        self.thrust_by_angle.hypot(self.thrust)
    }

    fn of_merit(&self) -> f64 {
        self.merit_by_angle.hypot(self.merit)
    }

    fn covariance(&self) -> f64 {
        self.thrust_by_angle * self.merit_by_angle
            + REMAINING_CORRELATION * self.thrust * self.merit
    }

    fn correlation(&self) -> f64 {
        self.covariance() / (self.of_thrust() * self.of_merit())
    }

    /// `ln C_P = 1.5 ln C_T − ln FM + const`.
    fn of_power(&self) -> f64 {
        let (thrust, merit) = (1.5 * self.of_thrust(), self.of_merit());
        (thrust * thrust + merit * merit - 3.0 * self.covariance()).sqrt()
    }
}

/// Corrected thrust coefficient and figure of merit.
fn middle(blade: &Blade, air: Air, rotation: RotationSpeed) -> Result<(f64, f64), LabelError> {
    let loads = blade.loads(&SmallPropellerSection, &Stream::still(air, rotation))?;
    let bias = Bias::of(blade);
    Ok((
        loads.thrust_coefficient / bias.thrust,
        loads.figure_of_merit() / bias.figure_of_merit,
    ))
}

fn outside(diameter: Length, blades: u32, solidity: f64) -> Option<&'static str> {
    match () {
        () if diameter < SMALLEST => Some("extrapolated: no measured propeller below 57 mm"),
        () if diameter.in_millimetres() > 130.0 => {
            Some("extrapolated: no measured propeller above 130 mm")
        }
        () if blades > 3 => Some("extrapolated: no measured propeller with more than 3 blades"),
        () if solidity > 0.184 => {
            Some("extrapolated: no measured propeller with as much blade area")
        }
        () => None,
    }
}

fn factor(value: f64, sd: f64) -> Quantity<Ratio> {
    Quantity {
        value: Ratio::of_one(value),
        doubt: Doubt::Factor(sd),
        basis: Basis::Typical,
    }
}

fn plain(value: f64, sd: f64) -> Quantity<Ratio> {
    Quantity {
        value: Ratio::of_one(value),
        doubt: Doubt::Plain(sd),
        basis: Basis::Typical,
    }
}

/// The average blade at this size and pitch, set steeper by `more_rad`.
fn typical_blade(
    diameter: Length,
    pitch: Length,
    blades: u32,
    more_rad: f64,
) -> Result<Blade, BladeError> {
    let radius_m = diameter.in_metres() / 2.0;
    let chord = (CHORD_M / radius_m).min(WIDEST_CHORD);
    let helix = (pitch.in_metres() / (0.75 * PI * diameter.in_metres())).atan();
    let at_075 = (helix + ANGLE_OVER_PITCH.in_radians() + more_rad).tan();
    let stations = CHORD_SHAPE.iter().zip(&TWIST_SHAPE).map(|(c, t)| Station {
        radius_ratio: c.0,
        chord_ratio: c.1 * chord,
        angle_rad: (t.1 * at_075 * 0.75 / c.0).atan(),
    });
    Blade::new(stations.collect(), blades, diameter)
}

/// Air of this density at 15 °C: viscosity moves by 5 % between 0 and 35 °C, the result by 1 %.
fn air_of(density: Density) -> Result<Air, AirError> {
    let pressure_pa = density.in_kilograms_per_cubic_metre() * 287.052_87 * 288.15;
    Air::from_pressure(Pressure::pascals(pressure_pa), Temperature::celsius(15.0))
}

fn range(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
    range: &'static str,
) -> Result<(), LabelError> {
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(LabelError::Range { what, value, range })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn label(d_mm: f64, p_mm: f64, blades: u32, rpm: f64) -> Result<LabelPropeller, LabelError> {
        from_label(
            Length::millimetres(d_mm),
            Length::millimetres(p_mm),
            blades,
            RotationSpeed::rpm(rpm),
            Density::kilograms_per_cubic_metre(1.225),
        )
    }

    #[test]
    fn checked_pitch_and_blades_raise_both_coefficients() {
        let thrust = |p, b| label(76.2, p, b, 18e3).unwrap().thrust_coefficient.value;
        let power = |p, b| label(76.2, p, b, 18e3).unwrap().power_coefficient.value;
        assert!(thrust(64.0, 3) > thrust(46.0, 3) && power(64.0, 3) > power(46.0, 3));
        assert!(thrust(46.0, 3) > thrust(46.0, 2) && power(46.0, 3) > power(46.0, 2));
    }

    #[test]
    fn checked_small_propellers_say_that_they_are_extrapolated() {
        assert!(label(31.0, 20.0, 4, 35e3).unwrap().extrapolated.is_some());
        assert_eq!(label(76.2, 46.0, 2, 18e3).unwrap().extrapolated, None);
    }

    #[test]
    fn checked_draws_have_the_stated_spread_and_correlation() {
        // The middle draw is the stated middle; one score moves C_T by one sd of its logarithm.
        let label = label(51.0, 38.0, 3, 24e3).unwrap();
        let middle = label.draw(0.0, 0.0);
        assert!((middle.figure_of_merit() - label.figure_of_merit.value.in_ones()).abs() < 1e-12);
        let Doubt::Factor(power_sd) = label.power_coefficient.doubt else {
            panic!()
        };
        let power = |t, m| label.draw(t, m).power_coefficient.ln();
        let by_thrust = power(0.5, 0.0) - power(-0.5, 0.0);
        let by_merit = power(0.0, 0.5) - power(0.0, -0.5);
        assert!((by_thrust.hypot(by_merit) - power_sd).abs() < 1e-9);
    }

    #[test]
    fn checked_labels_that_are_none_are_refused() {
        assert!(label(5.0, 3.0, 2, 2e4).is_err());
        assert!(label(76.0, 760.0, 2, 2e4).is_err());
        assert!(label(76.0, 46.0, 1, 2e4).is_err());
        assert!(label(f64::NAN, 46.0, 2, 2e4).is_err());
        assert!(label(76.0, 46.0, 2, f64::NAN).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn checked_every_label_has_a_propeller(
            d in 20.0..400.0_f64, ratio in 0.1..1.6_f64, blades in 2_u32..=8, rpm in 1e3..6e4_f64,
            z in (-4.0..4.0_f64, -4.0..4.0_f64),
        ) {
            let label = label(d, ratio * d, blades, rpm);
            let label = label.map_err(|error| TestCaseError::fail(error.to_string()))?;
            let drawn = label.draw(z.0, z.1);
            prop_assert!(drawn.thrust_coefficient > 0.0 && drawn.power_coefficient > 0.0);
            prop_assert!(drawn.figure_of_merit() < 1.0);
            prop_assert!(label.correlation.abs() <= 1.0);
        }
    }
}
