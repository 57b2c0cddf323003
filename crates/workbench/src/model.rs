//! One craft in one state, ready to be computed: numbers are terms, names are gone.

use crate::input::Term;
use power::chemistry::Chemistry;
use power::regulator::RegulatorKind;

/// A wire pair in the model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lead {
    /// Gauge number.
    pub awg: f64,
    /// Length one way \[m\].
    pub length: Term,
}

/// The mass of the craft.
#[derive(Debug, Clone, PartialEq)]
pub struct MassModel {
    /// Every part: mass of one \[kg\] and how many.
    pub parts: Vec<(Term, f64)>,
    /// Share of the sum that nobody lists: wire, solder, tape.
    pub unlisted: Term,
    /// The scale's word, if there is one.
    pub weighed: Weighed,
    /// Battery mass \[kg\], when the craft has one with a body.
    pub battery: Option<Term>,
}

/// What the scale has to do with this state.
#[derive(Debug, Clone, PartialEq)]
pub enum Weighed {
    /// Nothing.
    No,
    /// It saw exactly this state.
    This(Term),
    /// It saw the craft before: these came off, these went on.
    Changed {
        /// All-up before \[kg\].
        before: Term,
        /// Taken off.
        off: Vec<(Term, f64)>,
        /// Put on.
        on: Vec<(Term, f64)>,
    },
}

/// Propellers, motors and drivers.
#[derive(Debug, Clone, PartialEq)]
pub struct DriveModel {
    /// Number of rotors.
    pub rotors: u32,
    /// Propeller diameter \[m\].
    pub diameter_m: f64,
    /// Static thrust coefficient at `reference_rad_s`.
    pub thrust_coefficient: Term,
    /// How good the propeller is.
    pub goodness: Goodness,
    /// Speed at which the coefficients hold \[rad/s\].
    pub reference_rad_s: f64,
    /// Growth of the thrust coefficient with speed.
    pub thrust_exponent: Term,
    /// Growth of the power coefficient with speed.
    pub power_exponent: Term,
    /// Share of free thrust that is left on the frame.
    pub installed_thrust: Term,
    /// Thrust at equal power relative to the open propeller, as power loading.
    pub duct_factor: Term,
    /// Velocity constant \[rad/s/V\].
    pub kv: Term,
    /// Winding at 20 °C \[Ω\].
    pub winding: Class,
    /// No-load current \[A\] at `no_load_volts`.
    pub no_load: Class,
    /// Volts at which it was taken.
    pub no_load_volts: f64,
    /// Motor mass \[kg\], for the class models.
    pub motor_mass: Option<Term>,
    /// Winding above 20 °C in hover \[K\].
    pub hover_rise: Term,
    /// Winding above 20 °C at full command \[K\].
    pub full_rise: Term,
    /// Driver efficiency in hover.
    pub hover_efficiency: Term,
    /// Driver efficiency at full command.
    pub full_efficiency: Term,
    /// ln of the thrust coefficient's change from hover to full command.
    pub full_thrust: Term,
    /// ln of the power coefficient's change from hover to full command.
    pub full_power: Term,
    /// Share of the command that only keeps the motors turning.
    pub idle_offset: Term,
    /// Highest command the settings allow.
    pub command_limit: f64,
}

/// How a propeller turns shaft power into thrust.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Goodness {
    /// Figure of merit.
    FigureOfMerit(Term),
    /// Figure of merit of a blade known by its label: what makes more thrust also makes it better or worse.
    FollowsThrust {
        /// At the middle thrust coefficient.
        merit: Term,
        /// The middle thrust coefficient.
        thrust_middle: f64,
        /// Figure of merit grows as thrust coefficient over its middle to this power.
        exponent: f64,
    },
    /// Power coefficient.
    PowerCoefficient(Term),
}

/// A value of the part's own, or a factor on its class model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Class {
    /// Known for this part.
    Own(Term),
    /// The class model times this.
    Typical(Term),
}

/// The battery and the way to the bus.
#[derive(Debug, Clone, PartialEq)]
pub struct BatteryModel {
    /// Cell chemistry.
    pub chemistry: Chemistry,
    /// Cells in series.
    pub series: u32,
    /// Strings in parallel.
    pub parallel: u32,
    /// Capacity of the pack \[C\].
    pub capacity: Term,
    /// Cell, 10 s, 25 °C, as worn as it is \[Ω\].
    pub cell_resistance: CellResistance,
    /// Further wear to the end of its life, for the worst punch.
    pub ageing: Term,
    /// Arrhenius energy \[J/mol\].
    pub activation_energy: Term,
    /// Sustained over 10 s resistance.
    pub sustained_ratio: Term,
    /// Rise near empty.
    pub low_charge_rise: Term,
    /// Open-circuit volts against the table, for each cell \[V\].
    pub open_circuit_offset: Term,
    /// Plugs, plus and minus together \[Ω\].
    pub plugs: Vec<Term>,
    /// Leads.
    pub leads: Vec<Lead>,
    /// Board path \[Ω\].
    pub board: Vec<Term>,
}

/// Where the cell's resistance comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CellResistance {
    /// Stated for this pack, as it is today \[Ω\].
    Own(Term),
    /// A new cell of this capacity, times wear.
    Typical {
        /// New \[Ω\].
        new: Term,
        /// Wear.
        wear: Term,
    },
}

/// Where a socket gets its power.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parent {
    /// The battery pads.
    Bus,
    /// A rail before it in [`ElectricsModel::rails`].
    Rail(usize),
}

/// A rail in the model.
#[derive(Debug, Clone, PartialEq)]
pub struct RailModel {
    /// "board.5v".
    pub id: String,
    /// Position of the part and of the rail on it, in the airframe.
    pub at: (usize, usize),
    /// From where.
    pub parent: Parent,
    /// Through which wire.
    pub wire: Option<Lead>,
    /// How.
    pub kind: RegulatorKind,
    /// Set volts; infinite for a rail that follows its input.
    pub output_v: f64,
    /// Step-down difference \[V\].
    pub drop_out: Term,
    /// Input below which it is off \[V\].
    pub minimum_input_v: f64,
    /// Efficiency.
    pub efficiency: Term,
    /// Label, continuous \[A\].
    pub continuous_a: Option<f64>,
    /// Label, some seconds \[A\].
    pub peak_a: Option<f64>,
}

/// A powered input in the model.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadModel {
    /// "air-unit.main".
    pub id: String,
    /// Position of the part and of the input on it, in the airframe.
    pub at: (usize, usize),
    /// From where; none if nothing says so, and then it is counted at the bus for its power only.
    pub parent: Option<Parent>,
    /// Through which wire.
    pub wire: Option<Lead>,
    /// Power in flight \[W\].
    pub power: Term,
    /// Highest power for more than a second \[W\].
    pub peak: Term,
    /// How many of them.
    pub count: f64,
    /// Volts it needs.
    pub floor: Option<Term>,
    /// Volts it bears.
    pub ceiling_v: Option<f64>,
}

/// Rails and loads, parents before children.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ElectricsModel {
    /// Rails.
    pub rails: Vec<RailModel>,
    /// Loads.
    pub loads: Vec<LoadModel>,
}

/// Air, charge and temperature at which the craft is computed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SituationModel {
    /// Altitude \[m\].
    pub altitude_m: f64,
    /// Air \[K\].
    pub air: Term,
    /// Pack in ordinary flight \[K\].
    pub pack: Term,
    /// Pack on a cold day \[K\].
    pub cold_pack: Term,
    /// Charge at landing, as planned.
    pub reserve: f64,
    /// How far off the plan you land, in charge.
    pub landing_error: Term,
    /// Volts for each cell under load at which you land.
    pub landing_v: f64,
    /// Gain of the voltage sensor that tells you.
    pub voltage_gain: Term,
    /// Gain of the current sensor.
    pub current_gain: Term,
    /// Active flying power over hover power, propulsion only.
    pub activity: Term,
    /// ln of what the refit does to thrust unseen.
    pub thrust_change: Term,
    /// ln of what the refit does to shaft power unseen.
    pub power_change: Term,
}

/// One state of the craft.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    /// Mass.
    pub mass: MassModel,
    /// Propulsion; none when a frame, motor, propeller or number is missing.
    pub drive: Option<DriveModel>,
    /// Battery; none when missing.
    pub battery: Option<BatteryModel>,
    /// Rails and loads.
    pub electrics: ElectricsModel,
    /// Air, charge, temperature.
    pub situation: SituationModel,
    /// What could not be built, in words, with what it stops.
    pub missing: Vec<Missing>,
}

/// Something the prediction needs and does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// "the battery's capacity".
    pub what: String,
    /// Where it belongs.
    pub place: Option<craft::Place>,
    /// What cannot be said without it.
    pub stops: &'static str,
}
