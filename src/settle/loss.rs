//! Where oil can run off: the strongest way out of each cavity.

use std::collections::VecDeque;

use fixedbitset::FixedBitSet;

use super::{Balance, Push, Value};
use crate::net::{Cavity, Link, SUMP_CAVITY, Scene, Strength, WayId};

/// The strongest routes out of each cavity, by cavity number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Losses {
    /// To the sump or to a consumer, by whatever ways.
    pub all: Vec<Push>,
    /// The same, by routes that cross a way the sound circuit has not, or has narrower.
    pub new: Vec<Push>,
}

/// Which ways count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counting {
    /// All that may be open.
    Possible,
    /// Only those that surely are.
    Sure,
}

/// Works out where oil can run off, whether or not supply outweighs it.
///
/// A route ends where what runs off is made up for: at a cavity that a working source or regulator
/// holds, and, for a loss through anything narrower than open ways, behind a cavity that is fed
/// through open ways alone. A consumer (a bearing, a gear) takes no more than a metered flow.
/// What counts as new is told by comparison with the `sound` scene and its balance; without them
/// nothing does. A new way out of a cavity that is drained when sound loses nothing.
#[must_use]
pub fn losses(
    scene: &Scene<'_>,
    balance: &Balance,
    sound: Option<(&Scene<'_>, &Balance)>,
    counting: Counting,
) -> Losses {
    let net = scene.net();
    let none = vec![Push::None; net.cavity_count()];
    let mut flood = Flood {
        scene,
        balance,
        counting,
        all: none.clone(),
        new: none,
    };
    flood.all[SUMP_CAVITY.at()] = Push::Rail;
    let entries = sound.map_or_else(Vec::new, |sound| flood.entries(sound));
    for strength in [Strength::Open, Strength::Metered, Strength::Leak] {
        if strength == Strength::Metered {
            for cavity in net
                .cavities()
                .filter(|c| net.consumes(*c) && !scene.holds(*c))
            {
                let loss = &mut flood.all[cavity.at()];
                *loss = Push::Metered.max(*loss);
            }
        }
        flood.spread(strength);
        for (into, links) in &entries {
            flood.renew(*into, links, strength);
        }
    }
    Losses {
        all: flood.all,
        new: flood.new,
    }
}

struct Flood<'f> {
    scene: &'f Scene<'f>,
    balance: &'f Balance,
    counting: Counting,
    all: Vec<Push>,
    new: Vec<Push>,
}

/// Ways that lead into one cavity and that the sound circuit has not: where they come from, and
/// how wide they are.
type Entries = Vec<(Cavity, Vec<(Cavity, Strength)>)>;

impl Flood<'_> {
    fn counts(&self, link: &Link) -> bool {
        link.drains() && (link.sure || self.counting == Counting::Possible)
    }

    /// Follows ways of at least this strength back from where oil runs off.
    fn spread(&mut self, strength: Strength) {
        let push = Push::from(strength);
        let known = (0..).map(Cavity).zip(&self.all);
        let known = known.filter(|(_, loss)| **loss >= push);
        let mut queue: Vec<Cavity> = known.map(|(cavity, _)| cavity).collect();
        let mut all = std::mem::take(&mut self.all);
        while let Some(cavity) = queue.pop() {
            self.back(cavity, strength, |from| {
                if all[from.at()] == Push::None {
                    all[from.at()] = push;
                    queue.push(from);
                }
            });
        }
        self.all = all;
    }

    /// Visits cavities whose oil runs into another through ways of at least this strength.
    fn back(&self, cavity: Cavity, strength: Strength, mut visit: impl FnMut(Cavity)) {
        if strength < Strength::Open && self.is_stiff(cavity) {
            return;
        }
        self.scene.inward(cavity).for_each(|link| {
            let counts = self.counts(&link) && link.strength >= strength;
            if counts && link.to != SUMP_CAVITY && !self.is_held(link.to) {
                visit(link.to);
            }
        });
    }

    /// The ways that the sound circuit has not, or has narrower, by where they lead.
    fn entries(&self, (sound, balance): (&Scene<'_>, &Balance)) -> Entries {
        let scene = self.scene;
        let mut entries = Entries::new();
        let ways = (0..scene.way_count() as u32).map(WayId);
        let wider = ways.filter(|way| scene.wider(sound, *way));
        let mut ends: Vec<Cavity> = wider.flat_map(|way| scene.way(way).ends).collect();
        ends.sort_unstable();
        ends.dedup();
        for into in ends {
            let links = scene.inward(into).filter(|link| {
                self.counts(link)
                    && link.to != SUMP_CAVITY
                    && !self.is_held(link.to)
                    && scene.wider(sound, link.way)
                    && balance.value(link.to) != Value::Drained
            });
            let links: Vec<_> = links.map(|link| (link.to, link.strength)).collect();
            if !links.is_empty() {
                entries.push((into, links));
            }
        }
        entries
    }

    /// Marks what newly loses oil, at this strength, through ways into one cavity. What lies on
    /// every way out of that cavity loses nothing by going there and back.
    fn renew(&mut self, into: Cavity, links: &[(Cavity, Strength)], strength: Strength) {
        let push = Push::from(strength);
        if self.all[into.at()] < push || (push < Push::Open && self.is_stiff(into)) {
            return;
        }
        let wide = links.iter().filter(|(_, width)| *width >= strength);
        let mut queue: Vec<Cavity> = wide.map(|(from, _)| *from).collect();
        if queue.is_empty() {
            return;
        }
        let mut seen = vec![false; self.all.len()];
        for cavity in self.passed_by_all(into, push) {
            seen[cavity.at()] = true;
        }
        while let Some(cavity) = queue.pop() {
            if std::mem::replace(&mut seen[cavity.at()], true) {
                continue;
            }
            let new = &mut self.new[cavity.at()];
            *new = push.max(*new);
            self.back(cavity, strength, |from| queue.push(from));
        }
    }

    /// The cavities that every way out of one passes.
    fn passed_by_all(&self, from: Cavity, push: Push) -> Vec<Cavity> {
        let onward = |at: Cavity| {
            let ways = self.scene.onward(at);
            ways.filter(move |link| self.counts(link) && Push::from(link.strength) >= push)
                .map(|link| link.to)
                .filter(move |to| self.all[to.at()] >= push)
                .filter(move |to| push == Push::Open || !self.is_stiff(*to))
        };
        let used_up = |at: Cavity| {
            let net = self.scene.net();
            push <= Push::Metered && net.consumes(at) && !self.scene.holds(at)
        };
        let ends = |at: Cavity| at == SUMP_CAVITY || used_up(at);
        passed_by_all(self.all.len(), from, onward, ends)
    }

    /// A regulator makes up for losses only while it still holds its cavity.
    fn is_held(&self, cavity: Cavity) -> bool {
        self.scene.holds(cavity) && self.balance.value(cavity) == Value::Fed
    }

    /// Fed through open ways alone: it makes up for a loss narrower than that.
    fn is_stiff(&self, cavity: Cavity) -> bool {
        self.balance.value(cavity) == Value::Fed && self.balance.supply(cavity) >= Push::Open
    }
}

/// The shortest way, among so many cavities, from one to some end, both included.
pub(super) fn shortest<L: IntoIterator<Item = Cavity>>(
    count: usize,
    from: Cavity,
    onward: impl Fn(Cavity) -> L,
    ends: impl Fn(Cavity) -> bool,
) -> Option<Vec<Cavity>> {
    // Numbers one more than they are: nought, which costs nothing to set out from, is none.
    let mut came = vec![0u32; count];
    let mut queue = VecDeque::from([from]);
    let mut end = None;
    while let Some(at) = queue.pop_front() {
        if ends(at) {
            end = Some(at);
            break;
        }
        for to in onward(at) {
            if to != from && came[to.at()] == 0 {
                came[to.at()] = at.0 + 1;
                queue.push_back(to);
            }
        }
    }
    let mut path = vec![end?];
    while let Some(back) = came[path[path.len() - 1].at()].checked_sub(1) {
        path.push(Cavity(back));
    }
    path.reverse();
    Some(path)
}

/// The cavities, of so many, that every way out of one to some end passes, itself first: along one
/// way out, those that nothing found off it goes round.
pub(super) fn passed_by_all<L: IntoIterator<Item = Cavity>>(
    count: usize,
    from: Cavity,
    onward: impl Fn(Cavity) -> L,
    ends: impl Fn(Cavity) -> bool,
) -> Vec<Cavity> {
    let Some(path) = shortest(count, from, &onward, &ends) else {
        return vec![from];
    };
    let mut place = vec![0u32; count];
    for (at, number) in path.iter().zip(1..) {
        place[at.at()] = number;
    }
    let mut seen = FixedBitSet::with_capacity(count);
    let mut passed = Vec::new();
    let mut farthest = 0;
    for (i, cavity) in path.iter().enumerate() {
        if farthest == i {
            passed.push(*cavity);
        }
        let mut stack = vec![*cavity];
        while let Some(at) = stack.pop() {
            if ends(at) {
                farthest = path.len();
            }
            // Some way out goes round all the rest.
            if farthest == path.len() {
                return passed;
            }
            for to in onward(at) {
                match place[to.at()].checked_sub(1) {
                    Some(ahead) => farthest = farthest.max(ahead as usize),
                    None if !seen.put(to.at()) => stack.push(to),
                    None => {}
                }
            }
        }
    }
    passed
}
