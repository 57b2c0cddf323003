//! Cells, path and source of one draw.

use super::*;

impl<C: Chain> Run<'_, '_, C> {
    /// The pack of this draw, aged to the end of its life or as it is; `size` scales mass, capacity and strength
    /// for the worth of a larger one.
    pub(super) fn pack(&self, model: &BatteryModel, aged: bool, size: f64) -> Pack {
        let today_ohm = match model.cell_resistance {
            CellResistance::Own(own) => self.of(own),
            CellResistance::Typical { new, wear } => self.of(new) * self.of(wear),
        };
        let cell = Cell {
            chemistry: model.chemistry,
            capacity: Charge::coulombs(self.of(model.capacity) * size / f64::from(model.parallel)),
            resistance: Resistance::ohms(
                today_ohm / size * if aged { self.of(model.ageing) } else { 1.0 },
            ),
            activation_energy: MolarEnergy::joules_per_mole(self.of(model.activation_energy)),
            sustained_ratio: self.of(model.sustained_ratio),
            low_charge_rise: self.of(model.low_charge_rise),
            open_circuit_offset: Voltage::volts(self.of(model.open_circuit_offset)),
        };
        Pack {
            cell,
            series: model.series,
            parallel: model.parallel,
        }
    }

    /// Everything between the cells and the bus \[Ω\].
    pub(super) fn path_ohm(&self, model: &BatteryModel) -> f64 {
        let fixed: f64 = model
            .plugs
            .iter()
            .chain(&model.board)
            .map(|term| self.of(*term))
            .sum();
        fixed
            + model
                .leads
                .iter()
                .map(|lead| lead_ohm(*lead, self.draw, LEAD_COPPER))
                .sum::<f64>()
    }

    pub(super) fn pack_temperature(&self, cold: bool) -> Temperature {
        let situation = &self.model.situation;
        Temperature::kelvins(self.of(if cold {
            situation.cold_pack
        } else {
            situation.pack
        }))
    }

    pub(super) fn source(&mut self, battery: &BatteryModel, state: PackState) -> Source {
        let pack = self.pack(battery, state.aged, 1.0);
        let temperature = self.pack_temperature(state.cold);
        let bare = pack.source(state.charge, temperature, state.scale);
        let path_ohm = self.path_ohm(battery);
        self.note_source(battery, state, &pack, temperature, bare, path_ohm);
        bare.behind(Resistance::ohms(path_ohm))
    }
}
