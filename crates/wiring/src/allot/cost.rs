//! What an allotment costs: eight counts, and the first that differs decides.

use super::fit::{Need, NeedDuplex, Port, PortDuplex, unstated};

/// What is bad about an allotment, worst first. Two allotments compare field by field, so no
/// number of lesser evils ever outweighs one greater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Cost {
    /// Needs left out that might be.
    pub left_out: u32,
    /// Wires soldered today that must move.
    pub moved: u32,
    /// Needs on soft ports.
    pub soft: u32,
    /// Devices that talk unasked on a boot loader's port.
    pub loader: u32,
    /// Other functions of the boards that are lost. A bus loses its own once.
    pub displaced: u32,
    /// Hardware pairs spent on needs that use one pad of them.
    pub pairs: u32,
    /// Capabilities taken on trust.
    pub unstated: u32,
    /// Sum of the ports' numbers: low ports first.
    pub order: u32,
}

impl Cost {
    /// Both together.
    pub(super) fn plus(self, other: Cost) -> Cost {
        Cost {
            left_out: self.left_out.saturating_add(other.left_out),
            moved: self.moved.saturating_add(other.moved),
            soft: self.soft.saturating_add(other.soft),
            loader: self.loader.saturating_add(other.loader),
            displaced: self.displaced.saturating_add(other.displaced),
            pairs: self.pairs.saturating_add(other.pairs),
            unstated: self.unstated.saturating_add(other.unstated),
            order: self.order.saturating_add(other.order),
        }
    }
}

/// The cost of leaving a need out.
pub(super) const LEFT_OUT: Cost = Cost {
    left_out: 1,
    moved: 0,
    soft: 0,
    loader: 0,
    displaced: 0,
    pairs: 0,
    unstated: 0,
    order: 0,
};

/// The cost of serving a need by a port that nothing else uses yet.
pub(super) fn of_pairing(need: &Need, index: usize, port: &Port) -> Cost {
    let pair = port.duplex == PortDuplex::Full && !port.soft && !port.many;
    Cost {
        left_out: 0,
        moved: need.today.is_some_and(|today| today != index).into(),
        soft: port.soft.into(),
        loader: (port.loader && need.chatty).into(),
        displaced: port.gives_up,
        pairs: (pair && need.duplex != NeedDuplex::Full).into(),
        unstated: unstated(port, need),
        order: u32::try_from(index).unwrap_or(u32::MAX),
    }
}
