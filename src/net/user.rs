//! Where oil comes from and who uses it.

use super::{Cavity, WayId};
use crate::circuit::{Level, PartName};

/// What uses the oil of one cavity, or passes it on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum User {
    /// Sits on one cavity.
    Leaf(Cavity),
    /// Applied by one cavity, released by another.
    TwoSided {
        /// Cavity that applies it.
        apply: Cavity,
        /// Cavity that releases it.
        release: Cavity,
    },
    /// Filter, converter or cooler: uses what passes through.
    Through {
        /// Cavity before it.
        inlet: Cavity,
        /// The way through it.
        way: WayId,
    },
}

impl User {
    /// The cavity it takes its oil from.
    #[must_use]
    pub fn feed(self) -> Cavity {
        match self {
            User::Leaf(cavity)
            | User::TwoSided { apply: cavity, .. }
            | User::Through { inlet: cavity, .. } => cavity,
        }
    }

    /// The cavities whose oil says how it fares: that it takes its oil from, and that releases it.
    pub fn cavities(self) -> impl Iterator<Item = Cavity> {
        let releases = match self {
            User::TwoSided { release, .. } => Some(release),
            User::Leaf(_) | User::Through { .. } => None,
        };
        std::iter::once(self.feed()).chain(releases)
    }
}

/// A user of oil with its name.
#[derive(Clone, Debug, PartialEq)]
pub struct NetOutlet {
    /// The outlet, filter, converter or cooler.
    pub name: PartName,
    /// Where it takes its oil.
    pub user: User,
    /// Whether it works by pressure rather than by flow.
    pub by_pressure: bool,
}

/// A source of pressure: where it draws and what it feeds.
#[derive(Clone, Debug, PartialEq)]
pub struct NetSource {
    /// The source.
    pub name: PartName,
    /// Cavity it feeds.
    pub feeds: Cavity,
    /// Cavity it draws from.
    pub draws: Cavity,
    /// How high a pressure it makes by itself.
    pub level: Level,
}
