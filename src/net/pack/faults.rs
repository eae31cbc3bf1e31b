//! Many sets of faults laid over one net, whatever the state: what each changes, as scenes side by
//! side.

use fixedbitset::FixedBitSet;

use super::{LANES, Lanes};
use crate::circuit::{Fault, PartName};
use crate::net::arcs::Rows;
use crate::net::overlay::{Overlay, Spring};
use crate::net::{
    Cavity, Drive, Gate, Net, Passes, SUMP_CAVITY, Setting, Strength, Tide, User, WayId,
};
use crate::units::Length;

/// Up to [`LANES`] sets of faults laid over a net, one scene each: made once, whatever states and
/// levels are then asked about.
#[derive(Clone, Debug)]
pub struct PackedFaults<'n> {
    net: &'n Net<'n>,
    all: Lanes,
    /// Ways that may stand otherwise in one scene than in another, by slot.
    pub(super) marked: Vec<Marked>,
    /// The slot of each way, by number; [`NO_SLOT`] where it stands alike in all.
    slots: Vec<u32>,
    /// Links that faults add, by where they start. They go both ways in both tides.
    pub(super) added: Rows<AddedLink>,
    /// Cavities at which a leak ends, and those at which something metered does.
    narrow: [FixedBitSet; 2],
    /// Links by which one-way ways may go the other way, of each tide, by where they start.
    pub(super) turned: [Rows<TurnedLink>; 2],
    /// Regulators that do not hold, and sources that are weak, by number.
    pub(super) failed: Vec<(usize, Lanes)>,
    pub(super) weak: Vec<(usize, Lanes)>,
    /// Cavities that a source feeds and nothing passes.
    pub(super) plugged: Vec<(Cavity, Lanes)>,
    /// Valves held in a position.
    pub(super) stuck: Vec<(usize, u32, Lanes)>,
    pub(super) springs: Vec<(usize, Spring, Lanes)>,
    /// Scenes that drive solenoids otherwise than the state.
    pub(super) drives: Vec<OwnDrives>,
    /// Accumulators that take up no oil, each with the cavity it should fill from.
    jammed: Vec<((PartName, Cavity), Lanes)>,
    /// Regulators that no longer keep their cavity down.
    raised: Vec<(usize, Lanes)>,
    /// Scenes in which something is wrong where a pump draws.
    pub(super) on_suction: Lanes,
}

const NO_SLOT: u32 = u32::MAX;

/// A way that may stand otherwise in one scene than in another, and what faults make of it.
#[derive(Clone, Debug, Default)]
pub(super) struct Marked {
    pub way: usize,
    /// Whether any fault touches it.
    pub touched: bool,
    pub shut: Lanes,
    pub bared: Lanes,
    pub doubtful: Lanes,
    pub maybe_open: Lanes,
}

/// A link that the faults of some scenes add.
#[derive(Clone, Copy, Debug)]
pub(super) struct AddedLink {
    pub to: Cavity,
    pub strength: Strength,
    pub bore: Option<Length>,
    pub lanes: Lanes,
}

/// The other direction of a one-way way, there in scenes in which that is bared.
#[derive(Clone, Copy, Debug)]
pub(super) struct TurnedLink {
    pub to: Cavity,
    pub slot: u32,
}

/// How one scene drives solenoids otherwise than the state.
#[derive(Clone, Debug)]
pub(super) struct OwnDrives {
    pub lane: usize,
    pub swapped: Vec<[usize; 2]>,
    pub drives: Vec<(usize, Drive)>,
}

impl<'n> PackedFaults<'n> {
    /// Lays sets of faults over a net, one scene each. Sets beyond [`LANES`] are left out.
    #[must_use]
    pub fn new(net: &'n Net<'n>, sets: &[Vec<Fault>]) -> Self {
        let sets = &sets[..sets.len().min(LANES)];
        let mut packed = PackedFaults {
            net,
            all: Lanes::first(sets.len()),
            marked: Vec::new(),
            slots: vec![NO_SLOT; net.ways().len()],
            added: Rows::default(),
            narrow: Default::default(),
            turned: Default::default(),
            failed: Vec::new(),
            weak: Vec::new(),
            plugged: Vec::new(),
            stuck: Vec::new(),
            springs: Vec::new(),
            drives: Vec::new(),
            jammed: Vec::new(),
            raised: Vec::new(),
            on_suction: Lanes::NONE,
        };
        let mut added = Vec::new();
        for (lane, faults) in sets.iter().enumerate() {
            packed.lay(lane, Overlay::of(net, faults), &mut added);
        }
        packed.jammed.sort_by(|(one, _), (other, _)| one.cmp(other));
        packed.link_added(added);
        packed.find_narrow();
        packed.mark_gated();
        packed.link_turned();
        packed
    }

    /// Lays one set of faults.
    fn lay(&mut self, lane: usize, overlay: Overlay<'_>, added: &mut Vec<(Cavity, AddedLink)>) {
        let net = self.net;
        let mut holed = false;
        let draws = net.sources().iter().any(|s| s.draws != SUMP_CAVITY);
        let mut touch = |ends: [Cavity; 2]| {
            let inlet = |c: Cavity| c != SUMP_CAVITY && net.draws_through(c);
            holed |= draws && ends.into_iter().any(inlet);
        };
        type Part = fn(&mut Marked) -> &mut Lanes;
        let changes: [(&[usize], Part); 4] = [
            (&overlay.shut, |marked| &mut marked.shut),
            (&overlay.bared, |marked| &mut marked.bared),
            (&overlay.doubtful, |marked| &mut marked.doubtful),
            (&overlay.maybe_open, |marked| &mut marked.maybe_open),
        ];
        for (ways, part) in changes {
            for way in ways {
                touch(net.ways()[*way].ends);
                let slot = self.mark(*way);
                let marked = &mut self.marked[slot];
                marked.touched = true;
                part(marked).insert(lane);
            }
        }
        for way in &overlay.added {
            touch(way.ends);
            let [a, b] = way.ends;
            for (from, to) in [(a, b), (b, a)] {
                let link = AddedLink {
                    to,
                    strength: way.strength,
                    bore: way.bore,
                    lanes: Lanes::one(lane),
                };
                added.push((from, link));
            }
        }
        for plugged in &overlay.plugged {
            touch([*plugged; 2]);
            if net.sources().iter().any(|s| s.feeds == *plugged) {
                put(&mut self.plugged, *plugged, lane);
            }
        }
        for regulator in &overlay.failed {
            put(&mut self.failed, *regulator, lane);
        }
        for source in &overlay.weak {
            put(&mut self.weak, *source, lane);
        }
        // Of several the last holds the valve, as in a stage.
        for (i, (valve, position)) in overlay.stuck.iter().enumerate() {
            if !overlay.stuck[i + 1..].iter().any(|(v, _)| v == valve) {
                self.stuck.push((*valve, *position, Lanes::one(lane)));
            }
        }
        let springs = overlay.springs.iter();
        self.springs
            .extend(springs.map(|(valve, spring)| (*valve, *spring, Lanes::one(lane))));
        for jammed in overlay.jammed {
            put(&mut self.jammed, jammed, lane);
        }
        for regulator in overlay.raised {
            put(&mut self.raised, regulator, lane);
        }
        if holed {
            self.on_suction.insert(lane);
        }
        if !overlay.drives.is_empty() || !overlay.swapped.is_empty() {
            self.drives.push(OwnDrives {
                lane,
                swapped: overlay.swapped,
                drives: overlay.drives,
            });
        }
    }

    /// The slot of a way, which it has from now on.
    fn mark(&mut self, way: usize) -> usize {
        if self.slots[way] == NO_SLOT {
            self.slots[way] = self.marked.len() as u32;
            let marked = Marked {
                way,
                ..Marked::default()
            };
            self.marked.push(marked);
        }
        self.slots[way] as usize
    }

    /// Marks what moves or is driven otherwise, and what a filter or cooler passes: that is asked
    /// about with the way shut.
    fn mark_gated(&mut self) {
        let mut own = vec![false; self.net.circuit().solenoids.len()];
        for scene in &self.drives {
            let swapped = scene.swapped.iter().flatten();
            for solenoid in swapped.chain(scene.drives.iter().map(|(s, _)| s)) {
                own[*solenoid] = true;
            }
        }
        for way in 0..self.net.ways().len() {
            let moves = match self.net.ways()[way].gate {
                Gate::Valve { .. } | Gate::Shuttle { .. } => true,
                Gate::Solenoid { solenoid, .. } => own[solenoid as usize],
                Gate::Always | Gate::Above { .. } | Gate::UpTo { .. } => false,
            };
            if moves {
                self.mark(way);
            }
        }
        for outlet in self.net.outlets() {
            if let User::Through { way, .. } = outlet.user {
                self.mark(way.at());
            }
        }
    }

    /// Links that several scenes add become one.
    fn link_added(&mut self, mut added: Vec<(Cavity, AddedLink)>) {
        let alike = |(from, link): &(Cavity, AddedLink)| {
            let bore = link.bore.map(|bore| bore.m().to_bits());
            (*from, link.to, link.strength, bore)
        };
        added.sort_by_key(alike);
        added.dedup_by(|one, other| {
            let same = alike(one) == alike(other);
            let ((_, link), (_, kept)) = (one, other);
            if same {
                kept.lanes |= link.lanes;
            }
            same
        });
        if !added.is_empty() {
            self.added = Rows::new(self.net.cavity_count(), added.iter().copied());
        }
    }

    fn find_narrow(&mut self) {
        let mut narrow = [(); 2].map(|()| FixedBitSet::with_capacity(self.net.cavity_count()));
        let mut mark = |strength: Strength, at: Cavity| {
            if let Some(narrow) = narrow.get_mut(strength as usize - 1) {
                narrow.insert(at.at());
            }
        };
        for way in self.net.ways() {
            way.ends.into_iter().for_each(|end| mark(way.strength, end));
        }
        for (from, link) in self.added.iter() {
            mark(link.strength, from);
        }
        self.narrow = narrow;
    }

    /// Whether a way or link of just that strength ends at a cavity; open ones are everywhere.
    pub(super) fn has(&self, cavity: Cavity, strength: Strength) -> bool {
        let narrow = self.narrow.get(strength as usize - 1);
        narrow.is_none_or(|narrow| narrow.contains(cavity.at()))
    }

    /// One-way ways that may be wide open have another direction to go.
    fn link_turned(&mut self) {
        let mut turned: [Vec<(Cavity, TurnedLink)>; 2] = Default::default();
        for (slot, marked) in self.marked.iter().enumerate() {
            let way = &self.net.ways()[marked.way];
            let shuttle = matches!(way.gate, Gate::Shuttle { .. });
            if way.passes == Passes::Both || !(shuttle || marked.bared.any()) {
                continue;
            }
            let link = |to| TurnedLink {
                to,
                slot: slot as u32,
            };
            let [a, b] = way.ends;
            turned[Tide::Supply as usize].push((b, link(a)));
            turned[Tide::Drain as usize].push((a, link(b)));
            if way.passes == Passes::Excess {
                turned[Tide::Drain as usize].push((b, link(a)));
            }
        }
        for (rows, links) in self.turned.iter_mut().zip(turned) {
            if !links.is_empty() {
                *rows = Rows::new(self.net.cavity_count(), links.iter().copied());
            }
        }
    }

    /// The net they lie on.
    #[must_use]
    pub fn net(&self) -> &'n Net<'n> {
        self.net
    }

    /// All scenes.
    #[must_use]
    pub fn all(&self) -> Lanes {
        self.all
    }

    /// Scenes in which sources, regulators, accumulators or what pumps draw through are touched.
    #[must_use]
    pub fn at_the_source(&self) -> Lanes {
        let failed = self.failed.iter().map(|(_, lanes)| *lanes);
        let weak = self.weak.iter().map(|(_, lanes)| *lanes);
        let jammed = self.jammed.iter().map(|(_, lanes)| *lanes);
        let all = failed.chain(weak).chain(jammed);
        all.fold(self.on_suction, |all, lanes| all | lanes)
    }

    /// Accumulators that take up no oil in some scenes, each with the cavity it should fill from.
    pub(crate) fn jammed(&self) -> &[((PartName, Cavity), Lanes)] {
        &self.jammed
    }

    /// Whether a regulator, by number, no longer keeps its cavity down in one scene.
    pub(crate) fn raises(&self, lane: usize, regulator: usize) -> bool {
        let mut raised = self.raised.iter();
        raised.any(|(number, lanes)| *number == regulator && lanes.contains(lane))
    }

    /// The slot of a way that may stand otherwise in one scene than in another.
    pub(super) fn slot(&self, way: WayId) -> Option<usize> {
        let slot = self.slots[way.at()];
        (slot != NO_SLOT).then_some(slot as usize)
    }

    /// The slot of a way that is marked.
    pub(super) fn slot_of_marked(&self, way: WayId) -> usize {
        self.slots[way.at()] as usize
    }

    /// Settings of all ways by number, those that are marked marked.
    pub(super) fn mark_settings(&self, settings: &mut [Setting]) {
        for marked in &self.marked {
            settings[marked.way] = settings[marked.way].marked();
        }
    }
}

fn put<K: PartialEq>(to: &mut Vec<(K, Lanes)>, key: K, lane: usize) {
    match to.iter_mut().find(|(k, _)| *k == key) {
        Some((_, lanes)) => lanes.insert(lane),
        None => to.push((key, Lanes::one(lane))),
    }
}
