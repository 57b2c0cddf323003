//! The wiring as something to draw: blocks with pads, wires with colours, a title block.

use super::text::number_of;
use super::{block_name, standings};
use crate::drawing::{self, TitleBlock};
use craft::airframe::Colour;
use craft::{Airframe, pads};
use diagram::{Block, End, Ink, Pad, Plan as Drawn, Side, State, Wire, arrange};
use wiring::moves::{Stands, moves};
use wiring::{Plan, TerminalId};
use workbench::assess::Assessment;

/// What is drawn, and what stands in the title block.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Blocks and wires.
    pub plan: Drawn,
    /// The words at the foot.
    pub title: TitleBlock,
}

/// The drawing of a craft's wiring; with a refit also what is taken off.
pub fn drawing(assessment: &Assessment) -> Drawing {
    let judged = &assessment.judged;
    let mut sketch = Sketch::default();
    let standings = standings(assessment);
    let stays = |name: &str| {
        assessment
            .before
            .as_ref()
            .is_none_or(|before| same_part(&before.airframe, &judged.airframe, name))
    };
    sketch.blocks(&judged.plan, &judged.airframe, |name| {
        if stays(name) { State::Kept } else { State::New }
    });
    for (at, wire) in judged.plan.wires.iter().enumerate() {
        let state = if standings[at] == Stands::Kept {
            State::Kept
        } else {
            State::New
        };
        sketch.wire(&judged.plan, wire, number_of(at), state);
    }
    if let Some(before) = &assessment.before {
        let gone = moves(&before.plan, &judged.plan);
        let gone: Vec<usize> = gone.iter().filter_map(|it| it.old).collect();
        let ends: Vec<TerminalId> = gone
            .iter()
            .flat_map(|&old| before.plan.wires[old].ends)
            .collect();
        sketch.removed_blocks(&before.plan, &before.airframe, &judged.airframe, &ends);
        for old in gone {
            sketch.wire(
                &before.plan,
                &before.plan.wires[old],
                "off".to_owned(),
                State::Removed,
            );
        }
    }
    Drawing {
        plan: sketch.drawn,
        title: title(assessment),
    }
}

/// The drawing as SVG.
pub fn svg(drawing: &Drawing) -> String {
    let sheet = arrange(&drawing.plan, drawing::page(&drawing.title));
    drawing::svg(&sheet, &drawing.plan, &drawing.title)
}

fn title(assessment: &Assessment) -> TitleBlock {
    let airframe = &assessment.judged.airframe;
    let what = if assessment.before.is_some() {
        "Wiring after the refit"
    } else {
        "Wiring"
    };
    let plan = &assessment.judged.plan;
    let mut lines = vec![
        "Numbers are those of the wire list. Pin order of plugs is not standard: meter first."
            .to_owned(),
    ];
    if plan.signals.conflict.is_some() {
        lines.push("Some signals have no port: see the net check.".to_owned());
    }
    let unplaced = plan.terminals.list.iter().any(|it| it.at_mm.is_none());
    if unplaced {
        lines.push("Parts without stated pad positions are not to scale.".to_owned());
    }
    TitleBlock {
        title: what.to_owned(),
        craft: airframe.name.clone(),
        lines,
    }
}

/// Whether a part is the same thing before and after.
fn same_part(before: &Airframe, after: &Airframe, id: &str) -> bool {
    let sheet = |airframe: &Airframe| {
        let at = airframe.position(id)?;
        airframe.parts[at].part.as_ref().map(|part| part.file)
    };
    before.position(id).is_some() && sheet(before) == sheet(after)
}

#[derive(Default)]
struct Sketch {
    drawn: Drawn,
    /// The name of each block, and of each of its pads, for finding them again.
    names: Vec<(String, Vec<String>)>,
}

impl Sketch {
    /// A block for every part that a wire ends at.
    fn blocks(&mut self, plan: &Plan, airframe: &Airframe, state: impl Fn(&str) -> State) {
        let ends: Vec<TerminalId> = plan.wires.iter().flat_map(|wire| wire.ends).collect();
        for (part, copy) in parts_of(plan, &ends) {
            let id = &airframe.parts[part].id.value;
            self.block(plan, airframe, (part, copy), &ends, state(id));
        }
    }

    /// Blocks of parts that are gone, so that what comes off can be seen.
    fn removed_blocks(
        &mut self,
        plan: &Plan,
        before: &Airframe,
        after: &Airframe,
        ends: &[TerminalId],
    ) {
        for (part, copy) in parts_of(plan, ends) {
            let id = &before.parts[part].id.value;
            if !same_part(before, after, id) {
                self.block(plan, before, (part, copy), ends, State::Removed);
            }
        }
    }

    fn block(
        &mut self,
        plan: &Plan,
        airframe: &Airframe,
        (part, copy): (usize, Option<u32>),
        ends: &[TerminalId],
        state: State,
    ) {
        let fitted = &airframe.parts[part];
        let Some(sheet) = fitted.part.as_deref() else {
            return;
        };
        let outline = sheet.outline.as_ref().and_then(|outline| {
            let size = outline.width.as_ref().zip(outline.length.as_ref());
            size.map(|(width, length)| {
                (
                    width.value.0.in_millimetres(),
                    length.value.0.in_millimetres(),
                )
            })
        });
        let ids: Vec<TerminalId> = plan
            .terminals
            .ids()
            .filter(|&id| {
                let it = plan.terminals.get(id);
                let here = it.part == part && it.copy == copy;
                // A pad that no wire uses says something on a board to scale only.
                here && (ends.contains(&id) || (outline.is_some() && it.at_mm.is_some()))
            })
            .collect();
        let pads = ids.iter().map(|&id| {
            let it = plan.terminals.get(id);
            Pad {
                label: it.printed.clone(),
                at_mm: it.at_mm,
                side: match it.side {
                    pads::Side::Top => Side::Top,
                    pads::Side::Bottom => Side::Bottom,
                },
            }
        });
        self.drawn.blocks.push(Block {
            name: plan.terminals.copy_name(part, copy),
            note: sheet.title().to_owned(),
            outline_mm: outline,
            pads: pads.collect(),
            state,
        });
        let names = ids
            .iter()
            .map(|&id| plan.terminals.get(id).name.clone())
            .collect();
        self.names
            .push((key(&plan.terminals.copy_name(part, copy), state), names));
    }

    fn wire(&mut self, plan: &Plan, wire: &wiring::Wire, label: String, state: State) {
        let ends = wire.ends.map(|end| self.end(plan, end, state));
        if let [Some(one), Some(other)] = ends {
            self.drawn.wires.push(Wire {
                ends: [one, other],
                label,
                ink: ink(wire.colour.value),
                state,
                // What comes off is counted by another list.
                pair: wire.twist.filter(|_| state != State::Removed),
            });
        }
    }

    /// The pad of a terminal; of what is removed first among what is gone, then among what stays.
    fn end(&mut self, plan: &Plan, id: TerminalId, state: State) -> Option<End> {
        let name = block_name(plan, id);
        let find =
            |sketch: &Self, name: &str| sketch.names.iter().position(|(known, _)| known == name);
        let gone = (state == State::Removed)
            .then(|| find(self, &key(&name, State::Removed)))
            .flatten();
        let block = gone.or_else(|| find(self, &key(&name, State::Kept)))?;
        let pad_name = &plan.terminals.get(id).name;
        let pads = &mut self.names[block].1;
        let pad = match pads.iter().position(|known| known == pad_name) {
            Some(pad) => pad,
            None => {
                // A pad that only the old wire used.
                let it = plan.terminals.get(id);
                pads.push(pad_name.clone());
                self.drawn.blocks[block].pads.push(Pad {
                    label: it.printed.clone(),
                    at_mm: it.at_mm,
                    side: Side::Top,
                });
                pads.len() - 1
            }
        };
        Some(End { block, pad })
    }
}

/// Removed parts may bear the name of a new one.
fn key(name: &str, state: State) -> String {
    match state {
        State::Removed => format!("{name} (removed)"),
        State::Kept | State::New => name.to_owned(),
    }
}

/// The parts that terminals are on, in the order of the craft.
fn parts_of(plan: &Plan, ends: &[TerminalId]) -> Vec<(usize, Option<u32>)> {
    let mut parts: Vec<_> = ends
        .iter()
        .map(|&id| {
            let it = plan.terminals.get(id);
            (it.part, it.copy)
        })
        .collect();
    parts.sort_unstable();
    parts.dedup();
    parts
}

fn ink(colour: Colour) -> Ink {
    match colour {
        Colour::Red => Ink::Red,
        Colour::Black => Ink::Black,
        Colour::Yellow => Ink::Yellow,
        Colour::White => Ink::White,
        Colour::Green => Ink::Green,
        Colour::Blue => Ink::Blue,
        Colour::Orange => Ink::Orange,
        Colour::Violet => Ink::Violet,
        Colour::Brown => Ink::Brown,
        Colour::Grey => Ink::Grey,
    }
}
