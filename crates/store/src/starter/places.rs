//! Where the parts of a starter sit: the seats that the typical frame of the class offers.

use super::choice::Choice;
use crate::typical;
use craft::AirframeClass;
use std::fmt::Write as _;

/// The `[places]` of the craft that flies today.
pub fn of_craft(class: AirframeClass, choice: &Choice) -> String {
    let mut text = String::from(
        "# Where each part is: a seat of another part, or `{ x = \"12 mm\", y = \"0 mm\", z = \"8 mm\" }` forward, left and up from the\n\
         # middle between the motors. These are the usual seats of the class: look, and measure what differs.\n[places]\n",
    );
    let mut put =
        |id: &str, place: &str| writeln!(text, "{id} = {place}").expect("a string takes any text");
    let (screw, length) = motor_screw(class);
    put(
        "motors",
        &format!("{{ screw = \"{screw}\", screw_length = \"{length}\" }}"),
    );
    put("board", &board(choice));
    put("battery", "\"frame.tray\"");
    if let Some(place) = video(class, choice, choice.digital_today) {
        put("video", &place);
    }
    put("receiver", "\"frame.receiver\"");
    if choice.is_micro() {
        put("canopy", "\"frame.canopy\"");
        put("antenna", "\"canopy.antenna\"");
    } else {
        put("mount", "\"frame.mount\"");
        if choice.has_camera() {
            let tilt = camera_tilt(class);
            put(
                "camera",
                &format!("{{ seat = \"mount.cheeks\", tilt = \"{tilt}\" }}"),
            );
        }
        put("capacitor", "\"frame.capacitor\"");
        put("antenna", "\"frame.antenna\"");
    }
    put("screws", "{ at_motors = true }");
    text
}

/// The `[places]` of a refit that puts the digital unit on; empty where no seat of the class takes it.
pub fn of_digital(class: AirframeClass, choice: &Choice) -> String {
    video(class, choice, true).map_or_else(String::new, |place| {
        format!("\n[places]\ndigital = {place}\n")
    })
}

/// The camera of a digital unit whose module is apart: where it hangs in the class's mount, from the module's seat.
pub fn camera_of_module(class: AirframeClass) -> String {
    // Forward and up \[mm\].
    let (x, z) = match class {
        AirframeClass::Ducted25 | AirframeClass::Open35 => (89.5, 11.5),
        AirframeClass::Open5 => (103.5, 15.5),
        // Below the top plate, so upside down.
        _ => (26.0, 13.0),
    };
    format!(
        "\n# Its camera, can and lens, where it hangs in the mount; its tilt is its own, so no view is written.\n[solid.camera]\n\
         shape = \"cylinder\"\ndiameter = \"12 mm\"\nheight = \"14 mm\"\nx = \"{x} mm\"\nz = \"{z} mm\"\npitch = \"90 deg\"\n"
    )
}

/// A video unit's place. The small digital unit turns with its camera between the cheeks of a micro; on a larger frame nobody
/// knows where it goes.
fn video(class: AirframeClass, choice: &Choice, digital: bool) -> Option<String> {
    if choice.is_micro() {
        let tilt = camera_tilt(class);
        return Some(format!(
            "{{ seat = \"frame.cheeks\", tilt = \"{tilt}\", under = \"canopy\" }}"
        ));
    }
    let has_seat = !digital || choice.digital_is_a_module();
    has_seat.then(|| "\"frame.video\"".to_owned())
}

fn board(choice: &Choice) -> String {
    let mut keys = vec!["seat = \"frame.board\""];
    if on_corner(choice.board()) != on_corner(choice.frame()) {
        keys.push("yaw = \"45 deg\"");
    }
    if choice.is_micro() {
        keys.push("under = \"canopy\"");
    }
    match keys.as_slice() {
        [_] => "\"frame.board\"".to_owned(),
        keys => format!("{{ {} }}", keys.join(", ")),
    }
}

/// Whether a typical sheet's holes for the board stand on a corner.
fn on_corner(sheet: &str) -> bool {
    let text = typical::text(sheet).expect("a starter names typical sheets");
    text.lines()
        .any(|line| line.starts_with("board = { square") && line.contains("turned"))
}

/// How far a camera is usually tilted up: less below the low roof of the smallest canopy, more where propellers reach far
/// in front of the lens.
fn camera_tilt(class: AirframeClass) -> &'static str {
    match class {
        AirframeClass::Ducted65 => "20 deg",
        AirframeClass::Open3 | AirframeClass::Open5 | AirframeClass::Other => "30 deg",
        _ => "25 deg",
    }
}

/// Thread and length of the motors' screws: the arm of the class's frame and two to two and a half millimetres more.
fn motor_screw(class: AirframeClass) -> (&'static str, &'static str) {
    match class {
        AirframeClass::Ducted65 => ("M1.4", "3 mm"),
        AirframeClass::Ducted75 | AirframeClass::Ducted85 => ("M2", "4 mm"),
        AirframeClass::Ducted25 | AirframeClass::Open3 | AirframeClass::Other => ("M2", "5 mm"),
        AirframeClass::Open35 => ("M2", "6 mm"),
        AirframeClass::Open5 => ("M3", "8 mm"),
    }
}
