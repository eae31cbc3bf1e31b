//! Drawings of a circuit: what is to be drawn, where it goes, and the text of the drawing.

mod dot;
mod graph;
mod label;
pub mod layout;
mod map;
mod picture;
mod plot;
#[cfg(feature = "png")]
mod png;
mod role;
mod svg;

pub use dot::dot;
pub use layout::{Layered, Layout, LayoutError, Plain};
pub use map::map;
pub use picture::{
    Casting, Chip, DrawError, Item, Laid, Layer, Over, Passing, Picture, Pipe, Plate, Scope, Shape,
    Spool, Tank, View, picture,
};
pub use plot::plot;
#[cfg(feature = "png")]
pub use png::{PngError, png};
pub use role::Role;
pub use svg::{PAIRS, Paint, Pair, Style, Theme, plan, svg};
