//! Drawings of a circuit: what is to be drawn, where it goes, and the text of the drawing.

mod label;
mod picture;
mod role;

pub use picture::{
    Casting, Chip, DrawError, Item, Over, Passing, Picture, Pipe, Plate, Scope, Shape, Spool, Tank,
    View, picture,
};
pub use role::Role;
