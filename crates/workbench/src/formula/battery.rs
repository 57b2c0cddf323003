//! Cells, packs and the bus.

use super::{Answer, Formula, Key, Output, Takes, Values, doubted, key, number};
use power::bus::Source;
use power::cell::Cell;
use power::pack::parallel_packs;
use power::{Chemistry, typical};
use quantity::{
    Charge, Current, DimensionInfo, Doubt, MolarEnergy, Power, Ratio, Resistance, Temperature,
    Voltage,
};

const VOLT: DimensionInfo = DimensionInfo::of::<Voltage>();
const OHM: DimensionInfo = DimensionInfo::of::<Resistance>();
const AMPERE: DimensionInfo = DimensionInfo::of::<Current>();

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "cell-voltage",
        purpose: "resting volts of one cell at a charge",
        keys: &[
            Key {
                name: "chemistry",
                aliases: &[],
                takes: Takes::Word(&[
                    &["lipo", "lithium-polymer", "li-po", "lipo-4.20"],
                    &[
                        "lipo-high-voltage",
                        "lihv",
                        "high-voltage",
                        "lipo-4.35",
                        "hv",
                    ],
                    &["li-ion", "lithium-ion", "liion"],
                ]),
                unit: "",
                default: None,
                optional: false,
                what: "lipo, lipo-high-voltage or li-ion",
            },
            key(
                "charge",
                DimensionInfo::of::<Ratio>(),
                "",
                "share of the full charge",
            )
            .also(&["soc"]),
        ],
        source: "electrode curves of Ai et al., J. Electrochem. Soc. 167 (2020) 013512 (polymer) and Chen et al., ibid. 080534 (lithium-ion); high voltage extrapolated from the first",
        range: "rested cell, ± 40 mV against the trade's resting tables; high voltage ± 30 mV more",
        validated: true,
        example: "cell-voltage chemistry=lipo charge=50%",
        compute: cell_voltage,
    },
    Formula {
        name: "resistance-temperature",
        purpose: "cell resistance at a temperature over that at 25 °C",
        keys: &[
            key(
                "temperature",
                DimensionInfo::of::<Temperature>(),
                "°C",
                "temperature of the cell",
            ),
            key(
                "activation_energy",
                DimensionInfo::of::<MolarEnergy>(),
                "kJ/mol",
                "how fast the cell stiffens in the cold",
            )
            .or("20 kJ/mol"),
        ],
        source: "Arrhenius: exp(Ea/R·(1/T − 1/298.15 K)); 20 ± 6 kJ/mol from simulated power cells",
        range: "−10 to 50 °C",
        validated: true,
        example: "resistance-temperature temperature=5°C",
        compute: temperature_ratio,
    },
    Formula {
        name: "cell-resistance",
        purpose: "resistance of a new cell nobody measured, from its capacity",
        keys: &[key(
            "capacity",
            DimensionInfo::of::<Charge>(),
            "Ah",
            "capacity of the cell",
        )],
        source: "fit to a trade table of new cells, 300 to 1500 mAh, 10 s, 25 °C, without plug; common practice",
        range: "0.2 to 2 Ah; a year of flying makes it 1.25 to 1.7 times as much",
        validated: false,
        example: "cell-resistance capacity=450mAh",
        compute: cell_resistance,
    },
    Formula {
        name: "parallel-packs",
        purpose: "how two unequal packs share a current",
        keys: &[
            key("e1", VOLT, "V", "resting volts of the first"),
            key("r1", OHM, "Ω", "resistance of the first"),
            key("e2", VOLT, "V", "resting volts of the second"),
            key("r2", OHM, "Ω", "resistance of the second"),
            key("current", AMPERE, "A", "current of both together"),
        ],
        source: "Kirchhoff: V = (E₁/R₁ + E₂/R₂ − I)/(1/R₁ + 1/R₂)",
        range: "any moment; a negative current charges that pack",
        validated: true,
        example: "parallel-packs e1=16.4V r1=30mΩ e2=16.2V r2=45mΩ current=40A",
        compute: parallel,
    },
    Formula {
        name: "constant-power-bus",
        purpose: "volts of a source under a load that insists on its power, or the power at which it collapses",
        keys: &[
            key("emf", VOLT, "V", "resting volts of the source"),
            key("resistance", OHM, "Ω", "resistance of the whole loop"),
            key(
                "power",
                DimensionInfo::of::<Power>(),
                "W",
                "power the load insists on",
            ),
            key("current", AMPERE, "A", "current drawn besides").or("0 A"),
        ],
        source: "V = (E − R·I + √((E − R·I)² − 4·R·P))/2; no voltage exists above P = (E − R·I)²/(4R)",
        range: "steady state; capacitors delay a collapse and do not stop it",
        validated: true,
        example: "constant-power-bus emf=3.7V resistance=60mΩ power=20W current=0.5A",
        compute: constant_power,
    },
];

fn chemistry(values: &Values) -> Chemistry {
    match values.word("chemistry") {
        Some("lipo-high-voltage") => Chemistry::LithiumPolymerHighVoltage,
        Some("li-ion") => Chemistry::LithiumIon,
        _ => Chemistry::LithiumPolymer,
    }
}

fn cell_voltage(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let charge = values.plain("charge");
    if !(0.0..=1.0).contains(&charge) {
        return Err(format!(
            "`charge` lies between 0 and 1, or 0 and 100 %; this is {charge}"
        ));
    }
    Ok(vec![number(
        "volts_v",
        chemistry(values).open_circuit(charge).in_volts(),
        "V",
    )])
}

fn temperature_ratio(values: &Values, notes: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let temperature: Temperature = values.get("temperature");
    if !(-10.0..=50.0).contains(&temperature.in_celsius()) {
        notes.push("outside −10 to 50 °C, where the law was compared".to_owned());
    }
    let cell = Cell {
        chemistry: Chemistry::LithiumPolymer,
        capacity: Charge::ampere_hours(1.0),
        resistance: Resistance::milliohms(1.0),
        activation_energy: values.get("activation_energy"),
        sustained_ratio: 1.0,
        low_charge_rise: 0.0,
        open_circuit_offset: Voltage::volts(0.0),
    };
    Ok(vec![number(
        "ratio",
        cell.temperature_factor(temperature),
        "",
    )])
}

fn cell_resistance(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let capacity: Charge = values.get("capacity");
    if capacity.in_ampere_hours() <= 0.0 {
        return Err("`capacity` must be above zero".to_owned());
    }
    let found = typical::new_cell_resistance(capacity);
    let Doubt::Factor(s) = found.quantity.doubt else {
        return Err("the class model has no spread here".to_owned());
    };
    let ohm = found.quantity.value.in_ohms();
    let merit = typical::merit(found.quantity.value, capacity);
    Ok(doubted("resistance_ohm", ohm, s * ohm, "Ω")
        .into_iter()
        .chain([number("merit_milliohm_ah", merit, "mΩ·Ah")])
        .collect())
}

fn parallel(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let source = |e: &str, r: &str| Source {
        emf: values.get(e),
        resistance: values.get(r),
    };
    let (first, second) = (source("e1", "r1"), source("e2", "r2"));
    if first.resistance.in_ohms() <= 0.0 || second.resistance.in_ohms() <= 0.0 {
        return Err("`r1` and `r2` must be above zero".to_owned());
    }
    let shared = parallel_packs(first, second, values.get("current"));
    Ok(vec![
        number("volts_v", shared.voltage.in_volts(), "V"),
        number("current1_a", shared.first.in_amperes(), "A"),
        number("current2_a", shared.second.in_amperes(), "A"),
    ])
}

fn constant_power(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let source = Source {
        emf: values.get("emf"),
        resistance: values.get("resistance"),
    };
    let (power, current): (Power, Current) = (values.get("power"), values.get("current"));
    let left_v = source.emf.in_volts() - source.resistance.in_ohms() * current.in_amperes();
    let limit = number(
        "limit_w",
        left_v.max(0.0).powi(2) / (4.0 * source.resistance.in_ohms()),
        "W",
    );
    let collapses = |flag| Output {
        value: Answer::Flag(flag),
        ..number("collapses", 0.0, "")
    };
    Ok(match source.under(power, current) {
        Ok(volts) => vec![
            number("volts_v", volts.in_volts(), "V"),
            collapses(false),
            limit,
        ],
        Err(_) => vec![collapses(true), limit],
    })
}
