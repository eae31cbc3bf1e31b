//! How well suspects are found: every single fault of each demo circuit gives its symptoms, and the
//! suspects are asked for by them. Printed, not asserted.
//!
//! `cargo bench --bench suspect`; with a number behind `--`, so many faults a circuit at most, drawn
//! by a seed; with a name, that circuit alone, and with `speed-only` none; with `singles-only` or
//! `doubles-only` those. With VERBOSE set, what was not found is listed.
//!
//! The *ceiling* is what the best order could reach by the same things seen: a judge who knows what
//! each single fault shows, by the depth that gave the symptoms, a gauge being off by a twentieth and
//! 0.15 bar, and how likely each is taken to be, orders those that show all of it by that.

#[path = "../tests/support/worked.rs"]
mod worked;

use std::time::{Duration, Instant};

use oilpath::answer::{
    AirBench, AirFound, AirReady, AirSign, Glance, Glances, Likelihoods, Reading, Scenarios,
    Status, SweepSound, SweepState, Sweeper,
};
use oilpath::circuit::{Circuit, Condition, Fault, Kind, Level, PartName, Sighting};
use oilpath::net::{Cavity, Net};
use oilpath::sheet;
use oilpath::suspect::{
    Check, CheckWord, Inquiry, Next, PlanStep, SuspectSet, SuspectsQuestion, Together,
};
use oilpath::teach::Dice;
use worked::worked;

const CIRCUITS: &[&str] = &[
    "circuits/transfer-box.toml",
    "circuits/tractor-powershift.toml",
    "circuits/six-speed-bus.toml",
];

/// Which depth gives the symptoms.
#[derive(Clone, Copy, Debug, PartialEq)]
enum By {
    Settle,
    Flow,
}

/// How much was seen, and how well.
#[derive(Clone, Copy)]
struct Look {
    /// Every state was driven with two gauges on, not just three states with the gauges read in one.
    whole: bool,
    /// Readings are off by up to this share.
    readings: f64,
    /// Whether one thing seen is left out.
    missing: bool,
}

fn main() {
    let most = std::env::args().filter_map(|a| a.parse().ok()).next();
    let most: usize = most.unwrap_or(usize::MAX);
    let named: Vec<String> = std::env::args().skip(1).collect();
    let wanted = |path: &str| {
        let names = named
            .iter()
            .filter(|n| n.contains('-') && !n.starts_with('-'));
        let names = names.filter(|n| !n.ends_with("-only") || *n == "speed-only");
        let mut names = names.peekable();
        names.peek().is_none() || names.any(|name| path.contains(name.as_str()))
    };
    let only = |what: &str| {
        let mut sets = named
            .iter()
            .filter(|n| ["singles-only", "doubles-only"].contains(&n.as_str()));
        sets.clone().next().is_none() || sets.any(|n| n.starts_with(what))
    };
    for path in CIRCUITS.iter().filter(|path| wanted(path)) {
        let circuit = sheet::open(path).unwrap().circuit;
        let net = Net::new(&circuit).unwrap();
        let world = World::new(&net);
        println!("{path}: {} single faults", world.faults.len());
        let clean = Look {
            whole: false,
            readings: 0.0,
            missing: false,
        };
        let noisy = Look {
            readings: 0.05,
            missing: true,
            ..clean
        };
        let whole = |look: Look| Look {
            whole: true,
            ..look
        };
        let singles: Vec<Vec<Fault>> = world.faults.iter().map(|f| vec![f.clone()]).collect();
        let singles = sample(singles, most, 1);
        let (assumed, equal) = (Likelihoods::default(), world.equal());
        if only("singles") {
            world.score("singles", &singles, clean, 3, &assumed);
            world.score("singles, equally likely", &singles, clean, 3, &equal);
            let name = "singles, ±5 % and one missing";
            world.score(name, &singles, noisy, 3, &assumed);
            let name = "singles, whole road test";
            world.score(name, &singles, whole(clean), 3, &assumed);
            let name = "singles, whole road test, ±5 % and one missing";
            world.score(name, &singles, whole(noisy), 3, &assumed);
        }
        if only("doubles") {
            let doubles = world.doubles((500 / CIRCUITS.len()).min(most));
            world.score("doubles", &doubles, clean, 5, &assumed);
            let name = "doubles, ±5 % and one missing";
            world.score(name, &doubles, noisy, 5, &assumed);
            let name = "doubles, whole road test";
            world.score(name, &doubles, whole(clean), 5, &assumed);
        }
    }
    if named
        .iter()
        .all(|n| n.starts_with('-') || n == "speed-only")
    {
        speed();
    }
}

/// Singles and pairs of the six-speed with three things seen.
fn speed() {
    let circuit = sheet::open("circuits/six-speed-bus.toml").unwrap().circuit;
    let net = Net::new(&circuit).unwrap();
    let seen = ["third: flare", "fifth: fine", "third: line-tap normal"];
    for (name, up_to, measure) in [
        ("singles, weighed", 1, false),
        ("singles, weighed and measured", 1, true),
        ("singles and pairs, weighed", 2, false),
        ("singles and pairs, weighed and measured", 2, true),
    ] {
        let mut times: Vec<(Duration, Duration, Duration)> = (0..5)
            .map(|_| {
                let saw = seen
                    .iter()
                    .flat_map(|text| circuit.sightings(text).unwrap());
                let question = SuspectsQuestion {
                    saw: saw.collect(),
                    up_to,
                    measure,
                    ..SuspectsQuestion::default()
                };
                let start = (Instant::now(), worked());
                let inquiry = Inquiry::new(&net, question);
                let found = worked();
                std::hint::black_box(inquiry.suspects());
                (found - start.1, worked() - start.1, start.0.elapsed())
            })
            .collect();
        times.sort();
        let (found, told, wall) = times[2];
        println!(
            "six-speed, three things seen, {name}: {found:.2?} of processor time to find the suspects, {told:.2?} \
             with those left told apart in every state and on the bench, {wall:.2?} in all (median of 5)"
        );
    }
}

/// Some of them, spread over all.
fn sample<T>(all: Vec<T>, most: usize, seed: u64) -> Vec<T> {
    let mut dice = Dice::new(seed);
    let mut all = all;
    while all.len() > most {
        let drop = dice.below(all.len());
        all.swap_remove(drop);
    }
    all
}

/// The check that is advised next.
fn advice(next: &Next) -> Option<Check> {
    let best = || next.checks.first().map(|best| best.check.clone());
    next.plan.check.clone().or_else(best)
}

/// Where some faults stand. Of two, one that explains everything alone hides the pair, and is a find.
fn rank(inquiry: &Inquiry<'_>, faults: &[Fault]) -> Option<f64> {
    let alone = faults.iter().map(std::slice::from_ref);
    let sets = alone.chain([faults]);
    sets.filter_map(|set| inquiry.rank(set)).reduce(f64::min)
}

struct World<'n> {
    circuit: &'n Circuit,
    net: &'n Net<'n>,
    faults: Vec<Fault>,
    sweeper: Sweeper<'n>,
    glances: Glances<'n>,
    bench: AirBench<'n>,
    /// The checks by air that test something, numbered as on the bench sheet.
    blown: Vec<AirReady>,
    states: Vec<String>,
    taps: Vec<PartName>,
    sound: Vec<SweepSound>,
    cavities: Vec<Cavity>,
    /// What works by pressure, and whether each has its oil in each state of the sound circuit.
    has: Vec<Vec<(PartName, Status, bool)>>,
    /// What each single fault shows, by settling and by flow.
    shown: [Vec<Shown>; 2],
}

/// What shows with some faults, state by state.
struct Shown {
    drives: Vec<String>,
    fares: Vec<Vec<&'static str>>,
    taps: Vec<Vec<Option<Tap>>>,
}

/// What a tap shows.
#[derive(Clone, PartialEq)]
enum Tap {
    Word(&'static str),
    Bar(f64),
}

/// One thing seen in a state.
struct Item {
    state: usize,
    what: What,
}

enum What {
    Drives(String),
    Fares(usize, &'static str),
    Taps(usize, Tap),
}

impl Item {
    /// Whether it is what shows, as far as a gauge can tell.
    fn is(&self, shown: &Shown) -> bool {
        let here = self.state;
        match &self.what {
            What::Drives(drives) => shown.drives[here] == *drives,
            What::Fares(outlet, fares) => shown.fares[here][*outlet] == *fares,
            What::Taps(tap, seen) => match (seen, &shown.taps[here][*tap]) {
                (Tap::Bar(seen), Some(Tap::Bar(own))) => {
                    (seen - own).abs() <= 0.05 * seen.max(*own) + 0.15
                }
                (seen, own) => own.as_ref().is_none_or(|own| own == seen),
            },
        }
    }
}

/// What is true with some faults.
struct Truth {
    faults: Vec<Fault>,
    effects: Vec<Option<SweepState>>,
    glances: Vec<Option<Glance>>,
}

impl<'n> World<'n> {
    fn new(net: &'n Net<'n>) -> Self {
        let circuit = net.circuit();
        let sweeper = Sweeper::new(net, Scenarios::alone(circuit, |_| false), &[]);
        let taps: Vec<PartName> = circuit
            .ids(Kind::Tap)
            .map(|id| PartName::new(Kind::Tap, id))
            .collect();
        let cavities = taps.iter().map(|t| &circuit.taps[&t.id].at);
        let cavities = cavities.chain(circuit.switches.values().map(|s| &s.at));
        let cavities = cavities.map(|at| net.cavity(at).unwrap());
        let has = sweeper.sound().into_iter().map(|s| {
            let outlets = s.outlets.into_iter();
            let felt = |name: &PartName| net.outlet(name).unwrap().by_pressure;
            outlets
                .map(|(name, status)| {
                    let felt = felt(&name);
                    (name, status, felt)
                })
                .collect()
        });
        let bench = AirBench::new(net);
        let tests = |sound: &AirFound| !sound.goes_off() || !sound.strokes.is_empty();
        let blown = bench.setups().iter().map(|setup| bench.ready(setup));
        let blown = blown.filter(|ready| tests(&ready.sound)).collect();
        let mut world = World {
            circuit,
            net,
            faults: circuit.faults(),
            states: sweeper.states(),
            has: has.collect(),
            cavities: cavities.collect(),
            taps,
            sound: sweeper.sound(),
            glances: Glances::new(net, &[], &Default::default()).unwrap(),
            bench,
            blown,
            sweeper,
            shown: Default::default(),
        };
        for (by, depth) in [By::Settle, By::Flow].into_iter().enumerate() {
            let faults = world.faults.iter().map(std::slice::from_ref);
            let shown = faults.map(|fault| world.shown(&world.truth(fault, depth)));
            world.shown[by] = shown.collect();
        }
        world
    }

    fn doubles(&self, count: usize) -> Vec<Vec<Fault>> {
        let mut dice = Dice::new(7);
        let mut found = Vec::new();
        while found.len() < count {
            let one = &self.faults[dice.below(self.faults.len())];
            let other = &self.faults[dice.below(self.faults.len())];
            if one.part != other.part {
                found.push(vec![one.clone(), other.clone()]);
            }
        }
        found
    }

    fn truth(&self, faults: &[Fault], by: By) -> Truth {
        let states = 0..self.states.len();
        Truth {
            faults: faults.to_vec(),
            effects: self.sweeper.of_sets(&[faults.to_vec()]).remove(0),
            glances: match by {
                By::Settle => Vec::new(),
                By::Flow => states
                    .map(|state| self.glances.of(state, faults, &self.cavities))
                    .collect(),
            },
        }
    }

    /// How one outlet fares in a state.
    fn fares(&self, truth: &Truth, state: usize, outlet: usize) -> &'static str {
        let (name, sound, felt) = &self.has[state][outlet];
        let glance = truth.glances.get(state).and_then(Option::as_ref);
        let Some(glance) = glance else {
            let Some(effect) = &truth.effects[state] else {
                return "fine";
            };
            let in_list = |list: &[PartName]| list.contains(name);
            return match () {
                () if in_list(&effect.starved) => "starved",
                () if !effect.will_not_build.is_empty() && *sound == Status::On => "starved",
                () if in_list(&effect.weakened) => "weak",
                () if in_list(&effect.on_when_off) => "on",
                () => "fine",
            };
        };
        let highest = glance.outlets.iter().filter_map(|o| o.sound.pressure_pa);
        let highest = highest.map(|r| r.most).fold(0.0, f64::max);
        let Some(told) = glance.outlets.iter().find(|o| o.outlet == *name) else {
            return "fine";
        };
        match (sound, told.share) {
            (Status::On, Some(share)) if share.most < 0.2 => "starved",
            (Status::On, Some(share)) if share.most < 0.8 => "weak",
            (Status::Off, _) if *felt => match told.now.pressure_pa {
                Some(now) if now.least > 0.2 * highest => "on",
                _ => "fine",
            },
            _ => "fine",
        }
    }

    /// How a state drives, as a driver would say it.
    fn drives(&self, truth: &Truth, state: usize) -> String {
        let felt = (0..self.has[state].len()).filter(|o| self.has[state][*o].2);
        let felt: Vec<(usize, &str)> = felt.map(|o| (o, self.fares(truth, state, o))).collect();
        let was_on = |o: usize| self.has[state][o].1 == Status::On;
        let on = felt.iter().filter(|(o, _)| was_on(*o)).count();
        let lost = felt.iter().filter(|(_, f)| *f == "starved").count();
        let extra = felt.iter().filter(|(_, f)| *f == "on").count();
        let now = |o: usize, f: &str| (was_on(o) && f != "starved") || f == "on";
        let applied: Vec<bool> = felt.iter().map(|(o, f)| now(*o, f)).collect();
        let like = (0..self.states.len()).find(|other| {
            let applies = felt
                .iter()
                .map(|(o, _)| self.has[*other][*o].1 == Status::On);
            *other != state && applied.contains(&true) && applies.eq(applied.iter().copied())
        });
        match like {
            Some(like) if lost + extra > 0 => return format!("works as {}", self.states[like]),
            _ => {}
        }
        match () {
            () if on > 0 && lost == on && extra == 0 => "none",
            () if lost > 0 => "flare",
            () if extra > 0 && on > 0 => "bind",
            () if extra > 0 => "creeps",
            () if felt.iter().any(|(_, f)| *f == "weak") => "slips",
            () => "fine",
        }
        .to_owned()
    }

    /// All that shows.
    fn shown(&self, truth: &Truth) -> Shown {
        let states = 0..self.states.len();
        let outlets = |state: usize| 0..self.has[state].len();
        Shown {
            drives: states.clone().map(|s| self.drives(truth, s)).collect(),
            fares: states
                .clone()
                .map(|s| outlets(s).map(|o| self.fares(truth, s, o)).collect())
                .collect(),
            taps: states
                .map(|s| {
                    let taps = 0..self.taps.len();
                    taps.map(|tap| self.shows(truth, s, tap)).collect()
                })
                .collect(),
        }
    }

    /// What a tap shows.
    fn shows(&self, truth: &Truth, state: usize, tap: usize) -> Option<Tap> {
        if let Some(glance) = truth.glances.get(state).and_then(Option::as_ref) {
            let now = glance.cavities[tap][1]?;
            return Some(Tap::Bar(((now.least + now.most) / 2e5).max(0.0)));
        }
        let Some(effect) = &truth.effects[state] else {
            return Some(Tap::Word("normal"));
        };
        let gauges = &self.sound[state].gauges;
        let own = gauges.iter().find(|(name, ..)| *name == self.taps[tap]);
        let should = own.is_some_and(|(_, _, span)| span.highest > Level::Off);
        if !effect.will_not_build.is_empty() && should {
            return Some(Tap::Word("none"));
        }
        let seen = effect.seen.iter().find(|r| r.at == self.taps[tap]);
        let Some(Reading { sound, now, .. }) = seen else {
            return Some(Tap::Word("normal"));
        };
        match () {
            () if now.highest < sound.lowest && now.highest <= Level::Fill => {
                Some(Tap::Word("none"))
            }
            () if now.highest < sound.lowest => Some(Tap::Word("low")),
            () if now.lowest > sound.highest => Some(Tap::Word("high")),
            () => None,
        }
    }

    /// What is seen with some faults: how two states drive that are not as they should be, one that
    /// is, an outlet found dry where nothing is felt, and two taps there; or how every state drives,
    /// such an outlet, and two taps in every state.
    fn saw(&self, shown: &Shown, look: Look, dice: &mut Dice) -> Vec<Item> {
        let states = 0..self.states.len();
        let (good, bad): (Vec<usize>, Vec<usize>) =
            states.clone().partition(|s| shown.drives[*s] == "fine");
        let one_good = good.get(dice.below(good.len().max(1)));
        let driven: Vec<usize> = match look.whole {
            true => states.collect(),
            false => bad.iter().take(2).chain(one_good).copied().collect(),
        };
        let drives = |state: &usize| Item {
            state: *state,
            what: What::Drives(shown.drives[*state].clone()),
        };
        let mut said: Vec<Item> = driven.iter().map(drives).collect();
        let dry = self.dry(shown).filter(|_| bad.is_empty());
        let at = bad.first().copied().or(dry.as_ref().map(|dry| dry.state));
        said.extend(dry);
        let gauged = match look.whole {
            true => driven,
            false => at.into_iter().collect(),
        };
        let other = match gauged[..] {
            [] => 0,
            _ => 1 + dice.below(self.taps.len().max(2) - 1),
        };
        for state in gauged {
            for tap in [0, other].into_iter().filter(|t| *t < self.taps.len()) {
                let factor = 1.0 + look.readings * (dice.below(2001) as f64 / 1000.0 - 1.0);
                if let Some(shows) = shown.taps[state][tap].clone() {
                    let shows = match shows {
                        Tap::Bar(bar) => Tap::Bar(bar * factor),
                        word => word,
                    };
                    let what = What::Taps(tap, shows);
                    said.push(Item { state, what });
                }
            }
        }
        if look.missing && said.len() > 1 {
            said.remove(dice.below(said.len()));
        }
        said
    }

    /// The first outlet that does not fare as it should, in the first state in which one does not.
    fn dry(&self, shown: &Shown) -> Option<Item> {
        shown.fares.iter().enumerate().find_map(|(state, fares)| {
            let outlet = fares.iter().position(|fares| *fares != "fine")?;
            let what = What::Fares(outlet, fares[outlet]);
            Some(Item { state, what })
        })
    }

    /// Something seen as it would be typed.
    fn sighting(&self, item: &Item) -> Sighting {
        let here = &self.states[item.state];
        let text = match &item.what {
            What::Drives(drives) => format!("{here}: {drives}"),
            What::Fares(outlet, fares) => {
                let name = &self.has[item.state][*outlet].0;
                format!("{here}: {} {fares}", self.circuit.short(name))
            }
            What::Taps(tap, shows) => {
                let tap = self.circuit.short(&self.taps[*tap]);
                match shows {
                    Tap::Word(word) => format!("{here}: {tap} {word}"),
                    Tap::Bar(bar) => format!("{here}: {tap} {bar:.2} bar"),
                }
            }
        };
        self.circuit.sightings(&text).unwrap().remove(0)
    }

    /// Whether the best order by what was seen has a single fault among the first so many: those
    /// that show all of it by their likelihood, ties at mid-rank, suspects of one group as one.
    fn can_be_found(
        &self,
        fault: &Fault,
        by: By,
        seen: &[Item],
        likelihoods: &Likelihoods,
        groups: &[Vec<SuspectSet>],
        top: usize,
    ) -> bool {
        let group = |said: &String| {
            let holds = |set: &SuspectSet| set.faults.len() == 1 && set.faults[0].contains(said);
            groups.iter().position(|sets| sets.iter().any(holds))
        };
        let mut together = vec![0.0; groups.len()];
        let (mut alone, mut own) = (Vec::new(), None);
        for (other, shown) in self.faults.iter().zip(&self.shown[by as usize]) {
            let likelihood = likelihoods.of(other);
            if !seen.iter().all(|item| item.is(shown)) {
                continue;
            }
            let group = group(&self.circuit.say(other));
            match group {
                Some(group) => together[group] += likelihood,
                None => alone.push(likelihood),
            }
            if other == fault {
                own = Some((group, likelihood));
            }
        }
        let Some((group, likelihood)) = own else {
            return false;
        };
        let own = group.map_or(likelihood, |group| together[group]);
        let all = || together.iter().chain(&alone);
        let ties = all().filter(|w| (**w / own - 1.0).abs() < 1e-9).count();
        let before = all().filter(|w| **w > own * (1.0 + 1e-9)).count();
        before as f64 + (ties as f64 + 1.0) / 2.0 <= top as f64
    }

    /// What is seen once the checks that are advised were made, one after the other, three at most:
    /// the plan's, and where it has none, the one that tells most for its effort.
    fn advised(
        &self,
        truth: &Truth,
        question: &SuspectsQuestion,
        first: Option<Check>,
    ) -> Vec<Sighting> {
        let mut saw = question.saw.clone();
        let mut check = first;
        for made in 1..=3 {
            let shown = check.as_ref().and_then(|check| {
                let shown = self.outcome(check, truth)?;
                Some(match &check.state {
                    Some(state) => format!("{state}: {shown}"),
                    None => shown,
                })
            });
            let Some(shown) = shown else { break };
            saw.extend(self.circuit.sightings(&shown).unwrap());
            if made < 3 {
                let question = SuspectsQuestion {
                    saw: saw.clone(),
                    ..question.clone()
                };
                check = advice(&Inquiry::new(self.net, question).next());
            }
        }
        saw
    }

    /// Follows a plan to its end: how many checks were made.
    fn follow(&self, plan: &PlanStep, truth: &Truth, made: usize) -> usize {
        let Some(check) = &plan.check else {
            return made;
        };
        let shown = self.outcome(check, truth);
        let next = plan
            .outcomes
            .iter()
            .find(|o| Some(&o.seen) == shown.as_ref());
        match next {
            Some(outcome) => self.follow(&outcome.next, truth, made + 1),
            // What was not planned leaves what there was before.
            None => made + 1,
        }
    }

    /// What a check shows, as the plan names it.
    fn outcome(&self, check: &Check, truth: &Truth) -> Option<String> {
        if check.on_bench() {
            return self.on_bench(check, truth);
        }
        let state = self
            .states
            .iter()
            .position(|s| Some(s) == check.state.as_ref())?;
        match check.what {
            CheckWord::Air | CheckWord::Vacuum => None,
            CheckWord::Drive => Some(self.drives(truth, state)),
            _ => {
                let at = check.at.as_ref()?;
                if at.kind == Kind::Switch {
                    let closed = self.closed(truth, state, at)?;
                    return Some(format!(
                        "{} {}",
                        at.id,
                        if closed { "closed" } else { "open" }
                    ));
                }
                let tap = self.taps.iter().position(|t| t == at)?;
                let glance = truth.glances.get(state).and_then(Option::as_ref);
                let word = match glance.map(|g| g.cavities[tap]) {
                    Some([Some(sound), Some(now)]) => {
                        let off_by = 0.05 * sound.most.abs() + 0.15e5;
                        match (now.least + now.most) / 2.0 {
                            p if p > sound.most + off_by => "high",
                            p if p >= sound.least - off_by => "normal",
                            p if p < 0.15e5 => "none",
                            _ => "low",
                        }
                        .to_owned()
                    }
                    Some(_) => return None,
                    None => match self.shows(truth, state, tap)? {
                        Tap::Word(word) => word.to_owned(),
                        Tap::Bar(_) => return None,
                    },
                };
                Some(format!("{} {word}", at.id))
            }
        }
    }

    /// What a check on the bench shows: as the block is computed to behave there.
    fn on_bench(&self, check: &Check, truth: &Truth) -> Option<String> {
        let at = check.at.as_ref()?;
        if check.what == CheckWord::Vacuum {
            let worn =
                |f: &Fault| f.part == *at && matches!(f.condition, Condition::WornBetween(_));
            let test = if truth.faults.iter().any(worn) {
                "leaks"
            } else {
                "holds"
            };
            return Some(format!("vacuum: {} {test}", at.id));
        }
        let ready = self.blown.get(check.air.as_ref()?.number - 1)?;
        let signs = self.bench.signs(ready, &truth.faults);
        let any = |is: fn(&AirSign) -> bool| signs.iter().any(is);
        let test = match () {
            () if any(|s| matches!(s, AirSign::Hisses { .. })) => "leaks",
            () if any(|s| matches!(s, AirSign::Dead { .. } | AirSign::Silent { .. })) => "dead",
            () => "holds",
        };
        Some(format!("air: {} {test}", at.id))
    }

    /// Whether a switch is closed.
    fn closed(&self, truth: &Truth, state: usize, at: &PartName) -> Option<bool> {
        let switch = &self.circuit.switches[&at.id];
        let cavity = self.net.cavity(&switch.at)?;
        let glance = truth.glances.get(state).and_then(Option::as_ref);
        if let (Some(glance), Some(closes)) = (glance, switch.closes_at) {
            let place = self.cavities.iter().position(|c| *c == cavity)?;
            let now = glance.cavities[place][1]?;
            return Some((now.least + now.most) / 2.0 >= closes.pa());
        }
        let seen = truth.effects[state]
            .iter()
            .flat_map(|e| &e.seen)
            .find(|r| r.at == *at);
        let sound = || {
            let mut gauges = self.sound[state].gauges.iter();
            let own = gauges.find(|(name, ..)| name == at);
            own.map(|(_, _, span)| *span)
        };
        Reading::closed(seen.map(|r| r.now).or_else(sound)?)
    }

    /// Every fault taken to be as likely as any other.
    fn equal(&self) -> Likelihoods {
        let mut equal = Likelihoods::default();
        for fault in &self.faults {
            equal
                .give(self.circuit, &format!("{}=0.005", self.circuit.say(fault)))
                .unwrap();
        }
        equal
    }

    fn score(
        &self,
        name: &str,
        sets: &[Vec<Fault>],
        look: Look,
        top: usize,
        likelihoods: &Likelihoods,
    ) {
        let start = Instant::now();
        let mut dice = Dice::new(11);
        let up_to = sets.first().map_or(1, Vec::len);
        let (mut asked, mut unseen) = (0, 0);
        let mut ruled_out = Vec::new();
        let mut untried = Vec::new();
        let (mut by_driving, mut by_seen): (Vec<f64>, Vec<f64>) = Default::default();
        let mut tied = 0;
        let mut far = Vec::new();
        let mut ranks: Vec<f64> = Vec::new();
        let (mut weight, mut near) = (0.0, 0.0);
        let mut checks: Vec<usize> = Vec::new();
        let (mut can_be, mut below) = (0, Vec::new());
        let mut after = 0;
        for (i, faults) in sets.iter().enumerate() {
            let by = if i % 2 == 0 { By::Settle } else { By::Flow };
            let truth = self.truth(faults, by);
            let seen = self.saw(&self.shown(&truth), look, &mut dice);
            let question = SuspectsQuestion {
                saw: seen.iter().map(|item| self.sighting(item)).collect(),
                up_to,
                likelihoods: likelihoods.clone(),
                ..SuspectsQuestion::default()
            };
            let said: Vec<String> = question.saw.iter().map(ToString::to_string).collect();
            let inquiry = Inquiry::new(self.net, question.clone());
            if inquiry.is_quiet() {
                unseen += 1;
                continue;
            }
            asked += 1;
            let rank = rank(&inquiry, faults);
            let typed: Vec<String> = faults.iter().map(|f| self.circuit.say(f)).collect();
            let likelihood: f64 = faults
                .iter()
                .map(|f| Likelihoods::default().of(f))
                .product();
            weight += likelihood;
            let next = inquiry.next();
            let listed = rank.is_some_and(|rank| rank <= top as f64);
            if let [fault] = &faults[..] {
                if self.can_be_found(fault, by, &seen, likelihoods, &next.suspects, top) {
                    can_be += 1;
                    if !listed {
                        below.push(format!("{rank:?} {} ({by:?}) by {said:?}", typed[0]));
                    }
                }
                let saw = self.advised(&truth, &question, advice(&next));
                let then = SuspectsQuestion { saw, ..question };
                let then = crate::rank(&Inquiry::new(self.net, then), faults);
                after += usize::from(then.is_some_and(|rank| rank <= top as f64));
            }
            match rank {
                Some(rank) => {
                    if rank <= top as f64 {
                        near += likelihood;
                    } else {
                        let first = next.suspects.first().map(|s| s[0].faults.concat());
                        far.push(format!(
                            "{rank:>5} {} ({by:?}) by {said:?}; first {first:?}",
                            typed.join(" and ")
                        ));
                    }
                    ranks.push(rank);
                }
                None => {
                    let line = format!("{} ({by:?}) by {said:?}", typed.join(" and "));
                    match inquiry.rules_out(faults) {
                        true => ruled_out.push(line),
                        false => untried.push(line),
                    }
                }
            }
            let together = |how: Together| {
                let one_by_one = faults.iter().map(std::slice::from_ref);
                let sets = one_by_one.chain([faults.as_slice()]);
                let places = sets.filter_map(|set| inquiry.rank_together(set, how));
                places.reduce(|a, b| if a.0 <= b.0 { a } else { b })
            };
            by_driving.extend(together(Together::Driven).map(|(place, _)| place));
            if let Some((place, with)) = together(Together::Seen) {
                by_seen.push(place);
                let far = rank.is_none_or(|rank| rank > top as f64);
                tied += usize::from(far && place <= top as f64 && with > top);
            }
            checks.push(self.follow(&next.plan, &truth, 0));
        }
        ranks.sort_by(f64::total_cmp);
        checks.sort_unstable();
        let near_of = |ranks: &[f64]| ranks.iter().filter(|r| **r <= top as f64).count();
        let within = ranks.iter().filter(|r| **r <= top as f64).count();
        let of = |count: usize| 100.0 * count as f64 / asked.max(1) as f64;
        let of_singles = |count: usize| match up_to {
            1 => format!("{:.1} %", of(count)),
            _ => "not asked".to_owned(),
        };
        println!(
            "  {name}: {asked} asked ({unseen} show nothing); top {top}: {:.1} %, weighed by likelihood {:.1} %, \
             taken together where only the bench tells them apart {:.1} %, where nothing seen tells them apart {:.1} % (beyond {top} for that alone {:.1} %), \
             ceiling {}, after three checks at most {}; median rank {:.1}; checks: median {}, most {}; ruled out {}, not tried {}; {:.0?}",
            of(within),
            100.0 * near / weight,
            of(near_of(&by_driving)),
            of(near_of(&by_seen)),
            of(tied),
            of_singles(can_be),
            of_singles(after),
            ranks.get(ranks.len() / 2).copied().unwrap_or_default(),
            checks.get(checks.len() / 2).copied().unwrap_or_default(),
            checks.last().copied().unwrap_or_default(),
            ruled_out.len(),
            untried.len(),
            start.elapsed(),
        );
        if std::env::var_os("VERBOSE").is_some() {
            for line in ruled_out
                .iter()
                .map(|l| format!("ruled out: {l}"))
                .chain(untried.iter().map(|l| format!("not tried: {l}")))
                .chain(below.iter().map(|l| format!("below the ceiling: {l}")))
                .chain(far)
                .take(60)
            {
                println!("    {line}");
            }
        }
    }
}
