//! The plans of the demo benches and of random ones, held against a second look that shares no code with
//! the planning.

use craft::airframe::{Airframe, Tap};
use craft::pads::{PadRole, SignalKind};
use craft::{Bench, SourceFile};
use proptest::prelude::*;
use std::collections::HashSet;
use std::path::Path;
use wiring::meter::{Limit, Round, card};
use wiring::moves::{Stands, moves};
use wiring::{Carries, Fault, Plan, TerminalId};

const DEMOS: [&str; 4] = ["loft-75", "hedge-3", "hull-85", "reed-gps"];

fn demo(name: &str) -> Bench {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../benches")
        .join(name);
    let files = store::disk::read_folder(&folder).expect("the demo is there");
    store::text::read(files).0
}

/// Both states of a demo with their plans.
fn states(name: &str) -> [(Airframe, Plan); 2] {
    let bench = demo(name);
    let job = bench.refit_job(name).expect("the demo has a refit");
    let (before, after) = (job.before(), job.after().expect("a refit"));
    let old = Plan::of(&before, None);
    let new = Plan::of(&after, Some(&old));
    [(before, old), (after, new)]
}

/// What can be reached from a terminal over wires, over a part's grounds, and over the pads of one rail,
/// input or pack of a part.
fn reached(plan: &Plan, from: TerminalId) -> HashSet<TerminalId> {
    let mut reached = HashSet::from([from]);
    let mut next = vec![from];
    while let Some(here) = next.pop() {
        let it = plan.terminals.get(here);
        let over_wires = plan.wires.iter().filter(|wire| wire.ends.contains(&here));
        let mut found: Vec<TerminalId> = over_wires.flat_map(|wire| wire.ends).collect();
        found.extend(plan.terminals.ids().filter(|&id| {
            let other = plan.terminals.get(id);
            let alike = other.part == it.part && other.copy == it.copy && other.role == it.role;
            let same_power = it.role == PadRole::Power && other.of == it.of;
            alike && (it.role == PadRole::Ground || same_power)
        }));
        next.extend(found.into_iter().filter(|&id| reached.insert(id)));
    }
    reached
}

/// Everything that must hold of any plan, whatever was written.
fn check(airframe: &Airframe, plan: &Plan) {
    for wire in &plan.wires {
        let [here, there] = wire.ends.map(|end| plan.terminals.get(end));
        assert_ne!(wire.ends[0], wire.ends[1]);
        assert!(wire.place.is_some() || here.part != there.part, "{wire:?}");
        let told = plan.faults.iter().any(|fault| match fault {
            Fault::Swapped { ends, .. } | Fault::WrongPads { ends, .. } => *ends == wire.ends,
            _ => false,
        });
        let sends = |role| role == PadRole::SerialOut;
        let hears = |role| role == PadRole::SerialIn;
        let one_wire = match wire.carries {
            Carries::Signal(need) => {
                plan.signals.question.needs[need].duplex == wiring::allot::NeedDuplex::OneWire
            }
            _ => false,
        };
        let crossed =
            (sends(here.role) && hears(there.role)) || (hears(here.role) && sends(there.role));
        let serial = |role| sends(role) || hears(role);
        if serial(here.role) && serial(there.role) {
            assert!(crossed || one_wire || told, "{here:?} {there:?}");
        }
    }
    inputs_are_fed_where_the_craft_says(airframe, plan);
    ports_are_used_once(plan);
    the_card_leaves_nothing_out(airframe, plan);
}

fn inputs_are_fed_where_the_craft_says(airframe: &Airframe, plan: &Plan) {
    for (at, fitted, input) in airframe.inputs() {
        let Ok((tap, Some(_))) = airframe.source_of_input(at, input) else {
            continue;
        };
        let of = match tap {
            Tap::Pack => "pack".to_owned(),
            Tap::Rail(part, _) if part == at => continue,
            Tap::Rail(part, rail) => airframe
                .rail(part, rail)
                .expect("a rail")
                .name
                .value
                .clone(),
        };
        let written = |wire: &wiring::Wire| {
            wire.place.is_some()
                && airframe
                    .harness
                    .wires
                    .iter()
                    .any(|it| Some(it.table.place) == wire.place)
        };
        let pluses: Vec<_> = plan
            .wires
            .iter()
            .filter(|wire| wire.carries == Carries::Plus(at, input.name.value.clone()))
            .collect();
        assert!(!pluses.is_empty(), "{} is not fed", fitted.id.value);
        for wire in pluses.into_iter().filter(|wire| !written(wire)) {
            let there = plan.terminals.get(wire.ends[1]);
            let meant = match tap {
                Tap::Pack => plan.entry.or(plan.battery),
                Tap::Rail(part, _) => Some(part),
            };
            assert_eq!(
                (Some(there.part), there.of.as_deref()),
                (meant, Some(of.as_str()))
            );
        }
    }
}

fn ports_are_used_once(plan: &Plan) {
    let mut used = HashSet::new();
    for need in 0..plan.signals.needs.len() {
        let Some(port) = plan.signals.port_of(need) else {
            continue;
        };
        let many = plan.signals.ports[port].kind == SignalKind::TwoWireBus;
        assert!(
            used.insert(port) || many,
            "{}",
            plan.signals.ports[port].name
        );
        assert_eq!(plan.signals.ports[port].kind, plan.signals.needs[need].kind);
        assert!(
            plan.wires
                .iter()
                .any(|wire| wire.carries == Carries::Signal(need))
        );
    }
}

fn the_card_leaves_nothing_out(airframe: &Airframe, plan: &Plan) {
    let card = card(plan, airframe);
    let tip = |end: TerminalId| plan.terminals.label(end);
    for wire in &plan.wires {
        for end in wire.ends {
            let it = plan.terminals.get(end);
            if it.role == PadRole::Ground && Some(it.part) != plan.battery {
                let line = card
                    .iter()
                    .find(|line| line.round == Round::Grounds && line.from == tip(end));
                let limit = line.map(|line| line.limit);
                assert_eq!(limit, Some(Limit::AtMost(0.3)), "{}", tip(end));
            }
        }
        let is_signal = matches!(wire.carries, Carries::Signal(need)
            if plan.signals.needs[need].kind != SignalKind::MotorPhases);
        if is_signal {
            let [from, to] = wire.ends.map(tip);
            assert!(card.iter().any(|line| {
                line.round == Round::Signals && line.from == from && line.to == to
            }));
        }
    }
}

#[test]
fn checked_the_demos_are_wired_without_a_fault() {
    for name in DEMOS {
        for (airframe, plan) in states(name) {
            assert_eq!(plan.faults, Vec::new(), "{name}");
            check(&airframe, &plan);
        }
    }
}

#[test]
fn checked_every_ground_of_the_demos_comes_back_to_the_pack() {
    for name in DEMOS {
        for (_, plan) in states(name) {
            let minus = plan.terminals.ids().find(|&id| {
                let it = plan.terminals.get(id);
                Some(it.part) == plan.battery && it.role == PadRole::Ground
            });
            let ground = reached(&plan, minus.expect("the battery has a minus"));
            for wire in &plan.wires {
                for end in wire.ends {
                    let is_ground = plan.terminals.get(end).role == PadRole::Ground;
                    assert_eq!(
                        ground.contains(&end),
                        is_ground,
                        "{name}: {}",
                        plan.terminals.label(end)
                    );
                }
            }
        }
    }
}

/// The moves turn one list of wires into the other, and what stays is not touched.
#[test]
fn checked_moves_lead_from_before_to_after() {
    for name in DEMOS {
        let [(_, before), (_, after)] = states(name);
        let ends =
            |plan: &Plan, wire: usize| plan.wires[wire].ends.map(|end| plan.terminals.label(end));
        let all = |plan: &Plan| -> Vec<_> {
            (0..plan.wires.len()).map(|wire| ends(plan, wire)).collect()
        };
        let (mut list, mut wanted) = (all(&before), all(&after));
        for it in moves(&before, &after) {
            if let Some(old) = it.old {
                let gone = ends(&before, old);
                let at = list
                    .iter()
                    .position(|ends| *ends == gone)
                    .expect("what comes off was there");
                list.remove(at);
            }
            list.extend(it.new.map(|new| ends(&after, new)));
        }
        list.sort();
        wanted.sort();
        assert_eq!(list, wanted, "{name}");
    }
}

#[test]
fn checked_a_refit_that_changes_nothing_has_no_moves() {
    for name in DEMOS {
        let [(before, old), _] = states(name);
        assert_eq!(
            moves(&old, &Plan::of(&before, Some(&old))),
            Vec::new(),
            "{name}"
        );
    }
}

/// Receiver and camera wires stay on their pads when a new device comes: nothing of hull-85 is moved.
#[test]
fn checked_what_stays_keeps_its_pads() {
    for name in DEMOS {
        let [(_, before), (_, after)] = states(name);
        let moved = moves(&before, &after)
            .into_iter()
            .filter(|it| it.stands == Stands::Moved);
        assert_eq!(moved.count(), 0, "{name}");
    }
}

/// Trade case K7, common practice: a GPS wanted on a board of two pairs that a serial receiver and a digital
/// unit have; no full pair is left, and soft serial carries 19 200 bit/s where the GPS wants 57 600.
#[test]
fn validated_k7_no_pair_is_left_for_the_gps() {
    let [_, (_, plan)] = states("reed-gps");
    let signals = &plan.signals;
    let conflict = signals.conflict.as_ref().expect("not all can be met");
    let names: HashSet<&str> = conflict
        .together
        .iter()
        .map(|&need| signals.needs[need].name.as_str())
        .collect();
    assert_eq!(
        names,
        HashSet::from(["digital.overlay", "receiver.data", "gps.data"])
    );
    let gps = signals
        .needs
        .iter()
        .position(|need| need.name == "gps.data")
        .expect("a GPS");
    assert_eq!(signals.port_of(gps), None);
    let soft = signals
        .question
        .ports
        .iter()
        .find(|port| port.soft)
        .expect("a soft port");
    let reasons = wiring::allot::fit(soft, &signals.question.needs[gps]).expect_err("too fast");
    assert!(
        reasons.contains(&wiring::allot::Unfit::SoftTooFast { needs: 57_600.0 }),
        "{reasons:?}"
    );
}

fn bench_text(
    ports: &[(bool, bool, bool)],
    devices: &[(u8, bool, bool)],
    lines: &[(usize, usize, bool)],
) -> Vec<SourceFile> {
    let mut board = "[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\n[board]\n[pad.B]\nrole = \"power\"\nof = \"pack\"\n[pad.G]\nrole = \"ground\"\n[pad.V]\nrole = \"power\"\nof = \"5v\"\n".to_owned();
    for (at, (sends, soft, listed)) in ports.iter().enumerate() {
        board += &format!("[port.{at}]\nsoft = {soft}\none_wire = true\n");
        if *listed {
            board += &format!("[pad.R{at}]\nrole = \"serial-in\"\nof = \"{at}\"\n");
        }
        if *sends {
            board += &format!("[pad.T{at}]\nrole = \"serial-out\"\nof = \"{at}\"\n");
        }
    }
    let mut craft = "[parts]\nbattery = \"battery-2x450\"\nboard = \"board\"\n".to_owned();
    let mut files = vec![("parts/board.toml".to_owned(), board)];
    for (at, (kind, ground, fed)) in devices.iter().enumerate() {
        let duplex = ["full", "one-wire", "sends", "receives"][usize::from(kind % 4)];
        let mut sheet = format!(
            "[input.p]\npower = \"1 W\"\n[signal.s]\nduplex = \"{duplex}\"\nrate = \"9600 bit/s\"\n\
             [pad.V]\nrole = \"power\"\nof = \"p\"\n[pad.T]\nrole = \"serial-out\"\nof = \"s\"\n[pad.R]\nrole = \"serial-in\"\nof = \"s\"\n"
        );
        if *ground {
            sheet += "[pad.G]\nrole = \"ground\"\n";
        }
        files.push((format!("parts/device{at}.toml"), sheet));
        craft += &format!("device{at} = \"device{at}\"\n");
        let _ = fed;
    }
    craft += "[feeds]\n";
    for (at, (.., fed)) in devices.iter().enumerate() {
        if *fed {
            craft += &format!("device{at}.p = \"board.5v\"\n");
        }
    }
    craft += "[wires]\n";
    let mut written = HashSet::new();
    for (device, port, cross) in lines {
        if written.insert(*device) {
            let pad = if *cross { "R" } else { "T" };
            craft += &format!("device{device}.T = \"board.{pad}{port}\"\n");
        }
    }
    files.push(("x.craft.toml".to_owned(), craft));
    files
        .into_iter()
        .map(|(path, text)| SourceFile { path, text })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn checked_random_benches_are_wired_as_they_say(
        ports in prop::collection::vec((any::<bool>(), any::<bool>(), any::<bool>()), 1..5),
        devices in prop::collection::vec((any::<u8>(), any::<bool>(), any::<bool>()), 1..6),
        lines in prop::collection::vec((0usize..6, 0usize..5, any::<bool>()), 0..3),
    ) {
        let (bench, _) = store::text::read(bench_text(&ports, &devices, &lines));
        let airframe = Airframe::before(&bench.craft[0]);
        let plan = Plan::of(&airframe, None);
        check(&airframe, &plan);
        for (at, (_, ground, fed)) in devices.iter().enumerate() {
            let part = airframe.position(&format!("device{at}")).expect("a device");
            let told = plan.faults.iter().any(|fault| matches!(fault, Fault::NoGround { part: it, .. } if *it == part));
            let wired = plan.wires.iter().any(|wire| plan.terminals.get(wire.ends[0]).part == part);
            prop_assert!(!*fed || wired);
            prop_assert_eq!(told, wired && !*ground, "device {}", at);
        }
    }
}
