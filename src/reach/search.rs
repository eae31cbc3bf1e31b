//! A breadth-first search that remembers how it went, so that one in a scene which differs in a few
//! places need not be made anew.

use super::Path;
use crate::net::{Cavity, Link, Passes, SUMP_CAVITY, Scene, WayId};

/// What a search over the ways that may be taken met until it arrived; it goes nowhere from the sump.
pub(crate) struct Search {
    /// Every cavity met, in order: they have their turn to be gone on from in the same order.
    met: Vec<Met>,
    /// The place of each cavity among them, by number.
    place: Vec<u32>,
    /// How many had been met when each of those had its turn that had one.
    turns: Vec<u32>,
    /// Whether the last that was met is where it was to arrive.
    arrived: bool,
}

const NEVER: u32 = u32::MAX;

struct Met {
    cavity: Cavity,
    /// The way it was met by, and the place of where that came from; none where it began.
    by: Option<(WayId, u32)>,
}

impl Search {
    pub fn of(
        scene: &Scene<'_>,
        from: &[Cavity],
        arrived: impl Fn(Cavity) -> bool,
        may: impl Fn(&Link) -> bool,
    ) -> Self {
        let mut search = Search {
            met: Vec::new(),
            place: vec![NEVER; scene.net().cavity_count()],
            turns: Vec::new(),
            arrived: false,
        };
        // Whatever is met first is also first to have its turn: there is no need to wait for that.
        for cavity in from {
            if search.meets(*cavity, None, &arrived) {
                return search;
            }
        }
        let mut at = 0;
        while at < search.met.len() {
            search.turns.push(search.met.len() as u32);
            for link in onward(scene, search.met[at].cavity) {
                let goes_on = link.to != SUMP_CAVITY || arrived(link.to);
                let new = search.place[link.to.number()] == NEVER;
                let by = Some((link.way, at as u32));
                if goes_on && new && may(&link) && search.meets(link.to, by, &arrived) {
                    return search;
                }
            }
            at += 1;
        }
        search
    }

    /// Notes a cavity; says whether it has arrived.
    fn meets(
        &mut self,
        cavity: Cavity,
        by: Option<(WayId, u32)>,
        arrived: impl Fn(Cavity) -> bool,
    ) -> bool {
        self.place[cavity.number()] = self.met.len() as u32;
        self.met.push(Met { cavity, by });
        self.arrived = arrived(cavity);
        self.arrived
    }

    /// When a cavity had its turn to be gone on from, if it had.
    pub fn turn(&self, cavity: Cavity) -> Option<usize> {
        let place = self.place[cavity.number()] as usize;
        (place < self.turns.len()).then_some(place)
    }

    /// The path found.
    pub fn path(&self) -> Option<Path> {
        self.arrived.then(|| self.path_to(self.met.len() - 1))
    }

    /// The path that the same search finds in another scene, in which all that had its turn before is
    /// alike and a way out lies at whatever has this turn; none where it would have to go on.
    pub fn path_at(
        &self,
        turn: usize,
        scene: &Scene<'_>,
        arrived: impl Fn(Cavity) -> bool,
        may: impl Fn(&Link) -> bool,
    ) -> Option<Path> {
        let new = |link: &Link| self.place[link.to.number()] >= self.turns[turn];
        let mut links = onward(scene, self.met[turn].cavity);
        let last = links.find(|link| new(link) && arrived(link.to) && may(link))?;
        let mut path = self.path_to(turn);
        path.steps.push((last.way, last.to));
        Some(path)
    }

    fn path_to(&self, place: usize) -> Path {
        let mut steps = Vec::new();
        let mut at = &self.met[place];
        while let Some((way, back)) = at.by {
            steps.push((way, at.cavity));
            at = &self.met[back as usize];
        }
        steps.reverse();
        Path {
            start: at.cavity,
            steps,
        }
    }
}

/// The open ways on from a cavity: of ways to one cavity, what a sprung ball lets by is the last that
/// oil takes.
fn onward<'s>(scene: &'s Scene<'_>, cavity: Cavity) -> impl Iterator<Item = Link> + 's {
    let links = move |sprung: bool| {
        let links = scene.onward(cavity);
        links.filter(move |link| (link.passes == Passes::Excess) == sprung)
    };
    links(false).chain(links(true))
}
