//! Stations and antennas as written, right and wrong, each fault at its place.

use craft::SourceFile;

const STATION: &str =
    "[ground_station.video]\nfrequency = \"5.8 GHz\"\ndistance = \"400 m\"\noutage = \"1 %\"\n";
const PATCH: &str =
    "[ground_antenna.patch]\nstation = \"video\"\npattern = \"directional\"\ngain = \"8 dBi\"\n";

/// The faults of a craft with this station and antenna: id and the text each marks.
fn faults(text: &str, sheet: &str) -> Vec<(&'static str, String)> {
    let craft = format!("[parts]\naerial = \"aerial\"\n{text}");
    let files = [
        ("parts/aerial.toml", sheet),
        ("x.craft.toml", craft.as_str()),
    ];
    let files = files.map(|(path, text)| SourceFile {
        path: path.into(),
        text: text.into(),
    });
    let (bench, found) = store::text::read(files.into());
    let told = found
        .iter()
        .map(|fault| (fault.id, bench.text_at(fault.place).to_owned()));
    told.collect()
}

const RING: &str = "[antenna]\npattern = \"ring\"\nhand = \"right\"\n";

#[track_caller]
fn one(from: &str, to: &str, id: &str, marks: &str) {
    let text = format!("{STATION}{PATCH}");
    assert!(text.contains(from), "{from}");
    let found = faults(&text.replace(from, to), RING);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((found[0].0, found[0].1.as_str()), (id, marks));
}

#[test]
fn checked_a_link_reads_clean() {
    assert_eq!(faults(&format!("{STATION}{PATCH}"), RING), Vec::new());
}

#[test]
fn checked_each_slip_is_told_at_its_place() {
    one(
        "station = \"video\"",
        "station = \"vdeo\"",
        "unknown-station",
        "\"vdeo\"",
    );
    one("gain = \"8 dBi\"\n", "", "missing-key", "patch");
    one("8 dBi", "2 dBi", "impossible-value", "\"2 dBi\"");
    one("400 m", "-400 m", "impossible-value", "\"-400 m\"");
    one("1 %", "0 %", "impossible-value", "\"0 %\"");
    one("5.8 GHz", "0 GHz", "impossible-value", "\"0 GHz\"");
    let found = faults(
        "",
        "[antenna]\npattern = \"directional\"\ngain = \"1 dBi\"\n",
    );
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].0, "impossible-value");
}
