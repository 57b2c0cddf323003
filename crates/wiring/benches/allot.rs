//! How long it takes to allot twelve needs to twelve ports that share pads, or to say why not.

use divan::{Bencher, black_box};
use wiring::allot::{
    Kind, Need, NeedDuplex, NeedInversion, Port, PortDuplex, PortInversion, Question, allot,
};

fn main() {
    divan::main();
}

const SIZES: [usize; 2] = [12, 14];

/// As many ports as needs; pairs and wires of a usual mix.
fn question(size: usize) -> Question {
    let port = |at: usize| Port {
        kind: Kind::Serial,
        duplex: PortDuplex::Full,
        one_wire: !at.is_multiple_of(5),
        inversion: PortInversion::Switchable,
        highest_baud: (!at.is_multiple_of(4)).then_some(1e6),
        tolerates_v: Some(5.0),
        drives_v: Some(3.3),
        soft: at + 2 >= size,
        board: 0,
        many: false,
        taken: false,
        loader: at == 0,
        gives_up: u32::from(at % 3 == 1),
    };
    let need = |at: usize| Need {
        kind: Kind::Serial,
        duplex: if at.is_multiple_of(3) {
            NeedDuplex::OneWire
        } else {
            NeedDuplex::Full
        },
        baud: Some(if at.is_multiple_of(2) {
            9_600.0
        } else {
            115_200.0
        }),
        inversion: NeedInversion::Plain,
        level_v: Some(3.3),
        needs_high_v: None,
        one_wire_will_do: true,
        chatty: at.is_multiple_of(4),
        fixed: None,
        today: (at.is_multiple_of(5)).then_some(at),
        may_be_left_out: false,
        own_board: None,
    };
    Question {
        ports: (0..size).map(port).collect(),
        needs: (0..size).map(need).collect(),
        apart: vec![],
    }
}

/// Any need may go to any port, a quarter may be left out, loads of soft ports all differ: the worst
/// there is for its size.
#[divan::bench(args = SIZES)]
fn feasible_anywhere(bencher: Bencher, size: usize) {
    let mut question = question(size);
    question.apart = vec![(1, 2), (3, 4)];
    for port in &mut question.ports {
        port.one_wire = true;
    }
    for (at, need) in question.needs.iter_mut().enumerate() {
        need.duplex = NeedDuplex::OneWire;
        need.baud = Some(9_000.0 + 300.0 * at as f64);
        need.may_be_left_out = at.is_multiple_of(4);
    }
    bencher.bench(|| allot(black_box(&question)));
}

/// All of one kind, everything fits.
#[divan::bench(args = SIZES)]
fn feasible(bencher: Bencher, size: usize) {
    let question = question(size);
    bencher.bench(|| allot(black_box(&question)));
}

/// Two of the ports share pads with two others, and a quarter of the needs may be left out.
#[divan::bench(args = SIZES)]
fn feasible_sharing_optional(bencher: Bencher, size: usize) {
    let mut question = question(size);
    question.apart = vec![(1, 2), (3, 4)];
    for need in question.needs.iter_mut().step_by(4) {
        need.may_be_left_out = true;
    }
    bencher.bench(|| allot(black_box(&question)));
}

/// Two pairs of ports share pads: two needs too many.
#[divan::bench(args = SIZES)]
fn infeasible_sharing(bencher: Bencher, size: usize) {
    let mut question = question(size);
    question.apart = vec![(1, 2), (3, 4)];
    bencher.bench(|| allot(black_box(&question)));
}

/// A chain of ports each sharing with the next: half of them at most.
#[divan::bench(args = SIZES)]
fn infeasible_chain(bencher: Bencher, size: usize) {
    let mut question = question(size);
    question.apart = (1..size).map(|at| (at - 1, at)).collect();
    bencher.bench(|| allot(black_box(&question)));
}

/// The two soft ports together are too slow for what must go there: the limit decides.
#[divan::bench(args = SIZES)]
fn infeasible_soft_limit(bencher: Bencher, size: usize) {
    let mut question = question(size);
    for need in question
        .needs
        .iter_mut()
        .filter(|need| need.baud == Some(9_600.0))
    {
        need.baud = Some(14_400.0);
    }
    bencher.bench(|| allot(black_box(&question)));
}
