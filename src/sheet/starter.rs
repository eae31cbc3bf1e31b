//! What a new circuit file begins as.

/// A small circuit of ten parts that works, each with a word about it: to be typed over.
///
/// ```
/// assert!(oilpath::sheet::read(oilpath::sheet::SMALL).is_ok());
/// ```
pub const SMALL: &str = include_str!("starter/small.toml");

/// A file with nothing in it but comments: each kind of part with an example, to be taken out of
/// its comment and typed over.
pub const BLANK: &str = include_str!("starter/blank.toml");
