//! Where propeller, motor, speed controller and battery agree: at a thrust, at a speed, at a duty.
//!
//! Steady state, all rotors alike, static propellers. The speed controller's efficiency is one number
//! for the point asked; the caller chooses it for hover or for full command. Duty is not the stick: what the
//! stick or the overlay shows passes through idle offset, curve and limits first.

mod full_command;
mod inputs;

use crate::motor::Motor;
use crate::propeller::Propeller;
use full_command::Balance;
use inputs::{check, unusable};
use quantity::{Current, Density, Force, Power, Resistance, RotationSpeed, Speed, Torque, Voltage};
use thiserror::Error;

/// The rotors of a craft: how many, and what turns each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// Number of equal rotors.
    pub rotors: u32,
    /// The propeller as installed.
    pub propeller: Propeller,
    /// The motor at its working temperature.
    pub motor: Motor,
    /// Speed controller: motor power over bus power, at the point asked.
    pub esc_efficiency: f64,
}

/// The battery with everything up to the speed controllers, as one moment sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BusSource {
    /// Volts of the pack without current.
    pub emf: Voltage,
    /// Cells, plug, leads and board traces together.
    pub resistance: Resistance,
}

/// What the rotors work in and on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Density of the air.
    pub density: Density,
    /// Supply of the bus.
    pub source: BusSource,
    /// Bus power of everything that is not a motor.
    pub avionics: Power,
}

/// A steady state of the whole power train.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OperatingPoint {
    /// Propeller speed.
    pub rotation: RotationSpeed,
    /// Thrust of one rotor.
    pub thrust: Force,
    /// Torque of one rotor.
    pub torque: Torque,
    /// Shaft power of one rotor.
    pub shaft_power: Power,
    /// Current of one motor.
    pub motor_current: Current,
    /// Volts at the motor, averaged over the controller's switching.
    pub motor_voltage: Voltage,
    /// Shaft over electrical power of the motor.
    pub motor_efficiency: f64,
    /// Motor over bus volts, 0…1.
    pub duty: f64,
    /// Volts of the bus under this load.
    pub bus_voltage: Voltage,
    /// Amperes from the battery.
    pub bus_current: Current,
    /// Power from the bus, avionics and all motors.
    pub bus_power: Power,
    /// Speed of the blade tips.
    pub tip_speed: Speed,
}

/// Why there is no steady state.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NoPoint {
    /// The battery cannot give this power at any voltage: the bus falls until something resets.
    #[error("{asked_w:.1} W asked, the battery can give {limit_w:.1} W at most")]
    BusCollapse {
        /// Power asked of the bus \[W\].
        asked_w: f64,
        /// The most the source can give, `E²/4R` \[W\].
        limit_w: f64,
    },
    /// The thrust takes more volts at the motor than the loaded bus has.
    #[error("the motors need {needed_v:.2} V, the loaded bus has {bus_v:.2} V")]
    BeyondFullCommand {
        /// Volts the motor needs \[V\].
        needed_v: f64,
        /// Volts of the bus under that load \[V\].
        bus_v: f64,
    },
    /// The torque is more than the motor has even when held still.
    #[error("the torque takes {needed_a:.1} A, the stalled motor {stall_a:.1} A")]
    BeyondStall {
        /// Current the torque takes \[A\].
        needed_a: f64,
        /// Stall current at the bus volts \[A\].
        stall_a: f64,
    },
    /// The duty is too small to overcome the motor's own friction.
    #[error("{available_v:.3} V at the motor does not turn it; {needed_v:.3} V would")]
    DoesNotTurn {
        /// Volts the motor needs to begin turning \[V\].
        needed_v: f64,
        /// Volts it has \[V\].
        available_v: f64,
    },
    /// An input that is no physical value.
    #[error("{what} is {value}")]
    Unusable {
        /// Which input.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
}

/// The state in which each rotor gives `thrust_per_rotor`.
///
/// `n = √(T/(C_T ρ D⁴))` (with the Reynolds trend in the exponent), `Q = C_P ρ n² D⁵/2π`, motor from
/// [`Motor::needs`], bus from a constant-power load on a Thévenin source. Closed form, no iteration.
/// Validated: `coupled-*` within 1.5e-4.
#[inline]
pub fn at_thrust(
    drive: &Drive,
    thrust_per_rotor: Force,
    conditions: &Conditions,
) -> Result<OperatingPoint, NoPoint> {
    check(drive, conditions, ("thrust", thrust_per_rotor.in_newtons()))?;
    let (rotation, torque) = drive
        .propeller
        .turning(thrust_per_rotor, conditions.density);
    steady(drive, rotation, thrust_per_rotor, torque, conditions)
}

/// The state at a propeller speed, as heard or logged.
pub fn at_rotation(
    drive: &Drive,
    rotation: RotationSpeed,
    conditions: &Conditions,
) -> Result<OperatingPoint, NoPoint> {
    let asked = rotation.in_radians_per_second();
    check(drive, conditions, ("rotation speed", asked))?;
    let thrust = drive.propeller.thrust(rotation, conditions.density);
    let torque = drive.propeller.torque(rotation, conditions.density);
    steady(drive, rotation, thrust, torque, conditions)
}

/// The state with all controllers at `duty_limit`; 1 is full command.
///
/// `V_motor = d·V_bus`, `I_bus = d·N·I/η + P_av/V_bus`, `V_bus = E − R·I_bus`, solved for the speed on the
/// branch of high bus voltage. Validated: `coupled-*` within 1.5e-4.
#[inline]
pub fn at_full_command(
    drive: &Drive,
    duty_limit: f64,
    conditions: &Conditions,
) -> Result<OperatingPoint, NoPoint> {
    check(drive, conditions, ("duty", duty_limit))?;
    if duty_limit == 0.0 || duty_limit > 1.0 {
        return Err(unusable("duty", duty_limit));
    }
    let balance = Balance::new(drive, duty_limit, conditions);
    match balance.solve() {
        Some(root) => Ok(balance.point(drive, &root, conditions)),
        None => hard_pressed(drive, duty_limit, conditions),
    }
}

/// Full command of a craft near the limit of its battery. Apart from the quick way, and from its numbers,
/// which otherwise would all have to be kept for it.
#[cold]
fn hard_pressed(
    drive: &Drive,
    duty_limit: f64,
    conditions: &Conditions,
) -> Result<OperatingPoint, NoPoint> {
    let balance = Balance::new(drive, duty_limit, conditions);
    let root = balance.insist(conditions)?;
    Ok(balance.point(drive, &root, conditions))
}

/// The state at a known speed, thrust and torque, where the load on the bus is a known power.
#[inline]
fn steady(
    drive: &Drive,
    rotation: RotationSpeed,
    thrust: Force,
    torque: Torque,
    conditions: &Conditions,
) -> Result<OperatingPoint, NoPoint> {
    let (motor_voltage, motor_current) = drive.motor.needs(rotation, torque);
    let electrical = motor_voltage * motor_current;
    let bus_power = electrical * per_rotor_watt(drive) + conditions.avionics;
    let bus_voltage = loaded_bus(conditions.source, bus_power)?;
    if motor_voltage > bus_voltage {
        return Err(too_much(drive, motor_voltage, motor_current, bus_voltage));
    }
    let shaft_power = torque * rotation;
    Ok(OperatingPoint {
        rotation,
        thrust,
        torque,
        shaft_power,
        motor_current,
        motor_voltage,
        motor_efficiency: efficiency(shaft_power, electrical),
        duty: motor_voltage / bus_voltage,
        bus_voltage,
        bus_current: drawn(bus_power, bus_voltage),
        bus_power,
        tip_speed: tip_speed(drive, rotation),
    })
}

/// Bus power of all motors over the electrical power of one, `N/η`.
#[inline]
fn per_rotor_watt(drive: &Drive) -> f64 {
    f64::from(drive.rotors) / drive.esc_efficiency
}

/// Volts of a Thévenin source under a constant power: the upper root of `V² − E·V + R·P = 0`.
#[inline]
fn loaded_bus(source: BusSource, power: Power) -> Result<Voltage, NoPoint> {
    let (e, rp) = (
        source.emf.in_volts(),
        source.resistance.in_ohms() * power.in_watts(),
    );
    let square = e * e - 4.0 * rp;
    if square < 0.0 {
        return Err(collapse(source, power.in_watts()));
    }
    Ok(Voltage::volts(0.5 * (e + square.sqrt())))
}

#[cold]
fn too_much(drive: &Drive, needed: Voltage, current: Current, bus: Voltage) -> NoPoint {
    let stall_a = bus.in_volts() / drive.motor.resistance.in_ohms();
    if current.in_amperes() > stall_a {
        return NoPoint::BeyondStall {
            needed_a: current.in_amperes(),
            stall_a,
        };
    }
    NoPoint::BeyondFullCommand {
        needed_v: needed.in_volts(),
        bus_v: bus.in_volts(),
    }
}

#[cold]
fn collapse(source: BusSource, asked_w: f64) -> NoPoint {
    let e = source.emf.in_volts();
    NoPoint::BusCollapse {
        asked_w,
        limit_w: e * e / (4.0 * source.resistance.in_ohms()),
    }
}

#[inline]
fn drawn(power: Power, voltage: Voltage) -> Current {
    Current::amperes(power.in_watts() / voltage.in_volts())
}

#[inline]
fn efficiency(shaft: Power, electrical: Power) -> f64 {
    if electrical.in_watts() > 0.0 {
        shaft / electrical
    } else {
        0.0
    }
}

#[inline]
fn tip_speed(drive: &Drive, rotation: RotationSpeed) -> Speed {
    let radius_m = drive.propeller.diameter.in_metres() / 2.0;
    Speed::metres_per_second(rotation.in_radians_per_second() * radius_m)
}

#[cfg(test)]
mod tests;
