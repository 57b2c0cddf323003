//! What one path over edges costs; a coverage map asks a million of them.

use divan::{Bencher, black_box};
use radio::{Edge, Path, edges};

fn main() {
    divan::main();
}

/// The method to use, for so many edges, every one of them in the way.
#[divan::bench(args = [0, 1, 2, 3, 6])]
fn loss(bencher: Bencher, count: usize) {
    let (path, tops) = over(count);
    bencher.bench(|| edges::loss_db(black_box(&path), black_box(&tops)));
}

/// The corrected sum.
#[divan::bench(args = [2, 3, 6])]
fn corrected(bencher: Bencher, count: usize) {
    let (path, tops) = over(count);
    bencher.bench(|| edges::corrected_db(black_box(&path), black_box(&tops)));
}

fn over(count: usize) -> (Path, Vec<Edge>) {
    let path = Path {
        distance_m: 200.0,
        heights_m: [1.5, 3.0],
        frequency_hz: 5.8e9,
    };
    let heights = [4.0, 5.0, 3.5, 6.0, 4.5, 3.8];
    let tops = heights.into_iter().take(count).enumerate();
    let tops = tops.map(|(index, height_m)| Edge {
        along_m: 25.0 * (index + 1) as f64,
        height_m,
    });
    (path, tops.collect())
}
