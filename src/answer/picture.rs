//! One end of settling, with everything that what is said of an outlet rests on.

use std::sync::OnceLock;

use fixedbitset::FixedBitSet;

use super::reason::Behind;
use super::route::{parts, search_out, way_in};
use crate::circuit::{Level, PartName, Truth};
use crate::net::{Cavity, Net, NetOutlet, SUMP_CAVITY, Scene, Stage, Strength, User, WayId};
use crate::reach;
use crate::settle::{
    Balance, Cause, Counting, Losses, Point, Pressures, Push, Settled, Span, Status, Value,
    balance, goes_round, losses, shut_beyond,
};

/// One end of settling with everything a verdict looks at.
pub(super) struct Picture<'s> {
    pub scene: Scene<'s>,
    /// The same as it looks at each level that can be told apart.
    levels: Vec<Scene<'s>>,
    pressures: Pressures,
    /// The sound picture, where this is not it.
    sound: Option<&'s Picture<'s>>,
    /// Supply weighed against drain; worked out when first asked for, as are the next.
    balance: OnceLock<Balance>,
    /// What runs off.
    losses: OnceLock<Lost>,
    /// What each outlet looks like, by number.
    views: Vec<OnceLock<View>>,
    supplied: OnceLock<FixedBitSet>,
}

/// What runs off in a scene.
struct Lost {
    possibly: Losses,
    /// Through ways that are surely open, where some may be shut.
    surely: Option<Losses>,
}

impl Lost {
    fn of(scene: &Scene<'_>, balance: &Balance, sound: Option<&Picture<'_>>) -> Self {
        let lost = |counting| {
            let sound = sound.map(|s| (&s.scene, s.balance()));
            losses(scene, balance, sound, counting)
        };
        Lost {
            possibly: lost(Counting::Possible),
            surely: (!scene.is_certain()).then(|| lost(Counting::Sure)),
        }
    }

    fn surely(&self) -> &Losses {
        self.surely.as_ref().unwrap_or(&self.possibly)
    }
}

/// What one outlet looks like in a picture.
#[derive(Clone, Copy)]
pub(super) struct View {
    pub status: Status,
    pub supply: Push,
    pub drain: Push,
    /// Whether supply and drain reach it equally hard.
    pub contested: bool,
    /// Whether any source makes pressure.
    pub makes: bool,
    /// Of a filter, converter or cooler: whether it has oil before it and none of that goes round.
    pub stands: bool,
    pub span: Span,
    /// Of an outlet that is on, when sound too: how hard its cavity's oil runs off; how hard it may
    /// and surely does by a way that the sound circuit has not.
    pub loss: Push,
    pub new_loss: Push,
    pub sure_new_loss: Push,
}

impl<'s> Picture<'s> {
    pub fn new(stage: &Stage<'s>, end: &Point, sound: Option<&'s Picture<'s>>) -> Self {
        let scene = stage.scene(&end.held, Level::Low);
        Picture {
            sound,
            balance: OnceLock::new(),
            losses: OnceLock::new(),
            pressures: end.pressures.clone(),
            levels: at_each_level(stage, end),
            views: vec![OnceLock::new(); scene.net().outlets().len()],
            scene,
            supplied: OnceLock::new(),
        }
    }

    /// Supply weighed against drain.
    pub fn balance(&self) -> &Balance {
        let low = self.pressures.values(Level::Low);
        self.balance
            .get_or_init(|| balance(&self.scene, Some(&low)))
    }

    fn losses(&self) -> &Lost {
        let lost = || Lost::of(&self.scene, self.balance(), self.sound);
        self.losses.get_or_init(lost)
    }

    /// Whether a source gives oil to its own cavity.
    pub fn works(&self, cavity: Cavity) -> bool {
        self.scene.rails().contains(&cavity) || self.scene.vents().contains(&cavity)
    }

    /// How hard a source's own cavity is surely drawn upon by open ways to the sump.
    pub fn load(&self, cavity: Cavity) -> Push {
        let ways = self.scene.onward(cavity);
        let off = ways.filter(|link| link.drains() && link.sure);
        let all = &self.losses().surely().all;
        off.map(|link| Push::from(link.strength).min(all[link.to.number()]))
            .max()
            .unwrap_or_default()
    }

    /// What the outlet of that number looks like.
    pub fn view(&self, number: usize) -> View {
        let outlet = &self.scene.net().outlets()[number];
        *self.views[number].get_or_init(|| self.look_at(number, outlet))
    }

    fn look_at(&self, number: usize, outlet: &NetOutlet) -> View {
        let cavity = outlet.user.feed();
        let balance = self.balance();
        let reached = balance.supply(cavity);
        let beyond = Beyond::of(&self.scene, &self.levels, &self.pressures, outlet.user);
        let status = oil(reached, &self.pressures, outlet, beyond.as_ref());
        let stays_on = |sound: &Picture<'_>| sound.view(number).status == Status::On;
        // What is lost is felt only where there is something to lose, before and after.
        let felt = status == Status::On && self.sound.is_none_or(stays_on);
        let lost = |lost: &Lost| {
            let [all, new] = [&lost.possibly.all, &lost.possibly.new].map(|l| l[cavity.number()]);
            [all, new, lost.surely().new[cavity.number()]]
        };
        let (lost, supply, span) = match &beyond {
            // What runs off beyond it has passed through it, so it is judged by its inlet with its
            // own way shut. How high that stands says nothing of what passes.
            Some(beyond) => {
                let lost = felt.then(|| lost(&Lost::of(&beyond.shut, &beyond.weighed, self.sound)));
                (lost, beyond.weighed.supply(cavity), Span::ANY)
            }
            None => {
                let lost = felt.then(|| lost(self.losses()));
                (lost, reached, self.pressures.span(cavity))
            }
        };
        let [loss, new_loss, sure_new_loss] = lost.unwrap_or_default();
        View {
            status,
            supply,
            drain: balance.drain(cavity),
            contested: matches!(balance.cause(cavity), Cause::Contested(_)),
            makes: !self.scene.rails().is_empty(),
            stands: beyond.is_some_and(|beyond| beyond.round == Some(Truth::False)),
            span,
            loss,
            new_loss,
            sure_new_loss,
        }
    }

    /// Cavities whose oil a new loss elsewhere takes: what each regulator spills to last, where
    /// its own cavity now feeds a metered loss or more that the sound circuit has not.
    pub fn robbed(&self) -> Vec<(PartName, Cavity)> {
        let Some(sound) = self.sound else {
            return Vec::new();
        };
        let net = self.scene.net();
        let spilling = net
            .regulators()
            .iter()
            .filter(|r| self.scene.holds(r.holds));
        let last = spilling.filter_map(|r| Some((r, *r.spills.last()?)));
        last.filter(|(r, last)| *last != SUMP_CAVITY && self.feeds_new_loss(sound, r.holds))
            .map(|(r, last)| (r.name.clone(), last))
            .collect()
    }

    /// Whether oil from a cavity reaches, under pressure, a metered hole or wider behind which
    /// pressure is lost, and is not so when sound.
    fn feeds_new_loss(&self, sound: &Picture<'_>, from: Cavity) -> bool {
        let mut seen = vec![false; self.scene.net().cavity_count()];
        let mut queue = vec![from];
        seen[from.number()] = true;
        while let Some(at) = queue.pop() {
            for link in self.scene.onward(at) {
                if !link.drains() || link.strength < Strength::Metered {
                    continue;
                }
                if self.balance().value(link.to) == Value::Fed {
                    if !std::mem::replace(&mut seen[link.to.number()], true) {
                        queue.push(link.to);
                    }
                } else if self.scene.wider(&sound.scene, link.way)
                    || sound.balance().value(link.to) == Value::Fed
                {
                    return true;
                }
            }
        }
        false
    }
}

impl Behind for Picture<'_> {
    fn net(&self) -> &Net<'_> {
        self.scene.net()
    }

    fn value(&self, cavity: Cavity) -> Value {
        self.balance().value(cavity)
    }

    fn opens(&self, way: WayId) -> bool {
        self.scene.setting(way).strength().is_some()
    }

    fn is_supplied(&self, cavity: Cavity) -> bool {
        let supplied = self.supplied.get_or_init(|| reach::supplied(&self.scene));
        reach::has(supplied, cavity)
    }

    fn way_out(&self, cavity: Cavity, least: Push) -> Vec<PartName> {
        parts(&self.scene, search_out(&self.scene, cavity, least).path())
    }

    fn way_in(&self, cavity: Cavity) -> Vec<PartName> {
        way_in(&self.scene, cavity)
    }
}

/// Whether an outlet has its oil at all ends of settling: the same at each, or it cannot be said.
/// Of what a verdict looks at, the part that takes little time.
pub(super) fn has_oil(stage: &Stage<'_>, settled: &Settled, outlet: &NetOutlet) -> Status {
    let mut ends = settled.ends.iter().map(|end| {
        let scene = stage.scene(&end.held, Level::Low);
        let balance = balance(&scene, Some(&end.pressures.values(Level::Low)));
        let levels = at_each_level(stage, end);
        let beyond = Beyond::of(&scene, &levels, &end.pressures, outlet.user);
        let supply = balance.supply(outlet.user.feed());
        oil(supply, &end.pressures, outlet, beyond.as_ref())
    });
    let first = ends.next().unwrap_or(Status::Unsure);
    match ends.all(|other| other == first) {
        true => first,
        false => Status::Unsure,
    }
}

/// The scenes of one end of settling at each level that can be told apart: none where nothing is
/// passed through.
fn at_each_level<'n>(stage: &Stage<'n>, end: &Point) -> Vec<Scene<'n>> {
    let through = |outlet: &NetOutlet| matches!(outlet.user, User::Through { .. });
    let net = stage.net();
    let levels = net.levels().iter();
    let levels = levels.filter(|_| net.outlets().iter().any(through));
    levels.map(|level| stage.scene(&end.held, *level)).collect()
}

/// A filter, converter or cooler with its own way shut, where that is open: what runs off beyond it
/// has passed through it.
struct Beyond<'n> {
    shut: Scene<'n>,
    weighed: Balance,
    /// Where its inlet is fed then: whether what passes it goes round.
    round: Option<Truth>,
}

impl<'n> Beyond<'n> {
    fn of(
        scene: &Scene<'n>,
        levels: &[Scene<'n>],
        pressures: &Pressures,
        user: User,
    ) -> Option<Self> {
        let User::Through { inlet, way } = user else {
            return None;
        };
        let (shut, weighed) = shut_beyond(scene, way, pressures)?;
        let fed = weighed.value(inlet) == Value::Fed;
        Some(Beyond {
            round: fed.then(|| goes_round(levels, inlet, way)),
            weighed,
            shut,
        })
    }
}

/// Whether an outlet that supply reaches so hard has its oil. `beyond` is what it is with its own way
/// shut, where it is passed through and open.
fn oil(
    supply: Push,
    pressures: &Pressures,
    outlet: &NetOutlet,
    beyond: Option<&Beyond<'_>>,
) -> Status {
    let status = pressures.status(outlet.user, outlet.by_pressure);
    match (outlet.user, beyond) {
        (User::Through { .. }, None) => Status::Off,
        (User::Through { .. }, Some(beyond)) => match beyond.round {
            Some(Truth::True) => Status::On,
            Some(Truth::False) => Status::Off,
            Some(Truth::Unknown) => Status::Unsure,
            None => status,
        },
        // Trapped oil lets go in time; it keeps nothing on.
        _ if supply == Push::None && status == Status::On => Status::Off,
        _ => status,
    }
}
