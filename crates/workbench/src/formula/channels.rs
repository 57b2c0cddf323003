//! Carriers side by side: what they make of each other, which are best, how loud a neighbour is.

use super::lists::entries;
use super::{
    Answer, Fault, Formula, Key, Outputs, Standing, Values, count, key, number, output, refuse,
    words,
};
use channels::{Band, Craft, Mhz, Question, Tuning, near_far};
use quantity::{Decibels, Frequency, Length, text};

const LIST: &str = "`5740,5760,…` in MHz, or each with its unit";

const fn megahertz(name: &'static str, what: &'static str) -> Key {
    key::<Frequency>(name, "MHz", what)
}

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "intermodulation",
        purpose: "third-order products of carriers, and how near they come to one",
        keys: &[words("frequencies", LIST, "the carriers").also(&["channels", "carriers"])],
        source: "2a − b and a + b − c over all carriers, from the cubic term of any front end",
        range: "middles of carriers in whole kHz; a product is about three times as wide as a carrier, its strength is not asked",
        standing: Standing::Outside(
            "14 sets counted by a Python program, and every product of five of them, exactly",
        ),
        example: "intermodulation frequencies=5658,5695,5769,5917",
        compute: intermodulation,
    },
    Formula {
        name: "channel-plan",
        purpose: "the best carriers for several craft, or why there are none",
        keys: &[
            words(
                "channels",
                LIST,
                "what all can tune; `;` between craft that differ",
            )
            .optional(),
            megahertz("from", "lowest setting of a dial")
                .optional()
                .above_zero(),
            megahertz("to", "highest setting of the dial")
                .optional()
                .above_zero(),
            megahertz("step", "from one setting to the next")
                .optional()
                .above_zero(),
            count("count", 64, "craft in the air at once")
                .optional()
                .also(&["N"]),
            megahertz("spacing", "least distance of two carriers").not_negative(),
            megahertz(
                "bandwidth",
                "width that a carrier occupies; needed with a band",
            )
            .optional()
            .not_negative(),
            words(
                "band",
                "`5725-5875` in MHz, commas between several",
                "where the whole width must lie",
            )
            .optional(),
            words("taken", LIST, "carriers already on the air").optional(),
        ],
        source: "branch and bound; largest smallest distance of a third-order product from a carrier, then largest smallest spacing, then the lowest carriers",
        range: "whole kHz; exact where `proved_best` is yes; says nothing about what the law allows",
        standing: Standing::Outside("28 plans by trying every set in Python, exactly"),
        example: "channel-plan channels=5740,5760,5771,5780,5790,5800,5809,5820,5828,5840,5860 count=4 spacing=30 bandwidth=20 band=5725-5875",
        compute: channel_plan,
    },
    Formula {
        name: "near-far",
        purpose: "how loud a near neighbour is beside one's own craft far away",
        keys: &[
            key::<Length>("wanted", "m", "from the receiver to one's own craft").above_zero(),
            key::<Length>("interferer", "m", "from the receiver to the neighbour").above_zero(),
            key::<Decibels>("eirp_more", "dB", "what the neighbour radiates more").or("0 dB"),
            key::<Decibels>(
                "needed",
                "dB",
                "carrier over interference that the picture needs",
            )
            .or("10 dB"),
        ],
        source: "20·log₁₀(wanted/interferer) + eirp_more",
        range: "free space, equal antennas; 10 dB holds a robust picture, 20 dB a clean one (common practice)",
        standing: Standing::Equation("21 rows worked out in Python, within 0.005 dB"),
        example: "near-far wanted=100m interferer=5m",
        compute: near_and_far,
    },
];

/// Most carriers whose products are counted.
const MOST_CARRIERS: usize = 100;

fn intermodulation(values: &Values, _: &mut Vec<String>) -> Outputs {
    let carriers = list(
        "frequencies",
        values.text("frequencies").unwrap_or_default(),
    )?;
    if !(2..=MOST_CARRIERS).contains(&carriers.len()) {
        return Err(refuse(format!(
            "`frequencies`: {} given; two carriers make products, at most {MOST_CARRIERS} are counted",
            carriers.len()
        )));
    }
    let megahertz = |khz: Option<u32>| khz.map_or(f64::NAN, in_mhz);
    Ok(vec![
        number("products", channels::products(&carriers).len() as f64, ""),
        number("exact_hits", channels::exact_hits(&carriers) as f64, ""),
        number(
            "clearance_mhz",
            megahertz(channels::clearance_khz(&carriers)),
            "MHz",
        ),
        number(
            "spacing_mhz",
            megahertz(channels::spacing_khz(&carriers)),
            "MHz",
        ),
    ])
}

fn channel_plan(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let question = question(values)?;
    let answer = channels::plan(&question).map_err(refuse)?;
    let plan = match answer {
        channels::Answer::Plan(plan) => plan,
        channels::Answer::Impossible(reason) => {
            notes.push(reason.to_string());
            return Ok(vec![output("possible", Answer::Flag(false), "")]);
        }
        channels::Answer::Undecided { .. } => {
            return Err(refuse(
                "too many choices: neither a plan nor a proof that there is none; take a wider step",
            ));
        }
    };
    if !plan.proved_best
        && let Some(ceiling) = plan.ceiling_khz
    {
        notes.push(format!(
            "too many choices to try them all: no plan has more than {} MHz of clearance, but a better one than this may exist",
            Mhz(ceiling)
        ));
    }
    let carriers = plan.carriers_khz.iter().copied().map(in_mhz).collect();
    let mut outputs = vec![
        output("possible", Answer::Flag(true), ""),
        output("carriers_mhz", Answer::List(carriers), "MHz"),
    ];
    let figures = [
        ("clearance_mhz", plan.clearance_khz),
        ("spacing_mhz", plan.spacing_khz),
    ];
    let figures = figures
        .into_iter()
        .filter_map(|(key, khz)| Some((key, khz?)));
    outputs.extend(figures.map(|(key, khz)| number(key, in_mhz(khz), "MHz")));
    outputs.push(output("proved_best", Answer::Flag(plan.proved_best), ""));
    Ok(outputs)
}

fn near_and_far(values: &Values, _: &mut Vec<String>) -> Outputs {
    let interference_db = near_far::interference_db(
        values.get::<Length>("wanted").in_metres(),
        values.get::<Length>("interferer").in_metres(),
        values.get::<Decibels>("eirp_more").in_decibels(),
    );
    let needed_db = values.get::<Decibels>("needed").in_decibels();
    Ok(vec![
        number("interference_db", interference_db, "dB"),
        number(
            "rejection_needed_db",
            near_far::rejection_needed_db(interference_db, needed_db),
            "dB",
        ),
    ])
}

fn question(values: &Values) -> Result<Question, Vec<Fault>> {
    let bands = values
        .text("band")
        .map(bands)
        .transpose()?
        .unwrap_or_default();
    if !bands.is_empty() && values.number("bandwidth").is_none() {
        return Err(refuse(
            "`bandwidth` is missing: the whole width must lie inside the band [MHz]",
        ));
    }
    Ok(Question {
        crafts: crafts(values)?,
        taken_khz: values
            .text("taken")
            .map_or(Ok(Vec::new()), |text| list("taken", text))?,
        bands,
        bandwidth_khz: khz_of(values, "bandwidth")?.unwrap_or(0),
        spacing_khz: khz_of(values, "spacing")?.unwrap_or(0),
        ..Question::default()
    })
}

/// One list for all, a list for each, or a dial.
fn crafts(values: &Values) -> Result<Vec<Craft>, Vec<Fault>> {
    let count = values.number("count").map(|count| count as usize);
    let tunings: Vec<Tuning> = match values.text("channels") {
        Some(text) => entries(text)
            .map(|entry| Ok(Tuning::channels(&list("channels", entry)?)))
            .collect::<Result<_, Vec<Fault>>>()?,
        None => vec![dial(values)?],
    };
    let need_count = || refuse("`count` is missing: craft in the air at once");
    match (tunings.as_slice(), count) {
        ([], _) => Err(refuse("`channels`: no channel in it")),
        ([one], count) => Ok(vec![
            Craft::tuning(one.clone());
            count.ok_or_else(need_count)?
        ]),
        (each, Some(count)) if count != each.len() => Err(refuse(format!(
            "`channels` has a list for each of {} craft, `count` says {count}",
            each.len()
        ))),
        (each, _) => Ok(each.iter().cloned().map(Craft::tuning).collect()),
    }
}

fn dial(values: &Values) -> Result<Tuning, Vec<Fault>> {
    let end = |key: &str| {
        khz_of(values, key)?.ok_or_else(|| {
            refuse(format!(
                "`{key}` is missing: write `channels`, or `from`, `to` and `step`"
            ))
        })
    };
    let (from, to, step) = (end("from")?, end("to")?, end("step")?);
    if step == 0 || to < from {
        return Err(refuse(
            "a dial goes up from `from` to `to` in steps of 1 kHz or more",
        ));
    }
    Ok(Tuning::dial(from, to, step))
}

fn khz_of(values: &Values, key: &str) -> Result<Option<u32>, Vec<Fault>> {
    let found = values.find::<Frequency>(key);
    found.map(|frequency| khz(key, frequency)).transpose()
}

/// Carriers with commas between them.
fn list(key: &str, text: &str) -> Result<Vec<u32>, Vec<Fault>> {
    text.split(',')
        .map(|word| carrier(key, word.trim()))
        .collect()
}

/// Bands with commas between them, each two frequencies with a dash.
fn bands(text: &str) -> Result<Vec<Band>, Vec<Fault>> {
    let one = |word: &str| {
        let ends = word
            .split_once(['-', '–'])
            .ok_or_else(|| refuse(format!("`band`: write `5725-5875`, not `{}`", word.trim())))?;
        let (from_khz, to_khz) = (
            carrier("band", ends.0.trim())?,
            carrier("band", ends.1.trim())?,
        );
        if to_khz < from_khz {
            return Err(refuse(format!(
                "`band`: `{}` ends below its beginning",
                word.trim()
            )));
        }
        Ok(Band { from_khz, to_khz })
    };
    text.split(',').map(one).collect()
}

/// A frequency in MHz, or with its unit.
fn carrier(key: &str, word: &str) -> Result<u32, Vec<Fault>> {
    let bare = word.parse::<f64>().is_ok();
    let spelled = if bare {
        format!("{word} MHz")
    } else {
        word.to_owned()
    };
    let written = text::read_as::<Frequency>(&spelled)
        .map_err(|fault| refuse(format!("`{key}`: `{word}`: {}", fault.message)))?;
    let (hertz, doubt) = written.value_and_doubt();
    if doubt.is_some() || written.ends().is_some() {
        return Err(refuse(format!(
            "`{key}`: `{word}` has doubt; a carrier is one frequency"
        )));
    }
    khz(key, Frequency::hertz(hertz))
}

/// How far a typed frequency may be from whole kilohertz, for what binary fractions leave over \[kHz\].
const WHOLE: f64 = 1e-3;

fn khz(key: &str, frequency: Frequency) -> Result<u32, Vec<Fault>> {
    let khz = frequency.in_kilohertz();
    let whole = khz.round();
    if !(0.0..=f64::from(u32::MAX)).contains(&whole) || (khz - whole).abs() > WHOLE {
        return Err(refuse(format!(
            "`{key}`: {} MHz is not a frequency in whole kHz up to {} MHz",
            frequency.in_megahertz(),
            Mhz(u32::MAX)
        )));
    }
    Ok(whole as u32)
}

fn in_mhz(khz: u32) -> f64 {
    f64::from(khz) / 1000.0
}

#[cfg(test)]
mod tests {
    use super::super::{Answer, formula, read};

    fn call(text: &str) -> Result<super::super::Computed, String> {
        let mut words = text.split_whitespace().map(str::to_owned);
        let formula = formula(&words.next().expect("a name")).expect("a formula");
        let values = read(formula, &words.collect::<Vec<_>>(), &|_| {
            Err("no file".to_owned())
        });
        let computed = values.and_then(|values| formula.compute(&values));
        computed.map_err(|faults| faults.into_iter().map(|fault| fault.0 + "\n").collect())
    }

    #[track_caller]
    fn check(text: &str, expected: &[(&str, Answer)]) {
        let found = call(text).unwrap_or_else(|faults| panic!("{text}: {faults}"));
        for (key, value) in expected {
            let output = found.outputs.iter().find(|output| output.key == *key);
            assert_eq!(
                output.map(|output| &output.value),
                Some(value),
                "{text}: {key}"
            );
        }
    }

    // All eight at 37 MHz: 8·7 + 8·7·6/2 = 224 products, 124 of them on a carrier, by a Python program.
    #[test]
    fn validated_products_of_eight() {
        let number = Answer::Number;
        check(
            "intermodulation frequencies=5658,5695,5732,5769,5806,5843,5880,5917",
            &[
                ("products", number(224.0)),
                ("exact_hits", number(124.0)),
                ("clearance_mhz", number(0.0)),
                ("spacing_mhz", number(37.0)),
            ],
        );
    }

    // The program that tries every set prints 5740 5790 5820 5860 with 10 MHz.
    #[test]
    fn validated_plan_inside_a_band_from_a_list_and_for_each() {
        let list = "5740,5760,5771,5780,5790,5800,5809,5820,5828,5840,5860";
        let plan = [
            (
                "carriers_mhz",
                Answer::List(vec![5740.0, 5790.0, 5820.0, 5860.0]),
            ),
            ("clearance_mhz", Answer::Number(10.0)),
            ("spacing_mhz", Answer::Number(30.0)),
            ("proved_best", Answer::Flag(true)),
        ];
        let rest = "spacing=30 bandwidth=20MHz band=5.725GHz-5875";
        check(
            &format!("channel-plan channels={list},5733,5866 count=4 {rest}"),
            &plan,
        );
        check(
            &format!("channel-plan channels={list};{list};{list};{list} {rest}"),
            &plan,
        );
    }

    #[test]
    fn checked_no_plan_says_why() {
        let found = call(
            "channel-plan from=5725 to=5875 step=5 count=6 spacing=30 bandwidth=20 band=5725-5875",
        );
        let found = found.expect("an answer");
        assert_eq!(found.outputs[0].value, Answer::Flag(false));
        let why = "5 gaps of 30 MHz need 150 MHz, the band leaves 130";
        assert!(
            found.notes.iter().any(|note| note == why),
            "{:?}",
            found.notes
        );
    }

    #[test]
    fn checked_faulty_lists_say_what_is_missing() {
        for (text, words) in [
            ("intermodulation frequencies=5658", "two carriers"),
            ("intermodulation frequencies=5658,abc", "`abc`"),
            ("intermodulation frequencies=5658,5695.00025", "whole kHz"),
            ("intermodulation frequencies=5658,-3", "whole kHz"),
            (
                "channel-plan channels=5658,5695 spacing=30",
                "`count` is missing",
            ),
            (
                "channel-plan channels=5658;5695;5732 count=2 spacing=30",
                "`count` says 2",
            ),
            (
                "channel-plan from=5658 to=5700 count=2 spacing=30",
                "`step` is missing",
            ),
            (
                "channel-plan channels=5658 count=1 spacing=30 band=5650-5925",
                "`bandwidth` is missing",
            ),
            (
                "channel-plan channels=5658 count=1 spacing=30 bandwidth=20 band=5650",
                "`5725-5875`",
            ),
        ] {
            let said = call(text).expect_err(text);
            assert!(said.contains(words), "{text}: {said}");
        }
    }
}
