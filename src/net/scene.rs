//! One state with some faults, and everything that moves standing somewhere.

use fixedbitset::FixedBitSet;

use super::arcs::{Arc, Arcs};
use super::{Cavity, Net, Passes, SUMP_CAVITY, Setting, Strength, Way, WayId};

/// A way as seen from one of its ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Link {
    /// The cavity at the other end.
    pub to: Cavity,
    /// The way.
    pub way: WayId,
    /// How much it lets through.
    pub strength: Strength,
    /// False where it may as well be shut.
    pub sure: bool,
    /// Which way oil goes.
    pub passes: Passes,
}

impl Link {
    /// Whether the end that oil leaves runs dry when the other end does. What only lets excess by
    /// never drains what it comes from.
    #[must_use]
    pub fn drains(&self) -> bool {
        self.passes != Passes::Excess
    }
}

/// The open ways at one cavity: those of the net, then those that faults add. Searches spend most of
/// their time here, so it is spelt out where a chain of adapters would do.
struct Links<'l> {
    arcs: std::slice::Iter<'l, Arc>,
    settings: &'l [Setting],
    added: std::slice::Iter<'l, (Cavity, Link)>,
}

impl Iterator for Links<'_> {
    type Item = Link;

    #[inline]
    fn next(&mut self) -> Option<Link> {
        for arc in self.arcs.by_ref() {
            let setting = self.settings[arc.way().at()];
            if let Some(strength) = setting.strength() {
                return Some(Link {
                    to: arc.to,
                    way: arc.way(),
                    strength,
                    sure: setting.sure(),
                    passes: if setting.bared() {
                        Passes::Both
                    } else {
                        arc.passes()
                    },
                });
            }
        }
        self.added.next().map(|(_, link)| *link)
    }
}

/// One state with some faults and everything that moves standing somewhere: which ways are open,
/// what is fed and what is kept down.
#[derive(Clone, Debug)]
pub struct Scene<'n> {
    pub(super) net: &'n Net<'n>,
    pub(super) settings: Vec<Setting>,
    pub(super) added: Vec<Way>,
    /// Links that faults add, where oil goes on and where it comes from, sorted by cavity.
    pub(super) added_onward: Vec<(Cavity, Link)>,
    pub(super) added_inward: Vec<(Cavity, Link)>,
    /// The cavities that have any.
    pub(super) added_at: FixedBitSet,
    /// Cavities that a working source feeds.
    pub(super) rails: Vec<Cavity>,
    /// The sump, and cavities that something keeps below the level asked about.
    pub(super) vents: Vec<Cavity>,
    /// Cavities that a working source or regulator holds at pressure.
    pub(super) held: FixedBitSet,
}

impl<'n> Scene<'n> {
    pub(super) fn link_added(&mut self) {
        let base = self.settings.len();
        let mut link = |way: usize, from: Cavity, to: Cavity, strength, sure| {
            let link = |to| Link {
                to,
                way: WayId(way as u32),
                strength,
                sure,
                passes: Passes::Both,
            };
            self.added_onward.push((from, link(to)));
            self.added_inward.push((to, link(from)));
        };
        for (i, way) in self.added.iter().enumerate() {
            link(base + i, way.ends[0], way.ends[1], way.strength, true);
            link(base + i, way.ends[1], way.ends[0], way.strength, true);
        }
        // A one-way way wide open gains its other direction.
        for i in &self.net.one_way {
            let (way, setting) = (&self.net.ways[*i as usize], self.settings[*i as usize]);
            if setting.bared()
                && let Some(strength) = setting.strength()
            {
                let sure = setting.sure();
                link(*i as usize, way.ends[1], way.ends[0], strength, sure);
            }
        }
        for links in [&mut self.added_onward, &mut self.added_inward] {
            links.sort_by_key(|(at, link)| (*at, link.way));
            self.added_at.grow(self.net.cavity_count());
            self.added_at.extend(links.iter().map(|(at, _)| at.at()));
        }
    }

    /// The net it lies on.
    #[must_use]
    pub fn net(&self) -> &'n Net<'n> {
        self.net
    }

    /// A way of the net or one that a fault added.
    #[must_use]
    pub fn way(&self, way: WayId) -> &Way {
        match way.at().checked_sub(self.net.ways.len()) {
            None => &self.net.ways[way.at()],
            Some(added) => &self.added[added],
        }
    }

    /// Number of ways, those that faults added included.
    #[must_use]
    pub fn way_count(&self) -> usize {
        self.settings.len() + self.added.len()
    }

    /// How a way stands.
    #[must_use]
    pub fn setting(&self, way: WayId) -> Setting {
        match way.at().checked_sub(self.settings.len()) {
            None => self.settings[way.at()],
            Some(added) => Setting::open(self.added[added].strength),
        }
    }

    /// Whether every way is surely open or surely shut.
    #[must_use]
    pub fn is_certain(&self) -> bool {
        self.settings.iter().all(|s| s.sure())
    }

    /// Whether a way lets more through than in a `sound` scene of the same net, or does not exist
    /// there.
    #[must_use]
    pub fn wider(&self, sound: &Scene<'_>, way: WayId) -> bool {
        if way.at() >= self.settings.len() {
            return true;
        }
        let (now, then) = (self.setting(way), sound.setting(way));
        let gains_direction = now.bared() && !then.bared() && self.way(way).passes != Passes::Both;
        now.strength() > then.strength() || gains_direction
    }

    /// Whether another scene of the same stage stands as this one: what is asked of both, at
    /// whatever level, has one answer.
    pub(crate) fn stands_as(&self, other: &Scene<'_>) -> bool {
        self.settings == other.settings
            && self.rails == other.rails
            && self.vents == other.vents
            && self.held == other.held
    }

    /// Shuts more ways: what would be if they were not there. Those that faults added stay.
    #[must_use]
    pub fn without(&self, ways: impl IntoIterator<Item = WayId>) -> Self {
        let mut scene = self.clone();
        for way in ways {
            if let Some(setting) = scene.settings.get_mut(way.at()) {
                *setting = Setting::SHUT;
            }
        }
        scene
    }

    /// The sump, and cavities that a regulator or relief keeps below the level asked about.
    #[must_use]
    pub fn vents(&self) -> &[Cavity] {
        &self.vents
    }

    /// Cavities that a working source feeds.
    #[must_use]
    pub fn rails(&self) -> &[Cavity] {
        &self.rails
    }

    /// Whether a working source or regulator holds the cavity at pressure.
    #[must_use]
    pub fn holds(&self, cavity: Cavity) -> bool {
        self.held.contains(cavity.at())
    }

    /// Open ways by which oil can go on from a cavity.
    #[inline]
    pub fn onward(&self, cavity: Cavity) -> impl Iterator<Item = Link> + '_ {
        self.links(&self.net.onward, &self.added_onward, cavity)
    }

    /// Open ways by which oil can come to a cavity.
    #[inline]
    pub fn inward(&self, cavity: Cavity) -> impl Iterator<Item = Link> + '_ {
        self.links(&self.net.inward, &self.added_inward, cavity)
    }

    #[inline]
    fn links<'l>(
        &'l self,
        arcs: &'l Arcs,
        added: &'l [(Cavity, Link)],
        cavity: Cavity,
    ) -> Links<'l> {
        // Hardly any cavity has an added link, so the look-up must cost nothing without any.
        let added = if !self.added_at.contains(cavity.at()) {
            &[]
        } else {
            let from = added.partition_point(|(at, _)| *at < cavity);
            let here = &added[from..];
            &here[..here.partition_point(|(at, _)| *at == cavity)]
        };
        Links {
            arcs: arcs.at(cavity).iter(),
            settings: &self.settings,
            added: added.iter(),
        }
    }

    /// Sources that can draw, with what they feed: the sump reaches their inlet through the
    /// suction side.
    pub(super) fn working_sources(&self, plugged: &[Cavity]) -> Vec<(usize, Cavity)> {
        let mut wet: Option<FixedBitSet> = None;
        let mut working = Vec::new();
        for (i, source) in self.net.sources().iter().enumerate() {
            let draws = source.draws == SUMP_CAVITY
                || wet
                    .get_or_insert_with(|| self.suction_reach())
                    .contains(source.draws.at());
            if draws && !plugged.contains(&source.feeds) {
                working.push((i, source.feeds));
            }
        }
        working
    }

    /// Whether a pump can draw through a link: it stays on the suction side, and a mere leak is no
    /// supply.
    #[must_use]
    pub fn draws(&self, link: &Link) -> bool {
        link.strength > Strength::Leak && self.net.draws_through(link.to)
    }

    /// Cavities that oil reaches from the sump without pressure.
    fn suction_reach(&self) -> FixedBitSet {
        let mut wet = FixedBitSet::with_capacity(self.net.cavity_count());
        let mut queue = vec![SUMP_CAVITY];
        while let Some(cavity) = queue.pop() {
            for link in self.onward(cavity) {
                if self.draws(&link) && !wet.put(link.to.at()) {
                    queue.push(link.to);
                }
            }
        }
        wet
    }
}
