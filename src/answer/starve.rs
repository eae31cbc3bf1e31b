//! What starves, weakens, or gets oil it should not.

use serde::Serialize;

use super::cause::Replays;
use super::complaint::{Complaint, complaints};
use super::picture::Picture;
use super::place::places;
use super::sound::{Sound, SoundState};
use super::verdict::{OutletVerdict, Reason, judge};
use super::{Answer, Depth, Status, Verdict, on, states};
use crate::circuit::{Fault, PartName};
use crate::net::{Net, NetSource, Stage};
use crate::settle::{Course, Push, Settled, settle};

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
                let mut state = judged(sound, &stage, &settled);
                let stages = [&sound.stage, &stage];
                explain(&mut state.outlets, stages, [&sound.settled, &settled]);
                state
            })
            .collect(),
    }
}

/// What faults do in one state, once that has settled with them. What leads to each verdict is
/// left out: it takes many times as long.
pub(super) fn judged(state: &SoundState<'_>, faulty: &Stage<'_>, after: &Settled) -> StarveState {
    let net = faulty.net();
    let (sound, before) = (&state.picture, &state.settled);
    let ends: Vec<Picture<'_>> = after
        .ends
        .iter()
        .map(|end| Picture::new(faulty, end, Some(sound)))
        .collect();
    let named = |of: &dyn Fn(&NetSource) -> bool| {
        let sources = net.sources().iter().filter(|s| of(s));
        sources.map(|s| s.name.clone()).collect()
    };
    let unsettled = unsettled(&after.course);
    let outlets = on::numbered(net);
    let robbed: Vec<_> = ends.iter().map(Picture::robbed).collect();
    let mut outlets: Vec<OutletVerdict> = outlets
        .map(|(number, outlet)| {
            let verdicts = ends.iter().zip(&robbed).map(|(end, robbed)| {
                let mut verdict = judge(sound, end, number);
                let by = robbed
                    .iter()
                    .find(|(_, last)| end.hangs_on(outlet.user.feed(), *last));
                if let (Verdict::Kept, Some((regulator, _))) = (verdict.verdict, by) {
                    verdict.verdict = Verdict::Weakened;
                    let regulator = regulator.clone();
                    verdict.reason = Some(Reason::Robbed { regulator });
                }
                let mut jammed = faulty.jammed_accumulators().iter();
                let cushion = jammed.find(|(_, at)| end.hangs_on(outlet.user.feed(), *at));
                if let (Verdict::Kept, true, Some((accumulator, _))) =
                    (verdict.verdict, outlet.by_pressure, cushion)
                {
                    verdict.verdict = Verdict::Harsh;
                    let accumulator = accumulator.clone();
                    verdict.reason = Some(Reason::Uncushioned { accumulator });
                }
                verdict
            });
            join(verdicts.collect(), &unsettled, net.name(outlet.user.feed()))
        })
        .collect();
    outlets.sort_by_key(|o| o.verdict);
    StarveState {
        state: state.id.map(str::to_owned),
        will_not_build: named(&|s| {
            let mut loaded = ends.iter().map(|end| end.load(s.feeds) >= Push::Open);
            let loaded = match after.course {
                // What hunts lets the pressure fall again and again.
                Course::Oscillation { .. } => loaded.any(|loaded| loaded),
                _ => loaded.all(|loaded| loaded),
            };
            loaded && sound.load(s.feeds) < Push::Open
        }),
        cannot_draw: named(&|s| {
            let works = |picture: &Picture<'_>| {
                let scene = &picture.scene;
                scene.rails().contains(&s.feeds) || scene.vents().contains(&s.feeds)
            };
            works(sound) && !ends.iter().all(works)
        }),
        moved: moved(net, before, after),
        course: course(&after.course),
        unsettled,
        complaints: complain(net, state, &outlets),
        outlets,
    }
}

/// Valves that stand elsewhere than in the sound circuit.
pub(super) fn moved(net: &Net<'_>, sound: &Settled, now: &Settled) -> Vec<MovedValve> {
    let moved = net.valves().iter().enumerate().filter_map(|(i, valve)| {
        let (was, is) = (sound.positions(i), now.positions(i));
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

/// What the verdicts of a state sound like, held against what the other states apply.
fn complain(net: &Net<'_>, state: &SoundState<'_>, outlets: &[OutletVerdict]) -> Vec<Complaint> {
    if !outlets.iter().any(|o| o.verdict.is_bad()) {
        return Vec::new();
    }
    let by_pressure = |o: &OutletVerdict| net.outlet(&o.outlet).is_some_and(|n| n.by_pressure);
    let outlets: Vec<(&OutletVerdict, bool)> =
        outlets.iter().map(|o| (o, by_pressure(o))).collect();
    complaints(&outlets, &state.others)
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

/// One verdict of those at all ends: theirs where they agree.
fn join(mut verdicts: Vec<OutletVerdict>, unsettled: &[PartName], cavity: &str) -> OutletVerdict {
    let mut joined = verdicts.remove(0);
    for other in verdicts {
        if other.now != joined.now {
            joined.now = Status::Unsure;
        }
        if other.verdict != joined.verdict {
            joined.verdict = Verdict::Undecided;
            joined.reason = Some(match unsettled {
                // Nothing stands elsewhere: the ends differ in what is sealed in.
                [] => Reason::Unknown {
                    cavity: cavity.to_owned(),
                },
                on => Reason::Depends { on: on.to_vec() },
            });
        }
    }
    joined
}
