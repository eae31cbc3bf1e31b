//! Which parts oil passes on its way to the outlets of a state, which hold it there, and which let
//! oil go.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::runoff::RunOffs;
use super::stance::Stance;
use crate::circuit::{
    BallKind, Kind, Level, Part, PartName, SUMP, SealSeat, SolenoidKind, Truth, Work,
};
use crate::net::{Cavity, Link, Net, Passes, SUMP_CAVITY, Scene, Stage, Strength, WayId};
use crate::reach::{self, Needs, Side};
use crate::settle::{Balance, Point, Push, Value, balance};

/// How a part is used in a state, the most needed first.
///
/// A part is used *directly* when oil on its way from a source to something that has its oil
/// passes it, valves and shuttle balls standing as they do: on every such way it is needed, on
/// some it is used. Only oil under pressure counts,
/// leaks only where nothing wider feeds, and a sprung ball beside an unsprung way stays shut.
/// What keeps that oil where it is counts with it, at the cavities the oil passes and at what
/// stands openly beside them: a plate by what lies under or through it and by the cavities it
/// roofs or keeps apart, a seal by what it keeps tight, a regulator that spills or a relief
/// by the cavity it holds or guards, an accumulator by the cavity it fills from, a shut bleed
/// solenoid by its pilot, a seated ball by the cavity it keeps from an empty one.
///
/// A part is used *as a pilot* when it is not used directly and oil passes it that holds a used
/// valve where it stands or raises a used regulator: without that oil the valve would stand
/// elsewhere. What holds such parts in turn counts too. An empty pilot is not used so: it must let
/// oil go, which [`ChartPart::lets_go`](super::ChartPart::lets_go) tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Use {
    /// Something cannot have its oil without it.
    Needed,
    /// Oil to something passes it; there are other ways.
    Used,
    /// Oil that holds a used valve, or raises a used regulator, passes it.
    Pilot,
    /// None of these.
    Idle,
}

/// What is used in one state.
pub(super) struct Uses<'n> {
    stage: Stage<'n>,
    point: Point,
    parts: BTreeMap<PartName, Use>,
    lets_go: BTreeSet<PartName>,
    holds_back: BTreeSet<PartName>,
}

impl<'n> Uses<'n> {
    /// Follows the oil to each cavity that something draws from, at the level that it needs, and
    /// away from each that must be empty.
    pub fn of(
        stage: &Stage<'n>,
        point: &Point,
        drawn: &[(Cavity, Level)],
        empty: &[Cavity],
    ) -> Self {
        let mut uses = Uses {
            stage: stage.clone(),
            point: point.clone(),
            parts: BTreeMap::new(),
            lets_go: BTreeSet::new(),
            holds_back: BTreeSet::new(),
        };
        for level in [Level::Fill, Level::Low] {
            let drawn = drawn.iter().filter(|(_, l)| *l == level);
            let cavities: Vec<Cavity> = drawn.map(|(cavity, _)| *cavity).collect();
            if !cavities.is_empty() {
                uses.follow(&cavities, level, None);
            }
        }
        uses.keepers();
        while uses.pilots() | uses.let_go(empty) {}
        uses.keepers();
        uses.hold_back();
        uses
    }

    /// Whether oil that must be gone in the state runs off by a part.
    pub fn lets_go(&self, part: &PartName) -> bool {
        self.lets_go.contains(part)
    }

    /// Whether a part holds oil back that is used in the state.
    pub fn holds_back(&self, part: &PartName) -> bool {
        self.holds_back.contains(part)
    }

    fn is_used(&self, part: &PartName) -> bool {
        self.get(part) < Use::Idle || self.lets_go(part)
    }

    pub fn get(&self, part: &PartName) -> Use {
        self.parts.get(part).copied().unwrap_or(Use::Idle)
    }

    fn mark(&mut self, part: PartName, usage: Use) -> bool {
        let known = self.parts.entry(part).or_insert(Use::Idle);
        let news = usage < *known;
        *known = usage.min(*known);
        news
    }

    /// Marks what oil passes on its way to some cavities; as a pilot, whether needed or not.
    fn follow(&mut self, cavities: &[Cavity], level: Level, as_pilot: Option<Use>) -> bool {
        let net = self.stage.net();
        let feed = Feed::of(&self.stage, &self.point, level).scene;
        let needs = Needs::new(&feed);
        let mut found = Vec::new();
        for cavity in cavities {
            let passage = PartName::new(Kind::Passage, net.name(*cavity));
            let needed = needs.of(*cavity).into_iter();
            found.extend(needed.map(|part| (part, Use::Needed)));
            let used = reach::side(&feed, &passage, Side::Before);
            let used = used.into_iter().flat_map(|(parts, _)| parts);
            found.extend(used.map(|part| (part, Use::Used)));
        }
        let mut news = false;
        for (part, usage) in found {
            news |= self.mark(part, as_pilot.unwrap_or(usage));
        }
        news
    }

    fn is_fed(&self, cavity: Cavity) -> bool {
        self.point.pressures.fed(cavity) == Truth::True
    }

    /// By cavity, the most that something whose oil would be lost with its own needs it: the
    /// cavities that oil passes, and what stands openly beside them under the same pressure.
    fn lost_with(&self) -> Vec<Use> {
        let net = self.stage.net();
        let scene = self.stage.scene(&self.point.held, Level::Low);
        let passage = |c: Cavity| PartName::new(Kind::Passage, net.name(c));
        let mut uses: Vec<Use> = net.cavities().map(|c| self.get(&passage(c))).collect();
        let mut queue: Vec<Cavity> = net.cavities().collect();
        while let Some(from) = queue.pop() {
            for link in scene.onward(from) {
                let beside = link.strength == Strength::Open && link.passes == Passes::Both;
                if beside && self.is_fed(link.to) && uses[from.number()] < uses[link.to.number()] {
                    uses[link.to.number()] = uses[from.number()];
                    queue.push(link.to);
                }
            }
        }
        uses
    }

    /// Marks what keeps the oil in the cavities and ways that are used.
    fn keepers(&mut self) {
        let net = self.stage.net();
        let lost_with = self.lost_with();
        let at = |id: &str| match net.cavity(id) {
            Some(cavity) if id != SUMP => lost_with[cavity.number()],
            _ => Use::Idle,
        };
        let fed = |id: &str| net.cavity(id).is_some_and(|c| self.is_fed(c));
        let mut found = Vec::new();
        for (name, part) in net.circuit().parts() {
            let usage = match part {
                Part::Plate(plate) => {
                    let ways = net.owned_by(&name).into_iter();
                    let lying = ways.map(|way| self.get(net.part(&net.ways()[way.at()])));
                    let cavities = plate.roofs.iter().chain(plate.separates.iter().flatten());
                    let all = lying.chain(cavities.map(|c| at(c)));
                    all.min().unwrap_or(Use::Idle)
                }
                Part::Seal(seal) => match &seal.seat {
                    SealSeat::On(way) => {
                        let way = net.circuit().find(way, &Kind::WAYS);
                        way.map_or(Use::Idle, |way| self.get(&way))
                    }
                    SealSeat::Between([a, b]) => at(a).min(at(b)),
                },
                Part::Regulator(regulator) => match regulator.work {
                    Work::Spills(_) => at(&regulator.holds),
                    // Its feed passes it.
                    Work::Reduces(_) => Use::Idle,
                },
                Part::Relief(relief) => at(&relief.on),
                Part::Accumulator(accumulator) => at(&accumulator.at),
                Part::Tap(tap) => at(&tap.at),
                Part::Ball(ball) => match &ball.kind {
                    BallKind::OneWay { from, to, .. } if !fed(from) => at(to),
                    _ => Use::Idle,
                },
                Part::Solenoid(solenoid) => match &solenoid.kind {
                    SolenoidKind::Bleed { on } => at(on),
                    _ => Use::Idle,
                },
                _ => Use::Idle,
            };
            found.push((name, usage));
        }
        for (part, usage) in found {
            self.mark(part, usage);
        }
    }

    /// Marks what holds used oil back: a metering hole or a clearance between it and an empty cavity, a
    /// two-way solenoid that is shut between the two, a seated ball that keeps it to the hole beside, a
    /// dead end that stands open to it.
    fn hold_back(&mut self) {
        let net = self.stage.net();
        let scene = self.stage.scene(&self.point.held, Level::Low);
        let lost_with = self.lost_with();
        let of = |id: &String| net.cavity(id).unwrap_or(SUMP_CAVITY);
        let used = |c: Cavity| self.is_fed(c) && lost_with[c.number()] < Use::Idle;
        let beside_empty = |[a, b]: &[String; 2]| {
            let (a, b) = (of(a), of(b));
            (used(a) && !self.is_fed(b)) || (used(b) && !self.is_fed(a))
        };
        let parts = net.circuit().parts().filter(|(name, part)| match part {
            Part::Passage(_) => used(of(&name.id)) && self.get(name) == Use::Idle,
            Part::Orifice(hole) => beside_empty(&hole.between),
            Part::Clearance(gap) => beside_empty(&gap.between),
            Part::Solenoid(solenoid) => match &solenoid.kind {
                SolenoidKind::TwoWay { between } => beside_empty(between),
                _ => false,
            },
            Part::Ball(ball) => match &ball.kind {
                BallKind::OneWay { from, to, .. } => {
                    let (from, to) = (of(from), of(to));
                    let mut round = scene.onward(to).filter(|link| link.to == from);
                    used(from)
                        && self.is_fed(to)
                        && round.any(|link| net.part(scene.way(link.way)) != name)
                }
                BallKind::Shuttle { .. } => false,
            },
            _ => false,
        });
        self.holds_back = parts.map(|(name, _)| name).collect();
    }

    /// Marks what holds the used valves where they stand, and what holds that, until no more is
    /// found; whether any was.
    fn pilots(&mut self) -> bool {
        let net = self.stage.net();
        let mut found = false;
        loop {
            let stance = Stance::of(&self.stage, &self.point);
            let mut holding: Vec<Cavity> = Vec::new();
            let mut plungers = Vec::new();
            for (i, valve) in net.valves().iter().enumerate() {
                if self.is_used(&valve.name) {
                    holding.extend(stance.held_by(i));
                    plungers.extend(stance.pushed_by(i));
                }
            }
            for regulator in net.regulators() {
                if self.get(&regulator.name) < Use::Idle {
                    let boost = regulator.boost.iter().copied();
                    holding.extend(boost.filter(|c| self.is_fed(*c)));
                }
            }
            holding.sort_unstable();
            holding.dedup();
            let mut news = self.follow(&holding, Level::Low, Some(Use::Pilot));
            for solenoid in plungers {
                news |= self.mark(solenoid, Use::Pilot);
            }
            found |= news;
            if !news {
                return found;
            }
        }
    }

    /// Marks what the oil of some cavities runs off by, of those that used valves need empty, and
    /// the plates that those ways lie on; whether any was new.
    fn let_go(&mut self, empty: &[Cavity]) -> bool {
        let net = self.stage.net();
        let run_offs = RunOffs::of(self.stage.scene(&self.point.held, Level::Low));
        let valves = net.valves().iter().enumerate();
        let valves = valves.filter(|(_, valve)| self.is_used(&valve.name));
        let stance = Stance::of(&self.stage, &self.point);
        let needed = valves.flat_map(|(i, _)| stance.needs_empty(i));
        let cavities: BTreeSet<Cavity> = empty.iter().copied().chain(needed).collect();
        let passed = cavities.into_iter().flat_map(|c| run_offs.passed(c));
        let mut parts: BTreeSet<PartName> = passed.collect();
        for (plate, _) in &net.circuit().plates {
            let plate = PartName::new(Kind::Plate, plate);
            let ways = net.owned_by(&plate).into_iter();
            let mut lying = ways.map(|way| net.part(&net.ways()[way.at()]));
            if lying.any(|part| parts.contains(part)) {
                parts.insert(plate);
            }
        }
        let news = !parts.is_subset(&self.lets_go);
        self.lets_go.extend(parts);
        news
    }
}

/// A scene with those ways alone that carry oil under pressure from a source on.
struct Feed<'n> {
    scene: Scene<'n>,
}

impl<'n> Feed<'n> {
    fn of(stage: &Stage<'n>, point: &Point, level: Level) -> Self {
        let scene = stage.scene(&point.held, level);
        let values = point.pressures.values(level);
        let oil = balance(&scene, Some(&values));
        let net = scene.net();
        let mut carries = vec![false; scene.way_count()];
        for from in net.cavities() {
            for link in scene.onward(from) {
                let fed = [from, link.to].iter().all(|c| oil.value(*c) == Value::Fed);
                let feeds = fed && wide_enough(&link, &oil) && !stays_shut(&scene, from, &link);
                if feeds || scene.draws(&link) {
                    carries[link.way.at()] = true;
                }
            }
        }
        let idle = (0..net.ways().len()).filter(|way| !carries[*way]);
        let scene = scene.without(idle.map(|way| WayId(way as u32)));
        Feed { scene }
    }
}

/// A leak feeds only what nothing wider does.
fn wide_enough(link: &Link, oil: &Balance) -> bool {
    link.strength > Strength::Leak || oil.supply(link.to) <= Push::Leak
}

/// A sprung ball with an unsprung way beside it.
fn stays_shut(scene: &Scene<'_>, from: Cavity, link: &Link) -> bool {
    let net: &Net<'_> = scene.net();
    let sprung = link.passes == Passes::Excess && net.part(scene.way(link.way)).kind == Kind::Ball;
    let beside = |other: Link| other.to == link.to && other.passes != Passes::Excess;
    sprung && scene.onward(from).any(beside)
}
