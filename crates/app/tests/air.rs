//! `fitout air` from outside, on the demo benches.

use serde_json::Value;
use std::path::Path;
use std::process::Command;

fn air(name: &str, arguments: &[&str]) -> (Option<i32>, String) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .nth(2)
        .expect("the checkout");
    let bench = root.join("benches").join(name).display().to_string();
    let output = Command::new(env!("CARGO_BIN_EXE_fitout"))
        .args(["air", &bench])
        .args(arguments)
        .output()
        .expect("the program runs");
    (
        output.status.code(),
        String::from_utf8(output.stdout).expect("text"),
    )
}

#[test]
fn checked_a_link_is_told_line_by_line() {
    let (code, text) = air("hull-85", &[]);
    assert_eq!(code, Some(0), "{text}");
    for words in [
        "Link video",
        "power at the connector",
        "reaches",
        "overhead",
        "not validated",
        "spectrum authority",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

/// The refit brings other goggles: −173.98 + 10·lg 20 MHz + 6 + 9 = −85.97 dBm, where those of the craft need −85.42.
#[test]
fn checked_a_station_of_the_refit_has_its_own_figures() {
    let (_, text) = air("hull-85", &["--json"]);
    let value: Value = serde_json::from_str(&text).expect("JSON");
    let lines = value["links"][0]["lines"].as_array().expect("lines");
    let least = lines.iter().find(|line| {
        line["what"]
            .as_str()
            .is_some_and(|it| it.contains("least level"))
    });
    let mean = least.expect("a line")["band"]["mean"]
        .as_f64()
        .expect("a number");
    assert!((mean + 85.965).abs() < 0.02, "{mean}");
}

/// The lines of the JSON add up to the level at the receiver, and the range follows from the outcomes.
#[test]
fn checked_the_lines_add_up() {
    let (code, text) = air("hedge-3", &["--json"]);
    assert_eq!(code, Some(0));
    let value: Value = serde_json::from_str(&text).expect("JSON");
    let link = &value["links"][0];
    let mean = |what: &str| {
        let lines = link["lines"].as_array().expect("lines");
        let line = lines
            .iter()
            .find(|line| line["what"].as_str().is_some_and(|it| it.contains(what)));
        line.expect(what)["band"]["mean"]
            .as_f64()
            .expect("a number")
    };
    let first = "patch on the ground: ";
    let sum: f64 = ["power at", "coax", "worst heading", "shadow", "free space"]
        .map(mean)
        .iter()
        .sum();
    let ground: f64 = ["polarisation", "gain", "its cable"]
        .map(|it| mean(&format!("{first}{it}")))
        .iter()
        .sum();
    let level = mean(&format!("{first}level"));
    assert!(
        (sum + ground - level).abs() < 1e-6,
        "{sum} {ground} {level}"
    );
    assert!((level - mean("least level") - mean(&format!("{first}over"))).abs() < 1e-6);
    let range = &value["outcomes"]["link.video.range_m"]["after"]["p50"];
    assert_eq!(range, &link["range_m"]["p50"]);
}
