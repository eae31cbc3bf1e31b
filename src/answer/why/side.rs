//! The strongest way in from a source and the strongest way out to the sump.

use serde::Serialize;

use super::end::End;
use super::{Hop, Narrowest};
use crate::answer::trace::{hops, narrowest};
use crate::net::{Cavity, Link, Scene};
use crate::reach::{self, Gauge, Path};
use crate::settle::{Push, Value};

/// The strongest way by which supply or drain comes to a cavity.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct WhyWay {
    /// The cavity oil starts from: a source's own on a way in, the one asked about on a way out.
    pub start: String,
    /// Each step of the oil; none where a source feeds the cavity itself.
    pub hops: Vec<Hop>,
    /// The weakest kind of way on it.
    pub push: Push,
    /// The place that lets least through; none where all of it is open.
    pub narrowest: Option<Narrowest>,
    /// The smallest bore of its metering holes, m, where all are known.
    pub bore_m: Option<f64>,
    /// Whether it gets through to the cavity, as hard as the other side or harder.
    pub live: bool,
    /// The first cavity on it, from its source or from the sump on, that the other side has.
    pub beaten_at: Option<String>,
}

impl WhyWay {
    /// The cavities on it, as oil passes them.
    pub(super) fn cavities(&self) -> impl Iterator<Item = &str> + Clone {
        let onward = self.hops.iter().map(|hop| hop.to.as_str());
        std::iter::once(self.start.as_str()).chain(onward)
    }
}

/// What comes to a cavity.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// Oil under pressure.
    Supply,
    /// The sump's want of it.
    Drain,
}

impl End<'_, '_> {
    /// The strongest way of one side to the cavity: one that gets through if there is any.
    pub(super) fn way(&self, side: Side) -> Option<WhyWay> {
        let live = self.live(side);
        let path = live.clone().or_else(|| {
            let all = |link: &Link| side == Side::Supply || self.leaves_rails(link);
            self.widest(side, &|_, link| all(link))
        })?;
        let net = self.net();
        let hops = hops(&self.scene, &path);
        let pushes = hops.iter().map(|hop| Push::from(hop.strength));
        let metered = hops
            .iter()
            .filter(|h| Push::from(h.strength) == Push::Metered);
        let bores = metered.map(|hop| hop.bore_m).collect::<Option<Vec<f64>>>();
        let beaten_at = self.beaten_at(side, &path);
        Some(WhyWay {
            start: net.name(path.start).to_owned(),
            push: pushes.min().unwrap_or(Push::Rail),
            narrowest: narrowest(&hops),
            bore_m: bores.and_then(|b| b.into_iter().reduce(f64::min)),
            live: live.is_some(),
            beaten_at: beaten_at.map(|c| net.name(c).to_owned()),
            hops,
        })
    }

    /// A way on which nothing of the other kind is surely stronger.
    fn live(&self, side: Side) -> Option<Path> {
        let at = self.asked.cavity;
        self.widest(side, &|gauge, link| {
            let push = Push::from(gauge.least);
            self.gets_to(side, at, push) && self.gets_to(side, link.to, push)
        })
    }

    /// The widest way of one side by links that it may take at each gauge.
    fn widest(&self, side: Side, may: &dyn Fn(&Gauge, &Link) -> bool) -> Option<Path> {
        let (scene, at) = (&self.scene, self.asked.cavity);
        reach::widest(scene, |gauge| {
            let may = |link: &Link| gauge.passes(scene, link) && may(&gauge, link);
            match side {
                Side::Supply => reach::way_in(scene, at, may),
                Side::Drain => reach::way_out(scene, at, may),
            }
        })
    }

    /// Whether what comes with a push, or has come with a stronger one, holds its own in a cavity.
    fn gets_to(&self, side: Side, cavity: Cavity, push: Push) -> bool {
        let came = match side {
            Side::Supply => self.balance.supply(cavity),
            Side::Drain => self.balance.drain(cavity),
        };
        came.max(push) >= self.balance.surest(cavity)
    }

    /// No drain comes through a cavity that a source holds up.
    fn leaves_rails(&self, link: &Link) -> bool {
        !self.scene.rails().contains(&link.to)
    }

    /// The first cavity on a way, from where it has its strength on, that the other side has.
    fn beaten_at(&self, side: Side, path: &Path) -> Option<Cavity> {
        let mut cavities: Vec<Cavity> = path.steps.iter().map(|(_, to)| *to).collect();
        cavities.insert(0, path.start);
        let other = match side {
            Side::Supply => Value::Drained,
            Side::Drain => {
                cavities.reverse();
                Value::Fed
            }
        };
        let has = |cavity: &Cavity| self.balance.value(*cavity) == other;
        // It starts where it cannot be beaten.
        cavities.into_iter().skip(1).find(has)
    }
}

/// The widest way out of a cavity.
pub(super) fn widest_out(scene: &Scene<'_>, from: Cavity) -> Option<Path> {
    reach::widest(scene, |gauge| {
        reach::way_out(scene, from, |link| gauge.passes(scene, link))
    })
}
