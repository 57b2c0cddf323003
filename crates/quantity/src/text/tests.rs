//! What is read, what is refused, and that nothing is lost on the way.

use proptest::prelude::*;

use super::*;
use crate::dimension::DIMENSIONS;
use crate::{
    Charge, Length, Level, Mass, Ratio, Resistance, Temperature, Time, Voltage, WireGauge,
};

fn value<D: Dimension>(text: &str) -> f64 {
    read_as::<D>(text).unwrap().value_and_doubt().0
}

fn doubt<D: Dimension>(text: &str) -> Option<Doubt> {
    read_as::<D>(text).unwrap().value_and_doubt().1
}

/// The message, the bytes it points at and the suggestion.
fn check<D: Dimension>(text: &str, message: &str, place: &str, suggestion: Option<&str>) {
    let fault = read_as::<D>(text).expect_err(text);
    assert_eq!(fault.message, message, "{text}");
    assert_eq!(&text[fault.range.clone()], place, "{text}");
    assert_eq!(fault.suggestion.as_deref(), suggestion, "{text}");
}

#[test]
fn checked_every_spelling_of_a_doubt() {
    for text in [
        "18 ± 4 mΩ",
        "18±4mΩ",
        "18 +- 4 mOhm",
        "18 +/- 4 mohm",
        "18 mΩ ± 4 mΩ",
        "18\u{a0}±\u{202f}4\u{a0}mΩ",
        "  18 ± 4 mΩ ",
        "1.8e1 ± 4 mΩ",
    ] {
        assert_eq!(
            value::<Resistance>(text),
            Resistance::milliohms(18.0).si(),
            "{text}"
        );
        assert_eq!(
            doubt::<Resistance>(text),
            Some(Doubt::Plain(0.004)),
            "{text}"
        );
    }
    assert_eq!(
        doubt::<Resistance>("18 mΩ ± 0.5 Ω"),
        Some(Doubt::Plain(0.5))
    );
    // 20 % of 18 mΩ: 0.018 × 0.2 = 0.0036.
    assert_eq!(
        doubt::<Resistance>("18 mΩ ± 20 %"),
        Some(Doubt::Plain(0.018 * 0.2))
    );
    for text in ["18 mΩ ×/÷ 1.3", "18 mΩ x/ 1.3", "18mΩ×÷1.3", "18 mΩ */ 1.3"] {
        assert_eq!(
            doubt::<Resistance>(text),
            Some(Doubt::Factor(1.3_f64.ln())),
            "{text}"
        );
    }
    assert_eq!(doubt::<Voltage>("7.4V"), None);
    for text in ["5 V ± 0 V", "5 ± 0.0 V", "5 V ± 0 %"] {
        assert_eq!(doubt::<Voltage>(text), Some(Doubt::Exact), "{text}");
    }
}

#[test]
fn checked_a_doubt_of_a_temperature_is_a_difference() {
    assert_eq!(value::<Temperature>("-10 °C"), 263.15);
    assert_eq!(value::<Temperature>("−10 ± 2 degC"), 263.15);
    assert_eq!(doubt::<Temperature>("-10 ± 2 °C"), Some(Doubt::Plain(2.0)));
    let message =
        "a share of a temperature has no meaning; write the doubt in degrees, such as ± 2 °C";
    check::<Temperature>("20 °C ± 5 %", message, "5 %", None);
    check::<Temperature>("20 °C x/ 1.1", message, "1.1", None);
    check::<Temperature>(
        "-300 °C",
        "`-300 °C` is below absolute zero",
        "-300 °C",
        None,
    );
}

#[test]
fn checked_a_level_may_be_below_zero_and_its_doubt_is_in_decibels() {
    let weak = read_as::<Level>("-95 ± 2 dBm").expect("a level");
    assert_eq!(weak.value_and_doubt(), (-95.0, Some(Doubt::Plain(2.0))));
    let fault = read_as::<Level>("14 dBm ± 10 %").expect_err("a share");
    assert!(fault.message.contains("± 2 dBm"), "{}", fault.message);
}

#[test]
fn checked_percent_is_the_unit_of_a_ratio() {
    assert_eq!(value::<Ratio>("90 %"), 0.9);
    assert_eq!(value::<Ratio>("0.9"), 0.9);
    assert_eq!(doubt::<Ratio>("90 ± 5 %"), Some(Doubt::Plain(0.05)));
    assert_eq!(doubt::<Ratio>("90 % ± 5 %"), Some(Doubt::Plain(0.05)));
    assert_eq!(doubt::<Ratio>("0.9 ± 0.05"), Some(Doubt::Plain(0.05)));
    let message =
        "`0.9 ± 5 %` can be read two ways; write `0.9 %` if the first is in percent, else no %";
    check::<Ratio>("0.9 ± 5 %", message, "0.9 ± 5 %", None);
}

#[test]
fn checked_a_range_is_the_central_nine_tenths() {
    // 7..8 V: middle 7.5, half width 0.5 over 1.644854 = 0.303978.
    let written = read_as::<Voltage>("7..8 V").unwrap();
    assert_eq!(written.ends(), Some((7.0, 8.0)));
    let (middle, Some(Doubt::Plain(sd))) = written.value_and_doubt() else {
        panic!("{written:?}");
    };
    assert_eq!(middle, 7.5);
    assert!((sd - 0.303_978).abs() < 1e-6);
    // 10..40 mΩ: ratio 4, median √400 = 20, ln 4/(2 × 1.644854) = 0.421403.
    let (median, Some(Doubt::Factor(s))) = read_as::<Resistance>("10..40 mΩ")
        .unwrap()
        .value_and_doubt()
    else {
        panic!("a wide range is log-normal");
    };
    assert!((median - 0.020).abs() < 1e-15 && (s - 0.421_403).abs() < 1e-6);
    // Its 5 % point is the lower end again.
    assert!((Doubt::Factor(s).at(median, -SCORE_95) - 0.010).abs() < 1e-12);
    assert_eq!(
        read_as::<Voltage>("700 mV..26V").unwrap().ends(),
        Some((0.7, 26.0))
    );
    assert_eq!(
        read_as::<Voltage>("-1..1 V").unwrap().value_and_doubt().0,
        0.0
    );
}

#[test]
fn checked_units_that_are_missing_wrong_or_misspelled() {
    check::<Resistance>("18", "`18` needs a unit, such as mΩ", "18", None);
    check::<Resistance>(
        "18 ± 4",
        "`18 ± 4` needs a unit, such as mΩ",
        "18 ± 4",
        None,
    );
    check::<Resistance>("18 ± 20 %", "`18` needs a unit, such as mΩ", "18", None);
    check::<Resistance>(
        "18 mΩ ± 4",
        "`4` needs a unit as well, such as mΩ",
        "4",
        Some("4 mΩ"),
    );
    check::<Voltage>(
        "5 V ± 0",
        "`0` needs a unit as well, such as V",
        "0",
        Some("0 V"),
    );
    check::<Voltage>(
        "7 g",
        "`g` is a unit of mass, this field is a voltage",
        "g",
        None,
    );
    check::<Voltage>("7.4v", "unknown unit `v` for a voltage", "v", Some("V"));
    check::<Voltage>(
        "7 volts",
        "unknown unit `volts` for a voltage",
        "volts",
        Some("V"),
    );
    check::<Charge>(
        "450 MAH",
        "unknown unit `MAH` for a charge",
        "MAH",
        Some("mAh"),
    );
    check::<Temperature>(
        "20 C",
        "unknown unit `C` for a temperature",
        "C",
        Some("°C"),
    );
    check::<Voltage>(
        "7 MV",
        "unknown unit `MV` for a voltage; write V, mV",
        "MV",
        None,
    );
    for text in ["18 MΩ", "18 M\u{2126}", "18 MOhm", "18 Mohm"] {
        // Off by a thousand million if taken for milliohms, whichever way the sign is typed.
        let fault = read_as::<Resistance>(text).unwrap_err();
        assert_eq!(fault.suggestion, None, "{text}");
    }
    check::<Time>("5 Min", "unknown unit `Min` for a time", "Min", Some("min"));
    check::<Length>(
        "3 inches",
        "unknown unit `inches` for a length",
        "inches",
        Some("in"),
    );
    check::<Length>("3-inch", "`-inch` is not part of a quantity", "-inch", None);
    check::<Temperature>(
        "20 degrees",
        "unknown unit `degrees` for a temperature",
        "degrees",
        Some("°C"),
    );
    check::<Voltage>("7 5 V", "`5` stands where a unit belongs", "5", None);
    check::<WireGauge>(
        "AWG 22",
        "`AWG` comes after the number",
        "AWG 22",
        Some("22 AWG"),
    );
    check::<WireGauge>(
        "AWG22",
        "`AWG` comes after the number",
        "AWG22",
        Some("22 AWG"),
    );
    check::<Voltage>("V", "a number is needed where `V` stands", "V", None);
    check::<Voltage>("± 0", "a number is needed where `±` stands", "±", None);
    check::<Temperature>("20 ± 5 %", "`20` needs a unit, such as °C", "20", None);
    check::<Resistance>(
        "18 x/ 1.3 mΩ",
        "the unit belongs to the value: `18 mΩ ×/÷ …`",
        "18",
        None,
    );
}

#[test]
fn checked_numbers_that_could_be_misread() {
    check::<Voltage>(
        "7,4 V",
        "`7,4` has a decimal comma; write a point",
        "7,4",
        Some("7.4"),
    );
    check::<Voltage>(
        "0,450 V",
        "`0,450` has a decimal comma; write a point",
        "0,450",
        Some("0.450"),
    );
    let either = "`1,500` may be 1500 or 1.500; write it without the comma";
    check::<Charge>("1,500 mAh", either, "1,500", None);
    for text in ["1 500", "1\u{a0}500", "1'500", "1_500"] {
        let message = format!("`{text}` has a separator inside the number");
        check::<Charge>(&format!("{text} mAh"), &message, text, Some("1500"));
    }
    check::<Charge>(
        "1,500.5 mAh",
        "`1,500.5` has a separator inside the number",
        "1,500.5",
        Some("1500.5"),
    );
    for text in ["1 000,5", "1'000,5"] {
        let message = format!("`{text}` has a decimal comma; write a point");
        check::<Mass>(&format!("{text} g"), &message, text, Some("1000.5"));
    }
    check::<Mass>(
        "1,000,000 g",
        "`1,000,000` has a separator inside the number",
        "1,000,000",
        Some("1000000"),
    );
    // Minutes and seconds, groups that are not thousands, two kinds of separator: no suggestion.
    for text in ["5'30", "1_0", "1,000'000", "1,000,50", "1,2.5", "1.2.3"] {
        let fault = read_as::<Mass>(&format!("{text} g")).unwrap_err();
        assert_eq!(
            fault.message,
            format!("`{text}` cannot be read as a number")
        );
        assert_eq!(fault.suggestion, None, "{text}");
    }
    for text in ["5.", "5. V", "5.V"] {
        check::<Voltage>(text, "`5.` has no digit after its point", "5.", Some("5"));
    }
    assert_eq!(value::<Voltage>("−7 V"), -7.0);
    assert_eq!(value::<Voltage>("-.5V"), -0.5);
    check::<Charge>(
        "1.500,5 mAh",
        "`1.500,5` cannot be read as a number",
        "1.500,5",
        None,
    );
    check::<Voltage>(
        "NaN V",
        "`NaN` is not a number that a part can have",
        "NaN",
        None,
    );
    check::<Voltage>(
        "-inf V",
        "`-inf` is not a number that a part can have",
        "-inf",
        None,
    );
    check::<Voltage>("1e999 V", "`1e999` is too large to be meant", "1e999", None);
    check::<Voltage>(
        "1e-999 V",
        "`1e-999` is too small to be meant",
        "1e-999",
        None,
    );
    check::<Charge>(
        "1e308 Ah",
        "`1e308 Ah` is too large to be meant",
        "1e308 Ah",
        None,
    );
}

#[test]
fn checked_doubts_and_ranges_that_make_no_sense() {
    check::<Resistance>(
        "18 ± -4 mΩ",
        "a doubt cannot be negative: `-4`",
        "-4",
        Some("4"),
    );
    check::<Resistance>(
        "18 mΩ x/ 0.8",
        "a factor of doubt is 1 or more, not `0.8`",
        "0.8",
        None,
    );
    check::<Voltage>(
        "-5 V x/ 1.3",
        "a factor needs a value above zero, not `-5 V`",
        "1.3",
        None,
    );
    // A doubt beyond all numbers would silently empty the draws.
    check::<Voltage>(
        "1e308 V ± 1e308 %",
        "`1e308 %` is too large to be meant",
        "1e308 %",
        None,
    );
    check::<Voltage>(
        "1e-300..1e300 V",
        "the ends of `1e-300..1e300 V` are too far apart to be meant",
        "1e-300..1e300 V",
        None,
    );
    check::<Voltage>(
        "0 V ± 20 %",
        "`20 %` of `0 V` is no doubt at all; write the doubt in V",
        "20 %",
        None,
    );
    check::<Voltage>("18 ±", "a number is missing after `±`", "", None);
    for (text, word) in [
        ("7-26 V", "-"),
        ("7 – 26 V", "–"),
        ("7 to 26 V", "to"),
        ("7...26 V", "..."),
        ("7…26 V", "…"),
    ] {
        check::<Voltage>(
            text,
            "a range is written with two dots, such as `7..26`",
            word,
            Some(".."),
        );
    }
    check::<Voltage>(
        "26..7 V",
        "`26..7 V` runs downwards; the smaller end comes first",
        "26..7 V",
        Some("7..26 V"),
    );
    check::<Voltage>(
        "7..7 V",
        "both ends of `7..7 V` are the same",
        "7..7 V",
        None,
    );
    check::<Voltage>(
        "7 V (label)",
        "`(label)` is not part of a quantity",
        "(label)",
        None,
    );
    check::<Voltage>("~7 V", "a number is needed where `~7` stands", "~7", None);
    let nothing = "nothing is written here; a number with a unit is needed, such as 5 V";
    check::<Voltage>(" ", nothing, " ", None);
}

#[test]
fn checked_every_dimension_can_be_written_in_its_si_unit() {
    for dimension in DIMENSIONS {
        assert!(
            dimension
                .units
                .iter()
                .any(|unit| unit.scale == 1.0 && unit.offset == 0.0),
            "{dimension:?}"
        );
    }
}

#[test]
fn checked_every_spelling_of_every_unit_is_read() {
    for dimension in DIMENSIONS {
        for unit in dimension.units {
            for spelling in unit.aliases.iter().chain([&unit.symbol]) {
                // `3001/min` would be another number.
                let gap = if spelling.starts_with('1') { " " } else { "" };
                let written = read(&format!("300{gap}{spelling}"), *dimension).unwrap();
                assert_eq!(written.unit, unit, "{spelling} of {dimension:?}");
            }
        }
    }
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        3 => (0..10_000_i32, 0..5_i32).prop_map(|(n, places)| f64::from(n) / 10_f64.powi(places)),
        1 => any::<f64>().prop_filter("finite", |x| x.is_finite()),
        1 => -1e3..1e3_f64,
    ]
}

fn any_dimension() -> impl Strategy<Value = (DimensionInfo, &'static Unit)> {
    (0..DIMENSIONS.len(), any::<prop::sample::Index>())
        .prop_map(|(at, unit)| (DIMENSIONS[at], unit.get(DIMENSIONS[at].units)))
}

fn any_doubt() -> impl Strategy<Value = Doubt> {
    let size = any_number()
        .prop_map(f64::abs)
        .prop_filter("a doubt of zero is Exact", |x| *x > 0.0)
        .boxed();
    prop_oneof![
        Just(Doubt::Exact),
        size.clone().prop_map(Doubt::Plain),
        size.prop_map(Doubt::Factor)
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8_000))]

    /// Any number in any unit of any dimension survives being written and read.
    #[test]
    fn checked_what_is_written_is_read_back(
        (dimension, unit) in any_dimension(),
        si in any_number(),
        doubt in any_doubt(),
    ) {
        let is_temperature = dimension.units.iter().any(|unit| unit.offset != 0.0);
        let si = if is_temperature || matches!(doubt, Doubt::Factor(_)) { si.abs() } else { si };
        prop_assume!(!(is_temperature && matches!(doubt, Doubt::Factor(_))));
        let Some(written) = Written::of(si, doubt, unit, dimension) else {
            prop_assume!(false);
            unreachable!();
        };
        let text = write(&written);
        let back = read(&text, dimension);
        prop_assert!(back.is_ok(), "{text}: {back:?}");
        prop_assert_eq!(back.unwrap().figure, written.figure, "{}", &text);
        prop_assert_eq!(back_doubt(&text, dimension), (si, Some(doubt)), "{}", &text);
    }

    /// Any text that is read gives the same quantity, unit included, after being written.
    #[test]
    fn checked_what_is_read_is_written_back(
        (dimension, unit) in any_dimension(),
        (_, other) in any_dimension(),
        a in any_number(),
        b in any_number(),
        form in 0..7_usize,
    ) {
        let (symbol, other) = (unit.symbol, other.symbol);
        let text = match form {
            0 => format!("{a} {symbol}"),
            1 => format!("{a} ± {} {symbol}", b.abs()),
            2 => format!("{a:e}{symbol} ± {}{symbol}", b.abs()),
            3 => format!("{a} {symbol} ± {} %", b.abs()),
            4 => format!("{a} {symbol} ×/÷ {}", 1.0 + b.abs()),
            5 => format!("{}..{} {symbol}", a.min(b), a.max(b)),
            _ => format!("{a} {symbol} ± {} {other}", b.abs()),
        };
        if let Ok(written) = read(&text, dimension) {
            prop_assert_eq!(read(&write(&written), dimension), Ok(written), "{}", &text);
            let (si, doubt) = written.value_and_doubt();
            let spread = match doubt {
                None | Some(Doubt::Exact) => 0.0,
                Some(Doubt::Plain(s) | Doubt::Factor(s) | Doubt::Shortfall(s)) => s,
            };
            prop_assert!(si.is_finite() && spread.is_finite(), "{}", &text);
        }
    }

    /// No text makes the reader panic or point outside the text.
    #[test]
    fn checked_hostile_text_is_refused_in_its_place(
        text in prop_oneof!["\\PC*", "[-−+0-9eE.,…' ±×÷/x%°µΩ^~a-zA-Z\u{a0}]{0,16}", "[0-9]{1,3}[ .,±x/+-]{0,4}[0-9%]{0,3} ?(V|mΩ|°C|to|e\\^)?"],
        (dimension, _) in any_dimension(),
    ) {
        match read(&text, dimension) {
            Ok(written) => prop_assert_eq!(read(&write(&written), dimension), Ok(written)),
            Err(fault) => {
                prop_assert!(text.get(fault.range.clone()).is_some(), "{text} {fault:?}");
                prop_assert!(!fault.message.is_empty());
            }
        }
    }
}

fn back_doubt(text: &str, dimension: DimensionInfo) -> (f64, Option<Doubt>) {
    read(text, dimension).unwrap().value_and_doubt()
}
