//! What starves, weakens, or gets oil it should not.

use serde::Serialize;

use super::cause::Replays;
use super::complaint::Complaint;
use super::judged::judged;
use super::place::places;
use super::sound::Sound;
use super::verdict::OutletVerdict;
use super::{Answer, Depth, Verdict, states};
use crate::circuit::{Fault, PartName};
use crate::net::{Net, Stage};
use crate::settle::{Course, Settled, settle};

/// The effect of some faults, state by state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Starve {
    /// The faults, as a reader would type them. None is the sound circuit.
    pub faults: Vec<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// Each state asked about.
    pub states: Vec<StarveState>,
}

/// The effect of some faults in one state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct StarveState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// Sources whose cavity has got a wide open way to the sump: no pressure will build.
    pub will_not_build: Vec<PartName>,
    /// Sources that no longer give oil: they cannot draw, or what they feed is plugged.
    pub cannot_draw: Vec<PartName>,
    /// Valves that stand elsewhere than in the sound circuit.
    pub moved: Vec<MovedValve>,
    /// How settling went.
    pub course: CourseWord,
    /// Valves and shuttle balls on which the answer hangs; empty where settling was steady.
    pub unsettled: Vec<PartName>,
    /// What the driver or the gauge would say of it, the gravest first.
    pub complaints: Vec<Complaint>,
    /// Every outlet, the worst off first, then in file order.
    pub outlets: Vec<OutletVerdict>,
}

/// A valve that stands elsewhere than in the sound circuit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct MovedValve {
    /// The valve.
    pub valve: PartName,
    /// Where it stands when sound; none where that cannot be said.
    pub sound: Option<String>,
    /// Where it can stand now; none among them for an unknown position.
    pub now: Vec<Option<String>>,
}

/// How settling went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum CourseWord {
    /// To one end.
    Steady,
    /// Positions that cannot be decided were tried one by one.
    Undecided,
    /// The end depends on what moves first.
    Race,
    /// It never ends.
    Oscillation,
    /// More undecided positions than can be tried.
    TooMany,
}

impl Answer for Starve {
    const NAME: &'static str = "starve";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        self.states.iter().any(|s| {
            !s.will_not_build.is_empty()
                || !s.cannot_draw.is_empty()
                || s.outlets.iter().any(|o| o.verdict.is_bad())
        })
    }
}

impl Starve {
    /// Outlets with a verdict in a state, by id.
    pub fn with(&self, state: &str, verdict: Verdict) -> Vec<&str> {
        let states = self.states.iter();
        states
            .filter(|s| s.state.as_deref().unwrap_or_default() == state)
            .flat_map(|s| &s.outlets)
            .filter(|o| o.verdict == verdict)
            .map(|o| o.outlet.id.as_str())
            .collect()
    }
}

/// Asks what some faults do, in one state or in all.
///
/// Each state is settled from cold, with and without the faults: valves and shuttle balls move as
/// the pressures say. Where that can end in several ways, an outlet has a verdict only if all of
/// them agree. Filters and coolers on the suction side are no outlets here.
///
/// ```
/// use oilpath::{answer::{self, Verdict}, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [plate]
///     hop-cover = { kind = "cover", roofs = ["lube"] }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm", under = "hop-cover" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
///     clutch = { kind = "clutch", at = "line" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let loose = circuit.fault("hop-cover:loose").unwrap();
/// let answer = answer::starve(&net, &[loose], None);
/// assert_eq!(answer.with("", Verdict::Starved), ["bearing"]);
/// assert_eq!(answer.with("", Verdict::Kept), ["clutch"]);
/// ```
#[must_use]
pub fn starve(net: &Net<'_>, faults: &[Fault], state: Option<&str>) -> Starve {
    let circuit = net.circuit();
    let sound = Sound::of(net, states(circuit, state));
    Starve {
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        depth: Depth::Settle,
        states: sound
            .states
            .iter()
            .map(|sound| {
                let stage = sound.stage.with(faults);
                let settled = settle(&stage);
                let mut state = judged(sound, &stage, &settled, Verdict::is_bad);
                let stages = [&sound.stage, &stage];
                explain(&mut state.outlets, stages, [&sound.settled, &settled]);
                state
            })
            .collect(),
    }
}

/// Valves that stand elsewhere than in the sound circuit.
pub(super) fn moved(net: &Net<'_>, sound: &Settled, now: &Settled) -> Vec<MovedValve> {
    moved_between(net, |i| sound.positions(i), |i| now.positions(i))
}

/// The same, where each valve can stand given by its number.
pub(super) fn moved_between(
    net: &Net<'_>,
    sound: impl Fn(usize) -> Vec<Option<u32>>,
    now: impl Fn(usize) -> Vec<Option<u32>>,
) -> Vec<MovedValve> {
    let moved = net.valves().iter().enumerate().filter_map(|(i, valve)| {
        let (was, is) = (sound(i), now(i));
        (was != is).then(|| MovedValve {
            valve: valve.name.clone(),
            sound: places(net, &valve.name, &was).remove(0),
            now: places(net, &valve.name, &is),
        })
    });
    moved.collect()
}

/// Adds to each bad verdict what leads to it, where valves moved and all came to rest.
fn explain<'n>(
    outlets: &mut [OutletVerdict],
    [sound_stage, stage]: [&Stage<'n>; 2],
    [sound, now]: [&Settled; 2],
) {
    let net = stage.net();
    let moved = (0..net.valves().len()).any(|i| sound.positions(i) != now.positions(i));
    if !moved || now.course != Course::Steady {
        return;
    }
    let replays = Replays::of(sound_stage, stage, &sound.ends[0], &now.ends[0]);
    for verdict in outlets.iter_mut().filter(|o| o.verdict.is_bad()) {
        if let Some(outlet) = net.outlet(&verdict.outlet) {
            verdict.chain = replays.chain(outlet, verdict.sound);
        }
    }
}

/// The valves and shuttle balls on which the end of settling hangs.
pub(super) fn unsettled(course: &Course) -> Vec<PartName> {
    match course {
        Course::Steady => Vec::new(),
        Course::Undecided(parts)
        | Course::Race(parts)
        | Course::Oscillation { parts, .. }
        | Course::TooMany(parts) => parts.clone(),
    }
}

pub(super) fn course(course: &Course) -> CourseWord {
    match course {
        Course::Steady => CourseWord::Steady,
        Course::Undecided(_) => CourseWord::Undecided,
        Course::Race(_) => CourseWord::Race,
        Course::Oscillation { .. } => CourseWord::Oscillation,
        Course::TooMany(_) => CourseWord::TooMany,
    }
}
