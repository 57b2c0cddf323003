//! How long it takes to put a plan on paper.

use diagram::{Block, End, Ink, Pad, Page, Plan, Side, State, Wire, arrange};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

/// A flight board of 26 mm with pads all round and devices of four pads each, forty wires.
fn forty_wires() -> Plan {
    let mut pads = Vec::new();
    for nth in 0..10 {
        let along = 9.0 - 2.0 * f64::from(nth);
        pads.extend([(-12.0, along), (12.0, along), (along, 12.0), (along, -12.0)].map(pad));
    }
    let board = Block {
        name: "board".to_string(),
        note: "flight board".to_string(),
        outline_mm: Some((26.0, 26.0)),
        pads,
        state: State::Kept,
    };
    let mut plan = Plan {
        blocks: vec![board],
        wires: Vec::new(),
    };
    // Pads of one edge are every fourth: a device's wires go to neighbours.
    for device in 0..10 {
        let (edge, first) = (device % 4, device / 4 * 4);
        plan.blocks.push(Block {
            name: format!("device {device}"),
            note: String::new(),
            outline_mm: None,
            pads: (0..4).map(|nth| unplaced(&format!("P{nth}"))).collect(),
            state: State::New,
        });
        for nth in 0..4 {
            let far = edge + 4 * ((first + nth) % 10);
            let label = (plan.wires.len() + 1).to_string();
            plan.wires.push(wire(device + 1, nth, far, label));
        }
    }
    plan
}

fn wire(device: usize, pad: usize, far: usize, label: String) -> Wire {
    let ends = [(device, pad), (0, far)];
    Wire {
        ends: ends.map(|(block, pad)| End { block, pad }),
        label,
        ink: Ink::ALL[far % 10],
        state: State::New,
        pair: None,
    }
}

fn pad(at: (f64, f64)) -> Pad {
    Pad {
        at_mm: Some(at),
        ..unplaced("T1")
    }
}

fn unplaced(label: &str) -> Pad {
    Pad {
        label: label.to_string(),
        at_mm: None,
        side: Side::Top,
    }
}

#[divan::bench]
fn arrange_forty_wires(bencher: Bencher) {
    let plan = forty_wires();
    assert!(arrange(&plan, Page::default()).is_clean());
    bencher.bench(|| arrange(black_box(&plan), Page::default()));
}
