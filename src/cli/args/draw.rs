//! What is drawn.

use clap::{Args, ValueEnum};

use super::named::{File, InState};

/// What is drawn, and how.
#[derive(Debug, Args)]
pub(in crate::cli) struct Draw {
    #[command(flatten)]
    pub file: File,
    #[command(flatten)]
    pub state: InState,
    /// A fault to draw with, such as hop-cover:loose; may be given several times
    #[arg(long = "fault", value_name = "FAULT")]
    pub faults: Vec<String>,
    /// Only the oil's way to this part
    #[arg(long, value_name = "PART", conflicts_with = "around")]
    pub trace: Option<String>,
    /// Only what lies next to this part, or in this casting
    #[arg(long, value_name = "PART")]
    pub around: Option<String>,
    /// What places the boxes and lines
    #[arg(long, value_name = "ENGINE", value_enum, default_value_t)]
    pub engine: Engine,
    /// Colours: as the reader of the SVG prefers, or fixed
    #[arg(long, value_name = "GROUND", value_enum, default_value_t)]
    pub theme: Ground,
    /// As DOT text instead, for other programs to place
    #[arg(long)]
    pub dot: bool,
    /// As PNG instead
    #[cfg(feature = "png")]
    #[arg(long, conflicts_with = "dot")]
    pub png: bool,
}

/// What places boxes and lines.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum Engine {
    /// Few crossings
    #[default]
    Layered,
    /// Plainer and narrower
    Plain,
}

/// The colours of a drawing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum Ground {
    /// As the reader prefers; light on paper
    #[default]
    Auto,
    /// Dark on light
    Light,
    /// Light on dark
    Dark,
}
