//! `fitout calc`: pocket formulas.

use crate::check::terminal_width;
use crate::{UNREADABLE, fail};
use clap::Args;
use serde_json::json;
use std::path::Path;
use std::process::ExitCode;
use workbench::formula::{self as formulas, Formula};

/// What `calc` is told.
#[derive(Debug, Args)]
pub struct CalcArguments {
    /// Which formula; without it all are listed
    name: Option<String>,
    /// Its values, `key=value` with units: `mass=250g diameter=76.2mm`; without them its keys are shown
    values: Vec<String>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Computes, or shows what could be computed.
pub fn run(arguments: &CalcArguments) -> ExitCode {
    let Some(name) = &arguments.name else {
        anstream::print!("{}", report::formula::list());
        return ExitCode::SUCCESS;
    };
    let Some(formula) = formulas::formula(name) else {
        let names: Vec<_> = formulas::formulas()
            .iter()
            .map(|formula| formula.name)
            .collect();
        let near = store::nearest::nearest(name, names.iter().copied());
        let hint = near.map_or_else(
            || "`fitout calc` lists them".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        return fail(&format!("no formula `{name}`; {hint}"));
    };
    if arguments.values.is_empty() && !arguments.json {
        anstream::print!("{}", report::formula::help(formula, terminal_width(None)));
        return ExitCode::SUCCESS;
    }
    compute(formula, arguments)
}

fn compute(formula: &Formula, arguments: &CalcArguments) -> ExitCode {
    let file =
        |path: &str| store::disk::read_text(Path::new(path)).map_err(|error| error.to_string());
    let values = match formulas::read(formula, &arguments.values, &file) {
        Ok(values) => values,
        Err(faults) => {
            if arguments.json {
                let list: Vec<_> = faults.iter().map(|fault| &fault.0).collect();
                anstream::println!("{:#}", json!({ "formula": formula.name, "faults": list }));
            } else {
                anstream::eprint!("{}", report::formula::faults(formula, &faults));
            }
            return ExitCode::from(UNREADABLE);
        }
    };
    match formula.compute(&values) {
        Ok(computed) if arguments.json => {
            anstream::println!("{:#}", report::formula::json(formula, &values, &computed))
        }
        Ok(computed) => anstream::print!(
            "{}",
            report::formula::text(formula, &values, &computed, terminal_width(None))
        ),
        Err(why) if arguments.json => {
            anstream::println!("{:#}", json!({ "formula": formula.name, "faults": [why] }));
            return ExitCode::from(UNREADABLE);
        }
        Err(why) => return fail(&why),
    }
    ExitCode::SUCCESS
}
