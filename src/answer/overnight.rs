//! Standing overnight: what empties with the engine off and through what, and what keeps its oil.

use serde::Serialize;

use super::effect::unsettled;
use super::runoff::{RunOff, RunOffs};
use super::unplugged::without_current;
use super::{Answer, Depth, Status, on, states};
use crate::circuit::{Fault, PartName, State};
use crate::net::{Cavity, Net, SUMP_CAVITY, Stage, Strength};
use crate::reach;
use crate::settle::{Push, Settled, Value, balance, settle, settle_from};

/// What empties overnight and what keeps its oil, for each state the gearbox is left in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Overnight {
    /// The faults, as a reader would type them. None is the sound circuit.
    pub faults: Vec<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// Each state asked about.
    pub states: Vec<OvernightState>,
}

/// One state that the gearbox is left in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct OvernightState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// The cavities that have oil when the engine is turned off, in file order.
    pub cavities: Vec<StandingCavity>,
    /// The outlets that have oil when the engine is turned off, in the order they have it back in
    /// the morning: those fed through open ways before those behind a metering hole or a leak, the
    /// fewest cavities to fill first.
    pub outlets: Vec<StandingOutlet>,
    /// Valves and shuttle balls on which the answer hangs; empty where settling was steady.
    pub unsettled: Vec<PartName>,
}

/// A cavity that has oil when the engine is turned off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct StandingCavity {
    /// The cavity.
    pub cavity: String,
    /// How its oil runs off; none where it keeps it.
    pub runs_off: Option<RunOff>,
    /// How wide the way is by which it runs off in the sound circuit; none where that keeps it.
    pub sound: Option<Strength>,
    /// Where it keeps its oil: the balls that shut it in, with what stands openly beside it.
    pub held_by: Vec<PartName>,
}

/// An outlet that has oil when the engine is turned off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct StandingOutlet {
    /// The outlet, filter, converter or cooler.
    pub outlet: PartName,
    /// Whether its own cavity keeps its oil.
    pub keeps: bool,
    /// The cavities that have to fill again before it has oil, from the source on.
    pub to_fill: Vec<String>,
    /// The narrowest kind of way that its feed passes.
    pub fed_through: Push,
}

impl Answer for Overnight {
    const NAME: &'static str = "overnight";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        let mut cavities = self.states.iter().flat_map(|s| &s.cavities);
        cavities.any(StandingCavity::is_worse)
    }
}

impl StandingCavity {
    /// Whether it runs off wider than in the sound circuit, or keeps its oil there.
    #[must_use]
    pub fn is_worse(&self) -> bool {
        self.runs_off.as_ref().map(|r| r.how) > self.sound
    }
}

/// Asks what empties overnight when the engine is turned off in a state, or in each.
///
/// No source makes pressure and no solenoid has current; lever, inputs and what is held by hand
/// stay as the state has them. Valves go from where they stood to where the falling pressures put
/// them. Oil runs off by ways of any width, also through what consumes it (a bearing, a gear) and
/// back through a standing pump, which is no tighter than a leak. A cavity keeps its oil where it
/// has no way out: balls hold against what lies behind them, sprung ones both ways. Gravity is not
/// known: every way out counts as if it lay at the bottom.
///
/// ```
/// use oilpath::{answer, net::{Net, Strength}, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "converter", "cooler-in"] }
///     [source]
///     pump = { feeds = "line" }
///     [ball]
///     keep-in = { from = "line", to = "converter" }
///     drain-back = { from = "converter", to = "cooler-in", lifts-at = "0.3 bar" }
///     [orifice]
///     back = { between = ["cooler-in", "sump"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let sound = answer::overnight(&net, &[], None);
/// let converter = &sound.states[0].cavities[1];
/// assert_eq!(converter.runs_off, None);
/// let open = circuit.fault("drain-back:stuck-off").unwrap();
/// let faulty = answer::overnight(&net, &[open], None);
/// let run_off = faulty.states[0].cavities[1].runs_off.as_ref().unwrap();
/// assert_eq!(run_off.how, Strength::Metered);
/// ```
#[must_use]
pub fn overnight(net: &Net<'_>, faults: &[Fault], state: Option<&str>) -> Overnight {
    let circuit = net.circuit();
    let left = |(id, state): (Option<&str>, &State)| {
        let night = |faults: &[Fault]| {
            let stage = Stage::new(net, state, faults);
            Night::of(state, &stage, settle(&stage), faults)
        };
        let now = night(faults);
        let sound = match faults {
            [] => None,
            _ => Some(night(&[])),
        };
        OvernightState {
            state: id.map(str::to_owned),
            cavities: now.cavities(sound.as_ref().unwrap_or(&now)),
            outlets: now.outlets(),
            unsettled: unsettled(&now.after.course),
        }
    };
    Overnight {
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        depth: Depth::Settle,
        states: states(circuit, state).into_iter().map(left).collect(),
    }
}

/// One night in one state: running, and standing.
pub(super) struct Night<'n> {
    stage: Stage<'n>,
    running: Settled,
    after: Settled,
    run_offs: RunOffs<'n>,
}

impl<'n> Night<'n> {
    /// The night after a state, settled as it ran.
    pub fn of(state: &State, stage: &Stage<'n>, running: Settled, faults: &[Fault]) -> Self {
        let net = stage.net();
        let standing = Stage::new(net, &without_current(net, state), faults).standing();
        let after = settle_from(&standing, &running.ends[0]);
        let level = net.levels()[0];
        let scene = standing.scene(&after.ends[0].held, level);
        Night {
            run_offs: RunOffs::of(scene),
            stage: stage.clone(),
            running,
            after,
        }
    }

    /// Whether a cavity has oil when the engine is turned off, be it only a filling.
    fn has_oil(&self, cavity: Cavity) -> bool {
        let level = self.stage.net().levels()[0];
        let end = &self.running.ends[0].pressures;
        cavity != SUMP_CAVITY && end.at_least(level, cavity) == Value::Fed
    }

    fn run_off(&self, cavity: Cavity) -> Option<RunOff> {
        let level = self.stage.net().levels()[0];
        let kept = self.after.ends[0].pressures.at_least(level, cavity) != Value::Drained;
        // What ran off while the valves went over, and is shut in since.
        let gone = || RunOff {
            how: Strength::Open,
            narrowest: None,
            through: Vec::new(),
        };
        let found = self.run_offs.get(cavity);
        found.or_else(|| (!kept).then(gone))
    }

    /// The cavities that had oil, held against the night of the sound circuit.
    pub fn cavities(&self, sound: &Night<'_>) -> Vec<StandingCavity> {
        let net = self.stage.net();
        let full = net.cavities().filter(|c| self.has_oil(*c));
        full.map(|cavity| {
            let runs_off = self.run_off(cavity);
            StandingCavity {
                cavity: net.name(cavity).to_owned(),
                sound: match sound.has_oil(cavity) {
                    true => sound.run_off(cavity).map(|r| r.how),
                    // It has no business to be full: whatever empties it does no harm.
                    false => Some(Strength::Open),
                },
                held_by: match runs_off {
                    None => self.run_offs.held_by(cavity),
                    Some(_) => Vec::new(),
                },
                runs_off,
            }
        })
        .collect()
    }

    fn outlets(&self) -> Vec<StandingOutlet> {
        let net = self.stage.net();
        let end = &self.running.ends[0];
        let level = net.levels()[0];
        let scene = self.stage.scene(&end.held, level);
        let oil = balance(&scene, Some(&end.pressures.values(level)));
        let on = on::outlets(net).filter(|o| on::status(&self.running, o) == Status::On);
        let mut outlets: Vec<StandingOutlet> = on
            .map(|outlet| {
                let feed = outlet.user.feed();
                let path = reach::shortest(&scene, feed).into_iter();
                let cavities = path.flat_map(|p| {
                    let steps = p.steps.into_iter().map(|(_, cavity)| cavity);
                    std::iter::once(p.start).chain(steps)
                });
                let empty = cavities.filter(|c| self.run_off(*c).is_some());
                StandingOutlet {
                    outlet: outlet.name.clone(),
                    keeps: self.run_off(feed).is_none(),
                    to_fill: empty.map(|c| net.name(c).to_owned()).collect(),
                    fed_through: oil.supply(feed),
                }
            })
            .collect();
        outlets.sort_by_key(|o| {
            let open = o.fed_through.min(Push::Open);
            (std::cmp::Reverse(open), o.to_fill.len())
        });
        outlets
    }
}
