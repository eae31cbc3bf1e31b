//! Why a cavity is fed, drained or undecided.

mod end;
mod explain;
mod gap;
mod mover;
mod side;

use serde::Serialize;

use super::effect::{course, moved, unsettled};
use super::trace::{Hop, Narrowest, cavity_of};
use super::{Answer, CourseWord, Depth, MovedValve, TraceError, states};
use crate::circuit::{Fault, Level, PartName};
use crate::net::{Cavity, Net, Stage};
use crate::settle::{Push, Settled, Span, Value, settle};

pub use gap::{Gap, Shut};
pub use mover::{Mover, NameRead, RuleRead, Stands};
pub use side::WhyWay;

use end::End;

/// Why a part's cavity is fed, drained or undecided.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Why {
    /// The part asked about.
    pub part: PartName,
    /// The cavity it takes its oil from.
    pub cavity: String,
    /// The faults, as a reader would type them. None is the sound circuit.
    pub faults: Vec<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// One entry for all states that agree in everything, in the order of the first of each.
    pub states: Vec<WhyState>,
}

/// Why a cavity is as it is in some states.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct WhyState {
    /// The states; empty for a circuit that declares none.
    pub states: Vec<String>,
    /// Whether it has pressure enough to work with; undecided where the ends of settling differ.
    pub value: Value,
    /// Between which levels it is, over all ends.
    pub span: Span,
    /// How settling went.
    pub course: CourseWord,
    /// Valves and shuttle balls on which the end hangs; empty where settling was steady.
    pub unsettled: Vec<PartName>,
    /// How it is without the faults; none without any, and where nothing differs.
    pub sound: Option<WhySound>,
    /// Each end of settling that explains it in its own way.
    pub ends: Vec<WhyEnd>,
}

/// How a cavity is in the sound circuit, and what stands elsewhere there.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct WhySound {
    /// Whether it has pressure.
    pub value: Value,
    /// Between which levels it is.
    pub span: Span,
    /// Valves that the faults moved.
    pub moved: Vec<MovedValve>,
}

/// Why a cavity is as it is at one end of settling.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct WhyEnd {
    /// Where what the end hangs on stands; what makes no difference here is left out.
    pub standing: Vec<Standing>,
    /// Whether it has pressure enough to work with.
    pub value: Value,
    /// Between which levels it is.
    pub span: Span,
    /// What keeps it below full, where something does.
    pub capped_by: Option<PartName>,
    /// What decides it.
    pub because: Because,
    /// Sources that give no oil, where none feeds it.
    pub cannot_draw: Vec<PartName>,
    /// The strongest way from a source, whether or not it gets through.
    pub way_in: Option<WhyWay>,
    /// The strongest way to the sump, whether or not it gets through.
    pub way_out: Option<WhyWay>,
    /// Where no more than a leak comes in: what is shut between it and a source, the nearest
    /// first, by the routes that have least shut.
    pub shut: Vec<Gap>,
    /// Where it is sealed: what shuts it in.
    pub sealed_by: Vec<Gap>,
    /// Valves, shuttle balls and solenoids on these ways and gaps, with why they stand so.
    pub movers: Vec<Mover>,
}

/// Where a valve or shuttle ball stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Standing {
    /// The valve or shuttle ball.
    pub part: PartName,
    /// The position, or the inlet that stands open; none where that is not known.
    pub place: Option<String>,
}

/// What decides a cavity.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum Because {
    /// A source feeds it directly.
    Source {
        /// The source.
        source: PartName,
    },
    /// One side reaches it, and the other not at all or not as hard.
    Driven {
        /// How hard the winning side reaches it.
        push: Push,
    },
    /// Both sides reach it through metering holes, and one hole is much wider.
    Bores {
        /// Bore of the narrowest hole on the way in, m.
        supply_bore_m: f64,
        /// Bore of the narrowest hole on the way out, m.
        drain_bore_m: f64,
        /// Share of the pressure that is left between them, 0 to 1.
        share: f64,
    },
    /// Nothing reaches it: it keeps what it had.
    Trapped,
    /// Both sides reach it equally hard.
    Contested {
        /// How hard.
        push: Push,
        /// Share of the pressure that is left, 0 to 1, where both holes have bores.
        share: Option<f64>,
    },
    /// It hangs on what cannot be known.
    Unknown {
        /// Parts on its ways that may stand open or shut.
        doubtful: Vec<PartName>,
        /// A contested cavity on its ways.
        contested: Option<String>,
    },
}

impl Answer for Why {
    const NAME: &'static str = "why";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Asks why the cavity of a part is fed, drained or undecided, in one state or in all.
///
/// A part on a cavity stands for it: an outlet (a two-sided one for its apply side), a tap, a
/// switch, an accumulator; a filter, converter or cooler for its inlet. Each state is settled from
/// cold, and each end of that explained.
///
/// # Errors
/// The part takes oil from no one cavity: a casting, a plate, a state.
///
/// ```
/// use oilpath::{answer::{self, Because}, circuit::Kind, net::Net, settle::Value, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [plate]
///     hop-cover = { kind = "cover", roofs = ["lube"] }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm", under = "hop-cover" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let lube = circuit.find("lube", &[Kind::Passage]).unwrap();
/// let loose = circuit.fault("hop-cover:loose").unwrap();
/// let answer = answer::why(&net, &lube, &[loose], None).unwrap();
/// let end = &answer.states[0].ends[0];
/// assert_eq!(end.value, Value::Drained);
/// assert!(matches!(end.because, Because::Driven { .. }));
/// assert_eq!(end.way_out.as_ref().unwrap().hops[0].part.id, "hop-cover");
/// // The hop still brings oil, and loses to the cover at once.
/// assert_eq!(end.way_in.as_ref().unwrap().beaten_at.as_deref(), Some("lube"));
/// ```
pub fn why(
    net: &Net<'_>,
    part: &PartName,
    faults: &[Fault],
    state: Option<&str>,
) -> Result<Why, TraceError> {
    let circuit = net.circuit();
    let cavity = cavity_of(net, part).ok_or_else(|| TraceError { part: part.clone() })?;
    let mut answer = Why {
        part: part.clone(),
        cavity: net.name(cavity).to_owned(),
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        depth: Depth::Settle,
        states: Vec::new(),
    };
    for (id, state) in states(circuit, state) {
        let sound = Stage::new(net, state, &[]);
        let stage = sound.with(faults);
        let asked = Asked {
            sound: &sound,
            stage: &stage,
            faults,
            cavity,
        };
        let entry = asked.state();
        let known = answer.states.iter_mut().find(|known| {
            let states = known.states.clone();
            **known
                == WhyState {
                    states,
                    ..entry.clone()
                }
        });
        let name = id.map(str::to_owned);
        match known {
            Some(known) => known.states.extend(name),
            None => answer.states.push(WhyState {
                states: name.into_iter().collect(),
                ..entry
            }),
        }
    }
    Ok(answer)
}

/// A cavity in one state with some faults.
struct Asked<'a, 'n> {
    /// The state without the faults.
    sound: &'a Stage<'n>,
    stage: &'a Stage<'n>,
    faults: &'a [Fault],
    cavity: Cavity,
}

impl<'n> Asked<'_, 'n> {
    fn state(&self) -> WhyState {
        let net = self.stage.net();
        let settled = settle(self.stage);
        let unsettled = unsettled(&settled.course);
        let mut ends: Vec<WhyEnd> = Vec::new();
        for point in &settled.ends {
            let end = End::new(self, point).explain(&unsettled);
            let known = ends.iter_mut().find(|known| {
                let standing = known.standing.clone();
                **known
                    == WhyEnd {
                        standing,
                        ..end.clone()
                    }
            });
            match known {
                // What stands elsewhere and changes nothing is not what it hangs on.
                Some(known) => known.standing.retain(|s| end.standing.contains(s)),
                None => ends.push(end),
            }
        }
        let (value, span) = self.whole(&settled);
        let sound = (!self.faults.is_empty()).then(|| {
            let before = settle(self.sound);
            let (value, span) = self.whole(&before);
            WhySound {
                value,
                span,
                moved: moved(net, &before, &settled),
            }
        });
        let differs = |s: &WhySound| (s.value, s.span) != (value, span) || !s.moved.is_empty();
        WhyState {
            states: Vec::new(),
            value,
            span,
            course: course(&settled.course),
            unsettled,
            sound: sound.filter(differs),
            ends,
        }
    }

    /// What the cavity holds over all ends.
    fn whole(&self, settled: &Settled) -> (Value, Span) {
        let spans = settled.ends.iter().map(|e| e.pressures.span(self.cavity));
        let span = spans.reduce(|a, b| Span {
            lowest: a.lowest.min(b.lowest),
            highest: a.highest.max(b.highest),
        });
        let unknown = Span {
            lowest: Level::Off,
            highest: Level::Full,
        };
        let value = settled.at_least(Level::Low, self.cavity);
        (value, span.unwrap_or(unknown))
    }
}
