//! Which need goes to which port, at the least cost and exactly; if not all fit, which needs are
//! in one another's way and what single change would cure it.
//!
//! Plain data in, plain data out: it knows ports and needs by their place in the question, and no
//! craft. A port serves one need unless it is a bus, whole: a device that only sends and one that
//! only receives do not share the two pads of a pair.
//!
//! ```
//! use wiring::allot::*;
//!
//! let pair = Port {
//!     kind: Kind::Serial,
//!     duplex: PortDuplex::Full,
//!     one_wire: true,
//!     inversion: PortInversion::Plain,
//!     highest_baud: Some(1e6),
//!     tolerates_v: Some(5.0),
//!     drives_v: Some(3.3),
//!     soft: false,
//!     board: 0,
//!     many: false,
//!     taken: false,
//!     loader: false,
//!     gives_up: 0,
//! };
//! let receiver = Need {
//!     kind: Kind::Serial,
//!     duplex: NeedDuplex::Full,
//!     baud: Some(420_000.0),
//!     inversion: NeedInversion::Plain,
//!     level_v: Some(3.3),
//!     needs_high_v: None,
//!     one_wire_will_do: false,
//!     chatty: true,
//!     fixed: None,
//!     today: None,
//!     may_be_left_out: false,
//!     own_board: None,
//! };
//! // The boot loader listens on the first pair, so the receiver goes to the second.
//! let ports = vec![Port { loader: true, ..pair }, pair];
//! let question = Question { ports, needs: vec![receiver], apart: vec![] };
//! let Answer::Allotted { choices, .. } = allot(&question)? else { unreachable!() };
//! let choice = choices[0].as_ref().unwrap();
//! assert_eq!((choice.port, choice.reason), (1, Reason::KeepsOffLoader));
//! # Ok::<(), Unanswerable>(())
//! ```

mod conflict;
mod cost;
mod fit;
mod layers;
mod relief;
mod room;
mod table;
#[cfg(test)]
mod tests;

pub use cost::Cost;
pub use fit::{
    Kind, Need, NeedDuplex, NeedInversion, Port, PortDuplex, PortInversion, SOFT_LIMIT, Unfit, fit,
};
pub use relief::Relief;
pub use table::{MOST_NEEDS, MOST_PORTS, MOST_SOFT_BOARDS};

use layers::Cheapest;
use table::{Table, bits};

/// What is to be allotted. Needs and ports go by their places in these lists.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Question {
    /// Every port of every board.
    pub ports: Vec<Port>,
    /// Every need of every device.
    pub needs: Vec<Need>,
    /// Pairs of ports of which one at most may be used: they share pads or timers.
    pub apart: Vec<(usize, usize)>,
}

/// What came out.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// Every need that must be met is met, at the least cost.
    Allotted {
        /// By need; none if it is left out.
        choices: Vec<Option<Choice>>,
        /// What is bad about it in all.
        cost: Cost,
    },
    /// Not every need can be met.
    Impossible {
        /// The smallest set of needs that cannot be met together: fewest first, then lowest.
        together: Vec<usize>,
        /// Every single change that makes everything fit; none if it takes two.
        reliefs: Vec<Relief>,
    },
}

/// Where a need goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Its port.
    pub port: usize,
    /// What decided against the best allotment with this need elsewhere.
    pub reason: Reason,
    /// Every other port and why the need is not there, lowest first. Ports of another kind are not
    /// listed.
    pub others: Vec<(usize, Passed)>,
}

/// What decides for a port.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reason {
    /// The owner fixed it.
    TheOwnerSaysSo,
    /// No other port fits this need.
    OnlyOneThatFits,
    /// With this need anywhere else, some need has no port.
    OnlyRoomForAll,
    /// Fewer needs are left out in all.
    LeavesFewerOut,
    /// It is there today.
    StaysWhereItIs,
    /// Fewer of the other wires move.
    LetsOthersStay,
    /// Fewer needs are on soft ports.
    KeepsOffSoft,
    /// Fewer devices talk into the boot loader.
    KeepsOffLoader,
    /// Fewer other functions are lost.
    GivesUpLess,
    /// A full pair stays free.
    KeepsPairsFree,
    /// Less is taken on trust.
    StatedToFit,
    /// All else is equal, and lower ports go first.
    LowestNumber,
    /// Nothing at all: another allotment is as good.
    NoDifference,
}

/// Why a need is not on a port.
#[derive(Debug, Clone, PartialEq)]
pub enum Passed {
    /// The port cannot serve it.
    Unfit(Vec<Unfit>),
    /// The owner fixed another port.
    TheOwnerSaysOther,
    /// It is apart from this port, which something on the board has.
    ApartFromTaken(usize),
    /// With this need there, some need has no port.
    NoRoom,
    /// The whole would be worse, and in this first.
    Worse(Reason),
}

/// Why there is no answer. Not about the craft: the question is malformed or too big.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Unanswerable {
    /// More than [`MOST_PORTS`].
    #[error("{0} ports to allot; {MOST_PORTS} are the most")]
    TooManyPorts(usize),
    /// More than [`MOST_NEEDS`].
    #[error("{0} needs to allot; {MOST_NEEDS} are the most")]
    TooManyNeeds(usize),
    /// More than [`MOST_SOFT_BOARDS`].
    #[error("soft ports on {0} boards; {MOST_SOFT_BOARDS} are the most")]
    TooManySoftBoards(usize),
    /// A need or a pair names a port that is not there.
    #[error("port {0} is named but not there")]
    NoSuchPort(usize),
    /// More ways to try than memory is worth.
    #[error("too many ways to allot the needs; fix some of them to a port")]
    TooManyWays,
}

/// Finds the best allotment, or says what is in the way.
pub fn allot(question: &Question) -> Result<Answer, Unanswerable> {
    let table = Table::of(question)?;
    if let Some(set) = conflict::smallest(&table, table.required())? {
        return Ok(Answer::Impossible {
            together: bits(set).collect(),
            reliefs: relief::all(question)?,
        });
    }
    let cheapest = layers::cheapest(&table, question.ports.len())?;
    // There is room, so there is a cheapest way.
    let cheapest = cheapest.ok_or(Unanswerable::TooManyWays)?;
    let choices = cheapest.choices.iter().enumerate();
    let choices = choices.map(|(need, port)| {
        let port = (*port)?;
        Some(Choice {
            port,
            reason: reason(question, &cheapest, need, port),
            others: others(question, &cheapest, need, port),
        })
    });
    Ok(Answer::Allotted {
        choices: choices.collect(),
        cost: cheapest.cost,
    })
}

fn reason(question: &Question, cheapest: &Cheapest, need: usize, port: usize) -> Reason {
    let asked = &question.needs[need];
    if asked.fixed.is_some() {
        return Reason::TheOwnerSaysSo;
    }
    let fits = question
        .ports
        .iter()
        .filter(|port| fit(port, asked).is_ok());
    if fits.count() == 1 {
        return Reason::OnlyOneThatFits;
    }
    let ways = cheapest.with[need].iter().enumerate();
    let runner_up = ways
        .filter(|(other, _)| *other != port)
        .filter_map(|(_, cost)| *cost)
        .min();
    match runner_up {
        None => Reason::OnlyRoomForAll,
        Some(cost) => difference(asked, port, &cheapest.cost, &cost),
    }
}

fn others(
    question: &Question,
    cheapest: &Cheapest,
    need: usize,
    port: usize,
) -> Vec<(usize, Passed)> {
    let asked = &question.needs[need];
    let passed = |other: usize| match (
        fit(&question.ports[other], asked),
        cheapest.with[need][other],
    ) {
        (Err(reasons), _) => Passed::Unfit(reasons),
        (_, Some(cost)) => Passed::Worse(difference(asked, port, &cheapest.cost, &cost)),
        _ if asked.fixed.is_some() => Passed::TheOwnerSaysOther,
        _ => apart_from_taken(question, other).map_or(Passed::NoRoom, Passed::ApartFromTaken),
    };
    let ports = 0..question.ports.len();
    let same_kind = ports.filter(|&other| question.ports[other].kind == asked.kind);
    same_kind
        .filter(|&other| other != port)
        .map(|other| (other, passed(other)))
        .collect()
}

fn apart_from_taken(question: &Question, port: usize) -> Option<usize> {
    let both = question
        .apart
        .iter()
        .flat_map(|&(one, other)| [(one, other), (other, one)]);
    let sharers = both.filter(|&(one, other)| one == port && other != port);
    let taken = sharers.filter(|&(_, other)| question.ports[other].taken);
    taken.map(|(_, other)| other).min()
}

/// The first evil in which the best is better.
fn difference(need: &Need, port: usize, best: &Cost, other: &Cost) -> Reason {
    let moved = if need.today == Some(port) {
        Reason::StaysWhereItIs
    } else {
        Reason::LetsOthersStay
    };
    let counts = [
        (best.left_out != other.left_out, Reason::LeavesFewerOut),
        (best.moved != other.moved, moved),
        (best.soft != other.soft, Reason::KeepsOffSoft),
        (best.loader != other.loader, Reason::KeepsOffLoader),
        (best.displaced != other.displaced, Reason::GivesUpLess),
        (best.pairs != other.pairs, Reason::KeepsPairsFree),
        (best.unstated != other.unstated, Reason::StatedToFit),
        (best.order != other.order, Reason::LowestNumber),
    ];
    let first = counts.iter().find(|(differs, _)| *differs);
    first.map_or(Reason::NoDifference, |(_, reason)| *reason)
}
