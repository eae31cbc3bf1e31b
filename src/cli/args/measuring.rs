//! Questions about many faults, in figures.

use clap::{Args, Subcommand};

use super::flows::{Asking, Given, Taken, size};
use super::named::{File, kinds, words};
use crate::answer::When;
use crate::circuit::Kind;
use crate::units::{Speed, Temperature};

/// Questions about many faults, in figures.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum Measuring {
    /// Say which outlets each fault makes fall short hot only, cold only, at idle only
    #[command(after_help = "Examples:
  oilpath signatures circuits/tractor-powershift.toml low-ring:worn --state forward-low
  oilpath signatures circuits/transfer-box.toml high-ring front-ring pump
  oilpath signatures circuits/transfer-box.toml --seen hot-only --state two-wheel

Pressures and flows are computed cold and hot, idling and fast. Without a fault or a part every
fault is tried, which takes a while where parts and states are many.")]
    Signatures(Signing),
    /// Say how long each clutch takes to take hold: early, late or harsh with faults
    #[command(after_help = "Examples:
  oilpath takes-hold circuits/six-speed-bus.toml --state first
  oilpath takes-hold circuits/six-speed-bus.toml a-cushion:jammed --state second
  oilpath takes-hold circuits/transfer-box.toml front-fill:oversize --assume

Everything that the state applies fills together, from empty, once the valves stand. The gear
before is not looked at: what was on already fills again, and what lets go is not timed.
Exit status: 1 if something takes hold early, late, harshly or never.")]
    TakesHold(Asking),
    /// Say how far the yes-or-no answers and the computed flows agree, fault by fault
    #[command(after_help = "Examples:
  oilpath agree circuits/transfer-box.toml
  oilpath agree circuits/tractor-powershift.toml --kind plate --state neutral

Every fault is settled and measured in every state unless parts, kinds or states are named.")]
    Agree {
        #[command(flatten)]
        many: Many,
        #[command(flatten)]
        given: Given,
    },
}

/// Some faults, in some states.
#[derive(Debug, Args)]
pub(in crate::cli) struct Many {
    #[command(flatten)]
    pub file: File,
    /// A fault, or a part for each of its faults; none for all
    #[arg(value_name = "FAULT")]
    pub faults: Vec<String>,
    /// Only faults of parts of this kind; may be given several times
    #[arg(long = "kind", value_name = "KIND", value_parser = kinds())]
    pub kinds: Vec<Kind>,
    /// Only in this state; may be given several times
    #[arg(long = "state", value_name = "STATE")]
    pub states: Vec<String>,
}

/// Of which faults patterns are asked, and where.
#[derive(Debug, Args)]
pub(in crate::cli) struct Signing {
    #[command(flatten)]
    pub many: Many,
    /// Only what someone would say this of
    #[arg(long, value_name = "WHEN", value_parser = words::<When>())]
    pub seen: Option<When>,
    /// Cold oil; else 20 °C
    #[arg(long, value_name = "TEMPERATURE", value_parser = size::<Temperature>)]
    pub cold: Option<Temperature>,
    /// Hot oil; else 110 °C
    #[arg(long, value_name = "TEMPERATURE", value_parser = size::<Temperature>)]
    pub hot: Option<Temperature>,
    /// Speed of the pumps at idle; else 700 rpm
    #[arg(long, value_name = "SPEED", value_parser = size::<Speed>)]
    pub idle: Option<Speed>,
    /// Speed of the pumps when driven fast; else 2500 rpm
    #[arg(long, value_name = "SPEED", value_parser = size::<Speed>)]
    pub fast: Option<Speed>,
    #[command(flatten)]
    pub taken: Taken,
}
