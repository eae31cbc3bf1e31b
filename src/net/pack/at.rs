//! Scenes at each cavity, most of them alike.

use super::Lanes;
use crate::net::{Cavity, Net};

/// For each cavity some of the scenes of a pack. At most cavities of a large net these are all or
/// none, and a mark says so: a bit for each scene is kept only where they differ.
#[derive(Clone, Debug)]
pub struct LanesAt {
    all: Lanes,
    /// [`NONE`], [`ALL`], or from [`SOME`] on where in `some` they are.
    marks: Vec<u32>,
    some: Vec<Lanes>,
}

const NONE: u32 = 0;
const ALL: u32 = 1;
const SOME: u32 = 2;

/// A small net has at most of its cavities what a large one has at a few.
const ROOM: usize = 128;

impl LanesAt {
    /// None at any cavity, of `all` that there can be.
    pub(crate) fn none(net: &Net<'_>, all: Lanes) -> Self {
        LanesAt {
            all,
            marks: vec![NONE; net.cavity_count()],
            some: Vec::with_capacity(net.cavity_count().min(ROOM)),
        }
    }

    /// The scenes at a cavity.
    #[inline]
    #[must_use]
    pub fn at(&self, cavity: Cavity) -> Lanes {
        match self.marks[cavity.at()] {
            NONE => Lanes::NONE,
            ALL => self.all,
            mark => self.some[(mark - SOME) as usize],
        }
    }

    /// Whether there is any at a cavity.
    #[inline]
    pub(crate) fn any(&self, cavity: Cavity) -> bool {
        self.marks[cavity.at()] != NONE
    }

    /// Whether all are at a cavity.
    #[inline]
    pub(crate) fn is_all(&self, cavity: Cavity) -> bool {
        self.marks[cavity.at()] == ALL
    }

    /// Adds scenes at a cavity, as far as they are of the pack.
    #[inline]
    pub(crate) fn add(&mut self, cavity: Cavity, lanes: Lanes) {
        let mark = &mut self.marks[cavity.at()];
        match *mark {
            ALL => {}
            NONE => {
                let lanes = lanes & self.all;
                if lanes == self.all {
                    *mark = ALL;
                } else if lanes.any() {
                    *mark = SOME + self.some.len() as u32;
                    self.some.push(lanes);
                }
            }
            some => {
                let known = &mut self.some[(some - SOME) as usize];
                *known |= lanes & self.all;
                if *known == self.all {
                    *mark = ALL;
                }
            }
        }
    }

    /// Takes scenes from a cavity.
    pub(crate) fn take(&mut self, cavity: Cavity, lanes: Lanes) {
        let left = self.at(cavity) & !lanes;
        self.marks[cavity.at()] = NONE;
        self.add(cavity, left);
    }

    /// Adds what another has.
    pub(crate) fn add_all(&mut self, other: &LanesAt) {
        let cavities = (0..self.marks.len() as u32).map(Cavity);
        for cavity in cavities.filter(|c| other.any(*c)) {
            self.add(cavity, other.at(cavity));
        }
    }

    /// Scenes that at some cavity are not as one of them.
    pub(crate) fn differ_from(&self, lane: usize) -> Lanes {
        let cavities = (0..self.marks.len() as u32).map(Cavity);
        let any = cavities.filter(|c| self.any(*c));
        any.fold(Lanes::NONE, |differ, cavity| {
            differ | self.at(cavity).differ_from(lane)
        }) & self.all
    }
}

impl PartialEq for LanesAt {
    fn eq(&self, other: &Self) -> bool {
        let cavities = self.marks.len().max(other.marks.len()) as u32;
        self.marks.len() == other.marks.len()
            && (0..cavities).all(|c| self.at(Cavity(c)) == other.at(Cavity(c)))
    }
}

impl Eq for LanesAt {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scenes_are_kept_whether_alike_or_not() {
        let circuit = "[casting]\nblock = { passages = [\"line\"] }";
        let circuit = crate::sheet::read(circuit).unwrap().circuit;
        let net = Net::new(&circuit).unwrap();
        let line = net.cavity("line").unwrap();
        let [one, two] = [Lanes::one(3), Lanes::one(400)];
        let mut lanes = LanesAt::none(&net, one | two);
        assert!(!lanes.any(line) && lanes.at(line) == Lanes::NONE);
        // What is not of the pack is never kept.
        lanes.add(line, one | Lanes::one(5));
        assert!(lanes.any(line) && !lanes.is_all(line) && lanes.at(line) == one);
        assert_eq!(lanes.differ_from(3), two);
        lanes.add(line, two);
        assert!(lanes.is_all(line) && lanes.at(line) == one | two);
        assert_eq!(lanes.differ_from(3), Lanes::NONE);
        let all = lanes.clone();
        lanes.take(line, one);
        assert_eq!(lanes.at(line), two);
        assert!(lanes != all);
        lanes.add_all(&all);
        assert!(lanes == all);
        lanes.take(line, one | two);
        assert!(!lanes.any(line));
    }
}
