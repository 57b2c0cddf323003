//! How far a radio link reaches, in one draw.

use super::*;
use crate::model::{AerialModel, LinkModel, ReceiverModel};
use link::antenna::{NULL_FLOOR_DB, Sight};
use link::budget::{Budget, Receiver, Transmitter};
use link::fading::{Diversity, Fade, OutageTable};
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
    /// The craft's antenna towards this one \[dBi\].
    pub craft_dbi: f64,
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
        let craft_cable_db = draw.of(self.craft.cable);
        let shadow_db = draw.of(self.shadow);
        let craft_over_db = draw.of(self.craft.over_pattern);
        let path_db = field::free_space_loss_db(distance_m, self.frequency_hz);
        let receiver = self.receiver.of(draw);
        let branch = |(aerial, sight): (&AerialModel, &Sight)| {
            let craft_dbi = floored_dbi(sight.craft.gain_dbi + craft_over_db);
            let gain_dbi = floored_dbi(sight.ground.gain_dbi + draw.of(aerial.over_pattern));
            let polarisation_db = sight.polarisation.mean_db;
            let cable_db = draw.of(aerial.cable);
            let ends = [(craft_dbi, craft_cable_db), (gain_dbi, cable_db)];
            let [sends, listens] = match self.to_craft {
                true => [ends[1], ends[0]],
                false => ends,
            };
            let sender = Transmitter {
                power_dbm,
                gain_dbi: sends.0,
                cable_loss_db: sends.1,
                mismatch_loss_db: 0.0,
            };
            let sum = Budget {
                eirp_dbm: sender.eirp_dbm(),
                path_loss_db: path_db,
                polarisation_loss_db: polarisation_db,
                body_loss_db: shadow_db,
                receiver_gain_dbi: listens.0,
                receiver_loss_db: listens.1,
                receiver,
                ..Budget::default()
            }
            .sum();
            BranchSum {
                craft_dbi,
                polarisation_db,
                gain_dbi,
                cable_db,
                level_dbm: sum.received_dbm,
                margin_db: sum.margin_db,
            }
        };
        let peak = |aerial: &AerialModel| {
            aerial.mounted.pattern.peak_dbi() + draw.of(aerial.over_pattern) - draw.of(aerial.cable)
        };
        let gain_dbi = match self.to_craft {
            true => self
                .ground
                .iter()
                .map(peak)
                .fold(f64::NEG_INFINITY, f64::max),
            false => peak(&self.craft),
        };
        LinkSum {
            power_dbm,
            craft_cable_db,
            shadow_db,
            path_db,
            branches: self.ground.iter().zip(&self.level).map(branch).collect(),
            least_dbm: receiver.sensitivity_dbm(),
            radiated_dbm: power_dbm + gain_dbi,
        }
    }
}

impl LinkModel {
    /// Over flat ground: where it first fails in the worst of places, and beyond where it fails in the best ones too \[m\]; `loss_db` is what the path may take.
    pub fn near_ground_m(&self, loss_db: f64) -> Option<[f64; 2]> {
        let steps = self.near_ground.as_ref()?;
        let holds_worst = steps
            .iter()
            .take_while(|(_, [_, most_db])| *most_db <= loss_db);
        let holds_best = steps
            .iter()
            .rev()
            .skip_while(|(_, [least_db, _])| *least_db > loss_db);
        let [low, high] = [holds_worst.last(), holds_best.into_iter().next()];
        Some([low, high].map(|step| step.map_or(0.0, |(distance_m, _)| *distance_m)))
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

/// Echoes fill what free space leaves empty.
fn floored_dbi(gain_dbi: f64) -> f64 {
    gain_dbi.max(-NULL_FLOOR_DB)
}

impl ReceiverModel {
    fn of(&self, draw: Draw<'_>) -> Receiver {
        match self {
            Self::Noise {
                bandwidth_hz,
                noise_figure,
                snr_needed,
            } => Receiver::Noise {
                noise_dbm: noise::floor_dbm(*bandwidth_hz, draw.of(*noise_figure)),
                snr_needed_db: draw.of(*snr_needed),
            },
            Self::Sensitivity(level) => Receiver::Sensitivity {
                level_dbm: draw.of(*level),
            },
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
            if let Some([low_m, high_m]) = link.near_ground_m(sum.path_db + spare_db) {
                row[first + 3] = low_m;
                row[first + 4] = high_m;
            }
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

#[cfg(test)]
mod tests {
    use super::*;
    use link::antenna::{Attitude, Mounted, Pattern};
    use link::polarisation::Hand;

    fn aerial(pattern: Pattern, over_db: f64, cable_db: f64) -> AerialModel {
        AerialModel {
            name: "antenna".into(),
            mounted: Mounted {
                pattern,
                axis: [0.0, 0.0, -1.0],
                field: None,
            },
            over_pattern: Term::Known(over_db),
            cable: Term::Known(cable_db),
        }
    }

    fn isotropic() -> Pattern {
        Pattern::Isotropic {
            axial_ratio_db: 0.0,
            hand: Hand::Right,
        }
    }

    fn link(craft: AerialModel, ground: Vec<AerialModel>) -> LinkModel {
        let far = [1e3, 0.0, 0.0];
        LinkModel {
            name: "video".into(),
            to_craft: false,
            frequency_hz: 5.8e9,
            power: Term::Known(0.025),
            level: crate::air::sights(&craft, &ground, Attitude::default(), far),
            craft,
            ground,
            receiver: ReceiverModel::Noise {
                bandwidth_hz: 18e6,
                noise_figure: Term::Known(6.0),
                snr_needed: Term::Known(10.0),
            },
            shadow: Term::Known(0.5),
            distance_m: Some(300.0),
            near_ground: None,
            outage: 0.01,
            limit_w: None,
        }
    }

    /// 25 mW, 300 m, 8 dBi, 1 dB lost, two equal branches at K = 6 dB: margin 9.1427 dB, outage 4.84436e-4, and nothing left at 859.52 m, as
    /// worked out by another program from a radiated power rounded to 13.979 dBm (`validation/data/radio-link-cases.csv`, second case).
    #[test]
    fn validated_a_link_with_two_equal_antennas() {
        let two = || vec![aerial(isotropic(), 8.0, 0.5), aerial(isotropic(), 8.0, 0.5)];
        let link = link(aerial(isotropic(), 0.0, 0.0), two());
        let sum = link.sum(Draw(&[]), 300.0);
        assert!((sum.branches[0].margin_db - 9.1427).abs() < 1e-3, "{sum:?}");
        assert!(
            (sum.outage(0.0) / 4.84436e-4 - 1.0).abs() < 1e-3,
            "{}",
            sum.outage(0.0)
        );
        let alone_m = link::budget::free_space_range_m(300.0, sum.branches[0].margin_db);
        assert!((alone_m - 859.52).abs() < 0.1);
        // At the range the outage is what was asked for.
        let range_m = 300.0 * 10_f64.powf(sum.spare_db(0.01) / 20.0);
        let there = link.sum(Draw(&[]), range_m).outage(0.0);
        assert!((there / 0.01 - 1.0).abs() < 1e-3, "{there}");
    }

    /// Two upright half-wave wires see each other without a loss; one on its side and one upright see little.
    #[test]
    fn checked_upright_wires_and_crossed_ones() {
        let upright = link(
            aerial(Pattern::Dipole, 0.0, 0.0),
            vec![aerial(Pattern::Dipole, 0.0, 0.0)],
        );
        assert!(upright.level[0].polarisation.mean_db < 1e-9);
        let mut lying = aerial(Pattern::Dipole, 0.0, 0.0);
        lying.mounted.axis = [0.0, 1.0, 0.0];
        let crossed = link(lying, vec![aerial(Pattern::Dipole, 0.0, 0.0)]);
        assert!(crossed.level[0].polarisation.mean_db > 20.0);
    }
}
