//! Whether an outlet has its oil.

use serde::Serialize;

/// Whether an outlet has its oil.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// Under pressure, or with oil flowing to it.
    On,
    /// Without.
    Off,
    /// Cannot be said.
    Unsure,
}

impl Status {
    /// Whether something with two sides is applied.
    #[must_use]
    pub fn two_sided(apply: Status, release: Status) -> Status {
        match (apply, release) {
            (Status::Off, _) | (_, Status::On) => Status::Off,
            (Status::On, Status::Off) => Status::On,
            _ => Status::Unsure,
        }
    }
}
