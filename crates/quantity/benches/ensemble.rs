//! What an ensemble and its shares of doubt cost.
//!
//! Run with `cargo bench -p quantity`. Asked of these on one core: 2,048 draws of 100 inputs in 3 ms,
//! shares of 80 inputs prepared in 15 ms, each outcome in 1 ms. Medians when last written down, on two
//! cores busy with other work: 2.4 ms, 7 to 10 ms, 0.07 ms (0.45 ms where draws are missing).

use quantity::{Ensemble, Shares, Summary};

fn main() {
    divan::main();
}

#[divan::bench(args = [(2_048, 28), (2_048, 100), (8_192, 100)])]
fn sobol(bencher: divan::Bencher, (draws, inputs): (usize, usize)) {
    bencher.bench(|| Ensemble::sobol(divan::black_box(1), draws, inputs));
}

#[divan::bench(args = [28, 42, 80])]
fn prepare_shares(bencher: divan::Bencher, inputs: usize) {
    let ensemble = Ensemble::sobol(1, 2_048, inputs);
    let all: Vec<usize> = (0..inputs).collect();
    bencher.bench(|| Shares::prepare(divan::black_box(&ensemble), &all));
}

#[divan::bench(args = [28, 42, 80])]
fn shares_of_an_additive_outcome(bencher: divan::Bencher, inputs: usize) {
    let (shares, outcome) = prepared(inputs, |a, _| a.exp());
    bencher.bench(|| shares.of(divan::black_box(&outcome)));
}

#[divan::bench(args = [28, 80])]
fn shares_in_bins(bencher: divan::Bencher, inputs: usize) {
    let (shares, outcome) = prepared(inputs, |a, b| a * b);
    bencher.bench(|| shares.of(divan::black_box(&outcome)));
}

#[divan::bench(args = [28, 80])]
fn shares_with_missing_draws(bencher: divan::Bencher, inputs: usize) {
    let (shares, mut outcome) = prepared(inputs, |a, _| a.exp());
    outcome[..20].fill(f64::NAN);
    bencher.bench(|| shares.of(divan::black_box(&outcome)));
}

#[divan::bench]
fn summary(bencher: divan::Bencher) {
    let (_, outcome) = prepared(2, |a, b| a * b);
    bencher.bench(|| Summary::of(divan::black_box(&outcome)));
}

fn prepared(inputs: usize, of: impl Fn(f64, f64) -> f64) -> (Shares, Vec<f64>) {
    let ensemble = Ensemble::sobol(1, 2_048, inputs);
    let all: Vec<usize> = (0..inputs).collect();
    let outcome = std::iter::zip(ensemble.scores(0), ensemble.scores(1))
        .map(|(a, b)| of(*a, *b))
        .collect();
    (Shares::prepare(&ensemble, &all), outcome)
}
