//! What has been worked out of one stage, kept for when settling comes by again.
//!
//! Orders of movement and combinations of undecided positions pass the same points over and over;
//! each is worked out once and goes by a number from then on.

use std::cell::RefCell;
use std::rc::Rc;

use indexmap::IndexSet;
use rustc_hash::{FxBuildHasher, FxHashMap};

use super::Pressures;
use super::driven::Driven;
use super::places::{Layout, Places};
use super::point::Point;
use super::wants::{Wants, wants, wants_at};
use crate::net::{Held, Stage};

/// A point that has been come to, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct At(u32);

/// Where everything stands at some points, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Stand(u32);

/// Points of one stage, with where everything would go from each.
#[derive(Clone)]
pub(super) struct Solver<'s> {
    stage: &'s Stage<'s>,
    layout: Layout,
    known: RefCell<Known>,
}

#[derive(Clone, Default)]
struct Known {
    /// By stand.
    places: IndexSet<Places, FxBuildHasher>,
    stood: Vec<Stood>,
    /// By point.
    points: IndexSet<(Stand, Pressures), FxBuildHasher>,
    wants: Vec<Option<Rc<Wants>>>,
    /// Where a stand leads from the point before, where some cavity keeps what it held.
    keeping: FxHashMap<(Stand, At), At>,
    /// What is looked up next: kept, for its room.
    asked: Places,
    /// Whether something was worked out here.
    worked_out: bool,
}

/// What is known of everything standing somewhere.
#[derive(Clone, Default)]
struct Stood {
    /// What that makes of whatever was before.
    driven: Option<Driven>,
    /// Where it leads, where no cavity keeps what it held.
    flowing: Option<At>,
    /// Valves whose spools can stroke then, a bit each.
    strokes: Option<Box<[u64]>>,
}

impl Known {
    fn stand(&mut self) -> Stand {
        let known = self.places.get_index_of(&self.asked[..]);
        let number = known.unwrap_or_else(|| {
            self.stood.push(Stood::default());
            self.places.insert_full(self.asked.clone()).0
        });
        Stand(number as u32)
    }

    fn number(&mut self, stand: Stand, pressures: Pressures) -> At {
        let (number, new) = self.points.insert_full((stand, pressures));
        if new {
            self.wants.push(None);
        }
        At(number as u32)
    }

    fn places(&self, stand: Stand) -> &[u64] {
        &self.places[stand.0 as usize]
    }

    /// Where a stand leads from a point; none as long as that has not been worked out.
    fn leads(&mut self, stand: Stand, before: At) -> Option<At> {
        let stood = &self.stood[stand.0 as usize];
        if stood.flowing.is_some() {
            return stood.flowing;
        }
        if let Some(at) = self.keeping.get(&(stand, before)) {
            return Some(*at);
        }
        let (_, earlier) = &self.points[before.0 as usize];
        let pressures = stood.driven.as_ref()?.after(earlier);
        let keeps = pressures.keeps();
        let at = self.number(stand, pressures);
        match keeps {
            true => drop(self.keeping.insert((stand, before), at)),
            false => self.stood[stand.0 as usize].flowing = Some(at),
        }
        Some(at)
    }
}

impl<'s> Solver<'s> {
    pub fn new(stage: &'s Stage<'s>) -> Self {
        Solver {
            stage,
            layout: Layout::of(stage.net()),
            known: RefCell::default(),
        }
    }

    pub fn stage(&self) -> &'s Stage<'s> {
        self.stage
    }

    /// The number of where everything stands.
    pub fn stand(&self, held: &Held) -> Stand {
        let mut known = self.known.borrow_mut();
        known.asked = self.layout.places(held);
        known.stand()
    }

    /// The number of a point.
    pub fn number(&self, point: Point) -> At {
        let stand = self.stand(&point.held);
        self.known.borrow_mut().number(stand, point.pressures)
    }

    /// The point of a number.
    pub fn point(&self, at: At) -> Point {
        let known = self.known.borrow();
        let (stand, pressures) = &known.points[at.0 as usize];
        Point {
            held: self.layout.held(self.stage.net(), known.places(*stand)),
            pressures: pressures.clone(),
        }
    }

    /// Where everything stands, by the number of that.
    pub fn held(&self, stand: Stand) -> Held {
        let known = self.known.borrow();
        self.layout.held(self.stage.net(), known.places(stand))
    }

    /// Where a mover stands at a point.
    pub fn stands(&self, at: At, mover: usize) -> Option<u32> {
        let known = self.known.borrow();
        let (stand, _) = known.points[at.0 as usize];
        self.layout.stands(known.places(stand), mover)
    }

    /// Where everything stands once some movers have gone from a point to their places.
    pub fn moved(&self, at: At, moves: &[(usize, u32)], boosted: &[bool]) -> Stand {
        let mut known = self.known.borrow_mut();
        let (from, _) = known.points[at.0 as usize];
        let Known { asked, places, .. } = &mut *known;
        asked.clear();
        asked.extend_from_slice(&places[from.0 as usize]);
        self.layout.move_in(asked, moves, boosted);
        known.stand()
    }

    /// Everything standing in new places: what becomes of the pressures of a point.
    pub fn solve(&self, stand: Stand, before: At) -> At {
        loop {
            if let Some(at) = self.leads(stand, before) {
                return at;
            }
            self.work_out(stand);
        }
    }

    /// The same, where what is made of that stand is known.
    pub fn leads(&self, stand: Stand, before: At) -> Option<At> {
        self.known.borrow_mut().leads(stand, before)
    }

    /// Works out what everything standing somewhere makes of whatever was before.
    fn work_out(&self, stand: Stand) {
        let levels = self.stage.net().levels();
        let driven = Driven::of(self.stage, &self.held(stand), levels);
        let mut known = self.known.borrow_mut();
        known.stood[stand.0 as usize].driven = Some(driven);
        known.worked_out = true;
    }

    /// Whether it had to work out something by itself, which then holds of its own stage alone.
    pub fn worked_out(&self) -> bool {
        self.known.borrow().worked_out
    }

    /// The same knowledge of another stage, of which it holds as well.
    pub fn on(self, stage: &'s Stage<'s>) -> Self {
        Solver { stage, ..self }
    }

    /// Learns that, and which spools can stroke there, from where it has been worked out.
    pub fn learn(&self, stand: Stand, driven: Driven, strokes: Box<[u64]>) {
        let stood = &mut self.known.borrow_mut().stood[stand.0 as usize];
        stood.driven = Some(driven);
        stood.strokes = Some(strokes);
    }

    /// Where everything would go from a point.
    pub fn wants(&self, at: At) -> Rc<Wants> {
        let mut known = self.known.borrow_mut();
        if let Some(wants) = &known.wants[at.0 as usize] {
            return wants.clone();
        }
        let (stand, pressures) = &known.points[at.0 as usize];
        let places = known.places(*stand);
        let found = match &known.stood[stand.0 as usize].strokes {
            Some(strokes) => {
                let can = |valve: usize| strokes[valve / 64] >> (valve % 64) & 1 == 1;
                let stands = |mover| self.layout.stands(places, mover);
                wants(self.stage, pressures, stands, can)
            }
            None => {
                let held = self.layout.held(self.stage.net(), places);
                wants_at(self.stage, &held, pressures)
            }
        };
        let found = Rc::new(found);
        known.wants[at.0 as usize] = Some(found.clone());
        found
    }
}
