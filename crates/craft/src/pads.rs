//! What a part shows to a soldering iron: pads, serial ports, signals, radio jacks, capacitors.
//!
//! A signal is told by its electrical class, never by a protocol's name: how many wires, which
//! way, how fast, which idle level. The name a builder uses for it is kept as their own word.

use crate::Stated;
use crate::sheet::{Definite, choices, tables};
use quantity::{BitRate, Capacitance, Frequency, Length, Resistance, Voltage};

choices! {
    /// What a pad is for, seen from the part it is on.
    PadRole {
        /// Plus of a rail, of an input or of the pack.
        Power "power";
        /// Plus into a converter, whose rail it belongs to.
        PowerIn "power-in";
        /// Minus.
        Ground "ground";
        /// This part sends here: TX.
        SerialOut "serial-out";
        /// This part listens here: RX.
        SerialIn "serial-in";
        /// One wire, both ways.
        OneWire "one-wire";
        /// A signal of another kind leaves here.
        SignalOut "signal-out";
        /// A signal of another kind comes in here.
        SignalIn "signal-in";
        /// Clock of a two-wire bus.
        Clock "clock";
        /// Data of a two-wire bus.
        Data "data";
        /// A motor lead or a driver's output.
        Phase "phase";
        /// Nothing a refit should touch.
        Other "other";
    }
    /// Which side of the board.
    Side {
        /// The side the sheet is drawn from.
        Top "top";
        /// The other side; positions are still counted as seen from the top.
        Bottom "bottom";
    }
    /// What kind of signal it is.
    SignalKind {
        /// Asynchronous serial: start bit, data, stop bit.
        Serial "serial";
        /// Composite video, 1 V peak to peak into 75 Ω.
        CompositeVideo "composite-video";
        /// A two-wire bus with clock and data, which several parts share.
        TwoWireBus "two-wire-bus";
        /// Data for addressable lights.
        LightData "light-data";
        /// On and off, such as a buzzer.
        OnOff "on-off";
        /// Volts or pulses that press a camera's buttons.
        CameraControl "camera-control";
        /// Command to one motor driver.
        MotorCommand "motor-command";
        /// The three leads of one motor.
        MotorPhases "motor-phases";
    }
    /// Which ways a port can talk, seen from the port.
    PortDuplex {
        /// Sends and listens, on a pad each.
        Full "full";
        /// Has only a pad that sends.
        SendOnly "send-only";
        /// Has only a pad that listens.
        ReceiveOnly "receive-only";
    }
    /// Which ways a device talks, seen from the device.
    SignalDuplex {
        /// Both ways, two wires.
        Full "full";
        /// Both ways in turn, one wire.
        OneWire "one-wire";
        /// The device only sends.
        Sends "sends";
        /// The device only listens.
        Receives "receives";
    }
    /// Which idle levels a port can take.
    PortInversion {
        /// Idle high only.
        Plain "plain";
        /// Either, by a setting.
        Switchable "switchable";
        /// Idle low only: an inverter is soldered in.
        Fixed "fixed";
    }
    /// Which idle level a device has.
    SignalInversion {
        /// Idle high.
        Plain "plain";
        /// Idle low.
        Inverted "inverted";
        /// Either, by a setting.
        Either "either";
    }
    /// A state a switched rail comes up in.
    SwitchState {
        /// On.
        On "on";
        /// Off, until a setting turns it on.
        Off "off";
    }
    /// A family of radio connectors.
    JackFamily {
        /// Screwed, centre pin on the part with the nut.
        Sma "sma";
        /// Screwed, centre pin on the part with the outer thread: the same threads, the pin reversed.
        ReverseSma "reverse-sma";
        /// Snap-on, 3.5 mm.
        Mmcx "mmcx";
        /// The smallest snaps, on 1.13 mm coax; sizes look alike and do not interchange.
        Snap "micro-coax-snap";
        /// Soldered.
        Soldered "soldered";
    }
    /// Which half of a connector.
    JackHalf {
        /// The half with the nut, or that is pushed on.
        Plug "plug";
        /// The half with the outer thread, or that stays on the board.
        Socket "socket";
    }
    /// What stands behind a radio jack.
    JackRole {
        /// A transmitter or receiver.
        Radio "radio";
        /// An antenna.
        Antenna "antenna";
    }
    /// How an antenna's field turns.
    Hand {
        /// Right-hand circular.
        Right "right";
        /// Left-hand circular.
        Left "left";
        /// Linear.
        Linear "linear";
    }
    /// Thin coaxial cable by outer diameter.
    Coax {
        /// 1.13 mm.
        Thin "1.13-mm";
        /// 1.78 mm class.
        Middle "1.78-mm";
    }
}

tables! {
    /// The part seen from above; positions of pads are counted from its middle.
    "outline" Outline {
        /// Size across, left to right.
        width ! required: Definite<Length>;
        /// Size along, front to back.
        length ! required: Definite<Length>;
    }

    /// A pad, named as printed beside it.
    "pad" [named] Pad {
        /// What it is for, seen from this part.
        role ! required: PadRole;
        /// The rail, input, port or signal of this part that it belongs to; `pack` for the battery pads.
        of: String;
        /// What is printed, where the name above is not it: several pads may all say "G".
        printed: String;
        /// To the right of the middle; negative to the left.
        x: Definite<Length>;
        /// Forward of the middle; negative backward.
        y: Definite<Length>;
        /// Which side of the board; top if left out.
        side: Side;
        /// The plug it sits in, by a name of your choice, where it is no solder pad.
        plug: String;
        /// Its pin in that plug, counted from the mark.
        pin: u32;
    }

    /// A port or socket for a signal that the part offers to others, named as printed.
    "port" [named] Port {
        /// What kind of signal; serial if left out.
        kind: SignalKind;
        /// The number printed, where the name is not it.
        number: u32;
        /// Which ways it can talk, seen from this part; full if left out.
        duplex: PortDuplex;
        /// Whether it can talk both ways in turn on its sending pad.
        one_wire: bool;
        /// Which idle levels it can take; plain if left out.
        inversion: PortInversion;
        /// The fastest it can go.
        highest_rate: Definite<BitRate>;
        /// The volts it sends; 3.3 V if left out.
        level: Definite<Voltage>;
        /// The highest volts it takes.
        tolerates: Definite<Voltage>;
        /// Whether the processor makes it in software: at most 19 200 bit/s over all of them.
        soft: bool;
        /// What owns it on the board already: "on-board receiver".
        used_by: String;
        /// Whether the boot loader listens on its pins.
        loader: bool;
        /// Other ports of this part that cannot be used with it: shared pads or timers.
        shares: Vec<Stated<String>>;
    }

    /// A signal that the part needs somebody for.
    "signal" [named] Signal {
        /// What kind of signal; serial if left out.
        kind: SignalKind;
        /// Which ways it goes, seen from this part; full if left out.
        duplex: SignalDuplex;
        /// Whether one wire will do where no pair is left.
        one_wire_will_do: bool;
        /// How fast.
        rate: Definite<BitRate>;
        /// Its idle level; plain if left out.
        inversion: SignalInversion;
        /// The volts it sends; 3.3 V if left out.
        level: Definite<Voltage>;
        /// The highest volts it takes.
        tolerates: Definite<Voltage>;
        /// Whether it speaks without being asked, as receivers and GPS do.
        speaks_first: bool;
        /// Whether the craft flies without it.
        optional: bool;
        /// Your own name for it; data to the program.
        protocol: String;
    }

    /// A radio connector.
    "jack" [named] Jack {
        /// What stands behind it.
        role ! required: JackRole;
        /// Which family.
        family ! required: JackFamily;
        /// Which half.
        half: JackHalf;
        /// The band it is for.
        frequency: Definite<Frequency>;
        /// How the antenna's field turns.
        hand: Hand;
        /// The coax on it.
        coax: Coax;
        /// Its length.
        coax_length: Definite<Length>;
    }

    /// A bulk capacitor on the battery pads.
    "capacitor" Capacitor {
        /// Its size.
        capacitance ! required: Definite<Capacitance>;
        /// The volts printed on it.
        volts ! required: Definite<Voltage>;
        /// Its series resistance at 100 kHz.
        series_resistance: Definite<Resistance>;
        /// From the pads to its body.
        legs: Definite<Length>;
    }
}
