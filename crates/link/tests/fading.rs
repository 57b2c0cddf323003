//! Outages against seeded draws of the fields themselves, and the table against the exact way.

use link::fading::rate::fades;
use link::fading::{Combining, Diversity, Fade, OutageTable, outage, selection_outage};
use proptest::prelude::*;

/// Logarithms of chances run to a million for the strongest direct waves; their last digits are what an outage may be off by.
const ROUNDING: f64 = 1e-9;
/// Draws for each case.
const DRAWS: u32 = 400_000;
/// So many standard errors hold all cases with a chance of a miss far below a per mille.
const ERRORS: f64 = 4.5;

#[test]
fn checked_outage_against_drawn_fields() {
    let mut random = Random(77);
    for fade in [
        Fade::Rayleigh,
        Fade::Rician { k_db: 3.0 },
        Fade::Rician { k_db: 8.0 },
    ] {
        for branches in [1, 2, 3] {
            for margin_db in [-3.0, 0.0, 5.0, 9.0] {
                let threshold = 10_f64.powf(-margin_db / 10.0);
                let (mut best, mut added) = (0, 0);
                for _ in 0..DRAWS {
                    let powers: [f64; 3] = std::array::from_fn(|_| random.power(fade));
                    let powers = &powers[..branches];
                    best += u32::from(powers.iter().all(|power| *power < threshold));
                    added += u32::from(powers.iter().sum::<f64>() < threshold);
                }
                for (combining, count) in [
                    (Combining::Selection, best),
                    (Combining::MaximalRatio, added),
                ] {
                    let diversity = Diversity {
                        branches: branches as u32,
                        combining,
                        correlation: 0.0,
                    };
                    agree(outage(margin_db, fade, diversity).expect("a model"), count);
                }
            }
        }
    }
}

#[test]
fn checked_correlated_pairs_against_drawn_fields() {
    let mut random = Random(78);
    for correlation in [0.3, 0.7, 0.95_f64] {
        for margin_db in [0.0, 5.0, 10.0] {
            let threshold = 10_f64.powf(-margin_db / 10.0);
            let (mut best, mut added) = (0, 0);
            for _ in 0..DRAWS {
                let (one, own) = (random.field(), random.field());
                let rest = (1.0 - correlation * correlation).sqrt();
                let other: [f64; 2] =
                    std::array::from_fn(|part| correlation * one[part] + rest * own[part]);
                let (one, other) = (power(one), power(other));
                best += u32::from(one.max(other) < threshold);
                added += u32::from(one + other < threshold);
            }
            for (combining, count) in [
                (Combining::Selection, best),
                (Combining::MaximalRatio, added),
            ] {
                let pair = Diversity {
                    branches: 2,
                    combining,
                    correlation,
                };
                agree(
                    outage(margin_db, Fade::Rayleigh, pair).expect("a model"),
                    count,
                );
            }
        }
    }
}

/// A count of draws against the chance of each.
#[track_caller]
fn agree(chance: f64, count: u32) {
    let draws = f64::from(DRAWS);
    let error = (chance * (1.0 - chance) / draws).sqrt().max(1.0 / draws);
    let found = f64::from(count) / draws;
    assert!(
        (found - chance).abs() < ERRORS * error,
        "{chance} but drawn {found}"
    );
}

#[test]
fn checked_the_table_keeps_its_word() {
    let mut worst = 0.0_f64;
    for fade in every_fade() {
        for diversity in every_diversity() {
            let Ok(table) = OutageTable::new(fade, diversity) else {
                continue;
            };
            let mut before = 1.0;
            for step in -3500..7000 {
                let margin_db = 0.01 * f64::from(step) + 0.0037;
                let exact = outage(margin_db, fade, diversity).expect("a model");
                let found = table.at(margin_db);
                assert!(
                    found <= before,
                    "{fade:?} {diversity:?} rises at {margin_db}"
                );
                before = found;
                if exact > 1e-250 && margin_db < 60.0 {
                    let off = (found / exact - 1.0).abs();
                    assert!(
                        off < OutageTable::ERROR,
                        "{fade:?} {diversity:?} {margin_db}: {found:e} not {exact:e}, {off:e}"
                    );
                    worst = worst.max(off);
                }
            }
        }
    }
    // Should the true error shrink by far, the stated one is to follow.
    assert!(worst > 0.1 * OutageTable::ERROR, "{worst:e}");
}

fn every_fade() -> Vec<Fade> {
    let rician = [-10.0, 0.0, 6.0, 10.0, 15.0, 20.0].map(|k_db| Fade::Rician { k_db });
    [Fade::Rayleigh].into_iter().chain(rician).collect()
}

fn every_diversity() -> Vec<Diversity> {
    let mut all = Vec::new();
    for combining in [Combining::Selection, Combining::MaximalRatio] {
        for (branches, correlation) in [(1, 0.0), (2, 0.0), (4, 0.0), (2, 0.7), (2, 0.99)] {
            all.push(Diversity {
                branches,
                combining,
                correlation,
            });
        }
    }
    all
}

fn independent(branches: u32, combining: Combining) -> Diversity {
    Diversity {
        branches,
        combining,
        correlation: 0.0,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn checked_one_branch_is_combined_either_way(margin_db in -40.0..60.0_f64, k_db in -20.0..30.0_f64) {
        let fade = Fade::Rician { k_db };
        let one = outage(margin_db, fade, Diversity::ONE).expect("a model");
        let same = outage(margin_db, fade, independent(1, Combining::MaximalRatio)).expect("a model");
        prop_assert!((one - same).abs() <= 1e-14 * one);
    }

    #[test]
    fn checked_no_direct_wave_is_rayleigh(margin_db in -10.0..60.0_f64, branches in 1..6_u32, added in any::<bool>()) {
        let combining = if added { Combining::MaximalRatio } else { Combining::Selection };
        let diversity = independent(branches, combining);
        let rayleigh = outage(margin_db, Fade::Rayleigh, diversity).expect("a model");
        let rician = outage(margin_db, Fade::Rician { k_db: -150.0 }, diversity).expect("a model");
        prop_assert!((rician - rayleigh).abs() <= 1e-10 * rayleigh, "{rician} {rayleigh}");
    }

    #[test]
    fn checked_a_direct_wave_helps_where_there_is_margin(margin_db in 3.0..50.0_f64, k_db in -10.0..25.0_f64, more in 0.1..6.0_f64) {
        let at = |k_db| outage(margin_db, Fade::Rician { k_db }, Diversity::ONE).expect("a model");
        prop_assert!(at(k_db + more) <= at(k_db) * (1.0 + ROUNDING));
    }

    #[test]
    fn checked_more_branches_and_more_margin_help(
        margin_db in -20.0..60.0_f64, more in 0.01..10.0_f64, k_db in -20.0..40.0_f64, branches in 1..12_u32, added in any::<bool>()
    ) {
        let combining = if added { Combining::MaximalRatio } else { Combining::Selection };
        let at = |margin_db, branches| {
            outage(margin_db, Fade::Rician { k_db }, independent(branches, combining)).expect("a model")
        };
        let here = at(margin_db, branches);
        prop_assert!((0.0..=1.0).contains(&here));
        prop_assert!(at(margin_db + more, branches) <= here * (1.0 + ROUNDING));
        prop_assert!(at(margin_db, branches + 1) <= here * (1.0 + ROUNDING));
        // Adding branches in phase is never worse than taking the best.
        let best = outage(margin_db, Fade::Rician { k_db }, independent(branches, Combining::Selection)).expect("a model");
        let sum = outage(margin_db, Fade::Rician { k_db }, independent(branches, Combining::MaximalRatio)).expect("a model");
        prop_assert!(sum <= best * (1.0 + ROUNDING));
    }

    #[test]
    fn checked_equal_margins_are_equal_branches(margin_db in -10.0..40.0_f64, branches in 1..5_u32, k_db in -10.0..20.0_f64) {
        let fade = Fade::Rician { k_db };
        let all = vec![margin_db; branches as usize];
        let expected = outage(margin_db, fade, independent(branches, Combining::Selection)).expect("a model");
        prop_assert!((selection_outage(&all, fade) - expected).abs() <= 1e-12 * expected);
    }

    #[test]
    fn checked_any_number_has_an_answer(
        margin_db in prop_oneof![-1e3..1e3_f64, any::<f64>()], k_db in prop_oneof![-50.0..50.0_f64, any::<f64>()],
        branches in 0..80_u32, correlation in prop_oneof![0.0..1.0_f64, any::<f64>()], added in any::<bool>(), pair in any::<bool>()
    ) {
        let combining = if added { Combining::MaximalRatio } else { Combining::Selection };
        let fade = if pair { Fade::Rayleigh } else { Fade::Rician { k_db } };
        let branches = if pair { 2 } else { branches };
        let diversity = Diversity { branches, combining, correlation };
        if let Ok(found) = outage(margin_db, fade, diversity) {
            let number = !margin_db.is_nan() && (pair || !k_db.is_nan());
            prop_assert!(!number || (0.0..=1.0).contains(&found), "{found}");
        }
        if let Ok(table) = OutageTable::new(fade, diversity) {
            let found = table.at(margin_db);
            prop_assert!(margin_db.is_nan() || k_db.is_nan() || (0.0..=1.0).contains(&found), "{found}");
        }
        let found = fades(fade, margin_db, 10.0, 5.8e9);
        prop_assert!(margin_db.is_nan() || k_db.is_nan() || found.per_second >= 0.0);
    }
}

/// Numbers as even as need be: the finaliser of Steele, Lea & Flood, SplitMix (2014).
struct Random(u64);

impl Random {
    /// From 0 to 1, neither included.
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^= bits >> 31;
        ((bits >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Two parts of a field of echoes, its mean power one.
    fn field(&mut self) -> [f64; 2] {
        let size = (-self.even().ln()).sqrt();
        let (sine, cosine) = (std::f64::consts::TAU * self.even()).sin_cos();
        [size * cosine, size * sine]
    }

    /// Power of a branch, one on average.
    fn power(&mut self, fade: Fade) -> f64 {
        let k = match fade {
            Fade::Rayleigh => 0.0,
            Fade::Rician { k_db } => 10_f64.powf(k_db / 10.0),
        };
        let [real, imaginary] = self.field().map(|part| part / (k + 1.0).sqrt());
        power([real + (k / (k + 1.0)).sqrt(), imaginary])
    }
}

fn power([real, imaginary]: [f64; 2]) -> f64 {
    real * real + imaginary * imaginary
}
