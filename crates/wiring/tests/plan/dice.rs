//! Random benches as a builder might write them, right and wrong, in the text of their files.

use craft::SourceFile;
use proptest::prelude::*;
use std::fmt::{Debug, Formatter};

/// The files of a random bench, told by their text where something does not hold.
pub fn benches() -> impl Strategy<Value = Files> {
    prop::collection::vec(any::<u16>(), 0..MOST_ROLLS)
        .prop_map(|rolls| Files(bench(&mut Dice(rolls.into_iter()))))
}

/// Enough for two boards, eight devices and a refit.
const MOST_ROLLS: usize = 260;

/// Files of a bench.
#[derive(Clone)]
pub struct Files(pub Vec<SourceFile>);

impl Debug for Files {
    fn fmt(&self, to: &mut Formatter<'_>) -> std::fmt::Result {
        for file in &self.0 {
            writeln!(to, "# {}\n{}", file.path, file.text)?;
        }
        Ok(())
    }
}

/// Numbers that decide what is written; zeros once they are used up, so that fewer make a smaller bench.
struct Dice(std::vec::IntoIter<u16>);

impl Dice {
    fn below(&mut self, sides: usize) -> usize {
        usize::from(self.0.next().unwrap_or(0)) % sides
    }

    /// True about so many times in a hundred.
    fn often(&mut self, percent: usize) -> bool {
        self.below(100) >= 100 - percent
    }

    fn pick<'a>(&mut self, from: &[&'a str]) -> &'a str {
        from[self.below(from.len())]
    }
}

/// What a bench was written with.
#[derive(Default)]
struct Written {
    files: Vec<SourceFile>,
    /// Sockets that can feed others: "pack", "board0.5v".
    sources: Vec<String>,
    /// Every pad, with its part.
    pads: Vec<(String, String)>,
    ports: Vec<String>,
    signals: Vec<String>,
    sockets: Vec<String>,
    grounds: Vec<String>,
}

/// One part's sheet while it is written.
struct Sheet<'w> {
    text: String,
    id: String,
    written: &'w mut Written,
}

impl Sheet<'_> {
    fn pad(&mut self, name: &str, role: &str, of: &str) {
        let of = if of.is_empty() {
            String::new()
        } else {
            format!(", of = \"{of}\"")
        };
        self.text
            .push_str(&format!("pad.{name} = {{ role = \"{role}\"{of} }}\n"));
        self.written.pads.push((self.id.clone(), name.to_owned()));
        if role == "ground" {
            self.written.grounds.push(format!("{}.{name}", self.id));
        }
    }
}

/// The files of a craft `x` and its refit `y`.
fn bench(dice: &mut Dice) -> Vec<SourceFile> {
    let mut written = Written::default();
    written.sources.push("pack".to_owned());
    let mut parts = battery(dice, &mut written);
    for at in 0..1 + dice.below(2) {
        board(dice, &mut written, at);
        // The second board may be one of two alike: converters, drivers.
        parts += &if at > 0 && dice.often(20) {
            format!("board{at} = {{ sheet = \"board{at}\", count = 2 }}\n")
        } else {
            format!("board{at} = \"board{at}\"\n")
        };
    }
    let devices = 1 + dice.below(6);
    for at in 0..devices {
        device(dice, &mut written, &format!("device{at}"));
        parts += &if dice.often(15) {
            format!("device{at} = {{ sheet = \"device{at}\", count = 2 }}\n")
        } else {
            format!("device{at} = \"device{at}\"\n")
        };
    }
    let words = words(dice, &written);
    let craft = format!("[parts]\n{parts}{words}");
    let refit = refit(dice, &mut written, devices);
    written.file("x.craft.toml", craft);
    written.file("y.refit.toml", refit);
    written.files
}

impl Written {
    fn file(&mut self, path: &str, text: String) {
        self.files.push(SourceFile {
            path: path.to_owned(),
            text,
        });
    }
}

fn battery(dice: &mut Dice, written: &mut Written) -> String {
    if dice.often(50) {
        return "battery = \"battery-2x450\"\n".to_owned();
    }
    written.file(
        "parts/cells.toml",
        "pad.PLUS = { role = \"power\", of = \"pack\" }\npad.MINUS = { role = \"ground\", of = \"pack\" }\n[cells]\nchemistry = \"lipo\"\nseries = 2\ncapacity = \"450 mAh\"\n".to_owned(),
    );
    "battery = \"cells\"\n".to_owned()
}

fn board(dice: &mut Dice, written: &mut Written, at: usize) {
    let mut sheet = Sheet {
        text: String::new(),
        id: format!("board{at}"),
        written,
    };
    let rails: &[&str] = [&["5v"][..], &["5v", "9v"]][dice.below(2)];
    if dice.often(85) {
        sheet.pad("B", "power", "pack");
    }
    for rail in rails {
        for copy in 0..dice.below(3) {
            sheet.pad(&format!("V{rail}{copy}"), "power", rail);
        }
        let source = format!("board{at}.{rail}");
        sheet.written.sources.push(source);
    }
    for ground in 0..dice.below(4) {
        let of = dice.pick(&["", "", "pack", "5v"]);
        sheet.pad(&format!("G{ground}"), "ground", of);
    }
    let ports = 1 + dice.below(6);
    let mut tables = String::new();
    for port in 1..=ports {
        tables += &self::port(dice, &mut sheet, port, ports);
    }
    for rail in rails {
        let volts = &rail[..1];
        tables += &format!("[rail.{rail}]\nkind = \"buck\"\noutput = \"{volts} V\"\n");
    }
    if dice.often(40) {
        tables += "[input.core]\npower = \"1 W\"\nfed_by = \"5v\"\n";
        if dice.often(50) {
            sheet.pad("CORE", "power", "core");
        }
        if dice.often(30) {
            let socket = format!("board{at}.core");
            sheet.written.sockets.push(socket);
        }
    }
    if at == 0 || dice.often(50) {
        tables += "[board]\n";
    }
    let text = sheet.text + &tables;
    written.file(&format!("parts/board{at}.toml"), text);
}

fn port(dice: &mut Dice, sheet: &mut Sheet<'_>, port: usize, ports: usize) -> String {
    let name = port.to_string();
    sheet.written.ports.push(format!("{}.{name}", sheet.id));
    let shows = |dice: &mut Dice| dice.often(90);
    if dice.often(15) {
        let (kind, roles): (_, &[_]) = [
            ("two-wire-bus", &["clock", "data"][..]),
            ("composite-video", &["signal-in"]),
            ("motor-phases", &["phase", "phase", "phase"]),
        ][dice.below(3)];
        for (pin, role) in roles.iter().enumerate() {
            if shows(dice) {
                sheet.pad(&format!("P{name}{pin}"), role, &name);
            }
        }
        return format!("[port.{name}]\nkind = \"{kind}\"\n");
    }
    let duplex = dice.pick(&["full", "full", "full", "send-only", "receive-only"]);
    if duplex != "receive-only" && shows(dice) {
        sheet.pad(&format!("T{name}"), "serial-out", &name);
    }
    if duplex != "send-only" && shows(dice) {
        sheet.pad(&format!("R{name}"), "serial-in", &name);
    }
    let mut text = format!("[port.{name}]\nduplex = \"{duplex}\"\n");
    text += dice.pick(&["", "one_wire = true\n"]);
    text += dice.pick(&[
        "",
        "",
        "inversion = \"switchable\"\n",
        "inversion = \"fixed\"\n",
    ]);
    text += dice.pick(&[
        "",
        "highest_rate = \"1 Mbit/s\"\n",
        "highest_rate = \"100 kbit/s\"\n",
    ]);
    text += dice.pick(&["", "", "tolerates = \"5 V\"\n"]);
    text += dice.pick(&["", "", "", "soft = true\n"]);
    text += dice.pick(&["", "", "", "", "", "used_by = \"on-board receiver\"\n"]);
    text += dice.pick(&["", "", "loader = true\n"]);
    if dice.often(20) {
        let other = 1 + dice.below(ports);
        text += &format!("shares = [\"{other}\"]\n");
    }
    text
}

fn device(dice: &mut Dice, written: &mut Written, id: &str) {
    let mut sheet = Sheet {
        text: String::new(),
        id: id.to_owned(),
        written,
    };
    let mut tables = String::new();
    let bare = dice.often(10);
    for input in ["p", "q"].iter().take(dice.below(3)) {
        tables += &format!("[input.{input}]\npower = \"2 W\"\n");
        tables += dice.pick(&["", "loss = \"control\"\n"]);
        sheet.written.sockets.push(format!("{id}.{input}"));
        if !bare && dice.often(90) {
            sheet.pad(&format!("V{input}"), "power", input);
        }
    }
    for signal in ["a", "b"].iter().take(dice.below(3)) {
        tables += &self::signal(dice, &mut sheet, signal, bare);
    }
    if !bare {
        for ground in 0..dice.below(3) {
            let of = if tables.contains("[input.p]") && dice.often(20) {
                "p"
            } else {
                ""
            };
            sheet.pad(&format!("G{ground}"), "ground", of);
        }
    }
    let text = sheet.text + &tables;
    written.file(&format!("parts/{id}.toml"), text);
}

fn signal(dice: &mut Dice, sheet: &mut Sheet<'_>, name: &str, bare: bool) -> String {
    sheet.written.signals.push(format!("{}.{name}", sheet.id));
    let mut pad = |dice: &mut Dice, label: &str, role: &str| {
        if !bare && dice.often(90) {
            sheet.pad(&format!("{label}{name}"), role, name);
        }
    };
    if dice.often(15) {
        let kind = dice.pick(&["two-wire-bus", "composite-video", "motor-phases"]);
        let roles: &[&str] = match kind {
            "two-wire-bus" => &["clock", "data"],
            "composite-video" => &["signal-out"],
            _ => &["phase", "phase", "phase"],
        };
        for (pin, role) in roles.iter().enumerate() {
            pad(dice, &format!("S{pin}"), role);
        }
        let sends = if kind == "composite-video" {
            "duplex = \"sends\"\n"
        } else {
            ""
        };
        return format!("[signal.{name}]\nkind = \"{kind}\"\n{sends}");
    }
    let duplex = dice.pick(&["full", "one-wire", "sends", "receives"]);
    if duplex != "receives" {
        pad(
            dice,
            "T",
            if duplex == "one-wire" {
                dice_role(name)
            } else {
                "serial-out"
            },
        );
    }
    if duplex == "full" || duplex == "receives" {
        pad(dice, "R", "serial-in");
    }
    let mut text = format!("[signal.{name}]\nduplex = \"{duplex}\"\n");
    text += dice.pick(&[
        "",
        "rate = \"9600 bit/s\"\n",
        "rate = \"57600 bit/s\"\n",
        "rate = \"420 kbit/s\"\n",
    ]);
    text += dice.pick(&[
        "",
        "",
        "inversion = \"inverted\"\n",
        "inversion = \"either\"\n",
    ]);
    text += dice.pick(&["", "", "", "level = \"5 V\"\n"]);
    text += dice.pick(&["", "one_wire_will_do = true\n"]);
    text += dice.pick(&["", "speaks_first = true\n"]);
    text += dice.pick(&["", "optional = true\n"]);
    text
}

/// Makers mark the pad of a one-wire device either way.
fn dice_role(name: &str) -> &'static str {
    if name == "a" {
        "one-wire"
    } else {
        "serial-out"
    }
}

/// Feeds, and on some benches links and wires of the builder's own.
fn words(dice: &mut Dice, written: &Written) -> String {
    let mut text = "[feeds]\n".to_owned();
    for socket in &written.sockets {
        text += &feed(dice, written, socket);
    }
    for rail in written.sources.iter().filter(|it| it.starts_with("board1")) {
        if dice.often(20) {
            text += &format!("{rail} = \"pack\"\n");
        }
    }
    text += "[links]\n";
    for signal in &written.signals {
        if dice.often(15) {
            let port = &written.ports[dice.below(written.ports.len())];
            text += &format!("{signal} = \"{port}\"\n");
        }
    }
    text + &wires(dice, written)
}

fn feed(dice: &mut Dice, written: &Written, socket: &str) -> String {
    if dice.often(15) {
        return String::new();
    }
    let from = &written.sources[dice.below(written.sources.len())];
    let boards = written.grounds.iter().filter(|it| it.starts_with("board"));
    let mut grounds: Vec<&str> = boards.map(String::as_str).collect();
    grounds.push("board0");
    let ground = if dice.often(20) {
        format!(", ground = \"{}\"", grounds[dice.below(grounds.len())])
    } else {
        String::new()
    };
    format!("{socket} = {{ from = \"{from}\"{ground} }}\n")
}

fn wires(dice: &mut Dice, written: &Written) -> String {
    let mut text = "[wires]\n".to_owned();
    if written.pads.is_empty() || dice.often(50) {
        return text;
    }
    let (mut begun, mut last) = (Vec::new(), None);
    for _ in 0..1 + dice.below(4) {
        let here = &written.pads[dice.below(written.pads.len())];
        // Now and then a second wire to a pad that has one, with two senders on it.
        let again = last.filter(|_| dice.often(75));
        let there = again.unwrap_or_else(|| &written.pads[dice.below(written.pads.len())]);
        last = Some(there);
        if here.0 != there.0 && !begun.contains(&here) {
            text += &format!("{}.{} = \"{}.{}\"\n", here.0, here.1, there.0, there.1);
            begun.push(here);
        }
    }
    text
}

/// A refit that takes some devices off, puts others on, and feeds what is new.
fn refit(dice: &mut Dice, written: &mut Written, devices: usize) -> String {
    let gone: Vec<String> = (0..devices)
        .filter(|_| dice.often(20))
        .map(|at| format!("\"device{at}\""))
        .collect();
    let known = written.sockets.len();
    let (mut add, mut feeds) = (String::new(), String::new());
    for at in 0..dice.below(3) {
        let id = format!("new{at}");
        device(dice, written, &id);
        add += &format!("{id} = \"{id}\"\n");
    }
    for socket in &written.sockets[known..] {
        feeds += &feed(dice, written, socket);
    }
    format!(
        "craft = \"x\"\nremove = [{}]\n[add]\n{add}[feeds]\n{feeds}",
        gone.join(", ")
    )
}
