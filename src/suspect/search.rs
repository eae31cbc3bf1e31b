//! Which sets of faults are tried, and which of them are left.

use serde::Serialize;

use super::class::{Class, choose, classes, likelihood, rows, subsets};
use super::cone::Cone;
use super::hypothesis::{Hypothesis, Trial};
use super::outlook::FORETOLD;
use crate::circuit::Fault;
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
    /// How many pairs were tried next, since together they foretell more of what is not as it should
    /// be than any one fault does, however seldom they come.
    pub tell_more: u64,
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

/// Pairs that are tried at most since together they foretell more than any one fault does.
const TELL_MORE: usize = 400;

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
                tell_more: 0,
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
    /// others do not, which are the smallest hitting sets; then pairs that foretell more than any one
    /// fault; then every set of the likeliest faults.
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
        if size == 2 {
            let room = (most - first).min(TELL_MORE);
            let mut known = sets.clone();
            known.sort();
            let more = self.tell_more(classes, &known);
            sets.extend(more.into_iter().take(room));
        }
        let before = sets.len();
        let all = choose(classes.len(), size);
        let mut likeliest = classes.len();
        while likeliest > 0 && choose(likeliest, size) > (most - before) as u64 {
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
        let consistent = judged.iter().filter(|h| h.consistent).count();
        // What leaves something open stays where all its faults have a share in what it foretells, and no
        // fewer faults explain everything.
        let abnormal: Vec<usize> = self.abnormal().collect();
        let told = |foretold: &[bool]| abnormal.iter().filter(|i| foretold[**i]).count();
        let tells_more = |set: &[usize], h: &Hypothesis| {
            let mut each = set.iter().map(|class| told(&classes[*class].foretold));
            explaining.is_empty() && each.all(|alone| alone < told(&h.foretold))
        };
        let stays = |(h, set): &(Hypothesis, Vec<usize>)| {
            h.consistent && h.touches && (h.explains || tells_more(set, h))
        };
        let left = judged.into_iter().zip(sets).filter(stays);
        let left: Vec<Hypothesis> = left.map(|(h, _)| h).collect();
        found.tried.push(TriedSets {
            faults: size,
            sets: all,
            looked_at,
            shares: first as u64,
            tell_more: (before - first) as u64,
            consistent,
            explain: left.iter().filter(|h| h.explains).count(),
            hidden: covered.len(),
            measured,
        });
        found.left.extend(left);
    }

    /// Pairs other than these, which are sorted, that together foretell more of what is not as it should be than any one
    /// fault does that nothing contradicts: those first that would be likeliest if each showed what it shows alone.
    fn tell_more(&self, classes: &[Class], known: &[Vec<usize>]) -> Vec<Vec<usize>> {
        let abnormal: Vec<usize> = self.abnormal().collect();
        let told = |classes: &[&Class]| {
            let seen = abnormal.iter();
            seen.filter(|i| classes.iter().any(|c| c.foretold[**i]))
                .count()
        };
        let possible = classes.iter().filter(|class| class.consistent);
        let most = possible.map(|class| told(&[class])).max();
        let most = most.unwrap_or_default();
        let mut found: Vec<(f64, Vec<usize>)> = Vec::new();
        subsets(classes.len(), 2, &mut |set| {
            let [a, b] = [&classes[set[0]], &classes[set[1]]];
            if told(&[a, b]) > most && known.binary_search(&set.to_vec()).is_err() {
                let fits = self.marks.iter().zip(a.fits.iter().zip(&b.fits));
                let fits = fits.map(|(mark, (a, b))| mark.weight(a.max(*b)));
                let weight = a.likelihood * b.likelihood * fits.product::<f64>();
                found.push((weight, set.to_vec()));
            }
        });
        found.retain(|(_, set)| rows(classes, set).is_some());
        found.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
        found.into_iter().map(|(_, set)| set).collect()
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
