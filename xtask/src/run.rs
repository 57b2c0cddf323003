//! Other programs, run from the root of the checkout with no standard input.

use crate::checkout;
use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};

/// A command that starts at the root of the checkout.
pub fn command(program: &str, arguments: &[&str]) -> Command {
    let mut command = Command::new(program);
    command
        .args(arguments)
        .current_dir(checkout::root())
        .stdin(Stdio::null());
    command
}

/// Cargo itself, the one that started this.
pub fn cargo(arguments: &[&str]) -> Command {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    command(&cargo, arguments)
}

/// Runs it where the reader can watch; anything but success is trouble.
pub fn watched(command: &mut Command) -> crate::Outcome {
    let status = command
        .status()
        .map_err(|error| not_started(command, &error))?;
    match status.success() {
        true => Ok(()),
        false => Err(format!("{} ended with {status}", shown(command))),
    }
}

/// As [`watched`], and hands each line of standard output to `line` as it is printed.
pub fn overheard(command: &mut Command, mut line: impl FnMut(&str)) -> crate::Outcome {
    let started = command.stdout(Stdio::piped()).spawn();
    let mut child = started.map_err(|error| not_started(command, &error))?;
    let output = child.stdout.take().expect("standard output is piped");
    for text in BufReader::new(output).lines() {
        let text = text.map_err(|error| format!("{}: {error}", shown(command)))?;
        println!("{text}");
        line(&text);
    }
    let status = child.wait().map_err(|error| not_started(command, &error))?;
    match status.success() {
        true => Ok(()),
        false => Err(format!("{} ended with {status}", shown(command))),
    }
}

/// Its standard output; what it says on standard error goes to the reader.
pub fn answer(command: &mut Command) -> Result<String, String> {
    let output = command.stderr(Stdio::inherit()).output();
    let output = output.map_err(|error| not_started(command, &error))?;
    match output.status.success() {
        true => Ok(String::from_utf8_lossy(&output.stdout).into_owned()),
        false => Err(format!("{} ended with {}", shown(command), output.status)),
    }
}

/// Whether it is there and says yes; silent.
pub fn succeeds(command: &mut Command) -> bool {
    let quiet = command.stdout(Stdio::null()).stderr(Stdio::null());
    quiet.status().is_ok_and(|status| status.success())
}

fn not_started(command: &Command, error: &std::io::Error) -> String {
    format!("{} did not run: {error}", shown(command))
}

fn shown(command: &Command) -> String {
    let program = std::path::Path::new(command.get_program());
    let name = program.file_name().unwrap_or_default().to_string_lossy();
    let words = command.get_args().map(|word| word.to_string_lossy());
    let words: Vec<_> = std::iter::once(name).chain(words).collect();
    format!("`{}`", words.join(" "))
}
