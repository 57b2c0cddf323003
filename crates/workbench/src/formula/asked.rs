//! Formulas asked as on the command line, for tests.

use super::{Computed, formula, read};

/// The answer to a call, or what is said to it.
pub fn answered(call: &str) -> Result<Computed, String> {
    let mut words = call.split_whitespace();
    let found = words.next().and_then(formula).expect("a formula");
    let pairs: Vec<String> = words.map(str::to_owned).collect();
    let values = read(found, &pairs, &|_| Err("no file".to_owned()));
    let computed = values.and_then(|values| found.compute(&values));
    computed.map_err(|faults| faults.into_iter().map(|fault| fault.0 + "\n").collect())
}
