//! Fading: outages, the margin they ask for, how fast fades come and how far apart aerials are to stand.

use super::super::{
    Fault, Formula, Key, Outputs, Standing, Values, count, key, number, refuse, word, words,
};
use super::{FREQUENCY, decibels};
use ::link::fading::rate::fades;
use ::link::fading::{
    Combining, Diversity, Fade, margin_for_db, outage, shadow_margin_db, spacing_correlation,
};
use quantity::{Decibels, Frequency, Length, Ratio, Speed};

pub(super) const K: Key = words(
    "k",
    "`6 dB`, or `rayleigh`",
    "power of the direct wave over that of the echoes; 6 to 15 dB in the open, rayleigh where there is none",
);
pub(super) const BRANCHES: Key = count("branches", 16, "receivers with antennas of their own");
pub(super) const COMBINING: Key = word(
    "combining",
    &[&["selection", "sc"], &["maximal-ratio", "mrc"]],
    "the strongest taken, or all added in phase",
);
pub(super) const CORRELATION: Key = key::<Ratio>(
    "correlation",
    "",
    "magnitude of the complex correlation of two branches",
)
.share();
const MARGIN: Key = key::<Decibels>(
    "margin",
    "dB",
    "mean of one branch over what the receiver needs",
);

const SOURCE: &str = "Rayleigh (1 − e^−x)^M and P(M, x), Rician [1 − Q₁]^M and the noncentral χ² distribution, x = 10^(−margin/10); Simon & Alouini, \
                      Digital Communication over Fading Channels; correlated pairs Schwartz, Bennett & Stein (1966)";
const RANGE: &str = "branches equal on average; correlated ones are modelled as two in Rayleigh fading; shadow of things comes on top";

pub(in super::super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "fade-outage",
        purpose: "how often a link with a margin has none",
        keys: &[
            MARGIN,
            BRANCHES.or("1"),
            COMBINING.or("selection"),
            K,
            CORRELATION.or("0"),
        ],
        source: SOURCE,
        range: RANGE,
        standing: Standing::Equation(
            "two hundred cases worked out and drawn elsewhere, within 0.1 %",
        ),
        example: "fade-outage margin=10dB branches=2 combining=selection k=6dB",
        compute: fade_outage,
    },
    Formula {
        name: "fade-margin",
        purpose: "margin that a link needs for an outage",
        keys: &[
            key::<Ratio>("outage", "", "share of time without a link").between(1e-12, 0.999_999),
            BRANCHES.or("1"),
            COMBINING.or("selection"),
            K,
            CORRELATION.or("0"),
            key::<Decibels>("shadow", "dB", "spread of the mean from place to place")
                .or("0 dB")
                .not_negative(),
            key::<Ratio>(
                "places",
                "",
                "share of places to be served despite the shadow",
            )
            .or("0.9")
            .between(0.5, 0.999_999),
        ],
        source: SOURCE,
        range: RANGE,
        standing: Standing::Equation("thirty margins worked out elsewhere, within 0.001 dB"),
        example: "fade-margin outage=1% branches=2 combining=selection k=6dB",
        compute: fade_margin,
    },
    Formula {
        name: "fade-rate",
        purpose: "how many fades a second, and how long they are",
        keys: &[
            key::<Speed>("speed", "m/s", "of the craft against the ground station").above_zero(),
            FREQUENCY,
            MARGIN,
            K,
        ],
        source: "N = √(2π(K + 1))·f_D·r·exp(−K − (K + 1)r²)·I₀(2r√(K(K + 1))); Rice (1948); Stüber, Principles of Mobile Communication",
        range: "echoes from all around evenly, one branch",
        standing: Standing::Equation(
            "seventy cases worked out elsewhere, within the printed digits",
        ),
        example: "fade-rate speed=10m/s frequency=5800MHz margin=10dB k=rayleigh",
        compute: fade_rate,
    },
    Formula {
        name: "spacing-correlation",
        purpose: "how alike two antennas of one kind fade at a spacing",
        keys: &[
            key::<Length>("spacing", "mm", "between the two antennas").not_negative(),
            FREQUENCY,
        ],
        source: "|J₀(2πd/λ)|; Clarke (1968)",
        range: "echoes from all around evenly; antennas that look different ways are less alike",
        standing: Standing::Equation(
            "three spacings worked out elsewhere, within the printed digits",
        ),
        example: "spacing-correlation spacing=20mm frequency=5800MHz",
        compute: correlation,
    },
];

fn fade_outage(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let fade = fade(values, notes)?;
    let lost = outage(values.plain("margin"), fade, diversity(values)).map_err(refuse)?;
    Ok(vec![number("outage", lost, "")])
}

fn fade_margin(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let fade = fade(values, notes)?;
    let fast_db = margin_for_db(values.plain("outage"), fade, diversity(values)).map_err(refuse)?;
    let shadow_db = shadow_margin_db(values.plain("shadow"), values.plain("places"));
    Ok(vec![
        number("margin_db", fast_db + shadow_db, "dB"),
        number("fading_db", fast_db, "dB"),
        number("shadow_db", shadow_db, "dB"),
    ])
}

fn fade_rate(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let fade = fade(values, notes)?;
    let margin_db = values.plain("margin");
    let found = fades(
        fade,
        margin_db,
        values.get::<Speed>("speed").in_metres_per_second(),
        values.get::<Frequency>("frequency").in_hertz(),
    );
    let lost = outage(margin_db, fade, Diversity::ONE).map_err(refuse)?;
    Ok(vec![
        number("doppler_hz", found.doppler_hz, "Hz"),
        number("fades_per_s", found.per_second, "1/s"),
        number("fade_ms", 1e3 * found.mean_s, "ms"),
        number("outage", lost, ""),
    ])
}

fn correlation(values: &Values, _: &mut Vec<String>) -> Outputs {
    let spacing_m = values.get::<Length>("spacing").in_metres();
    let frequency_hz = values.get::<Frequency>("frequency").in_hertz();
    let alike = spacing_correlation(spacing_m, frequency_hz);
    Ok(vec![number("correlation", alike, "")])
}

pub(super) fn fade(values: &Values, notes: &mut Vec<String>) -> Result<Fade, Vec<Fault>> {
    let text = values.text("k").unwrap_or_default();
    if ["rayleigh", "none"].contains(&text.to_lowercase().as_str()) {
        return Ok(Fade::Rayleigh);
    }
    let k_db = decibels("k", text, notes)?;
    Ok(Fade::Rician { k_db })
}

pub(super) fn diversity(values: &Values) -> Diversity {
    Diversity {
        branches: values.count("branches"),
        combining: match values.word("combining") {
            Some("maximal-ratio") => Combining::MaximalRatio,
            _ => Combining::Selection,
        },
        correlation: values.plain("correlation"),
    }
}
