//! What the oil of a cavity is there for, or what has become of it.

use serde::Serialize;

use crate::circuit::{Kind, PartName, SolenoidKind};
use crate::net::{Cavity, Net, Passes, SUMP_CAVITY, Way};

/// What the oil of a cavity is there for, or what has become of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Pressure as a source makes it.
    Supply,
    /// Pressure that a regulator has reduced.
    Regulated,
    /// Oil that moves a valve and does nothing else.
    Pilot,
    /// What a regulator spills: converter, cooler, lube.
    Lube,
    /// Full of oil and under no pressure: on its way to a pump, or kept full.
    Slack,
    /// Run off to the sump.
    Drained,
    /// Fed and drained equally hard.
    Contested,
    /// Sealed off: it keeps what it held.
    Trapped,
    /// Cannot be said.
    Undecided,
}

impl Role {
    /// Every role, in the order of a legend.
    pub const ALL: [Role; 9] = [
        Role::Supply,
        Role::Regulated,
        Role::Pilot,
        Role::Lube,
        Role::Slack,
        Role::Drained,
        Role::Contested,
        Role::Trapped,
        Role::Undecided,
    ];

    /// Its word, which is also its class in a drawing.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Role::Supply => "supply",
            Role::Regulated => "regulated",
            Role::Pilot => "pilot",
            Role::Lube => "lube",
            Role::Slack => "slack",
            Role::Drained => "drained",
            Role::Contested => "contested",
            Role::Trapped => "trapped",
            Role::Undecided => "undecided",
        }
    }

    /// The letter that says the same where no colour does.
    #[must_use]
    pub fn letter(self) -> char {
        match self {
            Role::Supply => 'S',
            Role::Regulated => 'R',
            Role::Pilot => 'P',
            Role::Lube => 'L',
            Role::Slack => 'N',
            Role::Drained => 'D',
            Role::Contested => 'C',
            Role::Trapped => 'T',
            Role::Undecided => '?',
        }
    }

    /// What it means, for a legend.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Role::Supply => "supply: source pressure",
            Role::Regulated => "regulated: reduced pressure",
            Role::Pilot => "pilot: moves a valve",
            Role::Lube => "lube: what a regulator spills",
            Role::Slack => "slack: full of oil, no pressure",
            Role::Drained => "drained: run off to the sump",
            Role::Contested => "contested: fed and drained",
            Role::Trapped => "trapped: sealed, keeps its oil",
            Role::Undecided => "undecided: cannot be said",
        }
    }
}

/// What the oil of each cavity is there for, by number, whatever the state: the sump's is drained.
pub(super) fn natures(net: &Net<'_>) -> Vec<Role> {
    let of_regulator = |way: &Way| net.part(way).kind == Kind::Regulator;
    let spills = |way: &Way| way.passes == Passes::Excess && of_regulator(way);
    let reduces = |way: &Way| way.passes == Passes::Both && of_regulator(way);
    let unspilled = reach(net, |way| !spills(way));
    let unreduced = reach(net, |way| !reduces(way));
    let pilots = pilots(net);
    let role = |cavity: Cavity| match cavity {
        SUMP_CAVITY => Role::Drained,
        at if net.draws_through(at) => Role::Slack,
        at if pilots[at.number()] => Role::Pilot,
        at if !unspilled[at.number()] => Role::Lube,
        at if !unreduced[at.number()] => Role::Regulated,
        _ => Role::Supply,
    };
    net.cavities().map(role).collect()
}

/// Cavities that sources reach by ways that `may` be taken, whatever stands where.
fn reach(net: &Net<'_>, may: impl Fn(&Way) -> bool) -> Vec<bool> {
    let mut reached = vec![false; net.cavity_count()];
    // The sump ends every way.
    reached[SUMP_CAVITY.number()] = true;
    let mut queue: Vec<Cavity> = net.sources().iter().map(|s| s.feeds).collect();
    for cavity in &queue {
        reached[cavity.number()] = true;
    }
    while let Some(at) = queue.pop() {
        for way in net.ways_at(at).filter(|way| may(way)) {
            let to = match way.ends {
                [from, to] if from == at => to,
                [to, _] if way.passes == Passes::Both && !is_through(net.part(way)) => to,
                _ => continue,
            };
            if !std::mem::replace(&mut reached[to.number()], true) {
                queue.push(to);
            }
        }
    }
    reached
}

/// Whether oil is there to go through it one way, though nothing holds it to that.
fn is_through(part: &PartName) -> bool {
    matches!(part.kind, Kind::Filter | Kind::Converter | Kind::Cooler)
}

/// Cavities that some valve is moved by and that feed nothing through a valve, and what a bleed
/// solenoid dumps.
fn pilots(net: &Net<'_>) -> Vec<bool> {
    let mut pilots = vec![false; net.cavity_count()];
    let rules = net.valves().iter().flat_map(|v| v.rules.iter().flatten());
    for cavity in rules.flat_map(|rule| rule.cavities()) {
        let joined = net.ways_at(cavity).any(|way| way.position().is_some());
        pilots[cavity.number()] |= !joined;
    }
    for solenoid in net.circuit().solenoids.values() {
        if let SolenoidKind::Bleed { on } = &solenoid.kind
            && let Some(cavity) = net.cavity(on)
        {
            pilots[cavity.number()] = true;
        }
    }
    pilots
}
