//! Who has pressure: oil as a network of strengths.
//!
//! [`balance`] decides every cavity of a [`Scene`](crate::net::Scene) with all valves held:
//! *fed* where the strongest route from a supply beats the strongest route to the sump, *drained*
//! where it is the other way round, *undecided* where they are equal or something is unknown.
//! [`hold`] finds where the valves of a sound circuit stand in a state.
//!
//! The model orders strengths rail > open > metered > leak > trapped, after the idea of
//! switch-level simulation (R. E. Bryant, IEEE Transactions on Computers C-33(2), 1984; the
//! equations are restated here and changed for one-way ways).

mod balance;
mod hold;
mod loss;
mod packed;
mod status;

pub use balance::{Balance, Cause, Push, Value, balance};
pub use hold::{hold, moved};
pub use loss::{Losses, losses};
pub use packed::{PackedBalance, balance_packed};
pub use status::Status;
