//! Faults in what is said about pads, ports, links and wires: what is marked, what is offered, the other place, and
//! what must not be told.

use craft::{Bench, Diagnostic, Severity, SourceFile};

const BOARD: &str = "[outline]\nwidth = \"20 mm\"\nlength = \"30 mm\"\n[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\n\
    [port.1]\n[port.2]\n[pad.T1]\nrole = \"serial-out\"\nof = \"1\"\nx = \"-8 mm\"\ny = \"4 mm\"\n\
    [pad.R1]\nrole = \"serial-in\"\nof = \"1\"\n[pad.G1]\nrole = \"ground\"\n[pad.5V]\nrole = \"power\"\nof = \"5v\"\n";
const GPS: &str = "[signal.data]\n[pad.TX]\nrole = \"serial-out\"\nof = \"data\"\n[pad.V]\nrole = \"power\"\nof = \"main\"\n\
    [pad.G]\nrole = \"ground\"\n[input.main]\nvolts = \"4..6 V\"\npower = \"1 W\"\n";
const CRAFT: &str = "[parts]\nboard = \"board\"\ngps = \"gps\"\n[feeds]\ngps.main = \"board.5v\"\n";

/// One fault as a builder sees it.
#[derive(Debug, PartialEq)]
struct Seen {
    id: &'static str,
    /// The text it marks.
    marks: String,
    /// What is offered, beside the mark or below.
    offers: String,
    /// The text at the other place.
    also: Option<String>,
}

fn seen(id: &'static str, marks: &str, offers: &str) -> Seen {
    Seen {
        id,
        marks: marks.to_owned(),
        offers: offers.to_owned(),
        also: None,
    }
}

impl Seen {
    fn and(self, also: &str) -> Self {
        Self {
            also: Some(also.to_owned()),
            ..self
        }
    }
}

fn read(board: &str, craft: &str, refit: &str) -> (Bench, Vec<Diagnostic>) {
    let files = [
        ("parts/board.toml", board),
        ("parts/gps.toml", GPS),
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

#[track_caller]
fn told((bench, found): (Bench, Vec<Diagnostic>), wanted: &[Seen]) {
    let shown: Vec<Seen> = found
        .iter()
        .map(|fault| Seen {
            id: fault.id,
            marks: bench.text_at(fault.place).to_owned(),
            offers: [fault.label.as_str(), fault.hint.as_deref().unwrap_or("")].concat(),
            also: fault
                .also
                .as_ref()
                .map(|(place, _)| bench.text_at(*place).to_owned()),
        })
        .collect();
    assert_eq!(shown, wanted, "{found:#?}");
}

#[track_caller]
fn board(more: &str, wanted: &[Seen]) {
    told(read(&format!("{BOARD}{more}"), CRAFT, ""), wanted);
}

#[track_caller]
fn craft(more: &str, wanted: &[Seen]) {
    told(read(BOARD, &format!("{CRAFT}{more}"), ""), wanted);
}

/// A craft whose GPS is linked and wired, and a refit of it.
#[track_caller]
fn refit(more: &str, wanted: &[Seen]) {
    let craft = format!("{CRAFT}[links]\ngps.data = \"board.1\"\n[wires]\ngps.TX = \"board.R1\"\n");
    told(
        read(BOARD, &craft, &format!("craft = \"x\"\n{more}")),
        wanted,
    );
}

#[test]
fn checked_a_bench_with_pads_and_wires_reads_clean() {
    craft(
        "[links]\ngps.data = \"board.1\"\n[wires]\ngps.TX = { to = \"board.R1\", gauge = \"30 AWG\", length = \"40 mm\", colour = \"green\" }\n\
         [wiring]\nports_counted = \"from-zero\"\n[ground_station.video]\nhand = \"left\"\n",
        &[],
    );
}

#[test]
fn checked_the_nearest_pad_is_offered() {
    let near = |marks| seen("unknown-pad", marks, "did you mean `board.R1`?");
    craft("[wires]\ngps.TX = \"board.R9\"\n", &[near("\"board.R9\"")]);
    craft("[wires]\ngps.TX = \"bord.R1\"\n", &[near("\"bord.R1\"")]);
    let pads = "it can be `TX`, `V` or `G`";
    craft(
        "[wires]\ngps.QQQ = \"board.R1\"\n",
        &[seen("unknown-pad", "QQQ", pads)],
    );
    craft(
        "[wires]\ngps.QX = \"board.R1\"\n",
        &[seen("unknown-pad", "QX", pads)],
    );
    let all =
        "it can be `board.T1`, `board.R1`, `board.G1`, `board.5V`, `gps.TX`, `gps.V` or `gps.G`";
    craft(
        "[wires]\ngps.TX = \"\"\n",
        &[seen("unknown-pad", "\"\"", all)],
    );
    craft(
        "[wires]\ngp.TX = \"board.R1\"\n",
        &[seen("unknown-part", "gp", "did you mean `gps`?")],
    );
    craft(
        "[wires]\nnobody.TX = \"board.R1\"\n",
        &[seen("unknown-part", "nobody", "it can be `board` or `gps`")],
    );
    craft(
        "[wires]\ngps.TX = { gauge = \"30 AWG\" }\n",
        &[seen(
            "missing-key",
            "{ gauge = \"30 AWG\" }",
            "missing hereA part and its pad: `board.R2`.",
        )],
    );
}

#[test]
fn checked_a_wire_has_two_ends_and_is_written_once() {
    craft(
        "[wires]\ngps.TX = \"gps.TX\"\n",
        &[seen("wire-loop", "TX", "")],
    );
    let twice = "[wires]\ngps.TX = \"board.R1\"\nboard.R1 = \"gps.TX\"\n";
    craft(twice, &[seen("wire-twice", "R1", "").and("TX")]);
    // Also where the refit writes what the craft has, from the other end; from the same end it takes its place.
    refit(
        "[wires]\nboard.R1 = \"gps.TX\"\n",
        &[seen("wire-twice", "R1", "").and("TX")],
    );
    refit("[wires]\ngps.TX = \"board.R1\"\n", &[]);
    // Two wires may share a pad, and a bridge between two pads of one part is no slip.
    craft(
        "[wires]\ngps.TX = \"board.R1\"\ngps.G = \"board.R1\"\n",
        &[],
    );
    craft("[wires]\nboard.T1 = \"board.R1\"\n", &[]);
}

#[test]
fn checked_the_nearest_port_and_signal_are_offered() {
    let port = |marks, near: &str| seen("unknown-port", marks, &format!("did you mean `{near}`?"));
    craft(
        "[links]\ngps.data = \"bord.1\"\n",
        &[port("\"bord.1\"", "board.1")],
    );
    craft(
        "[links]\ngps.data = \"board.R1\"\n",
        &[port("\"board.R1\"", "board.1")],
    );
    craft(
        "[links]\ngps.data = \"board.7\"\n",
        &[port("\"board.7\"", "board.2")],
    );
    craft(
        "[links]\ngps = \"board.1\"\n",
        &[seen("wrong-type", "\"board.1\"", "")],
    );
    craft(
        "[links]\ngps.date = \"board.1\"\n",
        &[seen("unknown-signal", "date", "did you mean `data`?")],
    );
    craft(
        "[links]\ngp.data = \"board.1\"\n",
        &[seen("unknown-part", "gp", "did you mean `gps`?")],
    );
    craft(
        "[links]\nboard.1 = \"gps.data\"\n",
        &[seen("unknown-signal", "1", "write `gps.data = \"board.1\"`").and("\"gps.data\"")],
    );
}

#[test]
fn checked_a_pad_of_nobody_is_told_who_it_can_be_of() {
    let pad = |role: &str, of: &str| format!("[pad.X]\nrole = \"{role}\"\nof = \"{of}\"\n");
    let owner = |marks, can: &str| seen("unknown-owner", marks, can);
    board(
        &pad("serial-out", "3"),
        &[owner("\"3\"", "it can be `1` or `2`")],
    );
    board(
        &pad("serial-in", "5v"),
        &[owner("\"5v\"", "it can be `1` or `2`")],
    );
    board(
        &pad("power", "1"),
        &[owner("\"1\"", "it can be `5v` or `pack`")],
    );
    board(
        &pad("power-in", "pack"),
        &[owner("\"pack\"", "it can be `5v`")],
    );
    board(
        &pad("ground", "gnd"),
        &[owner("\"gnd\"", "it can be `5v`, `pack`, `1` or `2`")],
    );
    board(
        &pad("power", "12v"),
        &[owner("\"12v\"", "it can be `5v` or `pack`")],
    );
    let of = |what: &str| seen("missing-key", "[pad.X]", what);
    board(
        "[pad.X]\nrole = \"serial-out\"\n",
        &[of("write `of` with the port or signal")],
    );
    board(
        "[pad.X]\nrole = \"phase\"\n",
        &[of("write `of` with the port or signal")],
    );
    board(
        "[pad.X]\nrole = \"power-in\"\n",
        &[of("write `of` with the rail or input, or `pack`")],
    );
    // A ground may be everybody's, and what no refit touches nobody's.
    board(
        "[pad.X]\nrole = \"ground\"\n[pad.Y]\nrole = \"other\"\n",
        &[],
    );
}

#[test]
fn checked_the_nearest_word_is_offered() {
    let word = |marks, near: &str| seen("unknown-word", marks, &format!("did you mean `{near}`?"));
    board(
        "[pad.X]\nrole = \"serial-ot\"\nof = \"1\"\n",
        &[word("\"serial-ot\"", "serial-out")],
    );
    board(
        "[pad.X]\nrole = \"serial-outt\"\nof = \"1\"\n",
        &[word("\"serial-outt\"", "serial-out")],
    );
    board("[port.3]\nduplex = \"ful\"\n", &[word("\"ful\"", "full")]);
    board(
        "[jack.a]\nrole = \"radio\"\nfamily = \"smaa\"\n",
        &[word("\"smaa\"", "sma")],
    );
    craft(
        "[ground_station.video]\nhand = \"rigt\"\n",
        &[word("\"rigt\"", "right")],
    );
    craft(
        "[wiring]\nports_counted = \"fromzero\"\n",
        &[word("\"fromzero\"", "from-zero")],
    );
    let role = "it can be `power`, `power-in`, `ground`, `serial-out`, `serial-in`, `one-wire`, `signal-out`, `signal-in` … (12 in all)";
    board(
        "[pad.X]\nrole = \"TX\"\nof = \"1\"\n",
        &[seen("unknown-word", "\"TX\"", role)],
    );
}

#[test]
fn checked_a_port_shares_with_others_of_its_part() {
    let unknown = |marks| seen("unknown-port", marks, "it can be `1` or `2`");
    board("[port.3]\nshares = [\"2\", \"4\"]\n", &[unknown("\"4\"")]);
    board("[port.3]\nshares = [\"3\"]\n", &[unknown("\"3\"")]);
    board("[port.3]\nshares = [\"led\"]\n", &[unknown("\"led\"")]);
    board("[port.3]\nshares = [\"1\", \"2\"]\n", &[]);
    board(
        "[port.3]\nshares = \"2\"\n",
        &[seen("wrong-type", "\"2\"", "")],
    );
}

#[test]
fn checked_ports_and_signals_have_names_and_numbers_of_their_own() {
    board("[signal.1]\n", &[seen("name-twice", "1", "").and("1")]);
    let twice = seen("number-twice", "b", "").and("1");
    board("[port.b]\nnumber = 1\n", &[twice]);
    // One port on two pads, plain and through an inverter; a bus and a port may both be the first of their kind.
    board("[port.b]\nnumber = 1\nshares = [\"1\"]\n", &[]);
    board("[port.b]\nnumber = 1\nkind = \"two-wire-bus\"\n", &[]);
}

#[test]
fn checked_a_pads_role_suits_its_port() {
    let pad = |role: &str, of: &str| format!("[pad.X]\nrole = \"{role}\"\nof = \"{of}\"\n");
    let unsuited = |role: &str, of: &str| {
        [seen("role-unsuited", &format!("\"{role}\""), "").and(&format!("\"{of}\""))]
    };
    board(&pad("phase", "1"), &unsuited("phase", "1"));
    board(&pad("clock", "2"), &unsuited("clock", "2"));
    board(&pad("one-wire", "2"), &[]);
    let bus = "[port.bus]\nkind = \"two-wire-bus\"\n";
    let of_bus = |role: &str| pad(role, "bus") + bus;
    board(&of_bus("serial-in"), &unsuited("serial-in", "bus"));
    board(&of_bus("data"), &[]);
    // A ground beside a port suits every kind.
    board(&of_bus("ground"), &[]);
    let signal = "[signal.picture]\nkind = \"composite-video\"\n";
    board(
        &(pad("serial-out", "picture") + signal),
        &unsuited("serial-out", "picture"),
    );
    board(&(pad("signal-out", "picture") + signal), &[]);
}

#[test]
fn checked_pads_lie_on_the_board_and_apart() {
    let pad = |x: &str, y: &str| format!("[pad.X]\nrole = \"other\"\nx = \"{x}\"\ny = \"{y}\"\n");
    let twin = || seen("pad-on-pad", "X", "").and("T1");
    board(&pad("-8 mm", "4 mm"), &[twin()]);
    board(&pad("-8 mm", "4.2 mm"), &[twin()]);
    board(&pad("-8 mm", "4.4 mm"), &[]);
    // The top is where a pad is that says nothing of sides.
    board(&(pad("-8 mm", "4 mm") + "side = \"top\"\n"), &[twin()]);
    board(&(pad("-8 mm", "4 mm") + "side = \"bottom\"\n"), &[]);
    board(
        &pad("80 mm", "4 mm"),
        &[seen(
            "off-the-board",
            "\"80 mm\"",
            "positions are counted from the middle of the board",
        )
        .and("\"20 mm\"")],
    );
    // Negative places are places; a pad may stand out by its own width.
    board(&pad("-10 mm", "-15 mm"), &[]);
    board(&pad("-11.5 mm", "-16.5 mm"), &[]);
    let middle = "positions are counted from the middle of the board";
    let off = |marks, size: &str| seen("off-the-board", marks, middle).and(size);
    board(&pad("2 mm", "-17 mm"), &[off("\"-17 mm\"", "\"30 mm\"")]);
    board(&pad("-12 mm", "0 mm"), &[off("\"-12 mm\"", "\"20 mm\"")]);
    // One pad, one complaint, wherever it has gone.
    board(&pad("-50 mm", "50 mm"), &[off("\"-50 mm\"", "\"20 mm\"")]);
    board(&pad("2", "4 mm"), &[seen("bad-quantity", "2", "")]);
}

#[test]
fn checked_places_are_watched_and_names_are_errors() {
    let level = |more: &str| {
        let (_, found) = read(&format!("{BOARD}{more}"), CRAFT, "");
        found.iter().map(|fault| fault.severity).collect::<Vec<_>>()
    };
    let place = "[pad.X]\nrole = \"other\"\nx = \"-8 mm\"\ny = \"4 mm\"\n";
    assert_eq!(level(place), [Severity::Warning]);
    let name = "[pad.X]\nrole = \"serial-in\"\nof = \"9\"\n";
    assert_eq!(level(name), [Severity::Error]);
}

#[test]
fn checked_a_ground_goes_to_another_part() {
    let ground = |to: &str, wanted: &[Seen]| {
        let feed = format!("{{ from = \"board.5v\", ground = \"{to}\" }}");
        told(
            read(BOARD, &CRAFT.replace("\"board.5v\"", &feed), ""),
            wanted,
        );
    };
    ground("board", &[]);
    ground("board.G1", &[]);
    let near = "did you mean `board`?";
    ground("bord", &[seen("unknown-part", "\"bord\"", near)]);
    let pad = "did you mean `board.G1`?";
    ground("board.G9", &[seen("unknown-pad", "\"board.G9\"", pad)]);
    ground("board.T1", &[seen("unknown-pad", "\"board.T1\"", pad)]);
    let parts = "it can be `board` or `gps`";
    ground("nobody", &[seen("unknown-part", "\"nobody\"", parts)]);
    ground("pack", &[seen("unknown-part", "\"pack\"", parts)]);
    let elsewhere = "write the part that its current comes back to, or leave `ground` out";
    ground("gps", &[seen("ground-loop", "\"gps\"", elsewhere)]);
    ground("gps.G", &[seen("ground-loop", "\"gps.G\"", elsewhere)]);
}

#[test]
fn checked_what_a_refit_takes_off_takes_its_wires_along() {
    // The craft's own links and wires go with the part, without a word.
    refit("remove = [\"gps\"]\n", &[]);
    refit("remove = [\"board\"]\n[feeds]\ngps.main = \"pack\"\n", &[]);
    // New ones cannot go there.
    let without = "remove = [\"board\"]\n[feeds]\ngps.main = \"pack\"\n";
    let gone = |marks: &str, part: &str| {
        let offers = "take the line out, or name a part that stays on";
        [seen("unknown-part", marks, offers).and(part)]
    };
    refit(
        &format!("{without}[links]\ngps.data = \"board.1\"\n"),
        &gone("\"board.1\"", "\"board\""),
    );
    refit(
        &format!("{without}[wires]\ngps.TX = \"board.R1\"\n"),
        &gone("\"board.R1\"", "\"board\""),
    );
    refit(
        "remove = [\"gps\"]\n[links]\ngps.data = \"board.1\"\n",
        &gone("gps", "\"gps\""),
    );
    refit(
        "remove = [\"gps\"]\n[wires]\ngps.TX = \"board.R1\"\n",
        &gone("gps", "\"gps\""),
    );
}

#[test]
fn checked_a_ground_to_nowhere_is_told_once_for_both_states() {
    let feed = "{ from = \"board.5v\", ground = \"nobody\" }";
    let craft = CRAFT.replace("\"board.5v\"", feed);
    let nobody = seen("unknown-part", "\"nobody\"", "it can be `board` or `gps`");
    told(read(BOARD, &craft, "craft = \"x\"\n"), &[nobody]);
}
