//! Plans of the demo benches and of random ones against a second look, and what the iron makes of two of them.

mod cases;
mod dice;
mod joined;
mod look;
mod signals;

use craft::Bench;
use craft::airframe::Airframe;
use craft::pads::PadRole;
use joined::Joined;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use wiring::allot::{Relief, Unfit, fit};
use wiring::moves::{Stands, moves};
use wiring::{Carries, Fault, Plan};

const DEMOS: [&str; 4] = ["loft-75", "hedge-3", "hull-85", "reed-gps"];

fn demo(name: &str) -> Bench {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../benches")
        .join(name);
    let files = store::disk::read_folder(&folder).expect("the demo is there");
    store::text::read(files).0
}

/// The first craft before and after its refit, with their plans.
fn states(bench: &Bench) -> [(Airframe, Plan); 2] {
    let craft = bench.craft.first().expect("a craft");
    let refit = bench.refits.first().expect("a refit");
    let (before, after) = (Airframe::before(craft), Airframe::after(craft, refit));
    let old = Plan::of(&before, None);
    let new = Plan::of(&after, Some(&old));
    [(before, old), (after, new)]
}

/// The labels of a wire's two ends.
fn ends(plan: &Plan, wire: usize) -> [String; 2] {
    plan.wires[wire].ends.map(|end| plan.terminals.label(end))
}

/// How often each pair of ends is joined by a wire.
fn tally(list: impl IntoIterator<Item = [String; 2]>) -> HashMap<[String; 2], i64> {
    let mut tally = HashMap::new();
    for ends in list {
        *tally.entry(ends).or_insert(0) += 1;
    }
    tally
}

/// Taking off and putting on what the moves say turns one list of wires into the other.
fn moves_lead_over(before: &Plan, after: &Plan) {
    let all = |plan: &Plan| {
        (0..plan.wires.len())
            .map(|wire| ends(plan, wire))
            .collect::<Vec<_>>()
    };
    let mut list = tally(all(before));
    for it in moves(before, after) {
        if let Some(old) = it.old {
            *list.entry(ends(before, old)).or_insert(0) -= 1;
        }
        if let Some(new) = it.new {
            *list.entry(ends(after, new)).or_insert(0) += 1;
        }
    }
    assert!(
        list.values().all(|&count| count >= 0),
        "what comes off was there"
    );
    list.retain(|_, count| *count > 0);
    assert_eq!(list, tally(all(after)));
}

/// What was soldered before and stays on the craft is touched only where its signal goes to another port.
fn what_stays_is_left_alone(before: &Plan, after: &Plan) {
    let port = |plan: &Plan, name: &str| {
        let need = plan.signals.needs.iter().position(|it| it.name == name)?;
        Some(plan.signals.ports[plan.signals.port_of(need)?].name.clone())
    };
    let goes_elsewhere = |name: &str| port(before, name) != port(after, name);
    for it in moves(before, after) {
        let Some(old) = it.old.map(|old| &before.wires[old]) else {
            continue;
        };
        let device = before.terminals.get(old.ends[0]);
        let ends = old.ends.map(|end| before.terminals.part_name(end));
        let stays = |name: &String| {
            after
                .terminals
                .ids()
                .any(|id| after.terminals.part_name(id) == *name)
        };
        let signals = before
            .signals
            .needs
            .iter()
            .filter(|need| need.part == device.part);
        let mut signals = signals.map(|need| need.name.as_str());
        let has_reason = match old.carries {
            Carries::Signal(need) => goes_elsewhere(&before.signals.needs[need].name),
            Carries::Ground => signals.any(goes_elsewhere),
            Carries::Plus(..) | Carries::Other => false,
        };
        assert!(has_reason || !ends.iter().all(stays), "{ends:?} {it:?}");
    }
}

#[test]
fn checked_the_demos_hold_against_a_second_look() {
    for name in DEMOS {
        let [(before, old), (after, new)] = states(&demo(name));
        look::check(&before, &old);
        look::check(&after, &new);
        moves_lead_over(&old, &new);
        what_stays_is_left_alone(&old, &new);
    }
}

#[test]
fn checked_the_demos_are_wired_without_a_fault() {
    for name in DEMOS {
        for (_, plan) in states(&demo(name)) {
            assert_eq!(plan.faults, Vec::new(), "{name}");
        }
    }
}

#[test]
fn checked_the_grounds_of_the_demos_and_nothing_else_come_back_to_the_pack() {
    for name in DEMOS {
        for (airframe, plan) in states(&demo(name)) {
            let joined = Joined::of(&airframe, &plan);
            let minus = plan.terminals.ids().find(|&id| {
                let it = plan.terminals.get(id);
                Some(it.part) == plan.battery && it.role == PadRole::Ground
            });
            let minus = minus.expect("the battery has a minus");
            for end in plan.wires.iter().flat_map(|wire| wire.ends) {
                let is_ground = plan.terminals.get(end).role == PadRole::Ground;
                let label = plan.terminals.label(end);
                assert_eq!(joined.same(minus, end), is_ground, "{name}: {label}");
            }
        }
    }
}

/// Receiver and camera wires stay on their pads when a new device comes: nothing is moved on any demo, and a refit that
/// changes nothing has no moves.
#[test]
fn checked_what_stays_on_the_demos_keeps_its_pads() {
    for name in DEMOS {
        let [(before, old), (_, new)] = states(&demo(name));
        let moved = moves(&old, &new)
            .into_iter()
            .filter(|it| it.stands == Stands::Moved);
        assert_eq!(moved.count(), 0, "{name}");
        let again = Plan::of(&before, Some(&old));
        assert_eq!(moves(&old, &again), Vec::new(), "{name}");
    }
}

/// Trade case K7, common practice: on a board of two pairs that a serial receiver and a digital unit have, a GPS
/// finds none, and soft serial is no way out: it carries 19 200 bit/s and the GPS talks at 57 600 bit/s.
#[test]
fn validated_k7_two_pairs_do_not_serve_three() {
    let [(_, old), (_, new)] = states(&demo("reed-gps"));
    assert_eq!(
        old.signals.conflict, None,
        "before the refit all have a port"
    );
    let signals = &new.signals;
    let at = |name: &str| {
        signals
            .needs
            .iter()
            .position(|need| need.name == name)
            .expect("a signal")
    };
    let mut three = ["receiver.data", "digital.overlay", "gps.data"].map(at);
    three.sort_unstable();
    let conflict = signals.conflict.as_ref().expect("three on two pairs");
    assert_eq!(conflict.together, three);
    // Any of the three left out is a way out; soft serial for the GPS is none, and nothing on this board can be freed.
    let left_out: Vec<usize> = conflict
        .reliefs
        .iter()
        .map(|relief| match relief {
            Relief::LeaveOut(need) => *need,
            other => panic!("no way out: {other:?}"),
        })
        .collect();
    assert_eq!(left_out, three);
    let gps = &signals.question.needs[at("gps.data")];
    assert_eq!(gps.baud, Some(57_600.0));
    let soft: Vec<_> = signals
        .question
        .ports
        .iter()
        .filter(|port| port.soft)
        .collect();
    assert!(!soft.is_empty(), "the board has a soft port");
    for port in soft {
        let reasons = fit(port, gps).expect_err("57 600 is more than 19 200");
        assert!(reasons.contains(&Unfit::SoftTooFast { needs: 57_600.0 }));
    }
    assert_eq!(
        signals.port_of(at("gps.data")),
        None,
        "what is soldered stays"
    );
}

/// A second look at easy benches sees nothing: the random ones have faults of every kind, conflicts, and wires that move.
#[test]
fn checked_the_random_benches_are_hard_enough() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut seen = BTreeMap::new();
    for _ in 0..500 {
        let tree = dice::benches().new_tree(&mut runner).expect("a bench");
        let (bench, _) = store::text::read(tree.current().0);
        let [(_, old), (_, new)] = states(&bench);
        let mut count = |what: &'static str, times: usize| *seen.entry(what).or_insert(0) += times;
        count("wires", new.wires.len());
        count("conflicts", usize::from(new.signals.conflict.is_some()));
        count("allotted", new.signals.choices.iter().flatten().count());
        count(
            "told ports",
            new.signals
                .needs
                .iter()
                .filter(|need| need.said.is_some())
                .count(),
        );
        let moves = moves(&old, &new);
        let how = |stands: Stands| moves.iter().filter(|it| it.stands == stands).count();
        count("taken off", how(Stands::Removed));
        count("put on", how(Stands::New));
        for fault in &new.faults {
            count(word(fault), 1);
        }
    }
    let few: Vec<_> = seen.iter().filter(|(_, times)| **times < 3).collect();
    assert_eq!(few, Vec::new(), "of {seen:?}");
    assert_eq!(seen.len(), 17, "{seen:?}");
}

fn word(fault: &Fault) -> &'static str {
    match fault {
        Fault::NoGround { .. } => "no ground",
        Fault::NoPad { .. } => "no pad",
        Fault::Swapped { .. } => "swapped",
        Fault::WrongPads { .. } => "wrong pads",
        Fault::SuppliesJoined { .. } => "supplies joined",
        Fault::SupplyToGround { .. } => "supply to ground",
        Fault::FedTwice { .. } => "fed twice",
        Fault::TooManyVolts { .. } => "too many volts",
        Fault::Adrift { .. } => "adrift",
        Fault::TwoSenders { .. } => "two senders",
        Fault::OtherFeed { .. } => "other feed",
        Fault::UnfedRail { .. } => "unfed rail",
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, ..ProptestConfig::default() })]

    #[test]
    fn checked_random_benches_hold_against_a_second_look(files in dice::benches()) {
        let (bench, _) = store::text::read(files.0);
        let [(before, old), (after, new)] = states(&bench);
        look::check(&before, &old);
        look::check(&after, &new);
        moves_lead_over(&old, &new);
        what_stays_is_left_alone(&old, &new);
        prop_assert_eq!(moves(&old, &Plan::of(&before, Some(&old))), Vec::new());
    }
}
