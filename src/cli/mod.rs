//! The command line: arguments in, an answer on a stream or in a file, an exit status out.
//!
//! Nothing here ends the process or opens a standard stream; the binary does.

mod args;
mod ask;
mod charts;
mod failure;
mod itself;
mod output;

use std::ffi::OsString;
use std::io::{Read, Write};

use clap::{ColorChoice, Parser};

use crate::report::Look;
use args::{Cli, Command, Question};
use failure::Failure;

/// The streams of a process, and how text looks on each unless the arguments say otherwise.
pub struct Streams<'s> {
    /// Read where the circuit file is `-`.
    pub input: &'s mut dyn Read,
    /// Answers.
    pub out: &'s mut dyn Write,
    /// Errors.
    pub err: &'s mut dyn Write,
    /// How text looks on `out`.
    pub out_look: Look,
    /// How text looks on `err`.
    pub err_look: Look,
}

/// Columns where a stream does not say how many it has.
pub const USUAL_WIDTH: usize = 80;

/// Answers one command line, the program's name first. Gives the exit status: 0 answered,
/// 1 answered and something is wrong, 2 could not answer.
pub fn run(arguments: impl IntoIterator<Item = OsString>, streams: Streams<'_>) -> u8 {
    let Streams {
        input,
        out,
        err,
        mut out_look,
        mut err_look,
    } = streams;
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(error) => {
            let (stream, look) = match error.use_stderr() {
                true => (err, err_look),
                false => (out, out_look),
            };
            let text = match look.colour {
                true => error.render().ansi().to_string(),
                false => error.render().to_string(),
            };
            // Help that nobody reads on is no failure, and an error has nowhere else to go.
            let _ = output::to_stream(stream, &text);
            return if error.use_stderr() { 2 } else { 0 };
        }
    };
    let to_file = cli.shown.output.is_some();
    for look in [&mut out_look, &mut err_look] {
        match cli.shown.color {
            ColorChoice::Always => look.colour = true,
            ColorChoice::Never => look.colour = false,
            ColorChoice::Auto => {}
        }
    }
    if to_file {
        out_look = Look {
            colour: cli.shown.color == ColorChoice::Always,
            width: USUAL_WIDTH,
        };
    }
    match answer(&cli, input, out, out_look) {
        Ok(wrong) => wrong.into(),
        Err(failure) => {
            let _ = failure.write(err_look, err);
            2
        }
    }
}

/// Answers, and says whether the answer is that something is wrong.
fn answer(
    cli: &Cli,
    input: &mut dyn Read,
    out: &mut dyn Write,
    look: Look,
) -> Result<bool, Failure> {
    let mut sources = Vec::new();
    let reply = match &cli.command {
        Command::Itself(asked) => itself::tell(asked)?,
        Command::Question(Question::Check {
            explain: Some(code),
            ..
        }) => itself::explain(code, &cli.shown, look)?,
        Command::Question(question) => {
            let sheet = ask::read(question.file(), input)?;
            sources = sheet.sources().to_vec();
            ask::ask(question, &sheet, &cli.shown, look)?
        }
    };
    match &cli.shown.output {
        Some(path) => {
            let mut read = sources.iter();
            if read.any(|source| output::same(path, source.name.as_ref())) {
                let what = format!("`{}` is the circuit file itself", path.display());
                return Err(Failure::one(what, "give another path"));
            }
            output::to_file(path, &reply.text, cli.shown.force)?;
        }
        None => output::to_stream(out, &reply.text)?,
    }
    Ok(reply.wrong)
}
