//! A part sheet: one thing you can hold, and what it can do.

use crate::air::{Antenna, Radio};
use crate::facet::{Board, Body, Cells, Esc, Frame, Input, Lead, Motor, Plug, Propeller, Rail};
use crate::pads::{Capacitor, Jack, Outline, Pad, Port, Signal};
use crate::sheet::{choices, tables};
use crate::space::{Holes, MeshFile, Opening, RotorPlace, Seat, Solid, View};
use crate::{FileId, Stated};

choices! {
    /// What the figures of a sheet rest on.
    SheetSource {
        /// Read from an instrument by you.
        Measured "measured";
        /// Printed on the part or in its sheet.
        Label "label";
        /// Usual for parts of this class.
        Typical "typical";
        /// A guess; taken wide.
        Assumed "assumed";
    }
}

impl From<SheetSource> for quantity::Basis {
    fn from(source: SheetSource) -> Self {
        match source {
            SheetSource::Measured => Self::Measured,
            SheetSource::Label => Self::Label,
            SheetSource::Typical => Self::Typical,
            SheetSource::Assumed => Self::Assumed,
        }
    }
}

tables! {
    /// The top of a part sheet.
    "" PartHeader {
        /// What it is, in your words.
        title: String;
        /// What the figures below rest on unless one says otherwise: `label` if left out.
        source: SheetSource;
        /// Anything worth remembering; not read by the checks.
        note: String;
    }
}

/// A facet with the name it has on its part.
#[derive(Debug, Clone, PartialEq)]
pub struct Named<T> {
    /// "main", "5v".
    pub name: Stated<String>,
    /// The facet.
    pub facet: T,
}

/// A part sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The sheet's name: its file name without ending.
    pub name: String,
    /// Its file.
    pub file: FileId,
    /// The top of the sheet.
    pub header: PartHeader,
    /// What it weighs.
    pub body: Option<Body>,
    /// It is the frame.
    pub frame: Option<Frame>,
    /// It is a motor.
    pub motor: Option<Motor>,
    /// It is a propeller.
    pub propeller: Option<Propeller>,
    /// It drives motors.
    pub esc: Option<Esc>,
    /// It stores energy.
    pub cells: Option<Cells>,
    /// It has the battery plug.
    pub plug: Option<Plug>,
    /// It has the battery lead.
    pub lead: Option<Lead>,
    /// It carries battery current.
    pub board: Option<Board>,
    /// What it needs.
    pub inputs: Vec<Named<Input>>,
    /// What it offers.
    pub rails: Vec<Named<Rail>>,
    /// What it looks like from above.
    pub outline: Option<Outline>,
    /// Its pads.
    pub pads: Vec<Named<Pad>>,
    /// Its ports for signals.
    pub ports: Vec<Named<Port>>,
    /// The signals it needs somebody for.
    pub signals: Vec<Named<Signal>>,
    /// Its radio connectors.
    pub jacks: Vec<Named<Jack>>,
    /// Its radios.
    pub radios: Vec<Named<Radio>>,
    /// It radiates.
    pub antenna: Option<Antenna>,
    /// It is a bulk capacitor.
    pub capacitor: Option<Capacitor>,
    /// Its shape.
    pub solids: Vec<Named<Solid>>,
    /// Its screw holes.
    pub holes: Vec<Named<Holes>>,
    /// Where other parts are put on it.
    pub seats: Vec<Named<Seat>>,
    /// What hands must reach, or wires leave by.
    pub openings: Vec<Named<Opening>>,
    /// Where its motors stand.
    pub rotors: Vec<Named<RotorPlace>>,
    /// What it sees.
    pub view: Option<View>,
    /// The mesh files its solids name.
    pub meshes: Vec<MeshFile>,
}

impl Part {
    /// The title if there is one, otherwise the sheet's name.
    pub fn title(&self) -> &str {
        self.header
            .title
            .as_ref()
            .map_or(&self.name, |title| title.value.as_str())
    }

    /// The input of this name.
    pub fn input(&self, name: &str) -> Option<&Named<Input>> {
        self.inputs.iter().find(|input| input.name.value == name)
    }

    /// The rail of this name, by its position.
    pub fn rail(&self, name: &str) -> Option<usize> {
        self.rails.iter().position(|rail| rail.name.value == name)
    }
}
