//! Single changes that make everything fit.

use super::fit::{Kind, NeedDuplex, Port, PortDuplex, PortInversion, SOFT_LIMIT, fit};
use super::room::Rooms;
use super::table::Table;
use super::{Question, Unanswerable};

/// One change to a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Relief {
    /// Do without this need.
    LeaveOut(usize),
    /// Run this device over one wire; only offered where one wire will do.
    OneWireWillDo(usize),
    /// Give up what has this port on the board.
    FreePort(usize),
    /// Make one more soft port for this need, if the board has a pad and a timer to spare: that
    /// is not known here.
    SoftPort {
        /// Which need it serves.
        need: usize,
        /// Which board it is on.
        board: usize,
    },
    /// Do not insist on the port the owner fixed for this need.
    Unfix(usize),
}

/// Every single change that makes everything fit, in the order of [`Relief`].
pub(super) fn all(question: &Question) -> Result<Vec<Relief>, Unanswerable> {
    let mut cures = Vec::new();
    for relief in candidates(question) {
        let table = table_after(question, relief)?;
        if Rooms::of(&table).room(table.required())? {
            cures.push(relief);
        }
    }
    Ok(cures)
}

/// The changes worth asking about, cure or not.
fn candidates(question: &Question) -> Vec<Relief> {
    let needs = || {
        question
            .needs
            .iter()
            .enumerate()
            .filter(|(_, need)| !need.may_be_left_out)
    };
    let ports = question.ports.iter().enumerate();
    let boards = soft_capable_boards(question);
    let leave_out = needs().map(|(at, _)| Relief::LeaveOut(at));
    let one_wire = needs()
        .filter(|(_, need)| need.one_wire_will_do && need.duplex == NeedDuplex::Full)
        .map(|(at, _)| Relief::OneWireWillDo(at));
    let free = ports
        .filter(|(_, port)| port.taken)
        .map(|(at, _)| Relief::FreePort(at));
    let soft = needs()
        .filter(|(_, need)| need.fixed.is_none() && fit(&BEST_SOFT_PORT, need).is_ok())
        .flat_map(|(need, asked)| {
            let others = boards
                .iter()
                .filter(|board| asked.own_board != Some(**board));
            others.map(move |&board| Relief::SoftPort { need, board })
        });
    let unfix = needs()
        .filter(|(_, need)| need.fixed.is_some())
        .map(|(at, _)| Relief::Unfix(at));
    leave_out
        .chain(one_wire)
        .chain(free)
        .chain(soft)
        .chain(unfix)
        .collect()
}

/// All that soft serial can do.
const BEST_SOFT_PORT: Port = Port {
    kind: Kind::Serial,
    duplex: PortDuplex::Full,
    one_wire: true,
    inversion: PortInversion::Switchable,
    highest_baud: Some(SOFT_LIMIT),
    tolerates_v: None,
    drives_v: None,
    soft: true,
    // On no board yet, so no device's own.
    board: usize::MAX,
    many: false,
    taken: false,
    loader: false,
    gives_up: 0,
};

fn soft_capable_boards(question: &Question) -> Vec<usize> {
    let serial = question
        .ports
        .iter()
        .filter(|port| port.kind == Kind::Serial);
    let mut boards: Vec<usize> = serial.map(|port| port.board).collect();
    boards.sort_unstable();
    boards.dedup();
    boards
}

fn table_after(question: &Question, relief: Relief) -> Result<Table, Unanswerable> {
    let mut changed = question.clone();
    match relief {
        Relief::LeaveOut(need) => changed.needs[need].may_be_left_out = true,
        Relief::OneWireWillDo(need) => changed.needs[need].duplex = NeedDuplex::OneWire,
        Relief::FreePort(port) => changed.ports[port].taken = false,
        Relief::Unfix(need) => changed.needs[need].fixed = None,
        Relief::SoftPort { need, board } => {
            let mut table = Table::of(question)?;
            table.make_soft_port(need, board);
            return Ok(table);
        }
    }
    Table::of(&changed)
}
