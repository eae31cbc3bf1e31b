//! What every single fault does in every state, found as it is asked for.

use std::sync::OnceLock;

use super::{QuizLevel, Shows};
use crate::answer::{
    self, CourseWord, OutletVerdict, Scenarios, StarveState, SweepState, Sweeper, Verdict,
};
use crate::circuit::{Access, Fault, Kind, Level, PartName, State};
use crate::net::{Cavity, Net, Stage};
use crate::settle::{Course, Settled, Span, settle};
use crate::teach::places::Places;

/// What is known of a circuit.
pub(super) struct Facts<'n> {
    pub net: &'n Net<'n>,
    pub places: Places<'n>,
    /// Every single fault but those of taps, for that a gauge shows its own plug missing asks
    /// nothing, and those of sources, which cost an amount of oil that is not weighed here.
    pub faults: Vec<Fault>,
    pub gauges: Vec<Gauge>,
    states: Vec<(Option<&'n str>, &'n State)>,
    sound: Vec<OnceLock<Settled>>,
    swept: Vec<OnceLock<Swept>>,
}

/// A tap or a pressure switch.
pub(super) struct Gauge {
    pub name: PartName,
    pub access: Access,
    at: Cavity,
}

/// What every single fault does in one state.
pub(super) struct Swept {
    /// By fault: what it does where it does anything that can be seen.
    effects: Vec<Option<SweepState>>,
    /// By gauge: what it shows in the sound circuit.
    shows: Vec<Span>,
    /// Whether the sound circuit comes to one end.
    steady: bool,
}

impl<'n> Facts<'n> {
    pub fn of(net: &'n Net<'n>) -> Self {
        let circuit = net.circuit();
        let taps = circuit.taps.iter();
        let taps = taps.map(|(id, tap)| (Kind::Tap, id, &tap.at, tap.access));
        let switches = circuit.switches.iter();
        let switches = switches.map(|(id, s)| (Kind::Switch, id, &s.at, s.access));
        let gauges = taps.chain(switches).filter_map(|(kind, id, at, access)| {
            Some(Gauge {
                name: PartName::new(kind, id),
                access,
                at: net.cavity(at)?,
            })
        });
        let states = answer::states(circuit, None);
        Facts {
            net,
            places: Places::of(net),
            faults: wanted(net).faults().to_vec(),
            gauges: gauges.collect(),
            sound: states.iter().map(|_| OnceLock::new()).collect(),
            swept: states.iter().map(|_| OnceLock::new()).collect(),
            states,
        }
    }

    /// How many states there are; one for a circuit that declares none.
    pub fn states(&self) -> usize {
        self.states.len()
    }

    pub fn state(&self, state: usize) -> Option<&'n str> {
        self.states[state].0
    }

    /// The sound circuit in a state.
    pub fn sound(&self, state: usize) -> &Settled {
        self.sound[state].get_or_init(|| settle(&self.stage(state, &[])))
    }

    pub fn swept(&self, state: usize) -> &Swept {
        self.swept[state].get_or_init(|| {
            let only: Vec<String> = self.state(state).map(str::to_owned).into_iter().collect();
            let sweeper = Sweeper::new(self.net, wanted(self.net), &only);
            let mut effects = Vec::with_capacity(self.faults.len());
            for start in (0..self.faults.len()).step_by(Sweeper::AT_ONCE) {
                let end = self.faults.len().min(start + Sweeper::AT_ONCE);
                let records = sweeper.records(start..end).into_iter();
                effects.extend(records.map(|mut record| record.states.pop()));
            }
            let sound = self.sound(state);
            let shows = self.gauges.iter().map(|gauge| span(sound, gauge.at));
            Swept {
                effects,
                shows: shows.collect(),
                steady: sound.course == Course::Steady,
            }
        })
    }

    pub fn stage(&self, state: usize, faults: &[Fault]) -> Stage<'n> {
        Stage::new(self.net, self.states[state].1, faults)
    }

    /// What a fault does in a state, told in full by the engine alone.
    pub fn starve(&self, state: usize, fault: usize) -> Option<StarveState> {
        let faults = std::slice::from_ref(&self.faults[fault]);
        let answer = answer::starve(self.net, faults, self.state(state));
        let told = answer.states.into_iter().next()?;
        let certain = told.course == CourseWord::Steady
            && told.will_not_build.is_empty()
            && told.cannot_draw.is_empty();
        certain.then_some(told)
    }

    /// Whether a fault takes the oil of some outlets, and not of a filter that is itself at fault:
    /// that would say itself.
    pub fn starves_another(&self, swept: &Swept, fault: usize) -> bool {
        let (starved, _) = swept.symptoms(fault);
        !starved.is_empty() && !starved.contains(&self.faults[fault].part)
    }

    pub fn say(&self, fault: usize) -> String {
        self.net.circuit().say(&self.faults[fault])
    }

    /// How hard it is to tell what a fault does to some outlets, or what a gauge shows of it.
    pub fn level(&self, state: usize, fault: usize, ends: &[&PartName]) -> QuizLevel {
        let faults = std::slice::from_ref(&self.faults[fault]);
        let (sound, now) = (self.sound(state), settle(&self.stage(state, faults)));
        let mut valves = 0..self.net.valves().len();
        let part = &self.faults[fault].part;
        if valves.any(|valve| sound.positions(valve) != now.positions(valve)) {
            QuizLevel::MovingValves
        } else if ends.iter().all(|e| self.places.share_a_casting(part, e)) {
            QuizLevel::OneCasting
        } else {
            QuizLevel::WholeWay
        }
    }
}

impl Swept {
    /// Whether nothing about a fault is open: it comes to one end, and every source still works.
    pub fn is_certain(&self, fault: usize) -> bool {
        self.steady
            && self.effects[fault].as_ref().is_none_or(|effect| {
                effect.course == CourseWord::Steady
                    && effect.will_not_build.is_empty()
                    && effect.cannot_draw.is_empty()
                    && effect.undecided.is_empty()
            })
    }

    /// Outlets that lose their oil to a fault, and outlets that get oil they should not.
    pub fn symptoms(&self, fault: usize) -> (&[PartName], &[PartName]) {
        match &self.effects[fault] {
            Some(effect) => (&effect.starved, &effect.on_when_off),
            None => (&[], &[]),
        }
    }

    /// Whether nothing at all shows a fault.
    pub fn is_silent(&self, fault: usize) -> bool {
        self.effects[fault].is_none()
    }

    /// Outlets that a fault harms in some other way.
    pub fn otherwise_harmed(&self, fault: usize) -> impl Iterator<Item = &PartName> {
        let effect = self.effects[fault].iter();
        effect.flat_map(|e| e.weakened.iter().chain(&e.late).chain(&e.harsh))
    }

    /// What a gauge shows with a fault.
    pub fn shows(&self, facts: &Facts<'_>, fault: usize, gauge: usize) -> Shows {
        let name = &facts.gauges[gauge].name;
        let seen = self.effects[fault].iter().flat_map(|effect| &effect.seen);
        let mut other = seen.filter(|reading| reading.at == *name).map(|r| r.now);
        Shows::of(name, other.next().unwrap_or(self.shows[gauge]))
    }
}

impl Shows {
    /// What a tap or a switch shows where its cavity is between these levels. A switch tells low
    /// from less, and nothing else.
    fn of(gauge: &PartName, span: Span) -> Self {
        match gauge.kind {
            Kind::Switch if span.lowest >= Level::Low => Shows::Closed(Some(true)),
            Kind::Switch if span.highest < Level::Low => Shows::Closed(Some(false)),
            Kind::Switch => Shows::Closed(None),
            _ => Shows::Pressure(span),
        }
    }

    /// Whether the two cannot be the same.
    #[must_use]
    pub fn surely_differs(self, other: Shows) -> bool {
        match (self, other) {
            (Shows::Pressure(a), Shows::Pressure(b)) => {
                a.highest < b.lowest || b.highest < a.lowest
            }
            (Shows::Closed(Some(a)), Shows::Closed(Some(b))) => a != b,
            _ => false,
        }
    }

    /// Whether the two are the same beyond doubt.
    #[must_use]
    pub fn surely_agrees(self, other: Shows) -> bool {
        let sure = match self {
            Shows::Pressure(span) => span.lowest == span.highest,
            Shows::Closed(closed) => closed.is_some(),
        };
        sure && self == other
    }
}

/// Whether an outlet surely has not lost its oil, nor any of what is behind it.
pub(super) fn unharmed(outlet: &OutletVerdict) -> bool {
    matches!(outlet.verdict, Verdict::Kept | Verdict::Off)
}

fn wanted(net: &Net<'_>) -> Scenarios {
    Scenarios::alone(net.circuit(), |part| {
        !matches!(part.kind, Kind::Tap | Kind::Source)
    })
}

/// Between which levels a cavity is at any end.
fn span(settled: &Settled, cavity: Cavity) -> Span {
    let mut spans = settled.ends.iter().map(|end| end.pressures.span(cavity));
    let first = spans.next().unwrap_or(Span {
        lowest: Level::Off,
        highest: Level::Full,
    });
    spans.fold(first, |a, b| Span {
        lowest: a.lowest.min(b.lowest),
        highest: a.highest.max(b.highest),
    })
}
