//! The command line: arguments in, an answer on a stream or in a file, an exit status out.
//!
//! Nothing here ends the process or opens a standard stream; the binary does.

mod args;
mod ask;
mod asked;
mod author;
mod charts;
mod draw;
mod failure;
mod flows;
mod itself;
mod lives_by;
mod measuring;
mod origin;
mod output;
mod page;
mod partial;
mod scenarios;
mod sheets;
mod show;
mod suspect;
mod sweep;
mod teach;

use std::ffi::OsString;
use std::io::{Read, Write};
use std::path::Path;
use std::time::Duration;

use clap::{ColorChoice, Parser};

use crate::report::Look;
use crate::sheet::Sheet;
use args::{Cli, Command, Question, Shown};
use failure::Failure;

pub use sweep::Done;

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
    /// Whether long work is to stop: asked again and again while it goes on.
    pub stopped: &'s dyn Fn() -> bool,
    /// Told how long the answer may take, where that is limited. Whoever keeps the time says that work
    /// is to stop, and where nobody asks ends the process with [`too_late`].
    pub within: &'s dyn Fn(Duration),
    /// Told how far long work is, and at its end nothing more.
    pub progress: &'s dyn Fn(Option<Done>),
}

/// Columns where a stream does not say how many it has.
pub const USUAL_WIDTH: usize = 80;

/// Answers one command line, the program's name first. Gives the exit status: 0 answered,
/// 1 answered and something is wrong, 2 could not answer.
pub fn run(arguments: impl IntoIterator<Item = OsString>, mut streams: Streams<'_>) -> u8 {
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(error) => {
            let (stream, look) = match error.use_stderr() {
                true => (streams.err, streams.err_look),
                false => (streams.out, streams.out_look),
            };
            let text = match look.colour {
                true => error.render().ansi().to_string(),
                false => error.render().to_string(),
            };
            // Help that nobody reads on is no failure, and an error has nowhere else to go.
            let _ = output::to_stream(stream, text.as_bytes());
            return if error.use_stderr() { 2 } else { 0 };
        }
    };
    let to_file = cli.shown.output.is_some();
    for look in [&mut streams.out_look, &mut streams.err_look] {
        match cli.shown.color {
            ColorChoice::Always => look.colour = true,
            ColorChoice::Never => look.colour = false,
            ColorChoice::Auto => {}
        }
    }
    if to_file {
        streams.out_look = Look {
            colour: cli.shown.color == ColorChoice::Always,
            width: USUAL_WIDTH,
        };
    }
    if let Some(seconds) = cli.shown.within {
        (streams.within)(Duration::from_secs(seconds.into()));
    }
    match answer(&cli, &mut streams) {
        Ok(wrong) => wrong.into(),
        Err(failure) => {
            let _ = failure.write(streams.err_look, streams.err);
            2
        }
    }
}

/// Says that the time is up, and gives the exit status.
pub fn too_late(look: Look, err: &mut dyn Write) -> u8 {
    let what = "there was no answer within the time given".to_owned();
    let remedy = "ask less at once, one state or one part, or give --within more";
    // An error has nowhere else to go.
    let _ = Failure::one(what, remedy).write(look, err);
    2
}

/// Answers, and says whether the answer is that something is wrong.
fn answer(cli: &Cli, streams: &mut Streams<'_>) -> Result<bool, Failure> {
    let look = streams.out_look;
    let reply = match &cli.command {
        Command::Itself(asked) => itself::tell(asked)?,
        Command::Question(Question::Check {
            explain: Some(code),
            ..
        }) => itself::explain(code, &cli.shown, look)?,
        Command::Question(question) => {
            let sheet = read(question.file(), &cli.shown, streams)?;
            if let (Some(path), Some(case)) = (&cli.shown.output, question.case()) {
                output::spares(path, [case])?;
            }
            ask::ask(question, &sheet, &cli.shown, look)?
        }
        Command::Sweep(asked) => {
            let sheet = read(&asked.file.file, &cli.shown, streams)?;
            match sweep::run(asked, &sheet, &cli.shown, streams)? {
                Some(reply) => reply,
                None => return Ok(false),
            }
        }
        Command::Compare(asked) => {
            let ours = read(&asked.file.file, &cli.shown, streams)?;
            let theirs = read(&asked.other, &cli.shown, streams)?;
            asked.ask(&ours.circuit, &theirs.circuit, &cli.shown, look)?
        }
        Command::Author(asked) => match asked.run(&cli.shown, streams)? {
            Some(reply) => reply,
            None => return Ok(false),
        },
        Command::Draw(asked) => {
            let sheet = read(&asked.file.file, &cli.shown, streams)?;
            let drawing = draw::draw(asked, &sheet.circuit, &cli.shown)?;
            give(&drawing, &cli.shown, streams)?;
            return Ok(false);
        }
        Command::Page(asked) => {
            let sheet = read(&asked.file, &cli.shown, streams)?;
            let page = page::page(&sheet.circuit, &cli.shown)?;
            give(page.as_bytes(), &cli.shown, streams)?;
            return Ok(false);
        }
    };
    give(reply.text.as_bytes(), &cli.shown, streams)?;
    Ok(reply.wrong)
}

/// Writes what was made where it is wanted.
fn give(made: &[u8], shown: &Shown, streams: &mut Streams<'_>) -> Result<(), Failure> {
    match &shown.output {
        Some(path) => output::to_file(path, made, shown.force),
        None => output::to_stream(streams.out, made),
    }
}

/// Reads the circuit, which the answer is not to be written over, and sees that the answer can be
/// written where it is wanted.
fn read(file: &Path, shown: &Shown, streams: &mut Streams<'_>) -> Result<Sheet, Failure> {
    let sheet = ask::read(file, streams.input)?;
    if let Some(path) = &shown.output {
        output::spares(
            path,
            sheet.sources().iter().map(|source| source.name.as_ref()),
        )?;
        output::ready(path, shown.force)?;
    }
    Ok(sheet)
}
