//! How oil runs off from each cavity when nothing presses, and what keeps it in.

use std::collections::VecDeque;

use serde::Serialize;

use crate::circuit::{BallKind, PartName};
use crate::net::{Cavity, Net, Passes, SUMP_CAVITY, Scene, Strength, User};

/// How the oil of a cavity runs off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct RunOff {
    /// The narrowest kind of way it passes, on the widest way out.
    pub how: Strength,
    /// The first part that is so narrow; none where all of it is open.
    pub narrowest: Option<PartName>,
    /// The parts it runs off through, from the cavity on; the last is where it is gone: a way to
    /// the sump, something that consumes it, or the standing pump. Empty where it ran off while
    /// the valves went over.
    pub through: Vec<PartName>,
}

/// The next step of a cavity's oil on its widest way out.
#[derive(Clone)]
struct Step {
    how: Strength,
    part: PartName,
    strength: Strength,
    to: Cavity,
}

/// How oil runs off from every cavity of a scene.
pub(super) struct RunOffs<'n> {
    scene: Scene<'n>,
    steps: Vec<Option<Step>>,
}

impl<'n> RunOffs<'n> {
    /// Floods back from where oil is gone, the widest ways first: of all ways out of a cavity it
    /// takes the one whose narrowest place is widest, and the shortest of those.
    pub fn of(scene: Scene<'n>) -> Self {
        let net = scene.net();
        let mut run_offs = RunOffs {
            steps: vec![None; net.cavity_count()],
            scene,
        };
        let ends = gone_at(net);
        for how in [Strength::Open, Strength::Metered, Strength::Leak] {
            let mut queue: VecDeque<Cavity> = VecDeque::from([SUMP_CAVITY]);
            queue.extend(
                net.cavities()
                    .filter(|c| run_offs.steps[c.number()].is_some()),
            );
            for (cavity, part, strength) in &ends {
                if *strength == how {
                    let step = (part, *strength, SUMP_CAVITY);
                    run_offs.reach(*cavity, how, step, &mut queue);
                }
            }
            while let Some(to) = queue.pop_front() {
                let scene = &run_offs.scene;
                let links = scene.inward(to).filter(|link| link.drains());
                let links: Vec<_> = links
                    .filter(|link| link.strength >= how)
                    .map(|link| {
                        let part = net.part(scene.way(link.way)).clone();
                        (link.to, part, link.strength)
                    })
                    .collect();
                for (from, part, strength) in links {
                    run_offs.reach(from, how, (&part, strength, to), &mut queue);
                }
            }
        }
        run_offs
    }

    fn reach(
        &mut self,
        from: Cavity,
        how: Strength,
        (part, strength, to): (&PartName, Strength, Cavity),
        queue: &mut VecDeque<Cavity>,
    ) {
        let known = &mut self.steps[from.number()];
        if from != SUMP_CAVITY && known.is_none() {
            let part = part.clone();
            *known = Some(Step {
                how,
                part,
                strength,
                to,
            });
            queue.push_back(from);
        }
    }

    /// How a cavity's oil runs off; none where it has no way out.
    pub fn get(&self, cavity: Cavity) -> Option<RunOff> {
        let how = self.steps[cavity.number()].as_ref()?.how;
        let mut run_off = RunOff {
            how,
            narrowest: None,
            through: Vec::new(),
        };
        let mut at = cavity;
        while let Some(step) = &self.steps[at.number()] {
            if how < Strength::Open && step.strength == how && run_off.narrowest.is_none() {
                run_off.narrowest = Some(step.part.clone());
            }
            run_off.through.push(step.part.clone());
            at = step.to;
        }
        Some(run_off)
    }

    /// The balls that shut in the oil of a cavity without a way out, and of what stands openly
    /// beside it: one-way balls it lies behind, sprung ones it does not lift. Sorted.
    pub fn held_by(&self, cavity: Cavity) -> Vec<PartName> {
        let net = self.scene.net();
        let mut beside = vec![cavity];
        let mut next = 0;
        while let Some(at) = beside.get(next).copied() {
            next += 1;
            for link in self.scene.onward(at) {
                if link.passes == Passes::Both && !beside.contains(&link.to) {
                    beside.push(link.to);
                }
            }
        }
        let inside = |id: &str| net.cavity(id).is_some_and(|c| beside.contains(&c));
        let holds = net
            .circuit()
            .balls
            .iter()
            .filter(|(_, ball)| match &ball.kind {
                BallKind::OneWay { from, to, lifts_at } => {
                    let holds_back = inside(to) && !inside(from);
                    holds_back || (lifts_at.is_some() && inside(from) && !inside(to))
                }
                BallKind::Shuttle { .. } => false,
            });
        let names = holds.map(|(id, _)| PartName::new(crate::circuit::Kind::Ball, id));
        names.collect()
    }
}

/// Where oil is gone besides the sump: in what consumes it, and back through a standing pump,
/// whose clearances leak (common practice, no source).
pub(super) fn gone_at(net: &Net<'_>) -> Vec<(Cavity, PartName, Strength)> {
    let consumers = net.outlets().iter().filter(|o| !o.by_pressure);
    let consumers = consumers.filter_map(|o| match o.user {
        User::Leaf(at) => Some((at, o.name.clone(), Strength::Metered)),
        _ => None,
    });
    let sources = &net.circuit().sources;
    let pumps = net
        .sources()
        .iter()
        .filter(|s| sources[&s.name.id].pressure.is_none());
    let pumps = pumps.map(|s| (s.feeds, s.name.clone(), Strength::Leak));
    consumers.chain(pumps).collect()
}
