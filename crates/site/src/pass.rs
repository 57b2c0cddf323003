//! What passes a wall by the angle, worked out once for each pile of layers.

use radio::wall::{Layer, loss_in_practice_db};
use rayon::prelude::*;

use crate::knife::power_of_db;
use crate::shape::Wave;

/// Steps of the cosine of the angle from the normal, from grazing to straight on.
const STEPS: usize = 128;

/// Tables of several piles; a pile that comes again is worked out once.
#[derive(Debug, Clone, Default)]
pub(crate) struct Passes {
    tables: Vec<Table>,
}

/// Which table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct PassId(u32);

/// Field that passes, by even steps of the cosine.
#[derive(Debug, Clone)]
struct Table([f64; STEPS + 1]);

/// Gathers piles before they are worked out.
#[derive(Default)]
pub(crate) struct Piles<'s>(Vec<&'s [Layer]>);

impl<'s> Piles<'s> {
    /// The table that a pile will have.
    pub(crate) fn id(&mut self, pile: &'s [Layer]) -> PassId {
        let known = self.0.iter().position(|other| *other == pile);
        let at = known.unwrap_or_else(|| {
            self.0.push(pile);
            self.0.len() - 1
        });
        PassId(at as u32)
    }

    pub(crate) fn work_out(self, wave: &Wave) -> Passes {
        Passes {
            tables: self
                .0
                .par_iter()
                .map(|pile| Table::of(pile, wave))
                .collect(),
        }
    }
}

impl Passes {
    /// Share of the power that passes at this cosine of the angle from the normal.
    #[inline]
    pub(crate) fn share(&self, id: PassId, cosine: f64) -> f64 {
        let field = self.tables[id.0 as usize].field(cosine);
        field * field
    }
}

impl Table {
    fn of(pile: &[Layer], wave: &Wave) -> Self {
        if pile.is_empty() {
            return Self([1.0; STEPS + 1]);
        }
        // Nothing passes along a wall.
        let mut table = [0.0; STEPS + 1];
        for (step, field) in table.iter_mut().enumerate().skip(1) {
            let angle_rad = (step as f64 / STEPS as f64).acos();
            let loss_db = loss_in_practice_db(
                pile,
                wave.frequency_hz,
                wave.bandwidth_hz,
                angle_rad,
                wave.polarisation,
            );
            // A wall gives nothing back: what is no number passes nothing.
            *field = power_of_db(loss_db.max(0.0)).sqrt();
            if !field.is_finite() {
                *field = 0.0;
            }
        }
        Self(table)
    }

    #[inline]
    fn field(&self, cosine: f64) -> f64 {
        let at = cosine.clamp(0.0, 1.0) * STEPS as f64;
        let below = (at as usize).min(STEPS - 1);
        let [one, next] = [self.0[below], self.0[below + 1]];
        one + (next - one) * (at - below as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::{PassId, Piles};
    use crate::knife::db_of_power;
    use crate::shape::Wave;
    use radio::wall::{Layer, Material, Polarisation, loss_in_practice_db};

    // The table is read between its steps; up to 85° from the normal that may cost a tenth of a decibel.
    const BETWEEN_STEPS_DB: f64 = 0.1;

    #[test]
    fn checked_between_the_steps_is_near_the_wall_itself() {
        let layer = |material, thickness_m| Layer {
            material,
            thickness_m,
        };
        let brick = [layer(Material::Brick, 0.1025)];
        let window = [
            layer(Material::Glass, 0.004),
            layer(Material::Air, 0.016),
            layer(Material::Glass, 0.004),
        ];
        let wave = Wave {
            frequency_hz: 5.8e9,
            bandwidth_hz: 20e6,
            polarisation: Polarisation::Circular,
        };
        let mut piles = Piles::default();
        assert_eq!(
            (piles.id(&brick), piles.id(&window), piles.id(&brick)),
            (PassId(0), PassId(1), PassId(0))
        );
        let passes = piles.work_out(&wave);
        for (id, pile) in [(0, &brick[..]), (1, &window[..])] {
            for degrees in 0..=85 {
                let angle = f64::from(degrees).to_radians();
                let ours = db_of_power(passes.share(PassId(id), angle.cos()));
                let wall = loss_in_practice_db(pile, 5.8e9, 20e6, angle, Polarisation::Circular);
                assert!(
                    (ours - wall.max(0.0)).abs() < BETWEEN_STEPS_DB,
                    "{id} {degrees}: {ours} {wall}"
                );
            }
        }
        assert_eq!(passes.share(PassId(0), 0.0), 0.0);
    }
}
