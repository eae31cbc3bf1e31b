//! The driving itself: one step after the other, from every end of the one before.

use super::{ByHand, Difference, MOST_ENDS, StepCourse, WalkMove, WalkStep};
use crate::answer::drives::{Settling, drives, named};
use crate::answer::effect::{course, unsettled};
use crate::answer::place::{place, places};
use crate::answer::{Status, on};
use crate::circuit::{Fault, Kind, PartName, State};
use crate::net::{Cavity, Held, Net, Stage};
use crate::settle::{Course, Move, Point, Settled, settle, settle_from};

/// From one end of the step before: where everything stood there, and how it settled from there.
type Run = (Held, Settled);

/// One step as driven.
pub(super) struct Driven<'n> {
    stage: Stage<'n>,
    /// From each end of the step before that was gone on from.
    runs: Vec<Run>,
    /// The same with what the state holds by hand let be; none where it holds nothing.
    let_be: Vec<Run>,
    /// All runs together.
    pub settled: Settled,
    not_followed: usize,
}

/// Drives states one after the other.
pub(super) fn drive<'n>(
    net: &'n Net<'n>,
    way: &[&Settling<'_>],
    faults: &[Fault],
) -> Vec<Driven<'n>> {
    let mut steps: Vec<Driven<'_>> = Vec::new();
    for state in way {
        let state = state.state;
        let ends = steps.last().map(|before| &before.settled.ends[..]);
        let run = |state: &State| -> (Stage<'n>, Vec<Run>) {
            let stage = Stage::new(net, state, faults);
            let runs = match ends {
                None => vec![(at_rest(net), settle(&stage))],
                Some(ends) => {
                    let ends = ends.iter().take(MOST_ENDS);
                    let run = |end: &Point| (end.held.clone(), settle_from(&stage, end));
                    ends.map(run).collect()
                }
            };
            (stage, runs)
        };
        let (stage, runs) = run(state);
        let let_be = match state.valves.is_empty() {
            true => Vec::new(),
            false => {
                let mut free = state.clone();
                free.valves.clear();
                run(&free).1
            }
        };
        let not_followed = ends.map_or(0, |ends| ends.len().saturating_sub(MOST_ENDS));
        steps.push(Driven {
            settled: together(&runs),
            stage,
            runs,
            let_be,
            not_followed,
        });
    }
    steps
}

/// Several runs of one step as one.
fn together(runs: &[Run]) -> Settled {
    let mut all = Settled {
        ends: Vec::new(),
        course: Course::Steady,
        rounds: 0,
        moves: Vec::new(),
    };
    for (_, run) in runs {
        for end in &run.ends {
            push_new(&mut all.ends, end);
        }
        if all.course == Course::Steady {
            all.course = run.course.clone();
        }
        all.rounds = all.rounds.max(run.rounds);
        all.moves.extend(run.moves.iter().cloned());
    }
    all
}

/// Where everything stands before anything is driven. A shuttle ball lies anywhere.
fn at_rest(net: &Net<'_>) -> Held {
    let mut held = Held::unknown(net);
    held.valves = net.valves().iter().map(|valve| valve.rest).collect();
    held
}

impl Driven<'_> {
    /// What is to be said of the step.
    pub fn step(
        &self,
        own: &Settling<'_>,
        all: &[Settling<'_>],
        sound: Option<&Settled>,
    ) -> WalkStep {
        let (stage, settled) = (&self.stage, &self.settled);
        let net = stage.net();
        let should = should(net, own);
        let applied = named(on::applied(net, settled));
        let unsure = net.outlets().iter().filter(|o| o.by_pressure);
        let unsure = unsure.filter(|o| on::status(settled, o) == Status::Unsure);
        let unsure: Vec<PartName> = unsure.map(|o| o.name.clone()).collect();
        let (drives, like) = drives(own, all, &should, &applied, !unsure.is_empty());
        WalkStep {
            state: own.id.unwrap_or_default().to_owned(),
            drives,
            like,
            should,
            applied,
            unsure,
            shut_in: on::shut_in(stage, settled),
            trapped: on::trapped(stage, settled),
            moved: self.moved(),
            by_hand: self.by_hand(),
            courses: self.courses(),
            ends: settled.ends.len(),
            differing: differing(net, &settled.ends),
            not_followed: self.not_followed,
            from_cold: Difference::between(net, &settle(stage), settled),
            from_sound: sound.map(|sound| Difference::between(net, sound, settled)),
        }
    }

    /// What stands elsewhere after the step than before it, or went and came back.
    fn moved(&self) -> Vec<WalkMove> {
        let net = self.stage.net();
        let movers = net.valves().iter().map(|v| &v.name);
        let movers = movers.chain(net.shuttles().iter().map(|s| &s.name));
        let moved = movers.filter_map(|part| {
            let went = |mut moves: std::slice::Iter<'_, Move>| moves.position(|m| m.part == *part);
            let (mut from, mut to, mut stirs) = (Vec::new(), Vec::new(), false);
            for (held, run) in &self.runs {
                let was = place(net, held, part);
                for end in &run.ends {
                    let is = place(net, &end.held, part);
                    stirs |= was != is || went(run.moves.iter()).is_some();
                    push_new(&mut from, &was);
                    push_new(&mut to, &is);
                }
            }
            let first = went(self.settled.moves.iter());
            let from_anywhere = from == [None] && part.kind == Kind::Ball;
            let part = part.clone();
            (stirs && !from_anywhere).then_some((first, WalkMove { part, from, to }))
        });
        let mut moved: Vec<_> = moved.collect();
        // What is put somewhere from outside stands there before anything else moves.
        moved.sort_by_key(|(first, _)| *first);
        moved.into_iter().map(|(_, moved)| moved).collect()
    }

    /// The valves the state holds by hand, and where they would end if it did not.
    fn by_hand(&self) -> Vec<ByHand> {
        let net = self.stage.net();
        let by_hand = net
            .valves()
            .iter()
            .enumerate()
            .filter_map(|(number, valve)| {
                self.stage.drives().by_hand[number]?;
                let mut let_be = Vec::new();
                for end in self.let_be.iter().flat_map(|(_, run)| &run.ends) {
                    push_new(&mut let_be, &end.held.valves[number]);
                }
                Some(ByHand {
                    valve: valve.name.clone(),
                    held: places(net, &valve.name, &[self.stage.fixed(number)]).remove(0),
                    let_be: places(net, &valve.name, &let_be),
                })
            });
        by_hand.collect()
    }

    fn courses(&self) -> Vec<StepCourse> {
        let mut courses = Vec::new();
        for (_, run) in &self.runs {
            let one = StepCourse {
                course: course(&run.course),
                unsettled: unsettled(&run.course),
            };
            if run.course != Course::Steady && !courses.contains(&one) {
                courses.push(one);
            }
        }
        courses
    }
}

/// Passages whose oil differs between some ends.
fn differing(net: &Net<'_>, ends: &[Point]) -> Vec<String> {
    let differs = |c: &Cavity| {
        let mut spans = ends.iter().map(|end| end.pressures.span(*c));
        let first = spans.next();
        spans.any(|span| Some(span) != first)
    };
    let differing = net.cavities().filter(differs);
    differing.map(|c| net.name(c).to_owned()).collect()
}

/// What a state should apply.
fn should(net: &Net<'_>, state: &Settling<'_>) -> Vec<PartName> {
    if state.state.applies.is_empty() {
        return state.applied.clone();
    }
    let listed = state.state.applies.iter();
    let found = listed.filter_map(|text| net.circuit().find(text, &[Kind::Outlet]).ok());
    let mut found: Vec<PartName> = found.collect();
    found.sort();
    found.dedup();
    found
}

fn push_new<T: Clone + PartialEq>(list: &mut Vec<T>, item: &T) {
    if !list.contains(item) {
        list.push(item.clone());
    }
}
