//! Separator plates, gaskets, covers and bridge plates.

use super::Text;
use super::word::words;
use crate::units::{Length, Torque};

/// A flat part that closes cavities off from the sump and from each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Separator plate, gasket, cover or bridge plate.
    pub kind: PlateKind,
    /// Castings it lies between or on.
    pub faces: Vec<String>,
    /// Cavities it roofs: tight, or they open to the sump.
    pub roofs: Vec<String>,
    /// Runs of neighbouring cavities it keeps apart, each from the next: tight, or they run
    /// into each other.
    pub separates: Vec<Vec<String>>,
    /// Number of bolts that hold it.
    pub bolts: Option<u32>,
    /// Tightening torque of each.
    pub torque: Option<Torque>,
    /// How thick it is: the length of the holes through it.
    pub thickness: Option<Length>,
    /// How far it stands off where it is loose.
    pub gap: Option<Length>,
    /// Width of the face between a passage and its neighbour or the outside.
    pub wall: Option<Length>,
    /// Label and note.
    pub text: Text,
}

/// What kind of plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlateKind {
    /// The drilled plate between two castings.
    Separator,
    /// A gasket between a plate and a casting, or between two castings.
    Gasket,
    /// A cover plate.
    Cover,
    /// A small cover whose hollow carries oil from one hole to another.
    Bridge,
}

impl PlateKind {
    /// Whether the ways under it exist only while it is there.
    #[must_use]
    pub fn is_cover(self) -> bool {
        matches!(self, PlateKind::Cover | PlateKind::Bridge)
    }
}

words! { PlateKind: Separator "separator", Gasket "gasket", Cover "cover", Bridge "bridge", }
