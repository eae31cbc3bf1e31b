//! Many scenes of one net side by side: a bit for each in every word.

use std::collections::HashMap;
use std::ops::{BitAnd, BitOr, BitOrAssign, Not};

use super::setting::Setting;
use super::{Cavity, Held, Net, Passes, SUMP_CAVITY, Scene, Stage, Strength};
use crate::circuit::{Fault, Kind, Level, PartName};

/// How many scenes go side by side.
pub const LANES: usize = 512;

/// One bit for each scene of a [`Pack`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Lanes([u64; LANES / 64]);

impl Lanes {
    /// No scene.
    pub const NONE: Lanes = Lanes([0; LANES / 64]);

    /// The first `count` scenes.
    #[must_use]
    pub fn first(count: usize) -> Self {
        let mut lanes = Lanes::NONE;
        (0..count).for_each(|lane| lanes.insert(lane));
        lanes
    }

    /// Adds one scene.
    pub fn insert(&mut self, lane: usize) {
        self.0[lane / 64] |= 1 << (lane % 64);
    }

    fn put(&mut self, lane: usize, has: bool) {
        self.0[lane / 64] &= !(1 << (lane % 64));
        self.0[lane / 64] |= u64::from(has) << (lane % 64);
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

    /// The scenes it has, in order.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        (0..LANES).filter(move |lane| self.contains(*lane))
    }
}

impl BitAnd for Lanes {
    type Output = Lanes;

    fn bitand(mut self, other: Lanes) -> Lanes {
        self.0.iter_mut().zip(other.0).for_each(|(a, b)| *a &= b);
        self
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

impl Not for Lanes {
    type Output = Lanes;

    fn not(mut self) -> Lanes {
        self.0.iter_mut().for_each(|a| *a = !*a);
        self
    }
}

/// In which scenes a way lets through at least a leak, a metered flow, an open one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Passing([Lanes; 3]);

impl Passing {
    fn at_least(&self, strength: Strength) -> Lanes {
        self.0[strength as usize - 1]
    }

    fn insert(&mut self, lane: usize, strength: Option<Strength>) {
        for level in &mut self.0[..strength.map_or(0, |s| s as usize)] {
            level.insert(lane);
        }
    }
}

/// A link that the faults of some scenes add.
#[derive(Clone, Copy, Debug)]
struct AddedLink {
    from: Cavity,
    to: Cavity,
    passing: Passing,
}

/// Up to [`LANES`] sets of faults laid over one state of a net, to be searched in one pass.
#[derive(Clone, Debug)]
pub struct Pack<'n> {
    net: &'n Net<'n>,
    all: Lanes,
    /// How each way stands in most scenes.
    settings: Vec<Setting>,
    /// Ways that stand otherwise in some scene; their settings are marked.
    changed: HashMap<usize, Passing>,
    /// One-way ways that are wide open in some scenes; empty once their links are added.
    bared: HashMap<usize, Lanes>,
    /// Added links by which supply goes on, and by which draining does, sorted by where from.
    added: [Vec<AddedLink>; 2],
    /// Cavities that working sources feed, and in which scenes.
    rails: Vec<(Cavity, Lanes)>,
    /// The sump and cavities that something keeps down, and in which scenes.
    vents: Vec<(Cavity, Lanes)>,
    /// Scenes in which some way may be open or shut.
    unsure: Lanes,
}

/// Which of the two goes on through a pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tide {
    /// Draining, from the sump against the oil.
    Drain,
    /// Supply, from the sources with the oil.
    Supply,
}

impl<'n> Pack<'n> {
    /// Lays sets of faults over a stage that has none, one scene each, everything that moves
    /// standing as in `held`, asked about pressures of at least `level`. Sets beyond [`LANES`] are
    /// left out.
    #[must_use]
    pub fn new(stage: &Stage<'n>, held: &Held, level: Level, faults: &[Vec<Fault>]) -> Self {
        let net = stage.net();
        let faults = &faults[..faults.len().min(LANES)];
        let held = stage.fix(held.clone());
        let sound = stage.scene(&held, level);
        let all = Lanes::first(faults.len());
        let mut pack = Pack {
            net,
            all,
            settings: sound.settings().to_vec(),
            changed: HashMap::new(),
            bared: HashMap::new(),
            added: Default::default(),
            rails: Vec::new(),
            vents: Vec::new(),
            unsure: Lanes::NONE,
        };
        for way in &net.one_way {
            if pack.settings[*way as usize].bared() {
                pack.bared.insert(*way as usize, all);
            }
        }
        let doubtful = pack.settings.iter().filter(|s| !s.sure()).count();
        let mut rails: HashMap<Cavity, Lanes> = HashMap::new();
        let mut vents: HashMap<Cavity, Lanes> = HashMap::new();
        let mut tell = |scene: &Scene<'_>, lanes: Lanes| {
            for (found, cavities) in [(&mut rails, scene.rails()), (&mut vents, scene.vents())] {
                for cavity in cavities {
                    *found.entry(*cavity).or_default() |= lanes;
                }
            }
        };
        let mut alike = all;
        for (lane, faults) in faults.iter().enumerate() {
            let own = stage.with(faults);
            let own_held = own.fix(held.clone());
            if pack.lay(lane, stage, &own, [&held, &own_held], level, doubtful) {
                alike.put(lane, false);
                let mut one = Lanes::NONE;
                one.insert(lane);
                tell(&own.scene(&own_held, level), one);
            }
        }
        tell(&sound, alike);
        for (to, from) in [(&mut pack.rails, rails), (&mut pack.vents, vents)] {
            to.extend(from);
            to.sort_unstable_by_key(|(cavity, _)| *cavity);
        }
        pack.link_bared();
        for added in &mut pack.added {
            added.sort_by_key(|link| link.from);
        }
        pack
    }

    /// Lays one set of faults; true if it can change which cavities are fed or kept down.
    fn lay(
        &mut self,
        lane: usize,
        stage: &Stage<'n>,
        own: &Stage<'n>,
        [held, own_held]: [&Held; 2],
        level: Level,
        mut doubtful: usize,
    ) -> bool {
        let net = self.net;
        let overlay = own.overlay();
        let valves = net
            .valves()
            .iter()
            .zip(held.valves.iter().zip(&own_held.valves));
        let valves = valves
            .filter(|(_, (a, b))| a != b)
            .map(|(v, _)| v.name.clone());
        let drives = stage.drives().solenoids.iter().zip(&own.drives().solenoids);
        let solenoids = net.circuit().solenoids.keys().zip(drives);
        let solenoids = solenoids.filter(|(_, (a, b))| a != b);
        let solenoids = solenoids.map(|(id, _)| PartName::new(Kind::Solenoid, id));
        // In the order in which a scene lays them: of several the last counts.
        let mut ways: Vec<(usize, Setting)> = Vec::new();
        for part in valves.chain(solenoids) {
            for way in net.ways_of(&part) {
                let setting = Setting::gated(&net.ways[way.at()], own_held, own.drives(), level);
                ways.push((way.at(), setting));
            }
        }
        ways.extend(overlay.bared.iter().map(|way| (*way, Setting::BARE)));
        for way in &overlay.doubtful {
            let laid = ways.iter().rfind(|(w, _)| w == way).map(|(_, s)| *s);
            let setting = laid.unwrap_or(self.unmarked(*way)).doubted();
            ways.push((*way, setting));
        }
        for way in &overlay.maybe_open {
            let setting = Setting::open(net.ways[*way].strength).doubted();
            ways.push((*way, setting));
        }
        ways.extend(overlay.shut.iter().map(|way| (*way, Setting::SHUT)));
        ways.reverse();
        ways.sort_by_key(|(way, _)| *way);
        ways.dedup_by_key(|(way, _)| *way);
        let draws = net.sources.iter().any(|s| s.draws != SUMP_CAVITY);
        let on_suction =
            |cavity: Cavity| draws && cavity != SUMP_CAVITY && net.draws_through(cavity);
        let fed = |cavity: &Cavity| net.sources.iter().any(|s| s.feeds == *cavity);
        let mut differs = !overlay.failed.is_empty()
            || !overlay.weak.is_empty()
            || overlay.plugged.iter().any(|c| on_suction(*c) || fed(c));
        for (way, setting) in ways {
            let body = &net.ways[way];
            differs |= body.ends.into_iter().any(on_suction);
            doubtful -= usize::from(!self.unmarked(way).sure());
            doubtful += usize::from(!setting.sure());
            self.change(way).set(lane, setting.strength());
            if body.passes != Passes::Both && (setting.bared() || self.bared.contains_key(&way)) {
                let lanes = self.bared.entry(way).or_default();
                lanes.put(lane, setting.bared());
            }
        }
        for way in &overlay.added {
            differs |= way.ends.into_iter().any(on_suction);
            let mut passing = Passing::default();
            passing.insert(lane, Some(way.strength));
            let [a, b] = way.ends;
            for tide in [Tide::Supply, Tide::Drain] {
                self.add(tide, a, b, passing);
                self.add(tide, b, a, passing);
            }
        }
        if doubtful > 0 {
            self.unsure.insert(lane);
        }
        differs
    }

    /// One-way ways wide open gain their other direction.
    fn link_bared(&mut self) {
        for (way, lanes) in std::mem::take(&mut self.bared) {
            let body = &self.net.ways[way];
            let passing = Passing([lanes; 3]);
            let [a, b] = body.ends;
            self.add(Tide::Supply, b, a, passing);
            self.add(Tide::Drain, a, b, passing);
            if body.passes == Passes::Excess {
                self.add(Tide::Drain, b, a, passing);
            }
        }
    }

    fn add(&mut self, tide: Tide, from: Cavity, to: Cavity, passing: Passing) {
        self.added[tide as usize].push(AddedLink { from, to, passing });
    }

    fn unmarked(&self, way: usize) -> Setting {
        self.settings[way].unmarked()
    }

    /// The own entry of a way that stands otherwise in some scene.
    fn change(&mut self, way: usize) -> &mut Passing {
        let setting = self.settings[way];
        self.settings[way] = setting.marked();
        self.changed.entry(way).or_insert_with(|| {
            let mut passing = Passing::default();
            for level in &mut passing.0[..setting.strength().map_or(0, |s| s as usize)] {
                *level = self.all;
            }
            passing
        })
    }

    /// The net it lies on.
    #[must_use]
    pub fn net(&self) -> &'n Net<'n> {
        self.net
    }

    /// All its scenes.
    #[must_use]
    pub fn all(&self) -> Lanes {
        self.all
    }

    /// Scenes in which some way may be open or shut: those are to be searched alone.
    #[must_use]
    pub fn unsure(&self) -> Lanes {
        self.unsure
    }

    /// Cavities that working sources feed, and in which scenes.
    #[must_use]
    pub fn rails(&self) -> &[(Cavity, Lanes)] {
        &self.rails
    }

    /// The sump and cavities that something keeps below the level asked about, and in which
    /// scenes.
    #[must_use]
    pub fn vents(&self) -> &[(Cavity, Lanes)] {
        &self.vents
    }

    /// Calls `visit` for each cavity that supply or draining goes on to from one, with the scenes
    /// in which it gets through something of at least that strength.
    pub fn go_on(
        &self,
        tide: Tide,
        from: Cavity,
        least: Strength,
        mut visit: impl FnMut(Cavity, Lanes),
    ) {
        let arcs = match tide {
            Tide::Supply => self.net.onward.at(from),
            Tide::Drain => self.net.inward.at(from),
        };
        for arc in arcs {
            if tide == Tide::Drain && arc.passes() == Passes::Excess {
                continue;
            }
            let setting = self.settings[arc.way().at()];
            if setting.is_marked() {
                visit(arc.to, self.changed[&arc.way().at()].at_least(least));
            } else if setting.strength() >= Some(least) {
                visit(arc.to, self.all);
            }
        }
        let added = &self.added[tide as usize];
        if !added.is_empty() {
            let start = added.partition_point(|link| link.from < from);
            for link in added[start..].iter().take_while(|link| link.from == from) {
                visit(link.to, link.passing.at_least(least));
            }
        }
    }
}

impl Passing {
    fn set(&mut self, lane: usize, strength: Option<Strength>) {
        for level in &mut self.0 {
            level.put(lane, false);
        }
        self.insert(lane, strength);
    }
}

/// Cavities in an order in which a tide meets most of them after those it comes from, near ones
/// near each other: those whose ways in are all behind them first, breadth first, and where a
/// loop leaves none, the first met.
pub(super) fn order(net: &Net<'_>, tide: Tide) -> Vec<Cavity> {
    let (onward, inward) = match tide {
        Tide::Supply => (&net.onward, &net.inward),
        Tide::Drain => (&net.inward, &net.onward),
    };
    let count = net.cavity_count();
    let mut waits: Vec<usize> = net.cavities().map(|c| inward.at(c).len()).collect();
    let mut placed = vec![false; count];
    let mut order: Vec<Cavity> = Vec::with_capacity(count);
    let mut met: Vec<Cavity> = match tide {
        Tide::Supply => net.sources.iter().map(|s| s.feeds).collect(),
        Tide::Drain => vec![SUMP_CAVITY],
    };
    met.extend(net.cavities());
    let mut next_met = 0;
    let mut next = 0;
    while order.len() < count {
        if next == order.len() {
            let cavity = met[next_met];
            next_met += 1;
            if !std::mem::replace(&mut placed[cavity.at()], true) {
                order.push(cavity);
            }
            continue;
        }
        for arc in onward.at(order[next]) {
            let waits = &mut waits[arc.to.at()];
            *waits = waits.saturating_sub(1);
            if *waits == 0 && !std::mem::replace(&mut placed[arc.to.at()], true) {
                order.push(arc.to);
            }
        }
        next += 1;
    }
    order
}
