//! `fitout wire` from outside, on the demo benches.

#![expect(
    clippy::disallowed_methods,
    reason = "a test makes and removes its own drawings"
)]

use serde_json::Value;
use std::path::Path;
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
    // hedge-3 is wired as it should be; on reed-gps three signals want two ports.
    assert_eq!(fitout(&["wire", &demo("hedge-3")]).status.code(), Some(0));
    assert_eq!(fitout(&["wire", &demo("reed-gps")]).status.code(), Some(1));
    assert_eq!(fitout(&["wire", "/nowhere"]).status.code(), Some(2));
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
fn checked_drawings_are_what_their_endings_say() {
    let folder = std::env::temp_dir().join(format!("fitout-wire-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let draw = |ending: &str, more: &[&str]| {
        let file = folder.join(format!("plan.{ending}"));
        let name = file.display().to_string();
        let bench = demo("hull-85");
        let mut arguments = vec!["wire", &bench, "--drawing", &name];
        arguments.extend(more);
        let code = fitout(&arguments).status.code();
        (code, std::fs::read(&file).unwrap_or_default())
    };
    let (code, svg) = draw("svg", &[]);
    let svg = String::from_utf8(svg).expect("text");
    assert_eq!(code, Some(1), "hull-85 is a stop");
    assert!(svg.trim_start().starts_with("<svg") || svg.starts_with("<?xml"));
    assert_eq!(svg.matches("<g").count(), svg.matches("</g>").count());
    assert!(svg.contains("hull-85") && svg.contains("<title"));
    let (_, png) = draw("png", &["--pixels", "800"]);
    assert_eq!(png.get(..8), Some(&b"\x89PNG\r\n\x1a\n"[..]));
    let width = png
        .get(16..20)
        .map(|bytes| u32::from_be_bytes(bytes.try_into().expect("four")));
    assert_eq!(width, Some(800));
    let (code, nothing) = draw("pdf", &[]);
    assert_eq!((code, nothing.len()), (Some(2), 0));
    let _ = std::fs::remove_dir_all(&folder);
}
