//! What two circuits do in each state of both, and what each fault of both does.

use std::collections::HashMap;

use serde::Serialize;

use super::Names;
use crate::answer::sweep::{Scenarios, SweepRecord, Sweeper};
use crate::answer::{Severity, Status, on};
use crate::circuit::{Condition, Fault, Kind, Level, PartName, State};
use crate::net::{Net, Stage};
use crate::settle::{Settled, Span, Value, settle};

/// One state of both.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CompareState {
    /// The state, by its name in the first; none for circuits that declare none.
    pub state: Option<String>,
    /// The outlets of both, in the order of the first.
    pub outlets: Vec<CompareOutlet>,
    /// The taps and pressure switches of both that show another level.
    pub taps: Vec<CompareTap>,
}

/// What an outlet has in both.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CompareOutlet {
    /// The outlet, by its name in the first.
    pub outlet: PartName,
    /// Whether it has its oil in the first.
    pub here: Status,
    /// Between which levels, in the first.
    pub level_here: Span,
    /// Whether it has its oil in the second.
    pub there: Status,
    /// Between which levels, in the second.
    pub level_there: Span,
}

impl CompareOutlet {
    /// Whether it has something else in the second.
    #[must_use]
    pub fn differs(&self) -> bool {
        self.here != self.there || self.level_here != self.level_there
    }
}

/// A tap or a pressure switch that shows another level.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CompareTap {
    /// The tap or switch, by its name in the first.
    pub at: PartName,
    /// What it shows in the first.
    pub here: Span,
    /// What it shows in the second.
    pub there: Span,
}

/// A fault that does more harm in one than in the other.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CompareRole {
    /// The fault, as a reader of the first would type it.
    pub fault: String,
    /// The worst it does in the first.
    pub here: Severity,
    /// The worst it does in the second.
    pub there: Severity,
}

/// The states of both, and those of one alone.
pub(super) fn states(names: &Names<'_>) -> (Vec<CompareState>, Vec<String>) {
    let [ours, theirs] = [names.ours.circuit(), names.theirs.circuit()];
    if ours.states.is_empty() && theirs.states.is_empty() {
        let nameless = State::default();
        return (vec![state(names, None, &nameless, &nameless)], Vec::new());
    }
    let (mut both, mut apart) = (Vec::new(), Vec::new());
    for (id, here) in &ours.states {
        let there = names.there(&PartName::new(Kind::State, id));
        match theirs.states.get(&there.id) {
            Some(there) => both.push(state(names, Some(id), here, there)),
            None => apart.push(id.clone()),
        }
    }
    for id in theirs.states.keys() {
        let here = names.here(&PartName::new(Kind::State, id));
        if !ours.states.contains_key(&here.id) {
            apart.push(here.id);
        }
    }
    (both, apart)
}

fn state(names: &Names<'_>, id: Option<&str>, here: &State, there: &State) -> CompareState {
    let here = settle(&Stage::new(names.ours, here, &[]));
    let there = settle(&Stage::new(names.theirs, there, &[]));
    let look = |net: &Net<'_>, settled: &Settled, name: &PartName| {
        let outlet = net.outlet(name)?;
        let cavity = outlet.user.feed();
        let level = Span::of(|level: Level| -> Value { settled.at_least(level, cavity) });
        Some((on::status(settled, outlet), level))
    };
    let outlets = on::outlets(names.ours).filter_map(|outlet| {
        let there_name = names.there(&outlet.name);
        let (status, level) = look(names.ours, &here, &outlet.name)?;
        let (status_there, level_there) = look(names.theirs, &there, &there_name)?;
        Some(CompareOutlet {
            outlet: outlet.name.clone(),
            here: status,
            level_here: level,
            there: status_there,
            level_there,
        })
    });
    let shows = |net: &Net<'_>, settled: &Settled, name: &PartName| {
        let circuit = net.circuit();
        let at = match name.kind {
            Kind::Tap => &circuit.taps.get(&name.id)?.at,
            _ => &circuit.switches.get(&name.id)?.at,
        };
        let cavity = net.cavity(at)?;
        Some(Span::of(|level: Level| -> Value {
            settled.at_least(level, cavity)
        }))
    };
    let circuit = names.ours.circuit();
    let taps = circuit.taps.keys().map(|id| PartName::new(Kind::Tap, id));
    let switches = circuit
        .switches
        .keys()
        .map(|id| PartName::new(Kind::Switch, id));
    let taps = taps.chain(switches).filter_map(|at| {
        let now = shows(names.ours, &here, &at)?;
        let then = shows(names.theirs, &there, &names.there(&at))?;
        (now != then).then_some(CompareTap {
            at,
            here: now,
            there: then,
        })
    });
    CompareState {
        state: id.map(str::to_owned),
        taps: taps.collect(),
        outlets: outlets.collect(),
    }
}

/// The faults that both can have and that do not do the same, the worst first.
pub(super) fn roles(names: &Names<'_>) -> Vec<CompareRole> {
    let swept = |net: &Net<'_>| -> Vec<(Fault, SweepRecord)> {
        let sweeper = Sweeper::new(net, Scenarios::alone(net.circuit(), |_| true), &[]);
        let records = sweeper.records(0..sweeper.scenarios().count());
        let faults = sweeper.scenarios().faults().iter().cloned();
        faults.zip(records).collect()
    };
    let there: HashMap<Fault, Severity> = swept(names.theirs)
        .into_iter()
        .map(|(fault, record)| (told_here(names, fault), record.severity))
        .collect();
    let mut roles: Vec<CompareRole> = swept(names.ours)
        .into_iter()
        .filter_map(|(fault, record)| {
            let there = *there.get(&fault)?;
            (there != record.severity).then(|| CompareRole {
                fault: names.ours.circuit().say(&fault),
                here: record.severity,
                there,
            })
        })
        .collect();
    roles.sort_by_key(|role| role.here.min(role.there));
    roles
}

/// A fault of the second as the first names it.
fn told_here(names: &Names<'_>, fault: Fault) -> Fault {
    use Condition as C;
    let one = |kind: Kind, id: &str| names.here(&PartName::new(kind, id)).id;
    let cavity = |id: &str| one(Kind::Passage, id);
    let two = |pair: &[String; 2]| {
        let mut pair = pair.each_ref().map(|id| cavity(id));
        pair.sort_unstable();
        pair
    };
    let way = |id: &str| match names.theirs.circuit().find(id, &Kind::WAYS) {
        Ok(way) => names.ours.circuit().short(&names.here(&way)),
        Err(_) => id.to_owned(),
    };
    let condition = match &fault.condition {
        C::Wrong(ways) => {
            let mut ways: Vec<String> = ways.iter().map(|id| way(id)).collect();
            ways.sort();
            C::Wrong(ways)
        }
        C::Leaking(pair) => C::Leaking(two(pair)),
        C::WornBetween(pair) => C::WornBetween(two(pair)),
        C::Porous(other) => C::Porous(cavity(other)),
        C::Misplaced(other) => C::Misplaced(way(other)),
        C::SpringSwapped(other) => C::SpringSwapped(one(Kind::Valve, other)),
        C::Swapped(other) => C::Swapped(one(Kind::Solenoid, other)),
        same => same.clone(),
    };
    Fault {
        part: names.here(&fault.part),
        condition,
    }
    .of_first()
}
