//! Whether an outlet has its oil, given the balance of its cavities.

use serde::Serialize;

use super::{Balance, Push, Value};
use crate::net::{Cavity, User};

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

impl Balance {
    /// Whether something that sits on one cavity has oil. Sealed off counts as without: whatever
    /// the cavity once held, no oil comes.
    #[must_use]
    pub fn status_at(&self, cavity: Cavity) -> Status {
        match self.value(cavity) {
            Value::Fed => Status::On,
            Value::Drained => Status::Off,
            Value::Undecided if self.supply(cavity) == Push::None => Status::Off,
            Value::Undecided => Status::Unsure,
        }
    }

    /// Whether a user of oil has it. A two-sided one does when its apply side is up and its
    /// release side is not; a filter, converter or cooler when its inlet is.
    #[must_use]
    pub fn status(&self, user: User) -> Status {
        match user {
            User::Leaf(cavity) | User::Through { inlet: cavity, .. } => self.status_at(cavity),
            User::TwoSided { apply, release } => {
                match (self.status_at(apply), self.status_at(release)) {
                    (Status::Off, _) | (_, Status::On) => Status::Off,
                    (Status::On, Status::Off) => Status::On,
                    _ => Status::Unsure,
                }
            }
        }
    }
}
