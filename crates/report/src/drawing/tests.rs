//! The drawing as others read it: its words set in the face, its text parsed, its picture measured.

use diagram::{Block, End, Ink, Pad, Plan, Rect, Sheet, Side, State, TextOf, Wire, arrange};
use resvg::usvg::{Group, Node, Text};

use super::png::tree;
use super::{TitleBlock, page, png, svg};

/// How far ink may reach past the sum of advances \[mm\]: side bearings, a hair's breadth.
const BEARING: f64 = 0.1;

fn block(name: &str, note: &str, labels: &[&str]) -> Block {
    let pads = labels.iter().map(|label| Pad {
        label: label.to_string(),
        at_mm: None,
        side: Side::Top,
    });
    Block {
        name: name.to_string(),
        note: note.to_string(),
        outline_mm: None,
        pads: pads.collect(),
        state: State::New,
    }
}

/// A board to scale and a receiver, with a wire in each state and a twisted one.
fn plan() -> Plan {
    let mut board = block("board", "with real pads", &["T2", "R2", "5V", "GND"]);
    board.outline_mm = Some((20.0, 20.0));
    for (nth, pad) in board.pads.iter_mut().enumerate() {
        pad.at_mm = Some((-9.0, 3.0 - 2.0 * nth as f64));
    }
    board.pads[3].side = Side::Bottom;
    let receiver = block("receiver", "2.4 GHz", &["RX", "TX", "5V", "GND"]);
    let states = [State::New, State::Kept, State::Removed, State::New];
    let inks = [Ink::White, Ink::Yellow, Ink::Red, Ink::Black];
    let wires = (0..4).map(|nth| Wire {
        ends: [1, 0].map(|block| End { block, pad: nth }),
        label: (nth + 1).to_string(),
        ink: inks[nth],
        state: states[nth],
        pair: (nth == 3).then_some(1),
    });
    Plan {
        wires: wires.collect(),
        blocks: vec![board, receiver],
    }
}

fn title() -> TitleBlock {
    TitleBlock {
        title: "Wiring plan".to_string(),
        craft: "loft".to_string(),
        lines: vec!["Pin order of plugs is not standard: meter first".to_string()],
    }
}

fn drawn(plan: &Plan) -> (Sheet, String) {
    let sheet = arrange(plan, page(&title()));
    let text = svg(&sheet, plan, &title());
    (sheet, text)
}

fn words(group: &Group, found: &mut Vec<Text>) {
    for node in group.children() {
        match node {
            Node::Group(group) => words(group, found),
            Node::Text(text) => found.push((**text).clone()),
            _ => {}
        }
    }
}

/// Compares each text of a sheet with the ink that the face makes of it.
fn assert_ink_stays_in_its_room(plan: &Plan) {
    let (sheet, text) = drawn(plan);
    let tree = tree(&text).expect("the drawing is SVG");
    let mut set = Vec::new();
    words(tree.root(), &mut set);
    assert_eq!(set.len(), text.matches("<text").count());
    assert!(set.len() > sheet.texts.len());
    let scale = f64::from(tree.size().width()) / sheet.width;
    for (text, set) in sheet.texts.iter().zip(&set) {
        let ink = set.abs_bounding_box();
        let ink = Rect {
            x: f64::from(ink.x()) / scale,
            y: f64::from(ink.y()) / scale,
            width: f64::from(ink.width()) / scale,
            height: f64::from(ink.height()) / scale,
        };
        assert!(
            ink.width > 0.1 && ink.height > 0.1,
            "`{}` vanished",
            text.words
        );
        let room = text.rect.grown(BEARING);
        assert!(
            room.holds(&ink),
            "`{}`: {ink:?} is not in {room:?}",
            text.words
        );
    }
}

#[test]
fn checked_every_word_is_set_and_stays_in_its_room() {
    assert_ink_stays_in_its_room(&plan());
}

#[test]
fn checked_every_letter_of_the_keyboard_is_as_wide_as_reckoned() {
    let mut plan = plan();
    let letters: Vec<char> = (b'!'..=b'~')
        .map(char::from)
        .chain("Ω→∞±µ×…äöüß".chars())
        .collect();
    for some in letters.chunks(12) {
        let some = String::from_iter(some);
        plan.blocks.push(block(&some, &some, &[&some]));
    }
    assert_ink_stays_in_its_room(&plan);
}

#[test]
fn checked_names_cannot_break_the_drawing() {
    let mut plan = plan();
    plan.blocks[0].name = "</text><script>alert('1')</script> & \"\u{0}\u{FFFF}".to_string();
    plan.wires[0].label = "<&>".to_string();
    let (_, text) = drawn(&plan);
    assert!(!text.contains("<script"));
    assert!(tree(&text).is_ok());
}

#[test]
fn checked_a_wire_is_told_apart_without_its_colour() {
    let (sheet, text) = drawn(&plan());
    for (label, dashed) in [
        ("1 WH", false),
        ("2 YE", false),
        ("3 RD", true),
        ("4 BK ∞1", false),
    ] {
        assert!(text.contains(&format!(">{label}</text>")), "{label}");
        let of = |text: &&diagram::Text| text.words == label;
        let found = sheet.texts.iter().find(of).map(|text| text.of);
        let Some(TextOf::Wire { wire }) = found else {
            panic!("`{label}` is no label of a wire");
        };
        let (_, group) = text
            .split_once(&format!("<g id=\"wire-{wire}\""))
            .expect("a group");
        let (group, _) = group.split_once("</g>").expect("its end");
        assert_eq!(group.contains("stroke-dasharray"), dashed, "{label}");
    }
    // White has a dark edge below it.
    assert!(text.contains("<desc id=\"drawing-words\">Wiring of 2 blocks. Wire 1, white, new: receiver RX to board T2."));
}

#[test]
fn checked_numbers_have_two_decimals_at_most() {
    let (_, text) = drawn(&plan());
    let (_, text) = text
        .split_once("</desc>")
        .expect("numbers after the description");
    let mut decimals = 0;
    for part in text.split('.').skip(1) {
        let digits = part.chars().take_while(char::is_ascii_digit).count();
        assert!(digits <= 2, "{}", &part[..part.len().min(12)]);
        decimals += digits;
    }
    assert!(decimals > 50);
}

#[test]
fn checked_the_picture_is_as_wide_as_asked_and_always_the_same() {
    let (sheet, text) = drawn(&plan());
    let picture = png(&text, 800).expect("a picture");
    // PNG, third edition, 5.2 and 11.2.1: signature, then IHDR with width and height.
    assert_eq!(picture[..8], [137, 80, 78, 71, 13, 10, 26, 10]);
    let number =
        |at: usize| u32::from_be_bytes(picture[at..at + 4].try_into().expect("four bytes"));
    assert_eq!(number(16), 800);
    let height = 800.0 * sheet.height / sheet.width;
    assert!((f64::from(number(20)) - height).abs() <= 1.0);
    assert_eq!(drawn(&plan()).1, text);
    assert_eq!(png(&text, 800), Ok(picture));
}

#[test]
fn checked_what_is_no_drawing_or_no_width_is_refused() {
    assert!(png("<svg", 100).is_err());
    assert!(png(&drawn(&plan()).1, 0).is_err());
    assert!(png(&drawn(&plan()).1, 1_000_000).is_err());
}

#[test]
fn checked_the_strip_grows_with_the_title_block() {
    let mut long = title();
    long.lines = vec!["One more thing to mind before the first battery goes in".to_string(); 12];
    assert!(page(&long).title_height > page(&title()).title_height);
    let plan = plan();
    let text = svg(&arrange(&plan, page(&long)), &plan, &long);
    assert_eq!(text.matches(">One more thing to mind").count(), 12);
}
