//! A propeller whose blade somebody measured: chord and angle along the radius.

use super::{POWER_EXPONENT, Propeller, THRUST_EXPONENT, power_coefficient};
use crate::air::Air;
use crate::blade_element::{Blade, BladeError, SmallPropellerSection, Stream};
use quantity::{Doubt, RotationSpeed};

/// A predicted propeller and how far it may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GeometryPropeller {
    /// The middle prediction.
    pub propeller: Propeller,
    /// Doubt of `C_T`.
    pub thrust: Doubt,
    /// Doubt of `C_P`; moves with that of `C_T` more than against it.
    pub power: Doubt,
}

/// One measured static run, or one line of a thrust table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StaticPoint {
    /// Speed of the run.
    pub rotation: RotationSpeed,
    /// Its `C_T`.
    pub thrust_coefficient: f64,
    /// Its `C_P`.
    pub power_coefficient: f64,
}

/// Static coefficients from a measured blade, about the speed it will turn at.
///
/// Blade elements with the small-propeller polar, corrected for blade area. Without a static point ±17 %
/// in thrust and ±18 % in power: each of the 13 measured propellers, left out in turn, is predicted
/// within 13 % in both, and the rest allows for the polar having been fitted on them. With a static point
/// the coefficients are that point's, and the doubt is what remains of a scaled prediction in forward
/// flight: 7 % and 9 % of the static value. Validated: `static-*`, `merit-*`, `forward-*` without the
/// correction, `shape-*` with it.
pub fn from_geometry(
    blade: &Blade,
    air: &Air,
    rotation: RotationSpeed,
    known: Option<StaticPoint>,
) -> Result<GeometryPropeller, BladeError> {
    let loads = blade.loads(&SmallPropellerSection, &Stream::still(*air, rotation))?;
    let bias = Bias::of(blade);
    let thrust = loads.thrust_coefficient / bias.thrust;
    let merit = loads.figure_of_merit() / bias.figure_of_merit;
    let point = known.unwrap_or(StaticPoint {
        rotation,
        thrust_coefficient: thrust,
        power_coefficient: power_coefficient(thrust, merit),
    });
    let (thrust, power) = match known {
        Some(_) => (0.07, 0.09),
        None => (0.17, 0.18),
    };
    Ok(GeometryPropeller {
        propeller: Propeller {
            diameter: blade.diameter(),
            thrust_coefficient: point.thrust_coefficient,
            power_coefficient: point.power_coefficient,
            reference: point.rotation,
            thrust_exponent: THRUST_EXPONENT,
            power_exponent: POWER_EXPONENT,
        },
        thrust: Doubt::Factor(thrust),
        power: Doubt::Factor(power),
    })
}

/// Predicted over true, of the blade elements with measured shape.
///
/// Over the 13 propellers of the University of Illinois set the figure of merit comes out 14 % too high
/// and the thrust coefficient as `1.03·(solidity/0.12)^0.31`: the more blade on the disc, the more
/// thrust is promised. That is what strip theory is known to do for short wide blades (Caradonna and Tung,
/// NASA TM-81232, on a rotor of aspect ratio 6: 21–36 %). The slope's standard error is 0.10; left
/// out in turn, each propeller is predicted within 13 % (1 sd) with it and 17 % without.
pub(super) struct Bias {
    pub thrust: f64,
    pub thrust_doubt: f64,
    pub figure_of_merit: f64,
}

impl Bias {
    pub fn of(blade: &Blade) -> Self {
        let from_middle = (blade.solidity() / 0.12).ln();
        Self {
            thrust: 1.03 * (0.31 * from_middle).exp(),
            // Standard error of the slope; inside the set it is part of the doubt found there.
            thrust_doubt: 0.10 * (from_middle - 0.43).max(0.0),
            figure_of_merit: 1.136,
        }
    }
}
