//! `fitout wire` from outside, on the demo benches.

#![expect(
    clippy::disallowed_methods,
    reason = "a test makes and removes its own drawings"
)]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const DEMOS: [&str; 4] = ["loft-75", "hedge-3", "hull-85", "reed-gps"];

fn fitout(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fitout"))
        .args(arguments)
        .output()
        .expect("the program runs")
}

fn demo(name: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .nth(2)
        .expect("the checkout");
    root.join("benches").join(name).display().to_string()
}

/// A folder that goes with the test.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str, files: &[(&str, &str)]) -> Self {
        let path = std::env::temp_dir().join(format!("fitout-wire-{name}-{}", std::process::id()));
        std::fs::create_dir_all(path.join("parts")).expect("a folder");
        for (file, text) in files {
            std::fs::write(path.join(file), text).expect("a file");
        }
        Self(path)
    }

    fn file(&self, name: &str) -> String {
        self.0.join(name).display().to_string()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_slice(&fitout(arguments).stdout).expect("JSON on standard output")
}

#[test]
fn checked_the_plan_fits_a_phone_and_a_desk() {
    for name in DEMOS {
        for width in [60, 110] {
            let printed = text(&fitout(&[
                "wire",
                &demo(name),
                "--width",
                &width.to_string(),
            ]));
            let long = printed.lines().find(|line| line.chars().count() > width);
            assert_eq!(long, None, "{name} at {width}");
            for heading in [
                "Ports",
                "Net check",
                "Solder moves",
                "Wire list",
                "Meter card",
            ] {
                assert!(printed.contains(heading), "{name}: {heading}");
            }
        }
    }
}

#[test]
fn checked_exit_codes_are_those_of_the_wiring() {
    // loft-75 asks more of its 5 V rail than the label allows, hull-85 feeds its new unit off a pack that sags too low, and
    // on reed-gps three signals want two ports; hedge-3 is wired as it should be.
    for (name, code) in [
        ("loft-75", 1),
        ("hedge-3", 0),
        ("hull-85", 1),
        ("reed-gps", 1),
    ] {
        let text = fitout(&["wire", &demo(name)]);
        assert_eq!(text.status.code(), Some(code), "{name}");
        let output = fitout(&["wire", &demo(name), "--json"]);
        assert_eq!(output.status.code(), Some(code), "{name}");
        let value: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let findings = value["findings"].as_array().expect("findings");
        let stops = findings.iter().any(|finding| finding["level"] == "stop");
        assert_eq!(stops, code == 1, "{name}");
    }
    let nowhere = fitout(&["wire", "/nowhere"]);
    assert_eq!(nowhere.status.code(), Some(2));
    assert!(nowhere.stdout.is_empty() && !nowhere.stderr.is_empty());
}

#[test]
fn checked_json_has_the_whole_plan() {
    let value = json(&["wire", &demo("hedge-3"), "--json"]);
    for key in [
        "allotment",
        "nets",
        "wires",
        "moves",
        "meter_card",
        "capacitor",
        "findings",
    ] {
        assert!(!value[key].is_null(), "{key}");
    }
    let signals = value["allotment"]["signals"].as_array().expect("signals");
    let overlay = signals
        .iter()
        .find(|signal| signal["signal"] == "digital.overlay")
        .expect("the overlay");
    // hedge-3 says that its settings count ports from zero.
    assert_eq!(
        (&overlay["printed"], &overlay["counted"]),
        (&1.into(), &0.into())
    );
    let mass: f64 = value["wires"]
        .as_array()
        .expect("wires")
        .iter()
        .map(|wire| wire["mass_g"].as_f64().expect("a mass"))
        .sum();
    assert!(mass > 1.0 && mass < 40.0, "{mass} g of wire");
    let checked = json(&["check", &demo("hedge-3"), "--json"]);
    assert_eq!(checked["wiring"]["allotment"], value["allotment"]);
    assert_eq!(checked["wiring"]["nets"], value["nets"]);
}

#[test]
fn checked_ports_are_told_both_ways_where_settings_count_from_zero() {
    let printed = text(&fitout(&["wire", &demo("hedge-3"), "--width", "200"]));
    assert!(
        printed.contains("board.2 (printed 2, counted 1)"),
        "{printed}"
    );
    let plain = text(&fitout(&["wire", &demo("hull-85"), "--width", "200"]));
    assert!(!plain.contains("counted"), "{plain}");
}

#[test]
fn checked_json_and_check_agree_on_every_demo() {
    for name in DEMOS {
        let plan = json(&["wire", &demo(name), "--json"]);
        let wires = plan["wires"].as_array().expect("wires");
        assert!(wires.len() > 10, "{name}");
        let moves = plan["moves"].as_array().expect("moves");
        let new = moves.iter().filter(|it| it["does"] == "new").count();
        let marked = wires.iter().filter(|wire| wire["stands"] == "new").count();
        assert!(
            new > 0 && new == marked,
            "{name}: {new} moves, {marked} wires"
        );
        let lines = plan["meter_card"].as_array().expect("a card");
        assert!(
            lines.iter().all(|line| line["from"] != line["to"]),
            "{name}"
        );
        let nets = plan["nets"].as_array().expect("nets");
        assert_eq!(
            nets.iter().filter(|net| net["kind"] == "ground").count(),
            1,
            "{name}"
        );
        let checked = json(&["check", &demo(name), "--json"]);
        for key in ["allotment", "nets"] {
            assert!(!plan[key].is_null(), "{name}: {key}");
            assert_eq!(checked["wiring"][key], plan[key], "{name}: {key}");
        }
    }
}

/// Trade case K7, common practice: a GPS on a board of two pairs that a serial receiver and a digital unit have.
#[test]
fn validated_k7_is_told_with_its_way_out() {
    let conflict = &json(&["wire", &demo("reed-gps"), "--json"])["allotment"]["conflict"];
    let mut together: Vec<&str> = conflict["together"]
        .as_array()
        .expect("signals")
        .iter()
        .filter_map(Value::as_str)
        .collect();
    together.sort_unstable();
    assert_eq!(together, ["digital.overlay", "gps.data", "receiver.data"]);
    let printed = text(&fitout(&["wire", &demo("reed-gps"), "--width", "110"]));
    let line = printed.lines().find(|line| line.contains("port-none-free"));
    let line = line.expect("a finding");
    assert!(
        line.starts_with("stop") && together.iter().all(|name| line.contains(name)),
        "{line}"
    );
}

#[test]
fn checked_drawings_are_what_their_endings_say() {
    let folder = Folder::new("drawings", &[]);
    for name in DEMOS {
        let (svg, png) = (folder.file("plan.svg"), folder.file("plan.png"));
        let code = fitout(&["wire", &demo(name)]).status.code();
        let drawn = fitout(&["wire", &demo(name), "--drawing", &svg]);
        assert_eq!(
            drawn.status.code(),
            code,
            "{name}: a drawing changes no verdict"
        );
        assert!(text(&drawn).contains(&format!("drawn: {svg}")));
        let svg = std::fs::read_to_string(&svg).expect("a drawing");
        is_a_drawing_of(&svg, name);

        fitout(&["wire", &demo(name), "--drawing", &png, "--pixels", "800"]);
        let png = std::fs::read(&png).expect("a drawing");
        assert_eq!(png.get(..8), Some(&b"\x89PNG\r\n\x1a\n"[..]));
        let width = png.get(16..20).and_then(|bytes| bytes.try_into().ok());
        assert_eq!(width.map(u32::from_be_bytes), Some(800), "{name}");
    }
}

/// Well-formed, of a size, under the craft's name, and with every wire's number once.
fn is_a_drawing_of(svg: &str, name: &str) {
    let drawing = roxmltree::Document::parse(svg).expect("well-formed");
    let root = drawing.root_element();
    assert_eq!(root.tag_name().name(), "svg");
    for attribute in ["viewBox", "width", "height"] {
        assert!(root.has_attribute(attribute), "{attribute}");
    }
    let tags = |tag: &'static str| {
        root.descendants()
            .filter(move |node| node.has_tag_name((SVG, tag)))
    };
    let words: Vec<&str> = tags("text").filter_map(|text| text.text()).collect();
    assert!(words.iter().any(|word| word.contains(name)), "{words:?}");
    let plan = json(&["wire", &demo(name), "--json"]);
    for wire in plan["wires"].as_array().expect("wires") {
        // The number and the colour in two letters: "3 OG".
        let number = format!("{} ", wire["number"].as_str().expect("a number"));
        let named = words
            .iter()
            .filter(|word| word.starts_with(&number))
            .count();
        assert_eq!(named, 1, "{name}: wire {number} of {words:?}");
    }
}

const SVG: &str = "http://www.w3.org/2000/svg";

#[test]
fn checked_other_endings_are_refused_in_plain_words() {
    let folder = Folder::new("endings", &[]);
    for ending in ["plan.pdf", "plan", "plan.svg.gz"] {
        let file = folder.file(ending);
        let refused = fitout(&["wire", &demo("hull-85"), "--drawing", &file]);
        assert_eq!(refused.status.code(), Some(2), "{ending}");
        assert!(refused.stdout.is_empty(), "{ending}");
        let words = String::from_utf8_lossy(&refused.stderr);
        assert!(words.contains("must end in `.svg` or `.png`"), "{words}");
        assert!(!Path::new(&file).exists(), "{ending}");
    }
    let nowhere = folder.file("no such folder/plan.svg");
    let refused = fitout(&["wire", &demo("hull-85"), "--drawing", &nowhere]);
    assert_eq!(refused.status.code(), Some(2));
    let none = fitout(&["wire", &demo("hull-85"), "--pixels", "7"]);
    assert_eq!(none.status.code(), Some(2));
}

/// Wires to nowhere, a port that is none, a ground to itself: each is told, and the plan is printed all the same.
#[test]
fn checked_broken_wiring_tables_still_give_a_plan() {
    let board = "[board]\n[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\n[port.1]\n[pad.B]\nrole = \"power\"\nof = \"pack\"\n\
                 [pad.V]\nrole = \"power\"\nof = \"5v\"\n[pad.G]\nrole = \"ground\"\n[pad.T1]\nrole = \"serial-out\"\nof = \"1\"\n\
                 [pad.R1]\nrole = \"serial-in\"\nof = \"1\"\n[pad.L]\nrole = \"serial-in\"\nof = \"lights\"\n";
    let gps = "[input.main]\nvolts = \"4..6 V\"\npower = \"1 W\"\n[signal.data]\n[pad.V]\nrole = \"power\"\nof = \"main\"\n\
               [pad.G]\nrole = \"ground\"\n[pad.TX]\nrole = \"serial-out\"\nof = \"data\"\n[pad.RX]\nrole = \"serial-in\"\nof = \"data\"\n";
    let craft = "[parts]\nbattery = \"battery-2x450\"\nboard = \"board\"\ngps = \"gps\"\n\
                 [feeds]\ngps.main = { from = \"board.5v\", ground = \"gps\" }\n[links]\ngps.data = \"board.7\"\n\
                 [wires]\ngps.TX = \"board.R9\"\ngps.RX = 4\ngps.V = \"gps.V\"\n[wiring]\nports_counted = \"from-nought\"\n";
    let folder = Folder::new(
        "broken",
        &[
            ("parts/board.toml", board),
            ("parts/gps.toml", gps),
            ("x.craft.toml", craft),
        ],
    );
    let bench = folder.0.display().to_string();
    let output = fitout(&["wire", &bench, "--width", "60"]);
    // A file that could not be read as it stands is the answer; what could be said is said all the same.
    assert_eq!(output.status.code(), Some(2));
    let printed = text(&output);
    for line in ["gps.data → board.1", "Wire list", "Meter card"] {
        assert!(printed.contains(line), "{line}: {printed}");
    }
    let words = String::from_utf8_lossy(&output.stderr);
    for id in [
        "unknown-owner",
        "unknown-port",
        "unknown-pad",
        "wrong-type",
        "wire-loop",
        "ground-loop",
        "unknown-word",
    ] {
        assert!(words.contains(&format!("[{id}]")), "{id}: {words}");
    }
    let value = json(&["wire", &bench, "--json"]);
    assert_eq!(
        value["diagnostics"].as_array().map(Vec::len),
        Some(7),
        "{:#}",
        value["diagnostics"]
    );
    let svg = folder.file("plan.svg");
    let drawn = fitout(&["wire", &bench, "--drawing", &svg]);
    assert_eq!(drawn.status.code(), output.status.code());
    let svg = std::fs::read_to_string(svg).expect("a drawing");
    assert!(roxmltree::Document::parse(&svg).is_ok());
}
