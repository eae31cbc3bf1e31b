//! Scenes side by side: a bit for each.

use std::ops::{BitAnd, BitAndAssign, BitOr, BitOrAssign, BitXor, Not};

/// How many scenes go side by side.
pub const LANES: usize = 512;

/// A set of the scenes that go side by side, a bit for each.
///
/// ```
/// use oilpath::net::Lanes;
/// let mut odd = Lanes::NONE;
/// odd.insert(1);
/// odd.insert(3);
/// assert_eq!((odd & Lanes::first(3)).iter().collect::<Vec<_>>(), [1]);
/// ```
#[derive(Clone, Copy, Debug, Default)]
pub struct Lanes([u64; LANES / 64]);

impl Lanes {
    /// No scene.
    pub const NONE: Lanes = Lanes([0; LANES / 64]);

    /// Every scene there can be.
    pub const ALL: Lanes = Lanes([u64::MAX; LANES / 64]);

    /// The first `count` scenes.
    #[must_use]
    pub fn first(count: usize) -> Self {
        let mut lanes = Lanes::NONE;
        (0..count.min(LANES)).for_each(|lane| lanes.insert(lane));
        lanes
    }

    /// One scene.
    #[must_use]
    pub fn one(lane: usize) -> Self {
        let mut lanes = Lanes::NONE;
        lanes.insert(lane);
        lanes
    }

    /// Every scene, or none.
    #[must_use]
    pub fn all_if(holds: bool) -> Self {
        if holds { Lanes::ALL } else { Lanes::NONE }
    }

    /// Adds one scene.
    pub fn insert(&mut self, lane: usize) {
        self.0[lane / 64] |= 1 << (lane % 64);
    }

    /// The scenes as bits, the first in the lowest bit of the first word.
    pub(crate) fn words(&self) -> [u64; LANES / 64] {
        self.0
    }

    /// Whether it has that scene.
    #[must_use]
    pub fn contains(&self, lane: usize) -> bool {
        self.0[lane / 64] >> (lane % 64) & 1 == 1
    }

    /// Whether it has any.
    #[must_use]
    pub fn any(&self) -> bool {
        self.0.iter().fold(0, |a, b| a | b) != 0
    }

    /// The scenes that are not as one of them: in it where that is not, or the other way round.
    #[must_use]
    pub(crate) fn differ_from(self, lane: usize) -> Self {
        self ^ Lanes::all_if(self.contains(lane))
    }

    /// How many it has.
    #[must_use]
    pub fn count(&self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// The scenes it has, in order.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        (0..).zip(self.0).flat_map(|(i, mut word)| {
            std::iter::from_fn(move || {
                let bit = (word != 0).then(|| word.trailing_zeros() as usize)?;
                word &= word - 1;
                Some(i * 64 + bit)
            })
        })
    }
}

impl PartialEq for Lanes {
    fn eq(&self, other: &Self) -> bool {
        !(*self ^ *other).any()
    }
}

impl Eq for Lanes {}

impl BitAnd for Lanes {
    type Output = Lanes;

    fn bitand(mut self, other: Lanes) -> Lanes {
        self &= other;
        self
    }
}

impl BitAndAssign for Lanes {
    fn bitand_assign(&mut self, other: Lanes) {
        self.0.iter_mut().zip(other.0).for_each(|(a, b)| *a &= b);
    }
}

impl BitOr for Lanes {
    type Output = Lanes;

    fn bitor(mut self, other: Lanes) -> Lanes {
        self |= other;
        self
    }
}

impl BitOrAssign for Lanes {
    fn bitor_assign(&mut self, other: Lanes) {
        self.0.iter_mut().zip(other.0).for_each(|(a, b)| *a |= b);
    }
}

impl BitXor for Lanes {
    type Output = Lanes;

    fn bitxor(mut self, other: Lanes) -> Lanes {
        self.0.iter_mut().zip(other.0).for_each(|(a, b)| *a ^= b);
        self
    }
}

impl Not for Lanes {
    type Output = Lanes;

    fn not(mut self) -> Lanes {
        self.0.iter_mut().for_each(|a| *a = !*a);
        self
    }
}
