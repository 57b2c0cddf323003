//! Wires.

use super::{Formula, Key, Outputs, Standing, Values, key, number, refuse, word};
use power::lead::{self, Wire};
use quantity::{Current, Length, Temperature, Time, WireGauge};

/// Colder than any day of flying; far below it the straight line of the copper bends.
const COLDEST_C: f64 = -60.0;
/// Copper melts.
const MELTS_C: f64 = 1083.0;

const GAUGE: Key = key::<WireGauge>("gauge", "AWG", "wire size")
    .also(&["awg"])
    .between(0.0, 44.0);

const fn warmth(name: &'static str, what: &'static str) -> Key {
    key::<Temperature>(name, "°C", what).between(COLDEST_C, MELTS_C)
}

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "wire",
        purpose: "resistance, drop and heat of a pair of wires",
        keys: &[
            GAUGE,
            key::<Length>("length", "m", "length one way; both wires are counted").not_negative(),
            key::<Current>(
                "current",
                "A",
                "current; without it only the resistance is given",
            )
            .optional(),
            warmth("temperature", "copper temperature").or("20 °C"),
            word(
                "strand",
                &[&["solid"], &["stranded", "silicone", "hook-up"]],
                "solid as in the tables, or stranded with 3.5 % more",
            )
            .or("solid"),
        ],
        source: "ASTM B258: d = 0.127 mm·92^((36 − n)/39); annealed copper 1/58 Ω·mm²/m at 20 °C, 0.00393/K (IEC 60028); strands \
                 run 2 to 5 % longer, common practice",
        range: "direct current; both wires at one temperature",
        standing: Standing::Outside(
            "a copper-wire table, figures of NBS Handbook 100 (1966): 16 to 30 AWG within 0.03 %",
        ),
        example: "wire gauge=20AWG length=70mm current=30A temperature=60°C",
        compute: wire,
    },
    Formula {
        name: "wire-fusing",
        purpose: "the current that melts a wire, or takes it to a limit",
        keys: &[
            GAUGE,
            key::<Time>("duration", "s", "how long; without it minutes in still air")
                .optional()
                .above_zero(),
            warmth("limit", "temperature that is reached").or("1083 °C"),
            warmth("start", "temperature before").or("20 °C"),
        ],
        source: "minutes: Preece, Proc. R. Soc. 36 (1884), I = 80 A·(d/mm)^1.5; a duration: Onderdonk, no heat lost",
        range: "Preece: long bare wire in still air, melting; Onderdonk: below about 10 s",
        standing: Standing::Equation("ten gauges worked out elsewhere"),
        example: "wire-fusing gauge=20AWG duration=5s limit=200°C",
        compute: fusing,
    },
    Formula {
        name: "wire-current",
        purpose: "the steady current that warms a wire to a temperature",
        keys: &[
            GAUGE,
            key::<Length>("outside", "m", "diameter over the insulation").above_zero(),
            warmth("surface", "surface temperature allowed").or("55 °C"),
            warmth("air", "air temperature").or("25 °C"),
        ],
        source: "I²R = h·π·D·ΔT, h by Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, for a horizontal cylinder in \
                 still air, with radiation",
        range: "one long wire in free still air; ± 25 %; bundled or enclosed 0.5 to 0.7 of it, in the wash more",
        standing: Standing::Outside("the chassis-wiring table within 17 % from 16 to 22 AWG"),
        example: "wire-current gauge=20AWG outside=1.8mm surface=55°C air=25°C",
        compute: steady,
    },
];

fn wire(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let (gauge, length) = (values.get("gauge"), values.get("length"));
    let wire = match values.word("strand") {
        Some("stranded") => Wire::stranded(gauge, length),
        _ => Wire::solid(gauge, length),
    };
    let copper: Temperature = values.get("temperature");
    if copper > lead::SILICONE_LIMIT {
        notes.push("hotter than the 200 °C that silicone insulation stands".to_owned());
    }
    let ohms = wire.resistance(copper).in_ohms();
    let mut outputs = vec![number("resistance_ohm", ohms, "Ω")];
    if let Some(current) = values.find::<Current>("current") {
        let drop_v = wire.drop(current, copper).in_volts();
        let heat_w = wire.heat(current, copper).in_watts();
        outputs.extend([number("drop_v", drop_v, "V"), number("heat_w", heat_w, "W")]);
    }
    Ok(outputs)
}

fn fusing(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let gauge = values.get("gauge");
    let (start, limit): (Temperature, Temperature) = (values.get("start"), values.get("limit"));
    let current = match values.find::<Time>("duration") {
        None if limit != lead::COPPER_MELTS => {
            return Err(refuse("a `limit` other than melting needs a `duration`"));
        }
        None => lead::preece_current(gauge),
        Some(_) if limit <= start => return Err(refuse("`limit` must be warmer than `start`")),
        Some(duration) => {
            if duration > Time::seconds(10.0) {
                notes.push(
                    "beyond about 10 s heat is lost on the way, and the wire stands more than this"
                        .to_owned(),
                );
            }
            lead::onderdonk_current(gauge, duration, start, limit)
        }
    };
    Ok(vec![number("current_a", current.in_amperes(), "A")])
}

fn steady(values: &Values, _: &mut Vec<String>) -> Outputs {
    let (air, surface): (Temperature, Temperature) = (values.get("air"), values.get("surface"));
    if surface <= air {
        return Err(refuse("`surface` must be warmer than `air`"));
    }
    let (gauge, outside): (WireGauge, Length) = (values.get("gauge"), values.get("outside"));
    let copper = lead::diameter(gauge);
    if outside < copper {
        return Err(refuse(format!(
            "`outside` is less than the copper alone, {:.2} mm",
            copper.in_millimetres()
        )));
    }
    let current = lead::steady_current(gauge, outside, air, surface);
    Ok(vec![number("current_a", current.in_amperes(), "A")])
}
