//! Where oil can run off: the strongest way out of each cavity.

use std::collections::VecDeque;

use super::Push;
use crate::net::{Cavity, SUMP_CAVITY, Scene, Strength, User};

/// The strongest route from each cavity to the sump or to a consumer, whether or not supply
/// outweighs it, by cavity number.
///
/// A route ends at a cavity that a working source or regulator holds: what runs off beyond it
/// is made up for. A consumer (a bearing, a gear) takes no more than a metered flow.
/// An outlet whose route grew stronger than in the sound circuit has lost something, even where
/// its supply still wins.
#[must_use]
pub fn losses(scene: &Scene<'_>) -> Vec<Push> {
    let net = scene.net();
    let mut loss = vec![Push::None; net.cavity_count()];
    let mut roots: Vec<(Cavity, Push)> = vec![(SUMP_CAVITY, Push::Rail)];
    for outlet in net.outlets() {
        if let User::Leaf(at) = outlet.user
            && !outlet.by_pressure
            && !scene.holds(at)
        {
            roots.push((at, Push::Metered));
        }
    }
    for strength in [Strength::Open, Strength::Metered, Strength::Leak] {
        let push = Push::from(strength);
        for (root, most) in &roots {
            if *most >= push && loss[root.at()] == Push::None {
                loss[root.at()] = if *most == Push::Rail {
                    Push::Rail
                } else {
                    push
                };
            }
        }
        let mut queue: VecDeque<Cavity> = net.cavities().filter(|c| loss[c.at()] >= push).collect();
        while let Some(cavity) = queue.pop_front() {
            for link in scene.links(cavity) {
                let news = link.drains
                    && link.strength >= strength
                    && loss[link.to.at()] == Push::None
                    && !scene.holds(link.to);
                if news {
                    loss[link.to.at()] = push;
                    queue.push_back(link.to);
                }
            }
        }
    }
    loss
}
