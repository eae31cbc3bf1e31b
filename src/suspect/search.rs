//! Which sets of faults are tried, and which of them are left.

use serde::Serialize;

use super::cone::Cone;
use super::hypothesis::{Hypothesis, Trial};
use super::outlook::FORETOLD;
use crate::circuit::{Fault, Kind};
use crate::net::Change;
use crate::reach::hitting_sets;

/// How many sets of one size were tried.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct TriedSets {
    /// How many faults together.
    pub faults: usize,
    /// How many such sets there are of parts that can have a hand in what was seen; of two and
    /// three faults, those that change the same count once.
    pub sets: u64,
    /// How many of them were settled and held against what was seen.
    pub looked_at: u64,
    /// How many of these were tried first, since each of their faults foretells something seen that
    /// the others do not: the smallest hitting sets of what foretells each.
    pub shares: u64,
    /// How many contradict nothing that is sure and have a hand in something seen.
    pub consistent: usize,
    /// How many of these foretell everything seen.
    pub explain: usize,
    /// Of these, how many are not listed since fewer of their faults explain it already.
    pub hidden: usize,
    /// How many were measured, all their faults together: of one fault all, where the file has
    /// sizes; of more, those that settling alone would have dropped though each thing seen is
    /// foretold by one of them.
    pub measured: usize,
}

/// What the search found.
pub(super) struct Found {
    /// Every single fault, in the order of the catalogue.
    pub alone: Vec<Hypothesis>,
    /// What contradicts nothing, likely ones first.
    pub left: Vec<Hypothesis>,
    pub tried: Vec<TriedSets>,
    /// Faults of parts with a hand in something seen.
    pub faults: usize,
    /// Their parts.
    pub parts: usize,
}

/// Faults that alone foretell one thing seen: of so many of them, the likeliest, larger sets are
/// made.
const SHARES: usize = 60;

/// Sets that settling would drop and that are measured first, of each size at most: those whose
/// faults each do a share come first.
const DOUBTFUL: usize = 200;

impl Trial<'_, '_> {
    /// Tries sets of up to so many faults; `most` sets of each size beyond one.
    pub fn search(&self, up_to: usize, most: usize) -> Found {
        let circuit = self.net.circuit();
        let cone = Cone::of(self.net, self.ground, self.marks);
        let all = circuit.faults();
        let changes = all
            .iter()
            .map(|f| Change::of(self.net, std::slice::from_ref(f)));
        let changes: Vec<Change> = changes.collect();
        let sets: Vec<Vec<Vec<Fault>>> = all.iter().map(|f| vec![vec![f.clone()]]).collect();
        let alone = self.judge(sets, true);
        let inside = all
            .iter()
            .zip(&changes)
            .zip(&alone)
            .map(|((fault, change), tried)| tried.touches || cone.holds(self.net, fault, change));
        let inside: Vec<bool> = inside.collect();
        let mut parts: Vec<_> = all.iter().zip(&inside).filter(|(_, i)| **i).collect();
        let faults = parts.len();
        parts.dedup_by(|(a, _), (b, _)| a.part == b.part);
        let parts = parts.len();
        let anything = self.abnormal().next().is_some();
        let stays = |h: &Hypothesis| h.consistent && (h.touches || !anything);
        let mut found = Found {
            tried: vec![TriedSets {
                faults: 1,
                sets: faults as u64,
                looked_at: faults as u64,
                shares: 0,
                consistent: alone.iter().filter(|h| stays(h)).count(),
                explain: alone.iter().filter(|h| stays(h) && h.explains).count(),
                hidden: 0,
                measured: self.glances.map_or(0, |_| faults),
            }],
            left: alone.iter().filter(|h| stays(h)).cloned().collect(),
            alone: Vec::new(),
            faults,
            parts,
        };
        if up_to > 1 && anything {
            let members = all.iter().zip(&changes).zip(&alone).zip(&inside);
            let members = members.filter(|(_, inside)| **inside);
            let classes =
                classes(members.map(|(((fault, change), tried), _)| (fault, change, tried)));
            for size in 2..=up_to {
                self.together(&classes, size, most, &mut found);
            }
        }
        found.alone = alone;
        found.left.sort_by(|a, b| {
            let faults = |h: &Hypothesis| h.rows.clone();
            b.weight
                .total_cmp(&a.weight)
                .then_with(|| faults(a).cmp(&faults(b)))
        });
        found
    }

    /// The things seen that the sound circuit does not foretell, by number.
    pub fn abnormal(&self) -> impl Iterator<Item = usize> {
        let sound = self.sound();
        let marks = self
            .marks
            .iter()
            .map(|mark| mark.counts())
            .collect::<Vec<_>>();
        (0..sound.len()).filter(move |i| marks[*i] && sound[*i] < FORETOLD)
    }

    /// Tries sets of one size: first those whose faults each foretell something seen that the
    /// others do not, which are the smallest hitting sets; then every set of the likeliest faults.
    fn together(&self, classes: &[Class], size: usize, most: usize, found: &mut Found) {
        let shares: Vec<Vec<usize>> = self
            .abnormal()
            .map(|i| {
                let own = (0..classes.len()).filter(|c| classes[*c].foretold[i]);
                own.take(SHARES).collect()
            })
            .collect();
        let mut sets: Vec<Vec<usize>> = match shares.iter().any(Vec::is_empty) {
            true => Vec::new(),
            false => hitting_sets(&shares, size).0,
        };
        sets.retain(|set| set.len() == size && rows(classes, set).is_some());
        sets.sort_by(|a, b| likelihood(classes, b).total_cmp(&likelihood(classes, a)));
        sets.truncate(most);
        let first = sets.len();
        let all = choose(classes.len(), size);
        let mut likeliest = classes.len();
        while likeliest > 0 && choose(likeliest, size) > (most - first) as u64 {
            likeliest -= 1;
        }
        let mut known: Vec<Vec<usize>> = sets.clone();
        known.sort();
        subsets(likeliest, size, &mut |set| {
            if known.binary_search(&set.to_vec()).is_err() {
                sets.push(set.to_vec());
            }
        });
        // What explains it with fewer faults hides what holds it.
        let explaining: Vec<&Hypothesis> = found.left.iter().filter(|h| h.explains).collect();
        let hidden = |rows: &[Vec<Fault>]| {
            explaining.iter().any(|smaller| {
                let mut each = smaller.rows.iter();
                each.all(|own| rows.iter().any(|row| row.contains(&own[0])))
            })
        };
        let looked_at = sets.len() as u64;
        let sets = sets.into_iter().filter_map(|set| {
            let rows = rows(classes, &set)?;
            Some((set, rows))
        });
        let (covered, sets): (Vec<_>, Vec<_>) = sets.partition(|(_, rows)| hidden(rows));
        let (sets, rows): (Vec<_>, Vec<_>) = sets.into_iter().unzip();
        let mut judged = self.judge(rows, false);
        let measured = self.measure_doubtful(classes, &sets, &mut judged);
        let mut left: Vec<Hypothesis> = judged.into_iter().filter(|h| h.consistent).collect();
        let consistent = left.len();
        left.retain(|h| h.explains && h.touches);
        found.tried.push(TriedSets {
            faults: size,
            sets: all,
            looked_at,
            shares: first as u64,
            consistent,
            explain: left.len(),
            hidden: covered.len(),
            measured,
        });
        found.left.extend(left);
    }

    /// Measures those sets together that settling would drop though what it leaves out is foretold
    /// by one of their faults alone; says how many.
    fn measure_doubtful(
        &self,
        classes: &[Class],
        sets: &[Vec<usize>],
        judged: &mut [Hypothesis],
    ) -> usize {
        if self.glances.is_none() {
            return 0;
        }
        let doubtful = |(set, h): &(&Vec<usize>, &Hypothesis)| {
            let dropped = !(h.consistent && h.explains && h.touches);
            let alone = |seen: usize| set.iter().any(|class| classes[*class].foretold[seen]);
            let mut foretold = h.foretold.iter().enumerate();
            dropped && foretold.all(|(seen, own)| *own || alone(seen))
        };
        let doubtful = sets
            .iter()
            .zip(&*judged)
            .enumerate()
            .filter(|(_, pair)| doubtful(pair));
        let doubtful: Vec<usize> = doubtful.map(|(i, _)| i).take(DOUBTFUL).collect();
        let rows = doubtful.iter().map(|i| judged[*i].rows.clone()).collect();
        for (i, h) in doubtful.iter().zip(self.judge(rows, true)) {
            judged[*i] = h;
        }
        doubtful.len()
    }
}

/// Faults that change exactly the same.
struct Class {
    faults: Vec<Fault>,
    likelihood: f64,
    /// Which of the things seen one of them foretells alone.
    foretold: Vec<bool>,
}

/// Faults put together that change the same, the likeliest first.
fn classes<'f>(
    members: impl Iterator<Item = (&'f Fault, &'f Change, &'f Hypothesis)>,
) -> Vec<Class> {
    let mut classes: Vec<(&Change, Class)> = Vec::new();
    for (fault, change, tried) in members {
        // An accumulator that cushions no more moves no oil, but is felt.
        let felt = fault.part.kind == Kind::Accumulator;
        let mut known = classes.iter_mut();
        let known = known.find(|(known, class)| {
            !felt && *known == change && class.faults[0].part.kind != Kind::Accumulator
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
                    foretold: tried.foretold.clone(),
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
fn rows(classes: &[Class], set: &[usize]) -> Option<Vec<Vec<Fault>>> {
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

fn likelihood(classes: &[Class], set: &[usize]) -> f64 {
    set.iter().map(|c| classes[*c].likelihood).product()
}

/// How many sets of a size there are.
fn choose(of: usize, size: usize) -> u64 {
    let of = of as u64;
    (0..size as u64).fold(1, |all, i| all * of.saturating_sub(i) / (i + 1))
}

/// Every set of a size of the first numbers.
fn subsets(of: usize, size: usize, each: &mut dyn FnMut(&[usize])) {
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
