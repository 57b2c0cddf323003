//! From texts to a bench: which file is what, and table by table through [`crate::table`].

use crate::table::{FaultyKeys, FileReader, article, unknown};
use crate::twice;
use crate::{link, placed};
use craft::air::{Antenna, GroundAntenna, GroundStation, Radio};
use craft::airframe::{
    Craft, CraftHeader, Feed, FeedTable, Fitted, FittedTable, Harness, Link, LinkTable, Refit,
    RefitHeader, WireTable, WireWritten, Wiring,
};
use craft::facet::{Board, Body, Cells, Esc, Frame, Input, Lead, Motor, Plug, Propeller, Rail};
use craft::need::{Conditions, Needs};
use craft::pads::{Capacitor, Jack, Outline, Pad, Port, Signal};
use craft::part::{Named, Part, PartHeader};
use craft::sheet::{Table, TableType};
use craft::space::{
    AxisGains, Holes, LoopFilter, MeshFile, Opening, PlaceTable, RateLoop, RotorPlace, Seat, Solid,
    Tune, View,
};
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
    read_with_meshes(files, Vec::new())
}

/// As [`read`], with the meshes that the sheets name.
pub fn read_with_meshes(files: Vec<SourceFile>, meshes: Vec<MeshFile>) -> (Bench, Vec<Diagnostic>) {
    let mut bench = Bench {
        files,
        meshes,
        ..Bench::default()
    };
    bench.files.extend(crate::typical::files());
    let (mut diagnostics, mut faulty) = (Vec::new(), FaultyKeys::default());
    for index in 0..bench.files.len() {
        let source = bench.files[index].clone();
        let file = FileId(index as u32);
        diagnostics.extend(read_file(&mut bench, file, &source, &mut faulty));
    }
    diagnostics.extend(link::link(&mut bench, &faulty));
    (bench, diagnostics)
}

fn read_file(
    bench: &mut Bench,
    file: FileId,
    source: &SourceFile,
    faulty: &mut FaultyKeys,
) -> Vec<Diagnostic> {
    let Some(kind) = kind(&source.path) else {
        return Vec::new();
    };
    let mut reader = FileReader {
        file,
        text: &source.text,
        basis: Basis::Label,
        diagnostics: Vec::new(),
        faulty: FaultyKeys::default(),
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
        FileKind::Part(name) => {
            let mut part = part(&mut reader, name, top);
            part.meshes = placed::meshes_of(&part, &bench.meshes);
            bench.parts.push(Arc::new(part));
        }
        FileKind::Craft(name) => bench.craft.push(craft(&mut reader, name, top)),
        FileKind::Refit(name) => bench.refits.push(refit(&mut reader, name, top)),
    }
    if faults.is_empty() {
        faulty.append(reader.faulty);
        return reader.diagnostics;
    }
    // After a syntax fault the places of later entries cannot be trusted, so only the faults
    // themselves are reported; the rest comes once they are mended.
    syntax_faults(file, &source.text, top, &faults)
}

/// Names written twice are told with both places, and once.
fn syntax_faults(
    file: FileId,
    text: &str,
    top: &DeTable<'_>,
    faults: &[toml::de::Error],
) -> Vec<Diagnostic> {
    let mut tables: Vec<Range<usize>> = Vec::new();
    let mut told = Vec::new();
    for fault in faults {
        let twice = fault.span().filter(|_| fault.message() == "duplicate key");
        let Some(span) = twice else {
            told.push(syntax_fault(file, text, fault.span(), fault.message()));
            continue;
        };
        if twice::follows(text, &tables, span.start) {
            continue;
        }
        if twice::is_header(text, span.start) {
            tables.push(span.clone());
        }
        told.push(
            twice::fault(file, text, top, span.clone())
                .unwrap_or_else(|| syntax_fault(file, text, Some(span), fault.message())),
        );
    }
    told
}

fn syntax_fault(file: FileId, text: &str, span: Option<Range<usize>>, message: &str) -> Diagnostic {
    // The parser counts bytes and may point into a letter or behind the text; the mark covers at
    // least one whole letter where there is one.
    let range = span.unwrap_or(0..0);
    let start = text.floor_char_boundary(range.start);
    let end = text.ceil_char_boundary(range.end.max(start + 1));
    Diagnostic::error(
        "syntax",
        craft::Place::new(file, start..end),
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
    Outline::TABLE,
    Pad::TABLE,
    Port::TABLE,
    Signal::TABLE,
    Jack::TABLE,
    Radio::TABLE,
    Antenna::TABLE,
    Capacitor::TABLE,
    Solid::TABLE,
    Holes::TABLE,
    Seat::TABLE,
    Opening::TABLE,
    RotorPlace::TABLE,
    View::TABLE,
];

/// The tables of a craft file below its top, in the order of the book; a refit has the same ones
/// with `[add]` in place of `[parts]`.
pub const CRAFT_TABLES: &[Table] = &[
    FittedTable::TABLE,
    FeedTable::TABLE,
    LinkTable::TABLE,
    WireTable::TABLE,
    Wiring::TABLE,
    GroundStation::TABLE,
    GroundAntenna::TABLE,
    PlaceTable::TABLE,
    RateLoop::TABLE,
    AxisGains::TABLE,
    LoopFilter::TABLE,
    Needs::TABLE,
    Conditions::TABLE,
];

/// Their keys, with `parts` for the parts of a craft or `add` for those of a refit.
fn craft_keys(parts: &'static str) -> Vec<&'static str> {
    let below = CRAFT_TABLES[1..].iter().map(|table| table.key);
    std::iter::once(parts).chain(below).collect()
}

fn part(reader: &mut FileReader<'_>, name: &str, top: &DeTable<'_>) -> Part {
    let header: PartHeader = reader.read(
        "",
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
        outline: table(reader, top),
        pads: named(reader, top),
        ports: named(reader, top),
        signals: named(reader, top),
        jacks: named(reader, top),
        radios: named(reader, top),
        antenna: table(reader, top),
        capacitor: table(reader, top),
        solids: named(reader, top),
        holes: named(reader, top),
        seats: named(reader, top),
        openings: named(reader, top),
        rotors: named(reader, top),
        view: table(reader, top),
        meshes: Vec::new(),
        header,
    }
}

fn craft(reader: &mut FileReader<'_>, name: &str, top: &DeTable<'_>) -> Craft {
    let tables = craft_keys(FittedTable::TABLE.key);
    reader.basis = Basis::Measured;
    let header: CraftHeader = reader.read("", top, first_line(reader.text), &tables);
    Craft {
        name: name.to_owned(),
        file: reader.file,
        header,
        parts: fitted(reader, top, FittedTable::TABLE.key),
        feeds: feeds(reader, top),
        harness: harness(reader, top),
        places: places(reader, top),
        tune: tune(reader, top),
        needs: table(reader, top),
        conditions: table(reader, top),
    }
}

fn refit(reader: &mut FileReader<'_>, name: &str, top: &DeTable<'_>) -> Refit {
    let tables = craft_keys("add");
    reader.basis = Basis::Measured;
    let header: RefitHeader = reader.read("", top, first_line(reader.text), &tables);
    Refit {
        name: name.to_owned(),
        file: reader.file,
        header,
        add: fitted(reader, top, "add"),
        feeds: feeds(reader, top),
        harness: harness(reader, top),
        places: places(reader, top),
        tune: tune(reader, top),
        needs: table(reader, top),
        conditions: table(reader, top),
    }
}

/// The sub-table of `T`, if it is there and is a table.
fn table<T: TableType>(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Option<T> {
    let key = T::TABLE.key;
    let value = top.get(key)?;
    let table = as_table(reader, value, || below_it(key))?;
    Some(reader.read(key, table, value.span(), &[]))
}

/// The named sub-tables of `T`: `[rail.5v]`, `[rail.3v3]`. Keys that stand there without a name are
/// one fault together.
fn named<T: TableType>(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Vec<Named<T>> {
    let key = T::TABLE.key;
    let (tables, bare): (Vec<_>, Vec<_>) = entries(reader, top, key)
        .into_iter()
        .partition(|(_, value)| value.get_ref().is_table());
    if let Some((word, _)) = bare.first() {
        let message = format!(
            "`{}` stands in `[{key}]`: a name is missing, such as `[{key}.main]`",
            word.value
        );
        reader.report(Diagnostic::error("missing-name", word.place, message));
    }
    let read = |(name, value): Entry<'_>| {
        let called = format!("{key}.{}", name.value);
        let table = value.get_ref().as_table()?;
        let facet = reader.read(&called, table, value.span(), &[]);
        Some(Named { name, facet })
    };
    tables.into_iter().filter_map(read).collect()
}

fn fitted(reader: &mut FileReader<'_>, top: &DeTable<'_>, key: &str) -> Vec<Fitted> {
    let entries = entries(reader, top, key);
    let read = |(id, value): Entry<'_>| {
        let table = fitted_table(reader, &id.value, value)?;
        let part = None;
        Some(Fitted { id, table, part })
    };
    entries.into_iter().filter_map(read).collect()
}

fn fitted_table(
    reader: &mut FileReader<'_>,
    id: &str,
    value: &Spanned<DeValue<'_>>,
) -> Option<FittedTable> {
    if let DeValue::String(sheet) = value.get_ref() {
        let place = reader.place(value.span());
        return Some(FittedTable {
            place,
            sheet: Some(Stated::new(sheet.clone().into_owned(), place)),
            count: None,
        });
    }
    let table = as_table(reader, value, || {
        format!(
            "`{id}` takes the name of a part sheet in quotes or `{{ sheet = \"…\", count = 4 }}`"
        )
    })?;
    Some(reader.read(id, table, value.span(), &[]))
}

fn feeds(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Vec<Feed> {
    let sockets = twice_named(reader, top, FeedTable::TABLE.key, "input", "`\"pack\"`");
    let read = |(part, socket, value): TwiceNamed<'_>| {
        let called = format!("{}.{}", part.value, socket.value);
        let wanted = "where its power comes from, `\"pack\"` or `\"board.5v\"`";
        let table = short_or_long(reader, &called, value, wanted, |place, from| FeedTable {
            place,
            from: Some(from),
            gauge: None,
            length: None,
            ground: None,
        })?;
        Some(Feed {
            part,
            socket,
            table,
        })
    };
    sockets.into_iter().filter_map(read).collect()
}

fn harness(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Harness {
    Harness {
        links: links(reader, top),
        wires: wires(reader, top),
        wiring: table(reader, top),
        ground_stations: named(reader, top),
        ground_antennas: named(reader, top),
    }
}

fn tune(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Tune {
    Tune {
        rate_loop: table(reader, top),
        gains: named(reader, top),
        filters: named(reader, top),
    }
}

/// Places; words in quotes are a seat.
fn places(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Vec<Named<PlaceTable>> {
    let written = entries(reader, top, PlaceTable::TABLE.key);
    let read = |(name, value): Entry<'_>| {
        let wanted = "its seat, `\"frame.stack\"`, or `{ x = \"12 mm\", z = \"8 mm\" }`";
        let facet = short_or_long(reader, &name.value, value, wanted, |place, seat| {
            PlaceTable {
                seat: Some(seat),
                ..PlaceTable::empty(place)
            }
        })?;
        Some(Named { name, facet })
    };
    written.into_iter().filter_map(read).collect()
}

fn links(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Vec<Link> {
    let signals = twice_named(reader, top, LinkTable::TABLE.key, "signal", "`\"board.2\"`");
    let read = |(part, signal, value): TwiceNamed<'_>| {
        let called = format!("{}.{}", part.value, signal.value);
        let wanted = "the port it goes to, `\"board.2\"`";
        let table = short_or_long(reader, &called, value, wanted, |place, to| LinkTable {
            place,
            to: Some(to),
            gauge: None,
            length: None,
        })?;
        Some(Link {
            part,
            signal,
            table,
        })
    };
    signals.into_iter().filter_map(read).collect()
}

fn wires(reader: &mut FileReader<'_>, top: &DeTable<'_>) -> Vec<WireWritten> {
    let pads = twice_named(reader, top, WireTable::TABLE.key, "pad", "`\"board.R2\"`");
    let read = |(part, pad, value): TwiceNamed<'_>| {
        let called = format!("{}.{}", part.value, pad.value);
        let wanted = "the pad it goes to, `\"board.R2\"`";
        let table = short_or_long(reader, &called, value, wanted, |place, to| WireTable {
            place,
            to: Some(to),
            gauge: None,
            length: None,
            colour: None,
        })?;
        Some(WireWritten { part, pad, table })
    };
    pads.into_iter().filter_map(read).collect()
}

/// A part, one of its names, and what is written for it: `camera.power = …`.
type TwiceNamed<'a> = (Stated<String>, Stated<String>, &'a Spanned<DeValue<'a>>);

/// The entries of a table whose keys are a part and one of its names.
fn twice_named<'a>(
    reader: &mut FileReader<'_>,
    top: &'a DeTable<'a>,
    key: &str,
    what: &str,
    example: &str,
) -> Vec<TwiceNamed<'a>> {
    let mut all = Vec::new();
    for (part, names) in entries(reader, top, key) {
        let example = example.trim_matches('`');
        let wanted = || {
            format!(
                "`{0}` needs the name of its {what}: write `{0}.main = {example}`",
                part.value
            )
        };
        let Some(names) = as_table(reader, names, wanted) else {
            continue;
        };
        for (name, value) in names {
            let place = reader.place(name.span());
            let name = Stated::new(name.get_ref().clone().into_owned(), place);
            all.push((part.clone(), name, value));
        }
    }
    all
}

/// A table, or words in quotes that stand for its one needed key.
fn short_or_long<T: TableType>(
    reader: &mut FileReader<'_>,
    called: &str,
    value: &Spanned<DeValue<'_>>,
    wanted: &str,
    short: impl FnOnce(craft::Place, Stated<String>) -> T,
) -> Option<T> {
    if let DeValue::String(words) = value.get_ref() {
        let place = reader.place(value.span());
        return Some(short(place, Stated::new(words.clone().into_owned(), place)));
    }
    let table = as_table(reader, value, || format!("`{called}` takes {wanted}"))?;
    Some(reader.read(called, table, value.span(), &[]))
}

type Entry<'a> = (Stated<String>, &'a Spanned<DeValue<'a>>);

/// The named entries of the table at `key`.
fn entries<'a>(reader: &mut FileReader<'_>, top: &'a DeTable<'a>, key: &str) -> Vec<Entry<'a>> {
    let Some(value) = top.get(key) else {
        return Vec::new();
    };
    let Some(table) = as_table(reader, value, || below_it(key)) else {
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

/// The table, or a fault that says what is `wanted` instead of what stands there.
fn as_table<'a>(
    reader: &mut FileReader<'_>,
    value: &'a Spanned<DeValue<'a>>,
    wanted: impl FnOnce() -> String,
) -> Option<&'a DeTable<'a>> {
    let table = value.get_ref().as_table();
    if table.is_none() {
        let place = reader.place(value.span());
        let found = article(value.get_ref().type_str());
        let message = format!("{}, not {found}", wanted());
        reader.report(Diagnostic::error("wrong-type", place, message));
    }
    table
}

fn below_it(key: &str) -> String {
    format!("`{key}` is a table: write `[{key}]` with its keys below it")
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
