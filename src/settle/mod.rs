//! Who has pressure: oil as a network of strengths.
//!
//! [`balance`] decides every cavity of a [`Scene`](crate::net::Scene) with all valves held:
//! *fed* where the strongest route from a supply beats the strongest route to the sump, *drained*
//! where it is the other way round, *undecided* where they are equal or something is unknown.
//! [`settle`] then lets pressures move valves and shuttle balls until nothing changes.
//!
//! The model orders strengths rail > open > metered > leak > trapped, after the idea of
//! switch-level simulation (R. E. Bryant, IEEE Transactions on Computers C-33(2), 1984; the
//! equations are restated here and changed for one-way ways).

mod balance;
mod contest;
mod course;
mod driven;
mod flood;
mod loss;
mod orders;
mod packed;
mod places;
mod point;
mod pressures;
mod round;
mod solver;
mod status;
mod walk;
mod wants;

pub use balance::{Balance, Cause, Push, Value};
pub use contest::share_of_pressure;
pub use course::{Settled, settle, settle_from, settle_given, surely};
pub use flood::balance;
pub use loss::{Counting, Losses, losses};
pub use packed::{PackedBalance, PackedSettle, PackedValues, balance_packed, settle_packed};
pub(crate) use packed::{PackedLosses, at_root, goes_round_packed, losses_packed};
pub use point::{Course, Move, Point};
pub use pressures::{Pressures, Span};
pub(crate) use round::behind;
pub use round::{goes_round, shut_beyond};
pub use status::Status;
pub(crate) use wants::{can_stroke, leads_anywhere};
