//! A regulator between the bus and a device: which volts come out and what it takes from the bus.
//!
//! **Not validated**: energy balance and Kirchhoff's current law, checked by arithmetic only; no
//! outside measurement of a board regulator was found. Ignored: ripple, inrush, soft start,
//! current fold-back, the fall of efficiency at light load, quiescent current, hysteresis of the
//! lock-out, and the growth of the drop-out with load (a data sheet gives it as load current
//! times switch and coil resistance; here it is one stated voltage).

use quantity::{Current, Power, Voltage};

/// How it makes its output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RegulatorKind {
    /// Step-down switcher: output never above input minus drop-out, and then it follows.
    Buck,
    /// Step-up switcher: below its output it regulates; from there on the input comes through.
    Boost,
    /// Step-up-and-down switcher.
    BuckBoost,
    /// Linear: input current equals output current, the rest is heat.
    Linear,
    /// No regulation: a plain pad or a closed switch; `drop_out` is the loss across it.
    PassThrough,
    /// A diode in the feed; `drop_out` is its forward voltage.
    Diode,
}

/// A regulator as the supply sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regulator {
    /// How it makes its output.
    pub kind: RegulatorKind,
    /// What it regulates to; not used by a pad or a diode.
    pub output: Voltage,
    /// What the input must exceed the output by; for a boost the forward voltage of its diode.
    pub drop_out: Voltage,
    /// Below this it switches off.
    pub minimum_input: Voltage,
    /// Output current it may give for ever, after any derating.
    pub continuous_limit: Current,
    /// Output current it may give for a moment.
    pub peak_limit: Current,
    /// Output power over input power of a switcher, 0 to 1; not used by the others.
    pub efficiency: f64,
}

/// What the regulator is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RegulatorState {
    /// The output is what it says.
    Regulating,
    /// Too little input: the output follows the input, one drop-out below it.
    Dropout,
    /// The input comes straight through: a pad, a diode, or a boost fed at or above its output.
    PassingThrough,
    /// Off: the input is below the minimum, or nothing is left for the output.
    LockedOut,
}

/// One regulator at one input voltage and one load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RegulatorPoint {
    /// Voltage at the device; zero when locked out.
    pub output: Voltage,
    /// Current to the device. Whether it is too much is for the rules above to say.
    pub output_current: Current,
    /// Power taken from the bus.
    pub input_power: Power,
    /// Current taken from the bus.
    pub input_current: Current,
    /// Power that stays in the regulator.
    pub heat: Power,
    /// What it is doing.
    pub state: RegulatorState,
}

impl Regulator {
    /// Feed it `input` while the device insists on `load`.
    ///
    /// A switcher takes load over efficiency, so at falling input it draws rising current. In
    /// drop-out its switch stays closed and input current equals output current; the larger of
    /// the two draws is taken. A boost fed at or above its output gives the input minus its
    /// diode, topped up to its own output in the last few tenths of a volt.
    ///
    /// Efficiency is kept within 0.01 to 1; a negative load counts as none.
    #[inline]
    pub fn feed(&self, input: Voltage, load: Power) -> RegulatorPoint {
        let input_v = input.in_volts();
        let (output_v, state) = self.output_v(input_v);
        if state == RegulatorState::LockedOut {
            return LOCKED_OUT;
        }
        let load_w = load.in_watts().max(0.0);
        let output_a = load_w / output_v;
        let input_w = self.input_w(input_v, load_w, output_a, state);
        RegulatorPoint {
            output: Voltage::volts(output_v),
            output_current: Current::amperes(output_a),
            input_power: Power::watts(input_w),
            input_current: Current::amperes(input_w / input_v),
            heat: Power::watts(input_w - load_w),
            state,
        }
    }

    fn output_v(&self, input_v: f64) -> (f64, RegulatorState) {
        let target_v = self.output.in_volts();
        let left_v = input_v - self.drop_out.in_volts().max(0.0);
        let (output_v, state) = match self.kind {
            RegulatorKind::Buck | RegulatorKind::Linear if left_v < target_v => {
                (left_v, RegulatorState::Dropout)
            }
            RegulatorKind::Boost if input_v >= target_v => {
                (left_v.max(target_v), RegulatorState::PassingThrough)
            }
            RegulatorKind::PassThrough | RegulatorKind::Diode => {
                (left_v, RegulatorState::PassingThrough)
            }
            _ => (target_v, RegulatorState::Regulating),
        };
        // Written so that not-a-number counts as off.
        let alive = input_v > 0.0 && input_v >= self.minimum_input.in_volts() && output_v > 0.0;
        if alive {
            (output_v, state)
        } else {
            (0.0, RegulatorState::LockedOut)
        }
    }

    fn input_w(&self, input_v: f64, load_w: f64, output_a: f64, state: RegulatorState) -> f64 {
        let switched_w = load_w / self.efficiency.clamp(0.01, 1.0);
        match (self.kind, state) {
            (RegulatorKind::Linear | RegulatorKind::PassThrough | RegulatorKind::Diode, _) => {
                input_v * output_a
            }
            (_, RegulatorState::Dropout) => switched_w.max(input_v * output_a),
            // The top-up of a boost near its output costs no more than regulating would.
            (_, RegulatorState::PassingThrough) => (input_v * output_a).max(load_w),
            _ => switched_w,
        }
    }
}

const LOCKED_OUT: RegulatorPoint = RegulatorPoint {
    output: Voltage::volts(0.0),
    output_current: Current::amperes(0.0),
    input_power: Power::watts(0.0),
    input_current: Current::amperes(0.0),
    heat: Power::watts(0.0),
    state: RegulatorState::LockedOut,
};

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn regulator(kind: RegulatorKind) -> Regulator {
        Regulator {
            kind,
            output: Voltage::volts(5.0),
            drop_out: Voltage::volts(0.5),
            minimum_input: Voltage::volts(2.8),
            continuous_limit: Current::amperes(1.5),
            peak_limit: Current::amperes(2.0),
            efficiency: 0.85,
        }
    }

    fn feed(kind: RegulatorKind, volts: f64, watts: f64) -> RegulatorPoint {
        regulator(kind).feed(Voltage::volts(volts), Power::watts(watts))
    }

    #[test]
    fn checked_step_down_regulates_and_then_follows() {
        let well_fed = feed(RegulatorKind::Buck, 7.4, 5.0);
        // 5 W / 0.85 = 5.882 W; at 7.4 V that is 0.795 A in, 1 A out, 0.882 W of heat.
        assert_eq!(well_fed.state, RegulatorState::Regulating);
        assert!((well_fed.input_current.in_amperes() - 5.0 / 0.85 / 7.4).abs() < 1e-12);
        assert!((well_fed.heat.in_watts() - (5.0 / 0.85 - 5.0)).abs() < 1e-12);
        // Fed 5.3 V it has 4.8 V left.
        let starved = feed(RegulatorKind::Buck, 5.3, 5.0);
        assert_eq!(starved.state, RegulatorState::Dropout);
        assert!((starved.output.in_volts() - 4.8).abs() < 1e-12);
        assert!((starved.output_current.in_amperes() - 5.0 / 4.8).abs() < 1e-12);
    }

    #[test]
    fn checked_step_up_pulls_harder_from_a_sagging_cell() {
        // 5 W / (0.85 × 3.1 V) = 1.898 A.
        let sagging = feed(RegulatorKind::Boost, 3.1, 5.0);
        assert!((sagging.input_current.in_amperes() - 1.898).abs() < 5e-4);
        assert!(sagging.input_current > feed(RegulatorKind::Boost, 4.0, 5.0).input_current);
        // Fed 8 V it cannot hold 5 V: 7.5 V reach the device.
        let through = feed(RegulatorKind::Boost, 8.0, 5.0);
        assert_eq!(through.state, RegulatorState::PassingThrough);
        assert!((through.output.in_volts() - 7.5).abs() < 1e-12);
        assert_eq!(
            feed(RegulatorKind::Boost, 2.7, 5.0).state,
            RegulatorState::LockedOut
        );
    }

    #[test]
    fn checked_linear_turns_the_difference_to_heat() {
        // (12 − 5) V × 0.5 A = 3.5 W, the usual schoolbook example.
        let point = feed(RegulatorKind::Linear, 12.0, 2.5);
        assert!((point.heat.in_watts() - 3.5).abs() < 1e-12);
        assert_eq!(point.input_current, point.output_current);
    }

    #[test]
    fn checked_a_diode_takes_its_drop() {
        let point = feed(RegulatorKind::Diode, 5.0, 4.5);
        assert!((point.output.in_volts() - 4.5).abs() < 1e-12);
        assert!((point.heat.in_watts() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn checked_absurd_inputs_are_off_or_finite() {
        for volts in [-12.0, 0.0, f64::NAN, f64::NEG_INFINITY] {
            assert_eq!(feed(RegulatorKind::Buck, volts, 5.0), LOCKED_OUT);
        }
        let mut broken = regulator(RegulatorKind::Buck);
        broken.efficiency = 0.0;
        let point = broken.feed(Voltage::volts(8.0), Power::watts(-3.0));
        assert_eq!(point.input_power, Power::watts(0.0));
        broken.efficiency = 7.0;
        let point = broken.feed(Voltage::volts(8.0), Power::watts(3.0));
        assert_eq!(point.input_power, Power::watts(3.0));
    }

    proptest! {
        #[test]
        fn checked_no_regulator_makes_energy(volts in 0.1..30.0f64, watts in 0.0..20.0f64) {
            for kind in [
                RegulatorKind::Buck, RegulatorKind::Boost, RegulatorKind::BuckBoost,
                RegulatorKind::Linear, RegulatorKind::PassThrough, RegulatorKind::Diode,
            ] {
                let point = feed(kind, volts, watts);
                prop_assert!(point.heat.in_watts() >= -1e-12);
                let balance = point.input_power.in_watts()
                    - (point.output * point.output_current).in_watts()
                    - point.heat.in_watts();
                prop_assert!(balance.abs() < 1e-9);
                if kind == RegulatorKind::Buck {
                    prop_assert!(point.output.in_volts() <= (volts - 0.5).max(0.0) + 1e-12);
                }
            }
        }
    }
}
