//! Rails and powered inputs, parents before children.

use super::{Assembler, key};
use crate::input::{Group, Naming, Term};
use crate::model::{ElectricsModel, Lead, LoadModel, Parent, RailModel};
use craft::Stated;
use craft::airframe::{Feed, Fitted, Tap};
use craft::facet::{Input, Rail, RegulatorKind as Written};
use craft::part::Named;
use power::RegulatorKind;
use power::typical;
use quantity::{Basis, Doubt, Quantity, Voltage};
use std::collections::HashMap;

/// Volts for each printed cell that "2 to 6 cells" may mean: from 3.0 (empty) to 3.7 (nominal).
const PRINTED_CELL_V: (f64, f64) = (3.0, 3.7);
/// Highest volts for each printed cell: a full cell.
const PRINTED_CELL_FULL_V: f64 = 4.2;

impl Assembler<'_> {
    pub(super) fn electrics(&mut self) -> ElectricsModel {
        let mut electrics = ElectricsModel::default();
        let mut places = HashMap::new();
        for part in 0..self.airframe.parts.len() {
            let rails = self.airframe.parts[part]
                .part
                .as_deref()
                .map_or(0, |sheet| sheet.rails.len());
            for rail in 0..rails {
                self.rail((part, rail), &mut electrics, &mut places);
            }
        }
        let airframe = self.airframe;
        for (at, fitted, input) in airframe.inputs() {
            if let Some(load) = self.load(at, fitted, input, &places) {
                electrics.loads.push(load);
            }
        }
        electrics
    }

    /// Puts a rail behind the one that feeds it; gives its position, or none where its own source is missing.
    fn rail(
        &mut self,
        at: (usize, usize),
        electrics: &mut ElectricsModel,
        places: &mut Places,
    ) -> Option<usize> {
        if let Some(known) = places.get(&at) {
            return *known;
        }
        let airframe = self.airframe;
        let (fitted, named) = (&airframe.parts[at.0], airframe.rail(at.0, at.1)?);
        let source = airframe.source_of_rail(at.0, at.1);
        let parent = match &source {
            Ok((Tap::Pack, _)) => Some(Parent::Bus),
            Ok((Tap::Rail(part, rail), _)) => self
                .rail((*part, *rail), electrics, places)
                .map(Parent::Rail),
            // The rule on unfed inputs tells it.
            Err(_) => None,
        };
        let model = parent.and_then(|parent| {
            self.rail_model(
                at,
                fitted,
                named,
                parent,
                source.ok().and_then(|(_, feed)| feed),
            )
        });
        let position = model.map(|model| {
            electrics.rails.push(model);
            electrics.rails.len() - 1
        });
        places.insert(at, position);
        position
    }

    fn rail_model(
        &mut self,
        at: (usize, usize),
        fitted: &Fitted,
        named: &Named<Rail>,
        parent: Parent,
        feed: Option<&Feed>,
    ) -> Option<RailModel> {
        let part = fitted.part.as_deref()?;
        let rail = &named.facet;
        let id = format!("{}.{}", fitted.id.value, named.name.value);
        let kind = kind_of(rail.kind.as_ref()?.value);
        let follows = matches!(kind, RegulatorKind::PassThrough | RegulatorKind::Diode);
        let output_v = match (&rail.output, follows) {
            (Some(output), _) => output.value.0.in_volts(),
            (None, true) => 0.0,
            (None, false) => {
                self.lacks(
                    format!("the output volts of {id}"),
                    Some(rail.place),
                    "no volts or loads on this rail",
                );
                return None;
            }
        };
        let drop_naming = Naming::new(
            key(fitted, part, &format!("{}.drop_out", named.name.value)),
            format!("step-down difference of {id}"),
            Group::Electronics,
            "V",
        )
        .reading("input and output volts with the load on");
        let efficiency_naming = Naming::new(
            key(fitted, part, &format!("{}.efficiency", named.name.value)),
            format!("efficiency of {id}"),
            Group::Electronics,
            "%",
        )
        .reading("input and output volts and amperes with the load on");
        Some(RailModel {
            at,
            parent,
            wire: self.wire(fitted, &named.name, feed),
            kind,
            output_v,
            drop_out: self.figure_or(drop_naming, rail.drop_out.as_ref(), || {
                let class = typical::drop_out(kind);
                (class.quantity, class.source)
            }),
            minimum_input_v: rail
                .minimum_input
                .as_ref()
                .map_or(0.0, |minimum| minimum.value.0.in_volts()),
            efficiency: self.figure_or(efficiency_naming, rail.efficiency.as_ref(), || {
                let class = typical::efficiency(kind);
                (class.quantity, class.source)
            }),
            continuous_a: rail
                .continuous
                .as_ref()
                .map(|limit| limit.value.0.in_amperes()),
            peak_a: rail.peak.as_ref().map(|limit| limit.value.0.in_amperes()),
            id,
        })
    }

    fn load(
        &mut self,
        at: usize,
        fitted: &Fitted,
        named: &Named<Input>,
        places: &Places,
    ) -> Option<LoadModel> {
        let part = fitted.part.as_deref()?;
        let input = &named.facet;
        let id = format!("{}.{}", fitted.id.value, named.name.value);
        let position = part
            .inputs
            .iter()
            .position(|other| other.name == named.name)?;
        let field = |what: &str| key(fitted, part, &format!("{}.{what}", named.name.value));
        let Some(power) = &input.power else {
            self.lacks(
                format!("the power of {id}"),
                Some(input.place),
                "loads, volts and flight time leave this device out",
            );
            return None;
        };
        let power = Naming::new(
            field("power"),
            format!("power drawn by {id}"),
            Group::Electronics,
            "W",
        )
        .reading("volts and amperes on a bench supply, lowest transmit power, fan on")
        .stated(self.inputs, power);
        let peak = input.peak_power.as_ref().map_or(power, |peak| {
            Naming::new(
                field("peak"),
                format!("peak power of {id}"),
                Group::Electronics,
                "W",
            )
            .stated(self.inputs, peak)
        });
        let source = self.airframe.source_of_input(at, named);
        let parent = match &source {
            Ok((Tap::Pack, _)) => Some(Parent::Bus),
            Ok((Tap::Rail(part, rail), _)) => places
                .get(&(*part, *rail))
                .copied()
                .flatten()
                .map(Parent::Rail),
            // The rule on unfed inputs tells it.
            Err(_) => None,
        };
        Some(LoadModel {
            at: (at, position),
            parent,
            wire: self.wire(fitted, &named.name, source.ok().and_then(|(_, feed)| feed)),
            power,
            peak,
            count: f64::from(fitted.count()),
            floor: self.floor(&id, field("floor"), input),
            ceiling_v: input.volts.map(|volts| volts.high.in_volts()).or_else(|| {
                input
                    .cells
                    .map(|cells| cells.high.in_ones() * PRINTED_CELL_FULL_V)
            }),
            id,
        })
    }

    /// The volts a device needs: found by hand, else a little above its label, else what a printed
    /// number of cells may mean.
    fn floor(&mut self, id: &str, key: String, input: &Input) -> Option<Term> {
        let naming = Naming::new(
            key,
            format!("lowest volts of {id}"),
            Group::Electronics,
            "V",
        )
        .reading("turn a bench supply down until it stops, fan on");
        if let Some(found) = &input.lock_out {
            return Some(naming.stated(self.inputs, found));
        }
        if let Some(volts) = &input.volts {
            let above = typical::lock_out_above_label();
            let value = volts.low + above.quantity.value;
            let quantity = Quantity {
                value,
                doubt: above.quantity.doubt,
                basis: Basis::Label,
            };
            return Some(naming.class(
                self.inputs,
                quantity,
                "label minimum; true limits lie 0 to 0.4 V above it",
            ));
        }
        let cells = input.cells.as_ref()?.low.in_ones();
        let (low, high) = PRINTED_CELL_V;
        let quantity = Quantity {
            value: Voltage::volts(cells * (low + high) / 2.0),
            doubt: Doubt::Plain(cells * (high - low) / 4.0),
            basis: Basis::Assumed,
        };
        Some(naming.class(
            self.inputs,
            quantity,
            "a printed number of cells may mean 3.0 to 3.7 V for each",
        ))
    }

    fn wire(
        &mut self,
        fitted: &Fitted,
        socket: &Stated<String>,
        feed: Option<&Feed>,
    ) -> Option<Lead> {
        let table = &feed?.table;
        let (gauge, length) = (table.gauge.as_ref()?, table.length.as_ref()?);
        let naming = Naming::new(
            format!("feeds.{}.{}.length", fitted.id.value, socket.value),
            format!("feed wire of {}.{}", fitted.id.value, socket.value),
            Group::Electronics,
            "mm",
        );
        Some(Lead {
            awg: gauge.value.0.in_awg(),
            length: naming.reading("a tape").stated(self.inputs, length),
        })
    }
}

type Places = HashMap<(usize, usize), Option<usize>>;

fn kind_of(written: Written) -> RegulatorKind {
    match written {
        Written::Buck => RegulatorKind::Buck,
        Written::Boost => RegulatorKind::Boost,
        Written::BuckBoost => RegulatorKind::BuckBoost,
        Written::Linear => RegulatorKind::Linear,
        Written::Through => RegulatorKind::PassThrough,
        Written::Diode => RegulatorKind::Diode,
    }
}
