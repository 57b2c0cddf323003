//! Faults in what is said about pads, ports and wires: each at its place, with the other place where there is one.

use craft::{Bench, Diagnostic, SourceFile};

const BOARD: &str = "[outline]\nwidth = \"20 mm\"\nlength = \"20 mm\"\n[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\n\
    [port.1]\n[port.2]\n[pad.T1]\nrole = \"serial-out\"\nof = \"1\"\nx = \"-8 mm\"\ny = \"4 mm\"\n\
    [pad.R1]\nrole = \"serial-in\"\nof = \"1\"\n[pad.G1]\nrole = \"ground\"\n";
const DEVICE: &str = "[signal.data]\n[pad.TX]\nrole = \"serial-out\"\nof = \"data\"\n[pad.G]\nrole = \"ground\"\n[input.main]\nvolts = \"4..6 V\"\npower = \"1 W\"\n";
const CRAFT: &str = "[parts]\nboard = \"board\"\ngps = \"gps\"\n[feeds]\ngps.main = \"board.5v\"\n";

fn read(board: &str, craft: &str, refit: &str) -> (Bench, Vec<Diagnostic>) {
    let files = [
        ("parts/board.toml", board),
        ("parts/gps.toml", DEVICE),
        ("x.craft.toml", craft),
        ("y.refit.toml", refit),
    ];
    let files = files.iter().filter(|(_, text)| !text.is_empty());
    store::text::read(
        files
            .map(|(path, text)| SourceFile {
                path: (*path).into(),
                text: (*text).into(),
            })
            .collect(),
    )
}

/// Asserts exactly one fault: its id, the text it marks, and the text at the other place.
#[track_caller]
fn one(read: (Bench, Vec<Diagnostic>), id: &str, marks: &str, also: Option<&str>) {
    let (bench, found) = read;
    let [fault] = found.as_slice() else {
        panic!("one fault, not {found:#?}");
    };
    assert_eq!(
        (fault.id, bench.text_at(fault.place)),
        (id, marks),
        "{}",
        fault.message
    );
    let other = fault.also.as_ref().map(|(place, _)| bench.text_at(*place));
    assert_eq!(other, also);
}

fn board(more: &str) -> (Bench, Vec<Diagnostic>) {
    read(&format!("{BOARD}{more}"), CRAFT, "")
}

fn craft(more: &str) -> (Bench, Vec<Diagnostic>) {
    read(BOARD, &format!("{CRAFT}{more}"), "")
}

#[test]
fn checked_a_bench_with_pads_and_wires_reads_clean() {
    let wired = "[links]\ngps.data = \"board.1\"\n[wires]\ngps.TX = { to = \"board.R1\", gauge = \"30 AWG\", length = \"40 mm\", colour = \"green\" }\n\
                 [wiring]\nports_counted = \"from-zero\"\n[ground_station.video]\nhand = \"left\"\n";
    assert_eq!(craft(wired).1, Vec::new());
}

#[test]
fn checked_a_wire_to_nowhere() {
    one(
        craft("[wires]\ngps.TX = \"board.R9\"\n"),
        "unknown-pad",
        "\"board.R9\"",
        None,
    );
    one(
        craft("[wires]\ngps.TX = \"bord.R1\"\n"),
        "unknown-pad",
        "\"bord.R1\"",
        None,
    );
    one(
        craft("[wires]\ngps.QX = \"board.R1\"\n"),
        "unknown-pad",
        "QX",
        None,
    );
    one(
        craft("[wires]\nnobody.TX = \"board.R1\"\n"),
        "unknown-part",
        "nobody",
        None,
    );
}

#[test]
fn checked_a_link_to_nowhere() {
    one(
        craft("[links]\ngps.data = \"board.7\"\n"),
        "unknown-port",
        "\"board.7\"",
        None,
    );
    one(
        craft("[links]\ngps.date = \"board.1\"\n"),
        "unknown-signal",
        "date",
        None,
    );
    one(
        craft("[links]\ngps = \"board.1\"\n"),
        "wrong-type",
        "\"board.1\"",
        None,
    );
}

#[test]
fn checked_a_pad_says_whose_it_is() {
    one(
        board("[pad.T9]\nrole = \"serial-out\"\nof = \"9\"\n"),
        "unknown-owner",
        "\"9\"",
        None,
    );
    one(
        board("[pad.T9]\nrole = \"serial-out\"\n"),
        "missing-key",
        "[pad.T9]",
        None,
    );
    one(
        board("[pad.V]\nrole = \"power\"\nof = \"12v\"\n"),
        "unknown-owner",
        "\"12v\"",
        None,
    );
    one(
        board("[pad.V]\nrole = \"serial-outt\"\nof = \"1\"\n"),
        "unknown-word",
        "\"serial-outt\"",
        None,
    );
}

#[test]
fn checked_places_of_pads() {
    let twin = "[pad.X]\nrole = \"other\"\nx = \"-8 mm\"\ny = \"4 mm\"\n";
    one(board(twin), "pad-on-pad", "X", Some("T1"));
    let below = format!("{twin}side = \"bottom\"\n");
    assert_eq!(board(&below).1, Vec::new());
    one(
        board("[pad.X]\nrole = \"other\"\nx = \"80 mm\"\ny = \"4 mm\"\n"),
        "off-the-board",
        "\"80 mm\"",
        Some("\"20 mm\""),
    );
}

#[test]
fn checked_ports_and_signals_have_names_of_their_own() {
    one(
        board("[port.3]\nshares = [\"led\"]\n"),
        "unknown-port",
        "\"led\"",
        None,
    );
    one(board("[signal.1]\n"), "name-twice", "1", Some("1"));
}

#[test]
fn checked_a_ground_goes_to_a_part_that_has_one() {
    let feed = |ground: &str| {
        let craft = CRAFT.replace(
            "\"board.5v\"",
            &format!("{{ from = \"board.5v\", ground = \"{ground}\" }}"),
        );
        read(BOARD, &craft, "")
    };
    assert_eq!(feed("board").1, Vec::new());
    assert_eq!(feed("board.G1").1, Vec::new());
    one(feed("nobody"), "unknown-part", "\"nobody\"", None);
    one(feed("board.T1"), "unknown-pad", "\"board.T1\"", None);
}

#[test]
fn checked_a_refit_links_nothing_that_it_takes_off() {
    let refit = "craft = \"x\"\nremove = [\"gps\"]\n[links]\ngps.data = \"board.1\"\n";
    one(
        read(BOARD, CRAFT, refit),
        "unknown-part",
        "gps",
        Some("\"gps\""),
    );
}
