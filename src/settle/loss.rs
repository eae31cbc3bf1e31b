//! Where oil can run off: the strongest way out of each cavity.

use std::collections::VecDeque;

use super::{Balance, Push, Value};
use crate::net::{Cavity, SUMP_CAVITY, Scene, Strength, User};

/// The strongest routes out of each cavity, by cavity number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Losses {
    /// To the sump or to a consumer, by whatever ways.
    pub all: Vec<Push>,
    /// The same, by routes that cross a way the sound circuit has not, or has narrower.
    pub new: Vec<Push>,
}

/// Works out where oil can run off, whether or not supply outweighs it.
///
/// A route ends where what runs off is made up for: at a cavity that a working source or regulator
/// holds, and, for a loss through anything narrower than open ways, behind a cavity that is fed
/// through open ways alone. A consumer (a bearing, a gear) takes no more than a metered flow.
/// What counts as new is told by comparison with the `sound` scene and its balance; without them
/// nothing does. A new way out of a cavity that is drained when sound loses nothing.
#[must_use]
pub fn losses(
    scene: &Scene<'_>,
    balance: &Balance,
    sound: Option<(&Scene<'_>, &Balance)>,
) -> Losses {
    let net = scene.net();
    let none = vec![Push::None; net.cavity_count()];
    let mut flood = Flood {
        scene,
        balance,
        sound,
        losses: [none.clone(), none],
        queue: VecDeque::new(),
    };
    flood.losses[ALL][SUMP_CAVITY.at()] = Push::Rail;
    let consumers: Vec<Cavity> = net
        .outlets()
        .iter()
        .filter(|o| !o.by_pressure && !scene.holds(o.user.feed()))
        .filter_map(|o| match o.user {
            User::Leaf(at) => Some(at),
            _ => None,
        })
        .collect();
    for strength in [Strength::Open, Strength::Metered, Strength::Leak] {
        if strength == Strength::Metered {
            for cavity in &consumers {
                flood.reach(ALL, *cavity, Push::Metered);
            }
        }
        flood.spread(strength);
    }
    let [all, new] = flood.losses;
    Losses { all, new }
}

const ALL: usize = 0;
const NEW: usize = 1;

struct Flood<'f> {
    scene: &'f Scene<'f>,
    balance: &'f Balance,
    sound: Option<(&'f Scene<'f>, &'f Balance)>,
    losses: [Vec<Push>; 2],
    queue: VecDeque<(usize, Cavity)>,
}

impl Flood<'_> {
    fn reach(&mut self, route: usize, cavity: Cavity, push: Push) {
        let loss = &mut self.losses[route][cavity.at()];
        if *loss == Push::None {
            *loss = push;
            self.queue.push_back((route, cavity));
        }
    }

    /// Follows ways of at least this strength back from where oil runs off.
    fn spread(&mut self, strength: Strength) {
        let push = Push::from(strength);
        for route in [ALL, NEW] {
            let known = (0..).map(Cavity).zip(&self.losses[route]);
            let known = known.filter(|(_, loss)| **loss >= push);
            self.queue = known
                .map(|(cavity, _)| (route, cavity))
                .chain(self.queue.drain(..))
                .collect();
        }
        while let Some((route, cavity)) = self.queue.pop_front() {
            if push < Push::Open && self.is_stiff(cavity) {
                continue;
            }
            let scene = self.scene;
            for link in scene.inward(cavity) {
                let back = link.drains() && link.strength >= strength && link.to != SUMP_CAVITY;
                if back && !self.is_held(link.to) {
                    self.reach(route, link.to, push);
                    let new = self.sound.is_some_and(|(sound, balance)| {
                        scene.wider(sound, link.way) && balance.value(link.to) != Value::Drained
                    });
                    if new {
                        self.reach(NEW, link.to, push);
                    }
                }
            }
        }
    }

    /// A regulator makes up for losses only while it still holds its cavity.
    fn is_held(&self, cavity: Cavity) -> bool {
        self.scene.holds(cavity) && self.balance.value(cavity) == Value::Fed
    }

    /// Fed through open ways alone: it makes up for a loss narrower than that.
    fn is_stiff(&self, cavity: Cavity) -> bool {
        self.balance.value(cavity) == Value::Fed && self.balance.supply(cavity) >= Push::Open
    }
}
