//! What one cell of a raster costs: an outage the long way and by table, and two antennas that look at each other.

use divan::{Bencher, black_box};
use link::antenna::{Attitude, Mounted, Pattern, between};
use link::fading::{Combining, Diversity, Fade, OutageTable, outage};
use link::polarisation::Hand;

fn main() {
    divan::main();
}

const FADE: Fade = Fade::Rician { k_db: 6.0 };
const PAIR: Diversity = Diversity {
    branches: 2,
    combining: Combining::MaximalRatio,
    correlation: 0.0,
};

#[divan::bench]
fn outage_exact(bencher: Bencher) {
    bencher.bench(|| outage(black_box(9.3), FADE, PAIR));
}

#[divan::bench]
fn outage_by_table(bencher: Bencher) {
    let table = OutageTable::new(FADE, PAIR).expect("a model");
    bencher.bench(|| table.at(black_box(9.3)));
}

#[divan::bench]
fn table_made(bencher: Bencher) {
    bencher.bench(|| OutageTable::new(black_box(FADE), PAIR));
}

#[divan::bench]
fn table_with_shadow(bencher: Bencher) {
    let table = OutageTable::new(FADE, PAIR).expect("a model");
    bencher.bench(|| table.shadowed(black_box(4.0)));
}

#[divan::bench]
fn dipole_to_patch(bencher: Bencher) {
    let patch = Pattern::Directional {
        gain_dbi: 8.0,
        floor_below_db: 15.0,
        axial_ratio_db: 2.0,
        hand: Hand::Right,
    };
    seen(bencher, Pattern::Dipole, patch);
}

#[divan::bench]
fn ring_to_crossed_dipole(bencher: Bencher) {
    let ring = Pattern::Ring { hand: Hand::Right };
    seen(bencher, ring, Pattern::CrossedDipole { front: Hand::Right });
}

fn seen(bencher: Bencher, craft: Pattern, ground: Pattern) {
    let craft = Mounted {
        pattern: craft,
        axis: [0.0, 0.0, -1.0],
        field: None,
    };
    let ground = Mounted {
        pattern: ground,
        axis: [1.0, 0.0, -0.2],
        field: None,
    };
    let attitude = Attitude {
        roll_rad: 0.2,
        pitch_rad: -0.5,
        yaw_rad: 1.0,
    };
    bencher.bench(|| {
        between(
            &craft,
            black_box(attitude),
            [80.0, 60.0, -25.0],
            &ground,
            [0.0, 0.0, -1.5],
        )
    });
}
