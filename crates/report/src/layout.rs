//! Lines cut to the width of the terminal.

use textwrap::{Options, WordSplitter};

/// `text` in lines of at most `width`, the first after `first`, the others after `next`. Names are never
/// cut at a hyphen.
pub fn wrapped(text: &str, width: usize, first: &str, next: &str) -> String {
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(next)
        .break_words(false)
        .word_splitter(WordSplitter::NoHyphenation);
    textwrap::fill(text, options)
}
