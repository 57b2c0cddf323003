//! A commented starter bench for a class: typical parts copied out as sheets of your own, to be overwritten
//! with what is printed on the parts and what the scale says.

use crate::typical;
use craft::AirframeClass;
use quantity::{Charge, Mass};

/// What the builder already knows.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Known {
    /// Cells in series, printed on the battery.
    pub cells: Option<u32>,
    /// Capacity, printed on the battery.
    pub capacity: Option<Charge>,
    /// All-up mass on the scale.
    pub weighed: Option<Mass>,
}

/// The parts of one class: the name on the craft, the typical sheet, how many.
struct Starter {
    frame: &'static str,
    motor: &'static str,
    propeller: &'static str,
    battery: &'static str,
    board: &'static str,
    video: &'static str,
    others: &'static [(&'static str, &'static str)],
    digital: &'static str,
    /// What the digital unit is fed from.
    digital_from: &'static str,
    /// Needs of the example refit that differ from the craft's.
    refit_needs: &'static str,
}

/// Where on the part each value is read, by the part's name on the craft.
const HELP: &[(&str, &str)] = &[
    (
        "frame",
        "Mass: the bare frame on a 0.1 g scale, screws left out.",
    ),
    (
        "motors",
        "Code and Kv are printed on the bell. Mass: four motors with their leads on the scale, divided by four. If you can \
         meter the winding (1 A through two leads, millivolts), write it as `resistance = { value = \"…\", source = \"measured\" }`.",
    ),
    (
        "propellers",
        "Diameter, pitch and blades are printed on the blade or the bag: 2030-3 is 2.0 in, 3.0 in, three blades.",
    ),
    (
        "battery",
        "Cells, capacity and C are printed on the pack; the scale gives the mass with plug. Cell resistance by two loads is worth \
         more than any label: `resistance = { value = \"…\", source = \"measured\" }`.",
    ),
    (
        "board",
        "Currents of drivers and rails are on the board's sheet. Write rails as printed, even if you do not use them.",
    ),
    (
        "video",
        "Volts and watts are on the device's label; a scale gives the mass with antenna.",
    ),
    (
        "digital",
        "Volts, not cells: if the label gives only cells, write `cells = \"2..6\"` and find the lower limit on a bench supply.",
    ),
];

/// The smallest craft hover high.
const SMALLEST: &str = "\n# Craft of this size hover high; up to 60 % is flown gently indoors, builders reject more.\n[needs]\nhover_command = \"60 %\"\n";

/// A digital set makes a one-cell micro a fifth heavier; the example says so and asks for less.
const HEAVIER: &str = "\n# A digital set makes the craft about a fifth heavier. Up to 60 % is flown gently indoors; builders reject more.\n[needs]\nhover_command = \"60 %\"\n";

fn starter(class: AirframeClass) -> Starter {
    let micro =
        |size: &'static [(&'static str, &'static str)], frame, motor, propeller, battery, board| {
            Starter {
                frame,
                motor,
                propeller,
                battery,
                board,
                video: "camera-and-transmitter-analogue",
                others: size,
                digital: "video-digital-1cell",
                digital_from: "board.5v",
                refit_needs: HEAVIER,
            }
        };
    match class {
        AirframeClass::Ducted65 => Starter {
            digital: "",
            refit_needs: SMALLEST,
            ..micro(
                &[
                    ("receiver", "receiver"),
                    ("canopy", "canopy-65"),
                    ("screws", "screws-micro"),
                ],
                "frame-ducted-65",
                "motor-0802-1cell",
                "propeller-31mm-3",
                "battery-1x300",
                "board-1cell",
            )
        },
        AirframeClass::Ducted75 => micro(
            &[
                ("receiver", "receiver"),
                ("canopy", "canopy-75"),
                ("screws", "screws-micro"),
            ],
            "frame-ducted-75",
            "motor-1002-1cell",
            "propeller-40mm-3",
            "battery-1x450",
            "board-1cell",
        ),
        AirframeClass::Ducted85 => Starter {
            digital_from: "pack",
            refit_needs: "",
            ..micro(
                &[
                    ("receiver", "receiver"),
                    ("canopy", "canopy-85"),
                    ("screws", "screws-85"),
                ],
                "frame-ducted-85",
                "motor-1103-2cell",
                "propeller-51mm-3",
                "battery-2x450",
                "board-2to4cell",
            )
        },
        AirframeClass::Ducted25 => larger(
            "frame-ducted-2.5-inch",
            "motor-1204-4cell",
            "propeller-64mm-4",
            "battery-4x650",
            "board-2to4cell",
        ),
        AirframeClass::Open35 => larger(
            "frame-open-3.5-inch",
            "motor-2004-4cell",
            "propeller-89mm-3",
            "battery-4x850",
            "board-4cell-3inch",
        ),
        AirframeClass::Open5 => Starter {
            others: &[
                ("receiver", "receiver-telemetry"),
                ("mount", "camera-mount-5inch"),
                ("capacitor", "capacitor-6cell"),
                ("screws", "screws-5inch"),
            ],
            digital_from: "board.10v",
            ..larger(
                "frame-open-5-inch",
                "motor-2207-6cell",
                "propeller-130mm-3",
                "battery-6x1100",
                "stack-6cell-5inch",
            )
        },
        AirframeClass::Open3 | AirframeClass::Other => larger(
            "frame-open-3-inch",
            "motor-1404-4cell",
            "propeller-76mm-3",
            "battery-4x650",
            "board-4cell-3inch",
        ),
    }
}

fn larger(
    frame: &'static str,
    motor: &'static str,
    propeller: &'static str,
    battery: &'static str,
    board: &'static str,
) -> Starter {
    Starter {
        frame,
        motor,
        propeller,
        battery,
        board,
        video: "transmitter-analogue-200mw",
        others: &[
            ("receiver", "receiver-telemetry"),
            ("mount", "camera-mount-3inch"),
            ("capacitor", "capacitor-4cell"),
            ("screws", "screws-3inch"),
        ],
        digital: "video-digital-full",
        digital_from: "board.9v",
        refit_needs: "",
    }
}

/// The files of a starter bench: path below its folder, and text.
pub fn bench(class: AirframeClass, name: &str, known: &Known) -> Vec<(String, String)> {
    let starter = starter(class);
    let own: Vec<_> = [
        ("frame", "my-frame", starter.frame),
        ("motors", "my-motor", starter.motor),
        ("propellers", "my-propeller", starter.propeller),
        ("battery", "my-battery", starter.battery),
        ("board", "my-board", starter.board),
        ("video", "my-video", starter.video),
        ("digital", "new-digital", starter.digital),
    ]
    .into_iter()
    .filter(|(_, _, from)| !from.is_empty())
    .collect();
    let mut files: Vec<(String, String)> = own
        .iter()
        .map(|(id, sheet, from)| (format!("parts/{sheet}.toml"), own_sheet(id, from, known)))
        .collect();
    files.push((
        format!("{name}.craft.toml"),
        craft_text(class, &starter, known),
    ));
    files.push((format!("{name}.refit.toml"), refit_text(name, &starter)));
    files
}

/// A typical sheet with a word on where its values are read, and what is known put in.
fn own_sheet(id: &str, from: &str, known: &Known) -> String {
    let text = typical::text(from).expect("a starter names typical sheets");
    let help = HELP
        .iter()
        .find(|(name, _)| *name == id)
        .map_or("", |(_, help)| help);
    let body: String = text
        .lines()
        .skip_while(|line| line.starts_with('#'))
        .map(|line| format!("{}\n", with_known(id, line, known)))
        .collect();
    format!(
        "{}#\n# Every figure below is typical for the class. Overwrite what you know, then change `source` to \"label\" or\n\
         # \"measured\", or give one figure its own: `mass = {{ value = \"5.2 g\", source = \"measured\" }}`.\n{body}",
        commented(help)
    )
}

fn with_known(id: &str, line: &str, known: &Known) -> String {
    match (id, line.split_once(" = "), known.cells, known.capacity) {
        ("battery", Some(("series", _)), Some(cells), _) => format!("series = {cells}"),
        ("battery", Some(("capacity", _)), _, Some(capacity)) => {
            format!("capacity = \"{} mAh\"", capacity.in_milliampere_hours())
        }
        _ => line.to_owned(),
    }
}

fn commented(text: &str) -> String {
    let mut lines = vec![String::from("#")];
    for word in text.split_whitespace() {
        if lines
            .last()
            .is_some_and(|line| line.chars().count() + 1 + word.chars().count() > 110)
        {
            lines.push(String::from("#"));
        }
        let last = lines.last_mut().expect("there is a line");
        last.push(' ');
        last.push_str(word);
    }
    lines.iter().map(|line| format!("{line}\n")).collect()
}

fn craft_text(class: AirframeClass, starter: &Starter, known: &Known) -> String {
    let weighed = known.weighed.map_or_else(
        || "# Put the whole craft with its battery on the scale and write it here; it is the best single figure.\n# weighed = \"33.4 g\"\n".to_owned(),
        |mass| format!("weighed = \"{} g\"\n", mass.in_grams()),
    );
    let others: String = starter
        .others
        .iter()
        .map(|(id, sheet)| format!("{id} = \"{sheet}\"\n"))
        .collect();
    format!(
        "# The craft that flies today. `fitout check` on the refit file beside this one compares before and after.\n\
         class = \"{}\"\n{weighed}\n\
         # Each part: its name on this craft, and its sheet in parts/ or a typical one (`fitout parts` lists those).\n\
         [parts]\nframe = \"my-frame\"\nmotors = {{ sheet = \"my-motor\", count = 4 }}\npropellers = {{ sheet = \"my-propeller\", count = 4 }}\n\
         battery = \"my-battery\"\nboard = \"my-board\"\nvideo = \"my-video\"\n{others}\n\
         # Where each device gets its power: \"pack\", or a part and its rail. Gauge and length of the wire are worth a line.\n\
         [feeds]\nvideo.power = {{ from = \"board.5v\", gauge = \"28 AWG\", length = \"50 mm\" }}\nreceiver.power = \"board.5v\"\n\n\
         # What the craft must do. Leave out what you do not care about.\n[needs]\nstyle = \"{}\"\n# active_time = \"3.5 min\"\n# mass_limit = \"250 g\"\n\n\
         # The air and the pack it will meet.\n[conditions]\nair_temperature = \"18 ± 5 °C\"\npack_temperature = \"25 ± 4 °C\"\n\
         cold_pack_temperature = \"8 ± 4 °C\"\n",
        class.word(),
        style(class),
    )
}

fn style(class: AirframeClass) -> &'static str {
    match class {
        AirframeClass::Ducted65 | AirframeClass::Ducted75 | AirframeClass::Ducted85 => "indoor",
        AirframeClass::Ducted25 => "filming",
        _ => "cruise",
    }
}

fn refit_text(name: &str, starter: &Starter) -> String {
    if starter.digital.is_empty() {
        return format!(
            "# The change you plan. This example adds a finder buzzer; make it yours. (Digital video is too heavy for most craft\n\
             # of this size: try it with `add`, a sheet of its figures, and `fitout check`.)\n\
             craft = \"{name}\"\n\n[add]\nfinder = \"finder-buzzer\"\n\n[feeds]\nfinder.power = \"board.5v\"\n{}",
            starter.refit_needs
        );
    }
    format!(
        "# The change you plan. This example takes the analogue video off and puts a digital set on; make it yours.\n\
         craft = \"{name}\"\nremove = [\"video\"]\n\n[add]\ndigital = \"new-digital\"\n\n\
         [feeds]\ndigital.main = {{ from = \"{}\", gauge = \"26 AWG\", length = \"60 mm\" }}\n{}",
        starter.digital_from, starter.refit_needs
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::SourceFile;

    #[test]
    fn checked_a_starter_of_every_class_reads_without_a_fault() {
        let known = Known {
            cells: None,
            capacity: Some(Charge::milliampere_hours(480.0)),
            weighed: Some(Mass::grams(100.0)),
        };
        for class in AirframeClass::ALL {
            let files = bench(*class, "mine", &known);
            let files = files
                .into_iter()
                .map(|(path, text)| SourceFile { path, text })
                .collect();
            let (bench, diagnostics) = crate::text::read(files);
            assert!(diagnostics.is_empty(), "{}: {diagnostics:?}", class.word());
            assert!(bench.refit_job("mine").is_some());
            let battery = bench
                .parts
                .iter()
                .find(|part| part.name == "my-battery")
                .expect("a battery");
            let capacity = battery
                .cells
                .as_ref()
                .and_then(|cells| cells.capacity.as_ref())
                .expect("a capacity");
            assert!((capacity.written.in_milliampere_hours() - 480.0).abs() < 1e-9);
        }
    }
}
