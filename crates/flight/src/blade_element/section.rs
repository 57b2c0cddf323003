//! Lift and drag of a blade section.

/// Lift and drag coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionCoefficients {
    /// Lift, across the local stream.
    pub lift: f64,
    /// Drag, along it.
    pub drag: f64,
}

/// Something that knows a section's polar.
pub trait Section {
    /// Coefficients at an angle of attack to the chord line \[rad\] and a chord Reynolds number.
    fn coefficients(&self, angle_of_attack_rad: f64, reynolds: f64) -> SectionCoefficients;
}

/// Straight lift line, constant drag, no stall: for comparison with closed forms and other programs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearSection {
    /// Lift per radian.
    pub slope: f64,
    /// Drag coefficient.
    pub drag: f64,
}

impl Section for LinearSection {
    fn coefficients(&self, angle_of_attack_rad: f64, _reynolds: f64) -> SectionCoefficients {
        SectionCoefficients {
            lift: self.slope * angle_of_attack_rad,
            drag: self.drag,
        }
    }
}

/// One polar for all small moulded blades, Reynolds number some 5 000–50 000.
///
/// Fitted on the static and advance runs of 13 propellers of 57–130 mm (University of Illinois
/// Propeller Database, volume 2; Deters, Ananda, Selig, AIAA 2014-2151), whose sections were not measured. The
/// cases that use the same propellers therefore show that one polar serves thirteen blades, not
/// that it predicts a fourteenth. Beyond stall: flat plate.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SmallPropellerSection;

/// Lift per radian in the linear part.
const SLOPE: f64 = 5.343;
/// Angle of no lift \[rad\], negative: the sections are cambered.
const NO_LIFT_RAD: f64 = -0.0207;
/// Exponent that rounds the lift curve into its maximum.
const ROUNDING: f64 = 4.47;
/// Reynolds number the coefficients belong to.
const REFERENCE_REYNOLDS: f64 = 3e4;
/// Greatest negative lift.
const LOWEST_LIFT: f64 = 0.7;
/// Distance from the angle of no lift where stalled drag takes over, and its width \[rad\].
const STALL_DRAG_RAD: (f64, f64) = (14.0 * DEGREE, 3.0 * DEGREE);
/// Distance where flat-plate lift takes over, and its width \[rad\].
const PLATE_LIFT_RAD: (f64, f64) = (28.0 * DEGREE, 3.0 * DEGREE);
const DEGREE: f64 = std::f64::consts::PI / 180.0;

impl Section for SmallPropellerSection {
    fn coefficients(&self, angle_of_attack_rad: f64, reynolds: f64) -> SectionCoefficients {
        // The fit does not reach beyond these; the root of a slow blade does.
        let reynolds = reynolds.clamp(2e3, 5e5) / REFERENCE_REYNOLDS;
        let from_no_lift = angle_of_attack_rad - NO_LIFT_RAD;
        let linear = SLOPE * from_no_lift;
        let greatest = if linear > 0.0 {
            1.493 + 0.182 * reynolds.log10()
        } else {
            LOWEST_LIFT
        };
        let attached =
            linear / (1.0 + (linear / greatest).abs().powf(ROUNDING)).powf(1.0 / ROUNDING);
        let plate = 1.1 * (2.0 * angle_of_attack_rad).sin();
        let friction = 0.0329 * reynolds.powf(-0.64);
        let attached_drag = friction + 0.0323 * (linear - 0.3) * (linear - 0.3);
        let stalled_drag = friction + 1.8 * angle_of_attack_rad.sin().powi(2);
        SectionCoefficients {
            lift: blend(attached, plate, from_no_lift, PLATE_LIFT_RAD),
            drag: blend(attached_drag, stalled_drag, from_no_lift, STALL_DRAG_RAD),
        }
    }
}

/// From `before` to `after` on a logistic curve as `|angle|` passes the centre.
fn blend(before: f64, after: f64, angle: f64, (centre, width): (f64, f64)) -> f64 {
    let share = 1.0 / (1.0 + (-(angle.abs() - centre) / width).exp());
    before + share * (after - before)
}
