//! What happens to figures while sizes, the speed or the oil's temperature vary.

#[path = "../support/mod.rs"]
mod support;

mod bands;
mod grid;
mod monotone;
mod recipe;
mod sealed;
