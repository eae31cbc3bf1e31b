//! Physical quantities.
