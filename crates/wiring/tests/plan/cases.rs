//! Slips of builders, one small bench each: what the plan does with it, and what it says.

use craft::SourceFile;
use craft::airframe::Airframe;
use wiring::{Carries, Fault, Plan};

const BOARD: &str = "[board]\n[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\n[rail.9v]\nkind = \"boost\"\noutput = \"9 V\"\n\
    [port.1]\n[port.2]\n[pad]\nB = { role = \"power\", of = \"pack\" }\nV = { role = \"power\", of = \"5v\" }\nN = { role = \"power\", of = \"9v\" }\n\
    G0 = { role = \"ground\", of = \"pack\" }\nG1 = { role = \"ground\" }\nG2 = { role = \"ground\" }\n\
    T1 = { role = \"serial-out\", of = \"1\" }\nR1 = { role = \"serial-in\", of = \"1\" }\n\
    T2 = { role = \"serial-out\", of = \"2\" }\nR2 = { role = \"serial-in\", of = \"2\" }\n";
const DEVICE: &str = "[input.main]\nvolts = \"4..6 V\"\npower = \"1 W\"\n[signal.data]\nrate = \"9600 bit/s\"\n[pad]\n\
    V = { role = \"power\", of = \"main\" }\nG = { role = \"ground\" }\n\
    TX = { role = \"serial-out\", of = \"data\" }\nRX = { role = \"serial-in\", of = \"data\" }\n";
const STEP: &str = "[rail.9v]\nkind = \"boost\"\noutput = \"9 V\"\n[pad]\nIN = { role = \"power-in\", of = \"9v\" }\n\
    OUT = { role = \"power\", of = \"9v\" }\nG = { role = \"ground\" }\n";
/// Two plus pads on one input.
const LAMP: &str = "[input.main]\nvolts = \"7..12 V\"\npower = \"1 W\"\n[pad]\nV1 = { role = \"power\", of = \"main\" }\n\
    V2 = { role = \"power\", of = \"main\" }\nG = { role = \"ground\" }\n";
const DRIVER: &str = "[esc]\n[port.m]\nkind = \"motor-phases\"\n[pad]\nB = { role = \"power\", of = \"pack\" }\nG = { role = \"ground\" }\n\
    X = { role = \"phase\", of = \"m\" }\nY = { role = \"phase\", of = \"m\" }\nZ = { role = \"phase\", of = \"m\" }\n";
const MOTOR: &str = "[signal.p]\nkind = \"motor-phases\"\n";

/// A craft of a battery, a board, and what is written below `[parts]`.
struct Bench {
    plan: Plan,
    airframe: Airframe,
}

impl Bench {
    fn new(parts: &str, sheets: &[(&str, &str)]) -> Self {
        let craft = format!("[parts]\nbattery = \"battery-2x450\"\nboard = \"board\"\n{parts}");
        let mut files = vec![
            ("x.craft.toml".to_owned(), craft),
            ("parts/board.toml".to_owned(), BOARD.to_owned()),
        ];
        let sheet = |&(name, text): &(&str, &str)| (format!("parts/{name}.toml"), text.to_owned());
        files.retain(|(path, _)| !sheets.iter().any(|it| sheet(it).0 == *path));
        files.extend(sheets.iter().map(sheet));
        let files = files
            .into_iter()
            .map(|(path, text)| SourceFile { path, text });
        let (bench, found) = store::text::read(files.collect());
        let errors: Vec<_> = found
            .iter()
            .filter(|fault| fault.severity == craft::Severity::Error)
            .collect();
        assert!(errors.is_empty(), "{errors:#?}");
        let airframe = Airframe::before(&bench.craft[0]);
        let plan = Plan::of(&airframe, None);
        super::look::check(&airframe, &plan);
        Self { plan, airframe }
    }

    /// The other ends of the wires at a pad.
    fn from(&self, pad: &str) -> Vec<String> {
        let label = |end| self.plan.terminals.label(end);
        let ends = self.plan.wires.iter().map(|wire| wire.ends.map(label));
        ends.filter_map(|[here, there]| match (here == pad, there == pad) {
            (true, _) => Some(there),
            (_, true) => Some(here),
            _ => None,
        })
        .collect()
    }

    /// Where a signal goes.
    fn port(&self, need: &str) -> Option<&str> {
        let signals = &self.plan.signals;
        let at = signals.needs.iter().position(|it| it.name == need)?;
        Some(&signals.ports[signals.port_of(at)?].name)
    }

    fn names(&self, pads: &[wiring::TerminalId]) -> Vec<String> {
        pads.iter()
            .map(|&pad| self.plan.terminals.label(pad))
            .collect()
    }

    /// What is read off the faults.
    fn told<'a, T>(&'a self, wanted: impl Fn(&'a Fault) -> Option<T>) -> Vec<T> {
        self.plan.faults.iter().filter_map(wanted).collect()
    }

    fn part(&self, name: &str) -> usize {
        self.airframe.position(name).expect("a part")
    }
}

#[test]
fn checked_a_converter_that_nothing_feeds_is_told() {
    let bench = Bench::new(
        "step = \"step\"\nlamp = \"lamp\"\n[feeds]\nlamp.main = \"step.9v\"\n",
        &[("step", STEP), ("lamp", LAMP)],
    );
    let told = |fault: &Fault| matches!(fault, Fault::UnfedRail { part, rail, .. } if *part == bench.part("step") && rail == "9v");
    assert!(
        bench.plan.faults.iter().any(told),
        "{:?}",
        bench.plan.faults
    );
}

#[test]
fn checked_a_wire_from_port_to_port_takes_both() {
    let feeds = "[feeds]\na.main = \"board.5v\"\nb.main = \"board.5v\"\n";
    let bench = Bench::new(
        &format!(
            "other = \"board\"\na = \"gps\"\nb = \"gps\"\n{feeds}[wires]\nother.T1 = \"board.R1\"\n"
        ),
        &[("gps", DEVICE)],
    );
    assert_eq!(bench.from("board R1"), ["other T1"]);
    let ports = [bench.port("a.data"), bench.port("b.data")];
    assert!(ports.iter().all(Option::is_some), "{ports:?}");
    assert!(
        !ports.contains(&Some("board.1")) && !ports.contains(&Some("other.1")),
        "{ports:?}"
    );
}

#[test]
fn checked_two_senders_on_one_line_are_told() {
    let bench = Bench::new(
        "other = \"board\"\na = \"gps\"\n[feeds]\na.main = \"board.5v\"\n[wires]\nother.T1 = \"board.R1\"\na.TX = \"board.R1\"\n",
        &[("gps", DEVICE)],
    );
    let told = bench.told(|fault| match fault {
        Fault::TwoSenders { pads, .. } => Some(bench.names(pads)),
        _ => None,
    });
    assert_eq!(told.len(), 1, "{told:?}");
    let mut pads = told[0].clone();
    pads.sort();
    assert_eq!(pads, ["a TX", "other T1"]);
}

#[test]
fn checked_a_wire_of_a_counted_part_is_that_of_its_first() {
    let bench = Bench::new(
        "a = { sheet = \"gps\", count = 2 }\n[feeds]\na.main = \"board.5v\"\n[wires]\na.TX = \"board.R2\"\na.RX = \"board.T2\"\n",
        &[("gps", DEVICE)],
    );
    assert_eq!(bench.port("a 1.data"), Some("board.2"));
    assert_eq!(bench.port("a 2.data"), Some("board.1"));
    assert_eq!(bench.from("a 1 TX"), ["board R2"]);
    assert_eq!(bench.from("a 2 TX"), ["board R1"]);
    assert_eq!(bench.plan.faults, Vec::new());
}

#[test]
fn checked_plus_bridged_to_ground_on_one_part_is_told() {
    let bench = Bench::new(
        "a = \"gps\"\n[feeds]\na.main = \"board.5v\"\n[wires]\na.V = \"a.G\"\n",
        &[("gps", DEVICE)],
    );
    let told = |fault: &Fault| matches!(fault, Fault::WrongPads { ends, .. } if bench.names(ends) == ["a V", "a G"]);
    assert!(
        bench.plan.faults.iter().any(told),
        "{:?}",
        bench.plan.faults
    );
}

#[test]
fn checked_a_ground_written_from_the_board_is_the_devices_ground() {
    for wire in ["board.G2 = \"a.G\"", "a.G = \"board.G2\""] {
        let bench = Bench::new(
            &format!("a = \"gps\"\n[feeds]\na.main = \"board.5v\"\n[wires]\n{wire}\n"),
            &[("gps", DEVICE)],
        );
        assert_eq!(bench.from("a G"), ["board G2"], "{wire}");
        assert_eq!(bench.plan.faults, Vec::new());
    }
}

#[test]
fn checked_a_wire_against_its_feed_is_told() {
    let faults = |pad: &str| {
        let wire = format!("[wires]\na.V = \"board.{pad}\"\n");
        let parts = format!("a = \"gps\"\n[feeds]\na.main = \"board.5v\"\n{wire}");
        let bench = Bench::new(&parts, &[("gps", DEVICE)]);
        assert_eq!(bench.from("a V"), [format!("board {pad}")]);
        bench.plan.faults
    };
    assert_eq!(faults("V"), Vec::new());
    let [Fault::OtherFeed { socket, said, .. }] = &faults("N")[..] else {
        panic!("one fault");
    };
    assert_eq!((socket.as_str(), said.as_str()), ("main", "board.5v"));
}

#[test]
fn checked_two_converters_serve_each_their_own() {
    let bench = Bench::new(
        "step = { sheet = \"step\", count = 2 }\nlamp = { sheet = \"lamp\", count = 2 }\n[feeds]\nstep.9v = \"pack\"\nlamp.main = \"step.9v\"\n",
        &[("step", STEP), ("lamp", LAMP)],
    );
    assert_eq!(bench.plan.faults, Vec::new());
    for at in [1, 2] {
        for pad in ["V1", "V2"] {
            let there = bench.from(&format!("lamp {at} {pad}"));
            assert_eq!(there, [format!("step {at} OUT")]);
        }
        let ground = bench.from(&format!("lamp {at} G"));
        assert_eq!(ground, [format!("step {at} G")]);
    }
    // Each is a supply of its own, and the meter is held to both.
    let nets = wiring::net::nets(&bench.plan, &bench.airframe);
    let supplies: Vec<&str> = nets.iter().map(|net| net.name.as_str()).collect();
    assert!(
        supplies.contains(&"step 1.9v") && supplies.contains(&"step 2.9v"),
        "{supplies:?}"
    );
}

#[test]
fn checked_one_input_does_not_join_two_converters() {
    let bench = Bench::new(
        "step = { sheet = \"step\", count = 2 }\nlamp = \"lamp\"\n[feeds]\nstep.9v = \"pack\"\nlamp.main = \"step.9v\"\n",
        &[("step", STEP), ("lamp", LAMP)],
    );
    assert_eq!(bench.from("lamp V1"), bench.from("lamp V2"));
    assert_eq!(bench.plan.faults, Vec::new());
}

#[test]
fn checked_three_phases_on_one_pad_are_told() {
    let board = BOARD.replace(
        "[pad]\n",
        "[port.m1]\nkind = \"motor-phases\"\n[pad]\nM = { role = \"phase\", of = \"m1\" }\n",
    );
    let bench = Bench::new("m = \"motor\"\n", &[("board", &board), ("motor", MOTOR)]);
    let told = bench.told(|fault| match fault {
        Fault::NoPad { part, what, .. } => Some((*part, what.as_str())),
        _ => None,
    });
    assert_eq!(told, [(bench.part("board"), "all 3 phases of m1")]);
}

#[test]
fn checked_four_drivers_have_a_motor_each() {
    let bench = Bench::new(
        "drv = { sheet = \"drv\", count = 4 }\nm = { sheet = \"motor\", count = 4 }\n",
        &[("drv", DRIVER), ("motor", MOTOR)],
    );
    assert_eq!(bench.plan.faults, Vec::new());
    assert_eq!(bench.plan.signals.conflict, None);
    for at in 1..=4 {
        assert_eq!(
            bench.port(&format!("m {at}.p")),
            Some(format!("drv {at}.m").as_str())
        );
        for pad in ["X", "Y", "Z"] {
            assert_eq!(bench.from(&format!("drv {at} {pad}")).len(), 1);
        }
    }
    let phases = |wire: &&wiring::Wire| matches!(wire.carries, Carries::Signal(_));
    assert_eq!(bench.plan.wires.iter().filter(phases).count(), 12);
}

/// Four drivers on one pack, no board of their own: the battery is soldered to the first, and the others hang on it.
#[test]
fn checked_copies_of_the_part_that_the_battery_is_on_hang_on_the_first() {
    let bench = Bench::new(
        "drv = { sheet = \"drv\", count = 4 }\n",
        &[("drv", DRIVER), ("board", "[body]\nmass = \"1 g\"\n")],
    );
    assert_eq!(bench.plan.entry, Some(bench.part("drv")));
    assert!(bench.from("drv 1 B").contains(&"battery plus".to_owned()));
    for at in 2..=4 {
        assert_eq!(bench.from(&format!("drv {at} B")), ["drv 1 B"]);
        assert_eq!(bench.from(&format!("drv {at} G")), ["drv 1 G"]);
    }
}
