//! One typical sheet copied out as the builder's own, with a word on where each value is read.

use super::choice::{Choice, Own};
use super::{Known, places, tidy};
use crate::typical;
use std::fmt::Write as _;

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

/// Keys of a typical pack that go with its size: of its box, and of where its plug leaves.
const PACK_SIZES: [&str; 5] = ["length", "width", "height", "x", "z"];

/// The typical digital unit whose camera goes apart from its module.
pub(super) const MODULE: &str = "video-digital-full";

/// What follows for every sheet.
const OVERWRITE: &str = "Every figure below is typical for the class unless it says otherwise. Overwrite what you know, then \
     change `source` to \"label\" or \"measured\", or give one figure its own: `mass = { value = \"5.2 g\", source = \"measured\" }`. Put a calliper on what sits tight.";

/// The text of a builder's own sheet.
pub fn own(own: &Own, choice: &Choice, known: &Known) -> String {
    let converted = match own.id {
        "battery" => Converted::battery(choice, known),
        "motors" => Converted::motor(choice),
        _ => Converted::unchanged(own.from),
    };
    let help = HELP
        .iter()
        .find(|(name, _)| *name == own.id)
        .map_or("", |(_, help)| help);
    let mut text = commented(help);
    if let Some(told) = &converted.told {
        text.push_str("#\n");
        text.push_str(&commented(told));
    }
    text.push_str("#\n");
    text.push_str(&commented(OVERWRITE));
    text.push_str(&converted.body);
    if own.from == MODULE {
        text.push_str(&places::camera_of_module(choice.class()));
    }
    text
}

/// A typical pack of as many cells and the next larger capacity, or the next smaller one.
pub fn other_pack(choice: &Choice, known: &Known) -> Option<String> {
    let wanted = Wanted::of(choice, known);
    let own_mah = wanted.capacity_mah(wanted.nearest());
    let as_many: Vec<_> = TypicalPack::all()
        .filter(|pack| pack.cells == choice.cells)
        .map(|pack| (f64::from(pack.capacity_mah), pack))
        .collect();
    let larger = as_many.iter().filter(|(mah, _)| *mah > own_mah);
    let smaller = as_many.iter().filter(|(mah, _)| *mah < own_mah);
    let next = larger
        .min_by(|one, other| one.0.total_cmp(&other.0))
        .or_else(|| smaller.max_by(|one, other| one.0.total_cmp(&other.0)));
    next.map(|(_, pack)| pack.sheet())
}

/// A typical sheet without its opening comment, with some of its values replaced.
struct Converted {
    body: String,
    /// What was converted, and how.
    told: Option<String>,
}

impl Converted {
    fn unchanged(from: &str) -> Self {
        Self {
            body: with_values(from, &[]),
            told: None,
        }
    }

    /// The nearest typical pack; its mass goes with the watt hours where it is not the very one.
    fn battery(choice: &Choice, known: &Known) -> Self {
        let wanted = Wanted::of(choice, known);
        let near = wanted.nearest();
        let capacity_mah = wanted.capacity_mah(near);
        let grown = f64::from(choice.cells) * capacity_mah / near.energy();
        let size = format!("{capacity_mah} mAh");
        let mut values = vec![
            (
                "title",
                format!("\"Battery, {}, {size}\"", cells(choice.cells)),
            ),
            ("series", choice.cells.to_string()),
            (
                "capacity",
                if known.capacity.is_some() {
                    // What the builder reads from the pack is a label, and label capacities run high.
                    format!("{{ value = \"{size}\", source = \"label\" }}")
                } else {
                    format!("\"{size}\"")
                },
            ),
        ];
        let same = near.cells == choice.cells && (grown - 1.0).abs() < 1e-9;
        if !same {
            values.push(("mass", format!("\"{:.1} g\"", grown * near.mass_g())));
            // As thick for its length as the other one.
            for key in PACK_SIZES {
                let size = grown.cbrt() * number_of(&near.sheet(), key);
                values.push((key, format!("\"{size:.1} mm\"")));
            }
        }
        let told = format!(
            "No typical pack has these cells and this capacity: the mass is that of {} of {} mAh, in proportion to the watt hours, and the size goes with it.",
            cells(near.cells),
            near.capacity_mah
        );
        Self {
            body: with_values(&near.sheet(), &values),
            told: (!same).then_some(told),
        }
    }

    /// The motor of the nearest number of cells, wound for the same speed at the pack's volts.
    fn motor(choice: &Choice) -> Self {
        let (meant_for, from) = choice.motor;
        if meant_for == choice.cells {
            return Self::unchanged(from);
        }
        let kv = number_of(from, "kv") * f64::from(meant_for) / f64::from(choice.cells);
        let code = value_of(from, "code");
        let code = code.trim_matches('"');
        let values = [
            (
                "title",
                format!("\"Motor {code} for {}\"", cells(choice.cells)),
            ),
            ("kv", format!("\"{} rpm/V\"", 10.0 * (kv / 10.0).round())),
        ];
        let told = format!(
            "No typical motor of this class is wound for {}: Kv is that for {}, in proportion. Read yours from the bell before \
             you believe anything else.",
            cells(choice.cells),
            cells(meant_for)
        );
        Self {
            body: with_values(from, &values),
            told: Some(told),
        }
    }
}

/// Energies that differ by less than this factor are of the same sort of pack.
const NEAR: f64 = 1.5;

/// A pack that is looked for among the typical ones.
struct Wanted {
    cells: u32,
    /// As printed, where it is known \[mAh\].
    printed_mah: Option<f64>,
    /// Cells times capacity \[mAh\], of the class's usual pack where nothing is printed.
    energy: f64,
}

/// A typical pack, by the numbers in its name.
#[derive(Debug, Clone, Copy)]
struct TypicalPack {
    cells: u32,
    capacity_mah: u32,
}

impl Wanted {
    fn of(choice: &Choice, known: &Known) -> Self {
        let printed_mah = known
            .capacity
            .map(|capacity| tidy(capacity.in_milliampere_hours()));
        let (usual_cells, usual_mah) = choice.usual_pack;
        let energy = printed_mah.map_or(f64::from(usual_cells) * usual_mah, |printed| {
            f64::from(choice.cells) * printed
        });
        Self {
            cells: choice.cells,
            printed_mah,
            energy,
        }
    }

    /// The pack of nearest energy with as many cells if one is near; otherwise any, but one-cell packs have
    /// plugs of their own and stand for no other.
    fn nearest(&self) -> TypicalPack {
        let far = |pack: &TypicalPack| (pack.energy() / self.energy).ln().abs();
        let nearest = |alike: &dyn Fn(&TypicalPack) -> bool| {
            TypicalPack::all()
                .filter(alike)
                .min_by(|one, other| far(one).total_cmp(&far(other)))
        };
        let as_many = nearest(&|pack| pack.cells == self.cells && far(pack) < NEAR.ln());
        as_many
            .or_else(|| nearest(&|pack| (pack.cells == 1) == (self.cells == 1)))
            .expect("there are typical packs of one cell and of several")
    }

    fn capacity_mah(&self, near: TypicalPack) -> f64 {
        match self.printed_mah {
            Some(printed) => printed,
            None if near.cells == self.cells => f64::from(near.capacity_mah),
            None => 10.0 * (near.energy() / f64::from(self.cells) / 10.0).round(),
        }
    }
}

impl TypicalPack {
    fn all() -> impl Iterator<Item = Self> {
        typical::names().filter_map(Self::named)
    }

    /// `battery-2x450`; packs with something particular about them have longer names and are left out.
    fn named(name: &str) -> Option<Self> {
        let (cells, capacity_mah) = name.strip_prefix("battery-")?.split_once('x')?;
        Some(Self {
            cells: cells.parse().ok()?,
            capacity_mah: capacity_mah.parse().ok()?,
        })
    }

    fn sheet(self) -> String {
        format!("battery-{}x{}", self.cells, self.capacity_mah)
    }

    fn energy(self) -> f64 {
        f64::from(self.cells) * f64::from(self.capacity_mah)
    }

    /// Middle of the range.
    fn mass_g(self) -> f64 {
        number_of(&self.sheet(), "mass")
    }
}

/// A number of cells in words.
fn cells(number: u32) -> String {
    let words = ["one", "two", "three", "four", "five", "six"];
    match words.get((number as usize).wrapping_sub(1)) {
        Some(word) if number == 1 => format!("{word} cell"),
        Some(word) => format!("{word} cells"),
        None => format!("{number} cells"),
    }
}

/// A sheet's lines from after its opening comment, some keys with another value.
fn with_values(sheet: &str, values: &[(&str, String)]) -> String {
    let mut body = String::new();
    for line in lines(sheet).skip_while(|line| line.starts_with('#')) {
        let other = line
            .split_once(" = ")
            .and_then(|(key, _)| values.iter().find(|(name, _)| *name == key));
        match other {
            Some((key, value)) => writeln!(body, "{key} = {value}"),
            None => writeln!(body, "{line}"),
        }
        .expect("a string takes any text");
    }
    body
}

fn lines(sheet: &str) -> std::str::Lines<'static> {
    typical::text(sheet)
        .expect("a starter names typical sheets")
        .lines()
}

/// What stands behind a key of a typical sheet.
fn value_of(sheet: &str, key: &str) -> &'static str {
    lines(sheet)
        .filter_map(|line| line.split_once(" = "))
        .find_map(|(name, value)| (name == key).then_some(value))
        .expect("a typical sheet has this key")
}

/// The number behind a key, in the unit of the sheet; the middle of a range.
fn number_of(sheet: &str, key: &str) -> f64 {
    let text = value_of(sheet, key).trim_matches('"');
    let (numbers, _) = text.split_once(' ').expect("a typical figure has a unit");
    let ends: Vec<f64> = numbers
        .split("..")
        .map(|number| number.parse().expect("a typical figure is a number"))
        .collect();
    ends.iter().sum::<f64>() / ends.len() as f64
}

/// Wrapped comment lines; what stands in backticks stays on one line, so that it can be copied.
fn commented(text: &str) -> String {
    let mut lines = vec![String::from("#")];
    for piece in unbroken(text) {
        let last = lines.last_mut().expect("there is a line");
        if last.chars().count() + 1 + piece.chars().count() > 110 {
            lines.push(format!("# {piece}"));
        } else {
            last.push(' ');
            last.push_str(&piece);
        }
    }
    lines.iter().map(|line| format!("{line}\n")).collect()
}

/// Words, those between two backticks as one.
fn unbroken(text: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match pieces.last_mut() {
            Some(open) if open.matches('`').count() % 2 == 1 => {
                open.push(' ');
                open.push_str(word);
            }
            _ => pieces.push(word.to_owned()),
        }
    }
    pieces
}
