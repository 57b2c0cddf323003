//! The trade's known cases by hand, and random small questions against trying everything.

mod oracle;
mod random;

use super::*;

const RECEIVER: usize = 0;
const OVERLAY: usize = 1;

/// A hardware pair that can do everything but invert.
fn pair() -> Port {
    Port {
        kind: Kind::Serial,
        duplex: PortDuplex::Full,
        one_wire: true,
        inversion: PortInversion::Plain,
        highest_baud: Some(2_000_000.0),
        tolerates_v: Some(5.0),
        drives_v: Some(3.3),
        soft: false,
        board: 0,
        many: false,
        taken: false,
        loader: false,
        gives_up: 0,
    }
}

fn soft_port() -> Port {
    Port {
        soft: true,
        inversion: PortInversion::Switchable,
        highest_baud: None,
        ..pair()
    }
}

/// Two wires, both ways, 3.3 V.
fn device(baud: f64) -> Need {
    Need {
        kind: Kind::Serial,
        duplex: NeedDuplex::Full,
        baud: Some(baud),
        inversion: NeedInversion::Plain,
        level_v: Some(3.3),
        needs_high_v: None,
        one_wire_will_do: false,
        chatty: false,
        fixed: None,
        today: None,
        may_be_left_out: false,
        own_board: None,
    }
}

fn receiver() -> Need {
    Need {
        chatty: true,
        ..device(420_000.0)
    }
}

fn gps() -> Need {
    Need {
        chatty: true,
        ..device(57_600.0)
    }
}

/// Channel and power of a video transmitter over one wire.
fn video_control() -> Need {
    Need {
        duplex: NeedDuplex::OneWire,
        ..device(9_600.0)
    }
}

/// 100 kbit/s, inverted, the device only sends.
fn legacy_receiver() -> Need {
    Need {
        duplex: NeedDuplex::DeviceSends,
        inversion: NeedInversion::Inverted,
        chatty: true,
        ..device(100_000.0)
    }
}

fn question(ports: &[Port], needs: &[Need], apart: &[(usize, usize)]) -> Question {
    Question {
        ports: ports.to_vec(),
        needs: needs.to_vec(),
        apart: apart.to_vec(),
    }
}

#[track_caller]
fn choices(question: &Question) -> Vec<Option<Choice>> {
    match allot(question) {
        Ok(Answer::Allotted { choices, .. }) => choices,
        other => panic!("not allotted: {other:?}"),
    }
}

#[track_caller]
fn ports(question: &Question) -> Vec<Option<usize>> {
    let choices = choices(question);
    choices
        .iter()
        .map(|choice| Some(choice.as_ref()?.port))
        .collect()
}

/// The port and reason of the first need.
#[track_caller]
fn first(question: &Question) -> (usize, Reason) {
    let choice = choices(question)[0]
        .clone()
        .expect("the first need is served");
    (choice.port, choice.reason)
}

#[track_caller]
fn conflict(question: &Question) -> (Vec<usize>, Vec<Relief>) {
    match allot(question) {
        Ok(Answer::Impossible { together, reliefs }) => (together, reliefs),
        other => panic!("not impossible: {other:?}"),
    }
}

#[test]
fn checked_two_pairs_do_not_carry_receiver_overlay_and_gps() {
    // 57 600 bit/s is three times what soft serial carries, so only leaving one out helps.
    let needs = [receiver(), device(115_200.0), gps()];
    let (together, reliefs) = conflict(&question(&[pair(), pair()], &needs, &[]));
    assert_eq!(together, [0, 1, 2]);
    assert_eq!(reliefs, [0, 1, 2].map(Relief::LeaveOut));
}

#[test]
fn checked_video_control_goes_to_the_soft_port() {
    let needs = [receiver(), device(115_200.0), video_control()];
    let question = question(&[pair(), pair(), soft_port()], &needs, &[]);
    assert_eq!(ports(&question), [Some(0), Some(1), Some(2)]);
    let choices = choices(&question);
    // A pair fits the video control too, but then the overlay has none.
    let video = choices[2].as_ref().expect("served");
    assert_eq!(video.reason, Reason::OnlyRoomForAll);
    assert_eq!(video.others, [(0, Passed::NoRoom), (1, Passed::NoRoom)]);
    let overlay = choices[OVERLAY].as_ref().expect("served");
    let too_fast = Passed::Unfit(vec![Unfit::SoftTooFast { needs: 115_200.0 }]);
    assert_eq!(overlay.others[1], (2, too_fast));
}

#[test]
fn checked_reliefs_name_one_wire_and_a_soft_port_where_they_cure() {
    let link = Need {
        one_wire_will_do: true,
        ..receiver()
    };
    let one_wire_pad = Port {
        duplex: PortDuplex::SendOnly,
        ..pair()
    };
    let needs = [link, device(115_200.0), device(9_600.0)];
    let ports = [pair(), pair(), one_wire_pad];
    let (together, reliefs) = conflict(&question(&ports, &needs, &[]));
    assert_eq!(together, [0, 1, 2]);
    let soft = Relief::SoftPort { need: 2, board: 0 };
    let expected = [
        Relief::LeaveOut(0),
        Relief::LeaveOut(1),
        Relief::LeaveOut(2),
        Relief::OneWireWillDo(RECEIVER),
        soft,
    ];
    assert_eq!(reliefs, expected);
}

#[test]
fn checked_an_inverter_in_hardware_does_not_serve_a_gps() {
    let inverter = Port {
        inversion: PortInversion::Fixed,
        ..pair()
    };
    assert_eq!(fit(&inverter, &gps()), Err(vec![Unfit::AlwaysInverted]));
    let (together, reliefs) = conflict(&question(&[inverter], &[gps()], &[]));
    assert_eq!((together, reliefs), (vec![0], vec![Relief::LeaveOut(0)]));
}

#[test]
fn checked_a_legacy_receiver_shuts_the_plain_port_on_the_same_pad() {
    let inverter = Port {
        inversion: PortInversion::Fixed,
        duplex: PortDuplex::ReceiveOnly,
        ..pair()
    };
    let ports_ = [pair(), inverter, pair()];
    let needs = [gps(), legacy_receiver()];
    let shared = question(&ports_, &needs, &[(0, 1)]);
    assert_eq!(ports(&shared), [Some(2), Some(1)]);
    let gps_choice = choices(&shared)[0].clone().expect("served");
    assert_eq!(gps_choice.others[0], (0, Passed::NoRoom));
    // With pads of their own the GPS takes the lower port.
    let free = question(&ports_, &needs, &[]);
    assert_eq!(ports(&free), [Some(0), Some(1)]);
}

#[test]
fn checked_what_an_on_board_receiver_has_can_be_freed() {
    let taken = Port {
        taken: true,
        ..pair()
    };
    // The receiver on the board has port 0, and port 1 shares its pads.
    let asked = question(&[taken, pair()], &[gps()], &[(0, 1)]);
    let (together, reliefs) = conflict(&asked);
    assert_eq!(together, [0]);
    assert_eq!(reliefs, [Relief::LeaveOut(0), Relief::FreePort(0)]);
    // With a third port the GPS goes there, and says why not to the others.
    let third = question(&[taken, pair(), pair()], &[gps()], &[(0, 1)]);
    let choice = choices(&third)[0].clone().expect("served");
    assert_eq!(choice.port, 2);
    let unfit = Passed::Unfit(vec![Unfit::Taken]);
    assert_eq!(choice.others, [(0, unfit), (1, Passed::ApartFromTaken(0))]);
}

#[test]
fn checked_the_owners_word_is_kept_and_named_when_it_is_in_the_way() {
    let at = |fixed| Need {
        fixed: Some(fixed),
        ..gps()
    };
    let one = question(&[pair(), pair()], &[at(1)], &[]);
    assert_eq!(first(&one), (1, Reason::TheOwnerSaysSo));
    let both = question(&[pair(), pair()], &[at(1), at(1)], &[]);
    let (together, reliefs) = conflict(&both);
    assert_eq!(together, [0, 1]);
    let expected = [
        Relief::LeaveOut(0),
        Relief::LeaveOut(1),
        Relief::Unfix(0),
        Relief::Unfix(1),
    ];
    assert_eq!(reliefs, expected);
}

#[test]
fn checked_soft_ports_of_a_board_share_one_limit() {
    // 9 600 + 9 600 = 19 200 bit/s: just within. A third is too much on the same board only.
    let asked = |boards: [usize; 3], count: usize| {
        let ports = boards.map(|board| Port {
            board,
            ..soft_port()
        });
        question(&ports, &[video_control(); 3][..count], &[])
    };
    assert_eq!(ports(&asked([0, 0, 0], 2)), [Some(0), Some(1)]);
    assert_eq!(conflict(&asked([0, 0, 0], 3)).0, [0, 1, 2]);
    assert_eq!(ports(&asked([0, 0, 1], 3)), [Some(0), Some(1), Some(2)]);
}

#[test]
fn checked_each_evil_decides_in_its_turn() {
    let plain = || pair();
    let spoiled = |spoil: fn(&mut Port)| {
        let mut port = pair();
        spoil(&mut port);
        port
    };
    let loader = spoiled(|port| port.loader = true);
    let costly = spoiled(|port| port.gives_up = 1);
    let unknown = spoiled(|port| port.highest_baud = None);
    let lesser = spoiled(|port| port.duplex = PortDuplex::SendOnly);
    let slow_gps = Need {
        chatty: true,
        ..device(9_600.0)
    };
    let today = Need {
        today: Some(1),
        ..gps()
    };
    let at_once = |ports: [Port; 2], need| first(&question(&ports, &[need], &[]));
    assert_eq!(
        at_once([plain(), loader], today),
        (1, Reason::StaysWhereItIs)
    );
    assert_eq!(
        at_once([soft_port(), loader], slow_gps),
        (1, Reason::KeepsOffSoft)
    );
    assert_eq!(
        at_once([loader, costly], gps()),
        (1, Reason::KeepsOffLoader)
    );
    let one_wire_costly = at_once([costly, plain()], video_control());
    assert_eq!(one_wire_costly, (1, Reason::GivesUpLess));
    assert_eq!(
        at_once([plain(), lesser], video_control()),
        (1, Reason::KeepsPairsFree)
    );
    assert_eq!(at_once([unknown, plain()], gps()), (1, Reason::StatedToFit));
    assert_eq!(
        at_once([plain(), plain()], gps()),
        (0, Reason::LowestNumber)
    );
    assert_eq!(
        at_once([soft_port(), plain()], gps()),
        (1, Reason::OnlyOneThatFits)
    );
}

#[test]
fn checked_other_wires_stay_and_fewest_are_left_out() {
    let settled = Need {
        today: Some(0),
        ..gps()
    };
    let asked = question(&[pair(), pair()], &[gps(), settled], &[]);
    assert_eq!(first(&asked), (1, Reason::LetsOthersStay));
    let optional = |need| Need {
        may_be_left_out: true,
        ..need
    };
    // The slow one fits the soft port as well, so both are served though soft ports are poor.
    let both = [optional(device(9_600.0)), optional(gps())];
    let asked = question(&[pair(), soft_port()], &both, &[]);
    assert_eq!(first(&asked), (1, Reason::LeavesFewerOut));
    let required = question(&[pair()], &[optional(receiver()), gps()], &[]);
    assert_eq!(ports(&required), [None, Some(0)]);
}

#[test]
fn checked_a_bus_takes_all_and_pays_once() {
    let bus = Port {
        kind: Kind::Other(1),
        many: true,
        gives_up: 3,
        ..pair()
    };
    let sensor = Need {
        kind: Kind::Other(1),
        ..device(400_000.0)
    };
    let asked = question(&[pair(), bus], &[sensor; 4], &[]);
    let Ok(Answer::Allotted { choices, cost }) = allot(&asked) else {
        panic!("not allotted");
    };
    assert!(choices.iter().flatten().all(|choice| choice.port == 1));
    assert_eq!((cost.displaced, cost.order), (3, 4));
}

#[test]
fn checked_a_port_says_everything_that_is_wrong_with_it() {
    let port = Port {
        duplex: PortDuplex::SendOnly,
        taken: true,
        highest_baud: Some(19_200.0),
        tolerates_v: Some(3.3),
        drives_v: Some(3.3),
        ..soft_port()
    };
    let port = Port {
        inversion: PortInversion::Plain,
        ..port
    };
    let need = Need {
        inversion: NeedInversion::Inverted,
        level_v: Some(5.0),
        needs_high_v: Some(3.5),
        ..device(115_200.0)
    };
    let expected = vec![
        Unfit::Taken,
        Unfit::NoReceivePad,
        Unfit::TooFast {
            needs: 115_200.0,
            port: 19_200.0,
        },
        Unfit::SoftTooFast { needs: 115_200.0 },
        Unfit::CannotInvert,
        Unfit::TooManyVolts {
            drives: 5.0,
            tolerates: 3.3,
        },
        Unfit::TooFewVolts {
            needs: 3.5,
            drives: 3.3,
        },
    ];
    assert_eq!(fit(&port, &need), Err(expected));
    let video = Port {
        kind: Kind::Other(7),
        ..port
    };
    assert_eq!(fit(&video, &need), Err(vec![Unfit::WrongKind]));
    let listener = Port {
        duplex: PortDuplex::ReceiveOnly,
        one_wire: false,
        ..pair()
    };
    let pads = Err(vec![Unfit::NoSendPad, Unfit::NoOneWire]);
    assert_eq!(fit(&listener, &video_control()), pads);
    assert_eq!(fit(&listener, &gps()), Err(vec![Unfit::NoSendPad]));
    let one_way = Need {
        duplex: NeedDuplex::DeviceSends,
        ..gps()
    };
    assert_eq!(fit(&listener, &one_way), Ok(()));
}

#[test]
fn checked_odd_numbers_fit_nowhere_and_panic_nowhere() {
    for baud in [f64::NAN, f64::INFINITY] {
        let asked = question(&[pair(), soft_port()], &[device(baud)], &[(0, 0)]);
        assert_eq!(conflict(&asked).0, [0]);
    }
    let asked = question(&[soft_port()], &[device(-5.0)], &[]);
    assert_eq!(ports(&asked), [Some(0)]);
    let nothing = Ok(Answer::Allotted {
        choices: vec![],
        cost: Cost::default(),
    });
    assert_eq!(allot(&Question::default()), nothing);
}

#[test]
fn checked_too_big_a_question_is_refused_in_words() {
    let asked =
        |ports: usize, needs: usize| question(&vec![pair(); ports], &vec![gps(); needs], &[]);
    assert_eq!(ports(&asked(64, 1)), [Some(0)]);
    assert_eq!(allot(&asked(65, 1)), Err(Unanswerable::TooManyPorts(65)));
    assert_eq!(allot(&asked(1, 65)), Err(Unanswerable::TooManyNeeds(65)));
    assert_eq!(
        Unanswerable::TooManyPorts(65).to_string(),
        "65 ports to allot; 64 are the most"
    );
    let boards = (0..9).map(|board| Port {
        board,
        ..soft_port()
    });
    let boards = question(&boards.collect::<Vec<_>>(), &[], &[]);
    assert_eq!(allot(&boards), Err(Unanswerable::TooManySoftBoards(9)));
    let astray = question(&[pair()], &[gps()], &[(0, 1)]);
    assert_eq!(allot(&astray), Err(Unanswerable::NoSuchPort(1)));
    // Thirty alike on sixty alike: the ways do not fit in memory.
    assert_eq!(allot(&asked(60, 30)), Err(Unanswerable::TooManyWays));
    // Forty on thirty-nine is impossible without trying many ways.
    let (together, reliefs) = conflict(&asked(39, 40));
    assert_eq!((together.len(), reliefs.len()), (40, 40));
}
