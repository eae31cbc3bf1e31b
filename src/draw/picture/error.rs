//! Why a drawing cannot be made.

use crate::answer::TraceError;
use crate::circuit::PartName;

/// Why nothing can be drawn.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DrawError {
    /// No oil reaches the part whose trace is asked for.
    #[error("no oil reaches {part}{}", in_state(.state))]
    NoOil {
        /// The part.
        part: PartName,
        /// The state asked about, if one was.
        state: Option<String>,
    },
    /// The part takes no oil.
    #[error(transparent)]
    Trace(#[from] TraceError),
    /// Faults change nothing that is drawn unless a state is settled.
    #[error("faults are drawn in one state, and none is named")]
    NoState,
    /// The part is no part of the drawing.
    #[error("{0} is not drawn")]
    NotDrawn(PartName),
}

fn in_state(state: &Option<String>) -> String {
    match state {
        Some(state) => format!(" in {state}"),
        None => String::new(),
    }
}
