//! The bus under constant power and constant current.

use power::{Cell, Chemistry, Pack, Source, TimeScale};
use quantity::{Charge, Current, MolarEnergy, Power, Resistance, Temperature, Voltage};

use crate::{Case, Kind, Tolerance};

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    [constant_power(), collapse(), worked_punches()].concat()
}

/// Upper root of V² − (E − RI)V + RP = 0.
fn constant_power() -> Vec<Case> {
    [
        ("one-cell-20-w", 3.7, 60.0, 20.0, 0.5, 3.3071),
        ("four-cell-300-w", 14.8, 50.0, 300.0, 2.0, 13.5968),
    ]
    .map(|(id, emf, milliohms, watts, amps, expected)| {
        let voltage = source(emf, milliohms).under(Power::watts(watts), Current::amperes(amps));
        case(
            id,
            "bus voltage [V]",
            expected,
            voltage.map_or(f64::NAN, Voltage::in_volts),
        )
    })
    .into()
}

/// E²/(4R): 3.7²/0.24 = 57.04 W; 3.5²/0.32 = 38.28 W, so 45 W have no solution.
fn collapse() -> Vec<Case> {
    [
        ("one-cell-limit", 3.7, 60.0, 57.05, 57.04),
        ("soft-cell-limit", 3.5, 80.0, 45.0, 38.28),
    ]
    .map(|(id, emf, milliohms, watts, expected)| {
        let answer = source(emf, milliohms).under(Power::watts(watts), Current::amperes(0.0));
        case(
            id,
            "power at which the bus collapses [W]",
            expected,
            answer.map_or_else(|collapse| collapse.limit.in_watts(), |_| f64::NAN),
        )
    })
    .into()
}

/// Punches as builders work them on paper: resting volts less current times everything in the path.
fn worked_punches() -> Vec<Case> {
    // Cells, mΩ per cell, mΩ outside, rested V per cell, A, V at the bus.
    [
        ("two-cell-new", 2, 16.0, 15.0, 3.60, 20.0, 6.26),
        ("one-cell-new", 1, 18.0, 12.0, 3.60, 13.0, 3.21),
        ("one-cell-aged", 1, 30.0, 20.0, 3.60, 11.0, 3.05),
    ]
    .map(|(id, series, cell, outside, rested, amps, expected)| {
        let pack = polymer(series, cell);
        let charge = pack.cell.charge_at(Voltage::volts(rested));
        let bus = pack
            .source(charge, Temperature::celsius(25.0), TimeScale::TenSeconds)
            .behind(Resistance::milliohms(outside))
            .at(Current::amperes(amps));
        Case {
            model: "bus in a punch",
            id: format!("punch-{id}"),
            source: "worked examples of the trade, common practice",
            kind: Kind::CommonPractice,
            what: "bus voltage [V]".into(),
            expected,
            computed: bus.in_volts(),
            tolerance: Tolerance::Absolute(0.005 + 1e-9),
            reason: "half the last printed digit",
        }
    })
    .into()
}

fn case(id: &str, what: &str, expected: f64, computed: f64) -> Case {
    Case {
        model: "bus under constant power",
        id: format!("constant-power-{id}"),
        source: "quadratic evaluated in Python",
        kind: Kind::Equation,
        what: what.into(),
        expected,
        computed,
        tolerance: Tolerance::Relative(1e-3),
        reason: "expected value printed to four digits or more",
    }
}

fn source(volts: f64, milliohms: f64) -> Source {
    Source {
        emf: Voltage::volts(volts),
        resistance: Resistance::milliohms(milliohms),
    }
}

fn polymer(series: u32, milliohms: f64) -> Pack {
    Pack {
        cell: Cell {
            chemistry: Chemistry::LithiumPolymer,
            capacity: Charge::milliampere_hours(450.0),
            resistance: Resistance::milliohms(milliohms),
            activation_energy: MolarEnergy::kilojoules_per_mole(20.0),
            sustained_ratio: 1.25,
            low_charge_rise: 0.0,
            open_circuit_offset: Voltage::volts(0.0),
        },
        series,
        parallel: 1,
    }
}
