//! Networks that were solved, so that an equal one need not be solved again.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{PoisonError, RwLock};

use super::flows::Flows;
use super::network::Network;

/// Networks that were solved, all of them begun from the same pressures: else the last digits of
/// what one finds would hang on which came first.
#[derive(Debug, Default)]
pub struct Known {
    shelf: RwLock<Shelf>,
}

#[derive(Debug, Default)]
struct Shelf {
    /// By what two equal networks have in common.
    solved: HashMap<u64, Vec<(Network, Flows)>>,
    ways: usize,
}

/// Ways of networks kept at most, in all: some hundred bytes each.
const MOST: usize = 1_000_000;

impl Known {
    /// The flows of an equal network.
    pub(super) fn flows(&self, network: &Network) -> Option<Flows> {
        let shelf = self.shelf.read().unwrap_or_else(PoisonError::into_inner);
        let alike = shelf.solved.get(&shape(network))?;
        let equal = alike.iter().find(|(known, _)| known == network);
        equal.map(|(_, flows)| flows.clone())
    }

    /// Keeps the flows of a network, while there is room.
    pub(super) fn keep(&self, network: Network, flows: Flows) {
        let mut shelf = self.shelf.write().unwrap_or_else(PoisonError::into_inner);
        if shelf.ways + network.ways.len() <= MOST {
            shelf.ways += network.ways.len();
            let alike = shelf.solved.entry(shape(&network)).or_default();
            alike.push((network, flows));
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
