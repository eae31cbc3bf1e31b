//! Faults that are tried as one, and the sets that can be made of them.

use super::group::SAME;
use super::hypothesis::Hypothesis;
use crate::circuit::{Fault, Kind};
use crate::net::Change;

/// Faults that change exactly the same, and of which what was seen is as likely: how much oil gets
/// through what they open need not be the same.
pub(super) struct Class {
    pub faults: Vec<Fault>,
    pub likelihood: f64,
    /// How likely each thing seen is with one of them alone.
    pub fits: Vec<f64>,
    /// Which of the things seen one of them foretells alone.
    pub foretold: Vec<bool>,
    /// Whether nothing seen contradicts one of them alone.
    pub consistent: bool,
}

/// Faults put together that change the same, the likeliest first.
pub(super) fn classes<'f>(
    members: impl Iterator<Item = (&'f Fault, &'f Change, &'f Hypothesis)>,
) -> Vec<Class> {
    let mut classes: Vec<(&Change, Class)> = Vec::new();
    for (fault, change, tried) in members {
        // An accumulator that cushions no more moves no oil, but is felt.
        let felt = fault.part.kind == Kind::Accumulator;
        let mut known = classes.iter_mut();
        let known = known.find(|(known, class)| {
            let mut fits = class.fits.iter().zip(&tried.fits);
            !felt
                && *known == change
                && class.faults[0].part.kind != Kind::Accumulator
                && fits.all(|(own, other)| (own - other).abs() <= SAME)
        });
        match known {
            Some((_, class)) => {
                class.faults.push(fault.clone());
                class.likelihood += tried.prior;
            }
            None => classes.push((
                change,
                Class {
                    faults: vec![fault.clone()],
                    likelihood: tried.prior,
                    fits: tried.fits.clone(),
                    foretold: tried.foretold.clone(),
                    consistent: tried.consistent,
                },
            )),
        }
    }
    let mut classes: Vec<Class> = classes.into_iter().map(|(_, class)| class).collect();
    classes.sort_by(|a, b| b.likelihood.total_cmp(&a.likelihood));
    classes
}

/// The faults of a set, one row a class, such that the first of each are of different parts; none
/// where there are none such.
pub(super) fn rows(classes: &[Class], set: &[usize]) -> Option<Vec<Vec<Fault>>> {
    fn choose(rows: &[&[Fault]], chosen: &mut Vec<usize>) -> bool {
        let at = chosen.len();
        let Some(row) = rows.get(at) else {
            return true;
        };
        for (i, fault) in row.iter().enumerate() {
            let mut before = rows.iter().zip(chosen.iter());
            if before.any(|(row, i)| row[*i].part == fault.part) {
                continue;
            }
            chosen.push(i);
            if choose(rows, chosen) {
                return true;
            }
            chosen.pop();
        }
        false
    }
    let of: Vec<&[Fault]> = set.iter().map(|c| &classes[*c].faults[..]).collect();
    let mut chosen = Vec::new();
    if !choose(&of, &mut chosen) {
        return None;
    }
    let rows = of.iter().zip(chosen).map(|(row, first)| {
        let mut row = row.to_vec();
        row.swap(0, first);
        row
    });
    Some(rows.collect())
}

pub(super) fn likelihood(classes: &[Class], set: &[usize]) -> f64 {
    set.iter().map(|c| classes[*c].likelihood).product()
}

/// How many sets of a size there are.
pub(super) fn choose(of: usize, size: usize) -> u64 {
    let of = of as u64;
    (0..size as u64).fold(1, |all, i| all * of.saturating_sub(i) / (i + 1))
}

/// Every set of a size of the first numbers.
pub(super) fn subsets(of: usize, size: usize, each: &mut dyn FnMut(&[usize])) {
    let mut set: Vec<usize> = (0..size).collect();
    if size > of {
        return;
    }
    loop {
        each(&set);
        let Some(i) = (0..size).rev().find(|i| set[*i] < of - size + i) else {
            return;
        };
        set[i] += 1;
        for next in i + 1..size {
            set[next] = set[next - 1] + 1;
        }
    }
}
