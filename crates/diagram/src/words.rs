//! Names and notes broken into lines that fit.

use crate::letters::{lines, width};
use crate::measure::{MOST_LINES, WIDEST_LINE};

/// Words on as many lines as they need, at most [`MOST_LINES`]; what is over ends in an ellipsis.
pub fn broken(words: &str, size: f64, bold: bool) -> Vec<String> {
    let mut lines = evened(words, size, bold);
    if lines.len() > MOST_LINES {
        lines.truncate(MOST_LINES);
        if let Some(last) = lines.last_mut() {
            last.push_str(" …");
        }
    }
    let fitted = lines
        .iter()
        .map(|line| one_line(line, WIDEST_LINE * 1.2, size, bold));
    fitted.collect()
}

/// Lines of about the same width, no more of them than the widest would give.
fn evened(words: &str, size: f64, bold: bool) -> Vec<String> {
    let mut best = lines(words, WIDEST_LINE, size, bold);
    if best.len() < 2 || best.len() > MOST_LINES {
        return best;
    }
    for share in [0.9, 0.8, 0.7, 0.6, 0.5] {
        let narrower = lines(words, WIDEST_LINE * share, size, bold);
        if narrower.len() > best.len() {
            break;
        }
        best = narrower;
    }
    best
}

/// Words on one line, without control letters, cut with an ellipsis when they are wider than a room.
pub fn one_line(words: &str, room: f64, size: f64, bold: bool) -> String {
    let plain = |letter: char| if letter.is_control() { ' ' } else { letter };
    let words: String = words.trim().chars().take(400).map(plain).collect();
    if width(&words, size, bold) <= room {
        return words;
    }
    let mut cut: Vec<char> = words.chars().collect();
    while cut.len() > 1 && width(&String::from_iter(&cut), size, bold) + size > room {
        cut.pop();
    }
    String::from_iter(cut) + "…"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_a_long_note_is_broken_and_no_line_is_too_wide() {
        let note = "receiver with a long note that will not go on a single line of a box";
        let lines = broken(note, 2.75, false);
        assert_eq!(lines.join(" "), note);
        assert!(lines.len() > 1);
        assert!(
            lines
                .iter()
                .all(|line| width(line, 2.75, false) <= WIDEST_LINE)
        );
    }

    #[test]
    fn checked_a_word_without_end_is_cut_and_says_so() {
        let lines = broken(&"x".repeat(5_000), 2.75, false);
        assert_eq!(lines.len(), 1);
        assert!(lines[0].ends_with('…'));
    }
}
