//! Gauges and lengths for wires that nobody has written.
//!
//! Common practice, no single source: which wire a job usually gets, how far parts of a class are
//! apart, and how much a wire may drop. What is written in the files always stands.

use craft::AirframeClass;
use craft::facet::Loss;
use power::lead::Wire;
use power::typical::wire_currents;
use quantity::{Current, Length, Temperature, WireGauge};

/// What a wire does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Job {
    /// Feeds a digital video unit.
    DigitalVideo,
    /// Feeds an analogue camera or transmitter.
    AnalogueVideo,
    /// Feeds anything else.
    Feed,
    /// Feeds a second board from the pack.
    Board,
    /// Carries a signal.
    Signal,
    /// One of a motor's three leads.
    Motor,
}

impl Job {
    /// The job of a wire that feeds an input with this to lose.
    pub fn feed(loss: Option<Loss>) -> Self {
        match loss {
            Some(Loss::DigitalVideo) => Self::DigitalVideo,
            Some(Loss::AnalogueVideo) => Self::AnalogueVideo,
            _ => Self::Feed,
        }
    }
}

/// What is known of a wire before it is chosen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// What it does.
    pub job: Job,
    /// The current it must carry \[A\].
    pub current_a: f64,
    /// The volts of its source \[V\].
    pub volts: Option<f64>,
    /// Its size, if written.
    pub gauge: Option<WireGauge>,
    /// Its length, if written.
    pub length: Option<Length>,
}

impl Wanted {
    /// A wire with nothing written and no current to speak of.
    pub fn usual(job: Job) -> Self {
        Self {
            job,
            current_a: 0.0,
            volts: None,
            gauge: None,
            length: None,
        }
    }
}

/// What a feed of 5 V for video may drop over both wires \[V\]. Common practice.
pub const VIDEO_DROP_V: f64 = 0.050;
/// What a feed from the pack may drop in ordinary flight, as a share of the volts. Common practice.
pub const CRUISE_DROP: f64 = 0.01;
/// The same at full command.
pub const PUNCH_DROP: f64 = 0.03;
/// Rails up to here are what [`VIDEO_DROP_V`] was said of \[V\].
pub const LOW_RAIL_V: f64 = 5.5;
/// Copper of a thin wire in a craft \[°C\].
pub const WARM_COPPER: Temperature = Temperature::celsius(40.0);
/// Added to a routed length: a tenth for bends, and one loop to solder again.
const BENDS: f64 = 1.10;
/// One service loop \[mm\]: 8 to 10.
const LOOP_MM: f64 = 9.0;
/// Between two boards of a stack: the ready-made leads are 28 to 24. Common practice.
const BOARD_GAUGE: f64 = 24.0;
/// Gauges in shops, thin to thick.
const GAUGES: [u8; 10] = [30, 28, 26, 24, 22, 20, 18, 16, 14, 12];

/// The length to cut where no position is known: a routed length by class, a tenth, and a loop.
pub fn cut_length(class: Option<AirframeClass>, job: Job) -> Length {
    let routed_mm = match job {
        Job::Motor => motor_lead_mm(class),
        _ => routed_mm(class),
    };
    Length::millimetres(routed_mm * BENDS + LOOP_MM)
}

/// How far parts of a class are apart along the frame \[mm\], ± 30 %. Common practice.
fn routed_mm(class: Option<AirframeClass>) -> f64 {
    use AirframeClass::{Ducted25, Ducted65, Ducted75, Ducted85, Open3, Open5, Open35, Other};
    match class.unwrap_or(Other) {
        Ducted65 => 22.0,
        Ducted75 => 28.0,
        Ducted85 => 35.0,
        Ducted25 => 45.0,
        Open3 | Other => 50.0,
        Open35 => 60.0,
        Open5 => 80.0,
    }
}

fn motor_lead_mm(class: Option<AirframeClass>) -> f64 {
    use AirframeClass::{Ducted25, Ducted65, Ducted75, Ducted85, Open3, Open5, Open35, Other};
    match class.unwrap_or(Other) {
        Ducted65 => 25.0,
        Ducted75 => 30.0,
        Ducted85 => 35.0,
        Ducted25 => 60.0,
        Open3 | Other => 70.0,
        Open35 => 90.0,
        Open5 => 120.0,
    }
}

/// Gauge and length of a battery lead where no sheet has one: the middle of the trade's ranges.
pub fn usual_lead(class: Option<AirframeClass>) -> (WireGauge, Length) {
    use AirframeClass::{Ducted25, Ducted65, Ducted75, Ducted85, Open3, Open5, Open35, Other};
    let (gauge, mm) = match class.unwrap_or(Other) {
        Ducted65 | Ducted75 => (22.0, 38.0),
        Ducted85 => (20.0, 45.0),
        Ducted25 | Open3 | Other => (18.0, 50.0),
        Open35 => (16.0, 60.0),
        Open5 => (12.0, 75.0),
    };
    (WireGauge::awg(gauge), Length::millimetres(mm))
}

/// The thinnest usual wire for a job that carries its current on the cautious side of the charts and
/// keeps within its drop; the thickest in shops if none does.
pub fn gauge_for(class: Option<AirframeClass>, wanted: &Wanted, length: Length) -> WireGauge {
    let thinnest = match wanted.job {
        Job::DigitalVideo if wanted.current_a >= 1.0 => 26,
        Job::DigitalVideo | Job::AnalogueVideo => 28,
        Job::Board => return WireGauge::awg(BOARD_GAUGE),
        Job::Motor => return motor_gauge(class),
        Job::Feed | Job::Signal => 30,
    };
    let fits = |gauge: &u8| {
        let gauge = WireGauge::awg(f64::from(*gauge));
        let carries = wire_currents(gauge)
            .is_some_and(|currents| wanted.current_a <= currents.sensible.0.in_amperes());
        let drop =
            Wire::stranded(gauge, length).drop(Current::amperes(wanted.current_a), WARM_COPPER);
        carries
            && wanted
                .volts
                .is_none_or(|volts| drop.in_volts() <= drop_budget_v(wanted.job, volts))
    };
    let shops = GAUGES.into_iter().skip_while(|gauge| *gauge > thinnest);
    let found = shops.clone().find(fits);
    WireGauge::awg(f64::from(found.unwrap_or(GAUGES[GAUGES.len() - 1])))
}

/// What a feed may drop over both wires in ordinary flight \[V\].
pub fn drop_budget_v(job: Job, volts: f64) -> f64 {
    let is_video = matches!(job, Job::DigitalVideo | Job::AnalogueVideo);
    if is_video && volts <= LOW_RAIL_V {
        VIDEO_DROP_V
    } else {
        CRUISE_DROP * volts
    }
}

fn motor_gauge(class: Option<AirframeClass>) -> WireGauge {
    use AirframeClass::{Ducted25, Ducted65, Ducted75, Ducted85, Open3, Open5, Open35, Other};
    WireGauge::awg(match class.unwrap_or(Other) {
        Ducted65 | Ducted75 => 30.0,
        Ducted85 => 28.0,
        Ducted25 | Open3 | Other => 26.0,
        Open35 => 24.0,
        Open5 => 20.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    // Trade figures: transmitter feed 28 to 26, digital of 1 A and more 26 to 24; receiver 30 to 28.
    #[test]
    fn validated_gauges_are_those_of_common_practice() {
        let class = Some(AirframeClass::Open3);
        let gauge = |job, current_a, volts| {
            let wanted = Wanted {
                current_a,
                volts: Some(volts),
                ..Wanted::usual(job)
            };
            gauge_for(class, &wanted, cut_length(class, job)).in_awg()
        };
        assert_eq!(gauge(Job::AnalogueVideo, 0.4, 5.0), 28.0);
        assert_eq!(gauge(Job::DigitalVideo, 0.6, 14.0), 28.0);
        assert!([26.0, 24.0].contains(&gauge(Job::DigitalVideo, 1.3, 7.4)));
        assert_eq!(gauge(Job::Feed, 0.05, 5.0), 30.0);
        assert_eq!(gauge(Job::Signal, 0.0, 3.3), 30.0);
    }

    // A 1.5 A feed of 5 V over 70 mm: 26 AWG is 18.7 mΩ for the pair, so 28 mV; 28 AWG would be 45 mV
    // cold, 30 AWG 73 mV. Digital starts at 26.
    #[test]
    fn checked_the_drop_decides_before_the_current_does() {
        let wanted = Wanted {
            current_a: 1.5,
            volts: Some(5.0),
            ..Wanted::usual(Job::DigitalVideo)
        };
        assert_eq!(
            gauge_for(None, &wanted, Length::millimetres(70.0)).in_awg(),
            26.0
        );
        // Three times as long, 84 mV: one size up is 53 mV, the next 33 mV.
        assert_eq!(
            gauge_for(None, &wanted, Length::millimetres(210.0)).in_awg(),
            22.0
        );
    }
}
