//! A lesson: the oil's way to one outlet, one idea a step.

mod effect;
mod steps;
mod term;

use serde::Serialize;

use crate::answer::{self, Answer, Depth, Hop, Mover, Narrowest, RouteKind, Status, TraceError};
use crate::circuit::PartName;
use crate::net::Net;

pub use effect::{Effect, Felt};
pub use term::Term;

use effect::Trial;

/// The oil's way to one outlet in one state, step by step, for someone who learns the trade.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Lesson {
    /// The outlet.
    pub outlet: PartName,
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// How deep its answers look.
    pub depth: Depth,
    /// The steps, from where oil is made to where it is used.
    pub steps: Vec<LessonStep>,
    /// The words that whoever reads it must know.
    pub terms: Vec<Term>,
}

/// One step: one idea.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct LessonStep {
    /// Where the oil is.
    pub at: StepAt,
    /// The cavities that a drawing of the step shows.
    pub cavities: Vec<String>,
    /// The parts that it shows.
    pub parts: Vec<PartName>,
    /// What would happen without what the oil passes here, told with the step; none where the
    /// catalogue has nothing for it.
    pub without: Option<Effect>,
    /// What is asked after the step, with what is needed to answer it.
    pub question: StepQuestion,
}

/// Where the oil is in one step.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum StepAt {
    /// Where it is made.
    Source {
        /// The source.
        source: PartName,
        /// From the sump to the source; empty where it draws from the sump itself.
        suction: Vec<Hop>,
        /// The cavity it feeds.
        feeds: String,
    },
    /// Where its pressure is held.
    Held {
        /// The regulator.
        regulator: PartName,
        /// The cavity it holds.
        cavity: String,
        /// Where it spills what is too much, in order; empty for one that reduces a feed.
        spills: Vec<String>,
    },
    /// Through something, into the next cavity.
    Hop {
        /// The hop.
        hop: Box<Hop>,
        /// Why the part stands so, if it moves.
        mover: Option<Box<Mover>>,
        /// One-way balls beside it that let the oil back out.
        back_by: Vec<PartName>,
    },
    /// Where it is used.
    Outlet {
        /// The outlet.
        outlet: PartName,
        /// The cavity it sits on.
        cavity: String,
    },
}

/// A question after a step, with its answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "asks")]
pub enum StepQuestion {
    /// What a fault does.
    Fault {
        /// What it does.
        effect: Effect,
    },
    /// In which other states a fault is felt that does nothing in this one.
    Elsewhere {
        /// The fault, as a reader would type it.
        fault: String,
        /// Those states.
        states: Vec<Felt>,
    },
    /// Whether the oil has a way round a part.
    WayRound {
        /// The part.
        part: PartName,
        /// Whether every way needs it.
        needed: bool,
    },
    /// Who gets the last of what a regulator spills.
    Spills {
        /// The regulator.
        regulator: PartName,
        /// Where it spills, in order.
        to: Vec<String>,
    },
    /// Where least gets through.
    Narrowest {
        /// The place; none where the whole way is open.
        place: Option<Narrowest>,
    },
}

impl Answer for Lesson {
    const NAME: &'static str = "lesson";
    const VERSION: u32 = 1;

    /// A lesson is about the sound circuit.
    fn wrong(&self) -> bool {
        false
    }
}

/// Why there is no lesson.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LessonError {
    /// The part takes no oil.
    #[error(transparent)]
    NoCavity(#[from] TraceError),
    /// There is nothing to follow.
    #[error("{}", dry(.outlet, .state.as_deref()))]
    Dry {
        /// The outlet.
        outlet: PartName,
        /// The state asked for; none for any.
        state: Option<String>,
    },
}

fn dry(outlet: &PartName, state: Option<&str>) -> String {
    match state {
        Some(state) => format!("no oil reaches {outlet} in {state}"),
        None => format!("no oil under pressure reaches {outlet} in any state"),
    }
}

impl LessonError {
    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            LessonError::NoCavity(_) => "name an outlet",
            LessonError::Dry { state: Some(_), .. } => "name a state in which it has oil, or none",
            LessonError::Dry { state: None, .. } => {
                "name another outlet; `oilpath trace FILE OUTLET` follows what leads to this one"
            }
        }
    }
}

/// Follows the oil to an outlet, filter, converter or cooler in one state: the one named, or the
/// first in which it surely has oil. Of several ways, it goes by the least restricted.
///
/// # Errors
/// The part takes no oil, or has none in that state.
///
/// ```
/// use oilpath::{circuit::Kind, net::Net, sheet, teach};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let bearing = circuit.find("bearing", &[Kind::Outlet]).unwrap();
/// let lesson = teach::lesson(&net, &bearing, None).unwrap();
/// // The pump, the hop, the bearing.
/// assert_eq!(lesson.steps.len(), 3);
/// let without = lesson.steps[1].without.as_ref().unwrap();
/// assert_eq!(without.fault, "hop:plugged");
/// assert!(without.starves(&bearing));
/// ```
pub fn lesson(
    net: &Net<'_>,
    outlet: &PartName,
    state: Option<&str>,
) -> Result<Lesson, LessonError> {
    let sound = answer::starve(net, &[], state);
    let mut states = sound.states.iter().filter(|told| {
        let mut outlets = told.outlets.iter();
        outlets.any(|o| o.outlet == *outlet && o.sound == Status::On)
    });
    let found = states.find_map(|told| {
        let state = told.state.as_deref();
        let traced = answer::trace(net, outlet, &[], state, RouteKind::LeastRestricted);
        let route = traced.map(|mut traced| traced.routes.pop());
        route
            .transpose()
            .map(|route| route.map(|route| (state, route)))
    });
    let (state, route) = found.transpose()?.ok_or_else(|| LessonError::Dry {
        outlet: outlet.clone(),
        state: state.map(str::to_owned),
    })?;
    let trial = Trial { net, outlet, state };
    let steps = steps::steps(&trial, &route);
    Ok(Lesson {
        outlet: outlet.clone(),
        state: state.map(str::to_owned),
        depth: Depth::Settle,
        terms: term::of(net.circuit(), &steps),
        steps,
    })
}
