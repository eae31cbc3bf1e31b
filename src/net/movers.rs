//! What moves or holds by pressure: valves with their rules, shuttle balls, regulators, reliefs.

use super::{Cavity, Drives, Net, SUMP_CAVITY};
use crate::circuit::{BallKind, Circuit, Kind, Level, PartName, Rule, Truth, Work};
use crate::units::Pressure;

/// A valve with its rules made ready.
#[derive(Clone, Debug, PartialEq)]
pub struct NetValve {
    /// The valve.
    pub name: PartName,
    /// The rule of each position; none where the position has no rule.
    pub rules: Vec<Option<Term>>,
    /// The position it rests in.
    pub rest: Option<u32>,
    /// The cavities at the ends of its bore, the sump left out: each must have a way out, or the
    /// spool cannot stroke.
    pub ends: Vec<Cavity>,
}

impl NetValve {
    /// Where the lever and the inputs put it, whatever the oil does; none where its rules read
    /// anything else, where they do not say, or where oil is shut in with an end of its spool.
    pub(super) fn put_by(&self, drives: &Drives) -> Option<u32> {
        let mut leaves = self.rules.iter().flatten().flat_map(Term::leaves);
        let by_hand = |leaf: &Term| matches!(leaf, Term::Lever(_) | Term::Input(_));
        if !self.ends.is_empty() || !leaves.all(by_hand) {
            return None;
        }
        let holds = |rule: &Term| rule.truth(drives, &|_| Truth::Unknown);
        let rules = self
            .rules
            .iter()
            .map(|rule| rule.as_ref().map_or(Truth::False, holds));
        let mut surely = None;
        for (place, truth) in (0..).zip(rules) {
            match truth {
                Truth::False => {}
                Truth::True if surely.is_none() => surely = Some(place),
                _ => return None,
            }
        }
        surely.or(self.rest)
    }
}

/// A rule with its names looked up.
#[derive(Clone, Debug, PartialEq)]
pub enum Term {
    /// A cavity is fed.
    Fed(Cavity),
    /// A solenoid has current.
    Current(usize),
    /// An input holds.
    Input(usize),
    /// The lever stands in a detent.
    Lever(usize),
    /// The term within does not hold.
    Not(Box<Term>),
    /// All hold.
    All(Vec<Term>),
    /// At least one holds.
    Any(Vec<Term>),
}

impl Term {
    /// Whether it holds, given what is known of each cavity.
    pub fn truth(&self, drives: &Drives, fed: &dyn Fn(Cavity) -> Truth) -> Truth {
        match self {
            Term::Fed(cavity) => fed(*cavity),
            Term::Current(solenoid) => drives.has_current(*solenoid),
            Term::Input(input) => drives.inputs[*input].into(),
            Term::Lever(detent) => match drives.lever {
                Some(stands) => (stands == *detent).into(),
                None => Truth::Unknown,
            },
            Term::Not(term) => !term.truth(drives, fed),
            Term::All(terms) => Truth::all(terms.iter().map(|t| t.truth(drives, fed))),
            Term::Any(terms) => !Truth::all(terms.iter().map(|t| !t.truth(drives, fed))),
        }
    }

    /// What it reads, left to right as in [`Rule::names`]: terms that hold no others.
    #[must_use]
    pub fn leaves(&self) -> Vec<&Term> {
        match self {
            Term::Not(term) => term.leaves(),
            Term::All(terms) | Term::Any(terms) => terms.iter().flat_map(Term::leaves).collect(),
            leaf => vec![leaf],
        }
    }

    /// The cavities it reads.
    #[must_use]
    pub fn cavities(&self) -> Vec<Cavity> {
        let cavity = |leaf: &Term| match leaf {
            Term::Fed(cavity) => Some(*cavity),
            _ => None,
        };
        self.leaves().into_iter().filter_map(cavity).collect()
    }
}

/// A shuttle ball.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NetShuttle {
    /// The ball.
    pub name: PartName,
    /// Its inlets.
    pub inlets: [Cavity; 2],
    /// Its outlet.
    pub outlet: Cavity,
}

/// A regulator.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NetRegulator {
    /// The regulator.
    pub name: PartName,
    /// The cavity it holds.
    pub holds: Cavity,
    /// Whether it reduces a feed rather than spilling.
    pub reduces: bool,
    /// How high it holds it.
    pub level: Level,
    /// Cavities whose pressure raises it.
    pub boost: Vec<Cavity>,
    /// Where it spills to, in order.
    pub spills: Vec<Cavity>,
}

/// A relief valve.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NetRelief {
    /// The relief.
    pub name: PartName,
    /// The cavity it guards.
    pub on: Cavity,
    /// Above what level it lets go.
    pub level: Level,
}

/// Valves, shuttles, regulators and reliefs of a net.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Movers {
    pub valves: Vec<NetValve>,
    pub shuttles: Vec<NetShuttle>,
    pub regulators: Vec<NetRegulator>,
    pub reliefs: Vec<NetRelief>,
}

impl Movers {
    /// Makes ready what moves in a net whose cavities are known.
    pub fn of(net: &Net<'_>) -> Self {
        let circuit = net.circuit();
        let at = |id: &String| net.cavity(id).unwrap_or(SUMP_CAVITY);
        let highest = net.highest;
        let valves = circuit.valves.iter().map(|(id, valve)| {
            let ends = [valve.bore.first(), valve.bore.last()];
            let mut ends: Vec<Cavity> = ends.into_iter().flatten().map(at).collect();
            ends.retain(|c| *c != SUMP_CAVITY);
            ends.dedup();
            let positions = valve.positions.values();
            NetValve {
                name: PartName::new(Kind::Valve, id),
                rules: positions
                    .clone()
                    .map(|p| p.when.as_ref().map(|rule| term(net, rule)))
                    .collect(),
                rest: positions
                    .clone()
                    .position(|p| p.otherwise)
                    .map(|p| p as u32),
                ends,
            }
        });
        let shuttles = circuit
            .balls
            .iter()
            .filter_map(|(id, ball)| match &ball.kind {
                BallKind::Shuttle { inlets, outlet } => Some(NetShuttle {
                    name: PartName::new(Kind::Ball, id),
                    inlets: [at(&inlets[0]), at(&inlets[1])],
                    outlet: at(outlet),
                }),
                BallKind::OneWay { .. } => None,
            });
        let regulators = circuit.regulators.iter().map(|(id, r)| NetRegulator {
            name: PartName::new(Kind::Regulator, id),
            holds: at(&r.holds),
            reduces: matches!(r.work, Work::Reduces(_)),
            level: working_level(r.at, highest),
            boost: r.boost.keys().map(at).collect(),
            spills: match &r.work {
                Work::Spills(to) => to.iter().map(at).collect(),
                Work::Reduces(_) => Vec::new(),
            },
        });
        let reliefs = circuit.reliefs.iter().map(|(id, r)| NetRelief {
            name: PartName::new(Kind::Relief, id),
            on: at(&r.on),
            level: working_level(r.at, highest),
        });
        Movers {
            valves: valves.collect(),
            shuttles: shuttles.collect(),
            regulators: regulators.collect(),
            reliefs: reliefs.collect(),
        }
    }
}

/// The highest pressure anything in a circuit is held or made at, Pa.
pub(super) fn highest(circuit: &Circuit) -> Option<f64> {
    let held = circuit.regulators.values().filter_map(|r| r.at);
    let made = circuit.sources.values().filter_map(|s| s.pressure);
    held.chain(made).map(Pressure::pa).reduce(f64::max)
}

/// The level of a pressure something works at: full from nine tenths of the highest on, else low.
fn working_level(at: Option<Pressure>, highest: Option<f64>) -> Level {
    match (at, highest) {
        (Some(at), Some(highest)) if at.pa() < 0.9 * highest => Level::Low,
        _ => Level::Full,
    }
}

impl Net<'_> {
    /// The level of a pressure something works at.
    pub(super) fn working_level(&self, at: Option<Pressure>) -> Level {
        working_level(at, self.highest)
    }

    /// What is left in a cavity that empties to the sump past a sprung ball: fill below a quarter
    /// of the highest pressure, low below nine tenths; full for a ball that only guards.
    pub(super) fn left_behind(&self, lifts_at: Pressure) -> Level {
        match self.highest {
            Some(highest) if lifts_at.pa() < 0.25 * highest => Level::Fill,
            highest => working_level(Some(lifts_at), highest),
        }
    }
}

fn term(net: &Net<'_>, rule: &Rule) -> Term {
    let circuit = net.circuit();
    match rule {
        Rule::Name(name) => {
            if let Some(detent) = name.strip_prefix("lever.") {
                let at = circuit.lever.iter().position(|d| d == detent);
                return Term::Lever(at.unwrap_or(usize::MAX));
            }
            let found = circuit.find(name, &[Kind::Passage, Kind::Solenoid, Kind::Input]);
            match found {
                Ok(part) if part.kind == Kind::Solenoid => {
                    Term::Current(circuit.solenoids.get_index_of(&part.id).unwrap_or_default())
                }
                Ok(part) if part.kind == Kind::Input => {
                    Term::Input(circuit.inputs.get_index_of(&part.id).unwrap_or_default())
                }
                _ => Term::Fed(net.cavity(name).unwrap_or(SUMP_CAVITY)),
            }
        }
        Rule::Not(rule) => Term::Not(Box::new(term(net, rule))),
        Rule::And(rules) => Term::All(rules.iter().map(|r| term(net, r)).collect()),
        Rule::Or(rules) => Term::Any(rules.iter().map(|r| term(net, r)).collect()),
    }
}
