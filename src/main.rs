//! The command line's process: its streams and its exit status.

use std::cell::RefCell;
use std::fmt::Write;
use std::io::{self, BufWriter, IsTerminal};
use std::process::{self, ExitCode};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use anstream::{AutoStream, ColorChoice};
use indicatif::{HumanDuration, ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};
use oilpath::cli::{self, Done, Streams, USUAL_WIDTH};
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
    let bar = Bar::default();
    let streams = Streams {
        input: &mut io::stdin().lock(),
        out: &mut BufWriter::new(io::stdout().lock()),
        err: &mut io::stderr(),
        out_look,
        err_look,
        stopped: &interrupted,
        within: &|time| keep_time(time, err_look),
        progress: &|done| bar.show(done),
    };
    cli::run(std::env::args_os(), streams).into()
}

/// Set up by who asks whether to stop: anything else ends at once.
static LISTENING: Once = Once::new();
static INTERRUPTED: AtomicBool = AtomicBool::new(false);

/// Whether someone has asked to stop, or the time is up.
fn interrupted() -> bool {
    LISTENING.call_once(|| {
        // Where nothing can listen, the process ends as it always does.
        let _ = ctrlc::set_handler(|| {
            if INTERRUPTED.swap(true, Ordering::Relaxed) {
                // Asked twice: at once, with the status of a process that was interrupted.
                process::exit(130);
            }
        });
    });
    INTERRUPTED.load(Ordering::Relaxed)
}

/// Stops the work when the time is up.
fn keep_time(time: Duration, look: Look) {
    thread::spawn(move || {
        thread::sleep(time);
        INTERRUPTED.store(true, Ordering::Relaxed);
        if !LISTENING.is_completed() {
            process::exit(cli::too_late(look, &mut io::stderr()).into());
        }
    });
}

/// How far long work is, for a terminal.
#[derive(Default)]
struct Bar(RefCell<Option<ProgressBar>>);

impl Bar {
    fn show(&self, done: Option<Done>) {
        let mut bar = self.0.borrow_mut();
        match done {
            None => {
                if let Some(bar) = bar.take() {
                    bar.finish_and_clear();
                }
            }
            Some(done) => {
                let bar = bar.get_or_insert_with(|| new_bar(done));
                bar.set_position(done.scenarios as u64);
            }
        }
    }
}

/// How long it is watched how fast the work goes before what is left of it is told.
const WATCHED: Duration = Duration::from_secs(3);

/// A bar for work that begins, with what was done before.
fn new_bar(before: Done) -> ProgressBar {
    let plain = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty());
    let target = match io::stderr().is_terminal() && !plain {
        true => ProgressDrawTarget::stderr(),
        false => ProgressDrawTarget::hidden(),
    };
    let (from, of) = (before.scenarios as u64, before.of as u64);
    let bar = ProgressBar::with_draw_target(Some(of), target).with_position(from);
    let style = ProgressStyle::with_template("{bar:30} {pos} of {len}{left}");
    let style = style.unwrap_or_else(|_| ProgressStyle::default_bar());
    bar.with_style(style.with_key(
        "left",
        move |state: &ProgressState, text: &mut dyn Write| {
            let done = state.pos().saturating_sub(from);
            if done > 0 && state.elapsed() >= WATCHED {
                let left = of.saturating_sub(state.pos());
                let left = state.elapsed().mul_f64(left as f64 / done as f64);
                // Where it cannot be shown nothing is lost.
                let _ = write!(text, ", about {} left", HumanDuration(left));
            }
        },
    ))
}
