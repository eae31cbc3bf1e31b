//! What an author of a circuit file may have left out: what no state uses, and drains and ways back
//! that a reader of charts tends to forget.

use std::collections::BTreeSet;

use serde::Serialize;

use super::drives::Settling;
use super::{Answer, Depth, on};
use crate::circuit::{Kind, Level, PartName};
use crate::net::{Cavity, Drive, Net, Passes, SUMP_CAVITY, Stage, User, WayId};
use crate::settle::{Cause, Status, Value, balance, leads_anywhere};

/// What to look at once more in a circuit file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Checklist {
    /// How deep the answer looks.
    pub depth: Depth,
    /// How many states were looked at.
    pub states: usize,
    /// What to look at, sorted by what it is.
    pub items: Vec<ChecklistItem>,
}

/// One thing to look at.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ChecklistItem {
    /// What it is.
    pub what: Unchecked,
    /// The part.
    pub part: PartName,
    /// Of a valve: the position, or the cavity at an end of it.
    pub of: Option<String>,
    /// The states in which it shows; empty where it is so in all.
    pub states: Vec<String>,
}

/// What may have been left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Unchecked {
    /// A clutch, brake, servo or lock-up that should let go is shut in instead: nothing drains it.
    NoDrain,
    /// The oil at an end of a spool has nowhere to go: it cannot stroke.
    NoWayBack,
    /// Nothing limits the pressure of a pump.
    NoLimit,
    /// No state puts the valve in this position.
    NeverStands,
    /// No state brings oil to the cavity.
    NeverFed,
    /// No oil goes through the part in any state.
    NeverPassed,
    /// No state gives the solenoid current, or every one does.
    NeverSwitched,
    /// No state applies it.
    NeverApplied,
    /// What it needs is not said: nothing can be told of how much is enough.
    NoNeed,
}

impl Answer for Checklist {
    const NAME: &'static str = "checklist";
    const VERSION: u32 = 1;

    /// Whatever is listed may be as it should.
    fn wrong(&self) -> bool {
        false
    }
}

/// Asks what an author may have left out of a circuit.
///
/// ```
/// use oilpath::{answer::{self, Unchecked}, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     lever = ["N", "D"]
///     [casting]
///     block = { passages = ["line", "feed"] }
///     [source]
///     supply = { feeds = "line", pressure = "10 bar" }
///     [valve.hand]
///     bore = ["sump", "feed", "line", "sump"]
///     neutral = { joins = [], otherwise = true }       # the drain is forgotten
///     drive = { joins = [["line", "feed"]], when = "lever.D" }
///     [outlet]
///     clutch = { kind = "clutch", at = "feed", needs = "8 bar" }
///     [state]
///     neutral = { lever = "N" }
///     drive = { lever = "D", applies = ["clutch"] }
/// "#).unwrap().circuit;
/// let list = answer::checklist(&Net::new(&circuit).unwrap());
/// assert_eq!(list.items[0].what, Unchecked::NoDrain);
/// assert_eq!(list.items[0].part.id, "clutch");
/// ```
#[must_use]
pub fn checklist(net: &Net<'_>) -> Checklist {
    let mut seen = Seen::default();
    let states = Settling::every(net);
    for one in &states {
        seen.look(net, one);
    }
    let mut items = seen.items(net, states.len());
    items.extend(unsaid(net));
    items.sort();
    Checklist {
        depth: Depth::Settle,
        states: states.len(),
        items,
    }
}

/// What all states together use.
#[derive(Default)]
struct Seen {
    stood: BTreeSet<(usize, u32)>,
    fed: BTreeSet<Cavity>,
    passed: BTreeSet<PartName>,
    applied: BTreeSet<PartName>,
    current: Vec<usize>,
    /// What shows in one state.
    shown: Vec<(Unchecked, PartName, Option<String>, String)>,
}

impl Seen {
    /// Looks at one state.
    fn look(&mut self, net: &Net<'_>, one: &Settling<'_>) {
        let stage = Stage::new(net, one.state, &[]);
        let name = one.id.unwrap_or_default();
        for (valve, _) in net.valves().iter().enumerate() {
            let places = one.settled.positions(valve).into_iter().flatten();
            self.stood.extend(places.map(|place| (valve, place)));
        }
        self.applied.extend(one.applied.iter().cloned());
        let drives = stage.drives().solenoids.iter();
        self.current.resize(net.circuit().solenoids.len(), 0);
        for (count, drive) in self.current.iter_mut().zip(drives) {
            *count += usize::from(*drive != Drive::Off);
        }
        for point in &one.settled.ends {
            let scene = stage.scene(&point.held, Level::Low);
            let has = |cavity| point.pressures.at_least(Level::Fill, cavity) == Value::Fed;
            self.fed.extend(net.cavities().filter(|c| has(*c)));
            for (number, way) in net.ways().iter().enumerate() {
                let open = scene.setting(WayId(number as u32)).strength().is_some();
                let reached = match way.passes {
                    Passes::Both => way.ends.iter().any(|end| has(*end)),
                    Passes::Forward | Passes::Excess => has(way.ends[0]),
                };
                if open && reached {
                    self.passed.insert(net.part(way).clone());
                }
            }
            let low = balance(&scene, Some(&point.pressures.values(Level::Low)));
            let shut_in = |c: Cavity| c != SUMP_CAVITY && low.cause(c) == Cause::Trapped;
            for outlet in net.outlets().iter().filter(|o| o.by_pressure) {
                let on = on::status(&one.settled, outlet) == Status::On;
                let sides = match outlet.user {
                    User::Leaf(cavity) => vec![cavity],
                    User::TwoSided { apply, release } => vec![apply, release],
                    User::Through { .. } => continue,
                };
                if let (false, Some(side)) = (on, sides.into_iter().find(|c| shut_in(*c))) {
                    self.show(Unchecked::NoDrain, &outlet.name, Some(net.name(side)), name);
                }
            }
            for valve in net.valves() {
                let stuck = valve.ends.iter().find(|end| !leads_anywhere(&scene, **end));
                if let Some(end) = stuck {
                    self.show(
                        Unchecked::NoWayBack,
                        &valve.name,
                        Some(net.name(*end)),
                        name,
                    );
                }
            }
        }
    }

    fn show(&mut self, what: Unchecked, part: &PartName, of: Option<&str>, state: &str) {
        let found = (what, part.clone(), of.map(str::to_owned), state.to_owned());
        if !self.shown.contains(&found) {
            self.shown.push(found);
        }
    }

    /// What shows in states, and what shows in none.
    fn items(&self, net: &Net<'_>, states: usize) -> Vec<ChecklistItem> {
        let circuit = net.circuit();
        let mut items: Vec<ChecklistItem> = Vec::new();
        for (what, part, of, state) in &self.shown {
            let same = |i: &&mut ChecklistItem| i.what == *what && i.part == *part && i.of == *of;
            match items.iter_mut().find(same) {
                Some(item) => item.states.push(state.clone()),
                None => items.push(ChecklistItem {
                    what: *what,
                    part: part.clone(),
                    of: of.clone(),
                    states: vec![state.clone()],
                }),
            }
        }
        for item in &mut items {
            if item.states.len() == states {
                item.states.clear();
            }
        }
        for (number, (id, valve)) in circuit.valves.iter().enumerate() {
            for (place, position) in (0..).zip(valve.positions.keys()) {
                if !self.stood.contains(&(number, place)) {
                    let part = PartName::new(Kind::Valve, id);
                    items.push(never(Unchecked::NeverStands, part, Some(position)));
                }
            }
        }
        let empty = net
            .cavities()
            .filter(|c| !self.fed.contains(c) && *c != SUMP_CAVITY);
        let empty: BTreeSet<Cavity> = empty.filter(|c| !net.draws_through(*c)).collect();
        for cavity in &empty {
            let part = PartName::new(Kind::Passage, net.name(*cavity));
            items.push(never(Unchecked::NeverFed, part, None));
        }
        for way in net.ways() {
            let part = net.part(way);
            // What opens only above a pressure is to stay shut; what joins an empty cavity goes with it.
            let waits = way.passes == Passes::Excess || !Kind::WAYS.contains(&part.kind);
            let goes_with = way
                .ends
                .iter()
                .any(|end| *end != SUMP_CAVITY && (empty.contains(end) || net.draws_through(*end)));
            let item = never(Unchecked::NeverPassed, part.clone(), None);
            if !waits && !goes_with && !self.passed.contains(part) && !items.contains(&item) {
                items.push(item);
            }
        }
        for (id, count) in circuit.solenoids.keys().zip(&self.current) {
            if *count == 0 || *count == states {
                let part = PartName::new(Kind::Solenoid, id);
                items.push(never(Unchecked::NeverSwitched, part, None));
            }
        }
        for outlet in net.outlets().iter().filter(|o| o.by_pressure) {
            if !self.applied.contains(&outlet.name) {
                items.push(never(Unchecked::NeverApplied, outlet.name.clone(), None));
            }
        }
        items
    }
}

fn never(what: Unchecked, part: PartName, of: Option<&String>) -> ChecklistItem {
    ChecklistItem {
        what,
        part,
        of: of.cloned(),
        states: Vec::new(),
    }
}

/// What the file itself does not say: what an outlet needs, where others say it; what holds down
/// the pressure of a pump.
fn unsaid(net: &Net<'_>) -> Vec<ChecklistItem> {
    let circuit = net.circuit();
    let mut items = Vec::new();
    let known = circuit
        .outlets
        .values()
        .any(|outlet| outlet.needs.is_some());
    for (id, outlet) in &circuit.outlets {
        if known && outlet.needs.is_none() {
            items.push(never(
                Unchecked::NoNeed,
                PartName::new(Kind::Outlet, id),
                None,
            ));
        }
    }
    let held = circuit.regulators.values().map(|r| &r.holds);
    let held = held.chain(circuit.reliefs.values().map(|r| &r.on));
    let held: Vec<Cavity> = held.filter_map(|id| net.cavity(id)).collect();
    for (id, source) in &circuit.sources {
        let joined = net.cavity(&source.feeds).map(|from| joined(net, from));
        let limited = joined.is_some_and(|joined| held.iter().any(|c| joined.contains(c)));
        if source.pressure.is_none() && !limited {
            items.push(never(
                Unchecked::NoLimit,
                PartName::new(Kind::Source, id),
                None,
            ));
        }
    }
    items
}

/// Every cavity that ways join to one, whichever way oil goes, the sump left out.
fn joined(net: &Net<'_>, from: Cavity) -> BTreeSet<Cavity> {
    let mut joined = BTreeSet::from([from]);
    let mut open = vec![from];
    while let Some(at) = open.pop() {
        let ways = net.ways().iter().filter(|way| way.ends.contains(&at));
        let ends = ways
            .flat_map(|way| way.ends)
            .filter(|end| *end != SUMP_CAVITY);
        open.extend(ends.filter(|end| joined.insert(*end)));
    }
    joined
}
