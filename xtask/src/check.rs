//! Every test there is, in the order in which a fault is cheapest to find.
//!
//! Stops at the first step that fails. The last line counts what `cargo test` ran.

use crate::{Outcome, checkout, pages, run};
use std::process::Command;
use std::time::Instant;

/// The licence checker's version, as `cargo install` wants it.
const DENY: &str = "0.20.2";

/// Folders whose sub-folders are demo benches if a craft lies in them.
const DEMO_FOLDERS: [&str; 2] = ["benches", "examples"];

/// One step of the check.
#[derive(Clone, Copy)]
pub struct Step {
    name: &'static str,
    run: fn(&mut Count) -> Outcome,
}

/// All steps, in their order.
const STEPS: [Step; 7] = [
    Step {
        name: "fmt",
        run: fmt,
    },
    Step {
        name: "clippy",
        run: clippy,
    },
    Step {
        name: "test",
        run: test,
    },
    Step {
        name: "doc",
        run: doc,
    },
    Step {
        name: "deny",
        run: deny,
    },
    Step {
        name: "pages",
        run: |_| pages::check(),
    },
    Step {
        name: "release",
        run: release,
    },
];

/// What `cargo test` counted, over all its programs.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
struct Count {
    passed: usize,
    failed: usize,
    ignored: usize,
}

/// The steps that the words after `check` ask for; all of them if there are none.
pub fn chosen(words: &[&str]) -> Result<Vec<Step>, String> {
    if words.is_empty() {
        return Ok(STEPS.to_vec());
    }
    let mut chosen = Vec::new();
    for pair in words.chunks(2) {
        let step = match pair {
            ["--only", name] => STEPS.iter().find(|step| step.name == *name),
            _ => None,
        };
        chosen.push(*step.ok_or(crate::USAGE)?);
    }
    Ok(chosen)
}

/// Runs the steps until one fails.
pub fn check(steps: &[Step]) -> Outcome {
    let mut count = Count::default();
    let whole = Instant::now();
    for step in steps {
        println!("== {} ==", step.name);
        let start = Instant::now();
        let outcome = (step.run)(&mut count);
        let seconds = start.elapsed().as_secs_f64();
        if let Err(trouble) = outcome {
            let again = format!("again: cargo xtask check --only {}", step.name);
            let stop = format!(
                "stopped at {} after {seconds:.1} s: {trouble}\n{again}",
                step.name
            );
            return Err(count.after_failure(stop));
        }
        println!("== {} done in {seconds:.1} s ==\n", step.name);
    }
    println!(
        "steps done: {}, in {:.0} s",
        steps.len(),
        whole.elapsed().as_secs_f64()
    );
    count.print_total();
    Ok(())
}

impl Count {
    /// Adds the totals of one test program, if the line states them:
    /// `test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; …`.
    fn add(&mut self, line: &str) {
        let Some(result) = line.strip_prefix("test result: ") else {
            return;
        };
        let totals = result.split_once(". ").map_or("", |(_, totals)| totals);
        for part in totals.split(';') {
            let mut words = part.split_whitespace();
            let number = words.next().and_then(|word| word.parse::<usize>().ok());
            match (number, words.next()) {
                (Some(number), Some("passed")) => self.passed += number,
                (Some(number), Some("failed")) => self.failed += number,
                (Some(number), Some("ignored")) => self.ignored += number,
                _ => {}
            }
        }
    }

    fn print_total(self) {
        if self.ignored > 0 {
            println!("{} ignored", self.ignored);
        }
        if self != Count::default() {
            println!("{} passed, {} failed", self.passed, self.failed);
        }
    }

    /// Totals only where tests are what failed: "0 failed" must not close a check that stopped.
    fn after_failure(self, stop: String) -> String {
        match self.failed {
            0 => stop,
            failed => format!("{stop}\n{} passed, {failed} failed", self.passed),
        }
    }
}

fn fmt(_: &mut Count) -> Outcome {
    run::watched(&mut run::cargo(&["fmt", "--all", "--check"]))
}

fn clippy(_: &mut Count) -> Outcome {
    let lint = [
        "clippy",
        "--workspace",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ];
    run::watched(&mut run::cargo(&lint))
}

fn test(count: &mut Count) -> Outcome {
    let mut tests = run::cargo(&["test", "--workspace", "--no-fail-fast"]);
    run::overheard(&mut tests, |line| count.add(line))?;
    match count.passed {
        0 => Err("no test ran".to_owned()),
        _ => Ok(()),
    }
}

fn doc(_: &mut Count) -> Outcome {
    let mut doc = run::cargo(&["doc", "--workspace", "--no-deps"]);
    run::watched(doc.env("RUSTDOCFLAGS", "-D warnings"))
}

fn deny(_: &mut Count) -> Outcome {
    // The sources of every platform's dependencies must be here before it works offline.
    run::watched(&mut run::cargo(&["fetch", "--locked"]))?;
    let what = ["--offline", "check", "licenses", "bans", "sources"];
    run::watched(deny_program()?.args(what))?;
    println!(
        "not asked: known vulnerabilities; their list is kept outside and cannot be had offline"
    );
    Ok(())
}

/// The licence checker: the one that is installed, or ours under the build folder.
fn deny_program() -> Result<Command, String> {
    if run::succeeds(&mut run::cargo(&["deny", "--version"])) {
        return Ok(run::cargo(&["deny"]));
    }
    let tools = checkout::target().join("tools");
    let program = tools
        .join("bin")
        .join("cargo-deny")
        .to_string_lossy()
        .into_owned();
    if !run::succeeds(&mut run::command(&program, &["--version"])) {
        build_deny(&tools.to_string_lossy())?;
    }
    Ok(run::command(&program, &[]))
}

/// Unoptimised: it runs for a second, and would take about twice as long to build.
fn build_deny(tools: &str) -> Outcome {
    println!("building cargo-deny {DENY} once, into {tools}");
    let install = [
        "install",
        "--locked",
        "--debug",
        "--root",
        tools,
        "--version",
        DENY,
        "cargo-deny",
    ];
    run::watched(&mut run::cargo(&install))
}

fn release(_: &mut Count) -> Outcome {
    run::watched(&mut run::cargo(&["build", "--release", "--package", "app"]))?;
    let fitout = checkout::target().join("release").join("fitout");
    let fitout = fitout.to_string_lossy();
    let benches = demo_benches();
    for bench in &benches {
        smoke(&fitout, bench)?;
    }
    println!(
        "{} demo benches checked with the release build",
        benches.len()
    );
    Ok(())
}

/// Every demo bench of the checkout, as a path from its root.
fn demo_benches() -> Vec<String> {
    let folders = DEMO_FOLDERS.iter();
    folders
        .flat_map(|folder| checkout::entries(&checkout::root().join(folder)))
        .filter(|bench| !checkout::files(bench, ".craft.toml").is_empty())
        .map(|bench| bench.to_string_lossy().into_owned())
        .collect()
}

/// A demo bench must be readable: the verdict may be a stop (1), the bench may not be broken (2).
fn smoke(fitout: &str, bench: &str) -> Outcome {
    let output = run::command(fitout, &["check", bench]).output();
    let output = output.map_err(|error| format!("`{fitout}` did not run: {error}"))?;
    let says = String::from_utf8_lossy(&output.stdout);
    match output.status.code() {
        Some(0 | 1) if !says.trim().is_empty() => Ok(()),
        _ => Err(format!(
            "`fitout check {bench}` ended with {}\n{says}{}",
            output.status,
            String::from_utf8_lossy(&output.stderr)
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_totals_are_summed_over_test_programs() {
        let mut count = Count::default();
        count.add("running 4 tests");
        count.add("test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s");
        count.add("test result: FAILED. 2 passed; 5 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.10s");
        assert_eq!((count.passed, count.failed, count.ignored), (5, 5, 1));
    }

    #[test]
    fn checked_a_stop_elsewhere_does_not_end_in_a_line_of_success() {
        let count = Count {
            passed: 9,
            failed: 0,
            ignored: 0,
        };
        assert!(
            !count
                .after_failure("stopped at doc".to_owned())
                .contains("failed")
        );
        let count = Count {
            passed: 9,
            failed: 1,
            ignored: 0,
        };
        assert!(
            count
                .after_failure("stopped at test".to_owned())
                .ends_with("\n9 passed, 1 failed")
        );
    }

    #[test]
    fn checked_only_known_steps_can_be_chosen() {
        let names = |words: &[&str]| {
            let steps = chosen(words).ok()?;
            Some(steps.iter().map(|step| step.name).collect::<Vec<_>>())
        };
        assert_eq!(
            names(&["--only", "doc", "--only", "fmt"]),
            Some(vec!["doc", "fmt"])
        );
        assert_eq!(names(&[]).map(|all| all.len()), Some(STEPS.len()));
        assert_eq!(names(&["--only", "lunch"]), None);
        assert_eq!(names(&["--only"]), None);
    }
}
