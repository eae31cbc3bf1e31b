//! One inquiry: what was seen of a circuit, held against everything that can be wrong with it.

use std::sync::OnceLock;

use super::apart::{Apart, Everywhere};
use super::bench::Bench;
use super::check::{Ask, Checks};
use super::clash::{Clash, ClashWhy, clashes};
use super::fit::{Aim, Mark};
use super::group::{Group, Together, alike, undriven};
use super::hypothesis::Hypothesis;
use super::measured::cavities;
use super::outlook::CANNOT_BE;
use super::place::{Place, Seeing, states};
use super::plan::Planner;
use super::question::SuspectsQuestion;
use super::search::Found;
use super::when::Whens;
use crate::answer::Range;
use crate::circuit::Fault;
use crate::net::Net;

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
    pub(super) marks: Vec<Mark>,
    /// What each sighting's gauge should read, in Pa, where that is known.
    pub(super) should: Vec<Option<Range>>,
    pub(super) abnormal: Vec<usize>,
    pub(super) clashes: Vec<Clash>,
    pub(super) found: Found,
    /// The block on the bench.
    pub(super) bench: Bench<'n>,
    /// When what was seen shows, where that is at times alone.
    pub(super) whens: Whens,
    /// The circuit in the states that something was seen in.
    near: Place<'n>,
    /// The circuit in every state, once it is asked for.
    everywhere: OnceLock<Everywhere<'n>>,
    /// The suspects told apart, once that is asked for.
    apart: OnceLock<Apart>,
}

impl<'n> Inquiry<'n> {
    /// Makes an inquiry.
    #[must_use]
    pub fn new(net: &'n Net<'n>, question: SuspectsQuestion) -> Self {
        let near = Place::new(net, &states(net, &question.saw), &question);
        let bench = Bench::new(net);
        let gauges = cavities(net, &near.ground);
        let everywhere: OnceLock<Everywhere<'n>> = OnceLock::new();
        let applied = |id: &str| {
            let ground = &everywhere.get_or_init(|| Everywhere::new(net)).ground;
            match ground.state(Some(id)) {
                Some(state) => ground.applied(state).collect(),
                None => Vec::new(),
            }
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
        let marks =
            marks.map(|sighting| Mark::of(sighting, &near.ground, &bench, &applied, &sound));
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
        Inquiry {
            net,
            near,
            question,
            marks,
            should,
            abnormal,
            clashes,
            found,
            bench,
            whens,
            everywhere,
            apart: OnceLock::new(),
        }
    }

    /// Whether pressures and flows had a say.
    pub(super) fn is_measured(&self) -> bool {
        self.near.glances.is_some()
    }

    /// The circuit in every state.
    fn everywhere(&self) -> &Everywhere<'n> {
        self.everywhere.get_or_init(|| Everywhere::new(self.net))
    }

    /// The checks that can be made.
    pub(super) fn checks(&self) -> Checks<'_, 'n> {
        Checks {
            ground: &self.everywhere().ground,
            bench: &self.bench,
        }
    }

    /// The suspects that are left, told apart as far as checks can.
    pub(super) fn apart(&self) -> &Apart {
        self.apart.get_or_init(|| {
            let checks = self.checks();
            let left = &self.found.left;
            Apart::of(checks, self.everywhere(), &self.near, &self.question, left)
        })
    }

    /// Suspects that no check tells apart, together; the likeliest first.
    pub(super) fn groups(&self) -> &[Group] {
        &self.apart().groups
    }

    /// A planner over what is left.
    pub(super) fn planner(&self) -> Planner<'_, 'n> {
        let circuit = self.net.circuit();
        let made = |ask: Ask| self.was_made(ask);
        Planner::new(
            circuit,
            self.checks(),
            self.groups(),
            self.question.efforts,
            made,
        )
    }

    /// Whether a check was made already, surely.
    fn was_made(&self, ask: Ask) -> bool {
        let mut saw = self.question.saw.iter().zip(&self.marks);
        saw.any(|(sighting, mark)| {
            let states = &self.everywhere().ground.states;
            let here = |state: usize| sighting.state == states[state].id;
            let same = match (&mark.seen, ask) {
                (Aim::Drives(_) | Aim::WorksAs(_), Ask::Drive { state }) => here(state),
                (
                    Aim::Shows(seen, _) | Aim::Reads(seen, ..) | Aim::Switch(seen, _),
                    Ask::Read { state, gauge },
                ) => here(state) && gauge == *seen,
                (Aim::Blown(checks, _), Ask::Blow(i)) => {
                    let own = &self.bench.blown()[i].ready.setup;
                    checks.iter().any(|ready| ready.setup == *own)
                }
                (Aim::Pulled(bore, _), Ask::Pull(i)) => self.bench.bores()[i] == *bore,
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
        let is = |h: &Hypothesis| h.is(faults);
        let own = self
            .groups()
            .iter()
            .find(|group| group.members.iter().any(is));
        if let Some(own) = own {
            let weights = self.groups().iter().map(|group| group.weight);
            return Some(place(own.weight, weights));
        }
        let before = self.found.left.iter().position(is)?;
        Some(before as f64 + 1.0)
    }

    /// As [`Inquiry::rank`], with those taken together that less than every check says the same of;
    /// and how many stand there together.
    #[must_use]
    pub fn rank_together(&self, faults: &[Fault], together: Together) -> Option<(f64, usize)> {
        let groups = match together {
            Together::Driven => undriven(self.groups(), &self.checks().all()),
            Together::Seen => alike(&self.found.left),
        };
        let own = groups.iter();
        let own = own
            .clone()
            .find(|group| group.members.iter().any(|h| h.is(faults)));
        match own {
            Some(own) => {
                let weights = groups.iter().map(|group| group.weight);
                Some((place(own.weight, weights), own.members.len()))
            }
            None => Some((self.rank(faults)?, 1)),
        }
    }

    /// Whether what was seen rules some faults out together, settled and measured.
    #[must_use]
    pub fn rules_out(&self, faults: &[Fault]) -> bool {
        !self.judge(faults).consistent
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
        self.apart().whole
    }
}

/// Where one weight stands among all, from 1; equal ones share the places they have.
fn place(own: f64, all: impl Iterator<Item = f64>) -> f64 {
    let (mut before, mut ties) = (0.0, 0.0);
    for weight in all {
        if (weight / own - 1.0).abs() < 1e-9 {
            ties += 1.0;
        } else if weight > own {
            before += 1.0;
        }
    }
    before + (ties + 1.0) / 2.0
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
