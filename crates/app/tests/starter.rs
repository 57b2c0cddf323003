//! `fitout new` from outside, without a terminal: what it says and what it leaves alone.

#![expect(
    clippy::disallowed_methods,
    reason = "a test makes and removes its own bench folders"
)]

use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

/// A folder that goes with the test.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("fitout-new-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_fitout"))
            .arg("new")
            .args(arguments)
            .current_dir(&self.0)
            .stdin(Stdio::null())
            .output()
            .expect("the program runs")
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

#[test]
fn checked_every_fault_of_the_flags_is_told_at_once_and_nothing_is_made() {
    let folder = Folder::new("faults");
    let output = folder.run(&[
        "craft",
        "--name",
        "a/b",
        "--cells",
        "13",
        "--capacity",
        "450",
        "--weighed",
        "0 g",
    ]);
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8_lossy(&output.stderr);
    for piece in [
        "--name: `a/b` cannot be the name of a file",
        "--cells: `13`",
        "--capacity: `450` needs a unit",
        "--weighed: `0 g` must be above zero",
        "--class ducted-65",
    ] {
        assert!(told.contains(piece), "{piece}: {told}");
    }
    assert!(!folder.0.join("craft").exists());
}

#[test]
fn checked_it_says_what_it_took_as_usual_and_what_to_do_next() {
    let folder = Folder::new("usual");
    let output = folder.run(&["mine", "--class", "ducted-85", "--cells", "2"]);
    assert_eq!(output.status.code(), Some(0));
    let told = String::from_utf8_lossy(&output.stdout);
    assert!(
        told.contains("usual for the class: capacity, all-up mass"),
        "{told}"
    );
    assert!(told.trim_end().ends_with("fitout check mine"), "{told}");
    assert!(folder.0.join("mine/mine.craft.toml").is_file());
}

#[test]
fn checked_a_file_in_the_way_is_named_and_left_as_it_is() {
    let folder = Folder::new("way");
    std::fs::create_dir_all(folder.0.join("mine/parts")).expect("a folder");
    let own = folder.0.join("mine/parts/my-battery.toml");
    std::fs::write(&own, "mine").expect("a file");
    let output = folder.run(&["mine", "--class", "open-5-inch"]);
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("my-battery.toml is there already"), "{told}");
    assert_eq!(std::fs::read_to_string(&own).expect("a file"), "mine");
    assert!(!folder.0.join("mine/mine.craft.toml").exists());
}

#[test]
fn checked_the_folder_one_stands_in_gives_a_craft_called_craft() {
    let folder = Folder::new("here");
    let output = folder.run(&[".", "--class", "ducted-65"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(folder.0.join("craft.craft.toml").is_file());
}

#[test]
fn checked_a_folder_that_cannot_be_made_is_told_as_such() {
    let folder = Folder::new("plain");
    std::fs::write(folder.0.join("plain"), "a file, not a folder").expect("a file");
    let output = folder.run(&["plain", "--class", "ducted-65"]);
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("cannot write plain"), "{told}");
}
