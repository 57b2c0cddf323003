//! Whatever the numbers, an answer or a reason, and never a panic.

use flight::handling::authority::authority;
use flight::handling::filter::Filter;
use flight::handling::pendulum::{Bifilar, Readings, swing, trifilar_inertia_kg_m2};
use flight::handling::rate_loop::{Gains, Plant, RateLoop, gain_factor, loop_gain_rad_s2};
use flight::handling::rotor_lag::{Inertias, Rotor as Turning, Slowing, Waited};
use flight::handling::trim::{Hover, Rotor, Spin, ThrustCurve};
use proptest::prelude::*;

/// Any double, and often one that a craft might have.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        2 => any::<f64>(),
        1 => Just(0.0),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        8 => 1e-3..1e3,
        2 => -1.0..1.0,
    ]
}

fn filter() -> impl Strategy<Value = Filter> {
    prop_oneof![
        number().prop_map(|cutoff_hz| Filter::FirstOrder { cutoff_hz }),
        number().prop_map(|cutoff_hz| Filter::Butterworth2 { cutoff_hz }),
        (number(), number()).prop_map(|(centre_hz, q)| Filter::Notch { centre_hz, q }),
        number().prop_map(|delay_s| Filter::Delay { delay_s }),
    ]
}

fn rotor() -> impl Strategy<Value = Rotor> {
    (number(), number(), any::<bool>()).prop_map(|(x_m, y_m, left)| Rotor {
        x_m,
        y_m,
        spin: if left {
            Spin::NoseLeft
        } else {
            Spin::NoseRight
        },
    })
}

proptest! {
    #[test]
    fn checked_trim_and_authority_never_panic(
        rotors in proptest::collection::vec(rotor(), 0..9),
        n in proptest::array::uniform8(number()),
    ) {
        let hover = Hover {
            rotors: &rotors,
            kappa_m: n[0],
            curve: ThrustCurve { thrust_max_n: n[1], shape: n[2] },
            mass_kg: n[3],
        };
        if let Ok(trim) = hover.trim() {
            prop_assert!(trim.thrust_n.iter().all(|t| *t > 0.0 && *t <= n[1]));
            prop_assert!(trim.command.iter().all(|u| (0.0..=1.0 + 1e-9).contains(u)));
        }
        let _ = authority(&hover, n[4], [n[5], n[6], n[7]]);
        let _ = hover.curve.slope_n(n[4]);
    }

    #[test]
    fn checked_loop_never_panics(
        n in proptest::array::uniform6(number()),
        gyro_filters in proptest::collection::vec(filter(), 0..4),
        d_filters in proptest::collection::vec(filter(), 0..3),
        hz in number(),
    ) {
        for filter in &gyro_filters {
            let _ = (filter.response(hz), filter.phase_rad(hz), filter.group_delay_s(hz));
            if let Some(digital) = filter.digital(n[0]) {
                let _ = (digital.response(hz), digital.group_delay_s(hz));
            }
        }
        let rate_loop = RateLoop {
            gain_rad_s2: n[0],
            lag_s: n[1],
            delay_s: n[2],
            gains: Gains { p: n[3], i: n[4], d: n[5] },
            gyro_filters,
            d_filters,
        };
        if let Ok(found) = rate_loop.margins() {
            prop_assert!(found.crossover_hz > 0.0 && found.phase_margin_deg.is_finite());
            prop_assert!(found.sensitivity_peak.is_none_or(|peak| !peak.is_nan()));
        }
        let _ = rate_loop.factor_for_crossover(hz);
        let plant = |gain_rad_s2, lag_s| Plant { gain_rad_s2, lag_s };
        let _ = gain_factor(plant(n[0], n[1]), plant(n[2], n[3]), hz);
        let _ = loop_gain_rad_s2(&n, n[0], n[1]);
    }

    #[test]
    fn checked_swing_never_panics(
        record in proptest::collection::vec((number(), number()), 0..40), sorted in any::<bool>(),
    ) {
        let mut record = record;
        if sorted {
            record.retain(|(t, rate)| t.is_finite() && rate.is_finite());
            record.sort_by(|a, b| a.0.total_cmp(&b.0));
            record.dedup_by_key(|point| point.0);
        }
        if let Some(seen) = swing(&record) {
            prop_assert!(seen.period_s > 0.0 && seen.amplitude_rad > 0.0);
        }
    }

    #[test]
    fn checked_rotor_and_pendulum_never_panic(n in proptest::array::uniform8(number())) {
        let inertias = Inertias::of(n[0], [n[1], n[2]], n[3], n[4], n[5]);
        let rotor = Turning {
            inertia_kg_m2: inertias.total_kg_m2(),
            kv_rpm_per_v: n[0],
            resistance_ohm: n[1],
            thrust_n: n[2],
            kappa_m: n[3],
            speed_rpm: n[4],
        };
        let _ = rotor.lag();
        for waited in [Waited::Speed, Waited::Thrust] {
            for slowing in [Slowing::Braked, Slowing::Coasting] {
                let _ = rotor.step_time_s(n[5], n[6], waited, slowing);
            }
        }
        let hung = Bifilar { mass_kg: n[0], length_m: n[1], spacing_m: n[2] };
        let doubt = Readings { mass_kg: n[3], length_m: n[4], spacing_m: n[5], period_s: n[6] };
        let _ = (hung.inertia_kg_m2(n[3], n[4]), hung.period_s(n[3], n[4]), hung.relative_doubt(n[3], &doubt));
        let _ = trifilar_inertia_kg_m2(n[0], n[1], n[2], n[3]);
    }
}
