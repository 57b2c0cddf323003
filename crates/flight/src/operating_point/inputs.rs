//! What an operating point asks of its inputs before it believes them.

use super::{Conditions, Drive, NoPoint};

/// Whether rotors, surroundings and the amount asked for, which may be zero, are physical values.
#[inline]
pub(super) fn check(
    drive: &Drive,
    conditions: &Conditions,
    (what, asked): (&'static str, f64),
) -> Result<(), NoPoint> {
    if usable(drive, conditions, asked) {
        Ok(())
    } else {
        find_fault(drive, conditions).and_then(|()| not_negative(what, asked))
    }
}

/// Whether every input is a physical value: the questions of [`find_fault`] put to all of them at once,
/// because a good draw has to answer every one anyway.
#[inline]
fn usable(drive: &Drive, conditions: &Conditions, asked: f64) -> bool {
    let (propeller, motor) = (&drive.propeller, &drive.motor);
    let above_zero = [
        f64::from(drive.rotors),
        propeller.diameter.in_metres(),
        propeller.thrust_coefficient,
        propeller.power_coefficient,
        propeller.reference.in_radians_per_second(),
        motor.k(),
        conditions.density.in_kilograms_per_cubic_metre(),
        conditions.source.emf.in_volts(),
        drive.esc_efficiency,
    ];
    let not_below = [
        motor.resistance.in_ohms(),
        motor.no_load_current.in_amperes(),
        motor.no_load_slope_a_per_v,
        conditions.source.resistance.in_ohms(),
        conditions.avionics.in_watts(),
        asked,
    ];
    // One chain of each kind: two side by side are turned into pairwise loads, which must wait for the
    // stores of a draw that was made a moment ago (half the time of a hover).
    let smaller = |least, value: &f64| if *value < least { *value } else { least };
    let least = above_zero.iter().fold(f64::INFINITY, smaller);
    // What is no number, or has no end, makes the sum so too. Good values that add up to no end are sent
    // to `find_fault` for nothing.
    let sum: f64 = above_zero.iter().chain(&not_below).sum();
    (sum < f64::INFINITY)
        & (least > 0.0)
        & (not_below.iter().fold(least, smaller) >= 0.0)
        & (drive.esc_efficiency <= 1.0)
        & (propeller.thrust_exponent.abs() <= 1.0)
        & (propeller.power_exponent.abs() <= 1.0)
}

/// Names the input that is no physical value.
#[cold]
fn find_fault(drive: &Drive, conditions: &Conditions) -> Result<(), NoPoint> {
    let (propeller, motor) = (&drive.propeller, &drive.motor);
    let positive = [
        ("number of rotors", f64::from(drive.rotors)),
        ("diameter", propeller.diameter.in_metres()),
        ("thrust coefficient", propeller.thrust_coefficient),
        ("power coefficient", propeller.power_coefficient),
        (
            "reference speed",
            propeller.reference.in_radians_per_second(),
        ),
        ("velocity constant", motor.k()),
        (
            "air density",
            conditions.density.in_kilograms_per_cubic_metre(),
        ),
        ("supply voltage", conditions.source.emf.in_volts()),
        ("controller efficiency", drive.esc_efficiency),
    ];
    for (what, value) in positive {
        if !(value > 0.0 && value < f64::INFINITY) {
            return Err(unusable(what, value));
        }
    }
    not_negative("motor resistance", motor.resistance.in_ohms())?;
    not_negative("no-load current", motor.no_load_current.in_amperes())?;
    not_negative("growth of the no-load current", motor.no_load_slope_a_per_v)?;
    not_negative("supply resistance", conditions.source.resistance.in_ohms())?;
    not_negative("avionics power", conditions.avionics.in_watts())?;
    // Beyond these the thrust or the torque would no longer grow with speed.
    for (what, value) in [
        ("thrust exponent", propeller.thrust_exponent),
        ("power exponent", propeller.power_exponent),
    ] {
        if value.is_nan() || value.abs() > 1.0 {
            return Err(unusable(what, value));
        }
    }
    if drive.esc_efficiency > 1.0 {
        return Err(unusable("controller efficiency", drive.esc_efficiency));
    }
    Ok(())
}

fn not_negative(what: &'static str, value: f64) -> Result<(), NoPoint> {
    if (0.0..f64::INFINITY).contains(&value) {
        Ok(())
    } else {
        Err(unusable(what, value))
    }
}

#[cold]
pub(super) fn unusable(what: &'static str, value: f64) -> NoPoint {
    NoPoint::Unusable { what, value }
}
