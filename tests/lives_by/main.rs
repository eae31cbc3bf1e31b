//! What an outlet lives by: against trying every set, against reason, as a process.

mod brute;
mod chances;
mod command;
mod demos;
mod reasoned;
mod small;
#[path = "../support/mod.rs"]
mod support;
