//! What has been worked out of one stage, kept for when settling comes by again.
//!
//! Orders of movement and combinations of undecided positions pass the same points over and over;
//! each is worked out once.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::Pressures;
use super::point::Point;
use super::wants::{Wants, wants};
use crate::net::{Held, Stage};

/// Pressures and wants of one stage, by where everything stands.
pub(super) struct Solver<'s> {
    stage: &'s Stage<'s>,
    /// By positions alone, where no cavity keeps what it held.
    flowing: RefCell<HashMap<Held, Pressures>>,
    /// By positions and earlier pressures, where some cavity does.
    keeping: RefCell<HashMap<Point, Pressures>>,
    wants: RefCell<HashMap<Point, Rc<Wants>>>,
}

impl<'s> Solver<'s> {
    pub fn new(stage: &'s Stage<'s>) -> Self {
        Solver {
            stage,
            flowing: RefCell::default(),
            keeping: RefCell::default(),
            wants: RefCell::default(),
        }
    }

    pub fn stage(&self) -> &'s Stage<'s> {
        self.stage
    }

    /// Everything standing in new places: what becomes of earlier pressures.
    pub fn solve(&self, held: Held, before: &Pressures) -> Point {
        if let Some(pressures) = self.flowing.borrow().get(&held) {
            let pressures = pressures.clone();
            return Point { held, pressures };
        }
        let key = Point {
            held,
            pressures: before.clone(),
        };
        if let Some(pressures) = self.keeping.borrow().get(&key) {
            let pressures = pressures.clone();
            return Point {
                held: key.held,
                pressures,
            };
        }
        let pressures = Pressures::solve(self.stage, &key.held, before);
        let held = key.held.clone();
        if pressures.keeps() {
            self.keeping.borrow_mut().insert(key, pressures.clone());
        } else {
            let mut flowing = self.flowing.borrow_mut();
            flowing.insert(key.held, pressures.clone());
        }
        Point { held, pressures }
    }

    /// Where everything would go from a point.
    pub fn wants(&self, point: &Point) -> Rc<Wants> {
        if let Some(wants) = self.wants.borrow().get(point) {
            return wants.clone();
        }
        let wants = Rc::new(wants(self.stage, &point.held, &point.pressures));
        let mut known = self.wants.borrow_mut();
        known.insert(point.clone(), wants.clone());
        wants
    }
}
