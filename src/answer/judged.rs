//! What faults do to every outlet in one state, once that has settled with them.

use super::behind::BehindLane;
use super::beside::Beside;
use super::complaint::{Fares, complaints};
use super::effect::{MovedValve, StarveState, course, moved, moved_between, unsettled};
use super::high::stand_high;
use super::picture::Picture;
use super::reason::why;
use super::sound::SoundState;
use super::verdict::{OutletVerdict, Reason, verdict};
use super::{Status, Verdict, on};
use crate::circuit::{Fault, Level, PartName};
use crate::net::{Cavity, NetSource, Stage};
use crate::reach::Dominators;
use crate::settle::{Course, Point, Push, Settled, Value};

/// What faults do in one state, once that has settled with them. What leads to each verdict is
/// left out: it takes many times as long.
///
/// A verdict has its reason where `explained` says so.
pub(super) fn judged(
    state: &SoundState<'_>,
    faulty: &Stage<'_>,
    after: &Settled,
    explained: fn(Verdict) -> bool,
) -> StarveState {
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
    let jammed = faulty.jammed_accumulators();
    let losing = ends.iter().map(|end| {
        let robbed = end.robbed();
        let asked = !robbed.is_empty() || !jammed.is_empty();
        (robbed, asked.then(|| Dominators::of_pressure(&end.scene)))
    });
    let losing: Vec<_> = losing.collect();
    let mut outlets: Vec<OutletVerdict> = outlets
        .filter_map(|(number, outlet)| {
            let feed = outlet.user.feed();
            let before = sound.view(number);
            let verdicts = ends.iter().zip(&losing).map(|(end, (robbed, passed))| {
                let after = end.view(number);
                let mut found = verdict(before, after, outlet.by_pressure);
                let mut reason = match explained(found) {
                    true => why(end, outlet.user, found, [before, after]),
                    false => None,
                };
                let hangs_on = |on: Cavity| passed.as_ref().is_some_and(|p| p.dominates(on, feed));
                if found == Verdict::Kept {
                    let by = robbed.iter().find(|(_, last)| hangs_on(*last));
                    let cushion = jammed.iter().filter(|_| outlet.by_pressure);
                    let cushion = cushion.clone().find(|(_, at)| hangs_on(*at));
                    if let Some((regulator, _)) = by {
                        found = Verdict::Weakened;
                        let regulator = regulator.clone();
                        reason = explained(found).then_some(Reason::Robbed { regulator });
                    } else if let Some((accumulator, _)) = cushion {
                        found = Verdict::Harsh;
                        let accumulator = accumulator.clone();
                        let uncushioned = Reason::Uncushioned { accumulator };
                        reason = explained(found).then_some(uncushioned);
                    }
                }
                OutletVerdict {
                    outlet: outlet.name.clone(),
                    sound: before.status,
                    now: after.status,
                    verdict: found,
                    reason,
                    chain: Vec::new(),
                }
            });
            join(verdicts, &unsettled, net.name(feed))
        })
        .collect();
    let fares = outlets.iter().zip(on::outlets(net));
    let fares = fares.map(|(told, outlet)| Fares {
        outlet: &outlet.name,
        by_pressure: outlet.by_pressure,
        sound: told.sound,
        now: told.now,
        verdict: told.verdict,
    });
    let fares: Vec<Fares<'_>> = fares.collect();
    outlets.sort_by_key(|o| o.verdict);
    let will_not_build: Vec<PartName> = named(&|s| {
        let loaded = ends.iter().map(|end| end.load(s.feeds) >= Push::Open);
        will_not_build(&after.course, loaded) && builds(state, s.feeds)
    });
    let at_all_ends = |holds: &dyn Fn(&Point) -> bool| after.ends.iter().all(holds);
    let fed = |at| at_all_ends(&|end| end.pressures.at_least(Level::Low, at) == Value::Fed);
    let high = stand_high(
        state,
        |regulator| faulty.raises(regulator),
        |regulator| at_all_ends(&|end| end.held.boosted[regulator]),
        |at| will_not_build.is_empty() && fed(at),
    );
    StarveState {
        state: state.id.map(str::to_owned),
        complaints: complaints(&fares, &state.others, high),
        will_not_build,
        cannot_draw: named(&|s| sound.works(s.feeds) && !ends.iter().all(|end| end.works(s.feeds))),
        moved: moved(net, before, after),
        course: course(&after.course),
        unsettled,
        outlets,
    }
}

/// The same for one of many scenes that settled side by side and came to rest in one place. Outlets
/// with which nothing is wrong are left out: of many outlets a fault mostly touches few.
pub(super) fn judged_beside(
    state: &SoundState<'_>,
    beside: &Beside<'_>,
    lane: usize,
    faults: &[Fault],
    explained: fn(Verdict) -> bool,
) -> StarveState {
    let held = beside.settled.held(lane);
    let positions = |i| state.settled.positions(i);
    let moved = moved_between(state.stage.net(), positions, |i| vec![held.valves[i]]);
    let how = (&Course::Steady, moved);
    judged_lanes(state, beside, &[lane], faults, how, explained)
}

/// The same for a scene whose ends lie beside those of others, one a lane.
pub(super) fn judged_ends(
    state: &SoundState<'_>,
    beside: &Beside<'_>,
    lanes: &[usize],
    (faults, after): (&[Fault], &Settled),
    explained: fn(Verdict) -> bool,
) -> StarveState {
    let moved = moved(state.stage.net(), &state.settled, after);
    let how = (&after.course, moved);
    judged_lanes(state, beside, lanes, faults, how, explained)
}

fn judged_lanes(
    state: &SoundState<'_>,
    beside: &Beside<'_>,
    lanes: &[usize],
    faults: &[Fault],
    (how, moved): (&Course, Vec<MovedValve>),
    explained: fn(Verdict) -> bool,
) -> StarveState {
    let net = state.stage.net();
    let sound = &state.picture;
    let unsettled = unsettled(how);
    let behind = BehindLane::of(beside, state, faults, lanes[0]);
    let mut fares = Vec::with_capacity(net.outlets().len());
    let mut outlets: Vec<OutletVerdict> = Vec::new();
    for (number, outlet) in on::numbered(net) {
        let before = sound.view(number);
        let feed = outlet.user.feed();
        let look = |lane: usize| {
            let after = beside.view(lane, number).unwrap_or(before);
            let weighed = verdict(before, after, outlet.by_pressure);
            let cushion = beside.uncushioned(lane, feed);
            let found = match (weighed, cushion) {
                (Verdict::Kept, _) if beside.robs(lane, number) => Found::Robbed,
                (Verdict::Kept, Some(by)) if outlet.by_pressure => Found::Uncushioned(by),
                _ => Found::Weighed(weighed),
            };
            (after, found)
        };
        let touched = |lane: usize| {
            beside.view(lane, number).is_some()
                || beside.robs(lane, number)
                || beside.uncushioned(lane, feed).is_some()
        };
        let as_sound = Fares {
            outlet: &outlet.name,
            by_pressure: outlet.by_pressure,
            sound: before.status,
            now: before.status,
            verdict: verdict(before, before, outlet.by_pressure),
        };
        if !as_sound.verdict.is_bad() && !lanes.iter().any(|lane| touched(*lane)) {
            fares.push(as_sound);
            continue;
        }
        let verdicts = lanes.iter().map(|lane| {
            let (after, found) = look(*lane);
            OutletVerdict {
                outlet: outlet.name.clone(),
                sound: before.status,
                now: after.status,
                verdict: found.verdict(),
                reason: None,
                chain: Vec::new(),
            }
        });
        let Some(mut joined) = join(verdicts, &unsettled, net.name(feed)) else {
            continue;
        };
        // Where all ends agree the first one tells why.
        if joined.reason.is_none() && explained(joined.verdict) {
            let (after, found) = look(lanes[0]);
            joined.reason = match found {
                Found::Robbed => robber(state, beside, (lanes[0], faults), feed),
                Found::Uncushioned(by) => Some(Reason::Uncushioned {
                    accumulator: by.clone(),
                }),
                Found::Weighed(verdict) => why(&behind, outlet.user, verdict, [before, after]),
            };
        }
        fares.push(Fares {
            now: joined.now,
            verdict: joined.verdict,
            ..as_sound
        });
        if joined.verdict.is_bad() {
            outlets.push(joined);
        }
    }
    outlets.sort_by_key(|o| o.verdict);
    let sources = net.sources().iter().enumerate();
    let named = |of: &dyn Fn(usize, &NetSource) -> bool| {
        let sources = sources.clone().filter(|(i, s)| of(*i, s));
        sources.map(|(_, s)| s.name.clone()).collect()
    };
    let will_not_build: Vec<PartName> = named(&|i, s| {
        let loaded = lanes.iter().map(|lane| beside.loaded[i].contains(*lane));
        will_not_build(how, loaded) && builds(state, s.feeds)
    });
    let settled = beside.settled;
    let at_all_ends = |holds: &dyn Fn(usize) -> bool| lanes.iter().all(|lane| holds(*lane));
    let fed = |at| at_all_ends(&|lane| settled.span(lane, at).lowest >= Level::Low);
    let high = stand_high(
        state,
        |regulator| at_all_ends(&|lane| settled.raises(lane, regulator)),
        |regulator| at_all_ends(&|lane| settled.boosted(lane, regulator)),
        |at| will_not_build.is_empty() && fed(at),
    );
    StarveState {
        state: state.id.map(str::to_owned),
        complaints: complaints(&fares, &state.others, high),
        will_not_build,
        cannot_draw: named(&|i, s| {
            let mut lanes = lanes.iter();
            sound.works(s.feeds) && !lanes.all(|lane| beside.works[i].contains(*lane))
        }),
        moved,
        course: course(how),
        unsettled,
        outlets,
    }
}

/// What is found of an outlet in one of many scenes.
enum Found<'f> {
    /// A new loss takes what the regulator before it had left over.
    Robbed,
    /// It takes hold without this accumulator.
    Uncushioned(&'f PartName),
    /// What it looks like decides.
    Weighed(Verdict),
}

impl Found<'_> {
    fn verdict(&self) -> Verdict {
        match self {
            Found::Robbed => Verdict::Weakened,
            Found::Uncushioned(_) => Verdict::Harsh,
            Found::Weighed(verdict) => *verdict,
        }
    }
}

/// Whether a source of the sound circuit builds pressure in the cavity it feeds.
fn builds(state: &SoundState<'_>, feeds: Cavity) -> bool {
    let (first, others) = (&state.picture, &state.settled.ends[1..]);
    let loads = |picture: &Picture<'_>| picture.load(feeds) >= Push::Open;
    let others = others
        .iter()
        .map(|end| Picture::new(&state.stage, end, None));
    let loaded = std::iter::once(loads(first)).chain(others.map(|other| loads(&other)));
    !will_not_build(&state.settled.course, loaded)
}

/// Whether a source will not build pressure that is drawn upon by a wide open way at some ends.
fn will_not_build(how: &Course, mut loaded: impl Iterator<Item = bool>) -> bool {
    match how {
        // What hunts lets the pressure fall again and again.
        Course::Oscillation { .. } => loaded.any(|loaded| loaded),
        _ => loaded.all(|loaded| loaded),
    }
}

/// The regulator that feeds a cavity with what it has left over, and has been robbed of that.
fn robber(
    state: &SoundState<'_>,
    beside: &Beside<'_>,
    (lane, faults): (usize, &[Fault]),
    feed: Cavity,
) -> Option<Reason> {
    let stage = state.stage.with(faults);
    let end = Picture::new(&stage, &beside.settled.end(lane), Some(&state.picture));
    let passed = Dominators::of_pressure(&end.scene);
    let mut robbed = end.robbed().into_iter();
    let by = robbed.find(|(_, last)| passed.dominates(*last, feed));
    by.map(|(regulator, _)| Reason::Robbed { regulator })
}

/// One verdict of those at all ends: theirs where they agree; none without an end.
fn join(
    verdicts: impl Iterator<Item = OutletVerdict>,
    unsettled: &[PartName],
    cavity: &str,
) -> Option<OutletVerdict> {
    verdicts.reduce(|mut joined, other| {
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
        joined
    })
}
