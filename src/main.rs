//! The command line's process: its streams and its exit status.

use std::io::{self, BufWriter};
use std::process::ExitCode;

use anstream::{AutoStream, ColorChoice};
use oilpath::cli::{self, Streams, USUAL_WIDTH};
use oilpath::report::Look;
use terminal_size::{Width, terminal_size_of};

fn main() -> ExitCode {
    let width = |size: Option<(Width, _)>| size.map_or(USUAL_WIDTH, |(Width(w), _)| w.into());
    let out_look = Look {
        colour: AutoStream::choice(&io::stdout()) != ColorChoice::Never,
        width: width(terminal_size_of(io::stdout())),
    };
    let err_look = Look {
        colour: AutoStream::choice(&io::stderr()) != ColorChoice::Never,
        width: width(terminal_size_of(io::stderr())),
    };
    let streams = Streams {
        input: &mut io::stdin().lock(),
        out: &mut BufWriter::new(io::stdout().lock()),
        err: &mut io::stderr().lock(),
        out_look,
        err_look,
    };
    cli::run(std::env::args_os(), streams).into()
}
