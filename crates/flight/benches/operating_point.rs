//! Time of one operating point: the ensemble asks for some tens of thousands of them.

use divan::{Bencher, black_box};
use flight::motor::Motor;
use flight::operating_point::{BusSource, Conditions, Drive, at_full_command, at_thrust};
use flight::propeller::Propeller;
use quantity::{Current, Density, Force, Length, Power, Resistance, VelocityConstant, Voltage};

fn main() {
    divan::main();
}

fn drive(trend: bool) -> Drive {
    let constant = Propeller::constant(Length::millimetres(76.2), 0.17, 0.1);
    Drive {
        rotors: 4,
        propeller: Propeller {
            thrust_exponent: if trend { 0.06 } else { 0.0 },
            power_exponent: if trend { -0.07 } else { 0.0 },
            ..constant
        },
        motor: Motor {
            velocity_constant: VelocityConstant::rpm_per_volt(3800.0),
            resistance: Resistance::milliohms(150.0),
            no_load_current: Current::amperes(0.15),
            no_load_slope_a_per_v: 0.025,
        },
        esc_efficiency: 0.95,
    }
}

fn conditions() -> Conditions {
    Conditions {
        density: Density::kilograms_per_cubic_metre(1.225),
        source: BusSource {
            emf: Voltage::volts(15.17),
            resistance: Resistance::milliohms(40.0),
        },
        avionics: Power::watts(6.0),
    }
}

#[divan::bench(args = [false, true])]
fn thrust(bencher: Bencher, trend: bool) {
    let (drive, conditions) = (drive(trend), conditions());
    let hover = Force::grams_force(57.5);
    bencher.bench_local(|| at_thrust(black_box(&drive), black_box(hover), black_box(&conditions)));
}

#[divan::bench(args = [false, true])]
fn full_command(bencher: Bencher, trend: bool) {
    let (drive, conditions) = (drive(trend), conditions());
    bencher
        .bench_local(|| at_full_command(black_box(&drive), black_box(1.0), black_box(&conditions)));
}
