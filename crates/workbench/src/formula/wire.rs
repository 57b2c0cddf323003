//! Wires.

use super::{Formula, Output, Values, key, number};
use power::lead::{self, Wire};
use quantity::{Current, DimensionInfo, Length, Ratio, Temperature, Time, WireGauge};

const GAUGE: DimensionInfo = DimensionInfo::of::<WireGauge>();
/// Air and wire before the current comes, where a melting current is asked.
const START: Temperature = Temperature::celsius(20.0);

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "wire",
        purpose: "resistance, drop and heat of a wire pair",
        keys: &[
            key("gauge", GAUGE, "AWG", "wire size").also(&["awg"]),
            key(
                "length",
                DimensionInfo::of::<Length>(),
                "m",
                "length one way; both wires are counted",
            ),
            key("current", DimensionInfo::of::<Current>(), "A", "current").or("1 A"),
            key(
                "temperature",
                DimensionInfo::of::<Temperature>(),
                "°C",
                "copper temperature",
            )
            .or("20 °C"),
            key(
                "lay",
                DimensionInfo::of::<Ratio>(),
                "",
                "extra length of strands; 1 is solid, hook-up wire 1.02 to 1.05",
            )
            .or("1"),
        ],
        source: "ASTM B258: d = 0.127 mm·92^((36 − n)/39); annealed copper 1/58 Ω·mm²/m at 20 °C, 0.00393/K (IEC 60028)",
        range: "direct current, solid copper; stranded wire is 2 to 5 % higher",
        validated: true,
        example: "wire gauge=20AWG length=70mm current=30A temperature=60°C",
        compute: wire,
    },
    Formula {
        name: "wire-fusing",
        purpose: "the current that melts a wire",
        keys: &[
            key("gauge", GAUGE, "AWG", "wire size").also(&["awg"]),
            key(
                "duration",
                DimensionInfo::of::<Time>(),
                "s",
                "how long; left out: minutes in still air",
            )
            .optional(),
            key(
                "limit",
                DimensionInfo::of::<Temperature>(),
                "°C",
                "temperature that is reached",
            )
            .or("1083 °C"),
            key(
                "start",
                DimensionInfo::of::<Temperature>(),
                "°C",
                "temperature before",
            )
            .or("20 °C"),
        ],
        source: "minutes: Preece, Proc. R. Soc. 36 (1884), I = 80·d^1.5; a duration: Onderdonk, no heat lost",
        range: "Preece: long bare wire in still air; Onderdonk: below about 10 s; a limit other than melting needs a duration",
        validated: true,
        example: "wire-fusing gauge=20AWG duration=5s limit=200°C",
        compute: fusing,
    },
    Formula {
        name: "wire-current",
        purpose: "the steady current that warms a wire by so much",
        keys: &[
            key("gauge", GAUGE, "AWG", "wire size").also(&["awg"]),
            key(
                "outside",
                DimensionInfo::of::<Length>(),
                "m",
                "diameter over the insulation",
            ),
            key(
                "surface",
                DimensionInfo::of::<Temperature>(),
                "°C",
                "surface temperature allowed",
            )
            .or("55 °C"),
            key(
                "air",
                DimensionInfo::of::<Temperature>(),
                "°C",
                "air temperature",
            )
            .or("25 °C"),
        ],
        source: "I²R = h·π·OD·ΔT, h by Churchill and Chu for a horizontal cylinder in still air, with radiation",
        range: "one straight wire in free air; ± 25 %; bundled or enclosed 0.5 to 0.7 of it",
        validated: true,
        example: "wire-current gauge=20AWG outside=1.8mm surface=55°C air=25°C",
        compute: steady,
    },
];

fn gauge(values: &Values) -> Result<WireGauge, String> {
    let gauge: WireGauge = values.get("gauge");
    if (0.0..=44.0).contains(&gauge.in_awg()) {
        Ok(gauge)
    } else {
        Err(format!(
            "`gauge` runs from 0 to 44 AWG, this is {}",
            gauge.in_awg()
        ))
    }
}

fn wire(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let wire = Wire {
        gauge: gauge(values)?,
        length: values.get("length"),
        lay: values.plain("lay"),
    };
    let (current, copper): (Current, Temperature) =
        (values.get("current"), values.get("temperature"));
    Ok(vec![
        number("resistance_ohm", wire.resistance(copper).in_ohms(), "Ω"),
        number("drop_v", wire.drop(current, copper).in_volts(), "V"),
        number("heat_w", wire.heat(current, copper).in_watts(), "W"),
    ])
}

fn fusing(values: &Values, notes: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let gauge = gauge(values)?;
    let limit: Temperature = values.get("limit");
    let Some(seconds) = values.number("duration") else {
        if limit != lead::COPPER_MELTS {
            return Err("a `limit` other than melting needs a `duration`".to_owned());
        }
        return Ok(vec![number(
            "current_a",
            lead::preece_current(gauge).in_amperes(),
            "A",
        )]);
    };
    if seconds <= 0.0 {
        return Err("`duration` must be above zero".to_owned());
    }
    if seconds > 10.0 {
        notes.push(
            "beyond about 10 s heat is lost on the way, and the wire stands more than this"
                .to_owned(),
        );
    }
    let start = values.number("start").map_or(START, Temperature::kelvins);
    Ok(vec![number(
        "current_a",
        lead::onderdonk_current(gauge, Time::seconds(seconds), start, limit).in_amperes(),
        "A",
    )])
}

fn steady(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let current = lead::steady_current(
        gauge(values)?,
        values.get("outside"),
        values.get("air"),
        values.get("surface"),
    );
    Ok(vec![number("current_a", current.in_amperes(), "A")])
}
