//! Numbers as people read them: no more digits than the doubt warrants.

/// Shown for what is not a number.
const NO_NUMBER: &str = "none";
/// Beyond these powers of ten a number is written with its power.
const PLAIN_POWERS: std::ops::RangeInclusive<i32> = -5..=6;

/// More decimals than this are not in an `f64` near 1.
const MOST_PLACES: i32 = 17;

/// A number to so many significant digits: `plain(0.018234, 3)` is "0.0182".
pub fn plain(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return not_finite(value);
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let power = power_of(value, digits);
    if !PLAIN_POWERS.contains(&power) {
        let text = format!("{value:.*e}", digits.saturating_sub(1));
        // The sign of the number, not that of its power.
        return match text.strip_prefix('-') {
            Some(rest) => format!("−{rest}"),
            None => text,
        };
    }
    to_places(value, places_of(value, digits))
}

/// A number that is known, a limit or a setting: three digits at most, without idle zeros.
pub fn exact(value: f64) -> String {
    let text = plain(value, 3);
    if text.contains('.') && !text.contains('e') {
        return text.trim_end_matches('0').trim_end_matches('.').to_owned();
    }
    text
}

/// A number that somebody set, an end of a range: every digit of it.
pub fn setting(value: f64) -> String {
    value.to_string().replace('-', "−")
}

/// A number and its standard deviation: two digits of the deviation when it begins with 1, else
/// one, and the number to the same place. `doubted(6.3142, 0.187)` is ("6.31", "0.19").
///
/// Where the larger of the two needs its power of ten written, both are written with it:
/// `doubted(4.2e-9, 1.6e-10)` is ("4.20e-9", "0.16e-9").
pub fn doubted(value: f64, sd: f64) -> (String, String) {
    if !value.is_finite() || !sd.is_finite() || sd <= 0.0 {
        return (plain(value, 3), plain(sd, 2));
    }
    let places = places(sd);
    let power = power_of(value.abs().max(sd), 2);
    if PLAIN_POWERS.contains(&power) {
        return (to_places(value, places), to_places(sd, places));
    }
    let scaled = |number: f64| {
        let unit = 10f64.powi(power);
        format!("{}e{power}", to_places(number / unit, places + power))
    };
    (scaled(value), scaled(sd))
}

/// Decimal places that a standard deviation warrants; negative for tens and hundreds.
pub fn places(sd: f64) -> i32 {
    if !sd.is_finite() || sd <= 0.0 {
        return 2;
    }
    let power = power_of(sd, 2);
    let first = sd / 10f64.powi(power);
    if first < 2.0 { 1 - power } else { -power }
}

/// Decimal places for the ends of a band: one digit more than [`places`] gives where the deviation
/// begins with 2 to 9, so that narrow bands do not shut.
pub fn band_places(sd: f64) -> i32 {
    if !sd.is_finite() || sd <= 0.0 {
        return 2;
    }
    1 - power_of(sd, 2)
}

/// Decimal places that show so many significant digits of a number.
pub fn places_of(value: f64, digits: usize) -> i32 {
    digits as i32 - 1 - power_of(value, digits)
}

/// A number to so many decimal places; negative places round to tens and hundreds.
pub fn to_places(value: f64, places: i32) -> String {
    if !value.is_finite() {
        return not_finite(value);
    }
    let text = if places >= 0 {
        format!("{value:.*}", places.min(MOST_PLACES) as usize)
    } else {
        let unit = 10f64.powi(-places);
        format!("{:.0}", (value / unit).round() * unit)
    };
    // Nothing is "−0".
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|digit| matches!(digit, '0' | '.')) => rest.to_owned(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// A whole number.
pub fn whole(value: f64) -> String {
    to_places(value, 0)
}

/// The power of ten of the first digit once rounded to `digits`.
fn power_of(value: f64, digits: usize) -> i32 {
    let text = format!("{:.*e}", digits.saturating_sub(1), value.abs());
    text.rsplit('e')
        .next()
        .and_then(|power| power.parse().ok())
        .unwrap_or(0)
}

fn not_finite(value: f64) -> String {
    if value.is_nan() {
        NO_NUMBER.to_owned()
    } else if value > 0.0 {
        "no limit".to_owned()
    } else {
        "−no limit".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_digits_follow_the_doubt() {
        assert_eq!(doubted(6.3142, 0.187), ("6.31".into(), "0.19".into()));
        assert_eq!(doubted(52.34, 4.2), ("52".into(), "4".into()));
        assert_eq!(doubted(32_453.2, 1_240.0), ("32500".into(), "1200".into()));
        assert_eq!(doubted(0.9996, 0.0996), ("1.00".into(), "0.10".into()));
    }

    #[test]
    fn checked_vast_and_tiny_numbers_share_their_power() {
        assert_eq!(
            doubted(4.2e-9, 1.6e-10),
            ("4.20e-9".into(), "0.16e-9".into())
        );
        assert_eq!(doubted(-4.2e12, 3e11), ("−4.2e12".into(), "0.3e12".into()));
        // The deviation is the larger of the two.
        assert_eq!(doubted(1e-9, 4e-8), ("0e-8".into(), "4e-8".into()));
        assert_eq!(
            doubted(5.0, 2e-14),
            ("5.00000000000000".into(), "0.00000000000002".into())
        );
        assert_eq!(doubted(0.0, 0.3), ("0.0".into(), "0.3".into()));
        assert_eq!(doubted(f64::NAN, 0.3), ("none".into(), "0.30".into()));
        assert_eq!(doubted(7.0, f64::NAN), ("7.00".into(), "none".into()));
        assert_eq!(plain(-1.234e9, 3), "−1.23e9");
        assert_eq!(plain(f64::MIN_POSITIVE, 2), "2.2e-308");
        assert_eq!(setting(-60.0), "−60");
    }

    #[test]
    fn checked_plain_numbers_keep_their_digits() {
        assert_eq!(plain(0.018_234, 3), "0.0182");
        assert_eq!(plain(9.996, 3), "10.0");
        assert_eq!(plain(-0.000_1, 2), "−0.00010");
        assert_eq!(plain(0.0, 3), "0");
        assert_eq!(plain(1.234e9, 3), "1.23e9");
        assert_eq!(plain(f64::NAN, 3), "none");
        assert_eq!(to_places(-0.04, 1), "0.0");
        assert_eq!(
            [
                exact(0.5),
                exact(25.0),
                exact(2.0),
                exact(6.8),
                exact(1500.0)
            ],
            ["0.5", "25", "2", "6.8", "1500"]
        );
    }
}
