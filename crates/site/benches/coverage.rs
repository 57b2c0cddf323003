//! How long a raster of a million cells at three heights takes, with 50 walls in it.

use divan::{Bencher, black_box};
use radio::wall::{Layer, Material, Polarisation};
use site::{Grid, Place, Reach, Site, Spot, Tree, View, Wall, Wave};
use std::sync::atomic::AtomicBool;

fn main() {
    divan::main();
}

const WAVE: Wave = Wave {
    frequency_hz: 5.8e9,
    bandwidth_hz: 20e6,
    polarisation: Polarisation::Circular,
};

/// Numbers from 0 to 1 that look random.
fn shares() -> impl FnMut() -> f64 {
    let mut state = 1_u64;
    move || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Walls of 4 to 24 m anywhere in 200 m by 200 m, 1.5 to 6 m tall, of two kinds; none over the station.
fn site(walls: usize, trees: usize) -> Site {
    let mut share = shares();
    let brick = vec![Layer {
        material: Material::Brick,
        thickness_m: 0.215,
    }];
    let fence = vec![Layer {
        material: Material::Wood,
        thickness_m: 0.02,
    }];
    let place = |share: &mut dyn FnMut() -> f64| loop {
        let place = Place::new(200.0 * share(), 200.0 * share());
        if (place.east_m - 100.0).hypot(place.north_m - 100.0) > 30.0 {
            return place;
        }
    };
    let walls = (0..walls).map(|at| {
        let from = place(&mut share);
        let (length, angle) = (4.0 + 20.0 * share(), std::f64::consts::TAU * share());
        Wall {
            from,
            to: Place::new(
                from.east_m + length * angle.cos(),
                from.north_m + length * angle.sin(),
            ),
            height_m: 1.5 + 4.5 * share(),
            layers: if at % 2 == 0 {
                brick.clone()
            } else {
                fence.clone()
            },
        }
    });
    let walls = walls.collect();
    let trees = (0..trees).map(|_| Tree {
        centre: place(&mut share),
        radius_m: 1.0 + 3.0 * share(),
        base_m: 1.5,
        top_m: 4.0 + 6.0 * share(),
        leaves: None,
    });
    Site {
        walls,
        trees: trees.collect(),
        ..Site::default()
    }
}

const STATION: Spot = Spot::new(100.0, 100.0, 1.6);
const GRID: Grid = Grid {
    south_west: Place::new(0.1, 0.1),
    step_m: 0.2,
    columns: 1000,
    rows: 1000,
};

/// A margin over free space made a chance, about as costly as a fading formula.
fn chance(reach: &Reach) -> f64 {
    let margin_db = 60.0 - 20.0 * reach.distance_m.max(1.0).log10() - reach.obstacle_db;
    1.0 - (-(10_f64.powf(0.1 * margin_db))).exp()
}

#[divan::bench(args = [0, 50, 500])]
fn million_cells_three_heights(bencher: Bencher, walls: usize) {
    raster(bencher, &site(walls, 0));
}

#[divan::bench]
fn fifty_walls_and_fifty_trees(bencher: Bencher) {
    raster(bencher, &site(50, 50));
}

fn raster(bencher: Bencher, site: &Site) {
    bencher.bench(|| {
        let view = View::new(black_box(site), STATION, &WAVE).expect("sound");
        let heights = [1.0, 3.0, 10.0];
        view.coverage(&GRID, &heights, chance, |_| {}, &AtomicBool::new(false))
            .expect("a raster")
    });
}

/// Twenty thousand places one by one, as for a line of flight.
#[divan::bench]
fn places_one_by_one(bencher: Bencher) {
    let view = View::new(&site(50, 0), STATION, &WAVE).expect("sound");
    let spots: Vec<Spot> = (0..20_000)
        .map(|at| Spot::new(f64::from(at % 200), f64::from(at / 100), 3.0))
        .collect();
    bencher.bench(|| {
        spots
            .iter()
            .filter_map(|spot| view.obstacle_db(*spot))
            .sum::<f64>()
    });
}
