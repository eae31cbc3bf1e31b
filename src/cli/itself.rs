//! What the program can say of itself: what its codes mean, what editors and shells want.

use std::io;

use clap::CommandFactory;
use clap_mangen::Man;

use super::args::{Cli, EVERY_CODE, Itself, Shown};
use super::failure::Failure;
use super::show::{Reply, render};
use crate::circuit::nearest;
use crate::explain;
use crate::report::{self, Explain, Look, SCHEMAS};
use crate::sheet;

/// Says what a code means, or lists all.
pub(super) fn explain(code: &str, shown: &Shown, look: Look) -> Result<Reply, Failure> {
    let answer = match code {
        EVERY_CODE => Explain::new(explain::all()),
        code => Explain::new([explain::explain(code).map_err(|unknown| {
            let remedy = match unknown.near.first() {
                Some(best) => format!("did you mean `{best}`?"),
                None => "list all codes with `oilpath check --explain`".to_owned(),
            };
            Failure::one(unknown.to_string(), &remedy)
        })?]),
    };
    render(&answer, || report::explain(&answer), shown.format, look)
}

/// Tells an editor or a shell what it asks for.
pub(super) fn tell(asked: &Itself) -> Result<Reply, Failure> {
    let mut program = Cli::command();
    program.build();
    let name = program.get_name().to_owned();
    let mut bytes = Vec::new();
    match asked {
        Itself::Schema { answer } => {
            let mut of = SCHEMAS
                .iter()
                .filter(|s| Some(s.answer) == answer.as_deref());
            let schema = of.next().map_or_else(sheet::schema, |of| (of.schema)());
            bytes = serde_json::to_vec_pretty(&schema).map_err(unwritten)?;
            bytes.push(b'\n');
        }
        Itself::Completions { shell } => {
            clap_complete::generate(*shell, &mut program, name, &mut bytes);
        }
        Itself::Man { command } => {
            let page = match command {
                None => program,
                Some(name) => match program.find_subcommand(name) {
                    Some(command) => command.clone(),
                    None => return Err(no_command(name, &program)),
                },
            };
            Man::new(page)
                .source(concat!("oilpath ", env!("CARGO_PKG_VERSION")))
                .render(&mut bytes)
                .map_err(|e| Failure::Unwritten(None, e))?;
        }
    }
    Ok(said(String::from_utf8_lossy(&bytes).into_owned()))
}

fn no_command(name: &str, program: &clap::Command) -> Failure {
    let commands = || program.get_subcommands().map(clap::Command::get_name);
    let remedy = match nearest(name, commands()).first() {
        Some(best) => format!("did you mean `{best}`?"),
        None => format!(
            "the commands are {}",
            commands().collect::<Vec<_>>().join(", ")
        ),
    };
    Failure::one(format!("there is no command `{name}`"), &remedy)
}

fn unwritten(error: impl Into<Box<dyn std::error::Error + Send + Sync>>) -> Failure {
    Failure::Unwritten(None, io::Error::other(error))
}

fn said(text: String) -> Reply {
    Reply { text, wrong: false }
}
