//! Random small questions, each answered twice.

use super::super::*;
use super::oracle;
use proptest::option::weighted;
use proptest::prelude::*;

/// How many usual values come to one rare one. With few rare ones most ports serve most needs, and
/// what is in the way is room; with many, what is in the way is a single need.
const TAME: u32 = 15;
const WILD: u32 = 3;

fn mostly<T: Clone + std::fmt::Debug + 'static>(
    tame: u32,
    usual: T,
    rare: &[T],
) -> BoxedStrategy<T> {
    let rare = proptest::sample::select(rare.to_vec());
    prop_oneof![tame => Just(usual), 1 => rare].boxed()
}

fn port(tame: u32) -> impl Strategy<Value = Port> {
    let pads = (
        mostly(tame, Kind::Serial, &[Kind::Other(1)]),
        mostly(
            tame,
            PortDuplex::Full,
            &[PortDuplex::SendOnly, PortDuplex::ReceiveOnly],
        ),
        mostly(tame, true, &[false]),
        mostly(
            tame,
            PortInversion::Switchable,
            &[PortInversion::Plain, PortInversion::Fixed],
        ),
        mostly(tame, Some(1e6), &[None, Some(9_600.0), Some(115_200.0)]),
        mostly(tame, Some(5.0), &[None, Some(3.3)]),
        mostly(tame, Some(3.3), &[None, Some(5.0)]),
    );
    let state = (
        mostly(3, false, &[true]),
        0..2_usize,
        proptest::bool::weighted(0.1),
        proptest::bool::weighted(0.15),
        any::<bool>(),
        0..3_u32,
    );
    (pads, state).prop_map(|(pads, state)| {
        let (kind, duplex, one_wire, inversion, highest_baud, tolerates_v, drives_v) = pads;
        let (soft, board, many, taken, loader, gives_up) = state;
        Port {
            kind,
            duplex,
            one_wire,
            inversion,
            highest_baud,
            tolerates_v,
            drives_v,
            soft,
            board,
            many,
            taken,
            loader,
            gives_up,
        }
    })
}

fn need(ports: usize, tame: u32) -> impl Strategy<Value = Need> {
    let duplexes = [
        NeedDuplex::OneWire,
        NeedDuplex::DeviceSends,
        NeedDuplex::DeviceReceives,
    ];
    let signal = (
        mostly(tame, Kind::Serial, &[Kind::Other(1)]),
        mostly(tame, NeedDuplex::Full, &duplexes),
        mostly(
            tame,
            Some(9_600.0),
            &[None, Some(4_800.0), Some(19_200.0), Some(115_200.0)],
        ),
        mostly(
            tame,
            NeedInversion::Plain,
            &[NeedInversion::Inverted, NeedInversion::Either],
        ),
        mostly(tame, Some(3.3), &[None, Some(5.0)]),
        mostly(tame, None, &[Some(3.0), Some(3.5)]),
    );
    let wishes = (
        any::<bool>(),
        any::<bool>(),
        weighted(0.15, 0..ports),
        weighted(0.3, 0..ports),
        proptest::bool::weighted(0.2),
        weighted(0.1, 0..2_usize),
    );
    (signal, wishes).prop_map(|(signal, wishes)| {
        let (kind, duplex, baud, inversion, level_v, needs_high_v) = signal;
        let (one_wire_will_do, chatty, fixed, today, may_be_left_out, own_board) = wishes;
        Need {
            kind,
            duplex,
            baud,
            inversion,
            level_v,
            needs_high_v,
            one_wire_will_do,
            chatty,
            fixed,
            today,
            may_be_left_out,
            own_board,
        }
    })
}

fn any_question() -> impl Strategy<Value = Question> {
    let sizes = (
        1..=5_usize,
        0..=5_usize,
        proptest::sample::select(vec![TAME, WILD]),
    );
    sizes.prop_flat_map(|(ports, needs, tame)| {
        let pairs = (0..ports, 0..ports);
        (
            proptest::collection::vec(port(tame), ports),
            proptest::collection::vec(need(ports, tame), needs),
            proptest::collection::vec(pairs, 0..=3),
        )
            .prop_map(|(ports, needs, apart)| Question {
                ports,
                needs,
                apart,
            })
    })
}

/// The first field that differs, by its place in [`Cost`].
fn first_difference(one: Cost, other: Cost) -> Option<usize> {
    let fields = |cost: Cost| {
        let Cost {
            left_out,
            moved,
            soft,
            loader,
            displaced,
            pairs,
            unstated,
            order,
        } = cost;
        [
            left_out, moved, soft, loader, displaced, pairs, unstated, order,
        ]
    };
    let pairs = fields(one).into_iter().zip(fields(other));
    pairs.into_iter().position(|(one, other)| one != other)
}

fn place_in_cost(reason: Reason) -> Option<usize> {
    match reason {
        Reason::LeavesFewerOut => Some(0),
        Reason::StaysWhereItIs | Reason::LetsOthersStay => Some(1),
        Reason::KeepsOffSoft => Some(2),
        Reason::KeepsOffLoader => Some(3),
        Reason::GivesUpLess => Some(4),
        Reason::KeepsPairsFree => Some(5),
        Reason::StatedToFit => Some(6),
        Reason::LowestNumber => Some(7),
        _ => None,
    }
}

/// What a choice says of a port it passed over, against trying it.
fn check_passed(
    question: &Question,
    need: usize,
    (port, passed): &(usize, Passed),
) -> Result<(), TestCaseError> {
    let asked = &question.needs[need];
    let mut unfixed = question.clone();
    unfixed.needs[need].fixed = None;
    let there = oracle::least(&unfixed, Some((need, *port)));
    let best = oracle::least(question, None).expect("allotted");
    match passed {
        Passed::Unfit(reasons) => {
            prop_assert!(!reasons.is_empty());
            prop_assert_eq!(there, None);
        }
        Passed::TheOwnerSaysOther => prop_assert!(asked.fixed.is_some_and(|fixed| fixed != *port)),
        Passed::NoRoom => prop_assert_eq!(there, None),
        Passed::ApartFromTaken(taken) => {
            prop_assert!(question.ports[*taken].taken);
            prop_assert_eq!(there, None);
        }
        Passed::Worse(reason) => {
            let cost = there.expect("there is a way");
            prop_assert_eq!(place_in_cost(*reason), first_difference(best, cost));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4096, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn checked_against_trying_everything(question in any_question()) {
        match allot(&question).expect("small") {
            Answer::Allotted { choices, cost } => {
                let places: oracle::Places =
                    choices.iter().map(|choice| Some(choice.as_ref()?.port)).collect();
                prop_assert!(oracle::lawful(&question, &places));
                prop_assert_eq!(oracle::cost(&question, &places), cost);
                prop_assert_eq!(oracle::least(&question, None), Some(cost));
                for (need, choice) in choices.iter().enumerate() {
                    for other in choice.iter().flat_map(|choice| &choice.others) {
                        check_passed(&question, need, other)?;
                    }
                }
            }
            Answer::Impossible { together, reliefs } => {
                prop_assert!(!oracle::feasible(&question, oracle::all_required(&question)));
                prop_assert_eq!(together, oracle::smallest_conflict(&question));
                prop_assert_eq!(reliefs, oracle::reliefs(&question));
            }
        }
    }
}
