//! What to assume of motors, controllers and flying where nobody measured, and how wide to take it.
//!
//! Every figure is a [`Typical`]: the quantity with its doubt, where it comes from and where it holds. Fits
//! describe what makers state; one reading of the owner is better than any of them.

use quantity::{
    Basis, Current, Doubt, Length, Mass, Quantity, Ratio, Resistance, TemperatureDifference,
    VelocityConstant, Voltage,
};

/// A figure by class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typical<D> {
    /// Middle and doubt.
    pub quantity: Quantity<D>,
    /// What it rests on.
    pub source: &'static str,
    /// Where it holds.
    pub range: &'static str,
}

/// A no-load current as the motor model wants it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoLoad {
    /// At standstill (`I00`).
    pub at_rest: Current,
    /// Growth per volt of back-EMF (`I01`) \[A/V\].
    pub slope_a_per_v: f64,
}

/// How someone flies, as far as the battery sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FlyingStyle {
    /// Hover and slow forward flight.
    Hover,
    /// Steady forward flight, gentle turns; filming.
    Cruise,
    /// Slow, in rooms, with many small bursts.
    Indoor,
    /// Climbs, dives, rolls.
    Freestyle,
    /// Full command much of the time.
    Race,
}

/// Source of the motor fits.
const MOTOR_FIT: &str = "fit to makers' stated values of 83 outrunners of 11–408 g in a public \
    research component library";
/// Source of figures without one.
const PRACTICE: &str = "common practice, no single source";
const MOTOR_FIT_HOLDS: &str = "11–408 g";
const BELOW_MOTOR_FIT: &str = "extrapolated: the fit ends at 11 g";
/// Lightest motor of the fit.
const LIGHTEST: Mass = Mass::grams(11.0);

/// Winding resistance from mass and Kv.
///
/// `R·Kv² = 7.5e7·m^−1.60` up to 120 g (42 motors, ×/÷ 1.32; below 11 g ×/÷ 1.7), `1.34e8·m^−1.74`
/// above (83 motors, ×/÷ 1.46), R in Ω, Kv in rpm/V, m in g. Similarity gives m^(−5/3) (Budinger et al.,
/// Aerosp. Sci. Technol. 98 (2020) 105658; from memory). Fitted, not validated on other motors.
pub fn motor_resistance(mass: Mass, velocity_constant: VelocityConstant) -> Typical<Resistance> {
    let (m, kv) = (mass.in_grams(), velocity_constant.in_rpm_per_volt());
    let (law, spread) = match m {
        m if m < LIGHTEST.in_grams() => (7.5e7 * m.powf(-1.60), 1.7_f64),
        m if m <= 120.0 => (7.5e7 * m.powf(-1.60), 1.32),
        m => (1.34e8 * m.powf(-1.74), 1.46),
    };
    let value = Resistance::ohms(law / (kv * kv));
    typical(value, factor(spread), MOTOR_FIT, motor_range(mass))
}

/// Resistance of a small motor as a meter sees it at its lead ends, from mass and Kv.
///
/// From 9.3 g up this is [`motor_resistance`]. Below, that fit is an extrapolation of makers' winding
/// figures, and meters say otherwise: 0.2–0.45 Ω for a 1.9 g motor of 19 000 rpm/V where it gives
/// 0.075 Ω, but 0.10–0.18 Ω for a 9.3 g motor of 3 800 rpm/V where it gives 0.147 Ω (both ranges common
/// practice, from memory). Thin leads, the plug and the switches are in what a meter sees, and they do not
/// shrink with the motor. The line through both middles is used: `R·Kv² = 2.1e6·(m/9.3 g)^−2.5`, ×/÷ 1.6.
/// Not validated; at full command it brings drives of 2 to 4 g into the 0.70 to 0.85 of Kv times volts
/// that builders see, where the bare fit leaves them near 1.
pub fn drive_resistance(mass: Mass, velocity_constant: VelocityConstant) -> Typical<Resistance> {
    let (m, kv) = (mass.in_grams(), velocity_constant.in_rpm_per_volt());
    if m >= METERED_HEAVY_G {
        return motor_resistance(mass, velocity_constant);
    }
    let law = METERED_HEAVY * (m / METERED_HEAVY_G).powf(METERED_EXPONENT);
    typical(
        Resistance::ohms(law / (kv * kv)),
        factor(1.6),
        "two metered ranges, 1.9 g and 9.3 g, at the lead ends; common practice, from memory",
        "motors of 1.5–9.3 g",
    )
}

/// The heavier of the two metered motors \[g\].
const METERED_HEAVY_G: f64 = 9.3;
/// Its R·Kv²: √(0.10 · 0.18) Ω · 3 800² = 1.94e6, joined to the fit's 2.12e6 at the same mass.
const METERED_HEAVY: f64 = 7.5e7 * 0.028_22;
/// ln((√(0.2·0.45) Ω · 19 000²)/2.12e6) / ln(9.3/1.9) = ln(51.1)/1.588.
const METERED_EXPONENT: f64 = -2.48;

/// No-load current at `voltage` from mass and Kv.
///
/// `I0 = 3.0e-9·Kv^1.76·m^1.64` at 10 V (×/÷ 1.43; below 11 g ×/÷ 2). A no-load run at 10 V is a run at the speed
/// 10·Kv, so the fit says that the loss torque `I0/k` grows as speed^0.76, whichever way that speed comes
/// about; at other volts the current therefore follows `(V/10)^0.76`. That puts a 2 g one-cell motor at
/// 0.14 A at 3.7 V where sheets say 0.2–0.5 A (from memory): bearings do not shrink with the motor. The
/// wide spread below 11 g is for that. Not validated.
pub fn no_load_current(
    mass: Mass,
    velocity_constant: VelocityConstant,
    voltage: Voltage,
) -> Typical<Current> {
    let (m, kv) = (mass.in_grams(), velocity_constant.in_rpm_per_volt());
    let at_10_v = 3.0e-9 * kv.powf(1.76) * m.powf(1.64);
    let value = Current::amperes(at_10_v * (voltage.in_volts() / 10.0).powf(LOSS_TORQUE_EXPONENT));
    let spread = if mass < LIGHTEST { 2.0 } else { 1.43 };
    typical(value, factor(spread), MOTOR_FIT, motor_range(mass))
}

/// Exponent of speed in the loss torque: that of Kv in the no-load fit, less one.
const LOSS_TORQUE_EXPONENT: f64 = 0.76;

/// The two no-load constants of [`crate::motor::Motor`] from one no-load current at one voltage: the tangent to
/// the curve of [`no_load_current`] there. Doubt of the current carries over to both in proportion.
pub fn no_load_line(current: Current, voltage: Voltage) -> NoLoad {
    NoLoad {
        at_rest: current * (1.0 - LOSS_TORQUE_EXPONENT),
        slope_a_per_v: LOSS_TORQUE_EXPONENT * current.in_amperes() / voltage.in_volts(),
    }
}

/// Motor mass from the stator's diameter and height: `0.5 + 0.0098·d²h` g, ±20 %.
///
/// Reaches 1.8–2.0 g for 0702–0802, 9 g for 1404 and 33 g for 2207; not validated beyond such pairs.
pub fn motor_mass(stator_diameter: Length, stator_height: Length) -> Typical<Mass> {
    let (d, h) = (
        stator_diameter.in_millimetres(),
        stator_height.in_millimetres(),
    );
    let value = Mass::grams(0.5 + 0.0098 * d * d * h);
    typical(value, factor(1.2), PRACTICE, "stators of 6–25 mm")
}

/// True Kv behind a label: ±5 %.
pub fn velocity_constant(label: VelocityConstant) -> Typical<VelocityConstant> {
    typical(label, factor(1.05), PRACTICE, "small motors")
}

/// Motor over bus power in hover, duty about 0.3, or anywhere on one cell: 0.90 ± 0.05.
///
/// Loss models with this shape: Gong, MacNeill, Verstraete, AIAA 2018-4584. Not validated.
pub fn esc_efficiency_hover() -> Typical<Ratio> {
    shortfall(0.90, 0.05, "duty 0.2–0.6")
}

/// Motor over bus power near full duty: 0.95 ± 0.02. Not validated.
pub fn esc_efficiency_full() -> Typical<Ratio> {
    shortfall(0.95, 0.02, "duty 0.8–1")
}

/// Thrust per watt in a guard ring or duct over that of the open propeller: 1.05 ± 0.08.
///
/// The ideal straight duct would give 1.41; rings with 3–6 % of the radius as tip gap and a short lip
/// give −5…+10 %. A 66 mm shrouded rotor at Re 20 000 gained 15 % ("Design and Performance of a Quad-Shrouded
/// Rotor Micro Air Vehicle", J. Aircraft 2014; abstract only). Not validated.
pub fn duct_factor() -> Typical<Ratio> {
    plain(1.05, 0.08, "rings and short ducts of small craft")
}

/// Thrust on the craft over thrust of the isolated propeller: arms, guards and neighbours cost
/// 3–10 %, taken as 0.935 ± 0.02 (the range as ±1.75 sd). Not validated.
pub fn installed_thrust() -> Typical<Ratio> {
    plain(0.935, 0.02, "four rotors, open or guarded")
}

/// Winding over air temperature in steady hover: 35 ± 10 K.
///
/// Motors at the hand-warm limit of 60 °C on a 25 °C day after a minute of hover. Not validated.
pub fn winding_rise_hover() -> Typical<TemperatureDifference> {
    rise(35.0, 10.0, "after a minute of hover")
}

/// Winding over air temperature at the end of a burst of full command: 60 ± 15 K. Not validated.
pub fn winding_rise_full() -> Typical<TemperatureDifference> {
    rise(60.0, 15.0, "after some seconds of full command")
}

/// Share of the command range that is idle: what a controller adds before the stick does anything,
/// 0.055 ± 0.012 (4–7 %).
pub fn idle_offset() -> Typical<Ratio> {
    plain(0.055, 0.012, "motor output as flight controllers log it")
}

/// Mean flying power over hover power: cruise 1.3–1.7, indoor 1.4–1.9, freestyle 1.8–2.6, race 3–5, each
/// range as ±1.6 sd of the logarithm. Not validated; checked against what builders say of the time in the
/// air, hover time ÷1.5 (gentle) … ÷2.4 (freestyle), small craft in rooms ÷1.6…÷1.75.
pub fn activity(style: FlyingStyle) -> Typical<Ratio> {
    let (low, high): (f64, f64) = match style {
        FlyingStyle::Hover => (1.0, 1.1),
        FlyingStyle::Cruise => (1.3, 1.7),
        FlyingStyle::Indoor => (1.4, 1.9),
        FlyingStyle::Freestyle => (1.8, 2.6),
        FlyingStyle::Race => (3.0, 5.0),
    };
    let doubt = Doubt::Factor((high / low).ln() / 3.2);
    typical(
        Ratio::of_one((low * high).sqrt()),
        doubt,
        PRACTICE,
        "craft of 65 mm to 5 in",
    )
}

fn typical<D>(value: D, doubt: Doubt, source: &'static str, range: &'static str) -> Typical<D> {
    Typical {
        quantity: Quantity {
            value,
            doubt,
            basis: Basis::Typical,
        },
        source,
        range,
    }
}

fn factor(spread: f64) -> Doubt {
    Doubt::Factor(spread.ln())
}

fn plain(value: f64, sd: f64, range: &'static str) -> Typical<Ratio> {
    typical(Ratio::of_one(value), Doubt::Plain(sd), PRACTICE, range)
}

/// An efficiency `value ± sd`; the doubt is that of what is missing to one.
fn shortfall(value: f64, sd: f64, range: &'static str) -> Typical<Ratio> {
    let doubt = Doubt::Shortfall(sd / (1.0 - value));
    typical(Ratio::of_one(value), doubt, PRACTICE, range)
}

fn rise(kelvins: f64, sd: f64, range: &'static str) -> Typical<TemperatureDifference> {
    let value = TemperatureDifference::kelvins(kelvins);
    typical(value, Doubt::Plain(sd), PRACTICE, range)
}

fn motor_range(mass: Mass) -> &'static str {
    if mass < LIGHTEST {
        BELOW_MOTOR_FIT
    } else {
        MOTOR_FIT_HOLDS
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motor::Motor;

    #[test]
    fn checked_resistance_law_by_hand() {
        // 1.9 g, 19 000 rpm/V: 7.5e7 × 1.9^−1.6 / 3.61e8 = 0.0744 Ω; 9.3 g, 3 800: 0.1466 Ω.
        let milliohm = |g, kv| {
            let motor = motor_resistance(Mass::grams(g), VelocityConstant::rpm_per_volt(kv));
            motor.quantity.value.in_milliohms()
        };
        assert!((milliohm(1.9, 19_000.0) - 74.4).abs() < 0.1);
        assert!((milliohm(9.3, 3_800.0) - 146.6).abs() < 0.2);
        // The two laws meet within their spread at 120 g.
        assert!((milliohm(120.0, 800.0) / milliohm(120.1, 800.0) - 1.0).abs() < 0.15);
    }

    #[test]
    fn checked_line_touches_the_no_load_curve() {
        let (mass, kv) = (Mass::grams(9.3), VelocityConstant::rpm_per_volt(3800.0));
        let at = |v| {
            no_load_current(mass, kv, Voltage::volts(v))
                .quantity
                .value
                .in_amperes()
        };
        let line = no_load_line(Current::amperes(at(12.0)), Voltage::volts(12.0));
        let on_line = |v: f64| line.at_rest.in_amperes() + line.slope_a_per_v * v;
        assert!((on_line(12.0) / at(12.0) - 1.0).abs() < 1e-12);
        // From half to full volts the line stays within 5 % of the curve.
        assert!((on_line(6.0) / at(6.0) - 1.0).abs() < 0.05);
    }

    #[test]
    fn checked_typical_motors_are_as_efficient_as_their_class() {
        // Motor with controller in hover: 0802 0.45–0.58, 1404 0.60–0.70, 2207 0.68–0.78 (common
        // practice). Full-command peak must lie above that and below one.
        for (mass_g, kv, volts, least) in [
            (1.9, 19_000.0, 3.7, 0.58),
            (9.0, 3_800.0, 15.0, 0.70),
            (32.0, 1_800.0, 22.0, 0.78),
        ] {
            let (mass, kv) = (Mass::grams(mass_g), VelocityConstant::rpm_per_volt(kv));
            let volts = Voltage::volts(volts);
            let no_load = no_load_line(no_load_current(mass, kv, volts).quantity.value, volts);
            let motor = Motor {
                velocity_constant: kv,
                resistance: motor_resistance(mass, kv).quantity.value,
                no_load_current: no_load.at_rest,
                no_load_slope_a_per_v: no_load.slope_a_per_v,
            };
            let best = motor.peak_efficiency(volts).1;
            assert!(best > least && best < 0.95, "{mass_g} g: {best}");
        }
    }

    #[test]
    fn checked_flying_time_is_as_builders_share_out_hover_time() {
        // Hover over active time: gentle 1.5, freestyle 2.4; in rooms 6.5/3.75 min = 1.73 with 65 mm, 9/5.5 =
        // 1.64 and 6/3.75 = 1.60 with 75 mm (middles; common practice). Time goes as 1/power, less what sag
        // takes, so each must lie within one sd of the power.
        for (style, divisor) in [
            (FlyingStyle::Cruise, 1.5),
            (FlyingStyle::Indoor, 1.73),
            (FlyingStyle::Indoor, 1.60),
            (FlyingStyle::Freestyle, 2.4),
        ] {
            let activity = activity(style).quantity;
            let (low, high) = (activity.at(-1.0).in_ones(), activity.at(1.0).in_ones());
            assert!((low..=high).contains(&divisor), "{style:?}: {low}…{high}");
        }
    }

    #[test]
    fn checked_efficiency_never_passes_one() {
        for z in [-4.0, 0.0, 4.0] {
            let drawn = esc_efficiency_full().quantity.at(z).in_ones();
            assert!(drawn > 0.7 && drawn < 1.0);
        }
    }

    #[test]
    fn checked_stator_codes_give_their_weighed_mass() {
        // 0802 1.95 g bare (weighed, published size guide); 2207 28–36 g with leads; ±20 % each.
        let grams = |d, h| {
            motor_mass(Length::millimetres(d), Length::millimetres(h))
                .quantity
                .value
                .in_grams()
        };
        assert!((grams(8.0, 2.0) / 1.95 - 1.0).abs() < 0.2);
        assert!(grams(22.0, 7.0) > 28.0 && grams(22.0, 7.0) < 36.0);
    }
}
