//! How much of a circuit is drawn: all, what lies around a part, or one way of the oil.

use std::collections::VecDeque;

use super::error::DrawError;
use super::{Item, Picture, Pipe, Plate, Shape};
use crate::answer::{Hop, Route, RouteKind, trace};
use crate::circuit::{Fault, Kind, PartName, SUMP};
use crate::net::Net;

/// Steps from a part, cavities and parts counted alike, that still belong to what lies around it.
const NEAR: usize = 4;

/// The items within some steps of a part, or of what lies under, passes or lies in it.
pub(super) fn around(
    part: &PartName,
    items: &[Item],
    pipes: &[Pipe],
    plates: &[Plate],
    casting: Option<usize>,
) -> Vec<bool> {
    let plate = plates
        .iter()
        .position(|p| part.kind == Kind::Plate && p.id == part.id);
    let is_seed = |item: &Item| {
        item.name == *part
            || item.chips.iter().any(|chip| chip.name == *part)
            || item.plates.iter().any(|(under, _)| Some(*under) == plate)
            || casting.is_some() && item.casting == casting
    };
    let mut steps: Vec<Option<usize>> = items
        .iter()
        .map(|item| is_seed(item).then_some(0))
        .collect();
    // What is spread over many cavities has its neighbourhood in itself.
    let near = match part.kind {
        Kind::Casting | Kind::Plate => 1,
        _ => NEAR,
    };
    let mut queue: VecDeque<usize> = (0..items.len()).filter(|i| steps[*i].is_some()).collect();
    while let Some(at) = queue.pop_front() {
        let next = steps[at].unwrap_or_default() + 1;
        let joined = pipes.iter().filter_map(|pipe| pipe.other(at));
        for to in joined.filter(|_| next <= near).collect::<Vec<_>>() {
            if steps[to].is_none() {
                steps[to] = Some(next);
                queue.push_back(to);
            }
        }
    }
    steps.iter().map(Option::is_some).collect()
}

/// The oil's way to a part: what its report calls the first way, or that of the first state asked.
pub(super) fn route(
    net: &Net<'_>,
    part: &PartName,
    faults: &[Fault],
    state: Option<&str>,
) -> Result<Route, DrawError> {
    let answer = trace(net, part, faults, state, RouteKind::Shortest)?;
    let mut routes = answer.routes.into_iter();
    routes.next().ok_or_else(|| DrawError::NoOil {
        part: part.clone(),
        state: state.map(str::to_owned),
    })
}

/// Follows a route: numbers its items as its report does, marks the pipes it takes, and gives the
/// items in the order oil meets them.
pub(super) fn follow(
    items: &mut [Item],
    pipes: &mut [Pipe],
    route: &Route,
    to: &PartName,
) -> Vec<usize> {
    let mut way = Way {
        items,
        pipes,
        met: Vec::new(),
    };
    for hop in &route.suction {
        way.take(hop, None);
    }
    let source = way.find(&route.source);
    let start = way.cavity(&route.start);
    if let (Some(source), Some(start)) = (source, start) {
        // The report's first step goes from the sump into the first cavity under pressure.
        way.items[source].steps.push(1);
        if let Some(draws) = way.met.last().copied() {
            way.mark(draws, source, true);
        }
        way.meet(source);
        way.mark(start, source, false);
        way.meet(start);
    }
    for (hop, step) in route.hops.iter().zip(2..) {
        way.take(hop, Some(step));
    }
    if let (Some(end), Some(last)) = (way.find(to), way.met.last().copied())
        && end != last
    {
        way.mark(last, end, true);
        way.meet(end);
        way.items[end].steps.push(route.hops.len() + 2);
    }
    way.met
}

/// What is followed, and what was met.
struct Way<'a> {
    items: &'a mut [Item],
    pipes: &'a mut [Pipe],
    met: Vec<usize>,
}

impl Way<'_> {
    fn find(&self, name: &PartName) -> Option<usize> {
        self.items.iter().position(|i| i.name == *name)
    }

    fn cavity(&self, id: &str) -> Option<usize> {
        self.find(&PartName::new(Kind::Passage, id))
    }

    fn meet(&mut self, item: usize) {
        if !self.met.contains(&item) {
            self.met.push(item);
        }
    }

    fn joins(&self, part: usize, cavity: Option<usize>) -> bool {
        let mut pipes = self.pipes.iter();
        cavity.is_none_or(|at| pipes.any(|p| p.cavity == at && p.other(at) == Some(part)))
    }

    /// Marks the pipe between a cavity and a part.
    fn mark(&mut self, cavity: usize, part: usize, into_part: bool) {
        let between = |p: &&mut Pipe| p.cavity == cavity && p.other(cavity) == Some(part);
        if let Some(pipe) = self.pipes.iter_mut().find(between) {
            if !std::mem::replace(&mut pipe.traced, true) {
                pipe.arrows.clear();
            }
            let into = if into_part { part } else { cavity };
            if !pipe.arrows.contains(&into) {
                pipe.arrows.push(into);
            }
        }
    }

    /// Follows a hop; the sump at either end is no item.
    fn take(&mut self, hop: &Hop, step: Option<usize>) {
        let ends = [&hop.from, &hop.to].map(|id| self.cavity(id).filter(|_| *id != SUMP));
        let carries = |i: &usize| {
            let item = &self.items[*i];
            item.name == hop.part
                && item.shape != Shape::Cavity
                && ends.iter().all(|end| self.joins(*i, *end))
        };
        let Some(part) = (0..self.items.len()).find(carries) else {
            return;
        };
        if let Some(from) = ends[0] {
            self.meet(from);
            self.mark(from, part, true);
        }
        self.meet(part);
        self.items[part].steps.extend(step);
        if let Some(to) = ends[1] {
            self.mark(to, part, false);
            self.meet(to);
        }
    }
}

impl Picture {
    /// Keeps some items, ordered by rank, and what joins these; marks those that lose a pipe.
    /// Castings and plates that then hold nothing go too.
    pub(super) fn keep(&mut self, kept: &[bool], ranks: &[i32]) {
        for pipe in &self.pipes {
            for item in [pipe.from, pipe.to] {
                let other = pipe.other(item).is_some_and(|other| kept[other]);
                self.items[item].cut |= !other;
            }
        }
        let mut order: Vec<usize> = (0..self.items.len()).filter(|i| kept[*i]).collect();
        order.sort_by_key(|i| ranks[*i]);
        let mut places = vec![None; self.items.len()];
        for (place, item) in order.iter().enumerate() {
            places[*item] = Some(place);
        }
        self.items = order.iter().map(|i| self.items[*i].clone()).collect();
        let pipes = std::mem::take(&mut self.pipes);
        self.pipes = pipes
            .into_iter()
            .filter_map(|pipe| {
                let ends = [places[pipe.from]?, places[pipe.to]?];
                Some(Pipe {
                    // Kept items stand in the order of their ranks, and so do these two.
                    from: ends[0].min(ends[1]),
                    to: ends[0].max(ends[1]),
                    cavity: places[pipe.cavity]?,
                    arrows: pipe.arrows.iter().filter_map(|at| places[*at]).collect(),
                    ..pipe
                })
            })
            .collect();
        let castings = keep_used(
            &mut self.castings,
            self.items.iter().filter_map(|i| i.casting),
        );
        let over = self.items.iter().flat_map(|i| i.plates.iter().map(|p| p.0));
        let plates = keep_used(&mut self.plates, over);
        for item in &mut self.items {
            item.casting = item.casting.and_then(|c| castings[c]);
            item.plates = std::mem::take(&mut item.plates)
                .into_iter()
                .filter_map(|(plate, over)| Some((plates[plate]?, over)))
                .collect();
        }
    }
}

/// Keeps the entries that are used, and gives the new place of each.
fn keep_used<T>(entries: &mut Vec<T>, used: impl Iterator<Item = usize>) -> Vec<Option<usize>> {
    let mut is_used = vec![false; entries.len()];
    for entry in used {
        is_used[entry] = true;
    }
    let mut next = 0..;
    let places: Vec<Option<usize>> = is_used
        .iter()
        .map(|used| if *used { next.next() } else { None })
        .collect();
    let mut used = is_used.into_iter();
    entries.retain(|_| used.next().unwrap_or_default());
    places
}
