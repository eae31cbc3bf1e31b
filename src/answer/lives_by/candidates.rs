//! The faults that are tried, those that do the same taken together, and which can matter.

use fixedbitset::FixedBitSet;

use crate::circuit::Fault;
use crate::net::{Cavity, Change, Net, NetOutlet, SUMP_CAVITY, Scene, User};

/// Faults that change the same on the net, so that any one stands for all of them.
///
/// Exact by what [`Change`] is: beside whatever else, each does what the others do, and two of
/// them do what one does. So no set with two of them is minimal, and none of them masks another.
pub(super) struct Alike {
    pub faults: Vec<Fault>,
    change: Change,
    /// The cavities at which it changes something.
    at: FixedBitSet,
    /// Whether it changes the outlet's own way, of a filter, converter or cooler.
    own: bool,
    /// Whether it can keep a source from drawing or feeding.
    stops: bool,
    /// Whether it changes something where the outlet's oil comes from or runs off.
    near: bool,
    /// Whether, with it, that place is larger or has no bounds.
    opens: bool,
}

/// What there is to try for one outlet in one state.
pub(super) struct Candidates<'n> {
    net: &'n Net<'n>,
    pub alike: Vec<Alike>,
    /// How many faults change nothing that moves oil, and are left out: beside any others they do
    /// nothing, so they belong to no minimal set and mask nothing.
    pub idle: usize,
    /// The cavities of which it hangs whether the outlet has its oil: those that feed and release
    /// it, of what is passed through those before and behind it.
    ends: Vec<Cavity>,
    /// The sump and the cavities that working sources feed.
    walls: FixedBitSet,
    /// The place of the sound circuit; none where it has no bounds.
    place: Option<FixedBitSet>,
}

impl<'n> Candidates<'n> {
    /// `sound` is the sound circuit settled, asked at low.
    pub fn of(net: &'n Net<'n>, faults: &[Fault], outlet: &NetOutlet, sound: &Scene<'_>) -> Self {
        let mut alike: Vec<Alike> = Vec::new();
        let mut idle = 0;
        for fault in faults {
            let change = Change::of(net, std::slice::from_ref(fault));
            if change.is_none() {
                idle += 1;
                continue;
            }
            match alike.iter_mut().find(|known| known.change == change) {
                Some(known) => known.faults.push(fault.clone()),
                None => alike.push(Alike::new(net, fault, change)),
            }
        }
        let mut walls = FixedBitSet::with_capacity(net.cavity_count());
        walls.insert(SUMP_CAVITY.number());
        walls.extend(sound.rails().iter().map(|rail| rail.number()));
        let (ends, own) = match outlet.user {
            User::Leaf(at) => (vec![at], None),
            User::TwoSided { apply, release } => (vec![apply, release], None),
            User::Through { way, .. } => (net.ways()[way.at()].ends.to_vec(), Some(way)),
        };
        for alike in &mut alike {
            alike.own = alike.change.ways().any(|way| Some(way) == own);
        }
        let mut candidates = Candidates {
            net,
            alike,
            idle,
            ends,
            walls,
            place: None,
        };
        candidates.place = match switched_suction(net) {
            true => None,
            false => candidates.place_with(&[]),
        };
        if let Some(place) = candidates.place.clone() {
            for i in 0..candidates.alike.len() {
                let alike = &candidates.alike[i];
                let near = alike.touches(&place);
                let opens = alike.stops || candidates.place_with(&[i]).as_ref() != Some(&place);
                let alike = &mut candidates.alike[i];
                (alike.near, alike.opens) = (near, opens);
            }
        }
        candidates
    }

    /// Whether a set can starve the outlet where no set with one fault less does, or give oil
    /// back to an outlet that one of its faults starves. `set` holds places in `alike`.
    ///
    /// The *place* of a set is every cavity that can be walked to from the outlet by any way of
    /// the net or of the set, whichever way oil passes it, without going through the sump or a
    /// cavity that a working source feeds. Those two kinds hold their value whatever happens
    /// beside them as long as the source works, so what the place holds hangs on the ways at its
    /// cavities alone. Where none of these is switched by a valve, a shuttle ball or a solenoid,
    /// they stand the same at every end of settling. A fault of the set that changes no way there
    /// therefore leaves the outlet what it has without that fault, but for one thing: a way in
    /// doubt anywhere keeps bores from deciding what is contested, which can only make the
    /// outlet undecided. So where such a set starves the outlet the smaller set does too, and
    /// where the smaller one starves it this one never feeds it. What leaves it undecided is told of
    /// faults alone: one that leaves a way in doubt is always looked at where bores count.
    pub fn can_matter(&self, set: &[usize]) -> bool {
        if let [alone] = set
            && self.alike[*alone].change.leaves_doubt()
            && self.net.meters_by_bore()
        {
            return true;
        }
        let Some(place) = &self.place else {
            return true;
        };
        let mut members = set.iter().map(|i| &self.alike[*i]);
        if members.clone().any(|a| a.stops) {
            return true;
        }
        if !members.clone().any(|a| a.near) {
            // Nothing of the set reaches the place, so it is that of the sound circuit.
            return false;
        }
        if !members.clone().any(|a| a.opens) {
            return members.all(|a| a.touches(place));
        }
        match self.place_with(set) {
            Some(place) => members.all(|a| a.touches(&place)),
            None => true,
        }
    }

    /// The place of a set; none where something switches a way at it.
    fn place_with(&self, set: &[usize]) -> Option<FixedBitSet> {
        let mut place = FixedBitSet::with_capacity(self.net.cavity_count());
        let mut open: Vec<Cavity> = self.ends.clone();
        while let Some(at) = open.pop() {
            if self.walls.contains(at.number()) || place.put(at.number()) {
                continue;
            }
            for way in self.net.ways_at(at) {
                if way.is_switched() {
                    return None;
                }
                open.extend(way.ends);
            }
            let joins = set.iter().flat_map(|i| self.alike[*i].change.joins());
            open.extend(joins.filter(|ends| ends.contains(&at)).flatten());
        }
        Some(place)
    }

    /// One fault of each member of a set, all of different parts; none where there are none such.
    pub fn pick(&self, set: &[usize]) -> Option<Vec<Fault>> {
        self.expand(set).next()
    }

    /// Every choice of one fault of each member of a set, all of different parts.
    pub fn expand<'s>(&'s self, set: &'s [usize]) -> impl Iterator<Item = Vec<Fault>> + Clone + 's {
        let sizes = set.iter().map(|i| self.alike[*i].faults.len());
        let count: usize = sizes.fold(1, usize::saturating_mul);
        (0..count).filter_map(move |mut number| {
            let mut chosen: Vec<Fault> = Vec::with_capacity(set.len());
            for i in set {
                let faults = &self.alike[*i].faults;
                let fault = &faults[number % faults.len()];
                number /= faults.len();
                if chosen.iter().any(|other| other.part == fault.part) {
                    return None;
                }
                chosen.push(fault.clone());
            }
            Some(chosen)
        })
    }
}

impl Alike {
    fn new(net: &Net<'_>, fault: &Fault, change: Change) -> Self {
        let ways = change.ways().map(|way| net.ways()[way.at()].ends);
        let ends = ways.chain(change.joins()).flatten();
        let touched: Vec<Cavity> = ends.chain(change.plugged().iter().copied()).collect();
        let sources = net.sources();
        let suction = |cavity: &Cavity| {
            let drawn = sources.iter().any(|s| s.draws == *cavity);
            *cavity != SUMP_CAVITY && (drawn || net.draws_through(*cavity))
        };
        let feeds = |cavity: &Cavity| sources.iter().any(|s| s.feeds == *cavity);
        let mut at = FixedBitSet::with_capacity(net.cavity_count());
        at.extend(touched.iter().map(|cavity| cavity.number()));
        Alike {
            faults: vec![fault.clone()],
            stops: touched.iter().any(suction) || change.plugged().iter().any(feeds),
            change,
            at,
            own: false,
            near: false,
            opens: false,
        }
    }

    /// Whether it changes something that the outlet has its oil by, which comes from this place.
    fn touches(&self, place: &FixedBitSet) -> bool {
        self.own || !self.at.is_disjoint(place)
    }
}

/// Whether something switches a way that a pump draws through.
fn switched_suction(net: &Net<'_>) -> bool {
    let suction = |c: &Cavity| *c != SUMP_CAVITY && net.draws_through(*c);
    let mut ways = net.ways().iter();
    ways.any(|way| way.is_switched() && way.ends.iter().any(suction))
}
