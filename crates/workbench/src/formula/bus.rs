//! The bus: loads that insist on their power, packs that share it, regulators on it.

use super::{Answer, Formula, Key, Outputs, Standing, Values, key, number, output, refuse, word};
use power::{Regulator, RegulatorKind, RegulatorState, Source, parallel_packs};
use quantity::{Current, Power, Ratio, Resistance, Voltage};

const fn volts(name: &'static str, what: &'static str) -> Key {
    key::<Voltage>(name, "V", what).above_zero()
}

const fn ohms(name: &'static str, what: &'static str) -> Key {
    key::<Resistance>(name, "Ω", what)
}

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "parallel-packs",
        purpose: "how two unequal packs share a current",
        keys: &[
            volts("e1", "resting volts of the first"),
            ohms("r1", "resistance of the first").above_zero(),
            volts("e2", "resting volts of the second"),
            ohms("r2", "resistance of the second").above_zero(),
            key::<Current>("current", "A", "current of both together").not_negative(),
        ],
        source: "Millman's theorem: V = (E₁/R₁ + E₂/R₂ − I)/(1/R₁ + 1/R₂)",
        range: "any moment; a negative current charges that pack",
        standing: Standing::Equation("one pair worked out elsewhere"),
        example: "parallel-packs e1=16.4V r1=30mΩ e2=16.2V r2=45mΩ current=40A",
        compute: parallel,
    },
    Formula {
        name: "constant-power-bus",
        purpose: "volts under a load that insists on its power, and where it collapses",
        keys: &[
            volts("emf", "resting volts of the source"),
            ohms("resistance", "resistance of the whole loop").not_negative(),
            key::<Power>("power", "W", "power the load insists on").not_negative(),
            key::<Current>("current", "A", "current drawn besides")
                .or("0 A")
                .not_negative(),
        ],
        source: "Kirchhoff: V = (E' + √(E'² − 4·R·P))/2 with E' = E − R·I; no voltage exists above P = E'²/(4R)",
        range: "steady state; capacitors delay a collapse and do not stop it",
        standing: Standing::Equation("two loads and two limits worked out elsewhere"),
        example: "constant-power-bus emf=3.7V resistance=60mΩ power=20W current=0.5A",
        compute: constant_power,
    },
    Formula {
        name: "regulator",
        purpose: "what comes out of a regulator, and what it takes from the bus",
        keys: &[
            word(
                "kind",
                &[
                    &["buck", "step-down"],
                    &["boost", "step-up"],
                    &["buck-boost", "step-up-down"],
                    &["linear", "ldo"],
                    &["pass-through", "pad", "switch"],
                    &["diode"],
                ],
                "buck, boost, buck-boost, linear, pass-through or diode",
            ),
            volts("input", "volts at its input"),
            volts(
                "output",
                "volts it is made for; of no account for a pad or a diode",
            ),
            key::<Power>("load", "W", "power the device insists on").not_negative(),
            key::<Ratio>(
                "efficiency",
                "",
                "output over input power of a switcher; of no account otherwise",
            )
            .or("0.86")
            .efficiency(),
            key::<Voltage>(
                "drop_out",
                "V",
                "what the input must exceed the output by; of a boost or diode the forward voltage",
            )
            .or("0.4 V")
            .not_negative(),
            key::<Voltage>("minimum_input", "V", "below this it switches off")
                .or("0 V")
                .not_negative(),
        ],
        source: "energy and current balance; a buck without room follows its input, a boost fed above its output lets it through",
        range: "steady state; no ripple, inrush or fold-back; efficiency the same at every load; defaults are common practice",
        standing: Standing::NotValidated("no outside measurement of a board regulator was found"),
        example: "regulator kind=buck input=6.3V output=5V load=3W",
        compute: regulator,
    },
];

fn parallel(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let source = |e: &str, r: &str| Source {
        emf: values.get(e),
        resistance: values.get(r),
    };
    let shared = parallel_packs(
        source("e1", "r1"),
        source("e2", "r2"),
        values.get("current"),
    );
    if shared.voltage.in_volts() <= 0.0 {
        return Err(refuse(
            "`current` is more than the two packs give when shorted together",
        ));
    }
    let (first_a, second_a) = (shared.first.in_amperes(), shared.second.in_amperes());
    if first_a.min(second_a) < 0.0 {
        notes.push("the fuller pack charges the other".to_owned());
    }
    Ok(vec![
        number("volts_v", shared.voltage.in_volts(), "V"),
        number("current1_a", first_a, "A"),
        number("current2_a", second_a, "A"),
    ])
}

fn constant_power(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let source = Source {
        emf: values.get("emf"),
        resistance: values.get("resistance"),
    };
    let (power, current): (Power, Current) = (values.get("power"), values.get("current"));
    let found = source.under(power, current);
    if current * source.resistance >= source.emf {
        notes.push("`current` alone takes all the volts there are".to_owned());
    }
    let mut outputs = Vec::new();
    if let Ok(volts) = found {
        let drawn_a = current.in_amperes() + power.in_watts() / volts.in_volts();
        outputs.push(number("volts_v", volts.in_volts(), "V"));
        outputs.push(number("current_a", drawn_a, "A"));
    }
    outputs.push(output("collapses", Answer::Flag(found.is_err()), ""));
    // A power beyond every limit makes the kernel say what the limit is.
    match source.under(Power::watts(f64::INFINITY), current) {
        Err(collapse) if collapse.limit.in_watts().is_finite() => {
            outputs.push(number("limit_w", collapse.limit.in_watts(), "W"));
        }
        _ => notes.push("without resistance there is no limit".to_owned()),
    }
    Ok(outputs)
}

fn regulator(values: &Values, _: &mut Vec<String>) -> Outputs {
    let kind = match values.word("kind") {
        Some("boost") => RegulatorKind::Boost,
        Some("buck-boost") => RegulatorKind::BuckBoost,
        Some("linear") => RegulatorKind::Linear,
        Some("pass-through") => RegulatorKind::PassThrough,
        Some("diode") => RegulatorKind::Diode,
        _ => RegulatorKind::Buck,
    };
    let regulator = Regulator {
        kind,
        output: values.get("output"),
        drop_out: values.get("drop_out"),
        minimum_input: values.get("minimum_input"),
        // Limits are judged by the checks; this formula only balances.
        continuous_limit: Current::amperes(f64::INFINITY),
        peak_limit: Current::amperes(f64::INFINITY),
        efficiency: values.plain("efficiency"),
    };
    let point = regulator.feed(values.get("input"), values.get("load"));
    let state = match point.state {
        RegulatorState::Regulating => "regulating",
        RegulatorState::Dropout => "follows its input",
        RegulatorState::PassingThrough => "passes its input through",
        RegulatorState::LockedOut => "off",
    };
    Ok(vec![
        number("volts_v", point.output.in_volts(), "V"),
        number("current_a", point.output_current.in_amperes(), "A"),
        number("input_power_w", point.input_power.in_watts(), "W"),
        number("input_current_a", point.input_current.in_amperes(), "A"),
        number("heat_w", point.heat.in_watts(), "W"),
        output("state", Answer::Word(state), ""),
    ])
}
