//! How far a radio link reaches, in one draw.

use super::*;
use crate::model::{AerialModel, LinkModel, ReceiverModel};
use link::antenna::Ray;
use link::fading::{Diversity, Fade, OutageTable};
use link::polarisation::over_all_tilts;
use link::{field, noise};
use std::sync::LazyLock;

/// Direct wave over all echoes in the open \[dB\]; 6 to 15 are common practice, the lowest is taken.
pub const OPEN_K_DB: f64 = 6.0;
/// Ranges are looked for up to this \[m\].
const FARTHEST_M: f64 = 1e5;
/// Halvings of the span of decibels in which the range lies: to 0.001 dB.
const HALVINGS: usize = 18;

/// How often one antenna fails at a margin, in the open.
static OPEN: LazyLock<OutageTable> = LazyLock::new(|| {
    let table = OutageTable::new(Fade::Rician { k_db: OPEN_K_DB }, Diversity::ONE);
    table.unwrap_or_else(|why| unreachable!("one branch has a model: {why:?}"))
});

/// A link summed at one distance in the open.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkSum {
    /// At the transmitter's connector \[dBm\].
    pub power_dbm: f64,
    /// Lost on the craft between radio and antenna \[dB\].
    pub craft_cable_db: f64,
    /// The craft's antenna towards the ground \[dBi\].
    pub craft_dbi: f64,
    /// Lost behind frame and pack \[dB\].
    pub shadow_db: f64,
    /// Free space \[dB\].
    pub path_db: f64,
    /// Each antenna on the ground.
    pub branches: Vec<BranchSum>,
    /// The least level the receiver works with \[dBm\].
    pub least_dbm: f64,
    /// Radiated in the best direction of the antenna that sends \[dBm\]; of several on the ground the best.
    pub radiated_dbm: f64,
}

/// What an antenna on the ground adds.
#[derive(Debug, Clone, PartialEq)]
pub struct BranchSum {
    /// Between the two polarisations, averaged over the tilts that can be \[dB\].
    pub polarisation_db: f64,
    /// Towards the craft \[dBi\].
    pub gain_dbi: f64,
    /// Its cable \[dB\].
    pub cable_db: f64,
    /// What arrives at the receiver \[dBm\].
    pub level_dbm: f64,
    /// Over what it needs \[dB\].
    pub margin_db: f64,
}

impl LinkModel {
    /// The link at this distance in one draw.
    pub fn sum(&self, draw: Draw<'_>, distance_m: f64) -> LinkSum {
        let power_dbm = field::level_dbm(draw.of(self.power));
        let craft_cable_db = draw.of(self.craft_cable);
        let shadow_db = draw.of(self.shadow);
        let craft = self.craft.ray(draw, self.craft.off_axis_rad);
        let path_db = field::free_space_loss_db(distance_m, self.frequency_hz);
        let least_dbm = self.receiver.least_dbm(draw);
        let branch = |(aerial, cable): &(AerialModel, Term)| {
            let ground = aerial.ray(draw, aerial.off_axis_rad);
            let hands = craft.hand.with(ground.hand);
            let polarisation_db =
                over_all_tilts(craft.axial_ratio_db, ground.axial_ratio_db, hands)
                    .mean_db
                    .min(link::antenna::NULL_FLOOR_DB);
            let cable_db = draw.of(*cable);
            let level_dbm =
                power_dbm - craft_cable_db + craft.gain_dbi - shadow_db - path_db - polarisation_db
                    + ground.gain_dbi
                    - cable_db;
            BranchSum {
                polarisation_db,
                gain_dbi: ground.gain_dbi,
                cable_db,
                level_dbm,
                margin_db: level_dbm - least_dbm,
            }
        };
        let peak = |aerial: &AerialModel| aerial.pattern.peak_dbi() + draw.of(aerial.over_pattern);
        let of_ground = |(aerial, cable): &(AerialModel, Term)| peak(aerial) - draw.of(*cable);
        let gain_dbi = match self.to_craft {
            true => self
                .ground
                .iter()
                .map(of_ground)
                .fold(f64::NEG_INFINITY, f64::max),
            false => peak(&self.craft) - craft_cable_db,
        };
        LinkSum {
            power_dbm,
            craft_cable_db,
            craft_dbi: craft.gain_dbi,
            shadow_db,
            path_db,
            branches: self.ground.iter().map(branch).collect(),
            least_dbm,
            radiated_dbm: power_dbm + gain_dbi,
        }
    }
}

impl LinkSum {
    /// Share of the time in which all antennas fail, each fading by itself in the open, with so much less on each \[dB\].
    pub fn outage(&self, less_db: f64) -> f64 {
        let each = self
            .branches
            .iter()
            .map(|branch| OPEN.at(branch.margin_db - less_db));
        each.product()
    }

    /// What can be lost beyond this distance before it fails more often than `outage` \[dB\]; below zero where it does already.
    pub fn spare_db(&self, outage: f64) -> f64 {
        let (mut low, mut high) = (-SPAN_DB, SPAN_DB);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            match self.outage(middle) <= outage {
                true => low = middle,
                false => high = middle,
            }
        }
        low
    }
}

/// Decibels that no link has to spare.
const SPAN_DB: f64 = 150.0;

impl AerialModel {
    /// What goes that way in a draw.
    pub fn ray(&self, draw: Draw<'_>, off_axis_rad: f64) -> Ray {
        let ray = self.pattern.toward(off_axis_rad);
        let gain_dbi =
            (ray.gain_dbi + draw.of(self.over_pattern)).max(-link::antenna::NULL_FLOOR_DB);
        let is_turning = ray.axial_ratio_db.is_finite();
        Ray {
            gain_dbi,
            axial_ratio_db: self
                .written
                .0
                .filter(|_| is_turning)
                .unwrap_or(ray.axial_ratio_db),
            hand: ray.hand,
            ..ray
        }
    }
}

impl ReceiverModel {
    fn least_dbm(&self, draw: Draw<'_>) -> f64 {
        match self {
            Self::Noise {
                bandwidth_hz,
                noise_figure,
                snr_needed,
            } => noise::floor_dbm(*bandwidth_hz, draw.of(*noise_figure)) + draw.of(*snr_needed),
            Self::Sensitivity(level) => draw.of(*level),
        }
    }
}

/// Distance at which a link is summed to find its range \[m\].
const AT_M: f64 = 100.0;

impl<C: Chain> Run<'_, '_, C> {
    /// Range, spare and radiated power of every link.
    pub(super) fn air(&mut self, row: &mut [f64]) {
        for (at, link) in self.model.links.iter().enumerate() {
            let first = link_outcome(self.model, at);
            let sum = link.sum(self.draw, AT_M);
            let spare_db = sum.spare_db(link.outage);
            let range_m = (AT_M * 10_f64.powf(spare_db / 20.0)).min(FARTHEST_M);
            row[first] = range_m;
            row[first + 1] = link
                .distance_m
                .map_or(f64::NAN, |wanted_m| 20.0 * (range_m / wanted_m).log10());
            row[first + 2] = 1e3 * field::watts(sum.radiated_dbm);
            self.note_link(link, &sum, range_m, spare_db);
        }
    }

    fn note_link(&mut self, link: &LinkModel, sum: &LinkSum, range_m: f64, spare_db: f64) {
        let draw = self.draw;
        self.chain.note(|| Step {
            id: format!("link.{}.range_m", link.name),
            what: format!("range of {} in the open", link.name),
            formula: "100 m × 10^(spare / 20), spare: what may be lost until all antennas fail too often",
            uses: vec![
                term("transmitter power", link.power, 1e3 * draw.of(link.power), "mW"),
                given("craft's antenna", sum.craft_dbi, "dBi"),
                given("shadow", sum.shadow_db, "dB"),
                given("free space, 100 m", sum.path_db, "dB"),
                given("least level", sum.least_dbm, "dBm"),
                given("best margin, 100 m", sum.branches.iter().map(|it| it.margin_db).fold(f64::NEG_INFINITY, f64::max), "dB"),
                given("spare, 100 m", spare_db, "dB"),
            ],
            result: range_m,
            unit: "m",
        });
    }
}
