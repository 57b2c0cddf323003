//! `fitout space`.

use crate::check::{RunArguments, exit_code, with_assessment};
use crate::fail;
use crate::wire::{USUAL_PIXELS, draw};
use clap::Args;
use std::path::PathBuf;
use std::process::ExitCode;
use workbench::verdict::rules::SPACE;

/// What `space` is told.
#[derive(Debug, Args)]
pub struct SpaceArguments {
    /// A bench folder, a `.refit.toml` or a `.craft.toml`
    path: PathBuf,
    #[command(flatten)]
    run: RunArguments,
    /// Draw three views into this file: `.svg` or `.png`; an older one is replaced
    #[arg(long, value_name = "FILE")]
    drawing: Option<PathBuf>,
    /// Draw the stack pulled apart into this file: `.svg` or `.png`
    #[arg(long, value_name = "FILE")]
    stack: Option<PathBuf>,
    /// Pixels across a PNG
    #[arg(long, default_value_t = USUAL_PIXELS, value_parser = clap::value_parser!(u32).range(200..=10_000))]
    pixels: u32,
}

/// Tells where things are, what is too near, and how the craft answers.
pub fn run(arguments: &SpaceArguments) -> ExitCode {
    let run = &arguments.run;
    with_assessment(&arguments.path, run, |bench, diagnostics, assessment| {
        let views = || Ok(report::space::drawn::views(assessment));
        let stack = || {
            report::space::drawn::stack(assessment)
                .ok_or("no part is placed on posts: there is no stack to draw")
        };
        let drawn = [
            (
                &arguments.drawing,
                &views as &dyn Fn() -> Result<String, &'static str>,
            ),
            (&arguments.stack, &stack),
        ];
        for (file, svg) in drawn {
            if let Some(file) = file
                && let Err(message) = svg()
                    .map_err(str::to_owned)
                    .and_then(|svg| draw(&svg, file, arguments.pixels))
            {
                return fail(&message);
            }
        }
        if run.json {
            let mut value = report::space::value(bench, assessment);
            value["diagnostics"] = report::diagnostics::json(bench, diagnostics);
            anstream::println!("{value:#}");
        } else {
            anstream::print!("{}", report::space::text(bench, assessment, run.width()));
            for file in [&arguments.drawing, &arguments.stack].into_iter().flatten() {
                anstream::println!("drawn: {}", file.display());
            }
        }
        exit_code(assessment.worst_of(SPACE))
    })
}
