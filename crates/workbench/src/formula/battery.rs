//! Cells and packs.

use super::{
    Answer, Formula, Key, Outputs, Standing, Values, count, doubted, key, log_normal_sd, number,
    output, word,
};
use power::{Cell, Chemistry, Pack, StoppedBy, discharge, typical};
use quantity::{Charge, Doubt, MolarEnergy, Power, Ratio, Resistance, Temperature, Voltage};

/// The chemistry words of a part file, with other spellings builders use.
pub(super) const CHEMISTRY: Key = word(
    "chemistry",
    &[
        &["lipo", "li-po", "lithium polymer", "polymer", "lipo 4.20"],
        &[
            "lipo-high-voltage",
            "lipo hv",
            "hv lipo",
            "lihv",
            "high voltage",
            "hv",
            "lipo 4.35",
        ],
        &["li-ion", "lithium ion", "lion"],
    ],
    "lipo, lipo-high-voltage or li-ion",
);

/// The chemistry that was written.
pub(super) fn chemistry(values: &Values) -> Chemistry {
    match values.word("chemistry") {
        Some("lipo-high-voltage") => Chemistry::LithiumPolymerHighVoltage,
        Some("li-ion") => Chemistry::LithiumIon,
        _ => Chemistry::LithiumPolymer,
    }
}

const ACTIVATION: Key = key::<MolarEnergy>(
    "activation_energy",
    "kJ/mol",
    "how fast the cell stiffens in the cold",
)
.or("20 kJ/mol")
.not_negative();

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "cell-voltage",
        purpose: "resting volts of one cell at a charge",
        keys: &[
            CHEMISTRY,
            key::<Ratio>("charge", "", "share of the full charge")
                .also(&["soc"])
                .share(),
        ],
        source: "electrode curves of Ai et al., J. Electrochem. Soc. 167 (2020) 013512 (polymer) and Chen et al., ibid. 080534 \
                 (lithium-ion), by way of pybamm; high voltage extrapolated from the first",
        range: "rested cell near 25 °C; ± 40 mV, the distance to the trade's resting tables, high voltage ± 50 mV",
        standing: Standing::Outside(
            "every row of the simulated cells' tables, and a resting table of the trade within 60 mV",
        ),
        example: "cell-voltage chemistry=lipo charge=50%",
        compute: cell_voltage,
    },
    Formula {
        name: "cell-charge",
        purpose: "share of charge of a rested cell at its volts",
        keys: &[
            CHEMISTRY,
            key::<Voltage>("volts", "V", "resting volts of one cell").above_zero(),
        ],
        source: "the curves of `cell-voltage`, read backwards",
        range: "rested cell near 25 °C; ± is what ± 40 mV (high voltage ± 50 mV) make of it, up to a tenth and more on the flat part",
        standing: Standing::Equation(
            "every row of the tables the curves were taken from, read backwards",
        ),
        example: "cell-charge chemistry=lipo volts=3.8V",
        compute: cell_charge,
    },
    Formula {
        name: "resistance-temperature",
        purpose: "cell resistance at a temperature over that at 25 °C",
        keys: &[
            key::<Temperature>("temperature", "°C", "temperature of the cell"),
            ACTIVATION,
        ],
        source: "Arrhenius: exp(Ea/R·(1/T − 1/298.15 K)); 20 ± 6 kJ/mol from simulated power cells",
        range: "−10 to 50 °C; beyond −40 and 80 °C the value at that end",
        standing: Standing::Outside(
            "two simulated power cells from −10 to 50 °C: within a quarter of their mean",
        ),
        example: "resistance-temperature temperature=5°C",
        compute: temperature_ratio,
    },
    Formula {
        name: "cell-resistance",
        purpose: "resistance of a new cell nobody measured, from its capacity",
        keys: &[key::<Charge>("capacity", "Ah", "capacity of the cell").above_zero()],
        source: "6.05 mΩ·(capacity/Ah)^−1.38, ×/÷ 1.35: fit to a trade table of eight new cells, 300 to 1500 mAh, after 10 s, \
                 25 °C, without plug; common practice",
        range: "0.2 to 2 Ah, new; used cells have about 1.25 times as much, tired ones 1.5 to 2 times",
        standing: Standing::NotValidated(
            "the fit describes what builders agree on; no measured packs were found",
        ),
        example: "cell-resistance capacity=450mAh",
        compute: cell_resistance,
    },
    Formula {
        name: "flight-time",
        purpose: "how long a pack carries a steady power, and what makes you land",
        keys: &[
            key::<Power>("power", "W", "power at the bus").above_zero(),
            CHEMISTRY.or("lipo"),
            count("cells", 64, "cells in series").also(&["series"]),
            key::<Charge>("capacity", "Ah", "capacity of the pack").above_zero(),
            key::<Resistance>("cell_resistance", "Ω", "one cell, after 10 s, at 25 °C")
                .not_negative(),
            key::<Resistance>("lead_resistance", "Ω", "plug, leads and board together")
                .or("0 Ω")
                .not_negative(),
            key::<Ratio>("start_charge", "", "charge at the start")
                .or("1")
                .share(),
            key::<Ratio>("reserve", "", "charge to land with")
                .or("0")
                .share(),
            key::<Voltage>(
                "landing_volts",
                "V",
                "loaded volts of each cell at which it lands",
            )
            .or("3.3 V")
            .above_zero(),
            key::<Temperature>("temperature", "°C", "temperature of the pack").or("25 °C"),
            ACTIVATION,
            key::<Ratio>(
                "sustained_ratio",
                "",
                "resistance in minutes over that after 10 s",
            )
            .or("1.25")
            .above_zero(),
            key::<Ratio>("low_charge_rise", "", "growth of the resistance when empty")
                .or("0.4")
                .not_negative(),
        ],
        source: "d(charge)/dt = −P/(Q·V), V under constant power with the sustained resistance; forty mid-points",
        range: "steady power; a pack that does not warm; an energy cell above twice its capacity per hour gives less",
        standing: Standing::Equation(
            "four craft solved with SciPy: within 0.01 %; the resistance behind it was held against a simulated pouch, no flight was",
        ),
        example: "flight-time power=16W cells=2 capacity=450mAh cell_resistance=20mΩ lead_resistance=5mΩ reserve=20%",
        compute: flight_time,
    },
];

/// 1 sd of a real cell's resting volts about the curve of its chemistry.
fn resting_sd_v(chemistry: Chemistry) -> f64 {
    /// The high-voltage curve is extrapolated \[V\].
    const EXTRAPOLATED_SD: f64 = 0.030;
    let offset = match typical::open_circuit_offset().quantity.doubt {
        Doubt::Plain(sd) => sd,
        _ => 0.0,
    };
    match chemistry {
        Chemistry::LithiumPolymerHighVoltage => offset.hypot(EXTRAPOLATED_SD),
        _ => offset,
    }
}

fn cell_voltage(values: &Values, _: &mut Vec<String>) -> Outputs {
    let chemistry = chemistry(values);
    let volts = chemistry.open_circuit(values.plain("charge")).in_volts();
    Ok(doubted("volts_v", volts, resting_sd_v(chemistry), "V").into())
}

fn cell_charge(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let chemistry = chemistry(values);
    let resting: Voltage = values.get("volts");
    let full = chemistry.full();
    if resting > full {
        notes.push(format!(
            "a full cell of this chemistry rests at {} V",
            full.in_volts()
        ));
    }
    if resting < chemistry.damage() {
        notes.push("below the volts at which such a cell is taken as harmed".to_owned());
    }
    let sd = Voltage::volts(resting_sd_v(chemistry));
    let at = |volts| chemistry.charge_at(volts);
    let charge_sd = 0.5 * (at(resting + sd) - at(resting - sd));
    Ok(doubted("charge", at(resting), charge_sd, "").into())
}

fn temperature_ratio(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let temperature: Temperature = values.get("temperature");
    if !(-10.0..=50.0).contains(&temperature.in_celsius()) {
        notes.push(
            "outside −10 to 50 °C, where the law was compared; beyond −40 and 80 °C this is the value at that end"
                .to_owned(),
        );
    }
    // Only the activation energy matters to the factor.
    let cell = Cell {
        activation_energy: values.get("activation_energy"),
        ..cell(Chemistry::LithiumPolymer, Charge::ampere_hours(1.0))
    };
    let ratio = cell.temperature_factor(temperature);
    Ok(vec![number("ratio", ratio, "")])
}

fn cell_resistance(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let capacity: Charge = values.get("capacity");
    if !(0.2..=2.0).contains(&capacity.in_ampere_hours()) {
        notes.push("extrapolated: the table runs from 0.3 to 1.5 Ah".to_owned());
    }
    let found = typical::new_cell_resistance(capacity).quantity;
    let log_sd = match found.doubt {
        Doubt::Factor(log_sd) => log_sd,
        _ => 0.0,
    };
    let ohm = found.value.in_ohms();
    let merit = typical::merit(found.value, capacity);
    let mut outputs = doubted("resistance_ohm", ohm, log_normal_sd(ohm, log_sd), "Ω").to_vec();
    outputs.push(number("spread_factor", log_sd.exp(), ""));
    outputs.push(number("merit_milliohm_ah", merit, "mΩ·Ah"));
    Ok(outputs)
}

/// Why a flight that takes no time does not begin.
pub(super) fn no_start(stopped_by: StoppedBy) -> Option<String> {
    let why =
        "the loaded cells are below `landing_volts` from the start, or cannot give that power";
    (stopped_by == StoppedBy::CannotStart).then(|| why.to_owned())
}

/// A cell without resistance, doubt or temper.
fn cell(chemistry: Chemistry, capacity: Charge) -> Cell {
    Cell {
        chemistry,
        capacity,
        resistance: Resistance::ohms(0.0),
        activation_energy: MolarEnergy::joules_per_mole(0.0),
        sustained_ratio: 1.0,
        low_charge_rise: 0.0,
        open_circuit_offset: Voltage::volts(0.0),
    }
}

fn flight_time(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let cell = Cell {
        resistance: values.get("cell_resistance"),
        activation_energy: values.get("activation_energy"),
        sustained_ratio: values.plain("sustained_ratio"),
        low_charge_rise: values.plain("low_charge_rise"),
        ..cell(chemistry(values), values.get("capacity"))
    };
    let pack = Pack {
        cell,
        series: values.count("cells"),
        parallel: 1,
    };
    let flown = discharge(
        &pack,
        values.get("lead_resistance"),
        values.get("power"),
        values.plain("start_charge"),
        values.get("landing_volts"),
        values.plain("reserve"),
        values.get("temperature"),
    );
    notes.extend(no_start(flown.stopped_by));
    let stopped_by = match flown.stopped_by {
        StoppedBy::LandingVoltage => "landing volts",
        StoppedBy::Reserve => "reserve",
        StoppedBy::CannotStart => "cannot start",
        StoppedBy::NothingDrawn => "nothing drawn",
    };
    Ok(vec![
        number("time_s", flown.time.in_seconds(), "s"),
        number("end_charge", flown.end_charge, ""),
        number("charge_used_ah", flown.charge_used.in_ampere_hours(), "Ah"),
        output("stopped_by", Answer::Word(stopped_by), ""),
    ])
}
