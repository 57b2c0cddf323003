//! One craft in one state, ready to be computed: numbers are terms, names are gone.

use crate::input::Term;
use flight::handling::filter::Filter;
use flight::handling::rate_loop::Gains;
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

/// Where the masses are, and what turns.
#[derive(Debug, Clone, PartialEq)]
pub struct SpaceModel {
    /// Every part with a mass.
    pub bodies: Vec<BodyModel>,
    /// The places that may be off.
    pub held: Vec<HeldModel>,
    /// The motors.
    pub rotors: Vec<RotorModel>,
    /// What turns, when motor and propeller have a mass.
    pub turning: Option<TurningModel>,
    /// Least thrust of a motor that keeps turning, as a share of the largest.
    pub least_thrust: f64,
}

/// What the settings do with a turn.
#[derive(Debug, Clone, PartialEq)]
pub struct LoopModel {
    /// Besides filters and motors \[s\].
    pub delay: Term,
    /// For roll, pitch and yaw, as written.
    pub gains: [Option<Gains>; 3],
    /// What all of the gyro passes.
    pub gyro: Vec<Filter>,
    /// What only the derivative passes.
    pub derivative: Vec<Filter>,
    /// Where the loop's gain passes one \[Hz\], where no gains say it: as written, or by class.
    pub crossover_hz: f64,
    /// Whether that was written.
    pub crossover_said: bool,
    /// Whether the settings make thrust proportional to command.
    pub is_linear: bool,
}

/// One radio link between the craft and a station on the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkModel {
    /// The station's name.
    pub name: String,
    /// Whether the craft is what listens.
    pub to_craft: bool,
    /// Middle of the band \[Hz\].
    pub frequency_hz: f64,
    /// At the transmitter's connector \[W\].
    pub power: Term,
    /// The craft's antenna; its axis forward, right, down.
    pub craft: AerialModel,
    /// Antennas on the ground, the better one taken at each moment; their axes north, east, down with the craft in the north.
    pub ground: Vec<AerialModel>,
    /// How each of them and the craft's see each other far away, in level flight at the heading that gives the best of them least.
    pub level: Vec<link::antenna::Sight>,
    /// What listens.
    pub receiver: ReceiverModel,
    /// Lost behind frame and pack \[dB\].
    pub shadow: Term,
    /// How far away it must hold \[m\].
    pub distance_m: Option<f64>,
    /// Over flat ground, where both heights are said: distance \[m\] and the least and the most that is lost there \[dB\], outward.
    pub near_ground: Option<Vec<(f64, [f64; 2])>>,
    /// Share of the time it may fail.
    pub outage: f64,
    /// Most power that may be radiated \[W\].
    pub limit_w: Option<f64>,
}

/// An antenna.
#[derive(Debug, Clone, PartialEq)]
pub struct AerialModel {
    /// What it is called.
    pub name: String,
    /// What it radiates, and its axis.
    pub mounted: link::antenna::Mounted,
    /// Gain over that of the pattern \[dB\].
    pub over_pattern: Term,
    /// Lost between it and its radio \[dB\].
    pub cable: Term,
}

/// What a receiver needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReceiverModel {
    /// So much signal over the noise of its band.
    Noise {
        /// \[Hz\].
        bandwidth_hz: f64,
        /// \[dB\].
        noise_figure: Term,
        /// \[dB\].
        snr_needed: Term,
    },
    /// A level \[dBm\].
    Sensitivity(Term),
}

/// A link of which something is not said.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkLack {
    /// The station's name.
    pub name: String,
    /// What is missing.
    pub what: &'static str,
    /// Where it would be written.
    pub place: craft::Place,
}

/// A mass in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyModel {
    /// Of one \[kg\].
    pub mass: Term,
    /// How many of them this stands for.
    pub copies: f64,
    /// Its centre \[m\].
    pub centre_m: [f64; 3],
    /// About its centre, for one kilogram \[m²\].
    pub inertia_m2: [[f64; 3]; 3],
    /// Positions in [`SpaceModel::held`] of the places that carry it.
    pub carried_by: Vec<usize>,
}

/// A place that may be off.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldModel {
    /// Position of the part on the airframe.
    pub part: usize,
    /// Where the part's origin is in the middle of the doubt \[m\].
    pub origin_m: [f64; 3],
    /// Directions of the place's own x, y and z.
    pub axes: [[f64; 3]; 3],
    /// Along those \[m\], then about them \[rad\].
    pub terms: [Term; 6],
    /// Their middle values.
    pub middle: [f64; 6],
    /// Minus one where the builder counts the other way: a tilt is a pitch upward.
    pub signs: [f64; 6],
}

/// A motor's place and its propeller's way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RotorModel {
    /// Forward and to the left \[m\].
    pub at_m: [f64; 2],
    /// Whether its drag turns the nose to the left.
    pub nose_left: bool,
}

/// Bell and propeller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurningModel {
    /// Mass of one motor \[kg\].
    pub motor: Term,
    /// Share of it that is the ring of the bell.
    pub ring_share: Term,
    /// Outer and inner radius of the ring \[m\].
    pub ring_m: [f64; 2],
    /// Mass of one propeller \[kg\].
    pub propeller: Term,
    /// Inertia over mass and radius squared of the propeller.
    pub propeller_share: Term,
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
    /// Where the masses are; none where no frame says where the motors are.
    pub space: Option<SpaceModel>,
    /// What the settings do with a turn.
    pub rate_loop: LoopModel,
    /// Radio links to stations on the ground.
    pub links: Vec<LinkModel>,
    /// Links of which something is not said.
    pub link_lacks: Vec<LinkLack>,
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
