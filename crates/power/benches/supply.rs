//! How long the supply kernels take, one draw each.

use divan::{Bencher, black_box};
use power::{Cell, Chemistry, Pack, Regulator, RegulatorKind, TimeScale, Wire, discharge};
use quantity::{
    Charge, Current, Length, MolarEnergy, Power, Resistance, Temperature, Voltage, WireGauge,
};

fn main() {
    divan::main();
}

fn pack() -> Pack {
    Pack {
        cell: Cell {
            chemistry: Chemistry::LithiumPolymer,
            capacity: Charge::milliampere_hours(450.0),
            resistance: Resistance::milliohms(18.0),
            activation_energy: MolarEnergy::kilojoules_per_mole(20.0),
            sustained_ratio: 1.25,
            low_charge_rise: 0.4,
            open_circuit_offset: Voltage::millivolts(10.0),
        },
        series: 1,
        parallel: 1,
    }
}

#[divan::bench]
fn open_circuit(bencher: Bencher) {
    bencher.bench(|| black_box(Chemistry::LithiumPolymer).open_circuit(black_box(0.43)));
}

#[divan::bench]
fn charge_at(bencher: Bencher) {
    bencher
        .bench(|| black_box(Chemistry::LithiumPolymer).charge_at(black_box(Voltage::volts(3.7))));
}

#[divan::bench]
fn source(bencher: Bencher) {
    let pack = pack();
    bencher.bench(|| {
        black_box(&pack).source(
            black_box(0.2),
            black_box(Temperature::celsius(5.0)),
            TimeScale::TenSeconds,
        )
    });
}

#[divan::bench]
fn under(bencher: Bencher) {
    let source = pack().source(0.2, Temperature::celsius(5.0), TimeScale::TenSeconds);
    bencher.bench(|| {
        black_box(source).under(
            black_box(Power::watts(9.0)),
            black_box(Current::amperes(3.0)),
        )
    });
}

#[divan::bench]
fn under_regulator(bencher: Bencher) {
    let source = pack().source(0.2, Temperature::celsius(25.0), TimeScale::TenSeconds);
    let boost = Regulator {
        kind: RegulatorKind::Boost,
        output: Voltage::volts(5.0),
        drop_out: Voltage::volts(0.4),
        minimum_input: Voltage::volts(2.6),
        continuous_limit: Current::amperes(1.5),
        peak_limit: Current::amperes(2.0),
        efficiency: 0.85,
    };
    let fed = [(boost, Power::watts(5.0))];
    bencher.bench(|| {
        black_box(source).under_regulators(
            Power::watts(0.0),
            Current::amperes(6.0),
            black_box(&fed),
        )
    });
}

#[divan::bench]
fn wire_resistance(bencher: Bencher) {
    let wire = Wire::stranded(WireGauge::awg(22.0), Length::millimetres(40.0));
    bencher.bench(|| black_box(wire).resistance(black_box(Temperature::celsius(40.0))));
}

#[divan::bench]
fn discharge_to_landing_voltage(bencher: Bencher) {
    let pack = pack();
    bencher.bench(|| {
        discharge(
            black_box(&pack),
            Resistance::milliohms(12.0),
            black_box(Power::watts(9.0)),
            1.0,
            Voltage::volts(3.5),
            0.1,
            black_box(Temperature::celsius(25.0)),
        )
    });
}
