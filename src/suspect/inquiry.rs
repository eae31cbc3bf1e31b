//! One inquiry: what was seen of a circuit, held against everything that can be wrong with it.

use super::bench::Bench;
use super::check::{Ask, Checks};
use super::clash::{Clash, ClashWhy, clashes};
use super::effort::Efforts;
use super::cone::Cone;
use super::fit::{Aim, Mark};
use super::ground::Ground;
use super::group::{Group, groups};
use super::hypothesis::{Hypothesis, Trial};
use super::measured::cavities;
use super::outlook::CANNOT_BE;
use super::plan::Planner;
use super::search::Found;
use super::when::Whens;
use crate::answer::{FlowsQuestion, Glances, Likelihoods, Range, Scenarios, SweepState, Sweeper};
use crate::circuit::{Fault, Sighting};
use crate::net::{Cavity, Change, Net};

/// What was seen, and how it is to be explained.
#[derive(Clone, Debug)]
pub struct SuspectsQuestion {
    /// What was seen.
    pub saw: Vec<Sighting>,
    /// How many faults together at most: 1 to 3.
    pub up_to: usize,
    /// How many sets of two, and of three, are settled at most.
    pub most: usize,
    /// How likely faults are.
    pub likelihoods: Likelihoods,
    /// What checks cost.
    pub efforts: Efforts,
    /// Whether pressures and flows have a say where the file gives the sizes.
    pub measure: bool,
    /// How the gearbox runs.
    pub flows: FlowsQuestion,
}

impl Default for SuspectsQuestion {
    fn default() -> Self {
        SuspectsQuestion {
            saw: Vec::new(),
            up_to: 2,
            most: 2000,
            likelihoods: Likelihoods::default(),
            efforts: Efforts::default(),
            measure: true,
            flows: FlowsQuestion::default(),
        }
    }
}

/// An inquiry that was made: ask it for its suspects, or for what to check next.
///
/// ```
/// use oilpath::suspect::{Inquiry, SuspectsQuestion};
/// let circuit = oilpath::sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube", "clutch-feed"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm" }
///     [port]
///     feed = { between = ["line", "clutch-feed"] }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
///     clutch = { kind = "clutch", at = "clutch-feed" }
/// "#).unwrap().circuit;
/// let net = oilpath::net::Net::new(&circuit).unwrap();
/// let saw = ["bearing starved", "clutch fine"];
/// let saw = saw.iter().flat_map(|text| circuit.sightings(text).unwrap()).collect();
/// let inquiry = Inquiry::new(&net, SuspectsQuestion { saw, ..SuspectsQuestion::default() });
/// let suspects = inquiry.suspects();
/// let sets = suspects.suspects.iter().flat_map(|suspect| &suspect.sets);
/// assert!(sets.into_iter().any(|set| set.faults == [["hop:plugged"]]));
/// ```
pub struct Inquiry<'n> {
    pub(super) net: &'n Net<'n>,
    pub(super) question: SuspectsQuestion,
    pub(super) measured: bool,
    pub(super) marks: Vec<Mark>,
    /// What each sighting's gauge should read, in Pa, where that is known.
    pub(super) should: Vec<Option<Range>>,
    pub(super) abnormal: Vec<usize>,
    pub(super) clashes: Vec<Clash>,
    pub(super) found: Found,
    /// The circuit in every state.
    pub(super) ground: Ground,
    /// The block on the bench.
    pub(super) bench: Bench<'n>,
    /// When what was seen shows, where that is at times alone.
    pub(super) whens: Whens,
    /// The circuit in the states that something was seen in.
    near: Place<'n>,
    /// Suspects that are told apart as far as checks can.
    pub(super) groups: Vec<Group>,
    /// What the first member of each group does, state by state.
    pub(super) effects: Vec<Vec<Option<SweepState>>>,
}

/// So many of the likeliest are told apart; the others are counted.
const KEPT: usize = 40;

/// What checks show in every state is measured where that is so many states in all; else in those
/// that something was seen in.
const MEASURED: usize = 400;

impl<'n> Inquiry<'n> {
    /// Makes an inquiry.
    #[must_use]
    pub fn new(net: &'n Net<'n>, question: SuspectsQuestion) -> Self {
        let near = Place::new(net, &states(net, &question.saw), &question);
        let bench = Bench::new(net);
        let gauges = cavities(net, &near.ground);
        let every = Sweeper::new(net, nothing(net), &[]);
        let ground = Ground::of(net, &every);
        let applied = |id: &str| match ground.state(Some(id)) {
            Some(state) => ground.applied(state).collect(),
            None => Vec::new(),
        };
        let sounds: Vec<Vec<Option<Range>>> = match &near.glances {
            Some(glances) => {
                let states = 0..near.ground.states.len();
                states.map(|state| glances.sound(state, &gauges)).collect()
            }
            None => Vec::new(),
        };
        let sound = |state: usize, gauge: usize| *sounds.get(state)?.get(gauge)?;
        let marks = question.saw.iter();
        let marks = marks.map(|sighting| Mark::of(sighting, &near.ground, &bench, &applied, &sound));
        let marks: Vec<Mark> = marks.collect();
        let should = marks.iter().map(|mark| match mark.seen {
            Aim::Reads(gauge, ..) | Aim::Shows(gauge, _) => sound(mark.state?, gauge),
            _ => None,
        });
        let should = should.collect();
        let whens = near.whens(net, &marks, &question);
        let seen = Seeing {
            bench: &bench,
            marks: &marks,
            whens: &whens,
            gauges: &gauges,
        };
        let trial = near.trial(net, seen, &question);
        let abnormal: Vec<usize> = trial.abnormal().collect();
        let found = trial.search(question.up_to.clamp(1, 3), question.most);
        let mut clashes = clashes(&near.ground, &question.saw, &marks);
        for seen in &abnormal {
            let possible = |h: &Hypothesis| h.fits[*seen] >= CANNOT_BE;
            let known = clashes.iter().any(|clash| clash.seen == *seen);
            if !known && !found.alone.iter().chain(&found.left).any(possible) {
                let why = ClashWhy::NoFault;
                clashes.push(Clash { seen: *seen, why });
            }
        }
        let kept: Vec<Hypothesis> = found.left.iter().take(KEPT).cloned().collect();
        let firsts: Vec<Vec<Fault>> = kept.iter().map(Hypothesis::first).collect();
        let glances = near
            .glances
            .as_ref()
            .and_then(|_| glances(net, &[], &question));
        let far = Trial {
            net,
            sweeper: &every,
            ground: &ground,
            bench: &bench,
            marks: &[],
            whens: None,
            glances: glances.as_ref(),
            gauges: &gauges,
            likelihoods: &question.likelihoods,
        };
        let mut expected = far.settled(&firsts);
        let everywhere = firsts.len() * ground.states.len() <= MEASURED;
        for (state, own) in ground.states.iter().enumerate() {
            if everywhere || near.ground.state(own.id.as_deref()).is_some() {
                far.measure(state, &firsts, &vec![true; firsts.len()], &mut expected);
            }
        }
        let checks = Checks {
            ground: &ground,
            bench: &bench,
        };
        let groups = groups(checks, kept, expected);
        let firsts: Vec<Vec<Fault>> = groups.iter().map(|g| g.members[0].first()).collect();
        Inquiry {
            net,
            measured: near.glances.is_some(),
            near,
            effects: every.of_sets(&firsts),
            question,
            marks,
            should,
            abnormal,
            clashes,
            found,
            ground,
            bench,
            whens,
            groups,
        }
    }

    /// The checks that can be made.
    pub(super) fn checks(&self) -> Checks<'_> {
        Checks {
            ground: &self.ground,
            bench: &self.bench,
        }
    }

    /// A planner over what is left.
    pub(super) fn planner(&self) -> Planner<'_> {
        let circuit = self.net.circuit();
        let made = |ask: Ask| self.was_made(ask);
        Planner::new(
            circuit,
            self.checks(),
            &self.groups,
            self.question.efforts,
            made,
        )
    }

    /// Whether a check was made already, surely.
    fn was_made(&self, ask: Ask) -> bool {
        let mut saw = self.question.saw.iter().zip(&self.marks);
        saw.any(|(sighting, mark)| {
            let here = |state: usize| sighting.state == self.ground.states[state].id;
            let same = match (&mark.seen, ask) {
                (Aim::Drives(_) | Aim::WorksAs(_), Ask::Drive { state }) => here(state),
                (
                    Aim::Shows(seen, _) | Aim::Reads(seen, ..) | Aim::Switch(seen, _),
                    Ask::Read { state, gauge },
                ) => here(state) && gauge == *seen,
                (Aim::Blown(checks, _), Ask::Blow(i)) => {
                    let own = &self.bench.blown[i].ready.setup;
                    checks.iter().any(|ready| ready.setup == *own)
                }
                (Aim::Pulled(bore, _), Ask::Pull(i)) => self.bench.bores[i] == *bore,
                _ => false,
            };
            same && sighting.sure >= 1.0
        })
    }

    /// Whether everything that was seen is as it should be, so that nothing points to a fault.
    #[must_use]
    pub fn is_quiet(&self) -> bool {
        self.abnormal.is_empty()
    }

    /// Every set of faults that foretells everything seen while no fewer of them do, as far as sets
    /// were tried: the smallest first, faults that change the same chosen one by one.
    #[must_use]
    pub fn explaining(&self) -> Vec<Vec<Fault>> {
        let explaining = self.found.left.iter().filter(|h| h.explains);
        let mut all: Vec<Vec<Fault>> = explaining.flat_map(|h| choices(&h.rows)).collect();
        for set in &mut all {
            set.sort();
        }
        all.sort_by_cached_key(|set| (set.len(), set.clone()));
        all.dedup();
        all
    }

    /// Where some faults stand among the suspects, told from 1; those as likely share the places they
    /// have. None where what was seen rules them out.
    #[must_use]
    pub fn rank(&self, faults: &[Fault]) -> Option<f64> {
        let is = |h: &Hypothesis| {
            let mut rows = h.rows.iter();
            h.rows.len() == faults.len()
                && rows.all(|row| row.iter().any(|fault| faults.contains(fault)))
        };
        let own = self
            .groups
            .iter()
            .find(|group| group.members.iter().any(is));
        if let Some(own) = own {
            let as_likely = |group: &&Group| (group.weight / own.weight - 1.0).abs() < 1e-9;
            let before = self.groups.iter().filter(|g| g.weight > own.weight);
            let before = before.filter(|group| !as_likely(group)).count() as f64;
            let ties = self.groups.iter().filter(as_likely).count() as f64;
            return Some(before + (ties + 1.0) / 2.0);
        }
        let place = self.found.left.iter().position(is)?;
        Some(place as f64 + 1.0)
    }

    /// Some faults held against everything that was seen.
    pub(super) fn judge(&self, faults: &[Fault]) -> Hypothesis {
        let gauges = cavities(self.net, &self.near.ground);
        let seen = Seeing {
            bench: &self.bench,
            marks: &self.marks,
            whens: &self.whens,
            gauges: &gauges,
        };
        let trial = self.near.trial(self.net, seen, &self.question);
        trial.judge_wholly(faults)
    }

    /// The weight of everything that is left.
    pub(super) fn whole(&self) -> f64 {
        self.found.left.iter().map(|h| h.weight).sum()
    }
}

/// Every choice of one fault of each row, all of different parts.
fn choices(rows: &[Vec<Fault>]) -> Vec<Vec<Fault>> {
    let start = vec![Vec::new()];
    rows.iter().fold(start, |chosen: Vec<Vec<Fault>>, row| {
        let longer = chosen.iter().flat_map(|set| {
            let fits = row
                .iter()
                .filter(|f| set.iter().all(|other| other.part != f.part));
            fits.map(|fault| [&set[..], std::slice::from_ref(fault)].concat())
        });
        longer.collect()
    })
}

/// The states that something was seen in; one for a circuit of which nothing was seen in any.
fn states(net: &Net<'_>, saw: &[Sighting]) -> Vec<String> {
    let mut states: Vec<String> = saw.iter().filter_map(|s| s.state.clone()).collect();
    states.sort();
    states.dedup();
    if states.is_empty() {
        states.extend(net.circuit().states.keys().next().cloned());
    }
    states
}

fn nothing(net: &Net<'_>) -> Scenarios {
    Scenarios::alone(net.circuit(), |_| false)
}

/// The circuit measured in some states, where its file gives the sizes.
fn glances<'n>(
    net: &'n Net<'n>,
    states: &[String],
    question: &SuspectsQuestion,
) -> Option<Glances<'n>> {
    let glances = question
        .measure
        .then(|| Glances::new(net, states, &question.flows));
    let glances = glances?.ok()?;
    (question.flows.assume || glances.sized()).then_some(glances)
}

/// The circuit in the states that something was seen in.
struct Place<'n> {
    sweeper: Sweeper<'n>,
    ground: Ground,
    glances: Option<Glances<'n>>,
}

impl<'n> Place<'n> {
    fn new(net: &'n Net<'n>, states: &[String], question: &SuspectsQuestion) -> Self {
        let sweeper = Sweeper::new(net, nothing(net), states);
        Place {
            ground: Ground::of(net, &sweeper),
            glances: glances(net, states, question),
            sweeper,
        }
    }

    /// When things that show at times alone would, as far as signatures tell.
    fn whens(&self, net: &Net<'_>, marks: &[Mark], question: &SuspectsQuestion) -> Whens {
        let cone = Cone::of(net, &self.ground, marks);
        let mut faults = net.circuit().faults();
        faults.retain(|fault| {
            let change = Change::of(net, std::slice::from_ref(fault));
            cone.holds(net, fault, &change)
        });
        let flows = self.glances.as_ref().map(|_| &question.flows);
        Whens::of(net, &self.ground, (&question.saw, marks), &faults, flows)
    }

    fn trial<'t>(
        &'t self,
        net: &'n Net<'n>,
        seen: Seeing<'t, 'n>,
        question: &'t SuspectsQuestion,
    ) -> Trial<'t, 'n> {
        Trial {
            net,
            sweeper: &self.sweeper,
            ground: &self.ground,
            bench: seen.bench,
            marks: seen.marks,
            whens: Some(seen.whens),
            glances: self.glances.as_ref(),
            gauges: seen.gauges,
            likelihoods: &question.likelihoods,
        }
    }
}

/// What was seen, ready to be held against faults.
struct Seeing<'t, 'n> {
    bench: &'t Bench<'n>,
    marks: &'t [Mark],
    whens: &'t Whens,
    gauges: &'t [Cavity],
}
