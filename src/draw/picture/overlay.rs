//! What a state and faults make of the oil: roles of cavities, ways open and shut, valves where
//! they stand, what became of the outlets.

use super::part::{Bench, Toward};
use super::{Item, Passing, Shape, Spool};
use crate::answer::starve;
use crate::circuit::{Fault, Kind, Level, PartName, State, Valve};
use crate::draw::role::Role;
use crate::net::{Cavity, Drive, Net, SUMP_CAVITY, Scene, Stage, WayId};
use crate::settle::{Balance, Cause, Point, Settled, Value, balance, settle};

/// A settled state with its faults.
pub(super) struct Overlay<'n> {
    net: &'n Net<'n>,
    stage: Stage<'n>,
    settled: Settled,
    ends: Vec<End<'n>>,
}

/// One end of settling.
struct End<'n> {
    scene: Scene<'n>,
    balance: Balance,
}

impl<'n> Overlay<'n> {
    pub fn of(net: &'n Net<'n>, state: &State, faults: &[Fault]) -> Self {
        let stage = Stage::new(net, state, faults);
        let settled = settle(&stage);
        let end = |point: &Point| {
            let scene = stage.scene(&point.held, Level::Low);
            let balance = balance(&scene, Some(&point.pressures.values(Level::Low)));
            End { scene, balance }
        };
        Overlay {
            net,
            ends: settled.ends.iter().map(end).collect(),
            settled,
            stage,
        }
    }

    /// What has become of a cavity's oil: where the ends differ, it cannot be said.
    pub fn role(&self, cavity: Cavity, nature: Role) -> Role {
        if nature == Role::Slack {
            return nature;
        }
        let ends = self.settled.ends.iter().zip(&self.ends);
        let roles = ends.map(|(point, end)| {
            let cause = end.balance.cause(cavity);
            let has = |level| point.pressures.at_least(level, cavity);
            match has(Level::Low) {
                // What a bearing uses up is not shut in.
                _ if cause == Cause::Trapped && !self.net.consumes(cavity) => Role::Trapped,
                Value::Fed => nature,
                Value::Drained if has(Level::Fill) == Value::Fed => Role::Slack,
                Value::Drained => Role::Drained,
                Value::Undecided if matches!(cause, Cause::Contested(_)) => Role::Contested,
                Value::Undecided => Role::Undecided,
            }
        });
        let roles: Vec<Role> = roles.collect();
        let empty = |role: &Role| matches!(role, Role::Drained | Role::Slack);
        match one(roles.iter().copied()) {
            Some(role) => role,
            // Kept full at some ends, but under pressure at none.
            None if roles.iter().all(empty) => Role::Drained,
            None => Role::Undecided,
        }
    }

    /// Whether oil passes between a cavity and a part.
    pub fn passing(&self, cavity: Cavity, part: &PartName) -> Passing {
        let at = |way: &WayId| self.net.ways()[way.at()].ends.contains(&cavity);
        let ways: Vec<WayId> = self.net.ways_of(part).filter(at).collect();
        self.any_open(&ways)
    }

    /// Whether oil passes a part at all.
    pub fn through(&self, part: &PartName) -> Passing {
        let ways: Vec<WayId> = self.net.ways_of(part).collect();
        self.any_open(&ways)
    }

    /// Whether any of some ways is open; without any, what joins is no way and always so.
    fn any_open(&self, ways: &[WayId]) -> Passing {
        if ways.is_empty() {
            return Passing::Open;
        }
        let ends = self.ends.iter().map(|end| {
            let settings = ways.iter().map(|way| end.scene.setting(*way));
            let open = settings.filter(|s| s.strength().is_some());
            match open.map(|s| s.sure()).max() {
                Some(true) => Passing::Open,
                Some(false) => Passing::Unsure,
                None => Passing::Shut,
            }
        });
        one(ends).unwrap_or(Passing::Unsure)
    }

    /// Whether a one-way part has lost its one way at every end.
    fn is_bared(&self, part: &PartName) -> bool {
        let mut ways = self.net.ways_of(part);
        ways.any(|way| self.ends.iter().all(|end| end.scene.setting(way).bared()))
    }

    /// Lays the state over items and joints: passing, positions, verdicts, leaks.
    pub fn lay(&self, bench: &mut Bench<'n>) {
        for item in &mut bench.items {
            item.passing = self.through(&item.name);
            item.detail = self.stands(item).or(item.detail.take());
            if let Shape::Valve(spool) = &mut item.shape {
                self.join(&item.name, spool);
            }
        }
        for joint in &mut bench.joints {
            let item = &bench.items[joint.part];
            if matches!(item.shape, Shape::Ball { .. }) && self.is_bared(&item.name) {
                joint.toward = Toward::Either;
            }
        }
        self.leaks(bench);
    }

    /// Where a valve stands or whether a solenoid has current, for the detail of its item; none
    /// for anything else.
    pub fn stands(&self, item: &Item) -> Option<String> {
        if let Shape::Valve(_) = item.shape {
            return Some(self.place(&item.name));
        }
        let current = self.current(&item.name)?;
        let size = item.detail.as_ref().map(|size| format!(", {size}"));
        Some(current + &size.unwrap_or_default())
    }

    /// Whether a solenoid has current.
    fn current(&self, name: &PartName) -> Option<String> {
        let solenoids = &self.net.circuit().solenoids;
        let number = solenoids.get_index_of(&name.id)?;
        (name.kind == Kind::Solenoid).then(|| match self.stage.drives().solenoids[number] {
            Drive::On => "current".to_owned(),
            Drive::Off => "no current".to_owned(),
            Drive::At(level) => format!("half current: {level}"),
        })
    }

    /// Where a valve stands, in words.
    fn place(&self, name: &PartName) -> String {
        let Some((number, _, valve)) = self.net.circuit().valves.get_full(&name.id) else {
            return String::new();
        };
        let places = self.settled.positions(number);
        let words = places.iter().map(|p| named(valve, p).unwrap_or("?"));
        words.collect::<Vec<&str>>().join(" or ")
    }

    /// Notes on a spool what it joins where it stands, if it stands in one place.
    fn join(&self, name: &PartName, spool: &mut Spool) {
        let Some((number, _, valve)) = self.net.circuit().valves.get_full(&name.id) else {
            return;
        };
        let places = self.settled.positions(number);
        if let [place] = &places[..]
            && let Some(position) = named(valve, place).and_then(|id| valve.positions.get(id))
        {
            for join in &position.joins {
                spool
                    .joined
                    .extend(join.cavities.windows(2).filter_map(|pair| {
                        let mut ports = nearest(&valve.bore, &pair[0], &pair[1])?;
                        ports.sort_unstable();
                        Some(ports)
                    }));
            }
        }
    }

    /// Adds the ways that faults opened.
    fn leaks(&self, bench: &mut Bench<'n>) {
        let Some(end) = self.ends.first() else {
            return;
        };
        let scene = &end.scene;
        for way in (self.net.ways().len()..scene.way_count()).map(|i| WayId(i as u32)) {
            let body = scene.way(way);
            let name = self.net.part(body).clone();
            let number = bench.items.len();
            let count = bench.items.iter().filter(|i| i.name == name).count();
            let key = format!("leak-{}-{}-{count}", name.kind, name.id);
            let mut item = bench.item(&name, key, Shape::Leak);
            let ends = body.ends.map(|c| match c {
                SUMP_CAVITY => "the sump",
                cavity => self.net.name(cavity),
            });
            item.title = format!("leak between {} and {}: {}", ends[0], ends[1], item.title);
            item.detail = None;
            bench.items.push(item);
            for cavity in body.ends {
                bench.join(number, cavity, Toward::Either, "");
            }
        }
    }
}

/// What a place of a valve is called; none where it is not known.
fn named<'v>(valve: &'v Valve, place: &Option<u32>) -> Option<&'v str> {
    let position = valve.positions.get_index((*place)? as usize)?;
    Some(position.0.as_str())
}

/// The two ports of a bore that are two cavities and lie nearest to each other.
fn nearest(bore: &[String], a: &str, b: &str) -> Option<[usize; 2]> {
    let ports = |of: &str| -> Vec<usize> {
        let ports = bore.iter().enumerate();
        ports.filter(|(_, c)| *c == of).map(|(i, _)| i).collect()
    };
    let (from, to) = (ports(a), ports(b));
    let pairs = from.iter().flat_map(|i| to.iter().map(move |j| [*i, *j]));
    pairs.min_by_key(|[i, j]| i.abs_diff(*j))
}

/// What all ends agree on.
fn one<T: PartialEq>(mut ends: impl Iterator<Item = T>) -> Option<T> {
    let first = ends.next()?;
    ends.all(|other| other == first).then_some(first)
}

/// Marks what became of the outlets and which parts are faulty.
pub(super) fn judge(net: &Net<'_>, items: &mut [Item], state: Option<&str>, faults: &[Fault]) {
    let answer = starve(net, faults, state);
    let outlets = answer.states.iter().flat_map(|s| &s.outlets);
    for verdict in outlets {
        let item = items.iter_mut().find(|i| i.name == verdict.outlet);
        if let Some(item) = item {
            item.verdict = Some(verdict.verdict);
        }
    }
}
