//! The gear-by-part chart: which parts each state uses, and what the bad states share that the
//! good ones do not.

use serde::Serialize;

use super::feed::{Use, Uses};
use super::shared::{Shared, UsedBy};
use super::{Answer, Depth, Status, on, states};
use crate::circuit::{Kind, Level, PartName, State, Truth};
use crate::net::{Cavity, Drive, Net, NetOutlet, Stage, User};
use crate::settle::{Course, Settled, settle};

/// Which parts each state uses.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Chart {
    /// How deep the answer looks.
    pub depth: Depth,
    /// The kinds of parts asked about; empty for all.
    pub kinds: Vec<Kind>,
    /// Each state of the chart, in file order.
    pub states: Vec<ChartState>,
    /// Each part, kind by kind, then in file order.
    pub parts: Vec<ChartPart>,
    /// What bad states share; none where no state was called bad or good.
    pub shared: Option<Shared>,
}

/// One state of the chart.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ChartState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// What is applied, sorted.
    pub applied: Vec<PartName>,
    /// Whether the moving parts come to rest in one place; where not, the chart shows the first
    /// of the places they may end in.
    pub steady: bool,
}

/// One part of the chart.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ChartPart {
    /// The part.
    pub part: PartName,
    /// How each state uses it, in the order of the chart's states. An outlet, converter or cooler
    /// that has its oil is needed.
    pub uses: Vec<Use>,
    /// Whether, in the same order, oil that must be gone in the state runs off by it: that of
    /// outlets that are off or have to be released, and that which would move a used valve or keep it from
    /// stroking. The widest way by which it does counts, with the plates it lies on; leaks do not.
    pub lets_go: Vec<bool>,
    /// Whether, in the same order, it holds back oil that is used: a metering hole or a clearance
    /// between it and an empty cavity, a two-way solenoid shut between the two, a seated ball
    /// that keeps it to the hole beside, a dead end that stands open to it.
    pub holds_back: Vec<bool>,
    /// For a valve its position in each state, for a solenoid `on`, `off` or its level; empty for
    /// others. None where it cannot be said.
    pub stands: Vec<Option<String>>,
}

impl Answer for Chart {
    const NAME: &'static str = "chart";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

impl ChartPart {
    /// Whether the state of a number uses it in some way.
    #[must_use]
    pub fn is_used(&self, state: usize, by: UsedBy) -> bool {
        match by {
            UsedBy::Oil => self.uses[state] < Use::Idle,
            UsedBy::LettingGo => self.lets_go[state],
            UsedBy::HoldingBack => self.holds_back[state],
            UsedBy::Current => {
                let stands = self.stands.get(state).and_then(Option::as_deref);
                self.part.kind == Kind::Solenoid && stands.is_some_and(|word| word != "off")
            }
        }
    }
}

/// Draws up which parts each state of the sound circuit uses, for parts of some kinds or of all.
///
/// With states called bad or good the chart has those alone; where only bad ones are named all
/// others are good, and the other way round. [`Use`] says what counts as used. A two-sided outlet
/// that is held off uses what feeds its release side. Beside that a state needs what lets oil go
/// that must be gone, what holds back oil that is used, and the solenoids that have current; each of
/// these is counted by itself when bad states are held against good ones.
///
/// ```
/// use oilpath::{answer::{self, Use}, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     lever = ["low", "high"]
///     [casting]
///     block = { passages = ["line", "low-feed", "high-feed", "high-drum"] }
///     [source]
///     pump = { feeds = "line" }
///     [valve.range]
///     bore = ["sump", "low-feed", "line", "high-feed", "sump"]
///     low = { joins = [["line", "low-feed"], ["high-feed", "sump"]], otherwise = true }
///     high = { joins = [["line", "high-feed"], ["low-feed", "sump"]], when = "lever.high" }
///     [orifice]
///     soft = { between = ["high-feed", "high-drum"] }
///     [outlet]
///     low-clutch = { kind = "clutch", at = "low-feed" }
///     high-clutch = { kind = "clutch", at = "high-drum" }
///     [state]
///     low = { lever = "low", applies = ["low-clutch"] }
///     high = { lever = "high", applies = ["high-clutch"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let chart = answer::chart(&net, &[], &["high".to_owned()], &[]);
/// let soft = chart.parts.iter().find(|p| p.part.id == "soft").unwrap();
/// assert_eq!(soft.uses, [Use::Idle, Use::Needed]);
/// let shared = chart.shared.unwrap();
/// let ids: Vec<_> = shared.exactly().map(|p| p.id.as_str()).collect();
/// // In high the oil of low must be gone; all else is on the way to the high clutch.
/// assert_eq!(ids, ["low-feed", "high-feed", "high-drum", "soft", "high-clutch"]);
/// ```
#[must_use]
pub fn chart(net: &Net<'_>, kinds: &[Kind], bad: &[String], good: &[String]) -> Chart {
    let circuit = net.circuit();
    let every: Vec<&String> = circuit.states.keys().collect();
    let called = |these: &[String], others: &[String]| -> Vec<String> {
        let all = every.iter().copied();
        let chosen = all.filter(|s| match these {
            [] => !others.contains(s),
            these => these.contains(s),
        });
        chosen.cloned().collect()
    };
    let compared = !(bad.is_empty() && good.is_empty());
    let (bad, good) = match compared {
        true => (called(bad, good), called(good, bad)),
        false => Default::default(),
    };
    let in_chart = |id: &Option<&str>| {
        let named = |s: &String| Some(s.as_str()) == *id;
        !compared || bad.iter().chain(&good).any(named)
    };
    let states = states(circuit, None);
    let columns: Vec<Column> = states
        .into_iter()
        .filter(|(id, _)| in_chart(id))
        .map(|(id, state)| Column::of(net, id, state))
        .collect();
    let parts: Vec<ChartPart> = circuit
        .parts()
        .map(|(part, _)| part)
        .filter(|part| match kinds {
            [] => is_charted(part.kind),
            kinds => kinds.contains(&part.kind),
        })
        .map(|part| ChartPart {
            uses: columns.iter().map(|column| column.usage(&part)).collect(),
            lets_go: columns.iter().map(|c| c.uses.lets_go(&part)).collect(),
            holds_back: columns.iter().map(|c| c.uses.holds_back(&part)).collect(),
            stands: columns.iter().flat_map(|c| c.stands(net, &part)).collect(),
            part,
        })
        .collect();
    let states: Vec<ChartState> = columns.into_iter().map(|column| column.state).collect();
    Chart {
        depth: Depth::Settle,
        kinds: kinds.to_vec(),
        shared: compared.then(|| Shared::of(&states, &parts, bad, good)),
        states,
        parts,
    }
}

/// Kinds that oil can use.
fn is_charted(kind: Kind) -> bool {
    let other = [
        Kind::Casting,
        Kind::Oil,
        Kind::Switch,
        Kind::Input,
        Kind::State,
    ];
    !other.contains(&kind)
}

/// One state, settled.
struct Column<'n> {
    state: ChartState,
    stage: Stage<'n>,
    settled: Settled,
    uses: Uses<'n>,
}

impl<'n> Column<'n> {
    fn of(net: &'n Net<'n>, id: Option<&str>, state: &State) -> Self {
        let stage = Stage::new(net, state, &[]);
        let settled = settle(&stage);
        let end = &settled.ends[0];
        let drawn = net.outlets().iter().filter_map(|outlet| {
            let least = match outlet.by_pressure {
                true => Level::Low,
                false => Level::Fill,
            };
            let status = end.pressures.status(outlet.user, outlet.by_pressure);
            Some((drawn_from(outlet, status, &stage, &settled)?, least))
        });
        let drawn: Vec<_> = drawn.collect();
        let empty = net.outlets().iter().filter(|outlet| outlet.by_pressure);
        let empty = empty.filter_map(|outlet| {
            let status = end.pressures.status(outlet.user, outlet.by_pressure);
            emptied(outlet.user, status).filter(|c| end.pressures.fed(*c) == Truth::False)
        });
        let empty: Vec<Cavity> = empty.collect();
        Column {
            state: ChartState {
                state: id.map(str::to_owned),
                applied: on::applied(net, &settled).into_iter().cloned().collect(),
                steady: settled.course == Course::Steady,
            },
            uses: Uses::of(&stage, end, &drawn, &empty),
            settled,
            stage,
        }
    }

    fn usage(&self, part: &PartName) -> Use {
        let usage = self.uses.get(part);
        // A filter is there for what lies behind it.
        let outlet = self
            .stage
            .net()
            .outlet(part)
            .filter(|_| part.kind != Kind::Filter);
        match outlet.map(|outlet| on::status(&self.settled, outlet)) {
            Some(Status::On) => Use::Needed,
            _ => usage,
        }
    }

    fn stands(&self, net: &Net<'_>, part: &PartName) -> Option<Option<String>> {
        let circuit = net.circuit();
        match part.kind {
            Kind::Valve => {
                let (i, _, body) = circuit.valves.get_full(&part.id)?;
                let stands = match self.settled.positions(i)[..] {
                    [Some(place)] => body.positions.get_index(place as usize),
                    _ => None,
                };
                Some(stands.map(|(name, _)| name.clone()))
            }
            Kind::Solenoid => {
                let i = circuit.solenoids.get_index_of(&part.id)?;
                let word = match self.stage.drives().solenoids[i] {
                    Drive::On => "on",
                    Drive::Off => "off",
                    Drive::At(level) => level.word(),
                };
                Some(Some(word.to_owned()))
            }
            _ => None,
        }
    }
}

/// The cavity whose oil an outlet draws on: one that is held off draws on its release side.
fn drawn_from(
    outlet: &NetOutlet,
    status: Status,
    stage: &Stage<'_>,
    settled: &Settled,
) -> Option<Cavity> {
    let end = &settled.ends[0];
    match (outlet.user, status) {
        (_, Status::On) => match outlet.user {
            User::Through { way, .. } => {
                let scene = stage.scene(&end.held, Level::Low);
                let passes = scene.setting(way).strength().is_some();
                passes.then_some(outlet.user.feed())
            }
            user => Some(user.feed()),
        },
        (User::TwoSided { apply, release }, Status::Off) => {
            let fed = [apply, release].map(|c| end.pressures.fed(c));
            let held_off = fed.iter().all(|f| *f == Truth::True);
            held_off.then_some(release)
        }
        _ => None,
    }
}

/// The side of an outlet that must be empty: of one that is off the side that applies it, of one that is
/// on the side that would release it.
fn emptied(user: User, status: Status) -> Option<Cavity> {
    match (user, status) {
        (User::TwoSided { release, .. }, Status::On) => Some(release),
        (User::Leaf(at) | User::TwoSided { apply: at, .. }, Status::Off) => Some(at),
        _ => None,
    }
}
