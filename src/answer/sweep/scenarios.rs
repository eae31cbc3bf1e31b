//! Which faults a sweep tries, in what order.

use std::ops::Range;

use crate::circuit::{Circuit, Fault, PartName};

/// The scenarios of a sweep, numbered from 0: every fault alone, part by part as
/// [`Circuit::faults`] lists them; or every pair of faults of two different parts, the earlier
/// fault first, sorted by the first and then by the second.
///
/// ```
/// use oilpath::answer::Scenarios;
/// let circuit = oilpath::sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [orifice]
///     hop = { between = ["line", "lube"] }
/// "#).unwrap().circuit;
/// let alone = Scenarios::alone(&circuit, |_| true);
/// let said = |faults: &[_]| faults.iter().map(|f| circuit.say(f)).collect::<Vec<_>>();
/// assert_eq!(alone.count(), 6);
/// assert_eq!(said(&alone.get(4)), ["hop:plugged"]);
/// let pairs = alone.pairs();
/// assert_eq!(pairs.count(), 12);
/// assert_eq!(said(&pairs.get(0)), ["line:plugged", "lube:plugged"]);
/// ```
#[derive(Clone, Debug)]
pub struct Scenarios {
    faults: Vec<Fault>,
    /// For pairs: of each fault, the number of the first pair that starts with it, and the first
    /// fault of a later part.
    starts: Option<Vec<(usize, usize)>>,
    count: usize,
}

impl Scenarios {
    /// Every fault of the wanted parts, alone.
    #[must_use]
    pub fn alone(circuit: &Circuit, wanted: impl Fn(&PartName) -> bool) -> Self {
        let faults = circuit.faults().into_iter();
        let faults: Vec<Fault> = faults.filter(|f| wanted(&f.part)).collect();
        Scenarios {
            count: faults.len(),
            faults,
            starts: None,
        }
    }

    /// Every pair of these faults, but those of one part.
    #[must_use]
    pub fn pairs(&self) -> Self {
        let mut starts = Vec::with_capacity(self.faults.len());
        let mut count = 0;
        let mut later = 0;
        for of_part in self.faults.chunk_by(|a, b| a.part == b.part) {
            later += of_part.len();
            for _ in of_part {
                starts.push((count, later));
                count += self.faults.len() - later;
            }
        }
        Scenarios {
            faults: self.faults.clone(),
            starts: Some(starts),
            count,
        }
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.count
    }

    /// Whether each is a pair of faults.
    #[must_use]
    pub fn in_pairs(&self) -> bool {
        self.starts.is_some()
    }

    /// The faults that the scenarios are made of, each once.
    #[must_use]
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// The places, among [`Scenarios::faults`], of the faults of one scenario; none beyond the
    /// last.
    #[must_use]
    pub fn places(&self, number: usize) -> Vec<usize> {
        if number >= self.count {
            return Vec::new();
        }
        let Some(starts) = &self.starts else {
            return vec![number];
        };
        let first = starts.partition_point(|(start, _)| *start <= number) - 1;
        let (start, later) = starts[first];
        vec![first, later + number - start]
    }

    /// The faults of one scenario; none beyond the last.
    #[must_use]
    pub fn get(&self, number: usize) -> Vec<Fault> {
        let places = self.places(number).into_iter();
        places.map(|place| self.faults[place].clone()).collect()
    }

    /// The numbers of the `k`th of `n` slices, counted from 1: one after the other they are all
    /// scenarios, and no two differ by more than one scenario in length.
    #[must_use]
    pub fn slice(&self, k: usize, n: usize) -> Range<usize> {
        let start = |k: usize| (self.count as u128 * k as u128 / n.max(1) as u128) as usize;
        start(k.saturating_sub(1))..start(k)
    }
}
