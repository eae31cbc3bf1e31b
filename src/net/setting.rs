//! How a way stands in a scene.

use super::{Drives, Gate, Held, Strength, Way};
use crate::circuit::{Level, Truth};

/// How a way stands in a scene, in one byte: searches look one up at every step.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Setting(u8);

const STRENGTH: u8 = 0b0011;
const UNSURE: u8 = 0b0100;
const BARED: u8 = 0b1000;
/// Left to whoever holds many settings to mark some of them.
const MARKED: u8 = 0b1_0000;

impl Setting {
    /// Nothing passes.
    pub(super) const SHUT: Setting = Setting(0);
    /// Wide open in both directions, whatever its kind.
    pub(super) const BARE: Setting = Setting(Strength::Open as u8 | BARED);

    /// How a way stands by its own kind, the valves and the solenoids.
    pub(super) fn gated(way: &Way, held: &Held, drives: &Drives, level: Level) -> Self {
        let open: Truth = match way.gate {
            Gate::Always => Truth::True,
            Gate::Valve { valve, position } => match held.valves[valve as usize] {
                Some(stands) => (stands == position).into(),
                None => Truth::Unknown,
            },
            Gate::Solenoid {
                solenoid,
                open_when_on,
                raises,
            } => {
                let works = drives.solenoids[solenoid as usize].works(level, raises);
                (works == open_when_on).into()
            }
            Gate::Shuttle { shuttle, side } => match held.shuttles[shuttle as usize] {
                // Pressed off its seat the open side lets oil back out as well.
                Some(open) if open == side => return Setting::BARE,
                Some(_) => Truth::False,
                None => Truth::True,
            },
            // What a cavity empties past stays shut below what it leaves behind.
            Gate::Above { leaves } => (level > leaves).into(),
            // A reduced cavity gets no more than its level.
            Gate::UpTo { most } => (level <= most).into(),
        };
        match open {
            Truth::True => Setting(way.strength as u8),
            Truth::Unknown => Setting(way.strength as u8 | UNSURE),
            Truth::False => Setting::SHUT,
        }
    }

    /// The same, but it may as well be shut; nothing comes of a way that is shut.
    pub(super) fn doubted(self) -> Self {
        match self.strength() {
            Some(_) => Setting(self.0 | UNSURE),
            None => self,
        }
    }

    pub(super) fn open(strength: Strength) -> Self {
        Setting(strength as u8)
    }

    pub(super) fn marked(self) -> Self {
        Setting(self.0 | MARKED)
    }

    #[inline]
    pub(super) fn is_marked(self) -> bool {
        self.0 & MARKED != 0
    }

    /// How much it lets through; none is shut.
    #[inline]
    #[must_use]
    pub fn strength(self) -> Option<Strength> {
        match self.0 & STRENGTH {
            1 => Some(Strength::Leak),
            2 => Some(Strength::Metered),
            3 => Some(Strength::Open),
            _ => None,
        }
    }

    /// False where it may as well be shut.
    #[inline]
    #[must_use]
    pub fn sure(self) -> bool {
        self.0 & UNSURE == 0
    }

    /// Whether it has lost its own kind: wide open in both directions.
    #[inline]
    #[must_use]
    pub fn bared(self) -> bool {
        self.0 & BARED != 0
    }
}

impl std::fmt::Debug for Setting {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Setting")
            .field("strength", &self.strength())
            .field("sure", &self.sure())
            .field("bared", &self.bared())
            .finish()
    }
}
