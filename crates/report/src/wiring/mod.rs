//! The wiring of a craft: as text, as JSON, and as something to draw.

mod drawn;
mod json;
mod text;

pub use drawn::{Drawing, drawing, svg};
pub use json::{allotment, nets, value};
pub use text::text;

use crate::phrase;
use craft::pads::SignalKind;
use wiring::allot::Reason;
use wiring::moves::{Move, Stands, moves, standing};
use wiring::plan::{Carries, Wire};
use wiring::{Plan, TerminalId};
use workbench::assess::Assessment;
use workbench::verdict::State;
use workbench::wires::{self, Passed, counts_from_zero};

/// One wire of the list, in words.
struct Row {
    /// Its number; wires taken off have none.
    number: String,
    from: String,
    to: String,
    colour: &'static str,
    gauge: String,
    length: String,
    notes: Vec<&'static str>,
}

/// The wires of the judged craft and how each stands.
fn standings(assessment: &Assessment) -> Vec<Stands> {
    let before = assessment.before.as_ref().map(|state| &state.plan);
    standing(before, &assessment.judged.plan)
}

/// The moves of the iron; none without a refit.
fn moves_of(assessment: &Assessment) -> Vec<Move> {
    let before = assessment.before.as_ref();
    before.map_or_else(Vec::new, |before| {
        moves(&before.plan, &assessment.judged.plan)
    })
}

fn row(plan: &Plan, number: String, wire: &Wire) -> Row {
    let mut notes = Vec::new();
    if !wire.gauge.said {
        notes.push("gauge chosen here");
    }
    if !wire.length.said {
        notes.push("length by class: lay a thread along its way");
    }
    let plugged = wire
        .ends
        .iter()
        .any(|end| plan.terminals.get(*end).plug.is_some());
    if plugged {
        notes.push("in a plug: meter first");
    }
    Row {
        number,
        from: plan.terminals.label(wire.ends[0]),
        to: plan.terminals.label(wire.ends[1]),
        colour: wire.colour.value.word(),
        gauge: crate::number::exact(wire.gauge.value.in_awg()),
        length: crate::number::whole(wire.length.value.in_millimetres()),
        notes,
    }
}

/// A port as the builder and the settings call it.
fn port_label(state: &State, port: usize) -> String {
    let from_zero = counts_from_zero(&state.airframe);
    wires::port_label(&state.plan.signals, port, from_zero)
}

/// A signal with the builder's own word for it.
fn need_label(state: &State, need: usize) -> String {
    let need = &state.plan.signals.needs[need];
    match &need.protocol {
        Some(word) => format!("{} ({word})", need.name),
        None => need.name.clone(),
    }
}

/// Why a port was passed over.
fn passed_words(state: &State, need: usize, passed: &Passed) -> String {
    match passed {
        Passed::Unfit(reasons) => phrase::text(&wires::unfit_all(reasons)),
        Passed::TheOwnerSaysOther => "you named another port".to_owned(),
        Passed::ApartFromTaken(port) => format!(
            "it shares its pads with {}, which something on the board owns",
            state.plan.signals.ports[*port].name
        ),
        Passed::NoRoom => "another signal would have no port".to_owned(),
        Passed::Worse(reason) => {
            let today_said = state.plan.signals.needs[need].today_said;
            format!("passed over: {}", wires::reason(*reason, today_said))
        }
    }
}
/// Whether a signal is worth a line of its own: motors are not, there is nothing to choose.
fn is_told(kind: SignalKind) -> bool {
    !matches!(kind, SignalKind::MotorPhases | SignalKind::MotorCommand)
}

/// Whether a port was passed over for no better reason than order.
fn is_as_good(passed: &Passed) -> bool {
    matches!(
        passed,
        Passed::Worse(Reason::LowestNumber | Reason::NoDifference)
    )
}

/// The part a terminal is on, with its number where there are several.
fn block_name(plan: &Plan, id: TerminalId) -> String {
    plan.terminals.part_name(id)
}

fn carries_word(carries: &Carries) -> &'static str {
    match carries {
        Carries::Plus(..) => "plus",
        Carries::Ground => "ground",
        Carries::Signal(_) => "signal",
        Carries::Other => "other",
    }
}
