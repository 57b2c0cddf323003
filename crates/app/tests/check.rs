//! `fitout check` and its neighbours from outside, on the demo benches and on broken ones.

#![expect(
    clippy::disallowed_methods,
    reason = "a test makes and removes its own bench folders"
)]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

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

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).expect("JSON on standard output")
}

/// A bench folder that goes with the test.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str, files: &[(&str, &str)]) -> Self {
        let path = std::env::temp_dir().join(format!("fitout-{name}-{}", std::process::id()));
        for (file, text) in files {
            let file = path.join(file);
            std::fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
            std::fs::write(file, text).expect("a file");
        }
        Self(path)
    }

    fn path(&self) -> String {
        self.0.display().to_string()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

#[test]
fn checked_the_demos_end_as_their_files_say() {
    // hull-85 puts a unit that stops at 6.8 V on a two-cell pack: a stop, and no other exit code.
    let hull = fitout(&["check", &demo("hull-85"), "--json"]);
    assert_eq!(hull.status.code(), Some(1));
    let hull = json(&hull);
    let findings = hull["findings"].as_array().expect("findings");
    let worst = &findings[0];
    assert_eq!(worst["id"], "supply-brownout.digital.main");
    assert_eq!(worst["level"], "stop");
    assert_eq!(hull["diagnostics"], Value::Array(vec![]));
    assert_eq!(fitout(&["check", &demo("hedge-3")]).status.code(), Some(0));
}

#[test]
fn checked_outcomes_carry_the_agreed_names_and_bands() {
    let value = json(&fitout(&[
        "check",
        &demo("hull-85"),
        "--json",
        "--draws",
        "512",
    ]));
    let ids = [
        "mass.all_up_g",
        "thrust_to_weight.full",
        "thrust_to_weight.reserve",
        "hover.command",
        "hover.power_w",
        "hover.current_a",
        "hover.rpm",
        "endurance.hover_s",
        "endurance.active_s",
        "battery.peak_current_a",
        "supply.digital.main.min_v",
        "rail.board.5v.load_a",
    ];
    for id in ids {
        let after = &value["outcomes"][id]["after"];
        let [low, middle, high] = ["p05", "p50", "p95"].map(|key| {
            after[key]
                .as_f64()
                .unwrap_or_else(|| panic!("{id} lacks {key}"))
        });
        assert!(low <= middle && middle <= high, "{id}");
        assert!(after["mean"].is_number() && after["sd"].is_number());
    }
    assert!(
        value["outcomes"]["hover.command"]["after"]["p50"]
            .as_f64()
            .expect("a share")
            < 1.0
    );
    assert!(value["outcomes"]["supply.digital.main.min_v"]["before"].is_null());
}

#[test]
fn checked_the_same_seed_gives_the_same_bytes() {
    let run = |seed: &str| fitout(&["check", &demo("loft-75"), "--json", "--seed", seed]).stdout;
    assert_eq!(run("7"), run("7"));
    assert_ne!(run("7"), run("8"));
}

#[test]
fn checked_a_craft_alone_is_judged_too() {
    let craft = format!("{}/hedge-3.craft.toml", demo("hedge-3"));
    let value = json(&fitout(&["check", &craft, "--json", "--draws", "512"]));
    assert!(value["outcomes"]["mass.all_up_g"]["before"]["p50"].is_number());
    assert!(value["outcomes"]["mass.all_up_g"]["after"].is_null());
}

#[test]
fn checked_explain_walks_from_inputs_to_the_finding() {
    let value = json(&fitout(&[
        "explain",
        "supply-brownout.digital",
        &demo("hull-85"),
        "--json",
    ]));
    let steps = value["steps"].as_array().expect("steps");
    assert_eq!(
        steps.last().expect("a last step")["id"],
        "supply.digital.main.min_v"
    );
    // Every step that a step uses stands before it.
    let mut seen = Vec::new();
    for step in steps {
        for used in step["uses"].as_array().expect("uses") {
            if let Some(id) = used["step"].as_str() {
                assert!(seen.contains(&id), "{id} is used before it is computed");
            }
        }
        seen.push(step["id"].as_str().expect("an id"));
    }
    let text = fitout(&["explain", "supply-brownout.digital", &demo("hull-85")]);
    assert!(String::from_utf8_lossy(&text.stdout).contains("your reading"));
}

#[test]
fn checked_plain_output_has_no_colour_and_fits_sixty_columns() {
    let output = fitout(&["check", &demo("hull-85"), "--width", "60"]);
    let text = String::from_utf8(output.stdout).expect("text");
    assert!(!text.contains('\u{1b}'));
    let wide: Vec<&str> = text
        .lines()
        .filter(|line| line.chars().count() > 60)
        .collect();
    assert!(wide.is_empty(), "{wide:#?}");
}

#[test]
fn checked_a_broken_bench_tells_every_fault_and_still_says_what_it_can() {
    let folder = Folder::new(
        "broken",
        &[
            (
                "parts/pack.toml",
                "[body]\nmass = \"28\"\n[cells]\nchemistry = \"lipo\"\nseries = 2\ncapcity = \"450 mAh\"\n",
            ),
            (
                "x.craft.toml",
                "[parts]\nbattery = \"pack\"\nmotors = { sheet = \"motr\", count = 4 }\n",
            ),
        ],
    );
    let output = fitout(&["check", &folder.path()]);
    let text = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2));
    for part in [
        "needs a unit",
        "capcity",
        "motr",
        "pack.toml",
        "x.craft.toml",
    ] {
        assert!(text.contains(part), "{part} is not in {text}");
    }
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(said.contains("open"), "{said}");
}

#[test]
fn checked_wrong_paths_are_told_in_words() {
    for path in ["/nowhere/at/all", "/"] {
        let output = fitout(&["check", path]);
        assert_eq!(output.status.code(), Some(2), "{path}");
        assert!(String::from_utf8_lossy(&output.stderr).contains("fitout:"));
    }
}

#[test]
fn checked_parts_completions_and_man_pages_are_there() {
    let list = fitout(&["parts"]);
    assert!(String::from_utf8_lossy(&list.stdout).lines().count() > 60);
    let one = fitout(&["parts", "battery-2x450"]);
    assert!(String::from_utf8_lossy(&one.stdout).contains("typical"));
    assert_eq!(fitout(&["parts", "batery-2x450"]).status.code(), Some(2));
    for shell in ["bash", "zsh", "fish"] {
        assert!(
            fitout(&["completions", shell]).stdout.len() > 500,
            "{shell}"
        );
    }
    let folder = Folder::new("man", &[("keep", "")]);
    assert!(fitout(&["man", &folder.path()]).status.success());
    assert!(folder.0.join("fitout-check.1").is_file());
}

#[test]
fn checked_a_starter_of_every_class_passes_its_check() {
    let classes = [
        "ducted-65",
        "ducted-75",
        "ducted-85",
        "ducted-2.5-inch",
        "open-3-inch",
        "open-3.5-inch",
        "open-5-inch",
        "other",
    ];
    let folder = Folder::new("starters", &[("keep", "")]);
    for class in classes {
        let path = folder.0.join(class).display().to_string();
        starter_passes(&path, &["--class", class]);
        // A second time it would write over what the builder made of it.
        assert_eq!(
            fitout(&["new", &path, "--class", class]).status.code(),
            Some(2)
        );
    }
}

/// Packs that builders put on these classes, each with motors and board that go with it; and digital video
/// that flies already.
///
/// Left out are a digital set on one cell, whose load lies on the line of a typical board, and a full one on
/// three cells, which the worst punch brings below its volts: both are what the program is for.
#[test]
fn checked_a_starter_with_other_cells_passes_its_check() {
    let folder = Folder::new("starters-cells", &[("keep", "")]);
    let known: [(&str, &[&str]); 8] = [
        ("ducted-75", &["--cells", "2"]),
        ("ducted-75", &["--cells", "1", "--capacity", "550 mAh"]),
        ("ducted-85", &["--cells", "3", "--capacity", "450 mAh"]),
        ("ducted-85", &["--digital"]),
        (
            "open-3-inch",
            &["--cells", "4", "--capacity", "850 mAh", "--digital"],
        ),
        ("open-3.5-inch", &["--cells", "6"]),
        ("open-5-inch", &["--cells", "4", "--capacity", "1500 mAh"]),
        (
            "open-5-inch",
            &["--cells", "6", "--capacity", "1300 mAh", "--digital"],
        ),
    ];
    for (at, (class, flags)) in known.iter().enumerate() {
        let path = folder.0.join(at.to_string()).display().to_string();
        starter_passes(&path, &[&["--class", class], *flags].concat());
    }
}

fn starter_passes(path: &str, flags: &[&str]) {
    let made = fitout(&[&["new", path], flags].concat());
    assert!(made.status.success(), "{flags:?}");
    let output = fitout(&["check", path]);
    let told = String::from_utf8_lossy(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{flags:?}: {told}");
}

#[test]
fn checked_new_says_what_it_needs() {
    let output = fitout(&["new", "/tmp/fitout-never-made"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("--class"));
    let output = fitout(&["new", "/tmp/fitout-never-made", "--class", "ducted-70"]);
    assert!(String::from_utf8_lossy(&output.stderr).contains("did you mean"));
    for (flag, value, word) in [
        ("--weighed", "33.4", "unit"),
        ("--weighed", "33.4 ± 0.2 g", "one value"),
        ("--capacity", "450 g", "a charge"),
        ("--cells", "13", "1 to 12"),
    ] {
        let path = "/tmp/fitout-never-made";
        let output = fitout(&["new", path, "--class", "ducted-75", flag, value]);
        assert_eq!(output.status.code(), Some(2), "{flag} {value}");
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(told.contains(word), "{flag} {value}: {told}");
    }
}
