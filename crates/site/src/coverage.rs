//! Where the picture holds: a raster over the ground, at several heights at once.

use rayon::prelude::*;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use crate::fault::sound;
use crate::knife::db_of_power;
use crate::shape::{Place, Spot};
use crate::view::View;
use crate::way::Ray;

/// Most values of a raster, all heights together.
pub const MOST_VALUES: usize = 100_000_000;

/// Square cells over the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Middle of the cell in the south-west.
    pub south_west: Place,
    /// From one cell to the next \[m\].
    pub step_m: f64,
    /// Cells from west to east.
    pub columns: usize,
    /// Cells from south to north.
    pub rows: usize,
}

impl Grid {
    /// Middle of a cell.
    pub fn middle(&self, column: usize, row: usize) -> Place {
        Place {
            east_m: self.south_west.east_m + self.step_m * column as f64,
            north_m: self.south_west.north_m + self.step_m * row as f64,
        }
    }
}

/// A way as the caller's function of chance or margin sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// The far end.
    pub at: Spot,
    /// The same from the station: east, north and up \[m\].
    pub seen_m: [f64; 3],
    /// Level distance \[m\].
    pub level_m: f64,
    /// Distance \[m\].
    pub distance_m: f64,
    /// What the obstacles take \[dB\].
    pub obstacle_db: f64,
}

/// A raster of chances.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    /// Its cells.
    pub grid: Grid,
    /// Its heights \[m\].
    pub heights_m: Vec<f64>,
    /// By height, then by row from the south, then by column from the west; not a number inside a building or a wall.
    pub chances: Vec<f32>,
}

impl Coverage {
    /// The cells of one height, rows from the south.
    pub fn layer(&self, height: usize) -> &[f32] {
        let cells = self.grid.columns * self.grid.rows;
        self.chances
            .get(height * cells..(height + 1) * cells)
            .unwrap_or_default()
    }

    /// The chance in a cell; `None` inside a building or a wall and outside the raster.
    pub fn at(&self, height: usize, column: usize, row: usize) -> Option<f64> {
        let inside = column < self.grid.columns && row < self.grid.rows;
        let found = self.layer(height).get(row * self.grid.columns + column);
        found
            .filter(|chance| inside && !chance.is_nan())
            .map(|chance| f64::from(*chance))
    }
}

/// Why there is no raster.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NoCoverage {
    /// The caller changed their mind.
    #[error("stopped")]
    Cancelled,
    /// The step is no length or a corner is out of reach.
    #[error("the raster's step is not above zero, or it reaches too far")]
    NoGrid,
    /// More values than fit.
    #[error("{0} values in the raster; at most {MOST_VALUES}: take a wider step")]
    TooLarge(u128),
    /// A height below the ground or out of reach.
    #[error("a height of {0} m is not above the ground")]
    NoHeight(f64),
}

impl View {
    /// The chance of a picture over a raster.
    ///
    /// `chance` makes a chance of a way and is called for every cell and height that is not inside something; `progress` is told the share
    /// done, from any thread and not always in order; setting `cancel` ends it soon. The number of threads changes nothing.
    ///
    /// # Errors
    /// A raster or a height that is none, or the caller's wish to stop.
    pub fn coverage(
        &self,
        grid: &Grid,
        heights_m: &[f64],
        chance: impl Fn(&Reach) -> f64 + Sync,
        progress: impl Fn(f64) + Sync,
        cancel: &AtomicBool,
    ) -> Result<Coverage, NoCoverage> {
        check(grid, heights_m)?;
        let (columns, cells) = (grid.columns, grid.columns * grid.rows);
        let mut chances = vec![f32::NAN; cells * heights_m.len()];
        let done = AtomicUsize::new(0);
        let whole = rows(&mut chances, columns, cells)
            .into_par_iter()
            .enumerate()
            .try_for_each_init(
                || self.ray(),
                |ray, (row, layers)| {
                    if cancel.load(Ordering::Relaxed) {
                        return None;
                    }
                    self.row(ray, grid, row, heights_m, layers, &chance);
                    let done = done.fetch_add(1, Ordering::Relaxed) + 1;
                    progress(done as f64 / grid.rows as f64);
                    Some(())
                },
            );
        whole.ok_or(NoCoverage::Cancelled)?;
        Ok(Coverage {
            grid: *grid,
            heights_m: heights_m.to_vec(),
            chances,
        })
    }

    /// One row at every height.
    fn row(
        &self,
        ray: &mut Ray,
        grid: &Grid,
        row: usize,
        heights_m: &[f64],
        mut layers: Vec<&mut [f32]>,
        chance: &impl Fn(&Reach) -> f64,
    ) {
        for column in 0..grid.columns {
            let place = grid.middle(column, row);
            self.plan(ray, place);
            for (layer, &height_m) in layers.iter_mut().zip(heights_m) {
                let at = Spot { place, height_m };
                if let Some(reach) = self.reach(ray, at) {
                    layer[column] = chance(&reach) as f32;
                }
            }
        }
    }

    /// The way to a spot over the place that the ray is planned for; `None` inside something.
    #[inline]
    pub(crate) fn reach(&self, ray: &mut Ray, at: Spot) -> Option<Reach> {
        if ray.inside(&self.obstacles, at.height_m).is_some() {
            return None;
        }
        let powers = ray.powers(&self.obstacles, at.height_m);
        let obstacle_db = if powers.all < 1.0 {
            db_of_power(powers.all)
        } else {
            0.0
        };
        let [east_m, north_m] = ray.plan.place;
        Some(Reach {
            at,
            seen_m: [east_m, north_m, at.height_m - self.station.height_m],
            level_m: ray.plan.level_m,
            distance_m: ray.slant_m,
            obstacle_db,
        })
    }
}

/// The raster's rows, each with a strip for every height.
fn rows(chances: &mut [f32], columns: usize, cells: usize) -> Vec<Vec<&mut [f32]>> {
    let mut rows: Vec<Vec<&mut [f32]>> = Vec::new();
    for layer in chances.chunks_mut(cells.max(1)) {
        for (row, strip) in layer.chunks_mut(columns.max(1)).enumerate() {
            match rows.get_mut(row) {
                Some(strips) => strips.push(strip),
                None => rows.push(vec![strip]),
            }
        }
    }
    rows
}

fn check(grid: &Grid, heights_m: &[f64]) -> Result<(), NoCoverage> {
    let values = grid.columns as u128 * grid.rows as u128 * heights_m.len() as u128;
    if values > MOST_VALUES as u128 {
        return Err(NoCoverage::TooLarge(values));
    }
    let spot = |place: Place, height_m: f64| sound(Spot { place, height_m });
    let far = grid.middle(grid.columns, grid.rows);
    let is_step = grid.step_m > 0.0 && grid.step_m.is_finite();
    if !is_step || !spot(grid.south_west, 0.0) || !spot(far, 0.0) {
        return Err(NoCoverage::NoGrid);
    }
    match heights_m
        .iter()
        .find(|height_m| !spot(grid.south_west, **height_m))
    {
        Some(&height_m) => Err(NoCoverage::NoHeight(height_m)),
        None => Ok(()),
    }
}
