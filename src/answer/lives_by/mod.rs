//! What an outlet lives by: the fewest faults that starve it.

mod candidates;
mod chance;
mod likelihood;
mod search;
mod told;

use std::collections::BTreeSet;

use serde::Serialize;

pub use chance::Method;
pub use likelihood::{LikelihoodError, Likelihoods};

use super::picture::has_oil;
use super::sound::{Sound, SoundState};
use super::{Answer, Depth, Status, states};
use crate::circuit::{Kind, PartName};
use crate::net::Net;
use candidates::Candidates;
use search::{Found, Search};
use told::Told;

/// What is asked of an outlet.
#[derive(Clone, Debug)]
pub struct LivesByQuestion {
    /// The state; none for all.
    pub state: Option<String>,
    /// How many faults together at most: 1 to 3.
    pub up_to: usize,
    /// Only faults of these parts and of parts of these kinds; of all where both are empty.
    pub of: Vec<PartName>,
    /// See `of`.
    pub kinds: Vec<Kind>,
    /// How many sets of faults are settled at most, shared out between the states. Each fault
    /// alone is tried whatever this is.
    pub most: usize,
    /// How likely faults are.
    pub likelihoods: Likelihoods,
}

impl Default for LivesByQuestion {
    fn default() -> Self {
        LivesByQuestion {
            state: None,
            up_to: 2,
            of: Vec::new(),
            kinds: Vec::new(),
            most: 100_000,
            likelihoods: Likelihoods::default(),
        }
    }
}

/// What an outlet lives by.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct LivesBy {
    /// The outlet, filter, converter or cooler.
    pub outlet: PartName,
    /// How deep the answer looks.
    pub depth: Depth,
    /// How many faults together at most.
    pub up_to: usize,
    /// How many single faults there are to make sets of.
    pub faults: usize,
    /// How many sets of faults might be settled.
    pub most: usize,
    /// States asked about in which it surely has oil when the circuit is sound.
    pub states: Vec<LivesByState>,
    /// States asked about in which it has none, or that cannot be said: there it lives by nothing.
    pub without_oil: Vec<String>,
    /// Those of them in which it cannot be said; none for a circuit that declares no states.
    pub unsure_of_oil: Vec<Option<String>>,
}

/// What an outlet lives by in one state.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct LivesByState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// The sets that starve it while no fewer of their faults do, the smallest first.
    pub cut_sets: Vec<CutSet>,
    /// Pairs that leave it fed although one of the two starves it alone.
    pub masked: Vec<Masked>,
    /// Single faults with which it cannot be said whether it has oil. They count as not starving.
    pub undecided: Vec<String>,
    /// Single faults that do not starve it, but keep a source from building pressure: nothing can
    /// be counted on then.
    pub unbuilt: Vec<String>,
    /// How many faults move no oil at all, such as an accumulator that cushions nothing; they are
    /// in no set.
    pub idle: usize,
    /// What was tried, by how many faults together.
    pub tried: Vec<Tried>,
    /// How likely it is that some of these sets occurs, taking every set that holds one of them
    /// to starve the outlet. Where not all sets were looked at it is that of those that were found.
    pub chance: f64,
    /// How that and the importance were computed.
    pub method: Method,
    /// Each part with a fault in some set, the weightiest first.
    pub importance: Vec<Importance>,
}

/// Faults that starve an outlet while no fewer of them do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CutSet {
    /// One row a fault: it, and those that do exactly the same. Any one of each row starves the
    /// outlet, as long as they are of different parts.
    pub faults: Vec<Vec<String>>,
}

/// A fault that starves an outlet alone, and one that gives it its oil back beside it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Masked {
    /// What starves it alone; faults that do exactly the same are given together.
    pub fault: Vec<String>,
    /// What gives the oil back; likewise.
    pub beside: Vec<String>,
}

/// How much was tried of the sets of one size. Faults that do exactly the same count once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Tried {
    /// How many faults together.
    pub faults: usize,
    /// How many such sets there are.
    pub sets: u64,
    /// How many were looked at, in the order of the catalogue. Fewer than all: the limit on
    /// settling was reached.
    pub looked_at: u64,
    /// How many of these were settled; the others cannot matter.
    pub settled: usize,
    /// The first set that was not looked at, if any.
    pub stopped_at: Option<Vec<String>>,
}

/// How much hangs on one part.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Importance {
    /// The part.
    pub part: PartName,
    /// How likely it is to be in one of the conditions that are in some cut set.
    pub likelihood: f64,
    /// Whether some of that is assumed.
    pub assumption: bool,
    /// Birnbaum's importance: the chance of starving where the part is in one of these conditions
    /// less the chance where it is in none.
    pub birnbaum: f64,
    /// Importance after Fussell and Vesely: the share that sets with this part have in the chance.
    pub fussell_vesely: f64,
}

impl Answer for LivesBy {
    const NAME: &'static str = "lives-by";
    const VERSION: u32 = 1;

    /// It asks what would be, not what is.
    fn wrong(&self) -> bool {
        false
    }
}

/// Why an outlet lives by nothing that could be told.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LivesByError {
    /// The part takes no oil.
    #[error("{} `{}` is no outlet: nothing starves it", .0.kind, .0.id)]
    NoOutlet(PartName),
    /// A pump draws through it: what is there was never under pressure.
    #[error("a pump draws through {} `{}`: it has no pressure to lose", .0.kind, .0.id)]
    Drawn(PartName),
    /// Nothing can be wrong with what was named.
    #[error("the catalogue has no fault for these parts")]
    NoFaults,
}

/// Finds the smallest sets of faults, at most one a part, that starve an outlet.
///
/// Each set is settled from cold. A set starves the outlet if it surely has no oil with it at
/// every end of settling; undecided is not starved. With moving valves a further fault can give
/// oil back, so a set that holds a cut set need not starve; pairs that do so are listed as masked.
///
/// # Errors
/// The part is no outlet, a pump draws through it, or there is no fault to try.
///
/// ```
/// use oilpath::answer::{LivesByQuestion, lives_by};
/// let circuit = oilpath::sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [port]
///     upper = { between = ["line", "lube"] }
///     lower = { between = ["line", "lube"] }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
/// "#).unwrap().circuit;
/// let net = oilpath::net::Net::new(&circuit).unwrap();
/// let bearing = circuit.find("bearing", oilpath::circuit::Kind::ALL).unwrap();
/// let ports = LivesByQuestion {
///     kinds: vec![oilpath::circuit::Kind::Port],
///     ..LivesByQuestion::default()
/// };
/// let answer = lives_by(&net, &bearing, &ports).unwrap();
/// assert_eq!(answer.states[0].cut_sets[0].faults, [["upper:plugged"], ["lower:plugged"]]);
/// ```
pub fn lives_by(
    net: &Net<'_>,
    outlet: &PartName,
    question: &LivesByQuestion,
) -> Result<LivesBy, LivesByError> {
    let circuit = net.circuit();
    let named = super::on::outlets(net).find(|o| o.name == *outlet);
    let named = named.ok_or_else(|| match net.outlet(outlet) {
        Some(_) => LivesByError::Drawn(outlet.clone()),
        None => LivesByError::NoOutlet(outlet.clone()),
    })?;
    let LivesByQuestion { of, kinds, .. } = question;
    let all = of.is_empty() && kinds.is_empty();
    let mut faults = circuit.faults();
    faults.retain(|f| all || of.contains(&f.part) || kinds.contains(&f.part.kind));
    if faults.is_empty() {
        return Err(LivesByError::NoFaults);
    }
    let settled = Sound::of(net, states(circuit, question.state.as_deref()));
    let has = |s: &SoundState<'_>| has_oil(&s.stage, &s.settled, named);
    let sound = settled.states.iter().map(|s| (s, has(s)));
    let sound: Vec<(&SoundState<'_>, Status)> = sound.collect();
    let mut answer = LivesBy {
        outlet: outlet.clone(),
        depth: Depth::Settle,
        up_to: question.up_to.clamp(1, 3),
        faults: faults.len(),
        most: question.most,
        states: Vec::new(),
        without_oil: Vec::new(),
        unsure_of_oil: Vec::new(),
    };
    let mut left = question.most;
    let mut to_do = sound.iter().filter(|(_, has)| *has == Status::On).count();
    for (state, has) in sound {
        let id = state.id.map(str::to_owned);
        if has != Status::On {
            answer.without_oil.extend(id.clone());
            answer
                .unsure_of_oil
                .extend((has == Status::Unsure).then_some(id));
            continue;
        }
        let candidates = Candidates::of(net, &faults, named, &state.picture.scene);
        let mut search = Search {
            candidates: &candidates,
            outlet: named,
            sound: state,
            left: left / to_do,
        };
        let found = every_size(&mut search, answer.up_to);
        let settled: usize = found.iter().map(|found| found.settled).sum();
        left = left.saturating_sub(settled);
        to_do -= 1;
        let told = Told {
            circuit,
            candidates: &candidates,
            likelihoods: &question.likelihoods,
        };
        answer
            .states
            .push(told.state(state.id, &found, &search.unbuilt()));
    }
    Ok(answer)
}

/// What was found, one size after the other.
fn every_size(search: &mut Search<'_, '_>, up_to: usize) -> Vec<Found> {
    let mut found = vec![search.singles()];
    if up_to > 1 {
        let mut pairs = search.pairs();
        // What no single fault does: no member of a pair may starve the outlet alone. Undecided
        // alone is not starved.
        let alone = alone(&found);
        pairs
            .starve
            .retain(|pair| !pair.iter().any(|i| alone.contains(i)));
        pairs
            .feed
            .retain(|pair| pair.iter().any(|i| alone.contains(i)));
        found.push(pairs);
    }
    if up_to > 2 {
        let triples = search.triples(&alone(&found), &found[1].starve);
        found.push(triples);
    }
    found
}

/// The candidates that starve the outlet alone.
fn alone(found: &[Found]) -> BTreeSet<usize> {
    found[0].starve.iter().flatten().copied().collect()
}
