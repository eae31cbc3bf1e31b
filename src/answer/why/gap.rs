//! What stands shut: between a cavity and its supply, or all round it.

use std::collections::{BTreeSet, VecDeque};

use serde::Serialize;

use super::end::End;
use crate::circuit::{Kind, Level, PartName};
use crate::net::{Cavity, Link, SUMP_CAVITY, Scene, Stage, Strength, WayId};
use crate::settle::Cause;

/// A place where oil could go and cannot.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Gap {
    /// The cavity oil would leave.
    pub from: String,
    /// The cavity oil would enter.
    pub to: String,
    /// The part that is shut.
    pub part: PartName,
    /// What shuts it.
    pub shut: Shut,
}

/// What shuts a way.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum Shut {
    /// A fault.
    Fault {
        /// The fault, as a reader would type it.
        fault: String,
    },
    /// The valve stands elsewhere.
    Position {
        /// The positions that would open it.
        opens: Vec<String>,
    },
    /// The solenoid is shut.
    Solenoid,
    /// The shuttle ball lies on this inlet.
    Shuttle,
    /// The ball is on its seat: oil in this direction presses it there.
    Seated,
    /// The sprung ball holds until the pressure is higher.
    Sprung,
}

impl End<'_, '_> {
    /// What is shut between a source and the cavity, by the routes that have least shut, nearest
    /// to the cavity first. A mere leak is no route.
    pub(super) fn shut_between(&self) -> Vec<Gap> {
        let at = self.asked.cavity;
        let all = self.asked.stage.all_open();
        let forth = |c: Cavity| self.steps(&all, c, true);
        let back = |c: Cavity| self.steps(&all, c, false);
        let from_source = self.fewest_shut(self.scene.rails(), forth);
        let to_cavity = self.fewest_shut(&[at], back);
        let Some(fewest) = from_source[at.number()] else {
            return Vec::new();
        };
        let mut found: Vec<(u32, Step)> = Vec::new();
        for cavity in self.net().cavities() {
            for step in forth(cavity).into_iter().filter(|step| step.shut) {
                let ends = (from_source[cavity.number()], to_cavity[step.to.number()]);
                if let (Some(before), Some(behind)) = ends
                    && before + 1 + behind == fewest
                    && self.can_open(&step, before + behind)
                {
                    found.push((behind, step));
                }
            }
        }
        found.sort_by_key(|(behind, _)| *behind);
        self.gaps(found.into_iter().map(|(_, step)| step))
    }

    /// Whether a valve that moves to open a step leaves no more shut before and behind it: where
    /// it stands now it may be part of the route.
    fn can_open(&self, step: &Step, most: u32) -> bool {
        let Some((valve, position)) = self.scene.way(step.way).position() else {
            return true;
        };
        let mut held = self.point.held.clone();
        held.valves[valve] = Some(position as u32);
        let stage = self.asked.stage;
        let moved = End {
            scene: stage.scene(&held, Level::Low),
            balance: self.balance.clone(),
            ..*self
        };
        let all = stage.all_open();
        let forth = |c: Cavity| moved.steps(&all, c, true);
        let back = |c: Cavity| moved.steps(&all, c, false);
        let before = moved.fewest_shut(self.scene.rails(), forth)[step.from.number()];
        let behind = moved.fewest_shut(&[self.asked.cavity], back)[step.to.number()];
        matches!((before, behind), (Some(before), Some(behind)) if before + behind <= most)
    }

    /// What is shut all round the cavity and what shares its oil.
    pub(super) fn sealed_by(&self) -> Vec<Gap> {
        let mut pocket = BTreeSet::from([self.asked.cavity]);
        let mut queue = vec![self.asked.cavity];
        while let Some(cavity) = queue.pop() {
            for link in self.scene.onward(cavity).chain(self.scene.inward(cavity)) {
                let sealed = self.balance.cause(link.to) == Cause::Trapped;
                if sealed && link.to != SUMP_CAVITY && pocket.insert(link.to) {
                    queue.push(link.to);
                }
            }
        }
        let all = self.asked.stage.all_open();
        let inside = |c: Cavity| pocket.contains(&c);
        let ways = pocket.iter().flat_map(|cavity| {
            let mut ways = self.steps(&all, *cavity, true);
            ways.extend(self.steps(&all, *cavity, false));
            ways
        });
        let round = ways.filter(|s| s.shut && !(inside(s.from) && inside(s.to)));
        let mut round: Vec<Step> = round.collect();
        round.sort_by_key(|step| (step.way, step.from));
        // What opens to both sides is told once, as seen from within.
        round.sort_by_key(|step| !inside(step.from));
        let mut told: Vec<Step> = Vec::new();
        for step in round {
            let shut = self.scene.setting(step.way).strength().is_none();
            let same = |s: &Step| s.way == step.way && (shut || s.against == step.against);
            if !told.iter().any(same) {
                told.push(step);
            }
        }
        self.gaps(told)
    }

    /// Steps that oil can take from a cavity, or by which it can come to one, and those it could
    /// if what is shut in the scene were as open as in `all`.
    fn steps(&self, all: &Scene<'_>, at: Cavity, onward: bool) -> Vec<Step> {
        let links = |scene: &Scene<'_>, onward: bool| -> Vec<Link> {
            let links: Vec<Link> = match onward {
                true => scene.onward(at).collect(),
                false => scene.inward(at).collect(),
            };
            let carries = |link: &Link| link.strength >= Strength::Metered;
            links.into_iter().filter(carries).collect()
        };
        let open = |link: &Link| self.scene.setting(link.way).strength().is_some();
        // Against a ball that lets oil by the other way only.
        let against = |link: &Link| {
            let way = self.scene.way(link.way);
            self.net().part(way).kind == Kind::Ball
                && way.shuttle().is_none()
                && !self.scene.setting(link.way).bared()
        };
        let step = |link: Link, shut, against| {
            let (from, to) = match onward {
                true => (at, link.to),
                false => (link.to, at),
            };
            Step {
                from,
                to,
                way: link.way,
                shut,
                against,
            }
        };
        let mut steps = Vec::new();
        for link in links(&self.scene, onward) {
            steps.push(step(link, false, false));
        }
        for link in links(all, onward).into_iter().filter(|l| !open(l)) {
            steps.push(step(link, true, false));
        }
        for link in links(all, !onward).into_iter().filter(against) {
            steps.push(step(link, true, true));
        }
        steps.retain(|step| step.from != SUMP_CAVITY);
        steps
    }

    /// For each cavity how many shut ways lie between it and the nearest of some, by number (a
    /// breadth-first search in which open steps cost nothing).
    fn fewest_shut(
        &self,
        from: &[Cavity],
        steps: impl Fn(Cavity) -> Vec<Step>,
    ) -> Vec<Option<u32>> {
        let mut fewest: Vec<Option<u32>> = vec![None; self.net().cavity_count()];
        let mut queue: VecDeque<(Cavity, u32)> = from.iter().map(|c| (*c, 0)).collect();
        while let Some((cavity, count)) = queue.pop_front() {
            if fewest[cavity.number()].is_some() {
                continue;
            }
            fewest[cavity.number()] = Some(count);
            for step in steps(cavity) {
                let to = if step.from == cavity {
                    step.to
                } else {
                    step.from
                };
                if to == SUMP_CAVITY || fewest[to.number()].is_some() {
                    continue;
                }
                match step.shut {
                    true => queue.push_back((to, count + 1)),
                    false => queue.push_front((to, count)),
                }
            }
        }
        fewest
    }

    /// Shut steps as an answer has them; the positions of one valve that would open the same way
    /// together.
    fn gaps(&self, steps: impl IntoIterator<Item = Step>) -> Vec<Gap> {
        let net = self.net();
        let mut gaps: Vec<Gap> = Vec::new();
        for step in steps {
            let shut = self.shuts(&step);
            let [from, to] = [step.from, step.to].map(|c| net.name(c).to_owned());
            let part = net.part(self.scene.way(step.way)).clone();
            let same = |g: &&mut Gap| (&g.part, &g.from, &g.to) == (&part, &from, &to);
            match (gaps.iter_mut().find(same), shut) {
                (Some(known), Shut::Position { opens: more }) => {
                    if let Shut::Position { opens } = &mut known.shut {
                        opens.extend(more);
                    }
                }
                (Some(_), _) => {}
                (None, shut) => gaps.push(Gap {
                    from,
                    to,
                    part,
                    shut,
                }),
            }
        }
        gaps
    }

    fn shuts(&self, step: &Step) -> Shut {
        if step.against {
            return Shut::Seated;
        }
        let held = &self.point.held;
        let opens = |stage: &Stage<'_>| {
            let scene = stage.scene(held, Level::Low);
            scene.setting(step.way).strength().is_some()
        };
        let circuit = self.net().circuit();
        if opens(self.asked.sound) {
            let alone = |fault: &&crate::circuit::Fault| {
                let one = std::slice::from_ref(*fault);
                !opens(&self.asked.sound.with(one))
            };
            if let Some(fault) = self.asked.faults.iter().find(alone) {
                let fault = circuit.say(fault);
                return Shut::Fault { fault };
            }
        }
        let way = self.scene.way(step.way);
        let part = self.net().part(way);
        match part.kind {
            Kind::Valve => {
                let place = crate::answer::trace::position(&self.scene, step.way);
                Shut::Position {
                    opens: place.into_iter().collect(),
                }
            }
            Kind::Solenoid => Shut::Solenoid,
            Kind::Ball if way.shuttle().is_some() => Shut::Shuttle,
            _ => Shut::Sprung,
        }
    }
}

/// A step of the oil, taken or not.
#[derive(Clone, Copy)]
struct Step {
    from: Cavity,
    to: Cavity,
    way: WayId,
    /// Whether it cannot be taken.
    shut: bool,
    /// Whether it is against what a ball lets by.
    against: bool,
}
