//! Boxes in layers: who lies above whom, and in which order side by side.

use super::Plan;

/// A place in a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Slot {
    /// A box, by number.
    Box(usize),
    /// Where a line passes a layer between those of its ends.
    Bend,
}

/// Slots in layers, joined from layer to layer.
pub(super) struct Layers {
    /// What each slot holds.
    pub slots: Vec<Slot>,
    /// The slots of each layer, from left to right.
    pub layers: Vec<Vec<usize>>,
    /// The slots of each line, from its upper box to its lower one, one in each layer.
    pub chains: Vec<Vec<usize>>,
    /// For each slot the slots it is joined to in the layers above and below.
    pub above: Vec<Vec<usize>>,
    pub below: Vec<Vec<usize>>,
}

/// Sweeps over all layers; more hardly find a better order.
const SWEEPS: usize = 24;

impl Layers {
    /// Puts a plan into layers, lines pointing down, and orders each for few crossings.
    pub fn of(plan: &Plan) -> Self {
        let depth = depths(plan);
        let mut layers = Layers {
            slots: (0..plan.boxes.len()).map(Slot::Box).collect(),
            layers: vec![Vec::new(); depth.iter().max().map_or(0, |deepest| deepest + 1)],
            chains: Vec::new(),
            above: vec![Vec::new(); plan.boxes.len()],
            below: vec![Vec::new(); plan.boxes.len()],
        };
        for (slot, depth) in depth.iter().enumerate() {
            layers.layers[*depth].push(slot);
        }
        for edge in &plan.edges {
            let mut chain = vec![edge.from];
            for layer in depth[edge.from] + 1..depth[edge.to] {
                let bend = layers.slots.len();
                layers.slots.push(Slot::Bend);
                layers.above.push(Vec::new());
                layers.below.push(Vec::new());
                layers.layers[layer].push(bend);
                chain.push(bend);
            }
            chain.push(edge.to);
            for pair in chain.windows(2) {
                layers.below[pair[0]].push(pair[1]);
                layers.above[pair[1]].push(pair[0]);
            }
            layers.chains.push(chain);
        }
        layers.order();
        layers
    }

    /// Orders each layer by where its neighbours lie, down and up again, and keeps the best.
    fn order(&mut self) {
        let mut best = (self.crossings(), self.layers.clone());
        for sweep in 0..SWEEPS {
            let down = sweep % 2 == 0;
            let count = self.layers.len();
            for i in 1..count {
                let layer = if down { i } else { count - 1 - i };
                self.order_layer(layer, down);
            }
            let crossings = self.crossings();
            if crossings < best.0 {
                best = (crossings, self.layers.clone());
            }
        }
        self.layers = best.1;
    }

    /// Orders one layer by the mean place of what its slots are joined to, above or below. A slot
    /// that is joined to nothing there keeps its place.
    fn order_layer(&mut self, layer: usize, down: bool) {
        let places = self.places();
        let joined = if down { &self.above } else { &self.below };
        let mean = |slot: usize, own: usize| match &joined[slot][..] {
            [] => own as f64,
            joined => {
                let sum: usize = joined.iter().map(|other| places[*other]).sum();
                sum as f64 / joined.len() as f64
            }
        };
        let slots = self.layers[layer].iter().enumerate();
        let mut keyed: Vec<(f64, usize)> = slots.map(|(i, s)| (mean(*s, i), *s)).collect();
        keyed.sort_by(|a, b| a.0.total_cmp(&b.0));
        self.layers[layer] = keyed.into_iter().map(|(_, slot)| slot).collect();
    }

    /// The place of each slot in its layer.
    fn places(&self) -> Vec<usize> {
        let mut places = vec![0; self.slots.len()];
        for layer in &self.layers {
            for (place, slot) in layer.iter().enumerate() {
                places[*slot] = place;
            }
        }
        places
    }

    /// Pairs of lines that cross between two layers.
    pub fn crossings(&self) -> usize {
        let places = self.places();
        let between = self.layers.iter().map(|layer| {
            let mut ends: Vec<usize> = Vec::new();
            for slot in layer {
                let mut below: Vec<usize> = self.below[*slot].iter().map(|s| places[*s]).collect();
                below.sort_unstable();
                ends.extend(below);
            }
            inversions(&mut ends)
        });
        between.sum()
    }
}

/// The layer of each box: below all it hangs on, and what hangs on nothing just above what it
/// leads to. What is joined to nothing goes below everything, a few in each layer.
fn depths(plan: &Plan) -> Vec<usize> {
    let mut depth = vec![0; plan.boxes.len()];
    let mut edges: Vec<_> = plan.edges.iter().collect();
    // Lines point from lower to higher numbers, so one pass in that order is enough.
    edges.sort_by_key(|e| (e.from, e.to));
    for edge in &edges {
        depth[edge.to] = depth[edge.to].max(depth[edge.from] + 1);
    }
    let mut hangs = vec![false; plan.boxes.len()];
    for edge in &edges {
        hangs[edge.to] = true;
    }
    let mut joined = hangs.clone();
    for (number, hangs) in hangs.iter().enumerate() {
        let leads = edges.iter().filter(|e| e.from == number);
        if let Some(next) = leads.map(|e| depth[e.to]).min() {
            joined[number] = true;
            if !hangs {
                depth[number] = next - 1;
            }
        }
    }
    let alone: Vec<usize> = (0..depth.len()).filter(|i| !joined[*i]).collect();
    let across = (alone.len() as f64).sqrt().ceil() as usize;
    let joined = (0..depth.len()).filter(|i| joined[*i]);
    let first = joined.map(|i| depth[i] + 1).max().unwrap_or_default();
    for (order, number) in alone.into_iter().enumerate() {
        depth[number] = first + order / across.max(1);
    }
    depth
}

/// Pairs that stand in the wrong order, counted while sorting.
fn inversions(numbers: &mut [usize]) -> usize {
    if numbers.len() < 2 {
        return 0;
    }
    let (left, right) = numbers.split_at_mut(numbers.len() / 2);
    let mut count = inversions(left) + inversions(right);
    let mut merged = Vec::with_capacity(left.len() + right.len());
    let mut rest = right.iter().peekable();
    for (i, number) in left.iter().enumerate() {
        while let Some(smaller) = rest.next_if(|other| *other < number) {
            merged.push(*smaller);
            count += left.len() - i;
        }
        merged.push(*number);
    }
    merged.extend(rest);
    numbers.copy_from_slice(&merged);
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inversions_are_what_counting_every_pair_gives() {
        let mut numbers = vec![5, 1, 4, 4, 2, 0, 3, 3];
        let pairs = (0..numbers.len()).flat_map(|i| (i + 1..numbers.len()).map(move |j| (i, j)));
        let slow = pairs.filter(|(i, j)| numbers[*i] > numbers[*j]).count();
        assert_eq!(inversions(&mut numbers), slow);
        assert!(numbers.is_sorted());
    }
}
