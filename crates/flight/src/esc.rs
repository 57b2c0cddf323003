//! The speed controller as an averaging converter: it hands a share of the bus volts to the motor.
//!
//! Left out: dead time, commutation timing, braking on slow-down, and its own idle draw (count that
//! with the avionics).

use quantity::{Current, Frequency, Power, Resistance, Time, Voltage};

/// Volts the motor sees at a duty in 0…1.
pub fn motor_voltage(bus: Voltage, duty: f64) -> Voltage {
    bus * duty
}

/// Amperes drawn from the bus for one motor: `duty · I_motor / efficiency`.
pub fn bus_current(motor: Current, duty: f64, efficiency: f64) -> Current {
    motor * (duty / efficiency)
}

/// What a half bridge of two transistors in the current path loses, to first order.
///
/// Conduction `I²·2R_on` and switching `½·V·I·(t_rise + t_fall)·f`, both as in power-electronics
/// textbooks (Mohan, Undeland, Robbins, "Power Electronics", ch. 2; from memory). Real controllers
/// read clearly worse: gate drive, dead time and ripple are left out. Not validated against a
/// measured controller, so the program takes the efficiency from [`crate::typical::esc_efficiency_hover`]
/// and uses this only to explain.
pub fn textbook_loss(
    motor: Current,
    bus: Voltage,
    transistor: Resistance,
    rise_and_fall: Time,
    switching: Frequency,
) -> Power {
    let conduction = motor * (transistor * 2.0) * motor;
    let edges_share = rise_and_fall.in_seconds() * switching.in_hertz();
    conduction + bus * motor * (0.5 * edges_share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_textbook_loss_by_hand() {
        // 10² × 2 × 0.003 = 0.6 W; ½ × 16 × 10 × 150e-9 × 48e3 = 0.576 W.
        let loss = textbook_loss(
            Current::amperes(10.0),
            Voltage::volts(16.0),
            Resistance::milliohms(3.0),
            Time::microseconds(0.15),
            Frequency::kilohertz(48.0),
        );
        assert!((loss.in_watts() - 1.176).abs() < 1e-12);
    }

    #[test]
    fn checked_power_is_kept_up_to_the_efficiency() {
        let bus = Voltage::volts(7.4);
        let motor = Current::amperes(3.0);
        let taken = bus * bus_current(motor, 0.4, 0.9);
        let given = motor_voltage(bus, 0.4) * motor;
        assert!((given / taken - 0.9).abs() < 1e-12);
    }
}
