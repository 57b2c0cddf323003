//! Cells, pulses, packs and how long they last, against simulated cells of others.

use power::pulse::{PulseFit, SlowPart, voltage_lost};
use power::{Cell, Chemistry, Pack, Source, TimeScale, discharge, parallel_packs};
use quantity::{
    Capacitance, Charge, Current, MolarEnergy, Power, Resistance, Temperature, Time, Voltage,
};

use crate::{Case, Kind, Tolerance};

const OCV: &str = include_str!("../data/propulsion-cell-ocv.csv");
const DISCHARGES: &str = include_str!("../data/propulsion-cell-discharge.csv");
const PULSE: &str = include_str!("../data/propulsion-cell-pulse-Ai2020.csv");
const RESISTANCE: &str = include_str!("../data/propulsion-cell-resistance-vs-T.csv");
const TWO_PART_PULSE: &str = include_str!("../data/propulsion-ecm-pulse.csv");
const COUPLED: &str = include_str!("../data/propulsion-coupled-cases.csv");

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    [
        resting_curves(),
        resting_practice(),
        temperature_law(),
        temperature_of_model_cells(),
        time_of_model_cells(),
        two_part_pulse(),
        fitted_pulse(),
        sustained_discharge(),
        packs_in_parallel(),
        endurance(),
    ]
    .concat()
}

/// Rows of a table: comment lines and the heading left out.
pub(crate) fn rows(table: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    table
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| line.split(',').collect())
}

/// A number of a table that must be there.
pub(crate) fn number(text: &str) -> f64 {
    text.trim().parse().expect("a number in the table")
}

/// Every row of the electrode curves, in the three columns that are used.
fn resting_curves() -> Vec<Case> {
    let columns = [
        (Chemistry::LithiumPolymer, 1, "polymer"),
        (Chemistry::LithiumIon, 4, "ion"),
        (Chemistry::LithiumPolymerHighVoltage, 7, "high-voltage"),
    ];
    let every = columns
        .into_iter()
        .flat_map(|column| rows(OCV).map(move |row| (column, row)));
    every
        .map(|((chemistry, column, name), row)| Case {
            model: "resting voltage",
            id: format!("resting-{name}-{}", row[0]),
            source: "pybamm 26.10.1.1, electrode curves of Ai et al. 2020 and Chen et al. 2020 \
                     (data/propulsion-cell-ocv.csv)",
            kind: Kind::Simulation,
            what: format!("resting voltage, {name} [V]"),
            expected: number(row[column]),
            computed: chemistry.open_circuit(number(row[0])).in_volts(),
            tolerance: Tolerance::Absolute(5e-6),
            reason: "half the last digit of the table; this also catches a slip in copying",
        })
        .collect()
}

/// The table builders carry in their heads, from 10 % charge up.
fn resting_practice() -> Vec<Case> {
    let known = rows(OCV).filter(|row| !row[8].is_empty() && number(row[0]) >= 0.1);
    known
        .map(|row| Case {
            model: "resting voltage",
            id: format!("resting-rule-of-thumb-{}", row[0]),
            source: "widely circulated resting-voltage table, remembered \
                     (data/propulsion-cell-ocv.csv, last column)",
            kind: Kind::CommonPractice,
            what: "resting voltage, polymer [V]".into(),
            expected: number(row[8]),
            computed: Chemistry::LithiumPolymer
                .open_circuit(number(row[0]))
                .in_volts(),
            tolerance: Tolerance::Absolute(0.060),
            reason: "one and a half of the ±40 mV the offset of a real cell is given",
        })
        .collect()
}

/// Ea 20 kJ/mol by hand: exp(20000/8.314·(1/T − 1/298.15)).
fn temperature_law() -> Vec<Case> {
    [(-10.0, 2.925), (0.0, 2.093), (10.0, 1.533), (40.0, 0.679)]
        .map(|(celsius, expected)| Case {
            model: "cell resistance, temperature",
            id: format!("arrhenius-20-kj-{celsius}-c"),
            source: "Arrhenius law evaluated by hand, R = 8.314 J/(mol·K)",
            kind: Kind::Equation,
            what: "resistance over that at 25 °C".into(),
            expected,
            computed: plain_cell()
                .resistance(Temperature::celsius(celsius), 0.5, TimeScale::TenSeconds)
                .in_ohms(),
            tolerance: Tolerance::Relative(1e-3),
            reason: "expected value printed to three decimals",
        })
        .into()
}

/// Two power cells of the literature, simulated; the law lies between 0.8 and 1.3 of their mean.
fn temperature_of_model_cells() -> Vec<Case> {
    rows(RESISTANCE)
        .filter(|row| row[0] == "Ecker2015")
        .map(|ecker| {
            let regan = rows(RESISTANCE)
                .find(|row| row[0] == "ORegan2022" && row[2] == ecker[2])
                .expect("both cells at the same temperatures");
            let mean = 0.5 * (number(ecker[6]) + number(regan[6]));
            Case {
                model: "cell resistance, temperature",
                id: format!("model-cells-{}-c", ecker[2]),
                source: "pybamm 26.10.1.1, DFN of Ecker et al. 2015 and O'Regan et al. 2022 \
                         (data/propulsion-cell-resistance-vs-T.csv)",
                kind: Kind::Simulation,
                what: "resistance over that at 25 °C, law with 20 kJ/mol".into(),
                expected: 0.5 * (0.8 + 1.3) * mean,
                computed: plain_cell()
                    .resistance(
                        Temperature::celsius(number(ecker[2])),
                        0.5,
                        TimeScale::TenSeconds,
                    )
                    .in_ohms(),
                tolerance: Tolerance::Band(0.8 * mean, 1.3 * mean),
                reason: "the two cells themselves lie 25 % apart from their mean",
            }
        })
        .collect()
}

/// How much of the 10 s resistance is there after 1 s, in cells other than the one it was read from.
fn time_of_model_cells() -> Vec<Case> {
    rows(RESISTANCE)
        .filter(|row| row[0] != "Ai2020" && number(row[2]) == 25.0)
        .map(|row| Case {
            model: "cell resistance, time under load",
            id: format!("one-second-{}", row[0]),
            source: "pybamm 26.10.1.1, DFN of Ecker et al. 2015 and O'Regan et al. 2022 \
                     (data/propulsion-cell-resistance-vs-T.csv)",
            kind: Kind::Simulation,
            what: "resistance at 1 s over that at 10 s, 25 °C".into(),
            expected: number(row[4]) / number(row[5]),
            computed: plain_cell()
                .resistance(Temperature::celsius(25.0), 0.5, TimeScale::OneSecond)
                .in_ohms(),
            tolerance: Tolerance::Relative(0.30),
            reason: "the ±30 % that a class model gives the resistance itself",
        })
        .collect()
}

/// 12 mΩ and 6 mΩ·1500 F and 4 mΩ·30 000 F, 10 A for 10 s, resting 3.0 + 1.2·charge.
fn two_part_pulse() -> Vec<Case> {
    let slow = [(6.0, 1500.0), (4.0, 30_000.0)].map(|(milliohms, farads)| SlowPart {
        resistance: Resistance::milliohms(milliohms),
        capacitance: Capacitance::farads(farads),
    });
    rows(TWO_PART_PULSE)
        .enumerate()
        .map(|(line, row)| {
            // The table gives 10 s twice: with the current on, then just off.
            let just_off = line == 4;
            let at_s = number(row[0]) + if just_off { 1e-9 } else { 0.0 };
            let lost = voltage_lost(
                Resistance::milliohms(12.0),
                &slow,
                Current::amperes(10.0),
                Time::seconds(10.0),
                Time::seconds(at_s),
            );
            let charge = 0.8 - 10.0 * at_s.min(10.0) / (0.45 * 3600.0);
            Case {
                model: "cell pulse, closed form",
                id: format!("two-part-pulse-line-{line}"),
                source: "closed form in Python, cross-checked with the package thevenin 0.2.1 \
                         (data/propulsion-ecm-pulse.csv)",
                kind: Kind::Equation,
                what: format!("voltage at {} s [V]", row[0]),
                expected: number(row[1]),
                computed: 3.0 + 1.2 * charge - lost.in_volts(),
                tolerance: Tolerance::Absolute(1e-6),
                reason: "last printed digit",
            }
        })
        .collect()
}

/// One slow part fitted to the first ten seconds of a simulated 1C pulse.
fn fitted_pulse() -> Vec<Case> {
    let current = Current::amperes(2.28);
    let rest_v = 3.792_51;
    let samples: Vec<_> = rows(PULSE)
        .map(|row| (number(row[0]) - 1.0, rest_v - number(row[1])))
        .filter(|(since, _)| *since > 0.0 && *since <= 10.0)
        .map(|(since, lost)| (Time::seconds(since), Voltage::volts(lost)))
        .collect();
    let fit = PulseFit::of(&samples, current).expect("a pulse that can be fitted");
    let case = |id: &str, what: &str, expected, computed: Resistance| Case {
        model: "cell pulse, fit",
        id: id.into(),
        source: "pybamm 26.10.1.1, DFN of Ai et al. 2020, fitted with SciPy \
                 (data/propulsion-cell-pulse-Ai2020.csv)",
        kind: Kind::Simulation,
        what: what.into(),
        expected,
        computed: computed.in_milliohms(),
        tolerance: Tolerance::Relative(0.02),
        reason: "two fits of one pulse that weigh its samples differently",
    };
    vec![
        case(
            "pulse-fit-at-once",
            "resistance at once [mΩ]",
            40.7,
            fit.immediate,
        ),
        case(
            "pulse-fit-10-s",
            "resistance after 10 s [mΩ]",
            45.7,
            fit.resistance_after(Time::seconds(10.0)),
        ),
    ]
}

/// One resistance, 65 mΩ, against whole discharges from 2 to 90 % of nominal capacity.
fn sustained_discharge() -> Vec<Case> {
    let pack = single(Cell {
        resistance: Resistance::milliohms(65.0),
        ..plain_cell()
    });
    rows(DISCHARGES)
        .filter(|row| row[0] == "Ai2020" && number(row[1]) <= 2.0)
        .filter(|row| (0.02..=0.90).contains(&number(row[3])))
        .map(|row| {
            let charge = 1.0 - number(row[3]) * number(row[2]) / 2.457;
            let source = pack.source(charge, Temperature::celsius(25.0), TimeScale::Sustained);
            let current = Current::amperes(number(row[1]) * number(row[2]));
            let gentle = number(row[1]) <= 1.0;
            Case {
                model: "cell, steady discharge with one resistance",
                id: format!("discharge-{}c-{}", row[1], row[3]),
                source: "pybamm 26.10.1.1, DFN of Ai et al. 2020 \
                         (data/propulsion-cell-discharge.csv)",
                kind: Kind::Simulation,
                what: format!("voltage at {}C [V]", row[1]),
                expected: number(row[4]),
                computed: source.at(current).in_volts(),
                tolerance: Tolerance::Absolute(if gentle { 0.025 } else { 0.080 }),
                reason: "what one resistance can follow of a diffusing cell; worse at 2C",
            }
        })
        .collect()
}

/// (16.4/0.030 + 16.2/0.045 − 40)/(1/0.030 + 1/0.045) = 15.6 V.
fn packs_in_parallel() -> Vec<Case> {
    let source = |volts, milliohms| Source {
        emf: Voltage::volts(volts),
        resistance: Resistance::milliohms(milliohms),
    };
    let shared = parallel_packs(
        source(16.4, 30.0),
        source(16.2, 45.0),
        Current::amperes(40.0),
    );
    let case = |id: &str, what: &str, expected, computed| Case {
        model: "packs in parallel",
        id: id.into(),
        source: "Millman's theorem evaluated by hand",
        kind: Kind::Equation,
        what: what.into(),
        expected,
        computed,
        tolerance: Tolerance::Relative(1e-3),
        reason: "expected value printed to five digits",
    };
    vec![
        case(
            "parallel-voltage",
            "voltage [V]",
            15.600,
            shared.voltage.in_volts(),
        ),
        case(
            "parallel-first",
            "current of the fuller [A]",
            26.667,
            shared.first.in_amperes(),
        ),
        case(
            "parallel-second",
            "current of the other [A]",
            13.333,
            shared.second.in_amperes(),
        ),
    ]
}

/// Constant hover power from full until 3.30 V per cell, pack resistance constant.
fn endurance() -> Vec<Case> {
    rows(COUPLED)
        .flat_map(|row| {
            let series = number(row[3]);
            let pack = Pack {
                cell: Cell {
                    capacity: Charge::ampere_hours(number(row[14])),
                    resistance: Resistance::ohms(number(row[13]) / series),
                    ..plain_cell()
                },
                series: series as u32,
                parallel: 1,
            };
            let flown = discharge(
                &pack,
                Resistance::ohms(0.0),
                Power::watts(number(row[23])),
                1.0,
                Voltage::volts(3.30),
                0.0,
                Temperature::celsius(25.0),
            );
            let case = |what: &str, expected, computed, tolerance, reason| Case {
                model: "endurance at constant power",
                id: format!("endurance-{}-{what}", row[0]),
                source: "SciPy solve_ivp and brentq on the same equations \
                         (data/propulsion-coupled-cases.csv)",
                kind: Kind::Equation,
                what: what.into(),
                expected,
                computed,
                tolerance,
                reason,
            };
            [
                case(
                    "time [s]",
                    number(row[33]),
                    flown.time.in_seconds(),
                    Tolerance::Relative(1e-3),
                    "forty mid-points against an adaptive integration over a steep end",
                ),
                case(
                    "share of charge left",
                    number(row[34]),
                    flown.end_charge,
                    Tolerance::Absolute(2e-4),
                    "printed to four decimals, power printed to five digits",
                ),
            ]
        })
        .collect()
}

/// A polymer cell of one ohm that ages, cools and empties by nothing but what a case sets.
fn plain_cell() -> Cell {
    Cell {
        chemistry: Chemistry::LithiumPolymer,
        capacity: Charge::ampere_hours(1.0),
        resistance: Resistance::ohms(1.0),
        activation_energy: MolarEnergy::kilojoules_per_mole(20.0),
        sustained_ratio: 1.0,
        low_charge_rise: 0.0,
        open_circuit_offset: Voltage::volts(0.0),
    }
}

fn single(cell: Cell) -> Pack {
    Pack {
        cell,
        series: 1,
        parallel: 1,
    }
}
