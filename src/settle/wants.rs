//! Where everything that moves would go, given the pressures.

use std::cell::OnceCell;

use fixedbitset::FixedBitSet;

use super::point::stands;
use super::{Pressures, Value};
use crate::circuit::{Level, Truth};
use crate::net::{Cavity, Held, Link, NetShuttle, NetValve, Scene, Spring, Stage};

/// Where one valve or shuttle ball would go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Want {
    /// Nowhere else.
    Stay,
    /// There.
    Go(u32),
    /// To one of these; which cannot be said.
    Any(Vec<u32>),
}

/// Where all of them would go: valves by number, then shuttles; and which regulators are boosted.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Wants {
    pub movers: Vec<Want>,
    pub boosted: Vec<bool>,
}

/// Works out where everything would go from where it stands, by number.
pub(super) fn wants(
    stage: &Stage<'_>,
    pressures: &Pressures,
    stands: impl Fn(usize) -> Option<u32>,
    can_stroke: impl Fn(usize) -> bool,
) -> Wants {
    let net = stage.net();
    let valves = net.valves().iter().enumerate().map(|(i, valve)| {
        let stands = stands(i);
        match stage.fixed(i) {
            Some(fixed) if Some(fixed) == stands => Want::Stay,
            Some(fixed) => Want::Go(fixed),
            None => match drop_if_there(goes(stage, i, valve, pressures), stands) {
                want if want == Want::Stay || stands.is_none() => want,
                want if can_stroke(i) => want,
                _ => Want::Stay,
            },
        }
    });
    let shuttles = net.shuttles().iter().enumerate().map(|(i, shuttle)| {
        let want = crosses(shuttle, pressures);
        drop_if_there(want, stands(net.valves().len() + i))
    });
    let boosted = net.regulators().iter().map(|regulator| {
        let mut boost = regulator.boost.iter();
        boost.any(|c| pressures.at_least(Level::Low, *c) == Value::Fed)
    });
    Wants {
        movers: valves.chain(shuttles).collect(),
        boosted: boosted.collect(),
    }
}

/// The same with everything standing as in `held`, each spool asked whether it can stroke there.
pub(super) fn wants_at(stage: &Stage<'_>, held: &Held, pressures: &Pressures) -> Wants {
    let scene: OnceCell<Scene<'_>> = OnceCell::new();
    let can = |valve: usize| {
        let scene = scene.get_or_init(|| stage.scene(held, Level::Low));
        can_stroke(scene, &stage.net().valves()[valve])
    };
    wants(stage, pressures, |mover| stands(held, mover), can)
}

fn drop_if_there(want: Want, stands: Option<u32>) -> Want {
    match want {
        Want::Go(to) if Some(to) == stands => Want::Stay,
        want => want,
    }
}

/// A spool strokes only where the oil at each of its ends can go somewhere or come from somewhere.
/// A pocket that opens to nothing but other closed pockets lets it do neither.
pub(crate) fn can_stroke(scene: &Scene<'_>, valve: &NetValve) -> bool {
    valve.ends.iter().all(|end| leads_anywhere(scene, *end))
}

/// Whether a cavity's oil can leave to the sump, to where pressure is held or to what uses it up,
/// or come from a source.
pub(crate) fn leads_anywhere(scene: &Scene<'_>, end: Cavity) -> bool {
    let takes = |at: Cavity| {
        let held = scene.vents().contains(&at) || scene.rails().contains(&at);
        held || scene.holds(at) || scene.net().consumes(at)
    };
    let count = scene.net().cavity_count();
    walks_to(count, end, takes, |at| scene.onward(at))
        || walks_to(
            count,
            end,
            |at| scene.rails().contains(&at),
            |at| scene.inward(at),
        )
}

/// Whether a walk from a cavity, itself included, of so many comes to one that is wanted.
fn walks_to<L: Iterator<Item = Link>>(
    count: usize,
    from: Cavity,
    wanted: impl Fn(Cavity) -> bool,
    links: impl Fn(Cavity) -> L,
) -> bool {
    let mut seen = FixedBitSet::with_capacity(count);
    seen.insert(from.number());
    let mut open = vec![from];
    while let Some(at) = open.pop() {
        if wanted(at) {
            return true;
        }
        let links = links(at).map(|link| link.to);
        open.extend(links.filter(|to| !seen.put(to.number())));
    }
    false
}

/// Where the rules of a valve put it.
fn goes(stage: &Stage<'_>, number: usize, valve: &NetValve, pressures: &Pressures) -> Want {
    let fed = |cavity| pressures.fed(cavity);
    let truths = || {
        let rules = valve.rules.iter().map(|rule| match rule {
            Some(rule) => rule.truth(stage.drives(), &fed),
            None => Truth::False,
        });
        (0..).zip(rules)
    };
    let (mut surely, mut several, mut maybe) = (None, false, false);
    for (place, truth) in truths() {
        match truth {
            Truth::True => several |= surely.replace(place).is_some(),
            Truth::Unknown => maybe = true,
            Truth::False => {}
        }
    }
    match (surely.filter(|_| !several), stage.spring(number)) {
        // What should push it over meets a spring that may be too strong.
        (Some(to), Some(Spring::Wrong)) => any(valve.rest.into_iter().chain([to])),
        (Some(to), _) => Want::Go(to),
        (None, Some(Spring::Broken)) if !several => any(0..valve.rules.len() as u32),
        (None, _) if !several && !maybe => valve.rest.map_or(Want::Stay, Want::Go),
        _ => {
            let may_hold = truths().filter(|(_, truth)| *truth != Truth::False);
            any(may_hold.map(|(place, _)| place).chain(valve.rest))
        }
    }
}

fn any(places: impl IntoIterator<Item = u32>) -> Want {
    let mut places: Vec<u32> = places.into_iter().collect();
    places.sort_unstable();
    places.dedup();
    match places[..] {
        [only] => Want::Go(only),
        _ => Want::Any(places),
    }
}

/// The higher inlet pushes a shuttle ball onto the lower; equal ones leave it where it is.
fn crosses(shuttle: &NetShuttle, pressures: &Pressures) -> Want {
    let [a, b] = shuttle.inlets.map(|inlet| pressures.span(inlet));
    if a.lowest > b.highest {
        Want::Go(0)
    } else if b.lowest > a.highest {
        Want::Go(1)
    } else if a.lowest == a.highest && b.lowest == b.highest {
        Want::Stay
    } else {
        Want::Any(vec![0, 1])
    }
}
