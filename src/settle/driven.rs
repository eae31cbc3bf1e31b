//! What everything that moves standing somewhere makes of any earlier pressures.

use std::sync::Arc;

use super::pressures::bound_by_lower;
use super::{Pressures, Value, balance};
use crate::circuit::Level;
use crate::net::{Held, Scene, Stage};

/// What each cavity is driven to with everything that moves standing somewhere, and where earlier
/// pressures have a say: worked out once, whatever those are.
pub(super) struct Driven<'n> {
    levels: Arc<[Level]>,
    driven: Vec<AtLevel<'n>>,
}

/// The same for one level.
struct AtLevel<'n> {
    scene: Scene<'n>,
    /// What each cavity holds; none where some way is in doubt: then what was held before decides
    /// together with what may arrive.
    values: Option<Values>,
}

#[derive(Clone)]
struct Values {
    driven: Vec<Value>,
    /// Cavities that nothing reaches, by number: they keep what they held.
    sealed: Vec<usize>,
}

impl Values {
    fn of(scene: &Scene<'_>) -> Self {
        let balance = balance(scene, None);
        let sealed = scene.net().cavities().filter(|c| balance.is_sealed(*c));
        Values {
            sealed: sealed.map(|c| c.number()).collect(),
            driven: balance.into_values(),
        }
    }
}

impl<'n> Driven<'n> {
    /// Works out each level.
    pub fn of(stage: &Stage<'n>, held: &Held, levels: &Arc<[Level]>) -> Self {
        let mut driven: Vec<AtLevel<'n>> = Vec::with_capacity(levels.len());
        for level in levels.iter() {
            let scene = stage.scene(held, *level);
            // Many levels stand alike.
            let alike = driven.last().filter(|last| last.scene.stands_as(&scene));
            let values = match alike {
                Some(last) => last.values.clone(),
                None => scene.is_certain().then(|| Values::of(&scene)),
            };
            driven.push(AtLevel { scene, values });
        }
        Driven {
            levels: levels.clone(),
            driven,
        }
    }

    /// What becomes of earlier pressures.
    pub fn after(&self, before: &Pressures) -> Pressures {
        let mut keeps = false;
        let levels = self.levels.iter().zip(&self.driven);
        let levels = levels.map(|(level, driven)| {
            let before = before.values(*level);
            match &driven.values {
                Some(values) => {
                    keeps |= !values.sealed.is_empty();
                    let mut found = values.driven.clone();
                    values.sealed.iter().for_each(|at| found[*at] = before[*at]);
                    found
                }
                None => {
                    let balance = balance(&driven.scene, Some(before));
                    keeps |= balance.keeps();
                    balance.into_values()
                }
            }
        });
        let mut values: Vec<Vec<Value>> = levels.collect();
        bound_by_lower(&mut values);
        Pressures::of(self.levels.clone(), values, keeps)
    }
}
