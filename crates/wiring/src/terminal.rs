//! Everything on a craft that a wire can end at.

use craft::airframe::Airframe;
use craft::pads::{PadRole, Side};
use craft::{Part, Place};

/// A pad, a pin of a plug, or the end of a device's own wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Terminal {
    /// Position of its part on the airframe.
    pub part: usize,
    /// Which one of several parts of the same name, counted from one.
    pub copy: Option<u32>,
    /// Its key on the sheet: "R2".
    pub name: String,
    /// What is printed beside it.
    pub printed: String,
    /// What it is for, seen from its part.
    pub role: PadRole,
    /// The rail, input, port or signal it belongs to.
    pub of: Option<String>,
    /// Right and forward of the part's middle \[mm\].
    pub at_mm: Option<(f64, f64)>,
    /// Which side of the board.
    pub side: Side,
    /// The plug it sits in, and its pin.
    pub plug: Option<(String, Option<u32>)>,
    /// Where it is described; nowhere for an end that the sheet does not show.
    pub place: Option<Place>,
}

impl Terminal {
    /// Whether the sheet shows it.
    pub fn is_described(&self) -> bool {
        self.place.is_some()
    }

    /// Whether it belongs to this rail, input, port or signal.
    pub fn is_of(&self, name: &str) -> bool {
        self.of.as_deref() == Some(name)
    }
}

/// A terminal by its position in [`Terminals::list`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TerminalId(pub usize);

/// All terminals of an airframe, with the names its parts go by.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Terminals {
    /// The terminals.
    pub list: Vec<Terminal>,
    /// The name of each part on the craft.
    pub part_names: Vec<String>,
    /// Whether each part's sheet shows any pads.
    pub shows_pads: Vec<bool>,
}

impl Terminals {
    /// Every pad that the sheets show, once for each copy of a part.
    pub fn of(airframe: &Airframe) -> Self {
        let mut terminals = Self {
            part_names: airframe
                .parts
                .iter()
                .map(|it| it.id.value.clone())
                .collect(),
            shows_pads: vec![false; airframe.parts.len()],
            ..Self::default()
        };
        for (at, fitted, part) in airframe.found() {
            terminals.shows_pads[at] = !part.pads.is_empty();
            for copy in copies(fitted.count()) {
                terminals.list.extend(pads(at, copy, part));
            }
        }
        terminals
    }

    /// The terminal behind an id.
    pub fn get(&self, id: TerminalId) -> &Terminal {
        &self.list[id.0]
    }

    /// Adds an end that no sheet shows.
    pub fn invent(
        &mut self,
        part: usize,
        copy: Option<u32>,
        name: &str,
        role: PadRole,
        of: &str,
    ) -> TerminalId {
        let known = self.ids().find(|&id| {
            let it = self.get(id);
            it.part == part && it.copy == copy && it.role == role && it.is_of(of) && it.name == name
        });
        known.unwrap_or_else(|| {
            self.list.push(Terminal {
                part,
                copy,
                name: name.to_owned(),
                printed: name.to_owned(),
                role,
                of: Some(of.to_owned()),
                at_mm: None,
                side: Side::Top,
                plug: None,
                place: None,
            });
            TerminalId(self.list.len() - 1)
        })
    }

    /// Every id.
    pub fn ids(&self) -> impl Iterator<Item = TerminalId> + use<> {
        (0..self.list.len()).map(TerminalId)
    }

    /// The described terminals of one copy of a part for which `wanted` holds.
    pub fn on(
        &self,
        part: usize,
        copy: Option<u32>,
        wanted: impl Fn(&Terminal) -> bool,
    ) -> Vec<TerminalId> {
        self.ids()
            .filter(|&id| {
                let it = self.get(id);
                it.part == part && it.copy == copy && it.is_described() && wanted(it)
            })
            .collect()
    }

    /// The same on every copy of a part.
    pub fn on_any(&self, part: usize, wanted: impl Fn(&Terminal) -> bool) -> Vec<TerminalId> {
        let meant = |id: &TerminalId| {
            let it = self.get(*id);
            it.part == part && it.is_described() && wanted(it)
        };
        self.ids().filter(meant).collect()
    }

    /// A pad by the builder's name for it, `board.R2`; of several copies the first.
    pub fn named(&self, part: usize, pad: &str) -> Option<TerminalId> {
        self.ids().find(|&id| {
            let it = self.get(id);
            it.part == part && it.name == pad && it.is_described()
        })
    }

    /// The part's name on the craft, with its number where there are several.
    pub fn part_name(&self, id: TerminalId) -> String {
        let it = self.get(id);
        self.copy_name(it.part, it.copy)
    }

    /// The same for a part and a copy.
    pub fn copy_name(&self, part: usize, copy: Option<u32>) -> String {
        let name = &self.part_names[part];
        copy.map_or_else(|| name.clone(), |copy| format!("{name} {copy}"))
    }

    /// The part and what is printed: `board R2`; with the sheet's name for the pad where several of the
    /// part say the same: `board G (G2)`.
    pub fn label(&self, id: TerminalId) -> String {
        let it = self.get(id);
        let alike = self.list.iter().any(|other| {
            other.part == it.part
                && other.copy == it.copy
                && other.printed == it.printed
                && other.name != it.name
        });
        let name = format!("{} {}", self.part_name(id), it.printed);
        if alike && it.name != it.printed {
            format!("{name} ({})", it.name)
        } else {
            name
        }
    }

    /// The same pad of the same sheet in another state of the craft.
    pub fn same_as(&self, other: &Self, id: TerminalId) -> Option<TerminalId> {
        let it = other.get(id);
        let name = &other.part_names[it.part];
        self.ids().find(|&here| {
            let mine = self.get(here);
            mine.name == it.name
                && mine.copy == it.copy
                && mine.place.map(|place| place.file) == it.place.map(|place| place.file)
                && self.part_names[mine.part] == *name
        })
    }
}

/// One unnumbered copy, or several numbered ones.
pub(crate) fn copies(count: u32) -> Vec<Option<u32>> {
    match count {
        1 => vec![None],
        count => (1..=count.min(MOST_COPIES)).map(Some).collect(),
    }
}

/// More copies than this are screws, not things to wire.
const MOST_COPIES: u32 = 16;

fn pads(at: usize, copy: Option<u32>, part: &Part) -> impl Iterator<Item = Terminal> {
    part.pads.iter().map(move |pad| {
        let facet = &pad.facet;
        let mm = |length: &Option<craft::Stated<craft::sheet::Definite<quantity::Length>>>| {
            length
                .as_ref()
                .map(|length| length.value.0.in_millimetres())
        };
        let printed = facet.printed.as_ref().unwrap_or(&pad.name);
        Terminal {
            part: at,
            copy,
            name: pad.name.value.clone(),
            printed: printed.value.clone(),
            role: facet.role.map_or(PadRole::Other, |role| role.value),
            of: facet.of.as_ref().map(|of| of.value.clone()),
            at_mm: mm(&facet.x).zip(mm(&facet.y)),
            side: facet.side.map_or(Side::Top, |side| side.value),
            plug: facet
                .plug
                .as_ref()
                .map(|plug| (plug.value.clone(), facet.pin.as_ref().map(|pin| pin.value))),
            place: Some(pad.name.place),
        }
    })
}
