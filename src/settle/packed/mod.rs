//! Many scenes at once: balance, and settling to the end.

mod ahead;
mod apart;
mod balance;
mod bores;
mod column;
mod doubt;
mod driven;
mod ends;
mod loss;
mod moving;
mod point;
mod question;
mod quiet;
mod round;
mod together;
mod wants;

pub(crate) use loss::{PackedLosses, losses_packed};
pub(crate) use round::{at_root, goes_round_packed};

pub use balance::{PackedBalance, balance_packed};
pub use moving::settle_packed;
pub use point::{PackedSettle, PackedValues};
