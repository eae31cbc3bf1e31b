//! Whether an outlet has its oil.

use serde::Serialize;

use super::Value;

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

impl From<Value> for Status {
    fn from(value: Value) -> Self {
        match value {
            Value::Fed => Status::On,
            Value::Drained => Status::Off,
            Value::Undecided => Status::Unsure,
        }
    }
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
