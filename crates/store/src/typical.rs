//! Typical parts by class, shipped with the program: no makes, no models, every figure marked
//! typical with its spread.

use craft::{Part, SourceFile};

macro_rules! sheets {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../typical/", $name, ".toml")))),*]
    };
}

const SHEETS: &[(&str, &str)] = sheets!(
    "antenna-5.8ghz-left-snap",
    "antenna-5.8ghz-right-reverse-sma",
    "antenna-5.8ghz-right-snap",
    "battery-1x300",
    "battery-1x450",
    "battery-1x450-high-voltage",
    "battery-1x450-two-pin",
    "battery-1x550",
    "battery-2x300",
    "battery-2x450",
    "battery-2x550",
    "battery-3x450",
    "battery-3x650",
    "battery-4x1300",
    "battery-4x1500",
    "battery-4x450",
    "battery-4x650",
    "battery-4x850",
    "battery-6x1100",
    "battery-6x1300",
    "board-1cell",
    "board-1cell-with-receiver",
    "board-2to4cell",
    "board-2to4cell-two-pairs",
    "board-4cell-3inch",
    "board-6cell",
    "camera-analogue",
    "camera-analogue-wide",
    "camera-and-transmitter-analogue",
    "camera-mount-3inch",
    "camera-mount-5inch",
    "canopy-65",
    "canopy-75",
    "canopy-85",
    "capacitor-2cell",
    "capacitor-4cell",
    "capacitor-6cell",
    "drivers-6cell-30x30",
    "finder-buzzer",
    "flight-controller-20x20",
    "flight-controller-30x30",
    "frame-ducted-2.5-inch",
    "frame-ducted-65",
    "frame-ducted-75",
    "frame-ducted-85",
    "frame-open-3-inch",
    "frame-open-3-inch-freestyle",
    "frame-open-3.5-inch",
    "frame-open-5-inch",
    "gps",
    "led-strip-4",
    "motor-0702-1cell",
    "motor-0802-1cell",
    "motor-1002-1cell",
    "motor-1103-1cell",
    "motor-1103-2cell",
    "motor-1103-3cell",
    "motor-1106-2cell",
    "motor-1106-3cell",
    "motor-1204-3cell",
    "motor-1204-4cell",
    "motor-1404-3cell",
    "motor-1404-4cell",
    "motor-1507-4cell",
    "motor-2004-4cell",
    "motor-2004-6cell",
    "motor-2207-4cell",
    "motor-2207-6cell",
    "propeller-130mm-3",
    "propeller-31mm-3",
    "propeller-31mm-4",
    "propeller-40mm-2",
    "propeller-40mm-3",
    "propeller-51mm-3",
    "propeller-64mm-4",
    "propeller-76mm-2",
    "propeller-76mm-3",
    "propeller-89mm-3",
    "receiver",
    "receiver-telemetry",
    "screws-3inch",
    "screws-5inch",
    "screws-85",
    "screws-micro",
    "stack-6cell-5inch",
    "step-down-5v",
    "step-up-5v",
    "step-up-9v",
    "transmitter-analogue-200mw",
    "transmitter-analogue-25mw",
    "transmitter-analogue-400mw",
    "transmitter-analogue-800mw",
    "video-digital-1cell",
    "video-digital-full",
);

/// The typical sheets as files whose paths start with `typical/`.
pub fn files() -> impl Iterator<Item = SourceFile> {
    SHEETS.iter().map(|(name, text)| SourceFile {
        path: format!("typical/{name}.toml"),
        text: (*text).to_owned(),
    })
}

/// Whether a sheet is one of ours rather than the builder's.
pub fn is_typical(name: &str, part: &Part) -> bool {
    part.header
        .source
        .as_ref()
        .is_some_and(|source| source.value == craft::part::SheetSource::Typical)
        && SHEETS.iter().any(|(sheet, _)| *sheet == name)
}

/// The names of the typical sheets.
pub fn names() -> impl Iterator<Item = &'static str> {
    SHEETS.iter().map(|(name, _)| *name)
}

/// The text of a typical sheet.
pub fn text(name: &str) -> Option<&'static str> {
    SHEETS
        .iter()
        .find(|(sheet, _)| *sheet == name)
        .map(|(_, text)| *text)
}
