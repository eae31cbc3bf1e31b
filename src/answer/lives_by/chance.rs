//! How likely some sets of faults are, and how much of that hangs on each part.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use serde::Serialize;

/// How a chance was computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// Case by case, part after part, of all sets: nothing is counted twice.
    Exact,
    /// Case by case of the sets that were found before the limit on settling was reached: no more than
    /// the chance of all, for others only add to it.
    AtLeast,
    /// The sum over all sets: a little too much where several occur at once.
    RareEvent,
    /// The sum over the sets that were found before the limit on settling was reached: too little by
    /// the others, too much where several occur at once.
    RareEventOfSome,
}

impl Method {
    /// The same where not all sets were looked at.
    pub(super) fn of_some(self) -> Self {
        match self {
            Method::Exact | Method::AtLeast => Method::AtLeast,
            Method::RareEvent | Method::RareEventOfSome => Method::RareEventOfSome,
        }
    }
}

/// One condition of one part, by numbers.
pub(super) type Literal = (usize, usize);

/// Sets of conditions, made anew each time they are gone through, for there may be very many; and
/// how likely each condition is.
pub(super) struct Sets<I> {
    sets: I,
    likelihoods: BTreeMap<Literal, f64>,
}

/// How much hangs on one part.
pub(super) struct Weight {
    pub part: usize,
    /// How likely it is to be in one of the conditions of the sets.
    pub likelihood: f64,
    pub birnbaum: f64,
    pub fussell_vesely: f64,
}

/// Sets of which a chance is computed exactly at most, and the members that may be looked at for
/// it. Both only bound time.
const SETS: usize = 500;
const MEMBERS: usize = 300_000;

impl<I: Iterator<Item = Vec<Literal>> + Clone> Sets<I> {
    /// Parts are independent; the conditions of one part exclude each other. Where those of one
    /// part together are likelier than certain, they are scaled down to certain.
    pub fn new(sets: I, likelihood: impl Fn(Literal) -> f64) -> Self {
        let mut likelihoods: BTreeMap<Literal, f64> = BTreeMap::new();
        for literal in sets.clone().flatten() {
            let known = likelihoods.entry(literal);
            known.or_insert_with(|| likelihood(literal));
        }
        let mut of_part: BTreeMap<usize, f64> = BTreeMap::new();
        for ((part, _), likelihood) in &likelihoods {
            *of_part.entry(*part).or_default() += likelihood;
        }
        for ((part, _), likelihood) in &mut likelihoods {
            *likelihood /= of_part[part].max(1.0);
        }
        Sets { sets, likelihoods }
    }

    /// The chance that some set occurs, and what each part weighs in it, the heaviest first:
    ///
    /// - Birnbaum's importance (Z. W. Birnbaum, *On the importance of different components in a
    ///   multicomponent system*, Multivariate Analysis II, 1969): the chance where the part is bad
    ///   less the chance where it is sound. Bad is one of its conditions among the sets, in
    ///   proportion to their likelihoods.
    /// - Importance after Fussell and Vesely (J. B. Fussell, *How to hand-calculate system
    ///   reliability and safety characteristics*, IEEE Transactions on Reliability R-24, 1975):
    ///   the share of the chance that sets with the part have in it.
    ///
    /// Titles from memory; `tests/reference/graph/02a` and `02b` hold the values checked against.
    pub fn weigh(&self) -> (f64, Method, Vec<Weight>) {
        let few: Vec<Vec<Literal>> = self.sets.clone().take(SETS + 1).collect();
        let exact = match few.len() <= SETS {
            true => self.weigh_exactly(&few),
            false => None,
        };
        let (method, (chance, mut weights)) = match exact {
            Some(weighed) => (Method::Exact, weighed),
            None => (Method::RareEvent, self.weigh_rarely()),
        };
        // Of equal weights the first part goes first.
        weights.sort_by(|a, b| b.fussell_vesely.total_cmp(&a.fussell_vesely));
        (chance, method, weights)
    }

    /// The conditions of a part that are in some set.
    pub fn of_part(&self, part: usize) -> impl Iterator<Item = Literal> + '_ {
        let literals = self.likelihoods.keys().copied();
        literals.filter(move |literal| literal.0 == part)
    }

    /// The conditions of each part.
    fn parts(&self) -> BTreeMap<usize, Vec<(Literal, f64)>> {
        let mut parts: BTreeMap<usize, Vec<_>> = BTreeMap::new();
        for (literal, likelihood) in &self.likelihoods {
            let known = parts.entry(literal.0).or_default();
            known.push((*literal, *likelihood));
        }
        parts
    }

    fn weigh_exactly(&self, sets: &[Vec<Literal>]) -> Option<(f64, Vec<Weight>)> {
        let mut cases = Cases {
            likelihoods: &self.likelihoods,
            known: HashMap::new(),
            left: MEMBERS,
        };
        let chance = cases.chance(sets.to_vec())?;
        let mut weights = Vec::new();
        for (part, conditions) in self.parts() {
            let likelihood: f64 = conditions.iter().map(|(_, q)| q).sum();
            let sound = cases.chance(given(sets, part, None))?;
            let mut bad = 0.0;
            for (literal, q) in conditions {
                bad += q * cases.chance(given(sets, part, Some(literal)))?;
            }
            let with = sets.iter().filter(|set| has(set, part)).cloned();
            let with = cases.chance(with.collect())?;
            weights.push(Weight {
                part,
                likelihood,
                birnbaum: share(bad, likelihood) - sound,
                fussell_vesely: share(with, chance),
            });
        }
        Some((chance, weights))
    }

    fn weigh_rarely(&self) -> (f64, Vec<Weight>) {
        let mut chance = 0.0;
        let mut of_part: BTreeMap<usize, f64> = BTreeMap::new();
        for set in self.sets.clone() {
            let product: f64 = set.iter().map(|l| self.likelihoods[l]).product();
            chance += product;
            for (part, _) in &set {
                *of_part.entry(*part).or_default() += product;
            }
        }
        let weights = self.parts().into_iter().map(|(part, conditions)| {
            let likelihood: f64 = conditions.iter().map(|(_, q)| q).sum();
            Weight {
                part,
                likelihood,
                birnbaum: share(of_part[&part], likelihood),
                fussell_vesely: share(of_part[&part], chance),
            }
        });
        (chance, weights.collect())
    }
}

fn share(some: f64, of: f64) -> f64 {
    if of > 0.0 { some / of } else { 0.0 }
}

fn has(set: &[Literal], part: usize) -> bool {
    set.iter().any(|(p, _)| *p == part)
}

/// What is left of sets once a part is in one condition, or in none of theirs.
fn given(sets: &[Vec<Literal>], part: usize, is: Option<Literal>) -> Vec<Vec<Literal>> {
    let left = sets
        .iter()
        .filter_map(|set| match set.iter().find(|(p, _)| *p == part) {
            None => Some(set.clone()),
            Some(literal) if Some(*literal) == is => {
                Some(set.iter().copied().filter(|l| l != literal).collect())
            }
            Some(_) => None,
        });
    least(left.collect())
}

/// The sets without those that a set of one condition makes needless.
fn least(mut sets: Vec<Vec<Literal>>) -> Vec<Vec<Literal>> {
    if sets.iter().any(Vec::is_empty) {
        return vec![Vec::new()];
    }
    let single = |set: &&Vec<Literal>| set.len() == 1;
    let single: Vec<Literal> = sets.iter().filter(single).map(|set| set[0]).collect();
    sets.retain(|set| set.len() == 1 || !set.iter().any(|l| single.contains(l)));
    sets.sort();
    sets.dedup();
    sets
}

/// Chances worked out part by part (pivotal decomposition; R. E. Barlow, F. Proschan,
/// *Statistical Theory of Reliability and Life Testing*, 1975), each rest of sets once.
struct Cases<'s> {
    likelihoods: &'s BTreeMap<Literal, f64>,
    known: HashMap<Vec<Vec<Literal>>, f64>,
    left: usize,
}

impl Cases<'_> {
    /// The chance that some set occurs; none where that takes too long.
    fn chance(&mut self, sets: Vec<Vec<Literal>>) -> Option<f64> {
        let sets = least(sets);
        let Some(longest) = sets.iter().max_by_key(|set| set.len()) else {
            return Some(0.0);
        };
        if longest.is_empty() {
            return Some(1.0);
        }
        if let Some(known) = self.known.get(&sets) {
            return Some(*known);
        }
        self.left = self.left.checked_sub(sets.iter().map(Vec::len).sum())?;
        let (lone, rest) = lone(&sets);
        if !lone.is_empty() {
            let mut chance = self.chance(rest)?;
            for conditions in lone.values() {
                let bad: f64 = conditions.iter().map(|l| self.likelihoods[l]).sum();
                chance += bad - chance * bad;
            }
            self.known.insert(sets, chance);
            return Some(chance);
        }
        let part = pivot(&sets);
        let mut conditions: Vec<Literal> = sets.iter().flatten().copied().collect();
        conditions.retain(|(p, _)| *p == part);
        conditions.sort_unstable();
        conditions.dedup();
        let mut chance = 0.0;
        let mut none = 1.0;
        for condition in conditions {
            let likelihood = self.likelihoods[&condition];
            none -= likelihood;
            chance += likelihood * self.chance(given(&sets, part, Some(condition)))?;
        }
        chance += none * self.chance(given(&sets, part, None))?;
        self.known.insert(sets, chance);
        Some(chance)
    }
}

/// The parts with no condition in a set of several, each with its conditions that are sets alone;
/// and the other sets, which are independent of those.
fn lone(sets: &[Vec<Literal>]) -> (BTreeMap<usize, Vec<Literal>>, Vec<Vec<Literal>>) {
    let several = sets.iter().filter(|set| set.len() > 1).flatten();
    let several: BTreeSet<usize> = several.map(|(part, _)| *part).collect();
    let mut lone: BTreeMap<usize, Vec<Literal>> = BTreeMap::new();
    let mut rest = Vec::new();
    for set in sets {
        match set[..] {
            [literal] if !several.contains(&literal.0) => {
                lone.entry(literal.0).or_default().push(literal);
            }
            _ => rest.push(set.clone()),
        }
    }
    (lone, rest)
}

/// The part that most sets have a condition of, the first of several.
fn pivot(sets: &[Vec<Literal>]) -> usize {
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for (part, _) in sets.iter().flatten() {
        *counts.entry(*part).or_default() += 1;
    }
    let most = counts.into_iter().rev().max_by_key(|(_, count)| *count);
    most.map_or(0, |(part, _)| part)
}
