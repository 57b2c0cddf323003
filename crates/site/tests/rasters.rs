//! Rasters and lines against single places, and sites that are none.

use radio::wall::{Layer, Material, Polarisation};
use site::{
    Building, Fault, Grid, Hidden, NoCoverage, NoLine, Place, Reach, ShapeId, Site, Spot, Tree,
    View, Wall, Wave, Wood, faults,
};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

const WAVE: Wave = Wave {
    frequency_hz: 5.8e9,
    bandwidth_hz: 20e6,
    polarisation: Polarisation::Circular,
};

const STATION: Spot = Spot::new(0.0, 0.0, 1.5);

fn brick() -> Vec<Layer> {
    vec![Layer {
        material: Material::Brick,
        thickness_m: 0.2,
    }]
}

fn square(east_m: f64, north_m: f64, half_m: f64) -> Vec<Place> {
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    corners
        .map(|(e, n)| Place::new(east_m + half_m * e, north_m + half_m * n))
        .to_vec()
}

fn yard() -> Site {
    let wall = Wall {
        from: Place::new(10.0, -8.0),
        to: Place::new(12.0, 9.0),
        height_m: 3.0,
        layers: brick(),
    };
    let house = Building {
        outline: square(-15.0, 4.0, 4.0),
        height_m: 5.0,
        walls: brick(),
        roof: brick(),
    };
    let tree = Tree {
        centre: Place::new(2.0, 20.0),
        radius_m: 2.0,
        base_m: 1.0,
        top_m: 7.0,
        leaves: None,
    };
    Site {
        walls: vec![wall],
        buildings: vec![house],
        trees: vec![tree],
        woods: vec![],
    }
}

fn yard_view() -> View {
    View::new(&yard(), STATION, &WAVE).expect("sound")
}

const GRID: Grid = Grid {
    south_west: Place::new(-30.0, -30.0),
    step_m: 1.0,
    columns: 61,
    rows: 57,
};

// The far end's own loss comes back, so that a cell shows what its place loses.
fn loss(reach: &Reach) -> f64 {
    reach.obstacle_db
}

#[test]
fn checked_a_raster_is_its_places_and_its_progress_ends() {
    let (view, heights) = (yard_view(), [1.0, 4.0, 12.0]);
    let told = Mutex::new(Vec::new());
    let tell = |share: f64| told.lock().expect("no panic").push(share);
    let raster = view
        .coverage(&GRID, &heights, loss, tell, &AtomicBool::new(false))
        .expect("a raster");
    let mut hidden = 0;
    for (layer, height_m) in heights.into_iter().enumerate() {
        for row in 0..GRID.rows {
            for column in 0..GRID.columns {
                let place = GRID.middle(column, row);
                let single = view.obstacle_db(Spot { place, height_m });
                let cell = raster.at(layer, column, row);
                assert_eq!(
                    cell,
                    single.map(|db| f64::from(db as f32)),
                    "{place:?} {height_m}"
                );
                hidden += usize::from(cell.is_none());
            }
        }
    }
    // Nine by nine places of the house at the two heights below its roof, but for the two sides that belong to outside.
    assert!((2 * 49..=2 * 81 + 40).contains(&hidden), "{hidden}");
    let told = told.into_inner().expect("no panic");
    assert_eq!(told.len(), GRID.rows);
    assert!(told.contains(&1.0));
    assert_eq!(
        (raster.at(0, GRID.columns, 0), raster.at(3, 0, 0)),
        (None, None)
    );
}

#[test]
fn checked_threads_change_nothing_and_a_raster_can_be_stopped() {
    let view = yard_view();
    let make = |threads| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        pool.install(|| {
            view.coverage(&GRID, &[2.0], loss, |_| {}, &AtomicBool::new(false))
                .expect("a raster")
        })
    };
    // Not a number is not equal to itself.
    let cells = |threads| {
        make(threads)
            .chances
            .iter()
            .map(|chance| chance.to_bits())
            .collect::<Vec<_>>()
    };
    assert_eq!(cells(1), cells(3));
    let stop = AtomicBool::new(false);
    let stopped = view.coverage(
        &GRID,
        &[2.0],
        loss,
        |_| stop.store(true, Ordering::Relaxed),
        &stop,
    );
    assert_eq!(stopped, Err(NoCoverage::Cancelled));
}

#[test]
fn checked_rasters_that_are_none_are_refused() {
    let view = yard_view();
    let make = |grid: Grid, heights: &[f64]| {
        view.coverage(&grid, heights, loss, |_| {}, &AtomicBool::new(false))
            .err()
    };
    let huge = Grid {
        columns: usize::MAX,
        rows: usize::MAX,
        ..GRID
    };
    assert!(matches!(make(huge, &[1.0]), Some(NoCoverage::TooLarge(_))));
    for step_m in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e6] {
        assert_eq!(
            make(Grid { step_m, ..GRID }, &[1.0]),
            Some(NoCoverage::NoGrid),
            "{step_m}"
        );
    }
    assert_eq!(make(GRID, &[1.0, -2.0]), Some(NoCoverage::NoHeight(-2.0)));
    let empty = Grid { columns: 0, ..GRID };
    let raster = view
        .coverage(&empty, &[1.0], loss, |_| {}, &AtomicBool::new(false))
        .expect("an empty raster");
    assert_eq!(raster.at(0, 0, 0), None);
    assert!(
        view.coverage(&GRID, &[], loss, |_| {}, &AtomicBool::new(false))
            .is_ok()
    );
}

// East along a line 8 m north: the wall's end hides the far part; free space alone would make the last place the worst.
#[test]
fn checked_the_worst_place_of_a_line_is_behind_the_wall() {
    let margin = |reach: &Reach| 40.0 - 20.0 * reach.distance_m.log10() - reach.obstacle_db;
    let line = [
        Spot::new(-5.0, 6.0, 2.0),
        Spot::new(18.0, 6.0, 2.0),
        Spot::new(18.0, 30.0, 2.0),
    ];
    let along = yard_view().along(&line, 0.5, margin).expect("a line");
    let worst = along.worst.expect("a worst place");
    assert!(worst.way.met.contains(&ShapeId::Wall(0)), "{worst:?}");
    assert!(
        worst.sample.at.place.east_m > 11.0 && worst.sample.at.place.north_m < 20.0,
        "{worst:?}"
    );
    let least = along
        .samples
        .iter()
        .filter_map(|sample| Some(sample.found.ok()?.margin_db))
        .fold(f64::INFINITY, f64::min);
    assert_eq!(worst.sample.found.expect("not hidden").margin_db, least);
    assert_eq!(along.inside, None);
    assert!((along.samples.last().expect("an end").along_m - 47.0).abs() < 1e-9);
    assert_eq!(along.samples.len(), 1 + 46 + 48);
}

#[test]
fn checked_lines_through_a_house_and_lines_that_are_none() {
    let view = yard_view();
    let line = [Spot::new(-30.0, 4.0, 2.0), Spot::new(0.0, 4.0, 2.0)];
    let along = view.along(&line, 1.0, |_| 0.0).expect("a line");
    let inside = along.inside.expect("in the house");
    assert_eq!(inside.found, Err(Hidden::Inside(ShapeId::Building(0))));
    assert!((inside.along_m - 12.0).abs() < 1.0, "{inside:?}");
    assert_eq!(view.along(&[], 1.0, |_| 0.0), Err(NoLine::Empty));
    assert_eq!(
        view.along(&[Spot::new(0.0, f64::NAN, 1.0)], 1.0, |_| 0.0),
        Err(NoLine::NoSpot(0))
    );
    for step_m in [0.0, -1.0, f64::NAN, 1e-9] {
        assert!(matches!(
            view.along(&line, step_m, |_| 0.0),
            Err(NoLine::NoStep { .. })
        ));
    }
    // Standing still is a line too.
    let still = view
        .along(&[STATION, STATION], 1.0, |_| 1.0)
        .expect("a line");
    assert_eq!(still.samples.len(), 2);
}

#[test]
fn checked_every_fault_of_a_site_is_named() {
    let wood = |outline: Vec<Place>, base_m, top_m| Wood {
        outline,
        base_m,
        top_m,
        leaves: None,
    };
    let bow = vec![
        Place::new(0.0, 0.0),
        Place::new(5.0, 5.0),
        Place::new(5.0, 0.0),
        Place::new(0.0, 5.0),
    ];
    let spike = vec![
        Place::new(0.0, 0.0),
        Place::new(9.0, 0.0),
        Place::new(4.0, 0.0),
        Place::new(4.0, 4.0),
    ];
    let wall = |to: Place, height_m| Wall {
        from: Place::new(1.0, 1.0),
        to,
        height_m,
        layers: brick(),
    };
    let site = Site {
        walls: vec![
            wall(Place::new(1.0, 1.0), 2.0),
            wall(Place::new(9.0, 1.0), 0.0),
            wall(Place::new(f64::NAN, 1.0), 2.0),
            wall(Place::new(4.6e6, 7.7e5), 2.0),
        ],
        woods: vec![
            wood(bow, 0.0, 5.0),
            wood(spike, 0.0, 5.0),
            wood(square(0.0, 0.0, 3.0)[..2].to_vec(), 0.0, 5.0),
            wood(square(0.0, 0.0, 3.0), 6.0, 5.0),
        ],
        ..Site::default()
    };
    let said: Vec<String> = faults(&site).iter().map(Fault::to_string).collect();
    let expected = [
        "wall 1: a length, a radius, a thickness or a loss is not above zero",
        "wall 2: its top at 0 m is not above 0 m",
        "wall 3: a coordinate or a size is not a number",
        "wall 4: lies more than 50000 m away; are its coordinates metres?",
        "wood 1: its outline meets itself on the side that begins at corner 1",
        "wood 2: its outline meets itself on the side that begins at corner 1",
        "wood 3: 2 corners make no area",
        "wood 4: its top at 5 m is not above 6 m",
    ];
    assert_eq!(said, expected);
    for outline in [square(3.0, 4.0, 2.0), spiral()] {
        let sound = Site {
            woods: vec![wood(outline, 0.0, 5.0)],
            ..Site::default()
        };
        assert_eq!(faults(&sound), []);
    }
}

/// A long thin outline of many corners that winds but never meets itself.
fn spiral() -> Vec<Place> {
    let at = |step: i32, more: f64| {
        let angle = 0.05 * f64::from(step);
        let radius = 5.0 + angle + more;
        Place::new(radius * angle.cos(), radius * angle.sin())
    };
    let out = (0..5000).map(|step| at(step, 0.0));
    let back = (0..5000).rev().map(|step| at(step, 2.0));
    out.chain(back).collect()
}

#[test]
fn checked_a_station_inside_is_named() {
    let faults = |station: Spot| View::new(&yard(), station, &WAVE).err().unwrap_or_default();
    assert_eq!(
        faults(Spot::new(-15.0, 4.0, 2.0)),
        [Fault::StationInside(ShapeId::Building(0))]
    );
    assert_eq!(
        faults(Spot::new(11.05, 0.5, 2.0)),
        [Fault::StationInside(ShapeId::Wall(0))]
    );
    assert_eq!(faults(Spot::new(11.05, 0.5, 3.5)), []);
    assert_eq!(
        faults(Spot::new(0.0, 0.0, -1.0)),
        [Fault::NoSpot {
            what: "the station"
        }]
    );
    let wave = Wave {
        frequency_hz: 0.0,
        ..WAVE
    };
    assert_eq!(
        View::new(&yard(), STATION, &wave).err(),
        Some(vec![Fault::NoWave])
    );
}
