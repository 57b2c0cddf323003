//! What sends and listens: radios, antennas, and the stations on the ground.

use crate::pads::{Hand, JackFamily, JackHalf};
use crate::sheet::{Definite, choices, tables};
use quantity::{Angle, Decibels, Frequency, Length, Level, Power, Ratio};

choices! {
    /// Which way a radio on the craft works.
    RadioWay {
        /// Pictures to the ground.
        Sends "sends";
        /// Commands from the ground.
        Listens "listens";
        /// Both; the way to the craft is judged.
        Both "both";
    }
    /// What an antenna's pattern looks like.
    AntennaPattern {
        /// A straight half-wave wire; linear, nothing along its axis.
        Dipole "dipole";
        /// Two wires crossed; one hand out of its front, the other out of its back.
        CrossedDipole "crossed-dipole";
        /// Tilted wires or lobes on a ring; one hand all around, little along its axis.
        Ring "ring";
        /// A patch or a helix that looks one way.
        Directional "directional";
    }
}

tables! {
    /// A radio on a part.
    "radio" [named] Radio {
        /// Which way it works.
        way ! required: RadioWay;
        /// Middle of the band it is used in.
        frequency ! required: Definite<Frequency>;
        /// Power at its connector.
        power: Power, ~ RADIO_POWER;
        /// How wide its receiver listens.
        bandwidth: Definite<Frequency>;
        /// Noise that its receiver adds.
        noise_figure: Decibels, ~ LISTENING;
        /// Signal over noise that it needs for a picture, or a command, that holds.
        snr_needed: Decibels, ~ LISTENING;
        /// The least level it works with, where nobody says how it comes about.
        sensitivity: Level, ~ LISTENING;
    }

    /// What a part radiates with; its axis is the part's own z.
    "antenna" Antenna {
        /// What its pattern looks like.
        pattern ! required: AntennaPattern;
        /// Gain in its best direction; needed for a directional one, else that of the pattern.
        gain: Decibels, ~ GAIN;
        /// How far from round the field of a directional one turns; 0 dB is a circle. Others have that of their pattern.
        axial_ratio: Definite<Decibels>;
        /// How its field turns.
        hand: Hand;
    }

    /// What listens, or sends commands, on the ground: one table for each radio link.
    "ground_station" [named] GroundStation {
        /// The band it is for.
        frequency: Definite<Frequency>;
        /// How its antenna's field turns.
        hand: Hand;
        /// The connector its antenna screws on.
        family: JackFamily;
        /// Which half the station has.
        half: JackHalf;
        /// Which half the antenna has.
        antenna_half: JackHalf;
        /// Which family the antenna has; the station's if left out.
        antenna_family: JackFamily;
        /// Power at its connector, of a station that sends.
        power: Power, ~ RADIO_POWER;
        /// How wide it listens.
        bandwidth: Definite<Frequency>;
        /// Noise that it adds.
        noise_figure: Decibels, ~ LISTENING;
        /// Signal over noise that it needs.
        snr_needed: Decibels, ~ LISTENING;
        /// The least level it works with, where nobody says how it comes about.
        sensitivity: Level, ~ LISTENING;
        /// How high its antennas are over the ground.
        height: Definite<Length>;
        /// How high the craft flies over the ground, where it is lowest; with both, the range near the ground is told.
        flying_height: Definite<Length>;
        /// How far away the link must hold.
        distance: Definite<Length>;
        /// The share of the time it may fail there; 1 % if left out.
        outage: Definite<Ratio>;
        /// Most power that may be radiated with the antenna's gain, as the rules that you go by say.
        radiated_limit: Definite<Power>;
    }

    /// An antenna on a ground station.
    "ground_antenna" [named] GroundAntenna {
        /// The station it is on.
        station ! required: String;
        /// What its pattern looks like.
        pattern ! required: AntennaPattern;
        /// Gain in its best direction; needed for a directional one, else that of the pattern.
        gain: Decibels, ~ GAIN;
        /// How far from round the field of a directional one turns; 0 dB is a circle. Others have that of their pattern.
        axial_ratio: Definite<Decibels>;
        /// How its field turns.
        hand: Hand;
        /// Lost between it and the station.
        cable_loss: Decibels, ~ CABLE_LOSS;
        /// How far beside its axis the craft is; of one that stands upright, how far it leans towards the craft.
        beside: Definite<Angle>;
    }
}
