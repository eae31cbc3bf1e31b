//! Suspects that no available check tells apart, taken together.

use super::check::{Ask, Chances, Checks};
use super::fit::Expected;
use super::hypothesis::Hypothesis;

/// Suspects that every available check shows the same for.
pub(super) struct Group {
    /// Likely ones first.
    pub members: Vec<Hypothesis>,
    /// The place of the first among all suspects.
    pub first: usize,
    /// The chances of the outcomes of each check, in the order of [`Checks::all`].
    pub chances: Vec<Chances>,
    /// The weight of all of them.
    pub weight: f64,
}

/// Which suspects are taken together, beyond those that no check tells apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Together {
    /// Those that nothing tells apart while the block is in: no gauge, no switch, no drive.
    Driven,
    /// Those that everything seen says the same of.
    Seen,
}

/// Suspects taken together.
pub(super) struct Alike<'h> {
    /// Likely ones first.
    pub members: Vec<&'h Hypothesis>,
    /// The weight of all of them.
    pub weight: f64,
}

/// Chances closer than this are the same to whoever looks: the tables of chances are no finer.
pub(super) const SAME: f64 = 0.05;

/// Puts suspects together, likely ones first, that nothing seen tells apart.
pub(super) fn alike(suspects: &[Hypothesis]) -> Vec<Alike<'_>> {
    let same = |a: &Hypothesis, b: &Hypothesis| {
        let mut fits = a.fits.iter().zip(&b.fits);
        fits.all(|(a, b)| (a - b).abs() <= SAME)
    };
    let mut groups: Vec<Alike<'_>> = Vec::new();
    for suspect in suspects {
        match groups
            .iter_mut()
            .find(|group| same(group.members[0], suspect))
        {
            Some(group) => {
                group.weight += suspect.weight;
                group.members.push(suspect);
            }
            None => groups.push(Alike {
                weight: suspect.weight,
                members: vec![suspect],
            }),
        }
    }
    groups
}

/// Groups put together that only a check on the bench tells apart.
pub(super) fn undriven<'h>(groups: &'h [Group], asks: &[Ask]) -> Vec<Alike<'h>> {
    let key = |group: &Group| -> Vec<Option<usize>> {
        let driven = asks
            .iter()
            .zip(&group.chances)
            .filter(|(ask, _)| !ask.on_bench());
        driven.map(|(_, chances)| shown(chances)).collect()
    };
    let mut found: Vec<(Vec<Option<usize>>, Alike<'h>)> = Vec::new();
    for group in groups {
        let key = key(group);
        match found.iter_mut().find(|(known, _)| *known == key) {
            Some((_, alike)) => {
                alike.weight += group.weight;
                alike.members.extend(&group.members);
            }
            None => found.push((
                key,
                Alike {
                    weight: group.weight,
                    members: group.members.iter().collect(),
                },
            )),
        }
    }
    found.into_iter().map(|(_, alike)| alike).collect()
}

/// From this chance on an outcome is what a check shows.
const SHOWN: f64 = 0.5;

/// Puts suspects together, likely ones first; `expected` is what each is expected to show in every
/// state of the ground.
pub(super) fn groups(
    checks: Checks<'_, '_>,
    suspects: Vec<Hypothesis>,
    expected: Vec<Vec<Expected>>,
) -> Vec<Group> {
    let asks = checks.all();
    let mut groups: Vec<(Vec<Option<usize>>, Group)> = Vec::new();
    for (place, (suspect, expected)) in suspects.into_iter().zip(expected).enumerate() {
        let first = suspect.first();
        let chances = asks
            .iter()
            .map(|ask| checks.chances(*ask, &first, &expected, suspect.settles));
        let chances: Vec<Chances> = chances.collect();
        let shown: Vec<Option<usize>> = chances.iter().map(shown).collect();
        match groups.iter_mut().find(|(known, _)| *known == shown) {
            Some((_, group)) => {
                group.weight += suspect.weight;
                group.members.push(suspect);
            }
            None => groups.push((
                shown,
                Group {
                    weight: suspect.weight,
                    members: vec![suspect],
                    first: place,
                    chances,
                },
            )),
        }
    }
    let mut groups: Vec<Group> = groups.into_iter().map(|(_, group)| group).collect();
    groups.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    groups
}

/// The outcome that a check shows, if one is likelier than all others together.
pub(super) fn shown(chances: &Chances) -> Option<usize> {
    chances.iter().position(|chance| *chance >= SHOWN)
}

/// How many bits a check is expected to tell about suspects of these weights, which add up to one;
/// and how likely each of its outcomes is.
pub(super) fn told(weights: &[f64], chances: &[&Chances]) -> (f64, Vec<f64>) {
    let outcomes = chances.first().map_or(0, |chances| chances.len());
    let mut all = vec![0.0; outcomes];
    let mut joint = 0.0;
    for (weight, chances) in weights.iter().zip(chances) {
        for (sum, chance) in all.iter_mut().zip(*chances) {
            *sum += weight * chance;
            joint -= bits(weight * chance);
        }
    }
    let outcome: f64 = -all.iter().map(|chance| bits(*chance)).sum::<f64>();
    let suspect: f64 = -weights.iter().map(|weight| bits(*weight)).sum::<f64>();
    ((suspect + outcome - joint).max(0.0), all)
}

fn bits(chance: f64) -> f64 {
    match chance > 0.0 {
        true => chance * chance.log2(),
        false => 0.0,
    }
}

/// The checks worth making: those that tell something, most for their effort first, with how much
/// each tells and how likely each outcome is.
pub(super) fn worth(
    asks: &[Ask],
    weights: &[f64],
    groups: &[Group],
    effort: impl Fn(Ask) -> f64,
) -> Vec<(usize, f64, Vec<f64>)> {
    let mut worth: Vec<(usize, f64, Vec<f64>)> = Vec::new();
    for i in 0..asks.len() {
        let chances: Vec<&Chances> = groups.iter().map(|group| &group.chances[i]).collect();
        let (bits, outcomes) = told(weights, &chances);
        if bits >= LEAST {
            worth.push((i, bits, outcomes));
        }
    }
    let rate = |(i, bits, _): &(usize, f64, Vec<f64>)| bits / effort(asks[*i]).max(1e-6);
    worth.sort_by(|a, b| rate(b).total_cmp(&rate(a)).then(a.0.cmp(&b.0)));
    worth
}

/// A check that tells fewer bits is not worth a word.
const LEAST: f64 = 0.02;
