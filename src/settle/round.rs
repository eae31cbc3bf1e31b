//! Whether oil goes round through a filter, converter or cooler, or stands in it.

use fixedbitset::FixedBitSet;

use super::loss::passed_by_all;
use super::{Balance, Pressures, balance};
use crate::circuit::{Level, Truth};
use crate::net::{Cavity, Link, Net, SUMP_CAVITY, Scene, Strength, WayId};

/// Whether oil that passes a way from a cavity on goes round: through at least metered holes to the
/// sump, to what uses it up or to where another source is at work, without coming back to where all
/// of it passed before. What only seeps stands.
///
/// `scenes` are one end of settling as it looks at each level that can be told apart: what opens
/// at any of them leads on. Unknown where it hangs on ways that may be open or shut.
#[must_use]
pub fn goes_round(scenes: &[Scene<'_>], inlet: Cavity, way: WayId) -> Truth {
    let rounds = |counts: fn(&Link) -> bool| {
        Round {
            scenes,
            way,
            counts,
        }
        .leaves(inlet)
    };
    match rounds(|link| link.sure) {
        true => Truth::True,
        false if scenes.iter().all(Scene::is_certain) || !rounds(|_| true) => Truth::False,
        false => Truth::Unknown,
    }
}

/// A scene with the way through a filter, converter or cooler shut, and supply weighed against drain
/// there: what runs off beyond it has passed through it. None where it is shut anyway.
#[must_use]
pub fn shut_beyond<'n>(
    scene: &Scene<'n>,
    way: WayId,
    pressures: &Pressures,
) -> Option<(Scene<'n>, Balance)> {
    scene.setting(way).strength()?;
    let shut = scene.without([way]);
    let weighed = balance(&shut, Some(&pressures.values(Level::Low)));
    Some((shut, weighed))
}

/// The cavity behind a way that oil passes from its inlet on.
pub(crate) fn behind(net: &Net<'_>, inlet: Cavity, way: WayId) -> Cavity {
    let [a, b] = net.ways()[way.at()].ends;
    if a == inlet { b } else { a }
}

/// Whether oil leaves the circuit at a cavity: something uses it up there, or a relief lets it off
/// before the pressure gets too high.
pub(super) fn uses_up(net: &Net<'_>, cavity: Cavity) -> bool {
    let mut reliefs = net.reliefs().iter();
    net.consumes(cavity) || reliefs.any(|relief| relief.on == cavity)
}

/// One way to be gone round through.
struct Round<'r, 'n> {
    scenes: &'r [Scene<'n>],
    way: WayId,
    counts: fn(&Link) -> bool,
}

impl Round<'_, '_> {
    fn leaves(&self, inlet: Cavity) -> bool {
        let net = self.scenes[0].net();
        let inward = |at| {
            let from = self.links(move |scene| scene.inward(at));
            // No supply comes out of the sump.
            from.filter(|from| *from != SUMP_CAVITY)
        };
        let fed = |at| self.scenes[0].rails().contains(&at);
        // What all oil to the inlet passes it does not pass again behind it.
        let mut seen = FixedBitSet::with_capacity(net.cavity_count());
        for passed in passed_by_all(net.cavity_count(), inlet, inward, fed) {
            seen.insert(passed.at());
        }
        let behind = behind(net, inlet, self.way);
        let mut queue: Vec<Cavity> = Vec::new();
        if !seen.put(behind.at()) {
            queue.push(behind);
        }
        while let Some(at) = queue.pop() {
            if fed(at) || self.scenes[0].vents().contains(&at) || uses_up(net, at) {
                return true;
            }
            for to in self.links(|scene| scene.onward(at)) {
                if !seen.put(to.at()) {
                    queue.push(to);
                }
            }
        }
        false
    }

    /// Where links lead that oil can take in any of the scenes, the way itself left out.
    fn links<'s, L: Iterator<Item = Link> + 's>(
        &'s self,
        of: impl Fn(&'s Scene<'s>) -> L + 's,
    ) -> impl Iterator<Item = Cavity> + 's {
        let all = self.scenes.iter().flat_map(of);
        let wide = |link: &Link| link.strength >= Strength::Metered;
        all.filter(move |link| link.way != self.way && wide(link) && (self.counts)(link))
            .map(|link| link.to)
    }
}
