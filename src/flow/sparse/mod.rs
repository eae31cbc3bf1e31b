//! Sparse systems of equations with the pattern of a graph, such as each step of a
//! [`Network`](super::Network) asks for.

mod factor;
mod pattern;

pub use factor::Factor;
