//! From operating points to the outcomes of one draw.

use super::*;

impl<C: Chain> Run<'_, '_, C> {
    pub(super) fn electronics(&mut self, row: &mut [f64]) {
        let loads = &self.model.electrics.loads;
        row[Outcome::Electronics as usize] = loads
            .iter()
            .map(|load| self.draw.of(load.power) * load.count)
            .sum();
    }

    /// Volts on a full pack at rest, the highest any device sees from the battery.
    pub(super) fn top_volts(&mut self, row: &mut [f64]) {
        let Some(battery) = &self.model.battery else {
            return;
        };
        let top_v = battery.chemistry.full().in_volts() * f64::from(battery.series);
        self.scratch
            .settled
            .settle(&self.model.electrics, self.draw, top_v, Demand::Usual);
        for (at, load) in self.model.electrics.loads.iter().enumerate() {
            if load.parent.is_some() {
                // Without load no wire takes anything off, so a device on the pack sees all of it.
                let seen_v = if load.parent == Some(crate::model::Parent::Bus) {
                    top_v
                } else {
                    self.scratch.settled.load_v[at]
                };
                row[load_outcome(self.model, at) + 1] = seen_v;
            }
        }
    }

    pub(super) fn command(
        &mut self,
        drive: &DriveModel,
        point: &OperatingPoint,
        outcome: Outcome,
    ) -> f64 {
        let idle = self.of(drive.idle_offset);
        let command = 100.0 * (idle + (1.0 - idle) * point.duty);
        let id = if outcome == Outcome::HoverCommand {
            "half charge"
        } else {
            "landing reserve"
        };
        self.chain.note(|| Step {
            id: outcome.id().into(),
            what: outcome.info().name,
            formula: "idle offset + (1 − idle offset) × motor volts / bus volts",
            uses: vec![
                term("idle offset", drive.idle_offset, 100.0 * idle, "%"),
                step(
                    "motor volts",
                    &format!("{id}.motor_v"),
                    point.motor_voltage.in_volts(),
                    "V",
                ),
                step(
                    "bus volts",
                    &format!("{id}.bus_v"),
                    point.bus_voltage.in_volts(),
                    "V",
                ),
            ],
            result: command,
            unit: "%",
        });
        command
    }

    pub(super) fn hover_figures(
        &mut self,
        drive: &DriveModel,
        hover: &OperatingPoint,
        row: &mut [f64],
    ) {
        let power_w = hover.bus_power.in_watts();
        let area_m2 =
            f64::from(drive.rotors) * std::f64::consts::PI * drive.diameter_m * drive.diameter_m
                / 4.0;
        let mass_g = self.mass_kg * 1e3;
        row[Outcome::HoverCommand as usize] = self.command(drive, hover, Outcome::HoverCommand);
        row[Outcome::HoverPower as usize] = power_w;
        row[Outcome::HoverCurrent as usize] = hover.bus_current.in_amperes();
        row[Outcome::HoverCurrentShown as usize] =
            hover.bus_current.in_amperes() * self.of(self.model.situation.current_gain);
        row[Outcome::HoverSpeed as usize] = hover.rotation.in_rpm();
        row[Outcome::HoverTipSpeed as usize] = hover.tip_speed.in_metres_per_second();
        row[Outcome::DiscLoading as usize] = self.mass_kg * STANDARD_GRAVITY / area_m2;
        row[Outcome::HoverPowerRatio as usize] = power_w / mass_g;
        self.chain.note(|| Step {
            id: Outcome::DiscLoading.id().into(),
            what: "disc loading".into(),
            formula: "mass × 9.80665 / (rotors × π × diameter² / 4)",
            uses: vec![
                step("all-up mass", Outcome::AllUpMass.id(), mass_g, "g"),
                given("rotors", f64::from(drive.rotors), ""),
                given("propeller diameter", drive.diameter_m * 1e3, "mm"),
            ],
            result: self.mass_kg * STANDARD_GRAVITY / area_m2,
            unit: "N/m²",
        });
        self.chain.note(|| Step {
            id: Outcome::HoverPowerRatio.id().into(),
            what: "hover power over mass".into(),
            formula: "hover power / all-up mass",
            uses: vec![
                step("hover power", Outcome::HoverPower.id(), power_w, "W"),
                step("all-up mass", Outcome::AllUpMass.id(), mass_g, "g"),
            ],
            result: power_w / mass_g,
            unit: "W/g",
        });
    }

    /// True volts of each cell at which this draw lands: a sensor that reads high lands you at fewer.
    fn landing_v(&self) -> f64 {
        let situation = &self.model.situation;
        situation.landing_v / self.of(situation.voltage_gain)
    }

    fn discharge(&self, battery: &BatteryModel, power_w: f64, size: f64) -> Discharge {
        discharge(
            &self.pack(battery, false, size),
            Resistance::ohms(self.path_ohm(battery)),
            Power::watts(power_w),
            FULL_CHARGE,
            Voltage::volts(self.landing_v()),
            self.reserve(),
            self.pack_temperature(false),
        )
    }

    pub(super) fn endurance(
        &mut self,
        battery: &BatteryModel,
        hover: &OperatingPoint,
        electronics_w: f64,
        row: &mut [f64],
    ) {
        let hover_w = hover.bus_power.in_watts();
        let activity = self.of(self.model.situation.activity);
        let active_w = (hover_w - electronics_w) * activity + electronics_w;
        let still = self.discharge(battery, hover_w, 1.0);
        let active = self.discharge(battery, active_w, 1.0);
        row[Outcome::HoverTime as usize] = still.time.in_seconds();
        row[Outcome::ActiveTime as usize] = active.time.in_seconds();
        row[Outcome::EndCharge as usize] = 100.0 * active.end_charge;
        row[Outcome::ActiveCurrent as usize] = active_w / hover.bus_voltage.in_volts();
        let situation = &self.model.situation;
        let (landing_v, reserve) = (self.landing_v(), self.reserve());
        let capacity_mah = self.of(battery.capacity) / 3.6;
        for (outcome, power_w, spent, power_id) in [
            (
                Outcome::HoverTime,
                hover_w,
                &still,
                Outcome::HoverPower.id(),
            ),
            (Outcome::ActiveTime, active_w, &active, "endurance.active_w"),
        ] {
            if outcome == Outcome::ActiveTime {
                self.chain.note(|| Step {
                    id: power_id.into(),
                    what: "power in active flying".into(),
                    formula: "(hover power − electronics) × activity + electronics",
                    uses: vec![
                        step("hover power", Outcome::HoverPower.id(), hover_w, "W"),
                        given("electronics at the pack", electronics_w, "W"),
                        term("activity", situation.activity, activity, ""),
                    ],
                    result: active_w,
                    unit: "W",
                });
            }
            self.chain.note(|| Step {
                id: outcome.id().into(),
                what: outcome.info().name,
                formula: "capacity × ∫ volts d(charge) / power, from full to the landing volts under load or the reserve",
                uses: vec![
                    term("capacity", battery.capacity, capacity_mah, "mAh"),
                    step("power", power_id, power_w, "W"),
                    given("landing volts for each cell, true", landing_v, "V"),
                    term("reserve off plan", situation.landing_error, 100.0 * (reserve - situation.reserve), "%"),
                    given("charge left", 100.0 * spent.end_charge, "%"),
                ],
                result: spent.time.in_seconds(),
                unit: "s",
            });
        }
        self.chain.note(|| Step {
            id: Outcome::EndCharge.id().into(),
            what: "charge left on landing".into(),
            formula: "where open-circuit volts − sustained sag meet the landing volts, not below the reserve",
            uses: vec![step("power", "endurance.active_w", active_w, "W"), given("landing volts for each cell, true", landing_v, "V")],
            result: 100.0 * active.end_charge,
            unit: "%",
        });
        self.chain.note(|| Step {
            id: Outcome::ActiveCurrent.id().into(),
            what: "battery current in active flying".into(),
            formula: "power in active flying / bus volts in hover",
            uses: vec![
                step("power", "endurance.active_w", active_w, "W"),
                step(
                    "bus volts",
                    "half charge.bus_v",
                    hover.bus_voltage.in_volts(),
                    "V",
                ),
            ],
            result: active_w / hover.bus_voltage.in_volts(),
            unit: "A",
        });
    }

    pub(super) fn thrust_to_weight(
        &mut self,
        drive: &DriveModel,
        full: &OperatingPoint,
        outcome: Outcome,
    ) -> f64 {
        let thrust_n = full.thrust.in_newtons() * f64::from(drive.rotors);
        let ratio = thrust_n / (self.mass_kg * STANDARD_GRAVITY);
        let state = if outcome == Outcome::ThrustFull {
            "full pack"
        } else {
            "landing reserve, punch"
        };
        self.chain.note(|| Step {
            id: outcome.id().into(),
            what: outcome.info().name,
            formula: "rotors × thrust / (mass × 9.80665)",
            uses: vec![
                given("rotors", f64::from(drive.rotors), ""),
                step(
                    "thrust of one",
                    &format!("{state}.thrust"),
                    full.thrust.in_grams_force(),
                    "gf",
                ),
                step(
                    "all-up mass",
                    Outcome::AllUpMass.id(),
                    self.mass_kg * 1e3,
                    "g",
                ),
            ],
            result: ratio,
            unit: "",
        });
        ratio
    }

    pub(super) fn full_figures(
        &mut self,
        drive: &DriveModel,
        battery: &BatteryModel,
        full: &OperatingPoint,
        row: &mut [f64],
    ) {
        let capacity_ah = self.of(battery.capacity) / 3600.0;
        let current_a = full.bus_current.in_amperes();
        let no_load_rpm =
            self.of(drive.kv) * full.motor_voltage.in_volts() * 60.0 / std::f64::consts::TAU;
        row[Outcome::ThrustFull as usize] = self.thrust_to_weight(drive, full, Outcome::ThrustFull);
        row[Outcome::PeakCurrent as usize] = current_a;
        row[Outcome::PeakRate as usize] = current_a / capacity_ah;
        row[Outcome::MotorCurrent as usize] = full.motor_current.in_amperes();
        row[Outcome::FullSpeed as usize] = full.rotation.in_rpm();
        row[Outcome::FullTipSpeed as usize] = full.tip_speed.in_metres_per_second();
        row[Outcome::FullSpeedRatio as usize] = full.rotation.in_rpm() / no_load_rpm;
        self.chain.note(|| Step {
            id: Outcome::PeakRate.id().into(),
            what: "discharge rate at full command".into(),
            formula: "current / capacity in an hour",
            uses: vec![
                step("current", Outcome::PeakCurrent.id(), current_a, "A"),
                term("capacity", battery.capacity, capacity_ah * 1e3, "mAh"),
            ],
            result: current_a / capacity_ah,
            unit: "C",
        });
    }

    pub(super) fn pack_figures(&mut self, battery: &BatteryModel, row: &mut [f64]) {
        let pack = self.pack(battery, false, 1.0);
        let rate = power::typical::rate_by_heat(pack.cell.resistance, pack.cell.capacity)
            .quantity
            .value;
        row[Outcome::HonestRate as usize] = rate.in_per_hour();
        if let Some(mass) = self.model.mass.battery {
            row[Outcome::PackEnergy as usize] =
                pack.nominal_energy().in_watt_hours() / self.of(mass);
        }
        self.chain.note(|| Step {
            id: Outcome::HonestRate.id().into(),
            what: "rate this pack can hold".into(),
            formula: "2.5 / √(cell resistance in mΩ × capacity in Ah / 1000)",
            uses: vec![
                given(
                    "cell resistance today",
                    pack.cell.resistance.in_milliohms(),
                    "mΩ",
                ),
                given(
                    "capacity of one string",
                    pack.cell.capacity.in_milliampere_hours(),
                    "mAh",
                ),
            ],
            result: rate.in_per_hour(),
            unit: "C",
        });
    }

    pub(super) fn punch_figures(
        &mut self,
        battery: &BatteryModel,
        punch: &OperatingPoint,
        row: &mut [f64],
    ) {
        let bus_v = punch.bus_voltage.in_volts();
        row[Outcome::PunchVolts as usize] = bus_v;
        let cell = self.pack(battery, true, 1.0).cell;
        let resting_v = cell.open_circuit(self.reserve()).in_volts();
        row[Outcome::PunchSag as usize] = resting_v - bus_v / f64::from(battery.series);
        self.device_volts(bus_v, row);
    }

    /// The bus collapses: nothing on it is supplied.
    pub(super) fn no_punch(&mut self, row: &mut [f64]) {
        row[Outcome::PunchVolts as usize] = 0.0;
        for load in 0..self.model.electrics.loads.len() {
            row[load_outcome(self.model, load)] = 0.0;
        }
    }

    /// Currents out of the rails in ordinary flight, and with everything at its peak.
    pub(super) fn rail_loads(&mut self, bus_v: f64, row: &mut [f64]) {
        let electrics = &self.model.electrics;
        let settled = &mut self.scratch.settled;
        for (offset, demand) in [(0, Demand::Usual), (1, Demand::Peak)] {
            settled.settle(electrics, self.draw, bus_v, demand);
            for rail in 0..electrics.rails.len() {
                row[rail_outcome(rail) + offset] = settled.rail_a[rail];
            }
        }
        for (at, rail) in electrics.rails.iter().enumerate() {
            let label_a = rail.continuous_a.unwrap_or(f64::NAN);
            row[rail_outcome(at) + 2] = label_a - row[rail_outcome(at)];
        }
    }

    pub(super) fn device_volts(&mut self, bus_v: f64, row: &mut [f64]) {
        let electrics = &self.model.electrics;
        let settled = &mut self.scratch.settled;
        settled.settle(electrics, self.draw, bus_v, Demand::Peak);
        for rail in 0..electrics.rails.len() {
            row[rail_outcome(rail) + 3] = settled.rail_v[rail];
        }
        for (at, load) in electrics
            .loads
            .iter()
            .enumerate()
            .filter(|(_, load)| load.parent.is_some())
        {
            row[load_outcome(self.model, at)] = settled.load_v[at];
            let load_v = settled.load_v[at];
            self.chain
                .note(|| device_step(self.model, self.draw, load, bus_v, load_v));
        }
    }

    /// Pure hover with more or less battery of the same kind. The drive does not depend on it.
    pub(super) fn hover_seconds(
        &mut self,
        drive: &Drive,
        battery: &BatteryModel,
        size: f64,
    ) -> Option<f64> {
        let more_kg = self
            .model
            .mass
            .battery
            .map_or(0.0, |battery| self.of(battery) * (size - 1.0));
        let source = self
            .pack(battery, false, size)
            .source(
                MID_CHARGE,
                self.pack_temperature(false),
                TimeScale::TenSeconds,
            )
            .behind(Resistance::ohms(self.path_ohm(battery)));
        let thrust_n = (self.mass_kg + more_kg) * STANDARD_GRAVITY / f64::from(drive.rotors);
        let (point, _) = self.settle(source, Demand::Usual, |conditions| {
            at_thrust(drive, Force::newtons(thrust_n), conditions)
        })?;
        let spent = self.discharge(battery, point.bus_power.in_watts(), size);
        Some(spent.time.in_seconds())
    }

    pub(super) fn pack_worth(&mut self, drive: &Drive, battery: &BatteryModel, row: &mut [f64]) {
        if self.model.mass.battery.is_none() {
            return;
        }
        if let Some(more) = self.hover_seconds(drive, battery, MORE_BATTERY) {
            row[Outcome::PackWorth as usize] = more - row[Outcome::HoverTime as usize];
        }
    }
}
