//! A second look at a plan, which shares no code with the planning: what the wires join, found by walking
//! them, held against what the files say.

use crate::joined::{Joined, Supply, is_written, supply};
use crate::signals::{ports_serve_one, senders_meet_listeners, signals_have_their_wires};
use craft::airframe::{Airframe, Tap};
use craft::pads::{PadRole, SignalKind};
use std::collections::BTreeSet;
use wiring::allot::NeedDuplex;
use wiring::meter::{Limit, Round, card};
use wiring::{Carries, Fault, Plan, Terminal, TerminalId, Wire};

/// Everything that must hold of any plan, whatever was written.
pub fn check(airframe: &Airframe, plan: &Plan) {
    let joined = Joined::of(airframe, plan);
    wires_have_two_ends(airframe, plan);
    supplies_are_apart(airframe, plan, &joined);
    inputs_have_their_source(airframe, plan, &joined);
    grounds_come_back(airframe, plan, &joined);
    senders_meet_listeners(airframe, plan, &joined);
    ports_serve_one(airframe, plan);
    signals_have_their_wires(airframe, plan);
    the_card_is_whole(airframe, plan, &joined);
}

fn wires_have_two_ends(airframe: &Airframe, plan: &Plan) {
    for wire in &plan.wires {
        let [here, there] = wire.ends.map(|end| plan.terminals.get(end));
        assert_ne!(wire.ends[0], wire.ends[1], "{here:?}");
        let apart = (here.part, here.copy) != (there.part, there.copy);
        // A bridge between two pads of one part is the builder's to write.
        assert!(apart || is_written(airframe, wire), "{here:?} {there:?}");
        let serial = |it: &Terminal| matches!(it.role, PadRole::SerialIn | PadRole::SerialOut);
        if serial(here) && serial(there) {
            assert!(
                here.role != there.role || is_one_wire(plan, wire) || is_told(plan, wire),
                "{here:?} {there:?}"
            );
        }
    }
}

/// Whether a signal goes both ways over this wire.
fn is_one_wire(plan: &Plan, wire: &Wire) -> bool {
    matches!(wire.carries, Carries::Signal(need)
        if plan.signals.question.needs[need].duplex == NeedDuplex::OneWire)
}

/// Whether a fault names this wire as one between the wrong pads.
fn is_told(plan: &Plan, wire: &Wire) -> bool {
    plan.faults.iter().any(|fault| match fault {
        Fault::Swapped { ends, .. } | Fault::WrongPads { ends, .. } => *ends == wire.ends,
        _ => false,
    })
}

fn supplies_are_apart(airframe: &Airframe, plan: &Plan, joined: &Joined) {
    for group in joined.groups() {
        let all = || group.iter().map(|&id| plan.terminals.get(id));
        let supplies: BTreeSet<Supply> = all().filter_map(|it| supply(airframe, it)).collect();
        let told = |wanted: fn(&Fault) -> Option<[TerminalId; 2]>| {
            let mut pads = plan.faults.iter().filter_map(wanted);
            pads.any(|pads| pads.iter().all(|pad| group.contains(pad)))
        };
        let joined = told(|fault| match fault {
            Fault::SuppliesJoined { pads, .. } => Some(*pads),
            _ => None,
        });
        assert_eq!(joined, supplies.len() > 1, "{supplies:?}");
        let shorted = told(|fault| match fault {
            Fault::SupplyToGround { pads, .. } => Some(*pads),
            _ => None,
        });
        let ground = all().any(|it| it.role == PadRole::Ground);
        assert_eq!(shorted, ground && !supplies.is_empty(), "{supplies:?}");
    }
}

fn inputs_have_their_source(airframe: &Airframe, plan: &Plan, joined: &Joined) {
    let mut fed = BTreeSet::new();
    for (at, fitted, input) in airframe.inputs() {
        let name = &input.name.value;
        let Ok((tap, Some(_))) = airframe.source_of_input(at, input) else {
            continue;
        };
        fed.insert((at, name.clone()));
        let (server, of) = match tap {
            Tap::Pack => (plan.entry.or(plan.battery), "pack".to_owned()),
            Tap::Rail(part, rail) => {
                let rail = airframe.rail(part, rail).expect("a tap is a rail");
                (Some(part), rail.name.value.clone())
            }
        };
        if server == Some(at) {
            continue;
        }
        let pads: Vec<TerminalId> = plan
            .terminals
            .ids()
            .filter(|&id| {
                let it = plan.terminals.get(id);
                it.part == at && it.role == PadRole::Power && it.is_of(name)
            })
            .collect();
        let copies = fitted.count() as usize;
        assert!(
            pads.len() >= copies,
            "{} has no end of a wire for {name}",
            fitted.id.value
        );
        for pad in pads {
            let wires: Vec<&Wire> = plan.wires_at(pad).collect();
            assert!(
                !wires.is_empty(),
                "nothing ends at {}",
                plan.terminals.label(pad)
            );
            if wires.iter().any(|wire| is_written(airframe, wire)) {
                continue;
            }
            assert_eq!(wires.len(), 1, "one wire to {}", plan.terminals.label(pad));
            let there = plan.terminals.get(wires[0].ends[1]);
            assert_eq!(wires[0].carries, Carries::Plus(at, name.clone()));
            assert_eq!((Some(there.part), there.of.as_ref()), (server, Some(&of)));
            assert!(joined.same(pad, wires[0].ends[1]));
        }
    }
    for wire in plan.wires.iter().filter(|wire| !is_written(airframe, wire)) {
        if let Carries::Plus(part, socket) = &wire.carries {
            let rails = &airframe.parts[*part].part.as_ref().expect("a sheet").rails;
            let is_rail = rails.iter().any(|rail| rail.name.value == *socket);
            assert!(
                fed.contains(&(*part, socket.clone())) || is_rail || socket == "pack",
                "nobody feeds {socket} of part {part}"
            );
        }
    }
}

/// Whether a wire's current needs a way back of its own.
fn wants_ground(plan: &Plan, wire: &Wire) -> bool {
    match wire.carries {
        Carries::Plus(..) => true,
        Carries::Signal(need) => plan.signals.needs[need].kind != SignalKind::MotorPhases,
        Carries::Ground | Carries::Other => false,
    }
}

fn grounds_come_back(airframe: &Airframe, plan: &Plan, joined: &Joined) {
    let minus = plan.terminals.ids().find(|&id| {
        let it = plan.terminals.get(id);
        Some(it.part) == plan.battery && it.role == PadRole::Ground
    });
    for (at, _, part) in airframe.found() {
        if Some(at) == plan.battery {
            continue;
        }
        let wired =
            |wire: &&Wire| plan.terminals.get(wire.ends[0]).part == at && wants_ground(plan, wire);
        let copies: BTreeSet<Option<u32>> = plan
            .wires
            .iter()
            .filter(wired)
            .map(|wire| plan.terminals.get(wire.ends[0]).copy)
            .collect();
        // Of several the battery is soldered to the first.
        let is_entry = |copy: Option<u32>| Some(at) == plan.entry && copy.is_none_or(|it| it == 1);
        for copy in copies.into_iter().filter(|copy| !is_entry(*copy)) {
            let grounds: Vec<TerminalId> = plan
                .terminals
                .ids()
                .filter(|&id| {
                    let it = plan.terminals.get(id);
                    (it.part, it.copy, it.role) == (at, copy, PadRole::Ground)
                })
                .collect();
            let told = plan
                .faults
                .iter()
                .any(|fault| matches!(fault, Fault::NoGround { part, .. } if *part == at));
            assert!(
                told || !grounds.is_empty(),
                "no ground, and nobody says so: {at}"
            );
            let shows_one = part.pads.iter().any(|pad| {
                let role = pad.facet.role.as_ref();
                role.is_some_and(|role| role.value == PadRole::Ground)
            });
            assert_eq!(told, !shows_one && !part.pads.is_empty(), "part {at}");
            let serves = !part.rails.is_empty() || !part.ports.is_empty();
            for &ground in &grounds {
                let name = plan.terminals.label(ground);
                assert!(
                    serves || plan.wires_at(ground).count() > 0,
                    "{name} has no wire"
                );
                let back = minus.is_some_and(|minus| joined.same(minus, ground));
                assert!(
                    back || adrift(plan, joined, ground),
                    "{name} does not come back to the pack"
                );
            }
        }
    }
}

/// Whether a fault says why what hangs on this ground does not come back to the pack.
fn adrift(plan: &Plan, joined: &Joined, ground: TerminalId) -> bool {
    let group = plan.terminals.ids().filter(|&id| joined.same(id, ground));
    let parts: BTreeSet<usize> = group.map(|id| plan.terminals.get(id).part).collect();
    plan.faults.iter().any(|fault| match fault {
        Fault::NoGround { part, .. }
        | Fault::NoPad { part, .. }
        | Fault::Adrift { part, .. }
        | Fault::OtherFeed { part, .. }
        | Fault::UnfedRail { part, .. } => parts.contains(part),
        // A wire that is told to end wrongly takes the ground that runs beside it along.
        Fault::WrongPads { ends, .. } if parts.contains(&plan.terminals.get(ends[0]).part) => true,
        Fault::WrongPads { ends: pads, .. } | Fault::SupplyToGround { pads, .. } => {
            joined.same(pads[0], ground)
        }
        _ => false,
    })
}

fn the_card_is_whole(airframe: &Airframe, plan: &Plan, joined: &Joined) {
    let card = card(plan, airframe);
    let label = |end: TerminalId| plan.terminals.label(end);
    let in_round = |round: Round| card.iter().filter(move |line| line.round == round);
    let mut grounds: BTreeSet<TerminalId> = BTreeSet::new();
    for wire in &plan.wires {
        let wrong = plan
            .faults
            .iter()
            .any(|fault| matches!(fault, Fault::WrongPads { ends, .. } if *ends == wire.ends));
        let signal = matches!(wire.carries, Carries::Signal(need) if plan.signals.needs[need].kind != SignalKind::MotorPhases);
        let [from, to] = wire.ends.map(label);
        if signal && !wrong {
            assert!(
                in_round(Round::Signals).any(|line| line.from == from && line.to == to),
                "{from} to {to}"
            );
        }
        let ends = wire.ends.into_iter().filter(|&end| {
            let it = plan.terminals.get(end);
            it.role == PadRole::Ground && Some(it.part) != plan.battery
        });
        grounds.extend(ends);
    }
    // Written out again: what the card itself calls a good ground.
    let mut listed: Vec<String> = in_round(Round::Grounds)
        .map(|line| line.from.clone())
        .collect();
    let mut wanted: Vec<String> = grounds.into_iter().map(label).collect();
    listed.sort();
    wanted.sort();
    assert_eq!(listed, wanted, "each ground once");
    assert!(in_round(Round::Grounds).all(|line| line.limit == Limit::AtMost(0.3)));

    let mut supplies: Vec<Supply> = Vec::new();
    for group in joined.groups().iter().filter(|group| group.len() > 1) {
        let all = || group.iter().map(|&id| plan.terminals.get(id));
        if !all().any(|it| it.role == PadRole::Ground) {
            supplies.extend(all().find_map(|it| supply(airframe, it)));
        }
    }
    let distinct: BTreeSet<&Supply> = supplies.iter().collect();
    if distinct.len() < supplies.len() {
        // A pad for the pack that is wired to something else; the card is of no use before that is mended.
        let told = |fault: &Fault| matches!(fault, Fault::WrongPads { .. });
        assert!(plan.faults.iter().any(told), "{supplies:?}");
        return;
    }
    let mut pairs = BTreeSet::new();
    for line in in_round(Round::Rails) {
        assert_ne!(line.from, line.to, "a supply against itself");
        let pair = if line.from < line.to {
            (&line.from, &line.to)
        } else {
            (&line.to, &line.from)
        };
        assert!(pairs.insert(pair), "{pair:?} twice");
        assert_eq!(line.limit, Limit::Open);
    }
    let wanted = supplies.len() * supplies.len().saturating_sub(1) / 2;
    assert_eq!(pairs.len(), wanted, "{supplies:?} {pairs:?}");
}
