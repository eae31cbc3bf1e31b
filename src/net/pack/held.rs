//! Where everything that moves stands, in each of many scenes.

use super::Lanes;
use crate::net::{Held, Net};

/// Where everything that moves stands in each scene: [`Held`], many side by side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackedHeld {
    /// For each valve and each of its positions the scenes in which it stands there.
    pub valves: Vec<Vec<Lanes>>,
    /// For each shuttle ball and each inlet the scenes in which that is open.
    pub shuttles: Vec<[Lanes; 2]>,
    /// For each regulator the scenes in which it is boosted.
    pub boosted: Vec<Lanes>,
}

impl PackedHeld {
    /// Standing alike in all of some scenes.
    #[must_use]
    pub fn all(net: &Net<'_>, held: &Held, lanes: Lanes) -> Self {
        let within = |holds: bool| Lanes::all_if(holds) & lanes;
        let valves = net
            .valves()
            .iter()
            .zip(&held.valves)
            .map(|(valve, stands)| {
                let positions = 0..valve.rules.len() as u32;
                positions.map(|p| within(*stands == Some(p))).collect()
            });
        let shuttles = held.shuttles.iter();
        PackedHeld {
            valves: valves.collect(),
            shuttles: shuttles
                .map(|open| [0, 1].map(|side| within(*open == Some(side))))
                .collect(),
            boosted: held.boosted.iter().map(|b| within(*b)).collect(),
        }
    }

    /// Has everything stand in one scene as given, in which nothing stood anywhere.
    pub(crate) fn stand(&mut self, lane: usize, held: &Held) {
        for (places, place) in self.valves.iter_mut().zip(&held.valves) {
            if let Some(place) = place {
                places[*place as usize].insert(lane);
            }
        }
        for (sides, side) in self.shuttles.iter_mut().zip(&held.shuttles) {
            if let Some(side) = side {
                sides[*side as usize].insert(lane);
            }
        }
        for (lanes, boosted) in self.boosted.iter_mut().zip(&held.boosted) {
            if *boosted {
                lanes.insert(lane);
            }
        }
    }

    /// How everything stands in one scene.
    #[must_use]
    pub fn lane(&self, lane: usize) -> Held {
        let place = |places: &[Lanes]| places.iter().position(|lanes| lanes.contains(lane));
        Held {
            valves: self
                .valves
                .iter()
                .map(|v| place(v).map(|p| p as u32))
                .collect(),
            shuttles: self
                .shuttles
                .iter()
                .map(|s| place(s).map(|side| side as u8))
                .collect(),
            boosted: self.boosted.iter().map(|b| b.contains(lane)).collect(),
        }
    }

    /// Number of valves and shuttle balls: they are numbered in this order.
    #[must_use]
    pub fn movers(&self) -> usize {
        self.valves.len() + self.shuttles.len()
    }

    /// For each place of a mover the scenes in which it stands there.
    #[must_use]
    pub fn places(&self, mover: usize) -> &[Lanes] {
        match mover.checked_sub(self.valves.len()) {
            None => &self.valves[mover],
            Some(shuttle) => &self.shuttles[shuttle],
        }
    }

    /// The scenes of everything, always in the same order.
    pub(crate) fn rows(&self) -> impl Iterator<Item = &Lanes> {
        let valves = self.valves.iter().flatten();
        valves
            .chain(self.shuttles.iter().flatten())
            .chain(&self.boosted)
    }

    pub(crate) fn rows_mut(&mut self) -> impl Iterator<Item = &mut Lanes> {
        let valves = self.valves.iter_mut().flatten();
        let shuttles = self.shuttles.iter_mut().flatten();
        valves.chain(shuttles).chain(&mut self.boosted)
    }

    /// Puts a mover in a place in some scenes.
    pub fn put(&mut self, mover: usize, place: usize, lanes: Lanes) {
        let places: &mut [Lanes] = match mover.checked_sub(self.valves.len()) {
            None => &mut self.valves[mover],
            Some(shuttle) => &mut self.shuttles[shuttle],
        };
        for (i, stands) in places.iter_mut().enumerate() {
            match i == place {
                true => *stands |= lanes,
                false => *stands &= !lanes,
            }
        }
    }
}
