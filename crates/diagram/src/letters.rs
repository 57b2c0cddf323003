//! How wide words are, so that nothing is drawn over them.
//!
//! Widths are the advances of DejaVu Sans Condensed 2.37, the face the picture is made with. The
//! usual fallback faces of a browser are no wider. Letters outside ASCII count as wider than any
//! letter of the face that a label is likely to hold.

/// Height of a line over the letter size: from the highest ascender to the lowest descender.
pub const LINE: f64 = 1.17;

/// Share of [`LINE`] above the base line: ascender 0.93 of 1.17.
pub const ABOVE_BASE: f64 = 0.78;

/// Height of a capital over the letter size.
pub const CAPITAL: f64 = 0.729;

/// Advance of a letter without its own entry, in thousandths of the letter size.
const OTHER: u16 = 1000;

/// Regular face, from space to tilde, in thousandths of the letter size.
#[rustfmt::skip]
const REGULAR: [u16; 95] = [
    286, 360, 414, 754, 572, 855, 702, 247, 351, 351, 450, 754, 286, 325, 286, 303, 572, 572, 572,
    572, 572, 572, 572, 572, 572, 572, 303, 303, 754, 754, 754, 478, 900, 615, 617, 628, 693, 568,
    518, 697, 677, 265, 265, 590, 501, 776, 673, 708, 542, 708, 625, 571, 549, 659, 615, 890, 616,
    549, 616, 351, 303, 351, 754, 450, 450, 551, 571, 495, 571, 554, 316, 571, 570, 250, 250, 521,
    250, 876, 570, 550, 571, 571, 370, 469, 353, 570, 532, 736, 532, 532, 472, 572, 303, 572, 754,
];

/// Bold face, likewise.
#[rustfmt::skip]
const BOLD: [u16; 95] = [
    313, 410, 469, 754, 626, 901, 785, 275, 411, 411, 470, 754, 342, 374, 342, 329, 626, 626, 626,
    626, 626, 626, 626, 626, 626, 626, 360, 360, 754, 754, 754, 522, 900, 696, 686, 660, 747, 615,
    615, 738, 753, 334, 334, 697, 573, 896, 753, 765, 659, 765, 693, 648, 614, 730, 696, 993, 694,
    651, 652, 411, 329, 411, 754, 450, 450, 607, 644, 533, 644, 610, 391, 644, 641, 308, 308, 598,
    308, 938, 641, 618, 644, 644, 444, 536, 430, 641, 586, 831, 580, 586, 523, 641, 329, 641, 754,
];

/// Width of a line of words \[mm\] at a letter size \[mm\].
pub fn width(words: &str, size: f64, bold: bool) -> f64 {
    let table = if bold { &BOLD } else { &REGULAR };
    let of = |letter: char| {
        let place = (letter as usize).wrapping_sub(0x20);
        table.get(place).copied().unwrap_or(OTHER)
    };
    let thousandths: f64 = words.chars().map(|letter| f64::from(of(letter))).sum();
    thousandths * size / 1000.0
}

/// Words on lines no wider than a room \[mm\], broken at spaces; a word that is wider stays whole.
pub fn lines(words: &str, room: f64, size: f64, bold: bool) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        let longer = longer.filter(|line| width(line, size, bold) <= room);
        match (longer, lines.last_mut()) {
            (Some(longer), Some(last)) => *last = longer,
            _ => lines.push(word.to_string()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    // Advances in the face's own units of 1/2048: T 1124, two 1171. (1124 + 1171) / 2048 = 1.1206,
    // at 2.8 mm 3.138 mm. Tolerance: each entry is rounded to a thousandth.
    #[test]
    fn checked_a_pad_label_is_as_wide_as_its_letters() {
        assert!((width("T2", 2.8, false) - 3.138).abs() < 0.005);
    }

    #[test]
    fn checked_an_unknown_letter_is_wider_than_a_capital() {
        assert!(width("Ω", 2.8, false) >= width("W", 2.8, false));
    }
}
