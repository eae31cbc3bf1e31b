//! The plug-pulled table: what remains of each state when no solenoid has current.

use serde::Serialize;

use super::drives::{DrivesAs, Settling, drives, named};
use super::effect::unsettled;
use super::{Answer, Depth, Status, on};
use crate::circuit::{Kind, PartName, State};
use crate::net::{Net, Stage};
use crate::settle::{Settled, settle, settle_from};

/// What remains of each state when no solenoid has current.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Unplugged {
    /// How deep the answer looks.
    pub depth: Depth,
    /// Each state.
    pub states: Vec<UnpluggedState>,
}

/// What remains of one state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct UnpluggedState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// The solenoids that lose their current; empty where none has any.
    pub lost_current: Vec<PartName>,
    /// What the state applies with its current, sorted.
    pub applied: Vec<PartName>,
    /// With the plug out before it is started: from cold.
    pub cold: Remains,
    /// With the plug pulled while it drives in this state.
    pub running: Remains,
}

/// What is applied without current, and how that drives.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Remains {
    /// How it drives.
    pub drives: DrivesAs,
    /// The declared state that applies the same, with its own current: this one where that has
    /// not changed, else one with the lever in the same detent before others.
    pub like: Option<String>,
    /// What is applied, sorted.
    pub applied: Vec<PartName>,
    /// Outlets of all kinds that have oil with current and none without.
    pub lost: Vec<PartName>,
    /// Outlets of all kinds that have none with current and do without.
    pub gained: Vec<PartName>,
    /// Outlets of which it cannot be said.
    pub unsure: Vec<PartName>,
    /// What of the applied has nothing but oil that is shut in: it holds until that has leaked
    /// off.
    pub shut_in: Vec<PartName>,
    /// Valves and shuttle balls on which the end hangs; empty where settling was steady.
    pub unsettled: Vec<PartName>,
}

impl Answer for Unplugged {
    const NAME: &'static str = "unplugged";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Asks what each state becomes when the plug is pulled: no solenoid has current, lever, inputs
/// and what is held by hand stay as declared.
///
/// Once from cold, as with the plug out before the engine is started; once from where the state
/// itself has settled, as with the plug pulled while driving: valves start where they stood.
///
/// ```
/// use oilpath::{answer::{self, DrivesAs}, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "pilot", "low-feed", "high-feed"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     pilot-feed = { between = ["line", "pilot"] }
///     [solenoid]
///     shift = { kind = "bleed", on = "pilot", normally = "open" }
///     [valve.range]
///     bore = ["pilot", "low-feed", "line", "high-feed", "sump"]
///     low = { joins = [["line", "low-feed"], ["high-feed", "sump"]], otherwise = true }
///     high = { joins = [["line", "high-feed"]], when = "pilot" }
///     [outlet]
///     low-clutch = { kind = "clutch", at = "low-feed" }
///     high-clutch = { kind = "clutch", at = "high-feed" }
///     [state]
///     low = { applies = ["low-clutch"] }
///     high = { on = ["shift"], applies = ["high-clutch"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let answer = answer::unplugged(&net);
/// let high = &answer.states[1];
/// assert_eq!((high.cold.drives, high.cold.like.as_deref()), (DrivesAs::Like, Some("low")));
/// assert_eq!(answer.states[0].running.drives, DrivesAs::Same);
/// ```
#[must_use]
pub fn unplugged(net: &Net<'_>) -> Unplugged {
    let states = Settling::every(net);
    let of = |one: &Settling<'_>| {
        let dead = Stage::new(net, &without_current(net, one.state), &[]);
        UnpluggedState {
            state: one.id.map(str::to_owned),
            lost_current: with_current(net, one.state),
            applied: one.applied.clone(),
            cold: remains(one, &states, &dead, &settle(&dead)),
            running: remains(
                one,
                &states,
                &dead,
                &settle_from(&dead, &one.settled.ends[0]),
            ),
        }
    };
    Unplugged {
        depth: Depth::Settle,
        states: states.iter().map(of).collect(),
    }
}

/// The same state with no current anywhere.
pub(super) fn without_current(net: &Net<'_>, state: &State) -> State {
    let mut dead = state.clone();
    let is_input = |text: &String| net.circuit().find(text, &[Kind::Input]).is_ok();
    dead.on.retain(is_input);
    dead.levels.clear();
    dead
}

/// The solenoids that have current in a state.
fn with_current(net: &Net<'_>, state: &State) -> Vec<PartName> {
    let on = state.on.iter().chain(state.levels.keys());
    let found = on.filter_map(|text| net.circuit().find(text, &[Kind::Solenoid]).ok());
    let mut found: Vec<PartName> = found.collect();
    found.sort();
    found.dedup();
    found
}

fn remains(own: &Settling<'_>, all: &[Settling<'_>], stage: &Stage<'_>, now: &Settled) -> Remains {
    let net = stage.net();
    let with = |was: Status, is: Status| -> Vec<PartName> {
        let outlets = on::outlets(net);
        let found =
            outlets.filter(|o| (on::status(&own.settled, o), on::status(now, o)) == (was, is));
        found.map(|o| o.name.clone()).collect()
    };
    let unsure = on::outlets(net).filter(|o| on::status(now, o) == Status::Unsure);
    let unsure: Vec<PartName> = unsure.map(|o| o.name.clone()).collect();
    let applied = named(on::applied(net, now));
    let pressed = |part: &PartName| net.outlet(part).is_some_and(|o| o.by_pressure);
    let (drives, like) = drives(own, all, &own.applied, &applied, unsure.iter().any(pressed));
    Remains {
        drives,
        like,
        lost: with(Status::On, Status::Off),
        gained: with(Status::Off, Status::On),
        unsure,
        shut_in: on::shut_in(stage, now),
        applied,
        unsettled: unsettled(&now.course),
    }
}
