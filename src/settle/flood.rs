//! The balance of supply and drain: a flood from sources and sump, one strength after another.

use super::balance::{Balance, DRAIN, Push, SUPPLY, Value};
use super::contest::refine;
use crate::net::{Cavity, Link, Passes, Scene};

/// Decides every cavity of a scene with all ways as they stand.
///
/// `before` is what each cavity held earlier, by number: a sealed cavity keeps it. Without it a
/// sealed cavity is undecided.
///
/// A definite arrival passes a cavity only if no stronger arrival of the other kind is possible
/// there. Without that rule a one-way ball behind a cavity that *may* be vented would be taken
/// for surely fed.
///
/// Where supply and drain come equally hard, bores decide if both bottlenecks have them, and what
/// only such a cavity feeds or drains past a one-way ball is undecided with it.
///
/// Every value found holds however the uncertain ways turn out. Cost: each way is looked at a
/// bounded number of times.
///
/// ```
/// use oilpath::{circuit::Level, net::{Held, Net, Stage}, settle::{Value, balance}, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     hop = { between = ["line", "lube"] }
///     [plate]
///     hop-cover = { kind = "cover", roofs = ["lube"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let sound = Stage::new(&net, &Default::default(), &[]);
/// let held = Held::unknown(&net);
/// let lube = net.cavity("lube").unwrap();
/// let oil = balance(&sound.scene(&held, Level::Low), None);
/// assert_eq!(oil.value(lube), Value::Fed);
/// let loose = [circuit.fault("hop-cover:loose").unwrap()];
/// let oil = balance(&sound.with(&loose).scene(&held, Level::Low), None);
/// assert_eq!(oil.value(lube), Value::Drained); // an open roof beats a metered hole
/// ```
#[must_use]
pub fn balance(scene: &Scene<'_>, before: Option<&[Value]>) -> Balance {
    let mut flood = Flood::new(scene);
    for push in [Push::Open, Push::Metered, Push::Leak] {
        flood.settle(push);
    }
    let mut balance = flood.finish(before);
    refine(scene, &mut balance);
    balance
}

/// What has reached one cavity so far.
#[derive(Clone, Copy, Default)]
struct Mark {
    /// Possible arrivals, of draining and of supply.
    possible: [Push; 2],
    /// Definite arrivals, of draining and of supply.
    definite: [Push; 2],
    /// Strongest definite arrival of whichever kind.
    sure: Push,
}

/// A definite arrival of one of the two, whichever, beside the places of draining and of supply.
const EITHER: usize = 2;

/// The state of the flood. Every cavity is labelled once for each kind of arrival, at the
/// strongest push it comes with, and its ways are looked at once for each: what goes on from it
/// more weakly waits until that push has its turn.
struct Flood<'s> {
    scene: &'s Scene<'s>,
    marks: Vec<Mark>,
    /// Without a way in doubt whatever is possible is definite.
    certain: bool,
    /// Cavities that possible and definite arrivals are on their way to, by the push that has to
    /// have its turn first and by the kind of arrival.
    possible: [[Vec<Cavity>; 2]; 4],
    definite: [[Vec<Cavity>; 3]; 4],
}

impl<'s> Flood<'s> {
    fn new(scene: &'s Scene<'s>) -> Self {
        let count = scene.net().cavity_count();
        let room = [0, count, count, count];
        let mut flood = Flood {
            scene,
            marks: vec![Mark::default(); count],
            certain: scene.is_certain(),
            possible: room.map(|most| [(); 2].map(|()| Vec::with_capacity(most))),
            definite: Default::default(),
        };
        let rails = scene.rails().iter().map(|rail| (SUPPLY, *rail));
        let vents = scene.vents().iter().map(|vent| (DRAIN, *vent));
        let roots: Vec<_> = vents.chain(rails).collect();
        for (kind, root) in &roots {
            let mark = &mut flood.marks[root.number()];
            mark.possible[*kind] = Push::Rail;
            mark.definite[*kind] = Push::Rail;
            mark.sure = Push::Rail;
        }
        for (kind, root) in roots {
            flood.go_on(kind, root, Push::Rail);
            if !flood.certain {
                flood.surely_go_on(kind, root, Push::Rail);
                flood.surely_go_on(EITHER, root, Push::Rail);
            }
        }
        flood
    }

    /// Gives one push its turn: all that arrives with it, possible first, then definite.
    fn settle(&mut self, push: Push) {
        let mut reached = Vec::with_capacity(self.marks.len());
        for kind in [DRAIN, SUPPLY] {
            while let Some(cavity) = self.possible[push as usize][kind].pop() {
                let mark = &mut self.marks[cavity.number()];
                // What something surely stronger holds is not reached by anything weaker.
                if mark.possible[kind] == Push::None && mark.sure == Push::None {
                    mark.possible[kind] = push;
                    reached.push(cavity);
                    self.go_on(kind, cavity, push);
                }
            }
        }
        if self.certain {
            for cavity in reached {
                self.marks[cavity.number()].sure = push;
            }
            return;
        }
        for kind in [DRAIN, SUPPLY, EITHER] {
            while let Some(cavity) = self.definite[push as usize][kind].pop() {
                self.surely_arrive(kind, cavity, push);
            }
        }
    }

    /// Takes in a definite arrival.
    fn surely_arrive(&mut self, kind: usize, cavity: Cavity, push: Push) {
        let mark = &mut self.marks[cavity.number()];
        if mark.sure > push {
            return;
        }
        if kind != EITHER {
            let opposed = mark.possible[1 - kind] > push;
            if opposed || mark.definite[kind] != Push::None {
                return;
            }
            mark.definite[kind] = push;
        }
        let news = mark.sure == Push::None;
        mark.sure = push;
        if kind != EITHER {
            self.surely_go_on(kind, cavity, push);
        }
        if news {
            self.surely_go_on(EITHER, cavity, push);
        }
    }

    /// Sends a possible arrival on from a cavity.
    fn go_on(&mut self, kind: usize, from: Cavity, push: Push) {
        let Flood {
            scene,
            marks,
            possible,
            ..
        } = self;
        let send = |link: Link| {
            let mark = &marks[link.to.number()];
            let open = mark.possible[kind] == Push::None && mark.sure == Push::None;
            if open && (kind == SUPPLY || link.drains()) {
                possible[push.min(link.strength.into()) as usize][kind].push(link.to);
            }
        };
        match kind {
            SUPPLY => scene.onward(from).for_each(send),
            _ => scene.inward(from).for_each(send),
        }
    }

    /// Sends a definite arrival on from a cavity.
    fn surely_go_on(&mut self, kind: usize, from: Cavity, push: Push) {
        let Flood {
            scene,
            marks,
            definite,
            ..
        } = self;
        let send = |link: Link| {
            let mark = &marks[link.to.number()];
            let goes = match kind {
                SUPPLY => mark.definite[kind] == Push::None,
                DRAIN => mark.definite[kind] == Push::None && link.drains(),
                // Through a way that lets both pass, one of the two surely arrives.
                _ => mark.sure == Push::None && link.passes == Passes::Both,
            };
            if goes && link.sure {
                definite[push.min(link.strength.into()) as usize][kind].push(link.to);
            }
        };
        match kind {
            DRAIN => scene.inward(from).for_each(send),
            _ => scene.onward(from).for_each(send),
        }
    }

    fn finish(self, before: Option<&[Value]>) -> Balance {
        let count = self.marks.len();
        let mut balance = Balance {
            values: Vec::with_capacity(count),
            definite: Vec::with_capacity(count),
            possible: [Vec::with_capacity(count), Vec::with_capacity(count)],
        };
        for (i, mark) in self.marks.iter().enumerate() {
            // An arrival weaker than a sure one of either kind is beaten.
            let stands = |kind: usize| match mark.possible[kind] {
                push if push < mark.sure => Push::None,
                push => push,
            };
            let [drain, supply] = [stands(DRAIN), stands(SUPPLY)];
            let (mut fed, mut drained) = (supply > Push::None, drain > Push::None);
            if mark.sure == Push::None {
                // It may be sealed: what it held before counts.
                let held = before.map_or(Value::Undecided, |b| b[i]);
                fed |= held != Value::Drained;
                drained |= held != Value::Fed;
            }
            balance.values.push(match (fed, drained) {
                (true, false) => Value::Fed,
                (false, true) => Value::Drained,
                _ => Value::Undecided,
            });
            balance.definite.push(mark.sure);
            for kind in [DRAIN, SUPPLY] {
                balance.possible[kind].push(mark.possible[kind]);
            }
        }
        balance
    }
}
