//! What is predicted: a name, a unit, and one value for each draw.

use quantity::statistics::Summary;

/// Describes one outcome.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutcomeInfo {
    /// Dotted name that carries its unit: "mass.all_up_g".
    pub id: String,
    /// Plain name.
    pub name: String,
    /// Unit of the values; empty for a bare ratio.
    pub unit: &'static str,
}

macro_rules! fixed_outcomes {
    ($($(#[doc = $doc:literal])* $variant:ident $id:literal $name:literal $unit:literal;)+) => {
        /// Outcomes that every craft has.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Outcome {
            $($(#[doc = $doc])* $variant,)+
        }

        impl Outcome {
            /// All of them, in the order of the table.
            pub const ALL: &[Self] = &[$(Self::$variant),+];

            /// Its dotted name.
            pub fn id(self) -> &'static str {
                match self { $(Self::$variant => $id),+ }
            }

            /// Name and unit.
            pub fn info(self) -> OutcomeInfo {
                let (id, name, unit) = match self { $(Self::$variant => ($id, $name, $unit)),+ };
                OutcomeInfo { id: id.to_owned(), name: name.to_owned(), unit }
            }
        }
    };
}

fixed_outcomes! {
    /// Take-off mass.
    AllUpMass "mass.all_up_g" "all-up mass" "g";
    /// Sum of the sheets, with the usual share for wire and solder.
    SumOfParts "mass.sum_of_parts_g" "sum of parts with wire and solder" "g";
    /// Thrust over weight, full pack.
    ThrustFull "thrust_to_weight.full" "thrust/weight, full pack" "";
    /// Thrust over weight at the landing reserve.
    ThrustReserve "thrust_to_weight.reserve" "thrust/weight at the landing reserve" "";
    /// Hover motor command at half charge.
    HoverCommand "hover.command" "hover motor command, half charge" "%";
    /// Hover motor command at the landing reserve.
    HoverCommandReserve "hover.command_reserve" "hover motor command at the landing reserve" "%";
    /// Power from the pack in hover, half charge.
    HoverPower "hover.power_w" "hover power from the pack" "W";
    /// Current from the pack in hover, half charge.
    HoverCurrent "hover.current_a" "hover current from the pack" "A";
    /// The same as the craft's own sensor shows it.
    HoverCurrentShown "hover.current_shown_a" "hover current as an unscaled sensor shows it" "A";
    /// Propeller speed in hover.
    HoverSpeed "hover.rpm" "hover propeller speed" "rpm";
    /// Blade tip speed in hover.
    HoverTipSpeed "hover.tip_speed_m_s" "blade tip speed in hover" "m/s";
    /// Weight over swept area.
    DiscLoading "hover.disc_loading_n_m2" "disc loading" "N/m²";
    /// Hover power over mass.
    HoverPowerRatio "hover.power_per_mass_w_g" "hover power over mass" "W/g";
    /// Pure hover to the landing reserve.
    HoverTime "endurance.hover_s" "pure hover time" "s";
    /// Flying in the chosen style to the landing reserve.
    ActiveTime "endurance.active_s" "active flying time" "s";
    /// Charge left when the volts under load say land, or the reserve does.
    EndCharge "endurance.end_charge" "charge left on landing, active flying" "%";
    /// Current from the pack in active flying.
    ActiveCurrent "battery.active_current_a" "battery current in active flying" "A";
    /// Current from the pack at full command, full pack.
    PeakCurrent "battery.peak_current_a" "battery current at full command" "A";
    /// The same over the capacity in an hour.
    PeakRate "battery.peak_rate_c" "discharge rate at full command" "C";
    /// What this resistance bears for long.
    HonestRate "battery.honest_rate_c" "rate this pack can hold" "C";
    /// Battery pads, full command at the reserve, cold and aged.
    PunchVolts "battery.punch_min_v" "volts at the battery pads, worst punch" "V";
    /// Volts lost in that punch for each cell.
    PunchSag "battery.punch_sag_v" "sag of each cell, worst punch" "V";
    /// Current of one motor at full command.
    MotorCurrent "motor.peak_current_a" "current of one motor at full command" "A";
    /// Propeller speed at full command.
    FullSpeed "full.rpm" "propeller speed at full command" "rpm";
    /// Blade tip speed at full command.
    FullTipSpeed "full.tip_speed_m_s" "blade tip speed at full command" "m/s";
    /// Share of the no-load speed reached at full command.
    FullSpeedRatio "full.speed_ratio" "speed at full command over Kv × volts" "";
    /// Battery energy over its mass.
    PackEnergy "battery.specific_energy_wh_kg" "battery energy over its mass" "Wh/kg";
    /// Battery mass over all-up mass.
    PackShare "battery.mass_share" "battery share of all-up mass" "%";
    /// Change of hover time for one percent more battery of the same kind.
    PackWorth "battery.time_per_percent_s" "hover time gained by 1 % more battery" "s";
    /// Power drawn by everything that is not a motor.
    Electronics "electronics.power_w" "power drawn by the electronics" "W";
    /// Centre of gravity forward of the middle of the motors.
    CgX "cg.x_mm" "centre of gravity, forward" "mm";
    /// To the left.
    CgY "cg.y_mm" "centre of gravity, to the left" "mm";
    /// Above the bottom plate.
    CgZ "cg.z_mm" "centre of gravity, above the bottom plate" "mm";
    /// Moment of inertia about x.
    Ixx "inertia.xx_kg_mm2" "moment of inertia in roll" "kg·mm²";
    /// About y.
    Iyy "inertia.yy_kg_mm2" "moment of inertia in pitch" "kg·mm²";
    /// About z.
    Izz "inertia.zz_kg_mm2" "moment of inertia in yaw" "kg·mm²";
    /// Product.
    Ixy "inertia.xy_kg_mm2" "product of inertia, roll and pitch" "kg·mm²";
    /// Product.
    Ixz "inertia.xz_kg_mm2" "product of inertia, roll and yaw" "kg·mm²";
    /// Product.
    Iyz "inertia.yz_kg_mm2" "product of inertia, pitch and yaw" "kg·mm²";
    /// Largest less smallest motor command in level hover.
    HoverSpread "hover.command_spread" "spread of the motor commands in hover" "%";
    /// Weaker way, thrust held.
    RollControl "control.roll_rad_s2" "control acceleration in roll, weaker way" "rad/s²";
    /// Weaker way, thrust held.
    PitchControl "control.pitch_rad_s2" "control acceleration in pitch, weaker way" "rad/s²";
    /// Weaker way, thrust held.
    YawControl "control.yaw_rad_s2" "control acceleration in yaw, weaker way" "rad/s²";
    /// Weaker over stronger way, thrust held.
    RollEvenness "control.roll_evenness" "weaker over stronger way in roll" "";
    /// Weaker over stronger way, thrust held.
    PitchEvenness "control.pitch_evenness" "weaker over stronger way in pitch" "";
    /// Time constant of motor and propeller near hover.
    MotorLag "motor.lag_ms" "lag of motor and propeller near hover" "ms";
    /// Angular acceleration for each unit of command.
    RollGain "loop_gain.roll_rad_s2" "acceleration for full command near hover, roll" "rad/s²";
    /// Angular acceleration for each unit of command.
    PitchGain "loop_gain.pitch_rad_s2" "acceleration for full command near hover, pitch" "rad/s²";
    /// Angular acceleration for each unit of command.
    YawGain "loop_gain.yaw_rad_s2" "acceleration for full command near hover, yaw" "rad/s²";
}

/// Values of all outcomes for all draws, draw by draw.
#[derive(Debug, Clone)]
pub struct Outcomes {
    /// Names and units.
    pub infos: Vec<OutcomeInfo>,
    draws: usize,
    values: Vec<f64>,
}

impl Outcomes {
    /// From rows of one value for each info.
    pub fn new(infos: Vec<OutcomeInfo>, values: Vec<f64>) -> Self {
        let draws = values.len() / infos.len().max(1);
        Self {
            infos,
            draws,
            values,
        }
    }

    /// Number of draws.
    pub fn draws(&self) -> usize {
        self.draws
    }

    /// Position of an outcome by name.
    pub fn position(&self, id: &str) -> Option<usize> {
        self.infos.iter().position(|info| info.id == id)
    }

    /// The values of one outcome; NaN where the draw has no operating point.
    pub fn column(&self, at: usize) -> Vec<f64> {
        self.values
            .iter()
            .skip(at)
            .step_by(self.infos.len())
            .copied()
            .collect()
    }

    /// The values of an outcome that every craft has.
    pub fn of(&self, outcome: Outcome) -> Vec<f64> {
        self.column(outcome as usize)
    }

    /// Its band.
    pub fn summary(&self, at: usize) -> Summary {
        Summary::of(&self.column(at))
    }
}
