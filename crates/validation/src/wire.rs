//! Copper leads against tables of others.

use power::Wire;
use power::lead::{
    COPPER_MELTS, SILICONE_LIMIT, STRANDED, mass_per_metre, onderdonk_current, preece_current,
    steady_current, still_air_coefficient,
};
use quantity::{Current, Length, Temperature, Time, WireGauge};

use crate::cell::{number, rows};
use crate::{Case, Kind, Tolerance};

const GAUGES: &str = include_str!("../data/propulsion-wire-awg.csv");
const AMPACITY: &str = include_str!("../data/propulsion-wire-ampacity.csv");

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    [
        resistance_table(),
        resistance_formula(),
        drops(),
        fusing_table(),
        fusing_examples(),
        steady_table(),
        chassis_table(),
        copper_mass(),
    ]
    .concat()
}

/// Published ohms of solid copper wire; one way, so half of a pair.
fn resistance_table() -> Vec<Case> {
    rows(GAUGES)
        .filter(|row| !row[6].is_empty())
        .map(|row| Case {
            model: "lead resistance",
            id: format!("ohm-per-km-table-{}-awg", row[0]),
            source: "published copper-wire table, figures of NBS Handbook 100 (1966) \
                     (data/propulsion-wire-awg.csv)",
            kind: Kind::Equation,
            what: "resistance at 20 °C [Ω/km]".into(),
            expected: number(row[6]),
            computed: ohm_per_km(gauge(row[0]), 20.0),
            tolerance: Tolerance::Relative(5e-4),
            reason: "the table prints four digits of ohms per 1000 ft",
        })
        .collect()
}

fn resistance_formula() -> Vec<Case> {
    rows(GAUGES)
        .flat_map(|row| {
            [(20.0, 4), (60.0, 5)].map(|(celsius, column)| Case {
                model: "lead resistance",
                id: format!("ohm-per-km-{}-awg-{celsius}-c", row[0]),
                source: "ASTM B258 and IEC 60028 evaluated in Python \
                         (data/propulsion-wire-awg.csv)",
                kind: Kind::Equation,
                what: format!("resistance at {celsius} °C [Ω/km]"),
                expected: number(row[column]),
                computed: ohm_per_km(gauge(row[0]), celsius),
                tolerance: Tolerance::Absolute(6e-4),
                reason: "last printed digit",
            })
        })
        .collect()
}

fn drops() -> Vec<Case> {
    let case = |id: &str, what: &str, expected, computed| Case {
        model: "lead drop",
        id: id.into(),
        source: "ASTM B258 and IEC 60028 evaluated in Python",
        kind: Kind::Equation,
        what: what.into(),
        expected,
        computed,
        tolerance: Tolerance::Relative(2e-3),
        reason: "expected value printed to four digits",
    };
    let whip = Wire::solid(WireGauge::awg(20.0), Length::millimetres(70.0));
    let feed = Wire::solid(WireGauge::awg(26.0), Length::millimetres(35.0));
    let (warm, mild) = (Temperature::celsius(60.0), Temperature::celsius(40.0));
    let (punch, video) = (Current::amperes(30.0), Current::amperes(8.0));
    vec![
        case(
            "drop-20-awg-70-mm",
            "drop at 30 A, 60 °C [mV]",
            161.9,
            whip.drop(punch, warm).in_millivolts(),
        ),
        case(
            "heat-20-awg-70-mm",
            "heat at 30 A, 60 °C [W]",
            4.857,
            whip.heat(punch, warm).in_watts(),
        ),
        case(
            "drop-26-awg-35-mm",
            "drop at 8 A, 40 °C [mV]",
            80.88,
            feed.drop(video, mild).in_millivolts(),
        ),
    ]
}

/// Every row: Preece, and Onderdonk to melting from 20 °C at three times.
fn fusing_table() -> Vec<Case> {
    let source = "Preece 1884 and Onderdonk's formula evaluated in Python \
                  (data/propulsion-wire-awg.csv)";
    rows(GAUGES)
        .flat_map(|row| {
            let size = gauge(row[0]);
            let melts = |seconds| {
                onderdonk_current(
                    size,
                    Time::seconds(seconds),
                    Temperature::celsius(20.0),
                    COPPER_MELTS,
                )
            };
            [
                ("preece", "Preece current [A]", 8, preece_current(size)),
                (
                    "onderdonk-0.1-s",
                    "melting current, 0.1 s [A]",
                    9,
                    melts(0.1),
                ),
                ("onderdonk-1-s", "melting current, 1 s [A]", 10, melts(1.0)),
                (
                    "onderdonk-10-s",
                    "melting current, 10 s [A]",
                    11,
                    melts(10.0),
                ),
            ]
            .map(|(id, what, column, current)| Case {
                model: "lead fusing",
                id: format!("{id}-{}-awg", row[0]),
                source,
                kind: Kind::Equation,
                what: what.into(),
                expected: number(row[column]),
                computed: current.in_amperes(),
                tolerance: Tolerance::Absolute((0.005 * number(row[column])).max(0.06)),
                reason: "half a percent, or the last printed digit where that is coarser",
            })
        })
        .collect()
}

fn fusing_examples() -> Vec<Case> {
    let room = Temperature::celsius(20.0);
    let adiabatic = |awg, seconds, end| {
        onderdonk_current(WireGauge::awg(awg), Time::seconds(seconds), room, end)
    };
    [
        ("preece-20", 58.5, preece_current(WireGauge::awg(20.0))),
        (
            "melts-24-half-second",
            84.1,
            adiabatic(24.0, 0.5, COPPER_MELTS),
        ),
        (
            "silicone-20-five-seconds",
            38.4,
            adiabatic(20.0, 5.0, SILICONE_LIMIT),
        ),
    ]
    .map(|(id, expected, current)| Case {
        model: "lead fusing",
        id: format!("fusing-{id}"),
        source: "Preece 1884 and Onderdonk's formula evaluated by hand",
        kind: Kind::Equation,
        what: "current [A]".into(),
        expected,
        computed: current.in_amperes(),
        tolerance: Tolerance::Relative(5e-3),
        reason: "expected value printed to three digits",
    })
    .into()
}

/// Pounds of bare solid copper in 1000 ft, as copper-wire tables print them; remembered.
fn copper_mass() -> Vec<Case> {
    const POUNDS_PER_1000_FT: f64 = 0.453_592_37 / 304.8;
    [(16, 7.818), (20, 3.092), (24, 1.223), (28, 0.4837), (30, 0.3042)]
        .map(|(awg, pounds)| Case {
            model: "mass of a wire's copper",
            id: format!("copper-mass-{awg}-awg"),
            source: "copper-wire tables, pounds for 1000 ft (figures of NBS Handbook 100, 1966, from memory)",
            kind: Kind::Equation,
            what: "bare solid copper [g/m]".into(),
            expected: 1e3 * pounds * POUNDS_PER_1000_FT,
            computed: 1e3 * mass_per_metre(WireGauge::awg(f64::from(awg)), Length::metres(0.0))
                / STRANDED,
            tolerance: Tolerance::Relative(1e-3),
            reason: "the table prints four digits",
        })
        .into()
}

/// The same heat balance in Python: surface coefficient and current at +30 and +80 K over 25 °C.
fn steady_table() -> Vec<Case> {
    rows(AMPACITY)
        .flat_map(|row| {
            [(30.0, 3), (80.0, 5)]
                .into_iter()
                .flat_map(move |(rise, column)| {
                    let (size, across) = (gauge(row[0]), Length::millimetres(number(row[1])));
                    let (air, surface) = (AIR, Temperature::celsius(25.0 + rise));
                    let case = |id: &str, what: String, column: usize, computed| Case {
                        model: "lead warming in still air",
                        id: format!("{id}-{}-awg-{rise}-k", row[0]),
                        source: "heat balance with Churchill & Chu 1975 and radiation in Python \
                             (data/propulsion-wire-ampacity.csv)",
                        kind: Kind::Equation,
                        what,
                        expected: number(row[column]),
                        computed,
                        tolerance: Tolerance::Relative(0.02),
                        reason: "same correlation, other tables of the properties of air",
                    };
                    [
                        case(
                            "still-air",
                            format!("surface coefficient, +{rise} K [W/(m²·K)]"),
                            column,
                            still_air_coefficient(across, air, surface),
                        ),
                        case(
                            "steady",
                            format!("current for +{rise} K [A]"),
                            column + 1,
                            steady_current(size, across, air, surface).in_amperes(),
                        ),
                    ]
                })
        })
        .collect()
}

/// The usual chassis-wiring table means about +30 K, as far as 22 AWG; below it is more cautious.
fn chassis_table() -> Vec<Case> {
    rows(AMPACITY)
        .filter(|row| number(row[0]) <= 22.0)
        .map(|row| Case {
            model: "lead warming in still air",
            id: format!("chassis-{}-awg", row[0]),
            source: "chassis-wiring table, Handbook of Electronic Tables and Formulas, by way of \
                     public tables and partly remembered (data/propulsion-wire-ampacity.csv)",
            kind: Kind::CommonPractice,
            what: "current for +30 K [A]".into(),
            expected: number(row[2]),
            computed: steady_current(
                gauge(row[0]),
                Length::millimetres(number(row[1])),
                AIR,
                Temperature::celsius(55.0),
            )
            .in_amperes(),
            tolerance: Tolerance::Relative(0.25),
            reason: "outer diameter and movement of the air",
        })
        .collect()
}

const AIR: Temperature = Temperature::celsius(25.0);

fn gauge(text: &str) -> WireGauge {
    WireGauge::awg(number(text))
}

fn ohm_per_km(gauge: WireGauge, celsius: f64) -> f64 {
    // 500 m out and 500 m back.
    Wire::solid(gauge, Length::metres(500.0))
        .resistance(Temperature::celsius(celsius))
        .in_ohms()
}
