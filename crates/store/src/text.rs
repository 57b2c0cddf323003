//! From texts to a bench: which file is what, and table by table through [`crate::table`].

use crate::link;
use crate::table::{FileReader, unknown};
use craft::airframe::{
    Craft, CraftHeader, Feed, FeedTable, Fitted, FittedTable, Refit, RefitHeader,
};
use craft::facet::{Board, Body, Cells, Esc, Frame, Input, Lead, Motor, Plug, Propeller, Rail};
use craft::need::{Conditions, Needs};
use craft::part::{Named, Part, PartHeader};
use craft::sheet::{Table, TableType};
use craft::{Bench, Diagnostic, FileId, SourceFile, Stated};
use quantity::Basis;
use std::ops::Range;
use std::sync::Arc;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Largest file that is read; a hand-written sheet is a few kilobytes.
pub const LARGEST_FILE: usize = 1 << 20;

/// Ending of a craft file.
pub const CRAFT_ENDING: &str = ".craft.toml";
/// Ending of a refit file.
pub const REFIT_ENDING: &str = ".refit.toml";

/// What a file is, by its name.
enum FileKind<'a> {
    Part(&'a str),
    Craft(&'a str),
    Refit(&'a str),
}

/// Reads the builder's files and, after them, the typical parts. Never fails: what cannot be
/// read is reported at its place and left out.
pub fn read(files: Vec<SourceFile>) -> (Bench, Vec<Diagnostic>) {
    let mut bench = Bench {
        files,
        ..Bench::default()
    };
    bench.files.extend(crate::typical::files());
    let mut diagnostics = Vec::new();
    for index in 0..bench.files.len() {
        let source = bench.files[index].clone();
        diagnostics.extend(read_file(&mut bench, FileId(index as u32), &source));
    }
    diagnostics.extend(link::link(&mut bench));
    (bench, diagnostics)
}

fn read_file(bench: &mut Bench, file: FileId, source: &SourceFile) -> Vec<Diagnostic> {
    let Some(kind) = kind(&source.path) else {
        return Vec::new();
    };
    let mut reader = FileReader {
        file,
        text: &source.text,
        basis: Basis::Label,
        diagnostics: Vec::new(),
    };
    if source.text.len() > LARGEST_FILE {
        let message = format!(
            "this file is larger than {} KiB and was not read",
            LARGEST_FILE >> 10
        );
        return vec![Diagnostic::error(
            "file-too-large",
            reader.place(0..0),
            message,
        )];
    }
    let (document, faults) = DeTable::parse_recoverable(&source.text);
    let top = document.get_ref();
    match kind {
        FileKind::Part(name) => bench.parts.push(Arc::new(part(&mut reader, name, top))),
        FileKind::Craft(name) => bench.craft.push(craft(&mut reader, name, top)),
        FileKind::Refit(name) => bench.refits.push(refit(&mut reader, name, top)),
    }
    if faults.is_empty() {
        return reader.diagnostics;
    }
    // After a syntax fault the places of later entries cannot be trusted, so only the faults
    // themselves are reported; the rest comes once they are mended.
    faults
        .iter()
        .map(|fault| syntax_fault(file, &source.text, fault.span(), fault.message()))
        .collect()
}

fn syntax_fault(file: FileId, text: &str, span: Option<Range<usize>>, message: &str) -> Diagnostic {
    let range = span.unwrap_or(0..0);
    let end = range
        .end
        .clamp(range.start, text.len())
        .max((range.start + 1).min(text.len()));
    Diagnostic::error(
        "syntax",
        craft::Place::new(file, range.start.min(end)..end),
        one_line(message),
    )
    .hint("mend this first; more may be found after it")
}

fn one_line(message: &str) -> String {
    message.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn kind(path: &str) -> Option<FileKind<'_>> {
    let name = path.rsplit('/').next()?;
    if let Some(name) = name.strip_suffix(CRAFT_ENDING) {
        return Some(FileKind::Craft(name));
    }
    if let Some(name) = name.strip_suffix(REFIT_ENDING) {
        return Some(FileKind::Refit(name));
    }
    let folder = path.rsplit('/').nth(1)?;
    let name = name.strip_suffix(".toml")?;
    matches!(folder, "parts" | "typical").then_some(FileKind::Part(name))
}

/// The tables of a part sheet, in the order of the book.
pub const FACET_TABLES: &[Table] = &[
    Body::TABLE,
    Frame::TABLE,
    Motor::TABLE,
    Propeller::TABLE,
    Esc::TABLE,
    Cells::TABLE,
    Plug::TABLE,
    Lead::TABLE,
    Board::TABLE,
    Input::TABLE,
    Rail::TABLE,
];

fn part(reader: &mut FileReader<'_>, name: &str, top: &DeTable<'_>) -> Part {
    let header: PartHeader = reader.read(
        top,
        first_line(reader.text),
        &FACET_TABLES
            .iter()
            .map(|table| table.key)
            .collect::<Vec<_>>(),
    );
    reader.basis = header
        .source
        .map_or(Basis::Label, |source| source.value.into());
    Part {
        name: name.to_owned(),
        file: reader.file,
        body: table(reader, top),
        frame: table(reader, top),
        motor: table(reader, top),
        propeller: table(reader, top),
        esc: table(reader, top),
        cells: table(reader, top),
        plug: table(reader, top),
        lead: table(reader, top),
        board: table(reader, top),
        inputs: named(reader, top),
        rails: named(reader, top),
        header,
    }
}

fn craft(reader: &mut FileReader<'_>, name: &str, top: &DeTable<'_>) -> Craft {
    let tables = [
        FittedTable::TABLE.key,
        FeedTable::TABLE.key,
        Needs::TABLE.key,
        Conditions::TABLE.key,
    ];
    reader.basis = Basis::Measured;
    let header: CraftHeader = reader.read(top, first_line(reader.text), &tables);
    Craft {
        name: name.to_owned(),
        file: reader.file,
        header,
        parts: fitted(reader, top, FittedTable::TABLE.key),
        feeds: feeds(reader, top),
        needs: table(reader, top),
        conditions: table(reader, top),
    }
}

fn refit(reader: &mut FileReader<'_>, name: &str, top: &DeTable<'_>) -> Refit {
    let tables = [
        "add",
        FeedTable::TABLE.key,
        Needs::TABLE.key,
        Conditions::TABLE.key,
    ];
    reader.basis = Basis::Measured;
    let header: RefitHeader = reader.read(top, first_line(reader.text), &tables);
    Refit {
        name: name.to_owned(),
        file: reader.file,
        header,
        add: fitted(reader, top, "add"),
        feeds: feeds(reader, top),
        needs: table(reader, top),
        conditions: table(reader, top),
    }
}

/// The sub-table of `T`, if it is there and is a table.
fn table<T: TableType>(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Option<T> {
    let value = top.get(T::TABLE.key)?;
    let table = as_table(reader, value, T::TABLE.key)?;
    Some(reader.read(table, value.span(), &[]))
}

/// The named sub-tables of `T`: `[rail.5v]`, `[rail.3v3]`.
fn named<T: TableType>(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Vec<Named<T>> {
    entries(reader, top, T::TABLE.key)
        .into_iter()
        .filter_map(|(name, value)| {
            let table = as_table(reader, value, &name.value)?;
            Some(Named {
                name,
                facet: reader.read(table, value.span(), &[]),
            })
        })
        .collect()
}

fn fitted(reader: &mut FileReader<'_>, top: &DeTable<'_>, key: &str) -> Vec<Fitted> {
    entries(reader, top, key)
        .into_iter()
        .filter_map(|(id, value)| {
            let table = match value.get_ref() {
                DeValue::String(sheet) => {
                    let place = reader.place(value.span());
                    let sheet = Some(Stated::new(sheet.clone().into_owned(), place));
                    FittedTable {
                        place,
                        sheet,
                        count: None,
                    }
                }
                _ => {
                    let table = as_table(reader, value, &id.value)?;
                    reader.read(table, value.span(), &[])
                }
            };
            Some(Fitted {
                id,
                table,
                part: None,
            })
        })
        .collect()
}

fn feeds(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Vec<Feed> {
    let mut feeds = Vec::new();
    for (part, sockets) in entries(reader, top, FeedTable::TABLE.key) {
        let Some(sockets) = as_table(reader, sockets, &part.value) else {
            continue;
        };
        for (socket, value) in sockets {
            let place = reader.place(value.span());
            let table = match value.get_ref() {
                DeValue::String(from) => FeedTable {
                    place,
                    from: Some(Stated::new(from.clone().into_owned(), place)),
                    gauge: None,
                    length: None,
                },
                _ => match as_table(reader, value, socket.get_ref()) {
                    Some(table) => reader.read(table, value.span(), &[]),
                    None => continue,
                },
            };
            let socket = Stated::new(
                socket.get_ref().clone().into_owned(),
                reader.place(socket.span()),
            );
            feeds.push(Feed {
                part: part.clone(),
                socket,
                table,
            });
        }
    }
    feeds
}

type Entry<'a> = (Stated<String>, &'a Spanned<DeValue<'a>>);

/// The named entries of the table at `key`.
fn entries<'a>(reader: &mut FileReader<'_>, top: &'a DeTable<'a>, key: &str) -> Vec<Entry<'a>> {
    let Some(value) = top.get(key) else {
        return Vec::new();
    };
    let Some(table) = as_table(reader, value, key) else {
        return Vec::new();
    };
    table
        .iter()
        .map(|(name, value)| {
            (
                Stated::new(
                    name.get_ref().clone().into_owned(),
                    reader.place(name.span()),
                ),
                value,
            )
        })
        .collect()
}

fn as_table<'a>(
    reader: &mut FileReader<'_>,
    value: &'a Spanned<DeValue<'a>>,
    key: &str,
) -> Option<&'a DeTable<'a>> {
    let table = value.get_ref().as_table();
    if table.is_none() {
        let place = reader.place(value.span());
        let found = value.get_ref().type_str();
        let message =
            format!("`{key}` is a table: write `[{key}]` with its keys below it, not {found}");
        reader.report(Diagnostic::error("wrong-type", place, message));
    }
    table
}

fn first_line(text: &str) -> Range<usize> {
    0..text.find('\n').unwrap_or(text.len())
}

/// The names a fault may be compared with; used by [`link`].
pub(crate) fn unknown_name(
    id: &'static str,
    what: &str,
    name: &Stated<String>,
    known: Vec<&str>,
) -> Diagnostic {
    unknown(id, what, name.place, &name.value, known)
}
