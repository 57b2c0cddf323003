//! What devices usually draw.

use quantity::{Doubt, Power};

use super::{Mark, Typical};

/// A device by what it does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoadClass {
    /// Flight controller with gyro.
    FlightController,
    /// Receiver with low telemetry power.
    Receiver,
    /// Receiver sending 100 mW telemetry bursts.
    ReceiverHighTelemetry,
    /// Satellite receiver.
    SatelliteReceiver,
    /// Analogue camera.
    AnalogueCamera,
    /// Analogue video transmitter at 25 mW radiated.
    AnalogueTransmitter25,
    /// At 200 mW.
    AnalogueTransmitter200,
    /// At 400 mW.
    AnalogueTransmitter400,
    /// At 600 to 800 mW.
    AnalogueTransmitter800,
    /// At 1 W.
    AnalogueTransmitter1000,
    /// Digital video unit of the one-cell class, in flight.
    DigitalOneCell,
    /// Digital video unit of the full class, in flight and recording.
    DigitalFull,
    /// Digital video unit of the full class at its peak.
    DigitalFullPeak,
    /// Low-latency digital video at 25 mW.
    LowLatencyDigital25,
    /// Low-latency digital video at 200 mW.
    LowLatencyDigital200,
    /// Recording camera, stripped.
    RecordingCamera,
    /// One addressable light, full white.
    Light,
    /// Finder buzzer, sounding.
    Buzzer,
}

/// What a device of a class takes at its own input.
///
/// The range spans the two lists this rests on where they differ; the spread is at least ±20 %.
pub fn load_power(load: LoadClass) -> Typical<Power> {
    let (low, high) = watts(load);
    let half_width = 0.5 * f64::ln(high / low);
    Typical::new(
        Power::watts(f64::sqrt(low * high)),
        Doubt::Factor(half_width.max(0.2)),
        "two trade lists of device watts, ±25 to 30 %",
        Mark::Memory,
    )
}

fn watts(load: LoadClass) -> (f64, f64) {
    match load {
        LoadClass::FlightController => (0.4, 1.2),
        LoadClass::Receiver => (0.1, 0.6),
        LoadClass::ReceiverHighTelemetry => (0.6, 1.2),
        LoadClass::SatelliteReceiver => (0.1, 0.4),
        LoadClass::AnalogueCamera => (0.3, 0.9),
        LoadClass::AnalogueTransmitter25 => (0.75, 1.3),
        LoadClass::AnalogueTransmitter200 => (1.8, 3.0),
        LoadClass::AnalogueTransmitter400 => (3.0, 6.0),
        LoadClass::AnalogueTransmitter800 => (4.5, 9.0),
        LoadClass::AnalogueTransmitter1000 => (6.0, 9.0),
        LoadClass::DigitalOneCell => (3.0, 5.5),
        LoadClass::DigitalFull => (5.0, 10.0),
        LoadClass::DigitalFullPeak => (8.0, 14.0),
        LoadClass::LowLatencyDigital25 => (3.0, 5.0),
        LoadClass::LowLatencyDigital200 => (5.0, 8.0),
        LoadClass::RecordingCamera => (3.0, 5.0),
        LoadClass::Light => (0.25, 0.35),
        LoadClass::Buzzer => (0.1, 0.3),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_more_radiated_power_takes_more_watts() {
        use LoadClass::*;
        let ladder = [
            AnalogueTransmitter25,
            AnalogueTransmitter200,
            AnalogueTransmitter400,
            AnalogueTransmitter800,
            AnalogueTransmitter1000,
        ];
        for pair in ladder.windows(2) {
            let at = |load| load_power(load).quantity.value;
            assert!(at(pair[0]) < at(pair[1]));
        }
        // The trade's sanity rule: 1 W + P_rf/0.15…0.25. At 200 mW: 1.8 to 2.33 W.
        let watts = load_power(AnalogueTransmitter200).quantity.value.in_watts();
        assert!((1.8..=2.34).contains(&watts));
    }
}
