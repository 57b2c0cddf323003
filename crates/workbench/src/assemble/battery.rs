//! Cells, plugs, leads and the board's path.

use super::{Assembler, key};
use crate::input::{Group, Naming, Term};
use crate::model::{BatteryModel, CellResistance, Lead};
use craft::airframe::Fitted;
use craft::facet::{self, PackCondition, PlugSize};
use craft::{Part, Place};
use power::Chemistry;
use power::typical::{self, Condition, PlugClass, Typical};
use quantity::Dimension;

const STOPS: &str = "no volts, currents, thrust or flight time";
const TWO_LOADS: &str = "volts at two loads: hover and a short punch";

impl<'a> Assembler<'a> {
    pub(super) fn battery(&mut self) -> Option<BatteryModel> {
        let Some((fitted, part, cells)) = self.first(|part| part.cells.as_ref()) else {
            self.lacks("a part with a `cells` table", None, STOPS);
            return None;
        };
        let chemistry = self.must(
            cells.chemistry.as_ref(),
            "the battery's chemistry",
            cells.place,
        );
        let series = self.must(
            cells.series.as_ref(),
            "the battery's cells in series",
            cells.place,
        );
        let capacity = self.must(
            cells.capacity.as_ref(),
            "the battery's capacity",
            cells.place,
        );
        let (chemistry, series, capacity) = (chemistry?, series?, capacity?);
        let parallel = cells.parallel.map_or(1, |parallel| parallel.value);
        let string = capacity.quantity.value / f64::from(parallel);
        let capacity = Naming::new(
            key(fitted, part, "capacity"),
            "capacity of the battery",
            Group::Charge,
            "mAh",
        )
        .reading("charge put back after a flight to a known voltage")
        .stated(self.inputs, capacity);
        Some(BatteryModel {
            chemistry: chemistry_of(chemistry.value),
            series: series.value,
            parallel,
            capacity,
            cell_resistance: self.cell_resistance(fitted, part, cells, string),
            ageing: self.path_class(
                "cells.ageing",
                "ageing to the end of the pack's life",
                "",
                typical::age_factor(Condition::Tired),
                None,
            ),
            activation_energy: self.path_class(
                "cells.cold",
                "how fast cells stiffen in the cold",
                "kJ/mol",
                typical::activation_energy(),
                None,
            ),
            sustained_ratio: self.path_class(
                "cells.sustained",
                "sustained over 10 s cell resistance",
                "",
                typical::sustained_ratio(),
                None,
            ),
            low_charge_rise: self.path_class(
                "cells.low_charge",
                "rise of cell resistance near empty",
                "",
                typical::low_charge_rise(),
                None,
            ),
            open_circuit_offset: self.path_class(
                "cells.offset",
                "resting volts against the table",
                "mV",
                typical::open_circuit_offset(),
                Some("resting volts an hour after charging and after landing"),
            ),
            plugs: self.plugs(),
            leads: self.leads(),
            board: self.board(),
        })
    }

    pub(super) fn pack_nominal_v(&self) -> Option<f64> {
        let (_, _, cells) = self.first(|part| part.cells.as_ref())?;
        let chemistry = chemistry_of(cells.chemistry.as_ref()?.value);
        Some(chemistry.nominal().in_volts() * f64::from(cells.series.as_ref()?.value))
    }

    fn must<T>(&mut self, value: Option<T>, what: &str, place: Place) -> Option<T> {
        if value.is_none() {
            self.lacks(what, Some(place), STOPS);
        }
        value
    }

    fn path_class<D: Dimension>(
        &mut self,
        key: &str,
        name: &str,
        unit: &'static str,
        typical: Typical<D>,
        reading: Option<&'static str>,
    ) -> Term {
        Naming {
            reading,
            ..Naming::new(key, name, Group::BatteryPath, unit)
        }
        .class(self.inputs, typical.quantity, typical.source)
    }

    fn cell_resistance(
        &mut self,
        fitted: &Fitted,
        part: &Part,
        cells: &facet::Cells,
        string: quantity::Charge,
    ) -> CellResistance {
        let naming = Naming::new(
            key(fitted, part, "cell_resistance"),
            "cell resistance",
            Group::BatteryPath,
            "mΩ",
        )
        .reading(TWO_LOADS);
        if let Some(stated) = &cells.resistance {
            return CellResistance::Own(naming.stated(self.inputs, stated));
        }
        let new = typical::new_cell_resistance(string);
        let wear = typical::age_factor(condition(
            cells
                .condition
                .map_or(PackCondition::Used, |condition| condition.value),
        ));
        let wear_naming = Naming::new(
            key(fitted, part, "wear"),
            "wear of the pack",
            Group::BatteryPath,
            "",
        )
        .reading(TWO_LOADS);
        CellResistance::Typical {
            new: naming.class(self.inputs, new.quantity, new.source),
            wear: wear_naming.class(self.inputs, wear.quantity, wear.source),
        }
    }

    fn plugs(&mut self) -> Vec<Term> {
        let mut plugs = Vec::new();
        for (_, fitted, part) in self.airframe.found() {
            let Some(plug) = &part.plug else { continue };
            let naming = Naming::new(
                key(fitted, part, "plug"),
                format!("plug of {}", fitted.id.value),
                Group::BatteryPath,
                "mΩ",
            )
            .reading(TWO_LOADS);
            let class = plug.size.as_ref().and_then(|size| plug_class(size.value));
            match (&plug.resistance, class) {
                (Some(stated), _) => plugs.push(naming.stated(self.inputs, stated)),
                (None, Some(class)) => {
                    let typical = typical::plug_resistance(class);
                    plugs.push(naming.class(self.inputs, typical.quantity, typical.source));
                }
                (None, None) => {}
            }
        }
        plugs
    }

    fn leads(&mut self) -> Vec<Lead> {
        let mut leads = Vec::new();
        for (_, fitted, part) in self.airframe.found() {
            let Some(lead) = &part.lead else { continue };
            let (Some(gauge), Some(length)) = (&lead.gauge, &lead.length) else {
                continue;
            };
            let naming = Naming::new(
                key(fitted, part, "lead"),
                format!("battery lead of {}", fitted.id.value),
                Group::BatteryPath,
                "mm",
            );
            leads.push(Lead {
                awg: gauge.value.0.in_awg(),
                length: naming.reading("a tape").stated(self.inputs, length),
            });
        }
        leads
    }

    fn board(&mut self) -> Vec<Term> {
        let naming = |id: &str| {
            Naming::new(
                id,
                "board path from battery pads to drivers",
                Group::BatteryPath,
                "mΩ",
            )
            .reading(TWO_LOADS)
        };
        let typical = typical::board_resistance();
        match self.first(|part| part.board.as_ref()) {
            Some((fitted, part, board)) => {
                vec![self.figure_or(
                    naming(&key(fitted, part, "path")),
                    board.path_resistance.as_ref(),
                    || (typical.quantity, typical.source),
                )]
            }
            None => vec![naming("board.path").class(self.inputs, typical.quantity, typical.source)],
        }
    }
}

/// The physics of a chemistry the builder named.
pub fn chemistry_of(named: facet::Chemistry) -> Chemistry {
    match named {
        facet::Chemistry::LithiumPolymer => Chemistry::LithiumPolymer,
        facet::Chemistry::HighVoltage => Chemistry::LithiumPolymerHighVoltage,
        facet::Chemistry::LithiumIon => Chemistry::LithiumIon,
    }
}

fn condition(named: PackCondition) -> Condition {
    match named {
        PackCondition::New => Condition::New,
        PackCondition::Used => Condition::Used,
        PackCondition::Tired => Condition::Tired,
    }
}

/// The class of a plug; none where the battery is soldered on.
pub fn plug_class(size: PlugSize) -> Option<PlugClass> {
    match size {
        PlugSize::TwoPin => Some(PlugClass::TwoMillimetreTwoPin),
        PlugSize::SingleCell => Some(PlugClass::LowResistanceSingleCell),
        PlugSize::Xt30 => Some(PlugClass::Xt30),
        PlugSize::Xt60 => Some(PlugClass::Xt60),
        PlugSize::Soldered => None,
    }
}
