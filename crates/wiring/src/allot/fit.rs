//! Whether one port can serve one need, and every reason why not.
//!
//! Knows nothing of other needs: who else wants the port is the allotment's affair.

/// What all soft serial ports of one board carry together \[bit/s\]. The limit flight-controller
/// handbooks state for serial made by timers instead of hardware.
pub const SOFT_LIMIT: f64 = 19_200.0;

/// What class of connection a port offers or a need asks for. Only equal kinds go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Asynchronous serial.
    Serial,
    /// Anything else, by a small number of the caller's: video in, a bus, a light strip.
    Other(u16),
}

/// What the pads of a port offer, seen from the port.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PortDuplex {
    /// A send pad and a receive pad.
    Full,
    /// A send pad alone.
    SendOnly,
    /// A receive pad alone.
    ReceiveOnly,
}

/// What a device needs of the pads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NeedDuplex {
    /// Both ways at once, over two wires.
    Full,
    /// Both ways in turns, over one wire to the send pad.
    OneWire,
    /// The device only talks: it needs the port's receive pad.
    DeviceSends,
    /// The device only listens: it needs the port's send pad.
    DeviceReceives,
}

/// Whether a port can turn its signal upside down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PortInversion {
    /// Never inverted.
    Plain,
    /// Plain or inverted, by a setting.
    Switchable,
    /// Always inverted, in hardware.
    Fixed,
}

/// Which way up a device's signal is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NeedInversion {
    /// Idles high.
    Plain,
    /// Idles low.
    Inverted,
    /// The device can do both.
    Either,
}

/// One port of a board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Port {
    /// What it is for.
    pub kind: Kind,
    /// Which pads it has.
    pub duplex: PortDuplex,
    /// It can talk both ways in turns on its send pad.
    pub one_wire: bool,
    /// What it can do about inverted signals.
    pub inversion: PortInversion,
    /// Fastest it can go \[bit/s\]. Not stated: taken as able, at the cost of an unstated capability.
    pub highest_baud: Option<f64>,
    /// Highest voltage its pads take \[V\]. Not stated: as above.
    pub tolerates_v: Option<f64>,
    /// What its send pad drives when high \[V\]. Not stated: as above.
    pub drives_v: Option<f64>,
    /// Made by timers, not by hardware: slow, and shares [`SOFT_LIMIT`] with the others of its board.
    pub soft: bool,
    /// Which board it is on; matters for soft ports, and for devices that are boards.
    pub board: usize,
    /// A bus: takes any number of needs.
    pub many: bool,
    /// Something on the board has it, such as an on-board receiver. Ports apart from it are then
    /// out of reach too.
    pub taken: bool,
    /// The boot loader listens here, and a device that talks unasked may keep it from starting.
    pub loader: bool,
    /// How many other functions of the board are lost by using it.
    pub gives_up: u32,
}

/// What one device needs of a port.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// What it is.
    pub kind: Kind,
    /// Which pads it needs.
    pub duplex: NeedDuplex,
    /// How fast it talks \[bit/s\], if known.
    pub baud: Option<f64>,
    /// Which way up its signal is.
    pub inversion: NeedInversion,
    /// What the device drives when high \[V\].
    pub level_v: Option<f64>,
    /// What the device must see to take a signal as high \[V\].
    pub needs_high_v: Option<f64>,
    /// A device that wants two wires would also work over one, with less. Never assumed: offered
    /// as a way out when not everything fits.
    pub one_wire_will_do: bool,
    /// It talks unasked, as receivers and GPS do.
    pub chatty: bool,
    /// The owner says: this port.
    pub fixed: Option<usize>,
    /// Where it is soldered today.
    pub today: Option<usize>,
    /// The craft still makes sense without it.
    pub may_be_left_out: bool,
    /// The board that the device itself is, if it has ports too: they are for others.
    pub own_board: Option<usize>,
}

/// One reason why a port cannot serve a need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unfit {
    /// It is not that kind of port.
    WrongKind,
    /// It is on the device itself.
    OwnBoard,
    /// Something on the board has it.
    Taken,
    /// The device must be talked to, and there is no send pad.
    NoSendPad,
    /// The device must be heard, and there is no receive pad.
    NoReceivePad,
    /// The port cannot take turns on one pad.
    NoOneWire,
    /// The device talks faster than the port can.
    TooFast {
        /// What the device needs \[bit/s\].
        needs: f64,
        /// What the port can \[bit/s\].
        port: f64,
    },
    /// The signal is inverted and the port cannot turn it over.
    CannotInvert,
    /// The signal is plain and the port always inverts.
    AlwaysInverted,
    /// The device drives more than the port takes.
    TooManyVolts {
        /// What the device drives \[V\].
        drives: f64,
        /// What the port takes \[V\].
        tolerates: f64,
    },
    /// The port drives less than the device takes as high.
    TooFewVolts {
        /// What the device must see \[V\].
        needs: f64,
        /// What the port drives \[V\].
        drives: f64,
    },
    /// Faster than soft serial goes, see [`SOFT_LIMIT`].
    SoftTooFast {
        /// What the device needs \[bit/s\].
        needs: f64,
    },
}

/// Whether a port can serve a need, looked at alone; if not, every reason.
///
/// What nobody states is taken as able. A number that is not one fits nowhere.
pub fn fit(port: &Port, need: &Need) -> Result<(), Vec<Unfit>> {
    // Pads and volts of another kind of port mean nothing.
    if port.kind != need.kind {
        return Err(vec![Unfit::WrongKind]);
    }
    let mut reasons = Vec::new();
    if need.own_board == Some(port.board) {
        reasons.push(Unfit::OwnBoard);
    }
    if port.taken {
        reasons.push(Unfit::Taken);
    }
    reasons.extend(wrong_pads(port, need));
    reasons.extend(too_fast(port, need));
    reasons.extend(wrong_way_up(port, need));
    reasons.extend(wrong_volts(port, need));
    if reasons.is_empty() {
        Ok(())
    } else {
        Err(reasons)
    }
}

/// How many things this pairing takes on trust because nobody states them.
pub(super) fn unstated(port: &Port, need: &Need) -> u32 {
    let speed = if port.soft {
        need.baud.is_none()
    } else {
        need.baud.is_some() && port.highest_baud.is_none()
    };
    let takes = device_drives(need) && need.level_v.is_some() && port.tolerates_v.is_none();
    let drives = port_drives(need) && need.needs_high_v.is_some() && port.drives_v.is_none();
    [speed, takes, drives].map(u32::from).iter().sum()
}

fn wrong_pads(port: &Port, need: &Need) -> impl Iterator<Item = Unfit> {
    let hears = port.duplex != PortDuplex::SendOnly;
    let speaks = port.duplex != PortDuplex::ReceiveOnly;
    // One wire goes both ways over the send pad.
    let must_hear = matches!(need.duplex, NeedDuplex::Full | NeedDuplex::DeviceSends);
    let one_wire = need.duplex == NeedDuplex::OneWire;
    let no_send = (port_drives(need) && !speaks).then_some(Unfit::NoSendPad);
    let no_receive = (must_hear && !hears).then_some(Unfit::NoReceivePad);
    let no_turns = (one_wire && !port.one_wire).then_some(Unfit::NoOneWire);
    [no_send, no_receive, no_turns].into_iter().flatten()
}

fn too_fast(port: &Port, need: &Need) -> impl Iterator<Item = Unfit> {
    let needs = need.baud;
    let over = |limit: f64| needs.filter(|&baud| !within(baud, limit));
    let hardware = port
        .highest_baud
        .and_then(|limit| over(limit).map(|needs| Unfit::TooFast { needs, port: limit }));
    let soft = over(SOFT_LIMIT).filter(|_| port.soft);
    let soft = soft.map(|needs| Unfit::SoftTooFast { needs });
    [hardware, soft].into_iter().flatten()
}

fn wrong_way_up(port: &Port, need: &Need) -> Option<Unfit> {
    match (port.inversion, need.inversion) {
        (PortInversion::Plain, NeedInversion::Inverted) => Some(Unfit::CannotInvert),
        (PortInversion::Fixed, NeedInversion::Plain) => Some(Unfit::AlwaysInverted),
        _ => None,
    }
}

fn wrong_volts(port: &Port, need: &Need) -> impl Iterator<Item = Unfit> {
    let level = need.level_v.filter(|_| device_drives(need));
    let high = need.needs_high_v.filter(|_| port_drives(need));
    let too_many = level.zip(port.tolerates_v);
    let too_many = too_many.filter(|&(drives, tolerates)| !within(drives, tolerates));
    let too_few = high.zip(port.drives_v);
    let too_few = too_few.filter(|&(needs, drives)| !within(needs, drives));
    let too_many = too_many.map(|(drives, tolerates)| Unfit::TooManyVolts { drives, tolerates });
    let too_few = too_few.map(|(needs, drives)| Unfit::TooFewVolts { needs, drives });
    [too_many, too_few].into_iter().flatten()
}

/// The device puts a voltage on a pad of the port.
fn device_drives(need: &Need) -> bool {
    need.duplex != NeedDuplex::DeviceReceives
}

/// The port puts a voltage on a pin of the device.
fn port_drives(need: &Need) -> bool {
    need.duplex != NeedDuplex::DeviceSends
}

/// False for what is not a number.
fn within(asked: f64, limit: f64) -> bool {
    asked <= limit
}
