//! Which pads belong together, by their roles.

use super::{Carries, Plan};
use crate::allot::{NeedDuplex, PortDuplex};
use crate::terminal::{Terminal, TerminalId};
use craft::airframe::Colour;
use craft::pads::{PadRole, SignalKind};

/// Which roles a signal's wires join, device first; of each list the first role the sheet shows.
pub(super) fn role_pairs(
    kind: SignalKind,
    asked: NeedDuplex,
    offered: PortDuplex,
) -> Vec<(&'static [PadRole], &'static [PadRole])> {
    use PadRole::{Clock, Data, OneWire, Phase, SerialIn, SerialOut, SignalIn, SignalOut};
    match kind {
        SignalKind::TwoWireBus => vec![(&[Clock], &[Clock]), (&[Data], &[Data])],
        SignalKind::MotorPhases => vec![(&[Phase], &[Phase])],
        SignalKind::Serial => match asked {
            NeedDuplex::OneWire => vec![(&[OneWire, SerialOut, SerialIn], &[SerialOut, OneWire])],
            NeedDuplex::DeviceSends => vec![(&[SerialOut], &[SerialIn])],
            NeedDuplex::DeviceReceives => vec![(&[SerialIn], &[SerialOut])],
            NeedDuplex::Full if offered == PortDuplex::Full => {
                vec![(&[SerialOut], &[SerialIn]), (&[SerialIn], &[SerialOut])]
            }
            NeedDuplex::Full => vec![(&[SerialOut], &[SerialIn])],
        },
        _ => match asked {
            NeedDuplex::DeviceSends => vec![(&[SignalOut], &[SignalIn])],
            _ => vec![(&[SignalIn], &[SignalOut])],
        },
    }
}

pub(super) fn role_word(role: PadRole) -> &'static str {
    match role {
        PadRole::SerialOut => "TX",
        PadRole::SerialIn => "RX",
        PadRole::OneWire => "one wire",
        PadRole::SignalOut => "out",
        PadRole::SignalIn => "in",
        PadRole::Clock => "clock",
        PadRole::Data => "data",
        PadRole::Phase => "phase",
        PadRole::Power | PadRole::PowerIn => "+",
        PadRole::Ground => "ground",
        PadRole::Other => "pad",
    }
}

pub(super) enum Fit {
    Right,
    Swapped,
    Wrong,
}

/// Whether two pads may be joined by a wire.
pub(super) fn fit(here: &Terminal, there: &Terminal, duplex: Option<NeedDuplex>) -> Fit {
    use PadRole::{
        Ground, OneWire, Other, Power, PowerIn, SerialIn, SerialOut, SignalIn, SignalOut,
    };
    let one_wire = duplex == Some(NeedDuplex::OneWire);
    match (here.role, there.role) {
        (Other, _) | (_, Other) => Fit::Right,
        (Power | PowerIn, Power | PowerIn) => Fit::Right,
        (Power | PowerIn, Ground) | (Ground, Power | PowerIn) => Fit::Wrong,
        (SerialOut, SerialIn) | (SerialIn, SerialOut) => Fit::Right,
        (SerialOut | OneWire, SerialOut | OneWire) if one_wire => Fit::Right,
        (OneWire, OneWire | SerialOut) | (SerialOut, OneWire) => Fit::Right,
        (SerialOut, SerialOut) | (SerialIn, SerialIn) => Fit::Swapped,
        (SignalOut, SignalIn) | (SignalIn, SignalOut) => Fit::Right,
        (SignalOut, SignalOut) | (SignalIn, SignalIn) => Fit::Swapped,
        (one, other) if one == other => Fit::Right,
        _ => Fit::Wrong,
    }
}

/// The trade's usual colours where nobody says: red from the pack, orange from a rail, black for
/// minus, and for signals a colour for each way.
pub(super) fn usual_colour(plan: &Plan, carries: &Carries, ends: [TerminalId; 2]) -> Colour {
    let [here, there] = ends.map(|end| plan.terminals.get(end));
    match carries {
        Carries::Plus(..) if there.is_of("pack") => Colour::Red,
        Carries::Plus(..) => Colour::Orange,
        Carries::Ground => Colour::Black,
        Carries::Other => Colour::Violet,
        Carries::Signal(_) => match here.role {
            PadRole::SerialOut => Colour::Green,
            PadRole::SerialIn => Colour::White,
            PadRole::SignalOut | PadRole::SignalIn => Colour::Yellow,
            PadRole::Clock => Colour::Blue,
            PadRole::Data => Colour::Violet,
            PadRole::Phase => Colour::Grey,
            _ => Colour::Brown,
        },
    }
}
