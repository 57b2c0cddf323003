//! Plans to try: random ones as builders have them, wild ones that nobody has, and a named one.

use diagram::{Block, End, Ink, Pad, Plan, Side, State, Wire};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;

/// One to three boards with pads on a lattice of 1.5 mm, two to twelve devices, up to forty wires
/// between any of them.
pub fn random() -> impl Strategy<Value = Plan> {
    let boards = vec(board(), 1..=3);
    let devices = vec(device(), 2..=12);
    let wires = vec((any::<[Index; 4]>(), 0..10usize, state()), 0..=40);
    (boards, devices, wires).prop_map(|(boards, devices, ends)| {
        let blocks: Vec<Block> = boards.into_iter().chain(devices).collect();
        let mut plan = Plan {
            blocks,
            wires: Vec::new(),
        };
        for ([one, pad, other, pad2], ink, state) in ends {
            let end = |block: Index, pad: Index| {
                let block = block.index(plan.blocks.len());
                let pad = pad.index(plan.blocks[block].pads.len());
                End { block, pad }
            };
            let ends = [end(one, pad), end(other, pad2)];
            // Three wires are all that anybody solders to one pad.
            let full = |end: &End| {
                let at = plan.wires.iter().filter(|wire| wire.ends.contains(end));
                at.count() >= 3
            };
            if ends[0] != ends[1] && !ends.iter().any(full) {
                let label = (plan.wires.len() + 1).to_string();
                plan.wires.push(wire(ends, &label, Ink::ALL[ink], state));
            }
        }
        plan
    })
}

/// Anything that the types allow.
pub fn wild() -> impl Strategy<Value = Plan> {
    let number = prop_oneof![
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(-1e300),
        Just(0.0),
        -20.0..20.0f64
    ];
    let at = proptest::option::of((number.clone(), number.clone()));
    let label = prop_oneof![
        Just(String::new()),
        Just("\u{0}<&>".to_string()),
        "[A-Z0-9Ωß ]{0,30}"
    ];
    let side = prop_oneof![Just(Side::Top), Just(Side::Bottom)];
    let pad = (label.clone(), at.clone(), side).prop_map(|(label, at_mm, side)| Pad {
        label,
        at_mm,
        side,
    });
    let block = (label.clone(), label, at, vec(pad, 0..12), state()).prop_map(
        |(name, note, outline_mm, pads, state)| Block {
            name,
            note,
            outline_mm,
            pads,
            state,
        },
    );
    let end = (0..7usize, 0..13usize).prop_map(|(block, pad)| End { block, pad });
    let wires = vec(([end.clone(), end], state()), 0..30);
    (vec(block, 0..6), wires).prop_map(|(blocks, wires)| Plan {
        blocks,
        wires: wires
            .into_iter()
            .map(|(ends, state)| wire(ends, "7", Ink::Red, state))
            .collect(),
    })
}

/// A flight board of 26 mm with its motors, video, receiver, position receiver and battery lead.
pub fn flight_board() -> Plan {
    let left = [
        "M1A", "M1B", "M1C", "T1", "R1", "5V", "GND", "M3A", "M3B", "M3C",
    ];
    let right = [
        "M2A", "M2B", "M2C", "T2", "R2", "4V5", "G2", "M4A", "M4B", "M4C",
    ];
    let upper = ["LED", "BZ-", "BZ+", "SDA", "SCL"];
    let mut pads = Vec::new();
    for (labels, x) in [(left, -12.0), (right, 12.0)] {
        let at = |nth: usize| Some((x, 9.0 - 2.0 * nth as f64));
        pads.extend((0..10).map(|nth| pad(labels[nth], at(nth))));
    }
    pads.extend((0..5).map(|nth| pad(upper[nth], Some((-5.0 + 2.5 * nth as f64, 12.0)))));
    pads.extend([
        pad("BAT+", Some((-3.0, -12.0))),
        pad("BAT-", Some((3.0, -12.0))),
    ]);
    let mut board = block("board", "flight board", pads);
    board.outline_mm = Some((26.0, 26.0));
    let plug = |name: &str, note: &str, labels: &[&str]| {
        block(
            name,
            note,
            labels.iter().map(|label| pad(label, None)).collect(),
        )
    };
    let mut blocks = vec![board];
    blocks.extend((1..=4).map(|nth| plug(&format!("motor {nth}"), "", &["A", "B", "C"])));
    blocks.push(plug(
        "video",
        "digital video unit",
        &["BAT", "GND", "TX", "RX", "SBUS", "GND"],
    ));
    blocks.push(plug("receiver", "", &["GND", "5V", "TX", "RX"]));
    blocks.push(plug(
        "gps",
        "with compass",
        &["GND", "5V", "TX", "RX", "SDA", "SCL"],
    ));
    blocks.push(plug("battery lead", "two cells", &["+", "-"]));
    // Block, pad, pad of the board.
    let motors = [0, 10, 7, 17];
    let mut ends: Vec<(usize, usize, usize)> = Vec::new();
    for (motor, first) in motors.into_iter().enumerate() {
        ends.extend((0..3).map(|nth| (motor + 1, nth, first + nth)));
    }
    ends.extend([(5, 0, 25), (5, 1, 26), (5, 2, 14), (5, 3, 13)]);
    ends.extend([(6, 0, 6), (6, 1, 5), (6, 2, 4), (6, 3, 3)]);
    ends.extend([
        (7, 0, 16),
        (7, 1, 15),
        (7, 4, 23),
        (7, 5, 24),
        (8, 0, 25),
        (8, 1, 26),
    ]);
    let wires = ends.iter().enumerate().map(|(nth, &(block, pad, far))| {
        let ends = [End { block, pad }, End { block: 0, pad: far }];
        wire(ends, &(nth + 1).to_string(), Ink::ALL[nth % 10], State::New)
    });
    Plan {
        wires: wires.collect(),
        blocks,
    }
}

fn board() -> impl Strategy<Value = Block> {
    let lattice = proptest::sample::subsequence((0..225usize).collect::<Vec<_>>(), 4..30);
    (lattice, state()).prop_map(|(places, state)| {
        let place = |nth: usize| {
            let (column, row) = (nth % 15, nth / 15);
            Some((1.5 * column as f64 - 10.5, 1.5 * row as f64 - 10.5))
        };
        let pads = places.into_iter().map(|nth| Pad {
            side: if nth % 7 == 0 {
                Side::Bottom
            } else {
                Side::Top
            },
            ..pad(&format!("P{nth}"), place(nth))
        });
        let mut board = block("board", "with pads anywhere", pads.collect());
        (board.outline_mm, board.state) = (Some((24.0, 24.0)), state);
        board
    })
}

fn device() -> impl Strategy<Value = Block> {
    (1..=6usize, "[a-z]{3,10}", state()).prop_map(|(pads, name, state)| {
        let pads = (0..pads).map(|nth| pad(["GND", "5V", "TX", "RX", "SDA", "SCL"][nth], None));
        Block {
            state,
            ..block(&name, "", pads.collect())
        }
    })
}

fn state() -> impl Strategy<Value = State> {
    prop_oneof![Just(State::Kept), Just(State::New), Just(State::Removed)]
}

fn wire(ends: [End; 2], label: &str, ink: Ink, state: State) -> Wire {
    Wire {
        ends,
        label: label.to_string(),
        ink,
        state,
        pair: None,
    }
}

fn block(name: &str, note: &str, pads: Vec<Pad>) -> Block {
    Block {
        name: name.to_string(),
        note: note.to_string(),
        outline_mm: None,
        pads,
        state: State::Kept,
    }
}

fn pad(label: &str, at_mm: Option<(f64, f64)>) -> Pad {
    Pad {
        label: label.to_string(),
        at_mm,
        side: Side::Top,
    }
}
