//! Shapes and places as written, right and wrong, each fault at its place.

use craft::{Bench, Diagnostic, SourceFile};

const FRAME: &str = "[frame]\nrotors = 4\ndiagonal = \"150 mm\"\n[seat.stack]\nkind = \"posts\"\nholes = \"boards\"\n[holes.boards]\nsquare = \"20 mm\"\n";
const BOARD: &str = "[solid.board]\nshape = \"board\"\nlength = \"30 mm\"\nwidth = \"30 mm\"\n";
const CRAFT: &str = "[parts]\nframe = \"frame\"\nboard = \"board\"\nvtx = \"board\"\n[places]\nboard = \"frame.stack\"\nvtx = { above = \"board\", standoff = \"6 mm\" }\n";

fn read(frame: &str, board: &str, craft: &str, refit: &str) -> (Bench, Vec<Diagnostic>) {
    let files = [
        ("parts/frame.toml", frame),
        ("parts/board.toml", board),
        ("x.craft.toml", craft),
        ("y.refit.toml", refit),
    ];
    let files = files.iter().filter(|(_, text)| !text.is_empty());
    let files = files.map(|(path, text)| SourceFile {
        path: (*path).into(),
        text: (*text).into(),
    });
    store::text::read(files.collect())
}

/// Asserts one fault with this id at this text.
#[track_caller]
fn one((bench, found): (Bench, Vec<Diagnostic>), id: &str, marks: &str) {
    let shown: Vec<_> = found
        .iter()
        .map(|fault| (fault.id, bench.text_at(fault.place), &fault.message))
        .collect();
    assert_eq!(shown.len(), 1, "{shown:#?}");
    assert_eq!((shown[0].0, shown[0].1), (id, marks), "{shown:#?}");
}

#[test]
fn checked_a_placed_bench_reads_clean() {
    let (bench, found) = read(FRAME, BOARD, CRAFT, "");
    assert_eq!(found, Vec::new());
    assert_eq!(bench.craft[0].places.len(), 2);
    let places =
        "[places]\nboard = { x = \"-3 ± 1 mm\", y = \"0 mm\", z = \"-12 mm\", tilt = \"-5 °\" }\n";
    assert_eq!(
        read(
            FRAME,
            BOARD,
            &CRAFT.replace("[places]\nboard = \"frame.stack\"\n", places),
            ""
        )
        .1,
        Vec::new()
    );
}

#[test]
fn checked_names_that_point_nowhere() {
    let craft = |from: &str, to: &str| read(FRAME, BOARD, &CRAFT.replace(from, to), "");
    one(
        craft("frame.stack", "frame.stak"),
        "unknown-seat",
        "\"frame.stak\"",
    );
    one(craft("frame.stack", "stack"), "unknown-seat", "\"stack\"");
    one(
        craft("frame.stack", "frme.stack"),
        "unknown-part",
        "\"frme.stack\"",
    );
    one(
        craft("above = \"board\"", "above = \"borad\""),
        "unknown-part",
        "\"borad\"",
    );
    one(
        craft("vtx = { above", "vxt = { above"),
        "unknown-part",
        "vxt",
    );
    one(
        read(
            &FRAME.replace("holes = \"boards\"", "holes = \"board\""),
            BOARD,
            CRAFT,
            "",
        ),
        "unknown-holes",
        "\"board\"",
    );
}

/// The bench with the second board placed so.
fn second_board(place: &str) -> (Bench, Vec<Diagnostic>) {
    let craft = CRAFT.replace("above = \"board\", standoff = \"6 mm\"", place);
    read(FRAME, BOARD, &craft, "")
}

#[test]
fn checked_an_arm_has_the_name_of_its_motor() {
    assert_eq!(
        second_board("arm = \"rear left\", x = \"5 mm\"").1,
        Vec::new()
    );
    one(
        second_board("arm = \"rear lft\""),
        "unknown-arm",
        "\"rear lft\"",
    );
    one(
        second_board("seat = \"frame.stack\", arm = \"rear left\""),
        "place-twice",
        "\"rear left\"",
    );
}

#[test]
fn checked_circles_and_contradictions() {
    let (_, found) = read(
        FRAME,
        BOARD,
        &CRAFT.replace("board = \"frame.stack\"", "board = { above = \"vtx\" }"),
        "",
    );
    assert!(
        found.iter().all(|fault| fault.id == "place-circle") && found.len() == 2,
        "{found:#?}"
    );
    one(second_board("above = \"vtx\""), "place-circle", "\"vtx\"");
    one(
        second_board("above = \"board\", seat = \"frame.stack\""),
        "place-twice",
        "\"board\"",
    );
    one(
        second_board("x = \"1 mm\", tilt = \"5 °\", pitch = \"-5 °\""),
        "place-twice",
        "\"5 °\"",
    );
    one(
        second_board("x = \"1 mm\", standoff = \"5 mm\""),
        "not-used",
        "\"5 mm\"",
    );
}

#[test]
fn checked_a_form_without_its_sizes() {
    let board = |text: &str| read(FRAME, text, CRAFT, "");
    one(
        board("[solid.a]\nshape = \"box\"\nlength = \"3 mm\"\n"),
        "missing-key",
        "\"box\"",
    );
    one(
        board("[solid.a]\nshape = \"cylinder\"\nheight = \"3 mm\"\n"),
        "missing-key",
        "\"cylinder\"",
    );
    one(
        board("[solid.a]\nshape = \"mesh\"\n"),
        "missing-key",
        "\"mesh\"",
    );
    one(
        board("[solid.a]\nshape = \"mesh\"\nmesh = \"a.stl\"\n"),
        "mesh-missing",
        "\"a.stl\"",
    );
    one(
        board(
            "[solid.a]\nshape = \"hood\"\nlength = \"9 mm\"\nwidth = \"9 mm\"\nheight = \"9 mm\"\nopen = [\"frnt\"]\n",
        ),
        "unknown-side",
        "\"frnt\"",
    );
    one(
        board(
            "[solid.a]\nshape = \"cylinder\"\nheight = \"3 mm\"\ndiameter = \"4 mm\"\nbore = \"5 mm\"\n",
        ),
        "upside-down",
        "\"5 mm\"",
    );
    one(
        board("[holes.a]\nsquare = \"20 mm\"\ncircle = \"9 mm\"\n"),
        "holes-twice",
        "\"9 mm\"",
    );
}

#[test]
fn checked_what_the_settings_do() {
    let tuned = |text: &str| read(FRAME, BOARD, &format!("{CRAFT}{text}"), "");
    assert_eq!(tuned("[gains.roll]\np = \"0.05\"\ni = \"0\"\n[filter.a]\nkind = \"notch\"\nfrequency = \"310 Hz\"\nq = \"5\"\n").1, Vec::new());
    one(
        tuned("[gains.role]\np = \"0.05\"\n"),
        "unknown-axis",
        "role",
    );
    one(
        tuned("[filter.a]\nkind = \"notch\"\nfrequency = \"310 Hz\"\n"),
        "missing-key",
        "\"notch\"",
    );
    one(
        tuned("[filter.a]\nkind = \"first-order\"\nfrequency = \"310 Hz\"\nq = \"5\"\n"),
        "not-used",
        "\"5\"",
    );
}

#[test]
fn checked_what_stood_on_a_part_that_is_taken_off_is_lost_and_told() {
    let refit = "craft = \"x\"\nremove = [\"board\"]\n";
    one(read(FRAME, BOARD, CRAFT, refit), "place-lost", "\"board\"");
    let placed = format!("{refit}[places]\nvtx = \"frame.stack\"\n");
    assert_eq!(read(FRAME, BOARD, CRAFT, &placed).1, Vec::new());
}
