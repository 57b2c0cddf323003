//! The sum from the transmitter's antenna to the receiver's demodulator, line by line.
//!
//! What the path costs comes in: free space, two rays, walls. The order is that of a signal on its way, and each line says
//! what is left after it.

use crate::ratio;

/// A transmitter with its cable and antenna.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Transmitter {
    /// Power at its connector \[dBm\].
    pub power_dbm: f64,
    /// Lost in cable and connectors \[dB\].
    pub cable_loss_db: f64,
    /// Lost because the antenna's impedance is not the cable's \[dB\].
    pub mismatch_loss_db: f64,
    /// Gain of the antenna towards the receiver, its own losses counted \[dBi\].
    pub gain_dbi: f64,
}

impl Transmitter {
    /// Equivalent isotropic radiated power in that direction \[dBm\].
    pub fn eirp_dbm(&self) -> f64 {
        self.power_dbm - self.cable_loss_db - self.mismatch_loss_db + self.gain_dbi
    }
}

/// What the receiver needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Receiver {
    /// So much signal over a noise that is known.
    Noise {
        /// Noise in its band with its own added \[dBm\].
        noise_dbm: f64,
        /// Signal over noise that it needs \[dB\].
        snr_needed_db: f64,
    },
    /// A level, with nothing known about the noise.
    Sensitivity {
        /// The least level \[dBm\].
        level_dbm: f64,
    },
}

impl Receiver {
    /// The least level that it works with \[dBm\].
    pub fn sensitivity_dbm(&self) -> f64 {
        match self {
            Self::Noise {
                noise_dbm,
                snr_needed_db,
            } => noise_dbm + snr_needed_db,
            Self::Sensitivity { level_dbm } => *level_dbm,
        }
    }
}

/// One link at one distance. Losses are positive; what is not there is zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Budget {
    /// Radiated towards the receiver \[dBm\].
    pub eirp_dbm: f64,
    /// Lost over the path with nothing in it but, where it is counted, the ground \[dB\].
    pub path_loss_db: f64,
    /// Lost at walls, edges and trees: the best way through, or all ways added as powers \[dB\].
    pub obstacle_loss_db: f64,
    /// Lost in gas and rain \[dB\].
    pub weather_loss_db: f64,
    /// Lost between the two polarisations \[dB\].
    pub polarisation_loss_db: f64,
    /// Lost behind frame, battery or a person at either end \[dB\].
    pub body_loss_db: f64,
    /// Gain of the receiver's antenna towards the craft \[dBi\].
    pub receiver_gain_dbi: f64,
    /// Lost in the receiver's cable and connectors \[dB\].
    pub receiver_loss_db: f64,
    /// What the receiver needs.
    pub receiver: Receiver,
}

impl Default for Budget {
    fn default() -> Self {
        Self {
            eirp_dbm: 0.0,
            path_loss_db: 0.0,
            obstacle_loss_db: 0.0,
            weather_loss_db: 0.0,
            polarisation_loss_db: 0.0,
            body_loss_db: 0.0,
            receiver_gain_dbi: 0.0,
            receiver_loss_db: 0.0,
            receiver: Receiver::Sensitivity { level_dbm: 0.0 },
        }
    }
}

/// What a line of a budget is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entry {
    /// Radiated power.
    Radiated,
    /// The path.
    Path,
    /// Walls, edges, trees.
    Obstacles,
    /// Gas and rain.
    Weather,
    /// Polarisation.
    Polarisation,
    /// Frame, battery, person.
    Body,
    /// The receiver's antenna.
    ReceiverAntenna,
    /// The receiver's cable.
    ReceiverCable,
}

/// One line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// What it is about.
    pub entry: Entry,
    /// What it adds, losses below zero \[dB\]; of the first line the radiated power itself \[dBm\].
    pub change_db: f64,
    /// What is there after it \[dBm\].
    pub level_dbm: f64,
}

/// A budget summed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sum {
    /// Every line, on the way from craft to receiver.
    pub lines: [Line; 8],
    /// At the receiver \[dBm\].
    pub received_dbm: f64,
    /// Over its noise \[dB\], where the noise is known.
    pub snr_db: Option<f64>,
    /// Over what it needs \[dB\].
    pub margin_db: f64,
}

impl Budget {
    /// Sums it.
    pub fn sum(&self) -> Sum {
        let mut level_dbm = 0.0;
        let lines = self.changes().map(|(entry, change_db)| {
            level_dbm += change_db;
            Line {
                entry,
                change_db,
                level_dbm,
            }
        });
        let snr_db = match self.receiver {
            Receiver::Noise { noise_dbm, .. } => Some(level_dbm - noise_dbm),
            Receiver::Sensitivity { .. } => None,
        };
        Sum {
            lines,
            received_dbm: level_dbm,
            snr_db,
            margin_db: level_dbm - self.receiver.sensitivity_dbm(),
        }
    }

    fn changes(&self) -> [(Entry, f64); 8] {
        [
            (Entry::Radiated, self.eirp_dbm),
            (Entry::Path, -self.path_loss_db),
            (Entry::Obstacles, -self.obstacle_loss_db),
            (Entry::Weather, -self.weather_loss_db),
            (Entry::Polarisation, -self.polarisation_loss_db),
            (Entry::Body, -self.body_loss_db),
            (Entry::ReceiverAntenna, self.receiver_gain_dbi),
            (Entry::ReceiverCable, -self.receiver_loss_db),
        ]
    }
}

/// The distance \[m\] at which nothing is left of a margin, were everything but free space as it is at `distance_m`.
pub fn free_space_range_m(distance_m: f64, margin_db: f64) -> f64 {
    distance_m * ratio(margin_db).sqrt()
}
