//! What starves, weakens, or gets oil it should not.

use serde::Serialize;

use super::cause::Replays;
use super::effect::StarveState;
use super::judged::judged;
use super::sound::Sound;
use super::verdict::OutletVerdict;
use super::{Answer, Depth, Verdict, states};
use crate::circuit::Fault;
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

impl Answer for Starve {
    const NAME: &'static str = "starve";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        self.states.iter().any(|s| {
            !s.will_not_build.is_empty()
                || !s.cannot_draw.is_empty()
                || !s.complaints.is_empty()
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
