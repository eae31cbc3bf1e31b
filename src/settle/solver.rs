//! What has been worked out of one stage, kept for when settling comes by again.
//!
//! Orders of movement and combinations of undecided positions pass the same points over and over;
//! each is worked out once and goes by a number from then on.

use std::cell::RefCell;
use std::rc::Rc;

use rustc_hash::FxHashMap;

use super::Pressures;
use super::driven::Driven;
use super::point::Point;
use super::wants::{Wants, wants};
use crate::net::{Held, Stage};

/// A point that has been come to, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct At(u32);

/// Points of one stage, with where everything would go from each.
pub(super) struct Solver<'s> {
    stage: &'s Stage<'s>,
    known: RefCell<Known<'s>>,
}

#[derive(Default)]
struct Known<'s> {
    points: Vec<Rc<Point>>,
    wants: Vec<Option<Rc<Wants>>>,
    numbers: FxHashMap<Rc<Point>, At>,
    /// By positions alone, where no cavity keeps what it held.
    flowing: FxHashMap<Held, At>,
    /// By positions and the point before, where some cavity does.
    keeping: FxHashMap<(Held, At), At>,
    /// What those positions make of whatever was before.
    driven: FxHashMap<Held, Rc<Driven<'s>>>,
}

impl Known<'_> {
    fn number(&mut self, point: Point) -> At {
        if let Some(at) = self.numbers.get(&point) {
            return *at;
        }
        let at = At(self.points.len() as u32);
        let point = Rc::new(point);
        self.numbers.insert(point.clone(), at);
        self.points.push(point);
        self.wants.push(None);
        at
    }
}

impl<'s> Solver<'s> {
    pub fn new(stage: &'s Stage<'s>) -> Self {
        Solver {
            stage,
            known: RefCell::default(),
        }
    }

    pub fn stage(&self) -> &'s Stage<'s> {
        self.stage
    }

    /// The number of a point.
    pub fn number(&self, point: Point) -> At {
        self.known.borrow_mut().number(point)
    }

    /// The point of a number.
    pub fn point(&self, at: At) -> Rc<Point> {
        self.known.borrow().points[at.0 as usize].clone()
    }

    /// Everything standing in new places: what becomes of the pressures of a point.
    pub fn solve(&self, held: Held, before: At) -> At {
        let known = self.known.borrow();
        if let Some(at) = known.flowing.get(&held) {
            return *at;
        }
        let key = (held, before);
        if let Some(at) = known.keeping.get(&key) {
            return *at;
        }
        let earlier = known.points[before.0 as usize].clone();
        drop(known);
        let held = key.0.clone();
        let pressures = self
            .driven(&held, &earlier.pressures)
            .after(&earlier.pressures);
        let keeps = pressures.keeps();
        let mut known = self.known.borrow_mut();
        let at = known.number(Point { held, pressures });
        match keeps {
            true => known.keeping.insert(key, at),
            false => known.flowing.insert(key.0, at),
        };
        at
    }

    /// Whether it is known what everything standing in new places comes to, whatever was before.
    pub fn knows(&self, held: &Held) -> bool {
        self.known.borrow().flowing.contains_key(held)
    }

    /// Learns what becomes of a point, worked out elsewhere, and where everything would go then.
    pub fn learn(&self, before: At, point: Point, wants: Wants) -> At {
        let held = point.held.clone();
        let keeps = point.pressures.keeps();
        let mut known = self.known.borrow_mut();
        let at = known.number(point);
        match keeps {
            true => known.keeping.insert((held, before), at),
            false => known.flowing.insert(held, at),
        };
        known.wants[at.0 as usize] = Some(Rc::new(wants));
        at
    }

    fn driven(&self, held: &Held, like: &Pressures) -> Rc<Driven<'s>> {
        if let Some(driven) = self.known.borrow().driven.get(held) {
            return driven.clone();
        }
        let driven = Rc::new(Driven::of(self.stage, held, like.levels()));
        let mut known = self.known.borrow_mut();
        known.driven.insert(held.clone(), driven.clone());
        driven
    }

    /// Where everything would go from a point.
    pub fn wants(&self, at: At) -> Rc<Wants> {
        if let Some(wants) = &self.known.borrow().wants[at.0 as usize] {
            return wants.clone();
        }
        let point = self.point(at);
        let wants = Rc::new(wants(self.stage, &point.held, &point.pressures));
        self.known.borrow_mut().wants[at.0 as usize] = Some(wants.clone());
        wants
    }
}
