//! Smallest sets that share something with each of some sets.

/// The minimal hitting sets with at most `most` members, smallest first, and whether there are
/// larger ones. A hitting set shares a member with every one of `sets`; it is minimal if none of
/// its members can be spared.
///
/// What cuts an outlet off are the hitting sets of its paths, and what explains a complaint are
/// those of its conflicts.
///
/// The search is MMCS of K. Murakami and T. Uno, *Efficient algorithms for dualizing large-scale
/// hypergraphs*, Discrete Applied Mathematics 170, 2014; from memory. There may be more minimal
/// hitting sets than anyone can list, so `most` should be small where there are many sets.
///
/// ```
/// use oilpath::reach::hitting_sets;
/// let paths = [vec!["upper"], vec!["lower", "ball"]];
/// let (cuts, more) = hitting_sets(&paths, 3);
/// assert_eq!(cuts, [["ball", "upper"], ["lower", "upper"]]);
/// assert!(!more);
/// ```
#[must_use]
pub fn hitting_sets<T: Ord + Clone>(sets: &[Vec<T>], most: usize) -> (Vec<Vec<T>>, bool) {
    let mut members: Vec<&T> = sets.iter().flatten().collect();
    members.sort_unstable();
    members.dedup();
    let numbered = sets.iter().map(|set| {
        let mut set: Vec<usize> = (set.iter())
            .map(|member| members.partition_point(|m| *m < member))
            .collect();
        set.sort_unstable();
        set.dedup();
        set
    });
    let mut search = Search::new(numbered.collect(), members.len(), most);
    search.run();
    let found = search.found.into_iter();
    let found = found.map(|set| set.into_iter().map(|m| members[m].clone()).collect());
    (found.collect(), search.more)
}

/// A set that nothing chosen hits yet, and which of its members is tried.
struct Branch {
    members: Vec<usize>,
    tried: usize,
}

struct Search {
    sets: Vec<Vec<usize>>,
    /// The sets each member is in.
    of: Vec<Vec<usize>>,
    chosen: Vec<usize>,
    /// How many chosen members each set has, and those combined by exclusive or: where there is
    /// one, that is the one.
    hits: Vec<usize>,
    hit_by: Vec<usize>,
    /// For each chosen member, the sets that it alone hits: with none it could be spared.
    alone: Vec<usize>,
    /// Members that may still be chosen.
    open: Vec<bool>,
    most: usize,
    found: Vec<Vec<usize>>,
    more: bool,
}

impl Search {
    fn new(sets: Vec<Vec<usize>>, members: usize, most: usize) -> Self {
        let mut of = vec![Vec::new(); members];
        for (i, set) in sets.iter().enumerate() {
            for member in set {
                of[*member].push(i);
            }
        }
        Search {
            hits: vec![0; sets.len()],
            hit_by: vec![0; sets.len()],
            sets,
            of,
            chosen: Vec::new(),
            alone: vec![0; members],
            open: vec![true; members],
            most,
            found: Vec::new(),
            more: false,
        }
    }

    /// Depth first, on a stack of its own: a chain of choices can be as long as there are sets.
    fn run(&mut self) {
        let mut branches: Vec<Branch> = Vec::new();
        loop {
            branches.extend(self.descend());
            // Back to the last branch with a member left to choose.
            loop {
                let Some(branch) = branches.last_mut() else {
                    self.found
                        .sort_by_cached_key(|set| (set.len(), set.clone()));
                    return;
                };
                if self.next(branch) {
                    break;
                }
                branches.pop();
            }
        }
    }

    /// The next set to branch on, or none where all are hit or enough is known.
    fn descend(&mut self) -> Option<Branch> {
        // One set above the size tells that there are larger ones.
        let full = self.chosen.len() >= self.most && self.more;
        let missed = (0..self.sets.len()).filter(|set| self.hits[*set] == 0);
        let choices = |set: &usize| self.sets[*set].iter().filter(|m| self.open[**m]);
        let narrowest = missed.min_by_key(|set| choices(set).count());
        match narrowest {
            None if self.chosen.len() <= self.most => {
                let mut set = self.chosen.clone();
                set.sort_unstable();
                self.found.push(set);
                None
            }
            None => {
                self.more = true;
                None
            }
            Some(_) if full => None,
            Some(set) => {
                let members: Vec<usize> = choices(&set).copied().collect();
                for member in &members {
                    self.open[*member] = false;
                }
                Some(Branch { members, tried: 0 })
            }
        }
    }

    /// Chooses the next member of a branch that spares no other, in place of the last. False if
    /// there is none left; then all is as before the branch.
    fn next(&mut self, branch: &mut Branch) -> bool {
        if branch.tried > 0 {
            // With this member first all sets are known now; it may come along with later ones.
            self.open[branch.members[branch.tried - 1]] = true;
            self.drop_last();
        }
        while let Some(member) = branch.members.get(branch.tried) {
            branch.tried += 1;
            if self.choose(*member) {
                return true;
            }
            self.drop_last();
        }
        for member in &branch.members {
            self.open[*member] = true;
        }
        false
    }

    /// Chooses a member; false if that makes another one spare.
    fn choose(&mut self, member: usize) -> bool {
        self.chosen.push(member);
        let mut needed = true;
        for set in &self.of[member] {
            match self.hits[*set] {
                0 => self.alone[member] += 1,
                1 => {
                    let other = &mut self.alone[self.hit_by[*set]];
                    *other -= 1;
                    needed &= *other > 0;
                }
                _ => {}
            }
            self.hits[*set] += 1;
            self.hit_by[*set] ^= member;
        }
        needed
    }

    fn drop_last(&mut self) {
        let Some(member) = self.chosen.pop() else {
            return;
        };
        self.alone[member] = 0;
        for set in &self.of[member] {
            self.hits[*set] -= 1;
            self.hit_by[*set] ^= member;
            if self.hits[*set] == 1 {
                self.alone[self.hit_by[*set]] += 1;
            }
        }
    }
}
