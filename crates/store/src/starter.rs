//! A commented starter bench for a class: typical parts copied out as sheets of your own, to be overwritten
//! with what is printed on the parts and what the scale says.
//!
//! What goes together with the number of cells is chosen by it: motors, board, capacitor, and what digital
//! video is fed from. Where no typical part has that number, the nearest one is converted, and its sheet says so.

mod choice;
mod places;
mod sheet;

use choice::Choice;
use craft::AirframeClass;
use quantity::{Charge, Mass};
use std::num::NonZeroU32;

/// What the builder already knows.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Known {
    /// Cells in series, printed on the battery.
    pub cells: Option<NonZeroU32>,
    /// Capacity, printed on the battery.
    pub capacity: Option<Charge>,
    /// All-up mass on the scale.
    pub weighed: Option<Mass>,
    /// The craft flies digital video today.
    pub digital: bool,
}

/// The files of a starter bench: path below its folder, and text.
pub fn bench(class: AirframeClass, name: &str, known: &Known) -> Vec<(String, String)> {
    let choice = Choice::of(class, known);
    let mut files: Vec<(String, String)> = choice
        .own_sheets()
        .into_iter()
        .map(|own| {
            (
                format!("parts/{}.toml", own.sheet),
                sheet::own(&own, &choice, known),
            )
        })
        .collect();
    files.push((
        format!("{name}{}", crate::text::CRAFT_ENDING),
        craft_text(class, &choice, known),
    ));
    files.push((
        format!("{name}{}", crate::text::REFIT_ENDING),
        refit_text(class, name, &choice, known),
    ));
    files
}

fn craft_text(class: AirframeClass, choice: &Choice, known: &Known) -> String {
    let weighed = known.weighed.map_or_else(
        || {
            "# Put the whole craft with its battery on the scale and write it here; it is the best single figure.\n\
             # weighed = \"33.4 g\"\n"
                .to_owned()
        },
        |mass| format!("weighed = \"{} g\"\n", tidy(mass.in_grams())),
    );
    let video_feed = if choice.digital_today {
        digital_feed("video", choice)
    } else {
        "video.power = { from = \"board.5v\", gauge = \"28 AWG\", length = \"50 mm\" }\n".to_owned()
    };
    let camera_feed = if choice.has_camera() {
        "camera.power = { from = \"board.5v\", gauge = \"28 AWG\", length = \"50 mm\" }\n"
    } else {
        ""
    };
    let others: String = choice
        .others()
        .iter()
        .map(|(id, sheet)| format!("{id} = \"{sheet}\"\n"))
        .collect();
    let places = places::of_craft(class, choice);
    format!(
        "# The craft that flies today. `fitout check` on the refit file beside this one compares before and after.\n\
         class = \"{}\"\n{weighed}\n\
         # Each part: its name on this craft, and its sheet in parts/ or a typical one (`fitout parts` lists those).\n\
         [parts]\nframe = \"my-frame\"\nmotors = {{ sheet = \"my-motor\", count = 4 }}\n\
         propellers = {{ sheet = \"my-propeller\", count = 4 }}\nbattery = \"my-battery\"\nboard = \"my-board\"\n\
         video = \"my-video\"\n{others}\n\
         # Where each device gets its power: \"pack\", or a part and its rail. Gauge and length of the wire are worth a line.\n\
         [feeds]\n{video_feed}{camera_feed}receiver.power = \"board.5v\"\n\n\
         # Which port each signal is soldered to today, as printed; `fitout wire` plans the rest.\n\
         # [links]\n# receiver.data = \"board.2\"\n\n\
         {places}\n\
         # What the craft must do. Leave out what you do not care about.\n[needs]\nstyle = \"{}\"\n{}\
         # active_time = \"3.5 min\"\n# mass_limit = \"250 g\"\n\n\
         # The air and the pack it will meet.\n[conditions]\nair_temperature = \"18 ± 5 °C\"\n\
         pack_temperature = \"25 ± 4 °C\"\ncold_pack_temperature = \"8 ± 4 °C\"\n",
        class.word(),
        choice.style(),
        if choice.hovers_high_today() {
            GENTLE
        } else {
            ""
        },
    )
}

/// One cell and a digital set, or the smallest propellers.
const GENTLE: &str = "# Craft of this weight hover high: up to 60 % is flown gently indoors, builders reject more.\n\
     hover_command = \"60 %\"\n";

/// Why the smallest craft are not shown with digital video.
const HEAVY: &str = "# Digital video is heavy for a craft of this size: put its figures into a sheet, name it under `add`, and look.\n";

fn refit_text(class: AirframeClass, name: &str, choice: &Choice, known: &Known) -> String {
    if choice.digital_today && choice.flies_far() {
        return format!(
            "# The change you plan. This example adds a satellite receiver; make it yours.\n\
             craft = \"{name}\"\n\n[add]\ngps = \"gps\"\n\n\
             [feeds]\ngps.power = {{ from = \"board.5v\", gauge = \"30 AWG\", length = \"60 mm\" }}\n\n\
             [places]\ngps = \"frame.gps\"\n"
        );
    }
    if choice.digital_today
        && let Some(pack) = sheet::other_pack(choice, known)
    {
        return format!(
            "# The change you plan. This example puts another pack on; make it yours.\n\
             craft = \"{name}\"\nremove = [\"battery\"]\n\n[add]\nbattery = \"{pack}\"\n\n\
             [places]\nbattery = \"frame.tray\"\n"
        );
    }
    if choice.digital_today || !choice.offers_digital() {
        let heavy = if choice.digital_today { "" } else { HEAVY };
        return format!(
            "# The change you plan. This example adds a finder buzzer; make it yours.\n{heavy}\
             craft = \"{name}\"\n\n[add]\nfinder = \"finder-buzzer\"\n\n[feeds]\nfinder.power = \"board.5v\"\n\n\
             # Where it goes is open: `fitout space` offers places.\n"
        );
    }
    let (remove, what) = if choice.has_camera() {
        ("\"camera\", \"video\"", "camera and transmitter off")
    } else {
        ("\"video\"", "video off")
    };
    let needs = if choice.hovers_high_with_digital() {
        format!("\n[needs]\n{GENTLE}")
    } else {
        String::new()
    };
    format!(
        "# The change you plan. This example takes the analogue {what} and puts a digital set on; make it yours.\n\
         craft = \"{name}\"\nremove = [{remove}]\n\n[add]\ndigital = \"new-digital\"\n\n[feeds]\n{}{}{needs}",
        digital_feed("digital", choice),
        places::of_digital(class, choice)
    )
}

fn digital_feed(part: &str, choice: &Choice) -> String {
    format!(
        "{part}.main = {{ from = \"{}\", gauge = \"26 AWG\", length = \"60 mm\" }}\n",
        choice.digital_from
    )
}

/// Without the last digits that unit conversion leaves; what the builder typed has fewer.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests;
