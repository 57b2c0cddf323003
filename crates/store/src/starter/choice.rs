//! Which typical parts go together for a class, a number of cells, and analogue or digital video.

use super::Known;
use craft::AirframeClass;
use std::num::NonZeroU32;

/// The parts of one starter.
#[derive(Debug)]
pub struct Choice {
    class: AirframeClass,
    /// Cells in series.
    pub cells: u32,
    /// Whether digital video flies already.
    pub digital_today: bool,
    frame: &'static str,
    propeller: &'static str,
    /// The typical motor, and the number of cells it is meant for.
    pub motor: (u32, &'static str),
    /// The class's usual pack: cells and capacity \[mAh\].
    pub usual_pack: (u32, f64),
    board: &'static str,
    digital: &'static str,
    /// What digital video is fed from.
    pub digital_from: &'static str,
}

/// A typical sheet copied out under a name of the builder's own.
#[derive(Debug)]
pub struct Own {
    /// Its name on the craft.
    pub id: &'static str,
    /// The name of the own sheet.
    pub sheet: &'static str,
    /// The typical sheet it comes from; for the battery, chosen later by cells and capacity.
    pub from: &'static str,
}

/// What a class is built of, apart from what its cells decide.
struct Build {
    frame: &'static str,
    propeller: &'static str,
    motors: &'static [(u32, &'static str)],
    usual_pack: (u32, f64),
}

fn build(class: AirframeClass) -> Build {
    let build = |frame, propeller, motors, usual_pack| Build {
        frame,
        propeller,
        motors,
        usual_pack,
    };
    match class {
        AirframeClass::Ducted65 => build(
            "frame-ducted-65",
            "propeller-31mm-3",
            &[(1, "motor-0802-1cell")],
            (1, 300.0),
        ),
        AirframeClass::Ducted75 => build(
            "frame-ducted-75",
            "propeller-40mm-3",
            &[
                (1, "motor-1002-1cell"),
                (2, "motor-1103-2cell"),
                (3, "motor-1103-3cell"),
            ],
            (1, 450.0),
        ),
        AirframeClass::Ducted85 => build(
            "frame-ducted-85",
            "propeller-51mm-3",
            &[(2, "motor-1103-2cell"), (3, "motor-1106-3cell")],
            (2, 450.0),
        ),
        AirframeClass::Ducted25 => build(
            "frame-ducted-2.5-inch",
            "propeller-64mm-4",
            &[(3, "motor-1204-3cell"), (4, "motor-1204-4cell")],
            (4, 650.0),
        ),
        AirframeClass::Open35 => build(
            "frame-open-3.5-inch",
            "propeller-89mm-3",
            &[(4, "motor-2004-4cell"), (6, "motor-2004-6cell")],
            (4, 850.0),
        ),
        AirframeClass::Open5 => build(
            "frame-open-5-inch",
            "propeller-130mm-3",
            &[(4, "motor-2207-4cell"), (6, "motor-2207-6cell")],
            (6, 1100.0),
        ),
        AirframeClass::Open3 | AirframeClass::Other => build(
            "frame-open-3-inch",
            "propeller-76mm-3",
            &[(3, "motor-1404-3cell"), (4, "motor-1404-4cell")],
            (4, 650.0),
        ),
    }
}

/// Ducted craft up to 85 mm: one small board, one light video unit.
fn is_micro(class: AirframeClass) -> bool {
    matches!(
        class,
        AirframeClass::Ducted65 | AirframeClass::Ducted75 | AirframeClass::Ducted85
    )
}

fn board(class: AirframeClass, cells: u32) -> &'static str {
    match (class, cells) {
        (AirframeClass::Open5, _) => "stack-6cell-5inch",
        (_, 1) => "board-1cell",
        (_, 5..) => "board-6cell",
        (AirframeClass::Open3 | AirframeClass::Open35 | AirframeClass::Other, _) => {
            "board-4cell-3inch"
        }
        _ => "board-2to4cell",
    }
}

/// The digital unit and what feeds it. The small units bear two cells straight but not three; a full unit on
/// three cells has more from the pack than from a step-down to 9 V, which needs some tenths of a volt itself.
fn digital(class: AirframeClass, cells: u32) -> (&'static str, &'static str) {
    match (is_micro(class), cells) {
        (_, 2) => ("video-digital-1cell", "pack"),
        (_, 1) | (true, _) => ("video-digital-1cell", "board.5v"),
        (false, 3) => ("video-digital-full", "pack"),
        (false, _) if class == AirframeClass::Open5 => ("video-digital-full", "board.10v"),
        (false, _) => ("video-digital-full", "board.9v"),
    }
}

impl Choice {
    /// The parts for what is known.
    pub fn of(class: AirframeClass, known: &Known) -> Self {
        let build = build(class);
        let cells = known.cells.map_or(build.usual_pack.0, NonZeroU32::get);
        let motor = *build
            .motors
            .iter()
            .min_by_key(|(meant_for, _)| meant_for.abs_diff(cells))
            .expect("every class has a motor");
        let (digital, digital_from) = digital(class, cells);
        Self {
            class,
            cells,
            digital_today: known.digital,
            frame: build.frame,
            propeller: build.propeller,
            motor,
            usual_pack: build.usual_pack,
            board: board(class, cells),
            digital,
            digital_from,
        }
    }

    /// The sheets that are copied out for the builder to overwrite.
    pub fn own_sheets(&self) -> Vec<Own> {
        let own = |id, sheet, from| Own { id, sheet, from };
        let mut sheets = vec![
            own("frame", "my-frame", self.frame),
            own("motors", "my-motor", self.motor.1),
            own("propellers", "my-propeller", self.propeller),
            own("battery", "my-battery", ""),
            own("board", "my-board", self.board),
        ];
        if self.digital_today {
            sheets.push(own("digital", "my-video", self.digital));
            return sheets;
        }
        sheets.push(own("video", "my-video", self.analogue()));
        if self.offers_digital() {
            sheets.push(own("digital", "new-digital", self.digital));
        }
        sheets
    }

    /// Small parts that stay typical until somebody weighs them.
    pub fn others(&self) -> Vec<(&'static str, &'static str)> {
        let micro = |canopy, screws| {
            vec![
                ("receiver", "receiver"),
                ("canopy", canopy),
                ("screws", screws),
            ]
        };
        let larger = |mount, screws| {
            vec![
                ("receiver", "receiver-telemetry"),
                ("mount", mount),
                ("capacitor", capacitor(self.cells)),
                ("screws", screws),
            ]
        };
        let mut others = match self.class {
            AirframeClass::Ducted65 => micro("canopy-65", "screws-micro"),
            AirframeClass::Ducted75 => micro("canopy-75", "screws-micro"),
            AirframeClass::Ducted85 => micro("canopy-85", "screws-85"),
            AirframeClass::Open5 => larger("camera-mount-5inch", "screws-5inch"),
            _ => larger("camera-mount-3inch", "screws-3inch"),
        };
        others.insert(0, ("antenna", "antenna-5.8ghz-right-snap"));
        if self.has_camera() {
            others.insert(0, ("camera", self.camera()));
        }
        others
    }

    /// As wide as the class's mount.
    fn camera(&self) -> &'static str {
        match self.class {
            AirframeClass::Open5 => "camera-analogue-wide",
            _ => "camera-analogue",
        }
    }

    /// The class it is for.
    pub fn class(&self) -> AirframeClass {
        self.class
    }

    /// The typical frame.
    pub fn frame(&self) -> &'static str {
        self.frame
    }

    /// The typical board.
    pub fn board(&self) -> &'static str {
        self.board
    }

    /// Ducted craft up to 85 mm: everything under one canopy.
    pub fn is_micro(&self) -> bool {
        is_micro(self.class)
    }

    /// Whether the digital unit is a module of its own, its camera on a ribbon.
    pub fn digital_is_a_module(&self) -> bool {
        self.digital == super::sheet::MODULE
    }

    fn analogue(&self) -> &'static str {
        if is_micro(self.class) {
            "camera-and-transmitter-analogue"
        } else {
            "transmitter-analogue-200mw"
        }
    }

    /// Whether an analogue camera is a part of its own; a digital set brings one.
    pub fn has_camera(&self) -> bool {
        !is_micro(self.class) && !self.digital_today
    }

    /// Whether the example refit puts digital video on; for most of the smallest craft it is too heavy.
    pub fn offers_digital(&self) -> bool {
        self.class != AirframeClass::Ducted65
    }

    /// Whether the craft of today hovers on more than the usual share of its command.
    pub fn hovers_high_today(&self) -> bool {
        self.class == AirframeClass::Ducted65 || (self.digital_today && self.cells == 1)
    }

    /// Whether a digital set makes it so.
    pub fn hovers_high_with_digital(&self) -> bool {
        self.cells == 1 && !self.hovers_high_today()
    }

    /// Whether a satellite receiver is more than dead weight: these fly outdoors.
    pub fn flies_far(&self) -> bool {
        !is_micro(self.class)
    }

    /// How such a craft is usually flown.
    pub fn style(&self) -> &'static str {
        match self.class {
            AirframeClass::Ducted25 => "filming",
            class if is_micro(class) => "indoor",
            _ => "cruise",
        }
    }
}

fn capacitor(cells: u32) -> &'static str {
    match cells {
        ..=2 => "capacitor-2cell",
        3..=4 => "capacitor-4cell",
        _ => "capacitor-6cell",
    }
}
