//! Every fault in every state.

mod gauge;
mod left;
mod record;
mod scenarios;
mod sound;

use std::ops::Range;

use serde::Serialize;

use gauge::{Gauge, gauges};
use left::Left;
pub use record::{Reading, SweepReason, SweepRecord, SweepState, SweepUndecided};
pub use scenarios::Scenarios;
pub use sound::SweepSound;

use super::batch::{self, Batch, Member};
use super::beside::Beside;
use super::effect::course;
use super::judged::{judged, judged_beside};
use super::severity::drives;
use super::sound::{Sound, SoundState};
use super::{Answer, Depth, Severity, Verdict, states};
use crate::circuit::Fault;
use crate::net::Net;
use crate::settle::{PackedSettle, Span};

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
    nothing: Vec<Nothing>,
    /// Which verdicts have their reason told.
    explained: fn(Verdict) -> bool,
}

/// What a fault that does nothing does in one state.
struct Nothing {
    /// Whether the state applies anything.
    drives: bool,
    severity: Severity,
    /// What is told of it; nothing where there is nothing to tell.
    told: Option<SweepState>,
}

impl Nothing {
    fn of(net: &Net<'_>, sound: &SoundState<'_>) -> Self {
        let state = judged(sound, &sound.stage, &sound.settled, is_open);
        let drives = drives(net, &state);
        let told = SweepState::of(state, Vec::new());
        Nothing {
            drives,
            severity: told.severity,
            told: told.differs(course(&sound.settled.course)).then_some(told),
        }
    }
}

/// Whether nothing is proved: the one verdict whose reason a sweep tells unless asked for more.
fn is_open(verdict: Verdict) -> bool {
    verdict == Verdict::Undecided
}

/// What some faults do in one state, and what the gauges show; none where that is what the sound
/// circuit does.
type Effect = Option<SweepState>;

impl<'n> Sweeper<'n> {
    /// So many scenarios take least time for each when their records are made together.
    pub const AT_ONCE: usize = 2 * batch::MOST;

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
            nothing: states.map(|state| Nothing::of(net, state)).collect(),
            sound,
            gauges: gauges(net),
            scenarios,
            alone: Vec::new(),
            explained: is_open,
        };
        if sweeper.scenarios.in_pairs() {
            let alone = sweeper.scenarios.faults().iter();
            let alone: Vec<Vec<Fault>> = alone.map(|fault| vec![fault.clone()]).collect();
            let found = sweeper.effects(&alone);
            let worst = found.iter().map(|states| sweeper.severity(states));
            sweeper.alone = worst.collect();
        }
        sweeper
    }

    /// The same, with records that tell why each outlet suffers.
    #[must_use]
    pub fn explaining(self) -> Self {
        Sweeper {
            explained: Verdict::is_bad,
            ..self
        }
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

    /// What each of any sets of faults does, in each state asked about: nothing where all is as in
    /// the sound circuit. As many as [`Sweeper::AT_ONCE`] at a time take least time for each.
    #[must_use]
    pub fn of_sets(&self, sets: &[Vec<Fault>]) -> Vec<Vec<Option<SweepState>>> {
        let effects = self.effects(sets).into_iter();
        effects.map(|states| self.told(states)).collect()
    }

    /// What each of some sets of faults does, state by state.
    fn effects(&self, sets: &[Vec<Fault>]) -> Vec<Vec<Effect>> {
        let batches = Batch::of(self.net, sets);
        let states = 0..self.sound.states.len();
        let passes: Vec<(&Batch<'_>, usize)> = batches
            .iter()
            .flat_map(|batch| states.clone().map(move |state| (batch, state)))
            .collect();
        let told = batch::each(&passes, |(batch, state)| {
            let sound = &self.sound.states[*state];
            let told = batch.each(
                &sound.stage,
                |settled, members| {
                    let told = self.beside(sound, settled, members).into_iter();
                    told.map(|effect| effect.map(Ok)).collect()
                },
                |faults, settled| {
                    Err(Left {
                        faults: faults.to_vec(),
                        settled: settled.clone(),
                    })
                },
            );
            (*state, self.with_the_left(sound, told))
        });
        let mut effects: Vec<Vec<Effect>> = vec![vec![None; states.len()]; sets.len()];
        for (state, told) in told {
            for (set, effect) in told {
                effects[set][state] = effect;
            }
        }
        effects
    }

    /// What sets of faults do that settled side by side in one state, as far as that can be told.
    fn beside(
        &self,
        sound: &SoundState<'n>,
        settled: &PackedSettle<'_>,
        members: &[Member],
    ) -> Vec<Option<Effect>> {
        let Some(beside) = Beside::of(settled) else {
            return members.iter().map(|_| None).collect();
        };
        let quiet = settled.quiet();
        let gauges = self.gauges.iter();
        let sounds = gauges.map(|gauge| settled.span(0, gauge.at));
        let sounds: Vec<Span> = sounds.collect();
        let told = members.iter().map(|member| {
            let lane = member.lane;
            if quiet.contains(lane) {
                return Some(None);
            }
            if !beside.told.contains(lane) {
                return None;
            }
            let state = judged_beside(sound, &beside, lane, &member.faults, self.explained);
            let spans = self.gauges.iter().map(|gauge| settled.span(lane, gauge.at));
            let seen = self.seen(&state, sounds.iter().copied().zip(spans));
            Some(Some(SweepState::of(state, seen)))
        });
        told.collect()
    }

    fn record(&self, number: usize, faults: &[Fault], effects: Vec<Effect>) -> SweepRecord {
        let alone = match self.scenarios.in_pairs() {
            true => self.scenarios.places(number),
            false => Vec::new(),
        };
        let circuit = self.net.circuit();
        let severity = self.severity(&effects);
        SweepRecord {
            number,
            faults: faults.iter().map(|f| circuit.say(f)).collect(),
            severity,
            alone: alone.into_iter().map(|place| self.alone[place]).collect(),
            states: self.told(effects).into_iter().flatten().collect(),
        }
    }

    /// What is told of some effects, state by state.
    fn told(&self, effects: Vec<Effect>) -> Vec<Option<SweepState>> {
        let states = self.sound.states.iter().zip(&self.nothing).zip(effects);
        let told = states.map(|((sound, nothing), effect)| match effect {
            Some(state) => Some(state).filter(|s| s.differs(course(&sound.settled.course))),
            None => nothing.told.clone(),
        });
        told.collect()
    }

    /// The worst of what some faults do, state by state.
    fn severity(&self, effects: &[Effect]) -> Severity {
        let states = self.nothing.iter().zip(effects);
        Severity::over(states.map(|(nothing, effect)| {
            let own = effect.as_ref().map(|state| state.severity);
            (nothing.drives, own.unwrap_or(nothing.severity))
        }))
    }
}
