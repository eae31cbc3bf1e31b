//! Answers and diagnostics made readable.

#[cfg(feature = "cli")]
pub mod diagnostic;
