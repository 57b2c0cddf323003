//! Plans against every set tried one by one, against printed tables, and their proofs.

use channels::{Answer, Band, Craft, Fault, Plan, Question, Reason, Tuning, plan, products};
use proptest::prelude::*;

fn mhz(list: &[u32]) -> Vec<u32> {
    list.iter().map(|mhz| 1000 * mhz).collect()
}

fn question(channels: &[u32], count: usize, spacing: u32) -> Question {
    Question {
        crafts: vec![Craft::tuning(Tuning::channels(&mhz(channels))); count],
        spacing_khz: 1000 * spacing,
        ..Question::default()
    }
}

#[track_caller]
fn planned(question: &Question) -> Plan {
    match plan(question) {
        Ok(Answer::Plan(plan)) => plan,
        other => panic!("{other:?}"),
    }
}

#[track_caller]
fn impossible(question: &Question) -> Reason {
    match plan(question) {
        Ok(Answer::Impossible(reason)) => reason,
        other => panic!("{other:?}"),
    }
}

// By the definition, product by product; what only others make and meet is not ours.
fn clearance_by_products(ours: &[u32], others: &[u32]) -> Option<u32> {
    let all: Vec<i64> = ours
        .iter()
        .chain(others)
        .map(|&khz| i64::from(khz))
        .collect();
    let mut least = None;
    for a in 0..all.len() {
        for b in a..all.len() {
            for c in (0..all.len()).filter(|&c| c != a && c != b) {
                for d in 0..all.len() {
                    // Carriers on both sides fall out of a + b − c − d.
                    let (mut plus, mut minus) = (vec![a, b], vec![c, d]);
                    plus.retain(|at| match minus.iter().position(|other| other == at) {
                        Some(found) => {
                            minus.remove(found);
                            false
                        }
                        None => true,
                    });
                    if plus.is_empty() || plus.iter().chain(&minus).all(|&at| at >= ours.len()) {
                        continue;
                    }
                    let off = (all[a] + all[b] - all[c] - all[d]).unsigned_abs();
                    least = Some(least.map_or(off, |least: u64| least.min(off)));
                }
            }
        }
    }
    least.map(|off| off as u32)
}

fn spacing(ours: &[u32], others: &[u32]) -> Option<u32> {
    let pairs = ours.iter().enumerate().flat_map(|(at, one)| {
        ours[..at]
            .iter()
            .chain(others)
            .map(move |other| one.abs_diff(*other))
    });
    pairs.min()
}

/// Every way to give each craft a channel; the best by the stated order.
fn by_force(question: &Question) -> Option<(Vec<u32>, Vec<u32>)> {
    let bands = &question.bands;
    let fits = |khz: u32| {
        bands.is_empty()
            || bands
                .iter()
                .any(|band| band.holds(khz, question.bandwidth_khz))
    };
    let choices: Vec<Vec<u32>> = question
        .crafts
        .iter()
        .map(|craft| {
            let received = |khz: u32| {
                craft
                    .receiver
                    .as_ref()
                    .is_none_or(|receiver| receiver.tunes(khz))
            };
            (0..200)
                .filter(|&khz| craft.transmitter.tunes(khz) && received(khz) && fits(khz))
                .collect()
        })
        .collect();
    let mut ways: Vec<Vec<u32>> = vec![vec![]];
    for list in &choices {
        ways = ways
            .iter()
            .flat_map(|way| {
                list.iter()
                    .map(move |&khz| [way.clone(), vec![khz]].concat())
            })
            .collect();
    }
    let apart = question.spacing_khz.max(1);
    ways.retain(|way| spacing(way, &question.taken_khz).is_none_or(|found| found >= apart));
    let key = |way: &Vec<u32>| {
        let mut sorted = way.clone();
        sorted.sort_unstable();
        let figures = (
            clearance_by_products(way, &question.taken_khz),
            spacing(way, &question.taken_khz),
        );
        (std::cmp::Reverse(figures), sorted, way.clone())
    };
    ways.into_iter()
        .map(|way| key(&way))
        .min()
        .map(|(_, sorted, way)| (way, sorted))
}

fn tunings() -> impl Strategy<Value = Tuning> {
    prop_oneof![
        prop::collection::vec(0..60_u32, 1..7).prop_map(|list| Tuning::channels(&list)),
        (0..40_u32, 1..9_u32).prop_map(|(from, step)| Tuning::dial(from, from + 5 * step, step)),
    ]
}

fn small_questions() -> impl Strategy<Value = Question> {
    let same =
        (tunings(), 1..5_usize).prop_map(|(tuning, count)| vec![Craft::tuning(tuning); count]);
    let crafts =
        (tunings(), prop::option::weighted(0.3, tunings())).prop_map(|(transmitter, receiver)| {
            Craft {
                transmitter,
                receiver,
            }
        });
    let differ = prop::collection::vec(crafts, 1..5);
    let band = (0..30_u32, 10..60_u32).prop_map(|(from, wide)| Band {
        from_khz: from,
        to_khz: from + wide,
    });
    (
        prop_oneof![same, differ],
        prop::collection::vec(0..60_u32, 0..3),
        prop::collection::vec(band, 0..3),
        0..6_u32,
        0..9_u32,
    )
        .prop_map(
            |(crafts, taken_khz, bands, bandwidth_khz, spacing_khz)| Question {
                crafts,
                taken_khz,
                bands,
                bandwidth_khz,
                spacing_khz,
                ..Question::default()
            },
        )
}

/// Bands that touch are one band, which trying one by one does not know.
fn apart(bands: &[Band]) -> bool {
    bands.iter().enumerate().all(|(at, one)| {
        bands[..at]
            .iter()
            .all(|other| one.from_khz > other.to_khz || other.from_khz > one.to_khz)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn checked_a_plan_is_what_trying_everything_finds(question in small_questions()) {
        prop_assume!(apart(&question.bands));
        let forced = by_force(&Question { taken_khz: { let mut taken = question.taken_khz.clone(); taken.sort_unstable(); taken.dedup(); taken }, ..question.clone() });
        match plan(&question) {
            Ok(Answer::Plan(plan)) => {
                let mut sorted = plan.carriers_khz.clone();
                sorted.sort_unstable();
                prop_assert!(plan.proved_best);
                prop_assert_eq!(Some((plan.carriers_khz, sorted)), forced);
            }
            Ok(Answer::Impossible(reason)) => {
                prop_assert_eq!(forced, None, "{}", reason);
            }
            other => prop_assert!(false, "{:?}", other),
        }
    }

    #[test]
    fn checked_clearance_by_differences_is_clearance_by_products(
        ours in prop::collection::btree_set(0..500_u32, 0..7),
        others in prop::collection::btree_set(500..900_u32, 0..5),
    ) {
        let (ours, others): (Vec<_>, Vec<_>) = (ours.into_iter().collect(), others.into_iter().collect());
        prop_assert_eq!(products::clearance_beside_khz(&ours, &others), clearance_by_products(&ours, &others));
        prop_assert_eq!(products::clearance_khz(&ours), clearance_by_products(&ours, &[]));
        let listed = products::products(&ours);
        let nearest = listed.iter().map(|product| product.offset_khz.unsigned_abs() as u32).min();
        prop_assert_eq!(products::clearance_khz(&ours), nearest);
        let n = ours.len();
        prop_assert_eq!(listed.len(), n * n.saturating_sub(1) + n * n.saturating_sub(1) * n.saturating_sub(2) / 2);
    }

    #[test]
    fn checked_a_carrier_more_never_clears_and_a_shift_changes_nothing(
        carriers in prop::collection::vec(1000..2000_u32, 2..9), more in 1000..2000_u32, shift in 0..1000_u32,
    ) {
        let before = products::clearance_khz(&carriers);
        prop_assert!(products::clearance_khz(&[carriers.as_slice(), &[more]].concat()) <= before);
        let shifted: Vec<u32> = carriers.iter().map(|khz| khz + shift).collect();
        prop_assert_eq!(products::clearance_khz(&shifted), before);
        prop_assert_eq!(products::exact_hits(&shifted), products::exact_hits(&carriers));
    }
}

const INSIDE: Band = Band {
    from_khz: 5_725_000,
    to_khz: 5_875_000,
};

#[test]
fn checked_proofs_say_their_numbers() {
    let dial = Craft::tuning(Tuning::dial(5_725_000, 5_875_000, 5_000));
    let six = Question {
        crafts: vec![dial.clone(); 6],
        bands: vec![INSIDE],
        bandwidth_khz: 20_000,
        spacing_khz: 30_000,
        ..Question::default()
    };
    assert_eq!(
        impossible(&six).to_string(),
        "5 gaps of 30 MHz need 150 MHz, the band leaves 130"
    );
    let five = Question {
        crafts: vec![dial.clone(); 5],
        ..six.clone()
    };
    assert_eq!(planned(&five).spacing_khz, Some(30_000));
    let mut low = five.clone();
    low.crafts[2] = Craft::tuning(Tuning::channels(&[5_658_000, 5_695_000]));
    assert_eq!(
        impossible(&low).to_string(),
        "craft 3: nothing it can tune lies inside the band with all its width"
    );
    let mut narrow = five.clone();
    narrow.crafts[1] = Craft::tuning(Tuning::channels(&[5_740_000, 5_760_000]));
    narrow.crafts[3] = narrow.crafts[1].clone();
    assert_eq!(
        impossible(&narrow).to_string(),
        "craft 2 and 4 can tune channels that hold 1 at 30 MHz apart: 5740"
    );
    let mut deaf = five.clone();
    deaf.crafts[0].receiver = Some(Tuning::channels(&[5_741_000]));
    assert_eq!(
        impossible(&deaf).to_string(),
        "craft 1: its transmitter and its receiver share no channel"
    );
    let wide = Question {
        bandwidth_khz: 151_000,
        ..five.clone()
    };
    assert_eq!(
        impossible(&wide).to_string(),
        "a carrier 151 MHz wide does not fit into the widest band, 5725 to 5875 MHz"
    );
    let crowded = Question {
        taken_khz: vec![5_740_000, 5_770_000, 5_799_000, 5_828_000, 5_857_000],
        ..five
    };
    assert_eq!(
        impossible(&crowded).to_string(),
        "craft 1: everything it can tune inside the band is less than 30 MHz from a carrier already on the air"
    );
}

#[test]
fn checked_nobody_and_one_are_planned_too() {
    assert!(planned(&Question::default()).carriers_khz.is_empty());
    let one = planned(&question(&[5806, 5740], 1, 30));
    assert_eq!(one.carriers_khz, mhz(&[5740]));
    assert_eq!((one.clearance_khz, one.spacing_khz), (None, None));
}

#[test]
fn checked_too_large_a_question_is_refused() {
    let fine = Question {
        crafts: vec![Craft::tuning(Tuning::dial(0, u32::MAX, 1))],
        ..Question::default()
    };
    assert_eq!(plan(&fine), Err(Fault::TooManyChannels(1 << 32)));
    let many = question(&[5740], 65, 1);
    assert_eq!(plan(&many), Err(Fault::TooManyCraft(65)));
    let long = Question {
        most_steps: 3,
        ..question(&(5700..5760).collect::<Vec<_>>(), 8, 2)
    };
    assert!(matches!(plan(&long), Ok(Answer::Undecided { .. })));
}
