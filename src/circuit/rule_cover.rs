//! Whether a valve's rules leave its spool exactly one place to stand, whatever holds.

use std::collections::{BTreeMap, HashMap};

use indexmap::IndexSet;

use super::find::join_and;
use super::refer::READ_BY_RULES;
use super::{Circuit, Kind, PartName, Rule, SUMP, Truth, Valve};

/// Names read while going through combinations, beyond which a valve is given up: enough for every
/// combination of 16 names in two rules that each read all of them. Most rules are decided long
/// before all they read is.
const MOST_READ: usize = 1 << 22;

/// A combination that a valve's rules leave no single place for.
#[derive(Debug, PartialEq)]
pub(super) enum Flaw<'v> {
    /// The rules of two positions hold at once.
    Overlap {
        /// The positions, in file order.
        positions: [&'v str; 2],
        /// When.
        example: String,
    },
    /// No rule holds, and nothing says where the spool then rests.
    Gap {
        /// The first and the last position that have a rule.
        positions: [&'v str; 2],
        /// When.
        example: String,
    },
    /// There are too many combinations to tell.
    TooMany {
        /// Different names the rules read.
        names: usize,
    },
}

/// What is wrong with the rules of a valve. Nothing is said where a name in them leads nowhere:
/// that is an error of its own.
///
/// Every cavity, solenoid and input may hold or not, whatever the others do; the lever stands in
/// exactly one detent; the sump is never fed.
pub(super) fn flaws<'v>(circuit: &'v Circuit, valve: &'v Valve) -> Vec<Flaw<'v>> {
    let rules: Vec<(&str, &Rule)> = valve
        .positions
        .iter()
        .filter_map(|(id, position)| Some((id.as_str(), position.when.as_ref()?)))
        .collect();
    let (false, Some(things)) = (rules.is_empty(), Things::of(circuit, &rules)) else {
        return Vec::new();
    };
    let rests = valve.positions.values().any(|p| p.otherwise);
    let mut search = Search {
        rules: &rules,
        known: vec![None; things.all.len()],
        things,
        left: MOST_READ,
    };
    search.run(rests)
}

/// Something rules read that is one way or another on its own.
enum Thing<'v> {
    /// A cavity, solenoid or input, as it is written.
    Part(Kind, &'v str),
    /// The lever, by its detents, each once.
    Lever(IndexSet<&'v str>),
}

impl Thing<'_> {
    /// How many ways it can be.
    fn ways(&self) -> usize {
        match self {
            Thing::Part(..) => 2,
            Thing::Lever(detents) => detents.len(),
        }
    }

    /// It being one of those ways, in words. A part holds first.
    fn said(&self, way: usize) -> String {
        match (self, way) {
            (Thing::Part(Kind::Solenoid, name), 0) => format!("current to `{name}`"),
            (Thing::Part(Kind::Solenoid, name), _) => format!("no current to `{name}`"),
            (Thing::Part(Kind::Input, name), 0) => format!("`{name}` on"),
            (Thing::Part(Kind::Input, name), _) => format!("`{name}` off"),
            (Thing::Part(_, name), 0) => format!("`{name}` fed"),
            (Thing::Part(_, name), _) => format!("`{name}` drained"),
            (Thing::Lever(detents), way) => format!("the lever in `{}`", detents[way]),
        }
    }
}

/// A name in a rule: the thing, and the way it must be to hold. None for the sump, which never does.
type Meant = Option<(usize, usize)>;

/// What the names in some rules stand for.
struct Things<'v> {
    all: Vec<Thing<'v>>,
    /// For each rule its names, left to right.
    meant: Vec<Vec<Meant>>,
}

impl<'v> Things<'v> {
    /// None if a name leads nowhere.
    fn of(circuit: &'v Circuit, rules: &[(&str, &'v Rule)]) -> Option<Self> {
        let mut things = Things {
            all: Vec::new(),
            meant: Vec::new(),
        };
        let mut places = HashMap::new();
        for (_, rule) in rules {
            let names = rule.names().into_iter();
            let meant = names.map(|name| things.meaning(circuit, name, &mut places));
            let meant: Option<_> = meant.collect();
            things.meant.push(meant?);
        }
        Some(things)
    }

    /// What a name means; none if it leads nowhere. `places` has each thing's place, none for the
    /// lever.
    fn meaning(
        &mut self,
        circuit: &'v Circuit,
        name: &'v str,
        places: &mut HashMap<Option<PartName>, usize>,
    ) -> Option<Meant> {
        if name == SUMP {
            return Some(None);
        }
        let (part, thing, way) = match name.strip_prefix("lever.") {
            Some(detent) => {
                let detents: IndexSet<&str> = circuit.lever.iter().map(String::as_str).collect();
                // A detent that could not be read is an empty text: where else the lever can
                // stand is not known then.
                let known = !detents.contains("");
                let way = detents.get_index_of(detent).filter(|_| known)?;
                (None, Thing::Lever(detents), way)
            }
            None => {
                let part = circuit.find(name, READ_BY_RULES).ok()?;
                let thing = Thing::Part(part.kind, name);
                (Some(part), thing, 0)
            }
        };
        let place = *places.entry(part).or_insert_with(|| {
            self.all.push(thing);
            self.all.len() - 1
        });
        Some(Some((place, way)))
    }
}

/// A walk through all combinations: one thing after another is fixed, only as long as that can
/// still decide a rule.
struct Search<'s, 'v> {
    rules: &'s [(&'v str, &'v Rule)],
    things: Things<'v>,
    /// Which way each thing is, where it is fixed.
    known: Vec<Option<usize>>,
    /// Names that may still be read.
    left: usize,
}

impl<'v> Search<'_, 'v> {
    fn run(&mut self, rests: bool) -> Vec<Flaw<'v>> {
        let mut overlaps = BTreeMap::new();
        let mut gap = None;
        let count = self.rules.len();
        // Things fixed so far, in order.
        let mut fixed: Vec<usize> = Vec::new();
        loop {
            let truths: Vec<Truth> = (0..count).map(|r| self.truth(r)).collect();
            let are =
                |truth| -> Vec<usize> { (0..count).filter(|r| truths[*r] == truth).collect() };
            let holding = are(Truth::True);
            let open = are(Truth::Unknown);
            for pair in holding.windows(2) {
                let example = || self.example(&fixed, pair, Truth::True);
                overlaps.entry((pair[0], pair[1])).or_insert_with(example);
            }
            if holding.is_empty() && open.is_empty() && !rests && gap.is_none() {
                let all: Vec<usize> = (0..count).collect();
                gap = Some(self.example(&fixed, &all, Truth::False));
            }
            let all_said = overlaps.len() == count * (count - 1) / 2 && (rests || gap.is_some());
            if all_said || self.left == 0 {
                break;
            }
            // Where the spool has a place to rest, one rule more or less is no news.
            let news = !rests || holding.len() + open.len() > 1;
            let next = open.first().filter(|_| news);
            if let Some(thing) = next.and_then(|rule| self.undecided(*rule)) {
                self.known[thing] = Some(0);
                fixed.push(thing);
            } else if !self.step(&mut fixed) {
                break;
            }
        }
        let names = self.things.all.len();
        let too_many = (self.left == 0).then_some(Flaw::TooMany { names });
        let overlaps = overlaps.into_iter().map(|((a, b), example)| Flaw::Overlap {
            positions: [self.rules[a].0, self.rules[b].0],
            example,
        });
        overlaps
            .chain(gap.map(|example| Flaw::Gap {
                positions: [self.rules[0].0, self.rules[count - 1].0],
                example,
            }))
            .chain(too_many)
            .collect()
    }

    /// The next combination; false after the last.
    fn step(&mut self, fixed: &mut Vec<usize>) -> bool {
        while let Some(&thing) = fixed.last() {
            let next = self.known[thing].map_or(0, |way| way + 1);
            if next < self.things.all[thing].ways() {
                self.known[thing] = Some(next);
                return true;
            }
            self.known[thing] = None;
            fixed.pop();
        }
        false
    }

    /// Whether a rule holds, as far as the things that are fixed decide it.
    fn truth(&mut self, rule: usize) -> Truth {
        let mut meant = self.things.meant[rule].iter();
        self.left = self.left.saturating_sub(meant.len());
        self.rules[rule].1.truth(&mut |_| match meant.next() {
            Some(Some((thing, way))) => match self.known[*thing] {
                Some(is) => (is == *way).into(),
                None => Truth::Unknown,
            },
            _ => Truth::False,
        })
    }

    /// The first thing a rule reads that is not fixed.
    fn undecided(&self, rule: usize) -> Option<usize> {
        let mut things = self.things.meant[rule].iter().flatten();
        things.find_map(|(thing, _)| self.known[*thing].is_none().then_some(*thing))
    }

    /// The combination that is fixed, without what these rules being so does not hang on.
    fn example(&mut self, fixed: &[usize], rules: &[usize], are: Truth) -> String {
        let all = self.known.clone();
        for thing in fixed {
            let way = self.known[*thing].take();
            if rules.iter().any(|rule| self.truth(*rule) != are) {
                self.known[*thing] = way;
            }
        }
        let told = fixed.iter().filter_map(|thing| {
            let way = self.known[*thing]?;
            Some(self.things.all[*thing].said(way))
        });
        let told: Vec<String> = told.collect();
        self.known = all;
        match told[..] {
            [] => "whatever holds".to_owned(),
            _ => format!("with {}", join_and(&told)),
        }
    }
}

#[cfg(test)]
mod tests;
