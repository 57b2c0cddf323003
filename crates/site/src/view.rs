//! A site looked at from a station.

use radio::free_space::wavelength_m;

use crate::fault::{Fault, faults, sound, station_faults};
use crate::obstacles::{Obstacles, Vector};
use crate::sectors::Sectors;
use crate::shape::{Place, ShapeId, Site, Spot, Wave};
use crate::way::{Ray, Way};

/// A site from a station, at one frequency. Made once; asked often.
#[derive(Debug, Clone)]
pub struct View {
    pub(crate) station: Spot,
    pub(crate) obstacles: Obstacles,
    sectors: Option<Sectors>,
    frequency_hz: f64,
}

impl View {
    /// Looks round.
    ///
    /// # Errors
    /// Everything that is wrong with the site, the station or the wave.
    pub fn new(site: &Site, station: Spot, wave: &Wave) -> Result<Self, Vec<Fault>> {
        let mut found = faults(site);
        let is_wave = wave.frequency_hz > 0.0 && wave.frequency_hz.is_finite();
        if !is_wave || !(0.0..=wave.frequency_hz).contains(&wave.bandwidth_hz) {
            found.push(Fault::NoWave);
        }
        if found.is_empty() {
            found = station_faults(site, station);
        }
        if !found.is_empty() {
            return Err(found);
        }
        let obstacles = Obstacles::of(site, station, wave);
        let sectors = Sectors::of(&obstacles.screens, wavelength_m(wave.frequency_hz));
        Ok(Self {
            station,
            obstacles,
            sectors: Some(sectors),
            frequency_hz: wave.frequency_hz,
        })
    }

    /// The same view that looks at every obstacle for every ray: slow, for checks of the quick one.
    pub fn without_sectors(mut self) -> Self {
        self.sectors = None;
        self
    }

    /// Where it looks from.
    pub fn station(&self) -> Spot {
        self.station
    }

    /// What all obstacles together take on the way to a spot \[dB\]: zero in the open, infinite where nothing gets
    /// through. `None` inside a building or a wall, or where there is no such spot.
    pub fn obstacle_db(&self, at: Spot) -> Option<f64> {
        self.way(at).ok().map(|way| way.obstacle_db)
    }

    /// The same way by way, and what is met on it.
    ///
    /// # Errors
    /// The building or wall that the spot lies in, or that it is no spot.
    pub fn way(&self, at: Spot) -> Result<Way, Hidden> {
        if !sound(at) {
            return Err(Hidden::NoSpot);
        }
        let mut ray = self.ray();
        self.plan(&mut ray, at.place);
        match ray.inside(&self.obstacles, at.height_m) {
            Some(shape) => Err(Hidden::Inside(shape)),
            None => Ok(ray.way(&self.obstacles, at.height_m)),
        }
    }

    pub(crate) fn ray(&self) -> Ray {
        Ray::new(self.frequency_hz, self.station.height_m)
    }

    #[inline]
    pub(crate) fn plan(&self, ray: &mut Ray, place: Place) {
        let seen: Vector = [
            place.east_m - self.station.place.east_m,
            place.north_m - self.station.place.north_m,
        ];
        ray.plan(&self.obstacles, self.sectors.as_ref(), seen);
    }
}

/// Why there is no way to a spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Hidden {
    /// It lies in a building or a wall.
    #[error("inside {0}")]
    Inside(ShapeId),
    /// It is no number, below the ground or out of reach.
    #[error("not a spot above the ground within reach")]
    NoSpot,
}
