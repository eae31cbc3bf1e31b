//! The gear-by-part chart: which parts each state uses, and what the bad states share that the
//! good ones do not.

use serde::Serialize;

use super::feed::{Use, Uses};
use super::{Answer, Depth, Status, on, states};
use crate::circuit::{Kind, Level, PartName, State};
use crate::net::{Drive, Net, NetOutlet, Stage, User};
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
    /// For a valve its position in each state, for a solenoid `on`, `off` or its level; empty for
    /// others. None where it cannot be said.
    pub stands: Vec<Option<String>>,
}

/// What bad states use and good ones do not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Shared {
    /// The bad states.
    pub bad: Vec<String>,
    /// The good states.
    pub good: Vec<String>,
    /// The parts that a greater share of the bad states uses than of the good: first those that
    /// all bad ones use and no good one, then by how many bad ones, then by how few good ones.
    pub parts: Vec<SharedPart>,
}

/// How many of the bad and the good states use a part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SharedPart {
    /// The part.
    pub part: PartName,
    /// Bad states that use it.
    pub bad: usize,
    /// Good states that use it.
    pub good: usize,
}

impl Answer for Chart {
    const NAME: &'static str = "chart";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

impl Shared {
    /// The parts that all bad states use and no good one.
    pub fn exactly(&self) -> impl Iterator<Item = &PartName> {
        let all = |p: &&SharedPart| p.bad == self.bad.len() && p.good == 0;
        self.parts.iter().filter(all).map(|p| &p.part)
    }
}

/// Draws up which parts each state of the sound circuit uses, for parts of some kinds or of all.
///
/// With states called bad or good the chart has those alone; where only bad ones are named all
/// others are good, and the other way round. [`Use`] says what counts as used. A two-sided outlet
/// that is held off uses what feeds its release side.
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
/// assert_eq!(ids, ["high-feed", "high-drum", "soft", "high-clutch"]);
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
            stands: columns.iter().flat_map(|c| c.stands(net, &part)).collect(),
            part,
        })
        .collect();
    let states: Vec<ChartState> = columns.into_iter().map(|column| column.state).collect();
    Chart {
        depth: Depth::Settle,
        kinds: kinds.to_vec(),
        shared: compared.then(|| shared(&states, &parts, bad, good)),
        states,
        parts,
    }
}

/// Kinds that oil can use.
fn is_charted(kind: Kind) -> bool {
    let other = [
        Kind::Casting,
        Kind::Oil,
        Kind::Tap,
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
        Column {
            state: ChartState {
                state: id.map(str::to_owned),
                applied: on::applied(net, &settled).into_iter().cloned().collect(),
                steady: settled.course == Course::Steady,
            },
            uses: Uses::of(&stage, end, &drawn),
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
) -> Option<crate::net::Cavity> {
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
            let held_off = fed.iter().all(|f| *f == crate::circuit::Truth::True);
            held_off.then_some(release)
        }
        _ => None,
    }
}

fn shared(
    states: &[ChartState],
    parts: &[ChartPart],
    bad: Vec<String>,
    good: Vec<String>,
) -> Shared {
    let count = |part: &ChartPart, these: &[String]| {
        let used = states.iter().zip(&part.uses).filter(|(state, usage)| {
            let named = state.state.as_ref().is_some_and(|id| these.contains(id));
            named && **usage < Use::Idle
        });
        used.count()
    };
    let mut found: Vec<SharedPart> = parts
        .iter()
        .map(|part| SharedPart {
            part: part.part.clone(),
            bad: count(part, &bad),
            good: count(part, &good),
        })
        // A greater share of the bad than of the good.
        .filter(|p| p.bad > 0 && p.bad * good.len() >= p.good * bad.len())
        .filter(|p| p.good == 0 || p.bad * good.len() > p.good * bad.len())
        .collect();
    found.sort_by_key(|p| (std::cmp::Reverse(p.bad), p.good));
    Shared {
        bad,
        good,
        parts: found,
    }
}
