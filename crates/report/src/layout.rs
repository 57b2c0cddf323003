//! Lines cut to the width of the terminal.

use comfy_table::{ContentArrangement, Table, presets};
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

/// Below this width a table is written row under row.
const ROOM_FOR_COLUMNS: usize = 72;

/// A heading of a page.
pub fn heading(text: &str) -> String {
    let style = anstyle::Style::new().bold();
    format!("\n{style}{text}{style:#}\n")
}

/// A paragraph of a page, its lines after the first further in.
pub fn line(width: usize, text: &str) -> String {
    format!("{}\n", wrapped(text, width, "  ", "      "))
}

/// Rows under their heads; where the terminal is narrow each row as one indented paragraph.
pub fn columns(heads: &[&str], rows: Vec<Vec<String>>, width: usize) -> String {
    if width < ROOM_FOR_COLUMNS {
        let paragraph = |row: &Vec<String>| {
            let told = heads.iter().zip(row).filter(|(_, cell)| !cell.is_empty());
            let words: Vec<String> = told
                .map(|(head, cell)| {
                    if head.is_empty() {
                        cell.clone()
                    } else {
                        format!("{head} {cell}")
                    }
                })
                .collect();
            format!("{}\n", wrapped(&words.join(", "), width, "  ", "      "))
        };
        return rows.iter().map(paragraph).collect();
    }
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(width as u16);
    table.set_header(heads.iter().copied());
    for row in rows {
        table.add_row(row);
    }
    let lines = table.to_string();
    lines
        .lines()
        .map(|line| format!(" {}\n", line.trim_end()))
        .collect()
}
