//! Every fault in every state.

mod record;
mod scenarios;

use std::ops::Range;

use serde::Serialize;

pub use record::{Reading, SweepRecord, SweepState, SweepUndecided};
pub use scenarios::Scenarios;

use super::batch::{self, Batch};
use super::sound::{Sound, SoundState};
use super::starve::{course, judged};
use super::{Answer, Depth, Severity, Starve, StarveState, states};
use crate::circuit::{Access, Fault, Kind, Level, PartName};
use crate::net::{Cavity, Net};
use crate::settle::{Settled, Span};

/// What every scenario of a sweep does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Sweep {
    /// How deep the answer looks.
    pub depth: Depth,
    /// Whether each scenario is a pair of faults.
    pub pairs: bool,
    /// The states asked about; empty for a circuit that declares none.
    pub states: Vec<String>,
    /// How many of them do what.
    pub summary: SweepSummary,
    /// The scenarios, in order.
    pub records: Vec<SweepRecord>,
}

/// How many scenarios do what.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SweepSummary {
    /// All of them.
    pub scenarios: usize,
    /// Those that leave every outlet as it was.
    pub harmless: usize,
    /// Of these, those that a tap or a pressure switch surely shows all the same.
    pub harmless_but_seen: usize,
    /// Those that cost a gear: in some state something that should be applied is not, or
    /// something is applied beside it.
    pub costs_a_gear: usize,
    /// Those that harm some outlet and that no tap or pressure switch surely shows.
    pub unseen: usize,
    /// Those of pairs that do worse than each of their faults alone.
    pub adds: usize,
}

impl Answer for Sweep {
    const NAME: &'static str = "sweep";
    const VERSION: u32 = 1;

    /// A sweep asks what would be, not what is.
    fn wrong(&self) -> bool {
        false
    }
}

impl SweepSummary {
    /// Counts one more scenario.
    pub fn count(&mut self, record: &SweepRecord) {
        let one = usize::from;
        self.scenarios += 1;
        self.harmless += one(record.is_harmless());
        self.harmless_but_seen += one(record.is_harmless() && record.is_seen());
        self.costs_a_gear += one(record.costs_a_gear());
        self.unseen += one(!record.is_harmless() && !record.is_seen());
        self.adds += one(!record.alone.is_empty() && record.adds());
    }
}

/// A sweep about to be made: the sound circuit settled in each state, and the scenarios.
///
/// ```
/// use oilpath::answer::{Scenarios, Severity, Sweeper};
/// let circuit = oilpath::sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
/// "#).unwrap().circuit;
/// let net = oilpath::net::Net::new(&circuit).unwrap();
/// let sweeper = Sweeper::new(&net, Scenarios::alone(&circuit, |part| part.id == "hop"), &[]);
/// let records = sweeper.records(0..sweeper.scenarios().count());
/// assert_eq!(records[0].faults, ["hop:plugged"]);
/// assert_eq!(records[0].severity, Severity::RunsDry);
/// assert_eq!(records[1].faults, ["hop:oversize"]);
/// assert_eq!(records[1].severity, Severity::Nothing);
/// ```
pub struct Sweeper<'n> {
    net: &'n Net<'n>,
    sound: Sound<'n>,
    scenarios: Scenarios,
    gauges: Vec<Gauge>,
    /// For pairs: the worst that each fault does alone.
    alone: Vec<Severity>,
    /// What a fault that does nothing does, state by state.
    nothing: Vec<StarveState>,
}

/// A tap or a pressure switch.
struct Gauge {
    name: PartName,
    at: Cavity,
    access: Access,
}

impl<'n> Sweeper<'n> {
    /// So many scenarios take least time for each when their records are made together.
    pub const AT_ONCE: usize = batch::MOST;

    /// Settles the sound circuit in each of these states; in all where none is named.
    #[must_use]
    pub fn new(net: &'n Net<'n>, scenarios: Scenarios, wanted: &[String]) -> Self {
        let mut asked = states(net.circuit(), None);
        asked.retain(|(id, _)| {
            wanted.is_empty() || id.is_some_and(|id| wanted.iter().any(|wanted| wanted == id))
        });
        let sound = Sound::of(net, asked);
        let states = sound.states.iter();
        let mut sweeper = Sweeper {
            net,
            nothing: states
                .map(|state| judged(state, &state.stage, &state.settled))
                .collect(),
            sound,
            gauges: gauges(net),
            scenarios,
            alone: Vec::new(),
        };
        if sweeper.scenarios.in_pairs() {
            let alone = sweeper.scenarios.faults().iter();
            let alone: Vec<Vec<Fault>> = alone.map(|fault| vec![fault.clone()]).collect();
            let found = sweeper.effects(&alone).into_iter();
            let worst = found.map(|states| sweeper.severity(states.into_iter().map(|s| s.0)));
            sweeper.alone = worst.collect();
        }
        sweeper
    }

    /// The scenarios.
    #[must_use]
    pub fn scenarios(&self) -> &Scenarios {
        &self.scenarios
    }

    /// The ids of the states asked about; none for a circuit that declares none.
    #[must_use]
    pub fn states(&self) -> Vec<String> {
        let ids = self.sound.states.iter().filter_map(|s| s.id);
        ids.map(str::to_owned).collect()
    }

    /// An answer that has no record yet.
    #[must_use]
    pub fn blank(&self) -> Sweep {
        Sweep {
            depth: Depth::Settle,
            pairs: self.scenarios.in_pairs(),
            states: self.states(),
            summary: SweepSummary::default(),
            records: Vec::new(),
        }
    }

    /// The records of some scenarios, in order. With the feature `parallel` they are made on all
    /// threads of the pool this is called in.
    #[must_use]
    pub fn records(&self, numbers: Range<usize>) -> Vec<SweepRecord> {
        let sets: Vec<Vec<Fault>> = numbers.clone().map(|n| self.scenarios.get(n)).collect();
        let effects = self.effects(&sets).into_iter();
        let records = numbers.zip(sets).zip(effects);
        records
            .map(|((number, faults), states)| self.record(number, &faults, states))
            .collect()
    }

    /// What each of some sets of faults does, state by state.
    fn effects(&self, sets: &[Vec<Fault>]) -> Vec<Vec<(StarveState, Vec<Reading>)>> {
        let batches = Batch::of(self.net, sets);
        let states = 0..self.sound.states.len();
        let passes: Vec<(&Batch<'_>, usize)> = batches
            .iter()
            .flat_map(|batch| states.clone().map(move |state| (batch, state)))
            .collect();
        let told = batch::each(&passes, |(batch, state)| {
            let sound = &self.sound.states[*state];
            batch.each(&sound.stage, |faults, settled| match settled {
                Some(settled) => self.effect(sound, faults, &settled),
                None => (self.nothing[*state].clone(), Vec::new()),
            })
        });
        // From a list a batch and state to one a set of faults, with an entry a state.
        let mut effects: Vec<Vec<_>> = Vec::with_capacity(sets.len());
        for (i, pass) in told.into_iter().enumerate() {
            let (batch, state) = (i / states.len(), i % states.len());
            for (set, effect) in pass.into_iter().enumerate() {
                if state == 0 {
                    effects.push(Vec::with_capacity(states.len()));
                }
                effects[batch * batch::MOST + set].push(effect);
            }
        }
        effects
    }

    fn effect(
        &self,
        sound: &SoundState<'n>,
        faults: &[Fault],
        settled: &Settled,
    ) -> (StarveState, Vec<Reading>) {
        let stage = sound.stage.with(faults);
        let state = judged(sound, &stage, settled);
        let loaded = |gauge: &Gauge| {
            let mut sources = self.net.sources().iter();
            sources.any(|s| s.feeds == gauge.at && state.will_not_build.contains(&s.name))
        };
        let seen = self.gauges.iter().filter_map(|gauge| {
            let mut now = span(settled, gauge.at);
            if loaded(gauge) {
                now = Span {
                    lowest: Level::Off,
                    highest: now.highest.min(Level::Fill),
                };
            }
            gauge.reading(span(&sound.settled, gauge.at), now)
        });
        let seen = seen.collect();
        (state, seen)
    }

    fn record(
        &self,
        number: usize,
        faults: &[Fault],
        effects: Vec<(StarveState, Vec<Reading>)>,
    ) -> SweepRecord {
        let alone = match self.scenarios.in_pairs() {
            true => self.scenarios.places(number),
            false => Vec::new(),
        };
        let circuit = self.net.circuit();
        let (states, seen): (Vec<StarveState>, Vec<Vec<Reading>>) = effects.into_iter().unzip();
        let answer = Starve {
            faults: faults.iter().map(|f| circuit.say(f)).collect(),
            depth: Depth::Settle,
            states,
        };
        let severity = Severity::of(self.net, &answer);
        let sound = self.sound.states.iter();
        let states = answer.states.into_iter().zip(seen).zip(sound);
        SweepRecord {
            number,
            faults: answer.faults,
            severity,
            alone: alone.into_iter().map(|place| self.alone[place]).collect(),
            states: states
                .map(|((state, seen), sound)| (SweepState::of(state, seen), sound))
                .filter(|(state, sound)| state.differs(course(&sound.settled.course)))
                .map(|(state, _)| state)
                .collect(),
        }
    }

    fn severity(&self, states: impl Iterator<Item = StarveState>) -> Severity {
        let answer = Starve {
            faults: Vec::new(),
            depth: Depth::Settle,
            states: states.collect(),
        };
        Severity::of(self.net, &answer)
    }
}

/// Every tap and pressure switch, the easiest to reach first.
fn gauges(net: &Net<'_>) -> Vec<Gauge> {
    let circuit = net.circuit();
    let taps = circuit.taps.iter();
    let taps = taps.map(|(id, tap)| (Kind::Tap, id, &tap.at, tap.access));
    let switches = circuit.switches.iter();
    let switches = switches.map(|(id, switch)| (Kind::Switch, id, &switch.at, switch.access));
    let mut gauges: Vec<Gauge> = taps
        .chain(switches)
        .filter_map(|(kind, id, at, access)| {
            Some(Gauge {
                name: PartName::new(kind, id),
                at: net.cavity(at)?,
                access,
            })
        })
        .collect();
    gauges.sort_by_key(|gauge| gauge.access);
    gauges
}

impl Gauge {
    /// What it shows, if that is other than in the sound circuit.
    fn reading(&self, sound: Span, now: Span) -> Option<Reading> {
        let differs = match self.name.kind {
            // A switch tells low from less, and nothing else.
            Kind::Switch => Reading::closed(sound) != Reading::closed(now),
            _ => sound != now,
        };
        differs.then(|| Reading {
            at: self.name.clone(),
            access: self.access,
            sound,
            now,
        })
    }
}

/// Between which levels a cavity is at any end.
fn span(settled: &Settled, cavity: Cavity) -> Span {
    let spans = settled.ends.iter().map(|end| end.pressures.span(cavity));
    let joined = spans.reduce(|a, b| Span {
        lowest: a.lowest.min(b.lowest),
        highest: a.highest.max(b.highest),
    });
    joined.unwrap_or(Span {
        lowest: Level::Off,
        highest: Level::Full,
    })
}
