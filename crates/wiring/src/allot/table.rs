//! A question in the form the searches want it: ports as bits, who shuts whom as masks.

use super::cost::{self, Cost};
use super::fit::{Port, SOFT_LIMIT, fit};
use super::{Question, Unanswerable};

/// Ports a question may have: one bit each in a word.
pub const MOST_PORTS: usize = 64;
/// Needs a question may have.
pub const MOST_NEEDS: usize = 64;
/// Boards with soft ports a question may have.
pub const MOST_SOFT_BOARDS: usize = 8;

/// Bits of a state for the soft load of one board; `SOFT_LIMIT` fits.
const LANE_BITS: usize = 16;
const LANE: u128 = 0xffff;

/// A question, looked up once.
pub(super) struct Table {
    /// By need.
    pub rows: Vec<Row>,
    /// By port: the ports out of reach once it is used, itself included unless it is a bus.
    shuts: Vec<u64>,
    /// By port: where a state keeps the load of its board, if it is soft.
    lanes: Vec<Option<usize>>,
    /// The ports that take any number of needs.
    pub buses: u64,
    /// The other ports in groups of which one at most may be used: pairs kept apart, and larger
    /// groups where each is apart from each.
    pub slots: Vec<u64>,
    /// Buses that displace something: only the first need on them pays for it.
    paid_once: u64,
    /// Boards with soft ports, in the order of their lanes.
    soft_boards: Vec<usize>,
    /// Before any need is served.
    pub start: State,
}

/// What one need may have.
pub(super) struct Row {
    /// The ports that fit it alone and that the owner allows.
    pub ports: u64,
    /// By port: what serving it there costs. Nonsense where `ports` has no bit.
    pub costs: Vec<Cost>,
    /// Its share of a soft board's limit \[bit/s\], rounded up.
    load: u16,
    /// It may be left out.
    pub optional: bool,
}

/// All that matters of the needs served so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub(super) struct State {
    /// Ports out of reach.
    shut: u64,
    /// Buses whose displaced functions are paid for.
    paid: u64,
    /// Soft load by board \[bit/s\], side by side.
    loads: u128,
}

impl Table {
    /// Looks every pairing up. Fails if the question is too big or names a port that is not there.
    pub fn of(question: &Question) -> Result<Table, Unanswerable> {
        let soft_boards = soft_boards(question);
        within_limits(question, soft_boards.len())?;
        let lane = |board| soft_boards.iter().position(|&soft| soft == board);
        let ports = &question.ports;
        let lanes = ports
            .iter()
            .map(|port| lane(port.board).filter(|_| port.soft));
        let lanes = lanes.collect();
        let shuts = shuts(question);
        let ports_where =
            |keep: &dyn Fn(&Port) -> bool| mask((0..ports.len()).filter(|&at| keep(&ports[at])));
        let start = State {
            shut: bits(ports_where(&|port| port.taken)).fold(0, |shut, at| shut | shuts[at]),
            ..State::default()
        };
        Ok(Table {
            rows: (0..question.needs.len())
                .map(|at| row(question, at))
                .collect(),
            buses: ports_where(&|port| port.many),
            paid_once: ports_where(&|port| port.many && port.gives_up > 0),
            slots: slots(ports, &shuts),
            shuts,
            lanes,
            soft_boards,
            start,
        })
    }

    /// The needs that must be met.
    pub fn required(&self) -> u64 {
        mask((0..self.rows.len()).filter(|&at| !self.rows[at].optional))
    }

    /// The ports a need may still have.
    pub fn open(&self, state: &State, need: usize) -> u64 {
        let row = &self.rows[need];
        let full = |&port: &usize| match self.lanes[port] {
            Some(lane) => state.load(lane) + u32::from(row.load) > SOFT_LIMIT as u32,
            None => false,
        };
        let reach = row.ports & !state.shut;
        reach & !mask(bits(reach).filter(full))
    }

    /// The state after a need is served by one of its open ports.
    pub fn serve(&self, state: &State, need: usize, port: usize) -> State {
        let load = u128::from(self.rows[need].load);
        let lane = self.lanes[port].map_or(0, |lane| load << (lane * LANE_BITS));
        State {
            shut: state.shut | self.shuts[port],
            paid: state.paid | (self.paid_once & bit(port)),
            loads: state.loads + lane,
        }
    }

    /// What serving a need by a port adds to what this state has cost.
    pub fn cost(&self, state: &State, need: usize, port: usize) -> Cost {
        let mut cost = self.rows[need].costs[port];
        if state.paid & bit(port) != 0 {
            cost.displaced = 0;
        }
        cost
    }

    /// What of a state still matters when only these needs are left: states that differ in
    /// nothing else are one.
    pub fn relevant(&self, later: u64) -> Relevant {
        let ports = bits(later).fold(0, |ports, need| ports | self.rows[need].ports);
        let lanes = 0..self.soft_boards.len();
        Relevant {
            ports,
            paid: ports & self.paid_once,
            lanes: lanes
                .map(|lane| self.lane_left(lane, ports, later))
                .collect(),
        }
    }

    fn lane_left(&self, lane: usize, ports: u64, later: u64) -> LaneLeft {
        let ports = mask(bits(ports).filter(|&port| self.lanes[port] == Some(lane)));
        let rows = bits(later).map(|need| &self.rows[need]);
        let here = rows.filter(|row| row.ports & ports != 0);
        let mut loads: Vec<u32> = here.map(|row| row.load.into()).collect();
        loads.sort_unstable_by_key(|&load| std::cmp::Reverse(load));
        LaneLeft {
            ports,
            bus: ports & self.buses != 0,
            loads,
        }
    }

    /// One more soft port on this board, for this need alone: the need is served and its load
    /// counts. Asks for a need that soft serial can serve.
    pub fn make_soft_port(&mut self, need: usize, board: usize) {
        let row = &mut self.rows[need];
        row.optional = true;
        let lane = self.soft_boards.iter().position(|&soft| soft == board);
        self.start.loads += lane.map_or(0, |lane| u128::from(row.load) << (lane * LANE_BITS));
    }
}

/// What of a state the needs that are left can still notice.
pub(super) struct Relevant {
    ports: u64,
    paid: u64,
    lanes: Vec<LaneLeft>,
}

/// What the needs that are left may still put on the soft ports of one board.
struct LaneLeft {
    ports: u64,
    /// One of the ports takes any number of needs.
    bus: bool,
    /// The heaviest first \[bit/s\].
    loads: Vec<u32>,
}

impl LaneLeft {
    /// The most that may still come \[bit/s\].
    fn most(&self, shut: u64) -> u32 {
        let free = (self.ports & !shut).count_ones() as usize;
        let needs = if self.bus { self.loads.len() } else { free };
        self.loads.iter().take(needs).sum()
    }
}

impl State {
    /// This state with all but the relevant forgotten. A load goes too if the limit is out of reach
    /// whatever comes.
    pub fn only(&self, relevant: &Relevant) -> State {
        let mut loads = self.loads;
        for (lane, left) in relevant.lanes.iter().enumerate() {
            let load = self.load(lane);
            if load > 0 && load + left.most(self.shut) <= SOFT_LIMIT as u32 {
                loads &= !(LANE << (lane * LANE_BITS));
            }
        }
        State {
            shut: self.shut & relevant.ports,
            paid: self.paid & relevant.paid,
            loads,
        }
    }

    fn load(&self, lane: usize) -> u32 {
        ((self.loads >> (lane * LANE_BITS)) & LANE) as u32
    }
}

/// A set of one.
pub(super) fn bit(index: usize) -> u64 {
    1 << index
}

/// A set.
pub(super) fn mask(indices: impl Iterator<Item = usize>) -> u64 {
    indices.fold(0, |mask, index| mask | bit(index))
}

/// The members of a set, lowest first.
pub(super) fn bits(mask: u64) -> impl Iterator<Item = usize> {
    let mut left = mask;
    std::iter::from_fn(move || {
        let lowest = left.trailing_zeros() as usize;
        left &= left.wrapping_sub(1);
        (lowest < u64::BITS as usize).then_some(lowest)
    })
}

fn soft_boards(question: &Question) -> Vec<usize> {
    let soft = question.ports.iter().filter(|port| port.soft);
    let mut boards: Vec<usize> = soft.map(|port| port.board).collect();
    boards.sort_unstable();
    boards.dedup();
    boards
}

fn within_limits(question: &Question, soft_boards: usize) -> Result<(), Unanswerable> {
    let ports = question.ports.len();
    let needs = question.needs.len();
    if ports > MOST_PORTS {
        return Err(Unanswerable::TooManyPorts(ports));
    }
    if needs > MOST_NEEDS {
        return Err(Unanswerable::TooManyNeeds(needs));
    }
    if soft_boards > MOST_SOFT_BOARDS {
        return Err(Unanswerable::TooManySoftBoards(soft_boards));
    }
    let pairs = question.apart.iter().flat_map(|&(one, other)| [one, other]);
    let named = question
        .needs
        .iter()
        .flat_map(|need| [need.fixed, need.today]);
    match pairs.chain(named.flatten()).find(|&port| port >= ports) {
        Some(port) => Err(Unanswerable::NoSuchPort(port)),
        None => Ok(()),
    }
}

fn shuts(question: &Question) -> Vec<u64> {
    let own = |(at, port): (usize, &Port)| if port.many { 0 } else { bit(at) };
    let mut shuts: Vec<u64> = question.ports.iter().enumerate().map(own).collect();
    // A port apart from itself would be a port nobody can use twice; that it is already.
    for &(one, other) in question.apart.iter().filter(|(one, other)| one != other) {
        shuts[one] |= bit(other);
        shuts[other] |= bit(one);
    }
    shuts
}

/// Each port joins the first group it is apart from all of, lowest port first.
fn slots(ports: &[Port], shuts: &[u64]) -> Vec<u64> {
    let mut slots: Vec<u64> = Vec::new();
    for at in (0..ports.len()).filter(|&at| !ports[at].many) {
        match slots.iter_mut().find(|slot| **slot & !shuts[at] == 0) {
            Some(slot) => *slot |= bit(at),
            None => slots.push(bit(at)),
        }
    }
    slots
}

fn row(question: &Question, at: usize) -> Row {
    let need = &question.needs[at];
    let ports = question.ports.iter().enumerate();
    let allowed = ports.clone().filter(|&(index, port)| {
        need.fixed.is_none_or(|fixed| fixed == index) && fit(port, need).is_ok()
    });
    // The cast keeps what is no rate at all harmless: it ends at 0 or at the most a lane holds,
    // and `fit` keeps both from the soft ports where it would matter.
    let load = need.baud.map_or(0, |baud| baud.ceil() as u16);
    Row {
        ports: mask(allowed.map(|(index, _)| index)),
        costs: ports
            .map(|(index, port)| cost::of_pairing(need, index, port))
            .collect(),
        load,
        optional: need.may_be_left_out,
    }
}
