//! How one state answers the sticks, over the draws: margins of the rate loop, and the factor on the gains that keeps the old crossover.

use crate::assess::Assessment;
use crate::model::{LoopModel, Model, RotorModel};
use crate::outcome::{Outcome, Outcomes};
use crate::phrase::Phrase;
use crate::verdict::State;
use crate::verdict::state::Basis;
use flight::handling::rate_loop::{Gains, Margins, NoMargins, RateLoop};
use flight::handling::trim::{Hover, Rotor, Spin, ThrustCurve};
use quantity::statistics::Summary;

/// The three axes and their outcomes.
pub const AXES: [(&str, Outcome); 3] = [
    ("roll", Outcome::RollGain),
    ("pitch", Outcome::PitchGain),
    ("yaw", Outcome::YawGain),
];

/// Draws for which the whole loop is searched; crossover and phase margin are found for every one.
const SEARCHED: usize = 64;

/// What is said about all axes; empty where the craft has no places.
#[derive(Debug, Clone, Default)]
pub struct Handling {
    /// Roll, pitch, yaw.
    pub axes: Vec<AxisHandling>,
    /// How far the refit moves the balance forward and to the left \[mm\], draw by draw.
    pub moved_mm: Option<[Vec<f64>; 2]>,
}

/// What is said about one axis.
#[derive(Debug, Clone)]
pub struct AxisHandling {
    /// "roll".
    pub axis: &'static str,
    /// The crossover that is kept \[Hz\]: of the craft before, with its gains or by class.
    pub kept_hz: f64,
    /// Whether gains or the owner say so.
    pub kept_is_said: bool,
    /// Factor on all gains that keeps it, draw by draw; only after a refit.
    pub factor: Option<Vec<f64>>,
    /// Margins with the gains as written; none where none are.
    pub margins: Option<LoopMargins>,
    /// Delay at the kept crossover, each with its name \[s\].
    pub delays_s: Vec<(String, f64)>,
}

/// Margins of a loop.
#[derive(Debug, Clone)]
pub struct LoopMargins {
    /// At the middle of every input.
    pub middle: Result<Margins, NoMargins>,
    /// Crossover \[Hz\], draw by draw.
    pub crossover_hz: Vec<f64>,
    /// Phase margin \[°\], draw by draw.
    pub phase_deg: Vec<f64>,
    /// Gain margin \[dB\] and sensitivity peak over the draws that were searched.
    pub gain_db: Option<Summary>,
    /// See there.
    pub peak: Option<Summary>,
}

impl Handling {
    /// Of one state, with the state before it where there was one.
    pub fn of(
        model: &Model,
        outcomes: &Outcomes,
        basis: &Basis,
        before: Option<(&Model, &Outcomes)>,
    ) -> Self {
        if model.space.is_none() {
            return Self::default();
        }
        let now = Plants::of(model, outcomes, basis);
        let old = before
            .filter(|(model, _)| model.space.is_some())
            .map(|(model, outcomes)| Plants::of(model, outcomes, basis));
        let moved_mm = before.filter(|_| old.is_some()).map(|(_, before)| {
            [Outcome::CgX, Outcome::CgY].map(|axis| {
                let (was, is) = (before.of(axis), outcomes.of(axis));
                is.into_iter().zip(was).map(|(is, was)| is - was).collect()
            })
        });
        let axes = (0..3)
            .map(|axis| axis_handling(axis, &now, old.as_ref()))
            .collect();
        Self { axes, moved_mm }
    }
}

fn axis_handling(axis: usize, now: &Plants<'_>, old: Option<&Plants<'_>>) -> AxisHandling {
    let first = old.unwrap_or(now);
    let by_gains =
        first.model.gains[axis].and_then(|_| Some(first.middle(axis).margins().ok()?.crossover_hz));
    let kept_hz = by_gains.unwrap_or(first.model.crossover_hz);
    let factor = old.map(|old| {
        let one = |draw: usize| {
            let [was, is] = [old, now].map(|plants| plants.at(axis, draw, old.gains(axis)));
            was.response(kept_hz).norm() / is.response(kept_hz).norm()
        };
        (0..now.draws()).map(one).collect()
    });
    AxisHandling {
        axis: AXES[axis].0,
        kept_hz,
        kept_is_said: by_gains.is_some() || (axis == 0 && first.model.crossover_said),
        factor,
        margins: now.model.gains[axis].map(|gains| margins(axis, now, gains)),
        delays_s: now.delays_s(kept_hz),
    }
}

fn margins(axis: usize, plants: &Plants<'_>, gains: Gains) -> LoopMargins {
    let middle = plants.middle(axis).margins();
    let near_hz = middle
        .as_ref()
        .map_or(plants.model.crossover_hz, |margins| margins.crossover_hz);
    let (mut crossover_hz, mut phase_deg) = (Vec::new(), Vec::new());
    for draw in 0..plants.draws() {
        let rate_loop = plants.at(axis, draw, gains);
        let (hz, phase) = crossover(&rate_loop, near_hz).unwrap_or((f64::NAN, f64::NAN));
        crossover_hz.push(hz);
        phase_deg.push(phase);
    }
    let searched = (0..plants.draws().min(SEARCHED))
        .filter_map(|draw| plants.at(axis, draw, gains).margins().ok());
    let searched: Vec<Margins> = searched.collect();
    let band = |pick: fn(&Margins) -> Option<f64>| {
        let values: Vec<f64> = searched.iter().filter_map(pick).collect();
        (!values.is_empty()).then(|| Summary::of(&values))
    };
    LoopMargins {
        middle,
        crossover_hz,
        phase_deg,
        gain_db: band(|margins| margins.gain_margin.map(|it| it.db)),
        peak: band(|margins| margins.sensitivity_peak),
    }
}

/// Crossover nearest to a guess \[Hz\] and the phase margin there \[°\]; none where the gain does not pass one within a factor of ten.
fn crossover(rate_loop: &RateLoop, near_hz: f64) -> Option<(f64, f64)> {
    let gain = |log_hz: f64| rate_loop.response(log_hz.exp()).norm().ln();
    let (mut low, mut high) = ((near_hz / 10.0).ln(), (near_hz * 10.0).ln());
    let (mut at_low, mut at_high) = (gain(low), gain(high));
    // Written so that a NaN leaves as well.
    if !(at_low > 0.0 && at_high < 0.0) {
        return None;
    }
    // False position with halving of the end that stays (Illinois).
    let mut log_hz = near_hz.ln();
    for _ in 0..60 {
        let value = gain(log_hz);
        if value.abs() < 1e-9 {
            break;
        }
        if value > 0.0 {
            (low, at_low) = (log_hz, value);
            at_high *= 0.5;
        } else {
            (high, at_high) = (log_hz, value);
            at_low *= 0.5;
        }
        log_hz = low + (high - low) * at_low / (at_low - at_high);
    }
    let hz = log_hz.exp();
    let phase = 180.0 + rate_loop.response(hz).arg().to_degrees();
    Some((hz, if phase > 180.0 { phase - 360.0 } else { phase }))
}

/// Thrust of each motor in hover at the middle of every input \[N\], with the motor's name; empty where there is no trim.
pub fn split(state: &State) -> Vec<(String, f64)> {
    let middle = |outcome| state.summary(outcome).map(|band| band.p50);
    let place = (|| {
        Some([
            middle(Outcome::CgX)?,
            middle(Outcome::CgY)?,
            middle(Outcome::AllUpMass)?,
        ])
    })();
    let (Some([x_mm, y_mm, mass_g]), Some(space)) = (place, state.model.space.as_ref()) else {
        return Vec::new();
    };
    let rotors: Vec<Rotor> = space
        .rotors
        .iter()
        .map(|rotor| rotor.about([1e-3 * x_mm, 1e-3 * y_mm]))
        .collect();
    // The split does not depend on the curve; a motor that can give anything never bounds it.
    let curve = ThrustCurve {
        thrust_max_n: 1e3,
        shape: 1.0,
    };
    let hover = Hover {
        rotors: &rotors,
        kappa_m: 1e-3,
        curve,
        mass_kg: 1e-3 * mass_g,
    };
    let names = state
        .space
        .layout
        .rotors
        .iter()
        .map(|rotor| rotor.name.clone());
    hover
        .trim()
        .map_or_else(|_| Vec::new(), |trim| names.zip(trim.thrust_n).collect())
}

/// What the refit does to the gains of an axis, in plain words; none without a refit.
pub fn in_words(assessment: &Assessment, axis: usize) -> Option<Phrase> {
    let (state, before) = (&assessment.judged, assessment.before.as_ref()?);
    let it = state.handling.axes.get(axis)?;
    let band = Summary::of(it.factor.as_ref()?);
    let change =
        |outcome| Some(100.0 * (state.summary(outcome)?.p50 / before.summary(outcome)?.p50 - 1.0));
    let inertia = change([Outcome::Ixx, Outcome::Iyy, Outcome::Izz][axis])?;
    let (mass, lag) = (change(Outcome::AllUpMass)?, change(Outcome::MotorLag)?);
    let where_it_sits = match (mass, inertia) {
        (mass, inertia) if mass > 1.0 && inertia < 0.5 * mass => {
            ", but the mass sits in the middle"
        }
        (mass, inertia) if mass > 1.0 && inertia > 1.5 * mass => ", and the mass sits far out",
        _ => "",
    };
    let percent = 100.0 * (band.p50 - 1.0);
    let advice = match percent.abs() {
        off if off <= 5.0 => "leave them",
        off if off <= 15.0 => "leave them and fly, or scale them",
        _ => "scale all three and tune anew",
    };
    Some(
        Phrase::words(format!("{}: mass ", it.axis))
            .and_change(mass)
            .then(where_it_sits)
            .then(", inertia ")
            .and_change(inertia)
            .then(", motor lag ")
            .and_change(lag)
            .then(": gains ")
            .doubted(percent, 100.0 * band.sd, "%")
            .then(" to keep the crossover of ")
            .number(it.kept_hz, "Hz")
            .then(format!("; {advice}")),
    )
}

impl Phrase {
    /// A change in percent with its sign.
    fn and_change(self, percent: f64) -> Self {
        let sign = if percent < 0.0 { "−" } else { "+" };
        self.then(sign).number(percent.abs(), "%")
    }
}

/// Gain and lag of every draw.
struct Plants<'a> {
    model: &'a LoopModel,
    gains: [Vec<f64>; 3],
    lag_ms: Vec<f64>,
    delay_s: Vec<f64>,
}

impl<'a> Plants<'a> {
    fn of(model: &'a Model, outcomes: &Outcomes, basis: &Basis) -> Self {
        let draws = outcomes.draws();
        Self {
            model: &model.rate_loop,
            gains: AXES.map(|(_, outcome)| outcomes.of(outcome)),
            lag_ms: outcomes.of(Outcome::MotorLag),
            delay_s: basis.term(model.rate_loop.delay, draws),
        }
    }

    fn draws(&self) -> usize {
        self.lag_ms.len()
    }

    /// Gains as written, or one for the proportional part alone: in a ratio they fall out.
    fn gains(&self, axis: usize) -> Gains {
        self.model.gains[axis].unwrap_or(Gains {
            p: 1.0,
            i: 0.0,
            d: 0.0,
        })
    }

    fn at(&self, axis: usize, draw: usize, gains: Gains) -> RateLoop {
        self.with(
            self.gains[axis][draw],
            1e-3 * self.lag_ms[draw],
            self.delay_s[draw],
            gains,
        )
    }

    fn middle(&self, axis: usize) -> RateLoop {
        let median = |values: &[f64]| Summary::of(values).p50;
        let lag_s = 1e-3 * median(&self.lag_ms);
        self.with(
            median(&self.gains[axis]),
            lag_s,
            median(&self.delay_s),
            self.gains(axis),
        )
    }

    fn with(&self, gain_rad_s2: f64, lag_s: f64, delay_s: f64, gains: Gains) -> RateLoop {
        RateLoop {
            gain_rad_s2,
            lag_s,
            delay_s,
            gains,
            gyro_filters: self.model.gyro.clone(),
            d_filters: self.model.derivative.clone(),
        }
    }

    /// What delays the loop at a frequency: filters of the gyro, motors, the rest; and what only the derivative waits for.
    fn delays_s(&self, hz: f64) -> Vec<(String, f64)> {
        let sum = |filters: &[flight::handling::filter::Filter]| {
            filters.iter().map(|filter| filter.group_delay_s(hz)).sum()
        };
        let median = |values: &[f64]| Summary::of(values).p50;
        let x = std::f64::consts::TAU * hz * 1e-3 * median(&self.lag_ms);
        vec![
            (
                "motors and propellers".into(),
                1e-3 * median(&self.lag_ms) / (1.0 + x * x),
            ),
            ("gyro filters".into(), sum(&self.model.gyro)),
            (
                "sampling, calculation, drivers".into(),
                median(&self.delay_s),
            ),
            (
                "derivative filters, in the D part alone".into(),
                sum(&self.model.derivative),
            ),
        ]
    }
}

impl RotorModel {
    /// The motor as seen from a centre of gravity \[m\].
    pub fn about(&self, centre_m: [f64; 2]) -> Rotor {
        Rotor {
            x_m: self.at_m[0] - centre_m[0],
            y_m: self.at_m[1] - centre_m[1],
            spin: if self.nose_left {
                Spin::NoseLeft
            } else {
                Spin::NoseRight
            },
        }
    }
}
