//! Our speed beside the same problem in NumPy and SciPy, in one run on one machine.
//!
//! Both sides print one JSON object on a line of its own:
//! `{"draws": 2048, "seconds": {"hover/vectorised": 0.001, …}, "medians": {"hover.duty": 0.37, …}}`.
//! A time's name is the problem, a slash and the way it was solved. Medians are compared too, because
//! a time means nothing beside a different answer.

use crate::{Outcome, checkout, run};
use serde_json::{Map, Value};

/// Our side of the comparison: a crate and its bench.
const OURS: (&str, &str) = ("xtask", "operating_point");

/// The other side.
const PEER: &str = "bench/peer/ensemble.py";
const PEER_NEEDS: &str = "bench/peer/requirements.txt";

/// Draws differ between the sides, so medians agree only as well as both ensembles are sampled and
/// their inputs are spread alike: this share is far below what a wrong equation does.
const MEDIANS_AGREE: f64 = 0.01;

/// Runs both sides and prints one table of times and one of medians.
pub fn bench() -> Outcome {
    let peer = peer()?;
    let ours = ours()?;
    same_size(&peer, &ours)?;
    print_times(&peer, &ours);
    compare_medians(&peer, &ours)
}

/// The peer's numbers, from an environment of its own under the build folder.
fn peer() -> Result<Value, String> {
    let environment = checkout::target().join("peer-venv");
    let python = environment
        .join("bin")
        .join("python")
        .to_string_lossy()
        .into_owned();
    if !run::succeeds(&mut run::command(&python, &["--version"])) {
        let place = environment.to_string_lossy();
        run::watched(&mut run::command("python3", &["-m", "venv", &place]))?;
    }
    let install = [
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        "-r",
        PEER_NEEDS,
    ];
    run::watched(&mut run::command(&python, &install))?;
    numbers(&run::answer(&mut run::command(&python, &[PEER]))?)
}

fn ours() -> Result<Value, String> {
    let (package, bench) = OURS;
    let mut cargo = run::cargo(&["bench", "--quiet", "--package", package, "--bench", bench]);
    numbers(&run::answer(&mut cargo)?)
}

/// The last line that is a JSON object.
fn numbers(output: &str) -> Result<Value, String> {
    let line = output.lines().rev().find(|line| line.starts_with('{'));
    let line = line.ok_or(format!("no line of JSON in:\n{output}"))?;
    serde_json::from_str(line).map_err(|error| format!("{error} in `{line}`"))
}

fn same_size(peer: &Value, ours: &Value) -> Outcome {
    match peer["draws"] == ours["draws"] {
        true => Ok(()),
        false => Err(format!(
            "{} draws there, {} here",
            peer["draws"], ours["draws"]
        )),
    }
}

fn print_times(peer: &Value, ours: &Value) {
    let draws = peer["draws"].as_f64().unwrap_or(f64::NAN);
    println!(
        "{draws} draws, one thread where nothing else is said, best of several runs; the ratio is to our shortest time"
    );
    println!(
        "{:<28}{:>12}{:>14}{:>10}",
        "problem/way", "ms", "ns a draw", "ratio"
    );
    for (side, numbers) in [("ours", ours), ("peer", peer)] {
        for (name, seconds) in column(numbers, "seconds") {
            let ratio = shortest(ours, &name).map(|least| format!("{:.1}", seconds / least));
            let (ratio, ms, ns) = (
                ratio.unwrap_or("-".to_owned()),
                1e3 * seconds,
                1e9 * seconds / draws,
            );
            println!(
                "{:<28}{ms:>12.4}{ns:>14.1}{ratio:>10}",
                format!("{side} {name}")
            );
        }
    }
}

/// Our shortest time for the problem that `name` is about.
fn shortest(ours: &Value, name: &str) -> Option<f64> {
    let of_problem = |other: &str| problem(other) == problem(name);
    let times = column(ours, "seconds")
        .into_iter()
        .filter(|(other, _)| of_problem(other));
    times.map(|(_, seconds)| seconds).reduce(f64::min)
}

fn problem(name: &str) -> &str {
    name.split_once('/').map_or(name, |(problem, _)| problem)
}

fn compare_medians(peer: &Value, ours: &Value) -> Outcome {
    println!(
        "{:<32}{:>12}{:>14}{:>14}",
        "median", "ours", "peer", "apart"
    );
    let mut apart = Vec::new();
    let theirs: Map<String, Value> = peer["medians"].as_object().cloned().unwrap_or_default();
    let theirs = |name: &str| theirs.get(name).and_then(Value::as_f64);
    let both = column(ours, "medians").into_iter();
    let both: Vec<_> = both
        .filter_map(|(name, here)| Some((theirs(&name)?, name, here)))
        .collect();
    for (there, name, here) in &both {
        let share = (here - there).abs() / there.abs();
        println!(
            "{name:<32}{here:>12.5}{there:>14.5}{:>12.3} %",
            100.0 * share
        );
        if share.is_nan() || share > MEDIANS_AGREE {
            apart.push(name.as_str());
        }
    }
    match (both.is_empty(), apart.is_empty()) {
        (false, true) => Ok(()),
        (true, _) => {
            Err("no median is given by both sides: the times cannot be compared".to_owned())
        }
        _ => Err(format!(
            "not the same problem, medians differ: {}",
            apart.join(", ")
        )),
    }
}

fn column(numbers: &Value, name: &str) -> Vec<(String, f64)> {
    let entries = numbers[name].as_object().into_iter().flatten();
    entries
        .filter_map(|(name, value)| Some((name.clone(), value.as_f64()?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn side(duty: f64) -> Value {
        let text = format!(
            "noise\n{{\"draws\": 4, \"seconds\": {{\"hover/a\": 2.0, \"hover/b\": 1.0}}, \
             \"medians\": {{\"hover.duty\": {duty}}}}}\n"
        );
        numbers(&text).unwrap()
    }

    #[test]
    fn checked_ratios_are_to_our_shortest_time_for_the_same_problem() {
        assert_eq!(shortest(&side(0.3), "hover/vectorised"), Some(1.0));
        assert_eq!(shortest(&side(0.3), "full/vectorised"), None);
    }

    #[test]
    fn checked_a_different_answer_is_no_comparison() {
        assert!(compare_medians(&side(0.300), &side(0.301)).is_ok());
        assert!(compare_medians(&side(0.300), &side(0.310)).is_err());
        assert!(compare_medians(&side(0.300), &numbers("{}").unwrap()).is_err());
    }
}
