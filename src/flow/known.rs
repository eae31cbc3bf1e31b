//! Networks that were solved, so that an equal one need not be solved again.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{PoisonError, RwLock};

use super::flows::Flows;
use super::network::Network;

/// Networks that were solved, with the pressures each was begun from: the last digits of what is found
/// hang on those.
#[derive(Debug, Default)]
pub(crate) struct Known {
    shelf: RwLock<Shelf>,
}

#[derive(Debug, Default)]
struct Shelf {
    /// By what two equal networks have in common.
    solved: HashMap<u64, Vec<Solved>>,
    ways: usize,
}

#[derive(Debug)]
struct Solved {
    network: Network,
    start: Vec<f64>,
    flows: Flows,
}

/// Ways of networks kept at most, in all: some hundred bytes each.
const MOST: usize = 1_000_000;

impl Known {
    /// The flows of an equal network begun from the same pressures.
    pub(super) fn flows(&self, network: &Network, start: &[f64]) -> Option<Flows> {
        let shelf = self.shelf.read().unwrap_or_else(PoisonError::into_inner);
        let alike = shelf.solved.get(&shape(network))?;
        let same = |known: &&Solved| known.network == *network && known.start == start;
        Some(alike.iter().find(same)?.flows.clone())
    }

    /// Keeps the flows of a network, while there is room.
    pub(super) fn keep(&self, network: Network, start: Vec<f64>, flows: Flows) {
        let mut shelf = self.shelf.write().unwrap_or_else(PoisonError::into_inner);
        if shelf.ways + network.ways.len() <= MOST {
            shelf.ways += network.ways.len();
            let alike = shelf.solved.entry(shape(&network)).or_default();
            alike.push(Solved {
                network,
                start,
                flows,
            });
        }
    }
}

/// What leads from where to where.
fn shape(network: &Network) -> u64 {
    let mut shape = DefaultHasher::new();
    network.nodes.len().hash(&mut shape);
    for way in &network.ways {
        (way.from, way.to).hash(&mut shape);
    }
    shape.finish()
}
