//! Driving from state to state: what each step does, and what it leaves behind for the next.

mod drive;

use serde::Serialize;

use super::drives::{DrivesAs, Settling};
use super::place::places;
use super::{Answer, CourseWord, Depth, Status, on};
use crate::circuit::{Fault, FindError, Kind, PartName};
use crate::net::Net;
use crate::settle::Settled;
use drive::drive;

/// Ends of one step that the next goes on from.
const MOST_ENDS: usize = 16;

/// States driven one after the other.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Walk {
    /// The faults, as a reader would type them; they are there from the first step on.
    pub faults: Vec<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// Each step, in the order driven. The first starts from cold, every other where the one
    /// before it ended.
    pub steps: Vec<WalkStep>,
}

/// One state on the way.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct WalkStep {
    /// The state.
    pub state: String,
    /// How it drives, held against what it should apply.
    pub drives: DrivesAs,
    /// The declared state that from cold, without faults, applies the same: this one where it
    /// drives as it should, else one with the lever in the same detent before others.
    pub like: Option<String>,
    /// What it should apply, sorted: what the state lists, or, where it lists nothing, what it
    /// applies from cold without faults.
    pub should: Vec<PartName>,
    /// What it applies, sorted.
    pub applied: Vec<PartName>,
    /// What works by pressure and of which it cannot be said.
    pub unsure: Vec<PartName>,
    /// What of the applied has nothing but oil that is shut in: it holds until that has leaked
    /// off.
    pub shut_in: Vec<PartName>,
    /// Passages that are sealed off with oil in them, in file order.
    pub trapped: Vec<String>,
    /// What moved, in the order in which it first did.
    pub moved: Vec<WalkMove>,
    /// Valves that the state holds by hand.
    pub by_hand: Vec<ByHand>,
    /// Where settling did not come to one end: how it went.
    pub courses: Vec<StepCourse>,
    /// In how many ways the step can end.
    pub ends: usize,
    /// Passages whose oil differs between the ends, in file order.
    pub differing: Vec<String>,
    /// Ends of the step before from which it was not gone on: what is said of this step leaves
    /// out what those lead to.
    pub not_followed: usize,
    /// Against the same state, with the same faults, from cold.
    pub from_cold: Difference,
    /// Against the same step of the same walk without faults; none where there are none.
    pub from_sound: Option<Difference>,
}

/// What moved in a step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct WalkMove {
    /// The valve or shuttle ball.
    pub part: PartName,
    /// Where it could stand before; none among them for an unknown place. In the first step,
    /// where it rests.
    pub from: Vec<Option<String>>,
    /// Where it can stand after: as before where it went and came back.
    pub to: Vec<Option<String>>,
}

/// A valve that a state holds by hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ByHand {
    /// The valve.
    pub valve: PartName,
    /// Where it is held.
    pub held: Option<String>,
    /// Where it could end in this step if it were let be.
    pub let_be: Vec<Option<String>>,
}

/// How settling went where it did not come to one end.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct StepCourse {
    /// How it went.
    pub course: CourseWord,
    /// The valves and shuttle balls it hangs on.
    pub unsettled: Vec<PartName>,
}

/// How a step differs from another way to the same state.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Difference {
    /// Outlets of all kinds that have oil there and none here.
    pub lost: Vec<PartName>,
    /// Outlets of all kinds that have none there and have oil here.
    pub gained: Vec<PartName>,
    /// Outlets of which it can be said on one side alone.
    pub unsure: Vec<PartName>,
    /// Valves that stand elsewhere.
    pub stand: Vec<StandsElsewhere>,
}

/// A valve that stands elsewhere than in another way to the same state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct StandsElsewhere {
    /// The valve.
    pub valve: PartName,
    /// Where it can stand there; none among them for an unknown position.
    pub there: Vec<Option<String>>,
    /// Where it can stand here.
    pub here: Vec<Option<String>>,
}

impl Difference {
    /// Whether any outlet fares otherwise.
    #[must_use]
    pub fn is_felt(&self) -> bool {
        !(self.lost.is_empty() && self.gained.is_empty() && self.unsure.is_empty())
    }

    fn between(net: &Net<'_>, there: &Settled, here: &Settled) -> Self {
        let with = |which: &dyn Fn(Status, Status) -> bool| -> Vec<PartName> {
            let outlets = on::outlets(net);
            let found = outlets.filter(|o| which(on::status(there, o), on::status(here, o)));
            found.map(|o| o.name.clone()).collect()
        };
        let valves = net.valves().iter().enumerate();
        let stand = valves.filter_map(|(number, valve)| {
            let [there, here] = [there, here].map(|settled| settled.positions(number));
            (there != here).then(|| StandsElsewhere {
                valve: valve.name.clone(),
                there: places(net, &valve.name, &there),
                here: places(net, &valve.name, &here),
            })
        });
        Difference {
            lost: with(&|there, here| (there, here) == (Status::On, Status::Off)),
            gained: with(&|there, here| (there, here) == (Status::Off, Status::On)),
            unsure: with(&|there, here| there != here && [there, here].contains(&Status::Unsure)),
            stand: stand.collect(),
        }
    }
}

impl WalkStep {
    /// Whether something is wrong with it: with faults, that an outlet fares otherwise than
    /// without; without faults, that it does not apply exactly what it should.
    #[must_use]
    pub fn is_wrong(&self) -> bool {
        match &self.from_sound {
            Some(sound) => sound.is_felt(),
            None => self.drives != DrivesAs::Same,
        }
    }
}

impl Answer for Walk {
    const NAME: &'static str = "walk";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        self.steps.iter().any(WalkStep::is_wrong)
    }
}

/// Asks what happens as states are driven one after the other: the first settled from cold, each
/// next from where the one before it ended, so that valves start where they stood and sealed
/// passages keep their oil.
///
/// Where a step can end in several ways, the next goes on from each, up to 16; what they agree on
/// is said.
///
/// # Errors
/// A state that the circuit does not declare.
///
/// ```
/// use oilpath::{answer::{self, DrivesAs}, net::Net, sheet};
/// // A relay that feeds its own pilot: once started, it stays.
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "hold"] }
///     [source]
///     pump = { feeds = "line" }
///     [input]
///     start = {}
///     [orifice]
///     bleed = { between = ["hold", "sump"] }
///     [valve.relay]
///     bore = ["hold", "line", "sump"]
///     off = { joins = [["hold", "sump"]], otherwise = true }
///     on = { joins = [["line", "hold"]], when = "start or hold" }
///     [outlet]
///     brake = { kind = "brake", at = "hold" }
///     [state]
///     idle = {}
///     started = { on = ["start"], applies = ["brake"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let walk = answer::walk(&net, &["idle", "started", "idle"], &[]).unwrap();
/// let drives: Vec<DrivesAs> = walk.steps.iter().map(|step| step.drives).collect();
/// assert_eq!(drives, [DrivesAs::Same, DrivesAs::Same, DrivesAs::Like]);
/// assert_eq!(walk.steps[2].from_cold.stand[0].valve.id, "relay");
/// ```
pub fn walk<S: AsRef<str>>(
    net: &Net<'_>,
    states: &[S],
    faults: &[Fault],
) -> Result<Walk, FindError> {
    let circuit = net.circuit();
    let all = Settling::every(net);
    let mut way = Vec::new();
    for text in states {
        let id = circuit.find(text.as_ref(), &[Kind::State])?.id;
        way.extend(all.iter().find(|state| state.id == Some(id.as_str())));
    }
    let driven = drive(net, &way, faults);
    let sound = (!faults.is_empty()).then(|| drive(net, &way, &[]));
    let steps = driven.iter().enumerate().map(|(at, step)| {
        let sound = sound.as_ref().map(|sound| &sound[at].settled);
        step.step(way[at], &all, sound)
    });
    Ok(Walk {
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        depth: Depth::Settle,
        steps: steps.collect(),
    })
}
