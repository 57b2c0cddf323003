//! What the wiring plan means in grams, volts and words.

use crate::phrase::Phrase;
use craft::airframe::PortCount;
use craft::facet::Input;
use craft::pads::SignalKind;
use craft::part::Named;
use craft::{Airframe, Tap};
use power::lead::{Wire as Pair, mass_per_metre};
use power::typical::{insulated_diameter, wire_currents};
use quantity::{Current, Length, WireGauge};
use wiring::Plan;
pub use wiring::allot::Passed;
use wiring::allot::{Reason, Relief, SOFT_LIMIT, Unfit};
use wiring::choice::WARM_COPPER;
use wiring::moves::moves;
use wiring::plan::Wire;
use wiring::signals::Signals;

/// Wire that a refit puts on and takes off \[kg\].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WireChange {
    /// Put on.
    pub on_kg: f64,
    /// Taken off.
    pub off_kg: f64,
}

/// Thickest wire without a usual outer diameter: its copper is most of its mass.
const BARE_FACTOR: f64 = 1.8;

/// Mass of one wire \[kg\].
pub fn mass_kg(wire: &Wire) -> f64 {
    wire_mass_kg(wire.gauge.value, wire.length.value)
}

fn wire_mass_kg(gauge: WireGauge, length: Length) -> f64 {
    let outer = insulated_diameter(gauge).map_or_else(
        || Length::metres(power::lead::diameter(gauge).in_metres() * BARE_FACTOR),
        |typical| typical.quantity.value,
    );
    mass_per_metre(gauge, outer) * length.in_metres().max(0.0)
}

/// What the iron puts on and takes off between two plans.
pub fn change(before: &Plan, after: &Plan) -> WireChange {
    let mut change = WireChange::default();
    for it in moves(before, after) {
        change.off_kg += it.old.map_or(0.0, |old| mass_kg(&before.wires[old]));
        change.on_kg += it.new.map_or(0.0, |new| mass_kg(&after.wires[new]));
    }
    change
}

/// Volts that a pair of such wires drops at a current \[V\].
pub fn drop_v(wire: &Wire, current_a: f64) -> f64 {
    Pair::stranded(wire.gauge.value, wire.length.value)
        .drop(Current::amperes(current_a), WARM_COPPER)
        .in_volts()
}

/// What the charts let a wire carry for minutes \[A\]: least and most of them, and the ten-second figure.
pub fn charts_a(gauge: WireGauge) -> Option<((f64, f64), f64)> {
    let charts = wire_currents(gauge)?;
    let all = [
        charts.cautious,
        Some(charts.bold),
        Some(charts.sensible.0),
        Some(charts.sensible.1),
    ];
    let amperes = || all.into_iter().flatten().map(Current::in_amperes);
    let least = amperes().fold(f64::INFINITY, f64::min);
    let most = amperes().fold(0.0, f64::max);
    Some(((least, most), charts.burst.in_amperes()))
}

/// Why a port cannot serve a signal.
pub fn unfit(reason: &Unfit) -> Phrase {
    match *reason {
        Unfit::WrongKind => "it is a port for another kind of signal".into(),
        Unfit::OwnBoard => "it is on the device itself".into(),
        Unfit::Taken => "something else owns it, on the board or by a wire that you wrote".into(),
        Unfit::NoSendPad => "it has no pad that sends".into(),
        Unfit::NoReceivePad => "it has no pad that listens".into(),
        Unfit::NoOneWire => "it cannot talk both ways on one wire".into(),
        Unfit::TooFast { needs, port } => Phrase::words("the device talks at ")
            .then(rate(needs))
            .then(", it can ")
            .then(rate(port)),
        Unfit::CannotInvert => "the signal idles low and it cannot invert".into(),
        Unfit::AlwaysInverted => "the signal idles high and it always inverts".into(),
        Unfit::TooManyVolts { drives, tolerates } => Phrase::words("the device sends ")
            .number(drives, "V")
            .then(", it takes ")
            .number(tolerates, "V"),
        Unfit::TooFewVolts { needs, drives } => Phrase::words("the device needs ")
            .number(needs, "V")
            .then(", it sends ")
            .number(drives, "V"),
        Unfit::SoftTooFast { needs } => Phrase::words("the device talks at ")
            .then(rate(needs))
            .then("; soft serial carries ")
            .then(rate(SOFT_LIMIT))
            .then(" over all its ports"),
    }
}

/// A rate as it is set: every digit, since no rounding may turn one setting into another.
fn rate(bits_per_second: f64) -> String {
    format!("{bits_per_second} bit/s")
}

/// Several reasons in one line.
pub fn unfit_all(reasons: &[Unfit]) -> Phrase {
    let mut all = Phrase::default();
    let soft = |reason: &Unfit| matches!(reason, Unfit::SoftTooFast { .. });
    // The limit of soft serial says it all; the port's own is the same one.
    let told = reasons
        .iter()
        .filter(|reason| !(matches!(reason, Unfit::TooFast { .. }) && reasons.iter().any(soft)));
    for (at, reason) in told.enumerate() {
        if at > 0 {
            all = all.then(" and ");
        }
        all.0.extend(unfit(reason).0);
    }
    all
}
/// What decided for a port; `today_said` tells whether the builder says where the signal is today.
pub fn reason(reason: Reason, today_said: bool) -> &'static str {
    match reason {
        Reason::StaysWhereItIs if !today_said => {
            "planned there before the refit; write `[links]` if it is elsewhere today"
        }
        Reason::TheOwnerSaysSo => "you say so",
        Reason::OnlyOneThatFits => "no other port fits",
        Reason::OnlyRoomForAll => "anywhere else, another signal would have no port",
        Reason::LeavesFewerOut => "fewer signals are left out",
        Reason::StaysWhereItIs => "it is there today",
        Reason::LetsOthersStay => "no other wire has to move",
        Reason::KeepsOffSoft => "soft serial is for what has no other port",
        Reason::KeepsOffLoader => {
            "the boot loader listens on the other port, and this device speaks first"
        }
        Reason::GivesUpLess => "it takes less away from other functions of the board",
        Reason::KeepsPairsFree => "a full pair stays free",
        Reason::StatedToFit => "its sheet says that it fits; the other port's does not",
        Reason::LowestNumber => "all else is equal, so the lowest number",
        Reason::NoDifference => "another port would be as good",
    }
}

/// A single change that makes everything fit.
pub fn relief(signals: &Signals, relief: Relief) -> String {
    let need = |at: usize| &signals.needs[at].name;
    match relief {
        Relief::LeaveOut(at) => format!("leave out {}", need(at)),
        Relief::OneWireWillDo(at) => format!("run {} over one wire", need(at)),
        Relief::FreePort(at) => format!(
            "give up what owns {} on the board, if it can be switched off",
            signals.ports[at].name
        ),
        Relief::SoftPort { need: at, .. } => format!(
            "make a soft serial port for {}, if the board has a pad with a timer to spare",
            need(at)
        ),
        Relief::Unfix(at) => format!("let {} go to another port than you wrote", need(at)),
    }
}

/// A port as printed, and as the settings count it where that differs: "board.2 (printed 2, counted 1)".
pub fn port_label(signals: &Signals, port: usize, from_zero: bool) -> String {
    let port = &signals.ports[port];
    match port
        .number
        .filter(|_| from_zero && port.kind == SignalKind::Serial)
    {
        Some(printed) => format!(
            "{} (printed {printed}, counted {})",
            port.name,
            printed.saturating_sub(1)
        ),
        None => port.name.clone(),
    }
}

/// Whether the owner's settings count ports from zero.
pub fn counts_from_zero(airframe: &Airframe) -> bool {
    let wiring = airframe.harness.wiring.as_ref();
    wiring
        .and_then(|wiring| wiring.ports_counted)
        .is_some_and(|count| count.value == PortCount::FromZero)
}

/// Whether an input is alive when only USB is plugged in; none where no sheet says which rails are.
pub fn alive_on_usb(airframe: &Airframe, part: usize, input: &Named<Input>) -> Option<bool> {
    let said = airframe
        .found()
        .flat_map(|(.., sheet)| &sheet.rails)
        .any(|rail| rail.facet.live_on_usb.is_some());
    let (mut tap, _) = airframe
        .source_of_input(part, input)
        .ok()
        .filter(|_| said)?;
    // A rail that is fed by a live one is live; circles are told elsewhere and end here.
    for _ in 0..airframe.parts.len() {
        let Tap::Rail(at, rail) = tap else {
            return Some(false);
        };
        if airframe
            .rail(at, rail)?
            .facet
            .live_on_usb
            .is_some_and(|live| live.value)
        {
            return Some(true);
        }
        tap = airframe.source_of_rail(at, rail).ok()?.0;
    }
    Some(false)
}
