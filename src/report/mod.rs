//! Answers and diagnostics made readable.
//!
//! An answer becomes a [`Page`]: words in order, said once, whatever the medium. A page becomes
//! Markdown or text for a terminal. JSON is made from the answer itself.
//!
//! ```
//! use oilpath::{answer, net::Net, report::{self, Words}, sheet, units::UnitSystem};
//! let circuit = sheet::read(r#"
//!     [casting]
//!     block = { passages = ["line", "lube"] }
//!     [source]
//!     pump = { feeds = "line" }
//!     [plate]
//!     hop-cover = { kind = "cover", roofs = ["lube"] }
//!     [orifice]
//!     hop = { between = ["line", "lube"], under = "hop-cover" }
//!     [outlet]
//!     bearing = { kind = "bearing", at = "lube" }
//! "#).unwrap().circuit;
//! let net = Net::new(&circuit).unwrap();
//! let fault = circuit.fault("hop-cover:loose").unwrap();
//! let answer = answer::starve(&net, &[fault], None);
//! let words = Words { circuit: &circuit, units: UnitSystem::Metric };
//! let text = report::markdown(&report::starve(&answer, &words));
//! assert!(text.contains("**`hop-cover:loose` starves `bearing`; nothing keeps its oil.**"));
//! let json = report::json(&answer).unwrap();
//! assert!(json.starts_with("{\n  \"answer\": \"starve\",\n  \"version\": 1,"));
//! ```

mod agree;
mod air;
mod around;
mod bench;
mod case;
mod chart;
mod check;
mod checklist;
mod compare;
pub(crate) mod complaint;
#[cfg(feature = "cli")]
pub mod diagnostic;
mod explain;
mod flows;
mod gauges;
mod grid;
mod json;
mod lives_by;
mod markdown;
mod next;
mod overnight;
pub mod page;
mod parts;
mod reassemble;
#[cfg(feature = "cli")]
mod schema;
mod shows;
mod signatures;
mod sizes;
mod sought;
mod starve;
mod suspects;
mod sweep;
mod takes_hold;
mod teach;
#[cfg(feature = "cli")]
mod terminal;
mod trace;
mod tree;
mod tried;
mod unplugged;
mod vacuum;
mod vary;
mod walk;
mod why;
pub(crate) mod words;

pub use agree::agree;
pub use around::around;
pub use bench::bench;
pub use case::case_record;
pub use chart::chart;
pub use check::{Check, CheckWarning, KindCount, check, located};
pub use checklist::checklist;
pub use compare::compare;
#[cfg(feature = "cli")]
pub use diagnostic::Look;
pub use explain::{Explain, ExplainedCode, explain};
pub use flows::flows;
pub use gauges::gauges;
pub use grid::grid;
pub use json::{json, json_line};
pub use lives_by::lives_by;
pub use markdown::markdown;
pub use next::next;
pub use overnight::overnight;
pub use page::Page;
pub use parts::{faults, parts};
pub use reassemble::reassemble;
#[cfg(feature = "cli")]
pub use schema::{AnswerSchema, SCHEMAS};
pub use signatures::signatures;
pub use starve::starve;
pub use suspects::suspects;
pub use sweep::{sweep, sweep_csv, sweep_csv_head};
pub use takes_hold::takes_hold;
pub use teach::{QuizSheet, SheetQuestion, ToldStep, lesson, lesson_steps, quiz, quiz_key};
#[cfg(feature = "cli")]
pub use terminal::terminal;
pub use trace::trace;
pub use tree::{Strokes, tree};
pub use unplugged::unplugged;
pub use vary::vary;
pub use walk::walk;
pub use why::why;
pub use words::Words;
