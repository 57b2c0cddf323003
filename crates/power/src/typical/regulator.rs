//! Usual regulators, and what a device needs beyond its label.

use quantity::{Doubt, Ratio, Voltage};

use super::{Mark, Typical, factor};
use crate::RegulatorKind;

/// Output power over input power of a switcher; 1 for what only passes current on, whose loss is
/// in its volts.
///
/// The trade says 0.80 to 0.92 for all of them; that steps up lose a little more than steps down,
/// and both together most, is remembered.
pub fn efficiency(kind: RegulatorKind) -> Typical<Ratio> {
    let source = "0.80 to 0.92 for switchers; order of the kinds remembered";
    let switcher = |middle| factor(middle, Doubt::Shortfall(0.30), source, Mark::CommonPractice);
    match kind {
        RegulatorKind::Buck => switcher(0.88),
        RegulatorKind::Boost => switcher(0.86),
        RegulatorKind::BuckBoost => switcher(0.85),
        RegulatorKind::Linear | RegulatorKind::PassThrough | RegulatorKind::Diode => factor(
            1.0,
            Doubt::Exact,
            "input current equals output current",
            Mark::CommonPractice,
        ),
    }
}

/// What the input must exceed the output by, at rated load.
pub fn drop_out(kind: RegulatorKind) -> Typical<Voltage> {
    let between = |low, high, source, marked| {
        Typical::between(Voltage::volts(low), Voltage::volts(high), source, marked)
    };
    match kind {
        RegulatorKind::Buck => {
            between(0.3, 0.8, "step-down law of the trade", Mark::CommonPractice)
        }
        RegulatorKind::Boost | RegulatorKind::Diode => {
            between(0.3, 0.5, "Schottky diode in the feed", Mark::CommonPractice)
        }
        RegulatorKind::Linear => between(0.2, 0.4, "low-drop 3.3 V regulators", Mark::Memory),
        RegulatorKind::PassThrough => Typical::new(
            Voltage::volts(0.0),
            Doubt::Exact,
            "a bare pad; a transistor as ideal diode loses less than 0.05 V",
            Mark::CommonPractice,
        ),
        RegulatorKind::BuckBoost => Typical::new(
            Voltage::volts(0.0),
            Doubt::Exact,
            "holds its output through the crossing",
            Mark::CommonPractice,
        ),
    }
}

/// How far above the printed minimum a device really gives up: 0 to 0.4 V.
///
/// 0.2 ± 0.1 V; a bench supply turned down slowly finds the true one in five minutes.
pub fn lock_out_above_label() -> Typical<Voltage> {
    Typical::new(
        Voltage::volts(0.2),
        Doubt::Plain(0.1),
        "range of +0 to +0.4 V, taken as two standard uncertainties either way",
        Mark::CommonPractice,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_spreads_cover_what_the_trade_says() {
        let buck = efficiency(RegulatorKind::Buck).quantity;
        // 1 − 0.12·e^±0.6: 0.78 to 0.93 at two standard uncertainties.
        assert!(buck.at(2.0).in_ones() < 0.80 && buck.at(-2.0).in_ones() > 0.92);
        let drop = drop_out(RegulatorKind::Buck).quantity;
        assert!((drop.at(1.0).in_volts() - 0.8).abs() < 1e-12);
        assert!((drop.at(-1.0).in_volts() - 0.3).abs() < 1e-12);
        assert!(lock_out_above_label().quantity.at(-2.0).in_volts().abs() < 1e-12);
    }
}
