//! What can be asked, and how the answer is to be shown.

mod author;
mod charts;
mod draw;
mod flows;
mod itself;
mod lives_by;
mod measuring;
mod named;
mod sheets;
mod shown;
mod suspect;
mod swept;
mod teach;

use std::path::PathBuf;

use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};

use crate::circuit::Kind;

pub(super) use author::Author;
pub(super) use charts::Charts;
pub(super) use draw::{Draw, Engine, Ground};
pub(super) use flows::{Along, Asking, Banding, Flowing, Given, Taken, Up};
pub(super) use itself::Itself;
pub(super) use lives_by::LivesBy;
pub(super) use measuring::{Many, Measuring, Signing};
use named::kinds;
pub(super) use named::{File, InState};
pub(super) use sheets::{Bench, Check, Compare};
pub(super) use shown::{Format, Shown};
pub(super) use suspect::{Recorded, Seeking, Sought};
pub(super) use swept::Swept;
pub(super) use teach::Teach;

/// Follow the oil in an automatic gearbox's control block, and say what starves when a part is
/// loose, left out, worn, stuck or plugged.
///
/// The gearbox is described in a circuit file: its passages, plates, balls, valves and outlets.
/// FILE is such a file, or - for standard input.
///
/// Exit status: 0 answered; 1 answered, and something is wrong; 2 could not answer.
#[derive(Debug, Parser)]
#[command(
    name = "oilpath",
    version,
    after_help = "Examples:
  oilpath check circuits/tractor-powershift.toml
  oilpath starve circuits/tractor-powershift.toml hop-cover:loose

For editors and shells: `oilpath schema`, `oilpath completions`, `oilpath man`."
)]
pub(super) struct Cli {
    #[command(subcommand)]
    pub command: Command,
    #[command(flatten)]
    pub shown: Shown,
}

/// What can be asked for.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    #[command(flatten)]
    Question(Question),
    /// Try every fault in every state, and say what each does
    #[command(after_help = "Examples:
  oilpath sweep circuits/transfer-box.toml
  oilpath sweep circuits/tractor-powershift.toml --of hop-cover --kind ball
  oilpath sweep circuits/transfer-box.toml --kind plate --format csv
  oilpath sweep circuits/lessons/check-ball.toml --pairs
  oilpath sweep circuits/lessons/check-ball.toml --pairs --format json-lines --part 1/4

Csv and json-lines go out as they are made. With --output they grow in PATH.partial, which gets
its name when it is whole; what is stopped goes on with --resume, unless the circuit, a file that it
includes, the question or the program's version has changed since: PATH.partial.of says what they
were, and goes when all is there. The slices of --part, one after the other, are the whole byte for
byte.
Text, Markdown and HTML of --pairs hold those that do worse together than each alone. Json holds all
scenarios at once: of many pairs, choose json-lines.
Exit status: 0 answered, whatever was found; 2 could not answer, or stopped before the end.")]
    Sweep(Swept),
    /// Draw the circuit, a part of it or the oil's way to a part, as SVG
    #[command(after_help = "Examples:
  oilpath draw circuits/transfer-box.toml --state four-wheel
  oilpath draw circuits/tractor-powershift.toml --trace pto-bearing --fault hop-cover:loose
  oilpath draw circuits/six-speed-bus.toml --around shift-1 --state third
  oilpath draw circuits/lessons/shuttle.toml --dot

With --output it goes into a file, which is not replaced without --force.
--trace takes the way and the numbers of `oilpath trace`; without --state, those of its first way.")]
    Draw(Draw),
    /// Make a page for a browser: click a part, see what each fault of it does
    #[command(after_help = "Example:
  oilpath page circuits/transfer-box.toml

With --output circuit.html it goes into a file. That opens without a network, and its link
remembers the state, the part and the fault that are chosen. Every fault is tried in every state
while it is made.")]
    Page(File),
    /// Hold two circuits against each other: do their blocks interchange
    #[command(after_help = "Examples:
  oilpath compare circuits/transfer-box.toml circuits/transfer-box.toml
  oilpath compare circuits/lessons/check-ball.toml circuits/lessons/shuttle.toml

Parts are the same where kind and id are; --map pump=oil-pump says so of others. OTHER is what would
be fitted for FILE.
Exit status: 1 unless they interchange as they are.")]
    Compare(Compare),
    #[command(flatten)]
    Author(Author),
    #[command(flatten)]
    Itself(Itself),
}

/// Questions about a circuit.
#[derive(Debug, Subcommand)]
pub(super) enum Question {
    /// Read a circuit file and list what looks like a slip in it
    #[command(after_help = "Examples:
  oilpath check circuits/tractor-powershift.toml
  oilpath check --explain unknown-id
  oilpath check --explain

Exit status: 0 nothing found; 1 warnings; 2 the file cannot be used.")]
    Check {
        /// The circuit file; - reads standard input
        #[arg(required_unless_present = "explain")]
        file: Option<PathBuf>,
        /// Say what the code of an error or warning means, with examples; none or `list` lists
        /// all codes
        #[arg(
            long,
            value_name = "CODE",
            num_args = 0..=1,
            default_missing_value = EVERY_CODE,
            conflicts_with = "file"
        )]
        explain: Option<String>,
    },
    /// List the parts, or what can go wrong with each
    #[command(after_help = "Examples:
  oilpath parts circuits/tractor-powershift.toml --kind outlet
  oilpath parts circuits/tractor-powershift.toml --kind plate --kind ball --faults")]
    Parts {
        #[command(flatten)]
        file: File,
        /// Only parts of this kind; may be given several times
        #[arg(long = "kind", value_name = "KIND", value_parser = kinds())]
        kinds: Vec<Kind>,
        /// What can go wrong with each, as the other commands take it
        #[arg(long)]
        faults: bool,
    },
    /// Follow the oil from the sump to a part
    #[command(after_help = "Examples:
  oilpath trace circuits/tractor-powershift.toml pto-bearing
  oilpath trace circuits/tractor-powershift.toml lube-main --state neutral --by all --most 3
  oilpath trace circuits/tractor-powershift.toml low-clutch --fault range:stuck=high
  oilpath trace circuits/transfer-box.toml front-clutch --state four-wheel --tree

Exit status: 1 if no oil reaches the part in any state.")]
    Trace {
        #[command(flatten)]
        file: File,
        /// An outlet, tap, switch, filter, converter, cooler, accumulator or passage
        part: String,
        #[command(flatten)]
        state: InState,
        /// Which way to follow
        #[arg(long, value_name = "WAY", value_enum, default_value_t)]
        by: By,
        /// With --by all: how many ways in each state at most [default: 10]
        #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1000))]
        most: Option<u16>,
        /// A fault to trace with, such as hop-cover:loose; may be given several times
        #[arg(long = "fault", value_name = "FAULT")]
        faults: Vec<String>,
        /// Show each way as a tree with what splits off it; `--tree=ascii` draws without
        /// box-drawing characters
        #[arg(
            long,
            value_name = "STROKES",
            num_args = 0..=1,
            require_equals = true,
            default_missing_value = "boxes"
        )]
        tree: Option<Tree>,
    },
    /// Say what starves, weakens or has oil it should not, state by state
    #[command(after_help = "Examples:
  oilpath starve circuits/tractor-powershift.toml hop-cover:loose
  oilpath starve circuits/tractor-powershift.toml range:stuck=high --state forward-low
  oilpath starve circuits/lessons/check-ball.toml quick-off:left-out fill:plugged

A fault is part:condition; `oilpath parts FILE --faults` lists them all.
Exit status: 1 if anything suffers.")]
    Starve {
        #[command(flatten)]
        file: File,
        /// What is wrong, such as hop-cover:loose; none asks after the sound circuit
        #[arg(value_name = "FAULT")]
        faults: Vec<String>,
        #[command(flatten)]
        state: InState,
    },
    /// Say why a part's cavity is fed, drained or undecided
    #[command(after_help = "Examples:
  oilpath why circuits/tractor-powershift.toml pto-bearing
  oilpath why circuits/tractor-powershift.toml low-clutch --state forward-high
  oilpath why circuits/six-speed-bus.toml clutch-a pilot-cover:loose --state fourth

A fault is part:condition; `oilpath parts FILE --faults` lists them all.
Where states differ, name one to see the ways and what moves.")]
    Why {
        #[command(flatten)]
        file: File,
        /// An outlet, tap, switch, filter, converter, cooler, accumulator or passage
        part: String,
        /// What is wrong, such as hop-cover:loose; none asks after the sound circuit
        #[arg(value_name = "FAULT")]
        faults: Vec<String>,
        #[command(flatten)]
        state: InState,
    },
    /// Say what an outlet lives by: every fault, pair or three that starves it
    #[command(after_help = "Examples:
  oilpath lives-by circuits/tractor-powershift.toml pto-bearing --up-to 1
  oilpath lives-by circuits/lessons/check-ball.toml lift-clutch --up-to 3
  oilpath lives-by circuits/transfer-box.toml rear-bearing --kind orifice

A set of faults counts if it surely starves the outlet while no fewer of its faults do. Pairs in
which one fault hides what the other does alone are listed too.
With --of and --kind fewer faults are tried, and more of them together in the same time.")]
    LivesBy(LivesBy),
    /// Make the sheet for the bench: air, vacuum and gauge checks to fill in with a pencil
    #[command(after_help = "Examples:
  oilpath bench circuits/transfer-box.toml
  oilpath bench circuits/published/two-speed-training.toml --only air
  oilpath bench circuits/six-speed-bus.toml --only gauges --state third --speed 700rpm

Air goes into castings tested alone and into the whole block. Gauges need sizes; without them the
sheet says which are missing.")]
    Bench(Bench),
    /// List what the oil of a part has passed
    #[command(after_help = "Example:
  oilpath before circuits/tractor-powershift.toml rear-lube --state neutral")]
    Before(Side),
    /// List what hangs on a part
    #[command(after_help = "Example:
  oilpath beyond circuits/tractor-powershift.toml hop-cover --state neutral")]
    Beyond(Side),
    #[command(flatten)]
    Charts(Charts),
    #[command(flatten)]
    Flowing(Box<Flowing>),
    #[command(flatten)]
    Measuring(Measuring),
    #[command(flatten)]
    Seeking(Box<Seeking>),
    #[command(flatten)]
    Teach(Teach),
}

/// What stands for all codes.
pub(super) const EVERY_CODE: &str = "list";

/// What a command answers, as its help says it.
pub(super) fn asked(name: &str) -> Option<String> {
    let program = Cli::command();
    let about = program.find_subcommand(name)?.get_about()?;
    Some(about.to_string())
}

#[derive(Debug, Args)]
pub(super) struct Side {
    #[command(flatten)]
    pub file: File,
    /// A part that oil passes or that stands on a cavity
    pub part: String,
    #[command(flatten)]
    pub state: InState,
}

/// Which way of the oil.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum By {
    /// The one with the fewest steps
    #[default]
    Shortest,
    /// The one whose narrowest place is widest
    Widest,
    /// Every one that passes nothing twice
    All,
}

/// What a tree is drawn with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Tree {
    /// Box-drawing characters
    Boxes,
    /// What every terminal has
    Ascii,
}
