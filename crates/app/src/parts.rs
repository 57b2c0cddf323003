//! `fitout parts`: the library of typical parts.

use crate::fail;
use clap::Args;
use serde_json::json;
use std::process::ExitCode;

/// What `parts` is told.
#[derive(Debug, Args)]
pub struct PartsArguments {
    /// Show this sheet; without it all are listed
    name: Option<String>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Lists the typical parts or shows one.
pub fn run(arguments: &PartsArguments) -> ExitCode {
    let (bench, _) = store::text::read(Vec::new());
    let parts = || bench.parts.iter().map(|part| &**part);
    let Some(name) = &arguments.name else {
        if arguments.json {
            let list: Vec<_> = parts()
                .map(|part| json!({ "name": part.name, "title": part.title() }))
                .collect();
            anstream::println!("{:#}", json!(list));
        } else {
            anstream::print!("{}", report::parts::list(parts()));
        }
        return ExitCode::SUCCESS;
    };
    let Some(part) = parts().find(|part| part.name == *name) else {
        let near = store::nearest::nearest(name, parts().map(|part| part.name.as_str()));
        let hint = near.map_or_else(
            || "`fitout parts` lists them".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        return fail(&format!("no typical part `{name}`; {hint}"));
    };
    if arguments.json {
        anstream::println!(
            "{:#}",
            json!({ "name": part.name, "title": part.title(), "text": bench.file(part.file).text })
        );
    } else {
        anstream::print!("{}", report::parts::show(&bench, part));
    }
    ExitCode::SUCCESS
}
