//! From what was seen to the part: suspects, what tells them apart, and in which order to look.
//!
//! What was seen is held against what each fault, and each set of faults, is expected to show.
//! A suspect *contradicts* nothing seen that is sure; it *explains* what was seen where it foretells
//! all of it. What cannot be decided, and what is less than sure, rules nothing out. Where the file
//! has sizes, of a suspect either settling or flow is taken to be right, as likely, in most of what was
//! seen; neither rules out what the other expects.

mod apart;
mod bench;
mod case;
mod check;
mod clash;
mod class;
mod cone;
mod effort;
mod fed;
mod fit;
mod ground;
mod group;
mod hypothesis;
mod inquiry;
mod measured;
mod next;
mod outlook;
mod place;
mod plan;
mod question;
mod search;
mod suspects;
mod tell;
mod when;

pub use case::{CaseFound, CaseRecord, HeldAgainst, case_record};
pub use check::{AirPlace, Check, CheckWord};
pub use clash::{Clash, ClashWhy};
pub use effort::{EffortError, Efforts};
pub use group::Together;
pub use inquiry::Inquiry;
pub use next::{Next, NextCheck, NextOutcome};
pub use plan::{PlanOutcome, PlanStep};
pub use question::SuspectsQuestion;
pub use search::TriedSets;
pub use suspects::{
    Also, Cause, Confirm, OnBench, SeenTold, ShowsWhen, Suspect, SuspectSet, Suspects, Unweighed,
    Without,
};
