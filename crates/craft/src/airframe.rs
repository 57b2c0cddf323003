//! The craft that flies, the change that is planned, and the airframe that results.

use crate::air::{GroundAntenna, GroundStation};
use crate::class::AirframeClass;
use crate::facet::{Input, Rail};
use crate::need::{Conditions, Needs};
use crate::part::{Named, Part};
use crate::sheet::{Definite, Figure, choices, tables};
use crate::space::{PlaceTable, Tune, overlaid};
use crate::{FileId, Place, Stated};
use quantity::{Length, Mass, WireGauge};
use std::sync::Arc;

tables! {
    /// The top of a craft file.
    "" CraftHeader {
        /// What it is, in your words.
        title: String;
        /// What sort of craft it is.
        class: AirframeClass;
        /// All-up mass on the scale, with battery.
        weighed: Mass, ~ SCALE;
        /// Anything worth remembering; not read by the checks.
        note: String;
    }

    /// The top of a refit file.
    "" RefitHeader {
        /// What it is, in your words.
        title: String;
        /// The craft that is changed: the name of its file without `.craft.toml`.
        craft ! required: String;
        /// Parts taken off, by their names on the craft.
        remove: Vec<Stated<String>>;
        /// All-up mass on the scale after the work, with battery; once you have it.
        weighed: Mass, ~ SCALE;
        /// Anything worth remembering; not read by the checks.
        note: String;
    }

    /// One part on the craft. `frame = "frame-85"` is short for `frame = { sheet = "frame-85" }`.
    "parts" [named] FittedTable {
        /// The part sheet: the name of a file in `parts/` without `.toml`, or of a typical part.
        sheet ! required: String;
        /// How many of them; one if left out.
        count: u32;
    }

    /// Where one input gets its power. `camera.power = "board.5v"` is short for
    /// `camera.power = { from = "board.5v" }`.
    "feeds" [named] FeedTable {
        /// `pack`, or a part and its rail: `board.5v`.
        from ! required: String;
        /// Wire size.
        gauge: Definite<WireGauge>;
        /// Length one way.
        length: Length, ~ LENGTH;
        /// The part, or part and pad, its ground goes to; the part that feeds it if left out.
        ground: String;
    }

    /// The port one signal goes to. `gps.data = "board.2"` is short for `gps.data = { to = "board.2" }`.
    "links" [named] LinkTable {
        /// A part and its port: `board.2`.
        to ! required: String;
        /// Wire size.
        gauge: Definite<WireGauge>;
        /// Length of the wire.
        length: Length, ~ LENGTH;
    }

    /// One wire, pad to pad, where it is not the usual one. `gps.TX = "board.R2"` is short for
    /// `gps.TX = { to = "board.R2" }`.
    "wires" [named] WireTable {
        /// A part and its pad: `board.R2`.
        to ! required: String;
        /// Wire size.
        gauge: Definite<WireGauge>;
        /// Length of the wire.
        length: Length, ~ LENGTH;
        /// Colour of its insulation.
        colour: Colour;
    }

    /// How the craft is wired as a whole.
    "wiring" Wiring {
        /// How the settings count serial ports.
        ports_counted: PortCount;
    }
}

choices! {
    /// How settings count serial ports.
    PortCount {
        /// Port 1 on the board is port 0 in the settings.
        FromZero "from-zero";
        /// As printed.
        FromOne "from-one";
    }
    /// Colour of a wire's insulation.
    Colour {
        /// Plus of the pack and of rails of the pack's volts.
        Red "red";
        /// Minus.
        Black "black";
        /// Often plus of a 5 V rail, or video.
        Yellow "yellow";
        /// Often a signal that a board receives.
        White "white";
        /// Often a signal that a board sends.
        Green "green";
        /// No usual meaning.
        Blue "blue";
        /// Often plus of a rail that is not the pack.
        Orange "orange";
        /// No usual meaning.
        Violet "violet";
        /// No usual meaning.
        Brown "brown";
        /// No usual meaning.
        Grey "grey";
    }
}

/// A part on the craft.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// Its name on this craft.
    pub id: Stated<String>,
    /// Which sheet, how many.
    pub table: FittedTable,
    /// The sheet, when it was found.
    pub part: Option<Arc<Part>>,
}

impl Fitted {
    /// How many of them.
    pub fn count(&self) -> u32 {
        self.table.count.as_ref().map_or(1, |count| count.value)
    }
}

/// A wire pair that feeds an input or a rail.
#[derive(Debug, Clone, PartialEq)]
pub struct Feed {
    /// The part that is fed.
    pub part: Stated<String>,
    /// Its input or rail.
    pub socket: Stated<String>,
    /// From where, through which wire.
    pub table: FeedTable,
}

/// A signal's way to a port, as the builder has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// The part with the signal.
    pub part: Stated<String>,
    /// Its signal.
    pub signal: Stated<String>,
    /// Where to, through which wire.
    pub table: LinkTable,
}

/// A wire from pad to pad, as the builder has it.
#[derive(Debug, Clone, PartialEq)]
pub struct WireWritten {
    /// The part at one end.
    pub part: Stated<String>,
    /// Its pad.
    pub pad: Stated<String>,
    /// Where to, and what wire.
    pub table: WireTable,
}

/// What a craft file and a refit file say about wires.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Harness {
    /// Signals and their ports.
    pub links: Vec<Link>,
    /// Wires pad to pad.
    pub wires: Vec<WireWritten>,
    /// How the craft is wired as a whole.
    pub wiring: Option<Wiring>,
    /// What listens on the ground.
    pub ground_stations: Vec<Named<GroundStation>>,
    /// The antennas there.
    pub ground_antennas: Vec<Named<GroundAntenna>>,
}

/// What flies today.
#[derive(Debug, Clone, PartialEq)]
pub struct Craft {
    /// File name without `.craft.toml`.
    pub name: String,
    /// Its file.
    pub file: FileId,
    /// The top of the file.
    pub header: CraftHeader,
    /// Its parts.
    pub parts: Vec<Fitted>,
    /// Its feeds.
    pub feeds: Vec<Feed>,
    /// Its signals and wires.
    pub harness: Harness,
    /// Where its parts are.
    pub places: Vec<Named<PlaceTable>>,
    /// What its settings do with a turn.
    pub tune: Tune,
    /// What it must do.
    pub needs: Option<Needs>,
    /// What it will meet.
    pub conditions: Option<Conditions>,
}

/// The change that is planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Refit {
    /// File name without `.refit.toml`.
    pub name: String,
    /// Its file.
    pub file: FileId,
    /// The top of the file.
    pub header: RefitHeader,
    /// Parts put on.
    pub add: Vec<Fitted>,
    /// Feeds put in or changed.
    pub feeds: Vec<Feed>,
    /// Signals and wires put in or changed.
    pub harness: Harness,
    /// Where parts are put or moved to.
    pub places: Vec<Named<PlaceTable>>,
    /// What the settings do with a turn afterwards, where that changes.
    pub tune: Tune,
    /// What the refitted craft must do; the craft's own needs where left out.
    pub needs: Option<Needs>,
    /// What it will meet; the craft's own conditions where left out.
    pub conditions: Option<Conditions>,
}

/// A craft in one definite state: before the refit or after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Airframe {
    /// The craft's name.
    pub name: String,
    /// What sort of craft it is.
    pub class: Option<Stated<AirframeClass>>,
    /// All-up mass on the scale in this state.
    pub weighed: Option<Stated<Figure<Mass>>>,
    /// Parts in place.
    pub parts: Vec<Fitted>,
    /// Feeds in place.
    pub feeds: Vec<Feed>,
    /// Signals and wires in place.
    pub harness: Harness,
    /// Where the parts are.
    pub places: Vec<Named<PlaceTable>>,
    /// What the settings do with a turn.
    pub tune: Tune,
}

/// Where power comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tap {
    /// The battery pads.
    Pack,
    /// A rail: position of the part, position of the rail on it.
    Rail(usize, usize),
}

/// Why a socket has no source.
#[derive(Debug, Clone, PartialEq)]
pub enum Unfed {
    /// Nothing says where it gets its power.
    Nothing,
    /// It names a part or rail that is not on the craft in this state.
    Gone(Stated<String>),
    /// It feeds itself, directly or through others.
    Circle,
}

impl Airframe {
    /// The craft as it is today.
    pub fn before(craft: &Craft) -> Self {
        Self {
            name: craft.name.clone(),
            class: craft.header.class,
            weighed: craft.header.weighed,
            parts: craft.parts.clone(),
            feeds: craft.feeds.clone(),
            harness: craft.harness.clone(),
            places: craft.places.clone(),
            tune: craft.tune.clone(),
        }
    }

    /// The craft with the refit done. What was weighed before no longer holds as it stands.
    pub fn after(craft: &Craft, refit: &Refit) -> Self {
        let removed = |id: &str| {
            refit
                .header
                .remove
                .iter()
                .flat_map(|list| &list.value)
                .any(|name| name.value == id)
        };
        let refed = |feed: &Feed| {
            refit.feeds.iter().any(|new| {
                new.part.value == feed.part.value && new.socket.value == feed.socket.value
            })
        };
        let mut parts: Vec<_> = craft
            .parts
            .iter()
            .filter(|part| !removed(&part.id))
            .cloned()
            .collect();
        parts.extend(refit.add.iter().cloned());
        let mut feeds: Vec<_> = craft
            .feeds
            .iter()
            .filter(|feed| !removed(&feed.part) && !refed(feed))
            .cloned()
            .collect();
        feeds.extend(refit.feeds.iter().cloned());
        let harness = craft.harness.after(&refit.harness, removed);
        let mut places = overlaid(&craft.places, &refit.places);
        places.retain(|place| place.facet.place.file == refit.file || !removed(&place.name.value));
        Self {
            name: craft.name.clone(),
            class: craft.header.class,
            weighed: refit.header.weighed,
            parts,
            feeds,
            harness,
            places,
            tune: craft.tune.after(&refit.tune),
        }
    }

    /// Where a part is, as written.
    pub fn place(&self, id: &str) -> Option<&Named<PlaceTable>> {
        self.places.iter().find(|place| place.name.value == id)
    }

    /// The fitted part with this name.
    pub fn position(&self, id: &str) -> Option<usize> {
        self.parts.iter().position(|fitted| fitted.id.value == id)
    }

    /// Parts whose sheet was found, with their position.
    pub fn found(&self) -> impl Iterator<Item = (usize, &Fitted, &Part)> {
        self.parts
            .iter()
            .enumerate()
            .filter_map(|(at, fitted)| Some((at, fitted, fitted.part.as_deref()?)))
    }

    /// Every input on the craft: position of its part, the part on the craft, the input.
    pub fn inputs(&self) -> impl Iterator<Item = (usize, &Fitted, &Named<Input>)> {
        self.found()
            .flat_map(|(at, fitted, part)| part.inputs.iter().map(move |input| (at, fitted, input)))
    }

    /// A rail by where it stands.
    pub fn rail(&self, part: usize, rail: usize) -> Option<&Named<Rail>> {
        self.parts.get(part)?.part.as_deref()?.rails.get(rail)
    }

    /// The feed written for a socket.
    pub fn feed(&self, part: &str, socket: &str) -> Option<&Feed> {
        self.feeds
            .iter()
            .find(|feed| feed.part.value == part && feed.socket.value == socket)
    }

    /// Where an input gets its power, and through which wire.
    pub fn source_of_input(
        &self,
        part: usize,
        input: &Named<Input>,
    ) -> Result<(Tap, Option<&Feed>), Unfed> {
        self.source(part, &input.name, input.facet.fed_by.as_ref())
            .unwrap_or(Err(Unfed::Nothing))
    }

    /// Where a rail gets its power, and through which wire: the pack where nothing else is said.
    pub fn source_of_rail(&self, part: usize, rail: usize) -> Result<(Tap, Option<&Feed>), Unfed> {
        let Some(named) = self.rail(part, rail) else {
            return Err(Unfed::Nothing);
        };
        let found = self
            .source(part, &named.name, named.facet.fed_by.as_ref())
            .unwrap_or(Ok((Tap::Pack, None)))?;
        if self.leads_back(found.0, Tap::Rail(part, rail)) {
            Err(Unfed::Circle)
        } else {
            Ok(found)
        }
    }

    fn source(
        &self,
        part: usize,
        socket: &Stated<String>,
        fed_by: Option<&Stated<String>>,
    ) -> Option<Result<(Tap, Option<&Feed>), Unfed>> {
        let fitted = &self.parts[part];
        if let Some(feed) = self.feed(&fitted.id, socket) {
            let from = feed.table.from.as_ref()?;
            return Some(
                self.tap(from)
                    .map(|tap| (tap, Some(feed)))
                    .ok_or_else(|| Unfed::Gone(from.clone())),
            );
        }
        let own = fed_by?;
        if own.value == "pack" {
            return Some(Ok((Tap::Pack, None)));
        }
        let rail = fitted
            .part
            .as_deref()?
            .rails
            .iter()
            .position(|rail| rail.name.value == own.value);
        Some(
            rail.map(|rail| (Tap::Rail(part, rail), None))
                .ok_or_else(|| Unfed::Gone(own.clone())),
        )
    }

    fn tap(&self, from: &str) -> Option<Tap> {
        if from == "pack" {
            return Some(Tap::Pack);
        }
        let (id, rail) = from.split_once('.')?;
        let part = self.position(id)?;
        let rails = &self.parts[part].part.as_deref()?.rails;
        Some(Tap::Rail(
            part,
            rails.iter().position(|named| named.name.value == rail)?,
        ))
    }

    /// Follows the sources of `from`; more steps than rails exist means a circle somewhere.
    fn leads_back(&self, from: Tap, to: Tap) -> bool {
        let mut at = from;
        for _ in 0..=self
            .parts
            .iter()
            .filter_map(|fitted| fitted.part.as_deref())
            .map(|part| part.rails.len())
            .sum()
        {
            let Tap::Rail(part, rail) = at else {
                return false;
            };
            if at == to {
                return true;
            }
            let Some(named) = self.rail(part, rail) else {
                return false;
            };
            match self.source(part, &named.name, named.facet.fed_by.as_ref()) {
                Some(Ok((next, _))) => at = next,
                _ => return false,
            }
        }
        true
    }
}

impl Harness {
    /// With the refit's word over the craft's, and nothing left of parts that are taken off.
    fn after(&self, refit: &Self, removed: impl Fn(&str) -> bool) -> Self {
        let from_removed = |to: Option<&Stated<String>>| {
            to.and_then(|to| to.split_once('.'))
                .is_some_and(|(part, _)| removed(part))
        };
        let kept_links = self.links.iter().filter(|link| {
            let again = |new: &Link| {
                new.part.value == link.part.value && new.signal.value == link.signal.value
            };
            !removed(&link.part)
                && !from_removed(link.table.to.as_ref())
                && !refit.links.iter().any(again)
        });
        let kept_wires = self.wires.iter().filter(|wire| {
            let again = |new: &WireWritten| {
                new.part.value == wire.part.value && new.pad.value == wire.pad.value
            };
            !removed(&wire.part)
                && !from_removed(wire.table.to.as_ref())
                && !refit.wires.iter().any(again)
        });
        Self {
            links: kept_links.chain(&refit.links).cloned().collect(),
            wires: kept_wires.chain(&refit.wires).cloned().collect(),
            wiring: refit.wiring.clone().or_else(|| self.wiring.clone()),
            ground_stations: overlaid(&self.ground_stations, &refit.ground_stations),
            ground_antennas: overlaid(&self.ground_antennas, &refit.ground_antennas),
        }
    }

    /// The link written for a signal.
    pub fn link(&self, part: &str, signal: &str) -> Option<&Link> {
        self.links
            .iter()
            .find(|link| link.part.value == part && link.signal.value == signal)
    }
}

impl Feed {
    /// Where the feed is written.
    pub fn place(&self) -> Place {
        self.table.place
    }
}
