//! The balance of supply and drain in every cavity, valves held.

use std::collections::VecDeque;

use crate::net::{Cavity, SUMP_CAVITY, Scene, Strength};

/// What a cavity holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Value {
    /// Pressure.
    Fed,
    /// No pressure.
    Drained,
    /// Cannot be said.
    #[default]
    Undecided,
}

/// How hard something reaches a cavity: the weakest member of its strongest route.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Push {
    /// Nothing reaches it.
    #[default]
    None,
    /// Through a leak.
    Leak,
    /// Through a metering hole.
    Metered,
    /// Through open ways alone.
    Open,
    /// It is a source's own cavity, or the sump.
    Rail,
}

impl From<Strength> for Push {
    fn from(strength: Strength) -> Self {
        match strength {
            Strength::Leak => Push::Leak,
            Strength::Metered => Push::Metered,
            Strength::Open => Push::Open,
        }
    }
}

/// Why a cavity has its value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cause {
    /// One side reaches it, or reaches it harder than the other.
    Driven(Push),
    /// Nothing reaches it: it keeps what it held, where that is known.
    Trapped,
    /// Supply and drain reach it equally hard.
    Contested(Push),
    /// It depends on a way that may be open or shut.
    Unknown,
}

/// The value of every cavity of a scene, and what lies behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Balance {
    values: Vec<Value>,
    /// Strongest definite arrival of either kind.
    definite: Vec<Push>,
    /// Strongest arrival that is possible and not surely beaten: of draining, of supply.
    possible: [Vec<Push>; 2],
}

const DRAIN: usize = 0;
const SUPPLY: usize = 1;

impl Balance {
    /// What the cavity holds.
    #[must_use]
    pub fn value(&self, cavity: Cavity) -> Value {
        self.values[cavity.at()]
    }

    /// The values of all cavities, by number.
    #[must_use]
    pub fn values(&self) -> &[Value] {
        &self.values
    }

    /// The strongest supply that may reach the cavity.
    #[must_use]
    pub fn supply(&self, cavity: Cavity) -> Push {
        self.possible[SUPPLY][cavity.at()]
    }

    /// The strongest draining that may reach the cavity.
    #[must_use]
    pub fn drain(&self, cavity: Cavity) -> Push {
        self.possible[DRAIN][cavity.at()]
    }

    /// Why it holds what it holds.
    #[must_use]
    pub fn cause(&self, cavity: Cavity) -> Cause {
        let at = cavity.at();
        let (supply, drain) = (self.possible[SUPPLY][at], self.possible[DRAIN][at]);
        let sure = self.definite[at];
        match self.values[at] {
            _ if sure == Push::None && supply == Push::None && drain == Push::None => {
                Cause::Trapped
            }
            Value::Fed => Cause::Driven(supply),
            Value::Drained => Cause::Driven(drain),
            Value::Undecided if supply == drain && supply == sure => Cause::Contested(sure),
            Value::Undecided => Cause::Unknown,
        }
    }
}

/// Decides every cavity of a scene with all ways as they stand.
///
/// `before` is what each cavity held earlier, by number: a sealed cavity keeps it. Without it a
/// sealed cavity is undecided.
///
/// A definite arrival passes a cavity only if no stronger arrival of the other kind is possible
/// there. Without that rule a one-way ball behind a cavity that *may* be vented would be taken
/// for surely fed.
///
/// Every value found holds however the uncertain ways turn out. Cost: each way is looked at a
/// bounded number of times.
///
/// ```
/// use oilpath::{net::{Held, Net, Scene}, settle::{Value, balance}, sheet};
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
/// let held = Held::driven(&net, &Default::default());
/// let lube = net.cavity("lube").unwrap();
/// let sound = balance(&Scene::new(&net, &held, &[]), None);
/// assert_eq!(sound.value(lube), Value::Fed);
/// let loose = [circuit.fault("hop-cover:loose").unwrap()];
/// let faulty = balance(&Scene::new(&net, &held, &loose), None);
/// assert_eq!(faulty.value(lube), Value::Drained); // an open roof beats a metered hole
/// ```
#[must_use]
pub fn balance(scene: &Scene<'_>, before: Option<&[Value]>) -> Balance {
    let mut flood = Flood::new(scene);
    for strength in [Strength::Open, Strength::Metered, Strength::Leak] {
        flood.spread(strength);
    }
    flood.finish(before)
}

struct Flood<'s> {
    scene: &'s Scene<'s>,
    /// Possible arrivals, of draining and of supply.
    possible: [Vec<Push>; 2],
    /// Definite arrivals, of draining and of supply.
    definite: [Vec<Push>; 2],
    /// Strongest definite arrival of whichever kind.
    sure: Vec<Push>,
    /// Cavities each possible arrival has reached, in order: where the next weaker strength
    /// starts from.
    reached: [Vec<Cavity>; 2],
    /// Cavities with a definite arrival.
    settled: Vec<Cavity>,
}

impl<'s> Flood<'s> {
    fn new(scene: &'s Scene<'s>) -> Self {
        let none = vec![Push::None; scene.net().cavity_count()];
        let mut flood = Flood {
            scene,
            possible: [none.clone(), none.clone()],
            definite: [none.clone(), none.clone()],
            sure: none,
            reached: [vec![SUMP_CAVITY], scene.rails().to_vec()],
            settled: Vec::new(),
        };
        for kind in [DRAIN, SUPPLY] {
            for cavity in &flood.reached[kind] {
                flood.possible[kind][cavity.at()] = Push::Rail;
                flood.definite[kind][cavity.at()] = Push::Rail;
                flood.sure[cavity.at()] = Push::Rail;
                flood.settled.push(*cavity);
            }
        }
        flood
    }

    /// Spreads all arrivals along ways of at least this strength.
    fn spread(&mut self, strength: Strength) {
        let push = Push::from(strength);
        for kind in [DRAIN, SUPPLY] {
            self.spread_possible(kind, strength, push);
        }
        self.spread_definite(strength, push);
    }

    fn spread_possible(&mut self, kind: usize, strength: Strength, push: Push) {
        let Flood {
            scene,
            possible,
            sure,
            reached,
            ..
        } = self;
        let mut next = 0;
        while let Some(cavity) = reached[kind].get(next).copied() {
            next += 1;
            for link in scene.links(cavity) {
                let to = link.to.at();
                let goes = if kind == SUPPLY {
                    link.feeds
                } else {
                    link.drains()
                };
                // What something surely stronger holds is not reached by anything weaker.
                if goes
                    && link.strength >= strength
                    && possible[kind][to] == Push::None
                    && sure[to] <= push
                {
                    possible[kind][to] = push;
                    reached[kind].push(link.to);
                }
            }
        }
    }

    fn spread_definite(&mut self, strength: Strength, push: Push) {
        let mut queue: VecDeque<Cavity> = self.settled.iter().copied().collect();
        // What was surely held by something stronger when this strength began.
        let held_harder = |sure: Push| sure > push;
        let mut raised: Vec<Cavity> = Vec::new();
        while let Some(cavity) = queue.pop_front() {
            let from = cavity.at();
            for link in self.scene.links(cavity) {
                if !link.sure || link.strength < strength {
                    continue;
                }
                let to = link.to.at();
                if held_harder(self.sure[to]) {
                    continue;
                }
                let mut news = false;
                for kind in [DRAIN, SUPPLY] {
                    let goes = if kind == SUPPLY {
                        link.feeds
                    } else {
                        link.drains()
                    };
                    if !goes || self.definite[kind][from] < push {
                        continue;
                    }
                    let unopposed = self.possible[1 - kind][to] <= push;
                    if self.definite[kind][to] == Push::None && unopposed {
                        self.definite[kind][to] = push;
                        self.raise(to, push);
                        news = true;
                    }
                }
                // Through a way that lets both pass, something surely arrives, of whichever kind.
                if link.feeds && link.fed && self.sure[from] >= push {
                    news |= self.raise(to, push);
                }
                if news {
                    raised.push(link.to);
                    queue.push_back(link.to);
                }
            }
        }
        self.settled.append(&mut raised);
        self.settled.sort_unstable();
        self.settled.dedup();
    }

    fn raise(&mut self, at: usize, push: Push) -> bool {
        let higher = self.sure[at] < push;
        if higher {
            self.sure[at] = push;
        }
        higher
    }

    fn finish(self, before: Option<&[Value]>) -> Balance {
        let Flood {
            mut possible, sure, ..
        } = self;
        let values = (0..sure.len())
            .map(|i| {
                for kind in &mut possible {
                    // An arrival weaker than a sure one of either kind is beaten.
                    if kind[i] < sure[i] {
                        kind[i] = Push::None;
                    }
                }
                let mut fed = possible[SUPPLY][i] > Push::None;
                let mut drained = possible[DRAIN][i] > Push::None;
                if sure[i] == Push::None {
                    // It may be sealed: what it held before counts.
                    let held = before.map_or(Value::Undecided, |b| b[i]);
                    fed |= held != Value::Drained;
                    drained |= held != Value::Fed;
                }
                match (fed, drained) {
                    (true, false) => Value::Fed,
                    (false, true) => Value::Drained,
                    _ => Value::Undecided,
                }
            })
            .collect();
        Balance {
            values,
            definite: sure,
            possible,
        }
    }
}
