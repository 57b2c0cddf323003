//! Where propeller, motor, speed controller and battery agree: at a thrust, at a speed, at a duty.
//!
//! Steady state, all rotors alike, static propellers. The speed controller's efficiency is one number
//! for the point asked; the caller chooses it for hover or for full command. Duty is not the stick: what the
//! stick or the overlay shows passes through idle offset, curve and limits first.

use crate::motor::Motor;
use crate::propeller::{Propeller, power_of};
use quantity::{Current, Density, Force, Power, Resistance, RotationSpeed, Speed, Torque, Voltage};
use std::f64::consts::TAU;
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
pub fn at_thrust(
    drive: &Drive,
    thrust_per_rotor: Force,
    conditions: &Conditions,
) -> Result<OperatingPoint, NoPoint> {
    check(drive, conditions)?;
    not_negative("thrust", thrust_per_rotor.in_newtons())?;
    let rotation = drive
        .propeller
        .rotation(thrust_per_rotor, conditions.density);
    steady(drive, rotation, thrust_per_rotor, conditions)
}

/// The state at a propeller speed, as heard or logged.
pub fn at_rotation(
    drive: &Drive,
    rotation: RotationSpeed,
    conditions: &Conditions,
) -> Result<OperatingPoint, NoPoint> {
    check(drive, conditions)?;
    not_negative("rotation speed", rotation.in_radians_per_second())?;
    let thrust = drive.propeller.thrust(rotation, conditions.density);
    steady(drive, rotation, thrust, conditions)
}

/// The state with all controllers at `duty_limit`; 1 is full command.
///
/// `V_motor = d·V_bus`, `I_bus = d·N·I/η + P_av/V_bus`, `V_bus = E − R·I_bus`, solved for the speed on the
/// branch of high bus voltage. Validated: `coupled-*` within 1.5e-4.
pub fn at_full_command(
    drive: &Drive,
    duty_limit: f64,
    conditions: &Conditions,
) -> Result<OperatingPoint, NoPoint> {
    check(drive, conditions)?;
    if !(duty_limit > 0.0 && duty_limit <= 1.0) {
        return Err(unusable("duty", duty_limit));
    }
    let balance = Balance::new(drive, duty_limit, conditions);
    let emf_v = balance.solve(conditions)?;
    Ok(balance.point(drive, emf_v, conditions))
}

/// The state at a known speed and thrust, where the load on the bus is a known power.
#[inline]
fn steady(
    drive: &Drive,
    rotation: RotationSpeed,
    thrust: Force,
    conditions: &Conditions,
) -> Result<OperatingPoint, NoPoint> {
    let torque = drive.propeller.torque(rotation, conditions.density);
    let (motor_voltage, motor_current) = drive.motor.needs(rotation, torque);
    let motors_w =
        f64::from(drive.rotors) * (motor_voltage * motor_current).in_watts() / drive.esc_efficiency;
    let bus_power = Power::watts(motors_w) + conditions.avionics;
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
        motor_efficiency: efficiency(shaft_power, motor_voltage * motor_current),
        duty: motor_voltage / bus_voltage,
        bus_voltage,
        bus_current: drawn(bus_power, bus_voltage),
        bus_power,
        tip_speed: tip_speed(drive, rotation),
    })
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

/// The one equation of full command, in the motor's back-EMF `e`.
///
/// `g(e) = V_bus(e) + a·I(e) + b/V_bus(e) − E`, `V_bus = (e + I·R_motor)/d`, `I = c·e^m + I00 + I01·e`,
/// `a = R·d·N/η`, `b = R·P_av`. The high branch is the largest root; above it g rises.
struct Balance {
    duty: f64,
    emf_source_v: f64,
    bus_per_motor_ohm: f64,
    avionics_v2: f64,
    motor_ohm: f64,
    torque_current: f64,
    torque_exponent: f64,
    no_load_a: f64,
    no_load_slope: f64,
}

impl Balance {
    #[inline]
    fn new(drive: &Drive, duty: f64, conditions: &Conditions) -> Self {
        let (motor, propeller) = (&drive.motor, &drive.propeller);
        let k = motor.k();
        let exponent = propeller.power_exponent;
        let reference = propeller.reference.in_radians_per_second();
        // Q = scale·(ω/2π)²·(ω/ω_ref)^x and I_torque = k·Q with ω = k·e.
        let turns = k / TAU;
        let torque_current = k
            * propeller.torque_scale(conditions.density)
            * turns
            * turns
            * power_of(k / reference, exponent);
        let source_ohm = conditions.source.resistance.in_ohms();
        Self {
            duty,
            emf_source_v: conditions.source.emf.in_volts(),
            bus_per_motor_ohm: source_ohm * duty * f64::from(drive.rotors) / drive.esc_efficiency,
            avionics_v2: source_ohm * conditions.avionics.in_watts(),
            motor_ohm: motor.resistance.in_ohms(),
            torque_current,
            torque_exponent: 2.0 + exponent,
            no_load_a: motor.no_load_current.in_amperes(),
            no_load_slope: motor.no_load_slope_a_per_v,
        }
    }

    /// Motor current and its derivative at back-EMF `e`.
    #[inline]
    fn current(&self, e: f64) -> (f64, f64) {
        if e <= 0.0 {
            return (self.no_load_a, self.no_load_slope);
        }
        let drag = self.torque_current * e * e * power_of(e, self.torque_exponent - 2.0);
        let slope = self.torque_exponent * drag / e;
        (
            drag + self.no_load_a + self.no_load_slope * e,
            slope + self.no_load_slope,
        )
    }

    /// `g` and its derivative.
    #[inline]
    fn residual(&self, e: f64) -> (f64, f64) {
        let (current, current_slope) = self.current(e);
        let bus = (e + current * self.motor_ohm) / self.duty;
        let bus_slope = (1.0 + current_slope * self.motor_ohm) / self.duty;
        let avionics = if self.avionics_v2 == 0.0 {
            0.0
        } else {
            self.avionics_v2 / bus
        };
        (
            bus + self.bus_per_motor_ohm * current + avionics - self.emf_source_v,
            bus_slope + self.bus_per_motor_ohm * current_slope - avionics / bus * bus_slope,
        )
    }

    /// The largest root. `g` is above zero where the motor would run at the open-circuit volts, and
    /// convex below it for every propeller whose torque grows faster than its speed, so Newton's
    /// steps come down to the root from above. Where they run past it, a bracket takes over.
    #[inline]
    fn solve(&self, conditions: &Conditions) -> Result<f64, NoPoint> {
        let top = self.duty * self.emf_source_v;
        let mut e = self.first_guess(top);
        for _ in 0..24 {
            let (g, slope) = self.residual(e);
            let next = e - g / slope;
            if !(slope > 0.0 && next > 0.0 && next <= top) {
                break;
            }
            if (next - e).abs() <= 1e-12 * top {
                return Ok(next);
            }
            e = next;
        }
        self.bracketed(top, conditions)
    }

    /// The root for torque ∝ speed² with the avionics current taken at the open-circuit volts.
    #[inline]
    fn first_guess(&self, top: f64) -> f64 {
        let ohm = self.motor_ohm / self.duty + self.bus_per_motor_ohm;
        let curve = ohm * self.torque_current * power_of(0.8 * top, self.torque_exponent - 2.0);
        let line = 1.0 / self.duty + ohm * self.no_load_slope;
        let left = self.emf_source_v - ohm * self.no_load_a - self.avionics_v2 / self.emf_source_v;
        if left <= 0.0 {
            return top;
        }
        2.0 * left / (line + (line * line + 4.0 * curve * left).sqrt())
    }

    /// Bisection between the lowest point of `g` and the top, or the reason why there is no root.
    #[cold]
    fn bracketed(&self, top: f64, conditions: &Conditions) -> Result<f64, NoPoint> {
        let low = self.lowest(top);
        if self.residual(low).0 > 0.0 {
            return Err(self.refuse(low, conditions));
        }
        let (mut low, mut high) = (low, top);
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if self.residual(middle).0 > 0.0 {
                high = middle;
            } else {
                low = middle;
            }
        }
        Ok(0.5 * (low + high))
    }

    /// Where `g` is lowest in 0…top.
    fn lowest(&self, top: f64) -> f64 {
        let (mut low, mut high) = (0.0, top);
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if self.residual(middle).1 > 0.0 {
                high = middle;
            } else {
                low = middle;
            }
        }
        low
    }

    fn refuse(&self, lowest_e: f64, conditions: &Conditions) -> NoPoint {
        let idle = loaded_bus(conditions.source, conditions.avionics);
        let (current, _) = self.current(lowest_e);
        let motor_v = lowest_e + current * self.motor_ohm;
        let start_v = self.no_load_a * self.motor_ohm;
        match idle {
            Err(collapse) => collapse,
            Ok(bus) if start_v > self.duty * bus.in_volts() => NoPoint::DoesNotTurn {
                needed_v: start_v,
                available_v: self.duty * bus.in_volts(),
            },
            Ok(_) => {
                let source_ohm = conditions.source.resistance.in_ohms();
                let motors_w = self.bus_per_motor_ohm / source_ohm * current * motor_v / self.duty;
                collapse(conditions.source, conditions.avionics.in_watts() + motors_w)
            }
        }
    }

    #[inline]
    fn point(&self, drive: &Drive, e: f64, conditions: &Conditions) -> OperatingPoint {
        let rotation = drive.motor.velocity_constant * Voltage::volts(e);
        let (current, _) = self.current(e);
        let motor_voltage = Voltage::volts(e + current * self.motor_ohm);
        let motor_current = Current::amperes(current);
        let bus_voltage = motor_voltage / self.duty;
        let torque = Torque::newton_metres(
            (current - self.no_load_a - self.no_load_slope * e) / drive.motor.k(),
        );
        let shaft_power = torque * rotation;
        let motors =
            (motor_voltage * motor_current) * (f64::from(drive.rotors) / drive.esc_efficiency);
        let bus_power = motors + conditions.avionics;
        OperatingPoint {
            rotation,
            thrust: drive.propeller.thrust(rotation, conditions.density),
            torque,
            shaft_power,
            motor_current,
            motor_voltage,
            motor_efficiency: efficiency(shaft_power, motor_voltage * motor_current),
            duty: self.duty,
            bus_voltage,
            bus_current: drawn(bus_power, bus_voltage),
            bus_power,
            tip_speed: tip_speed(drive, rotation),
        }
    }
}

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

#[inline]
fn check(drive: &Drive, conditions: &Conditions) -> Result<(), NoPoint> {
    if usable(drive, conditions) {
        Ok(())
    } else {
        find_fault(drive, conditions)
    }
}

/// Whether every input is a physical value: the same questions as [`find_fault`], asked all at once
/// and without a branch, because a good draw has to answer all of them anyway.
#[inline]
fn usable(drive: &Drive, conditions: &Conditions) -> bool {
    let (propeller, motor) = (&drive.propeller, &drive.motor);
    let positive = |value: f64| (value > 0.0) & (value < f64::INFINITY);
    let not_negative = |value: f64| (0.0..f64::INFINITY).contains(&value);
    (drive.rotors > 0)
        & positive(propeller.diameter.in_metres())
        & positive(propeller.thrust_coefficient)
        & positive(propeller.power_coefficient)
        & positive(propeller.reference.in_radians_per_second())
        & positive(motor.k())
        & positive(conditions.density.in_kilograms_per_cubic_metre())
        & positive(conditions.source.emf.in_volts())
        & (drive.esc_efficiency > 0.0)
        & (drive.esc_efficiency <= 1.0)
        & not_negative(motor.resistance.in_ohms())
        & not_negative(motor.no_load_current.in_amperes())
        & not_negative(motor.no_load_slope_a_per_v)
        & not_negative(conditions.source.resistance.in_ohms())
        & not_negative(conditions.avionics.in_watts())
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

#[inline]
fn not_negative(what: &'static str, value: f64) -> Result<(), NoPoint> {
    if (0.0..f64::INFINITY).contains(&value) {
        Ok(())
    } else {
        Err(unusable(what, value))
    }
}

fn unusable(what: &'static str, value: f64) -> NoPoint {
    NoPoint::Unusable { what, value }
}

#[cfg(test)]
mod tests;
