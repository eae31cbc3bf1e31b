//! What every path to a cavity passes: the dominator tree of a scene.

use crate::net::{Cavity, Link, SUMP_CAVITY, Scene, WayId};

/// The cavities that some roots reach, with what every path to each of them passes.
///
/// Dominators by the semi-NCA method (L. Georgiadis, *Linear-Time Algorithms for Dominators and
/// Related Problems*, Princeton 2005, after Lengauer and Tarjan 1979). A way is what every path
/// to a cavity passes if it is the only way in from cavities that the cavity does not itself
/// dominate; so ways need no nodes of their own.
#[derive(Clone, Debug)]
pub struct Dominators<'s> {
    scene: &'s Scene<'s>,
    /// Which ways may be taken.
    may: fn(&Scene<'_>, &Link) -> bool,
    /// Cavities in depth-first order; the place in it is a cavity's number here.
    order: Vec<Cavity>,
    /// Number of each cavity plus one; 0 where it is not reached.
    number: Vec<u32>,
    /// Number of the immediate dominator plus one; 0 for the roots' common origin.
    above: Vec<u32>,
    /// Cavities numbered anew so that what each dominates has the numbers `first..last`.
    span: Vec<(u32, u32)>,
}

impl<'s> Dominators<'s> {
    /// Grows the tree under pressure, from the cavities that sources feed.
    #[must_use]
    pub fn of_pressure(scene: &'s Scene<'s>) -> Self {
        Self::grow(scene, scene.rails(), |_, _| true)
    }

    /// Grows the tree of the suction side, from the sump to where sources draw.
    #[must_use]
    pub fn of_suction(scene: &'s Scene<'s>) -> Self {
        Self::grow(scene, &[SUMP_CAVITY], |scene, link| scene.draws(link))
    }

    /// Grows the tree from `roots` over the ways that `may` be taken, never into the sump.
    fn grow(scene: &'s Scene<'s>, roots: &[Cavity], may: fn(&Scene<'_>, &Link) -> bool) -> Self {
        let count = scene.net().cavity_count();
        let mut order: Vec<Cavity> = Vec::new();
        let mut parent: Vec<u32> = Vec::new();
        let mut number = vec![0u32; count];
        // Numbers are one more than places, so that 0 is the common origin of the roots.
        let mut stack: Vec<(Cavity, u32)> = roots.iter().rev().map(|r| (*r, 0)).collect();
        while let Some((cavity, from)) = stack.pop() {
            if number[cavity.at()] != 0 {
                continue;
            }
            order.push(cavity);
            parent.push(from);
            let own = order.len() as u32;
            number[cavity.at()] = own;
            for link in scene.onward(cavity) {
                let new = link.to != SUMP_CAVITY && number[link.to.at()] == 0;
                if new && may(scene, &link) {
                    stack.push((link.to, own));
                }
            }
        }
        let mut tree = Dominators {
            scene,
            may,
            above: Vec::new(),
            span: Vec::new(),
            number,
            order,
        };
        tree.above = tree.find(roots, &parent);
        tree.span = tree.measure();
        tree
    }

    fn find(&self, roots: &[Cavity], parent: &[u32]) -> Vec<u32> {
        let Dominators { scene, may, .. } = self;
        let n = self.order.len();
        // All by number; place 0 is the origin.
        let mut up: Vec<u32> = std::iter::once(0).chain(parent.iter().copied()).collect();
        let mut label: Vec<u32> = (0..=n as u32).collect();
        let mut semi = label.clone();
        let mut path = Vec::new();
        for v in (1..=n).rev() {
            let cavity = self.order[v - 1];
            let mut least = parent[v - 1];
            if roots.contains(&cavity) {
                least = 0;
            }
            for link in scene.inward(cavity) {
                let from = self.number[link.to.at()];
                if from != 0 && may(scene, &link) {
                    least = least.min(smallest(from, v as u32 + 1, &mut up, &mut label, &mut path));
                }
            }
            semi[v] = least;
            label[v] = least;
        }
        let mut above: Vec<u32> = std::iter::once(0).chain(parent.iter().copied()).collect();
        for v in 1..=n {
            while above[v] > semi[v] {
                above[v] = above[above[v] as usize];
            }
        }
        above.remove(0);
        above
    }

    /// Spans of the tree: a dominates b if a's span holds b's first.
    fn measure(&self) -> Vec<(u32, u32)> {
        let n = self.order.len();
        let mut size = vec![1u32; n + 1];
        for v in (1..=n).rev() {
            size[self.above[v - 1] as usize] += size[v];
        }
        // Depth-first numbers grow downwards in the tree, so a parent's span is dealt first.
        let mut next = vec![0u32; n + 1];
        next[0] = 1;
        (1..=n)
            .map(|v| {
                let above = self.above[v - 1] as usize;
                let first = next[above];
                next[above] += size[v];
                next[v] = first + 1;
                (first, first + size[v])
            })
            .collect()
    }

    fn place(&self, cavity: Cavity) -> Option<usize> {
        (self.number[cavity.at()] as usize).checked_sub(1)
    }

    /// Whether a cavity is reached at all.
    #[must_use]
    pub fn reaches(&self, cavity: Cavity) -> bool {
        self.place(cavity).is_some()
    }

    /// Cavities reached, in depth-first order.
    #[must_use]
    pub fn reached(&self) -> &[Cavity] {
        &self.order
    }

    /// Whether every path to `below` passes `above`; every cavity dominates itself.
    #[must_use]
    pub fn dominates(&self, above: Cavity, below: Cavity) -> bool {
        match (self.place(above), self.place(below)) {
            (Some(above), Some(below)) => {
                let (from, to) = self.span[above];
                (from..to).contains(&self.span[below].0)
            }
            _ => false,
        }
    }

    /// The last cavity that every path to a cavity passes before it; none for one that a root
    /// feeds by itself, or that is not reached.
    #[must_use]
    pub fn immediate(&self, cavity: Cavity) -> Option<Cavity> {
        let above = self.above[self.place(cavity)?] as usize;
        Some(self.order[above.checked_sub(1)?])
    }

    /// The one way by which every path enters a cavity, if there is one.
    #[must_use]
    pub fn entry(&self, cavity: Cavity) -> Option<WayId> {
        let above = self.above[self.place(cavity)?];
        let mut entries = self.scene.inward(cavity).filter(|link| {
            (self.may)(self.scene, link)
                && self.reaches(link.to)
                && !self.dominates(cavity, link.to)
        });
        let first = entries.next()?;
        // What a root feeds by itself needs no way, whether or not one leads there too.
        (above != 0 && entries.next().is_none()).then_some(first.way)
    }

    /// Every cavity that every path to `cavity` passes, in the order oil passes them, itself last;
    /// each with the one way in, if there is one. Empty where it is not reached.
    #[must_use]
    pub fn chain(&self, cavity: Cavity) -> Vec<(Option<WayId>, Cavity)> {
        let mut chain = Vec::new();
        let mut at = self.reaches(cavity).then_some(cavity);
        while let Some(cavity) = at {
            chain.push((self.entry(cavity), cavity));
            at = self.immediate(cavity);
        }
        chain.reverse();
        chain
    }

    /// For every cavity by number, how many of some cavities lose their supply if it is lost: one
    /// pass for all single failures. Zero where it is not reached.
    #[must_use]
    pub fn lost_with(&self, cavities: &[Cavity]) -> Vec<u32> {
        let n = self.order.len();
        let mut below = vec![0u32; n + 1];
        for cavity in cavities {
            below[self.number[cavity.at()] as usize] += u32::from(self.reaches(*cavity));
        }
        for v in (1..=n).rev() {
            below[self.above[v - 1] as usize] += below[v];
        }
        let mut lost = vec![0; self.number.len()];
        for (place, cavity) in self.order.iter().enumerate() {
            lost[cavity.at()] = below[place + 1];
        }
        lost
    }
}

/// The smallest label on the way up from `v` through numbers not below `last`, with the way
/// shortened for the next time.
fn smallest(v: u32, last: u32, up: &mut [u32], label: &mut [u32], path: &mut Vec<u32>) -> u32 {
    path.clear();
    let mut at = v;
    while up[at as usize] >= last {
        path.push(at);
        at = up[at as usize];
    }
    while let Some(x) = path.pop() {
        let above = up[x as usize] as usize;
        label[x as usize] = label[x as usize].min(label[above]);
        up[x as usize] = up[above];
    }
    label[v as usize]
}
