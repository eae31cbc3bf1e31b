//! What is legal in a circuit but looks like a slip.

mod doubt;
mod shape;
mod states;

use crate::circuit::Place;
use crate::net::Net;

pub use doubt::Doubt;

/// One suspicion and where it shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Warning {
    /// Where.
    pub at: Place,
    /// What looks wrong.
    pub what: Doubt,
}

/// Every suspicion about a circuit: first those of its shape, then those of its states.
///
/// ```
/// use oilpath::{lint, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let warnings = lint::lint(&net);
/// let codes: Vec<_> = warnings.iter().map(|w| w.what.code()).collect();
/// assert_eq!(codes, ["unfed-cavity", "unfed-outlet"]);
/// ```
#[must_use]
pub fn lint(net: &Net<'_>) -> Vec<Warning> {
    let mut found = shape::lint(net);
    found.extend(states::lint(net));
    found
}
