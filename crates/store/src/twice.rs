//! A name written twice in one file: one fault, with both places.

use craft::{Diagnostic, FileId, Place};
use std::ops::Range;
use toml::de::DeTable;

/// The fault for a key that stands at `second`, if the first one can be found.
pub fn fault(
    file: FileId,
    text: &str,
    top: &DeTable<'_>,
    second: Range<usize>,
) -> Option<Diagnostic> {
    let line_start = text.get(..second.start)?.rfind('\n').map_or(0, |at| at + 1);
    let line = text[line_start..].lines().next()?.trim();
    let header = header_path(line);
    let path = match &header {
        Some(path) => path.clone(),
        None => {
            let mut path = section_of(&text[..line_start]).unwrap_or_default();
            path.push(
                text.get(second.clone())?
                    .trim_matches(['"', '\''])
                    .to_owned(),
            );
            path
        }
    };
    // The parser keeps the later of two headers, so the earlier one is looked for in the text.
    let earlier = || key_at(top, &path).filter(|first| first.start < second.start);
    let first = match header {
        Some(_) => header_above(&text[..line_start], &path),
        None => None,
    }
    .or_else(earlier)?;
    let name = path.join(".");
    let message = format!("`{name}` is written twice");
    let fault = Diagnostic::error("name-twice", Place::new(file, second), message)
        .also(Place::new(file, first), "the first one");
    Some(fault.hint("give one of the two another name, or take it out"))
}

/// Whether a fault at `at` only repeats that its whole table was written twice, at `tables`.
pub fn follows(text: &str, tables: &[Range<usize>], at: usize) -> bool {
    tables.iter().any(|table| {
        let after = text.get(table.end..at).unwrap_or_default();
        let next_header = after
            .lines()
            .skip(1)
            .any(|line| line.trim_start().starts_with('['));
        table.end <= at && !next_header
    })
}

/// Whether the key at this place stands in the header of a table.
pub fn is_header(text: &str, at: usize) -> bool {
    let start = text
        .get(..at)
        .and_then(|before| before.rfind('\n'))
        .map_or(0, |at| at + 1);
    text[start..].trim_start().starts_with('[')
}

/// The names in `[pad.T1]`.
fn header_path(line: &str) -> Option<Vec<String>> {
    let inside = line.strip_prefix('[')?.split(']').next()?;
    Some(names(inside))
}

/// The names of the last header above.
fn section_of(above: &str) -> Option<Vec<String>> {
    above
        .lines()
        .rev()
        .find_map(|line| header_path(line.trim()))
}
/// Where a header with these names stands, or a key that makes the same table inline.
fn header_above(above: &str, path: &[String]) -> Option<Range<usize>> {
    let (mut start, mut section) = (0, Vec::new());
    for line in above.split_inclusive('\n') {
        let header = header_path(line.trim());
        let named = header.clone().or_else(|| {
            let (key, _) = line.split_once('=')?;
            Some([section.clone(), names(key)].concat())
        });
        if named.is_some_and(|found| found == path) {
            return Some(start..start + line.trim_end().len());
        }
        section = header.unwrap_or(section);
        start += line.len();
    }
    None
}

/// Dotted names; a quoted one may hold dots.
fn names(dotted: &str) -> Vec<String> {
    let (mut names, mut quoted) = (vec![String::new()], false);
    for letter in dotted.trim().chars() {
        match letter {
            '"' | '\'' => quoted = !quoted,
            '.' if !quoted => names.push(String::new()),
            _ => names.last_mut().expect("never empty").push(letter),
        }
    }
    names.iter().map(|name| name.trim().to_owned()).collect()
}

/// Where the key at the end of a path stands.
fn key_at(top: &DeTable<'_>, path: &[String]) -> Option<Range<usize>> {
    let (last, above) = path.split_last()?;
    let mut table = top;
    for name in above {
        table = table.get(name.as_str())?.get_ref().as_table()?;
    }
    let key = table
        .keys()
        .find(|key| key.get_ref().as_ref() == last.as_str())?;
    Some(key.span())
}
