//! Air blown in at one place of a block on the bench: what strokes and where it comes out.

use super::body::{Bodies, Opening};
use super::found::{AirEscape, AirFound};
use super::look::Look;
use crate::answer::{Status, each, on};
use crate::circuit::{BallKind, Fault, Kind, PartName, State, Work};
use crate::net::{Cavity, Change, Net, Stage, Strength, WayId};
use crate::settle::{Push, Settled, settle};
use crate::units::Pressure;

/// The least pressure of the air, 30 psi (`common practice, no source`).
pub const LEAST_AIR: Pressure = Pressure::from_pa(30.0 * Pressure::PSI.pa());
/// The highest pressure of the air, 40 psi (`common practice, no source`).
pub const MOST_AIR: Pressure = Pressure::from_pa(40.0 * Pressure::PSI.pa());

/// One check: what is tested, where air goes in and what is closed meanwhile.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AirSetup {
    /// Which castings are tested alone, by number; none is the whole block assembled.
    pub(super) body: Option<usize>,
    /// Where air goes in.
    pub(super) at: Cavity,
    /// The holes it can go in by; of several all but one are closed.
    pub(super) holes: Vec<WayId>,
    /// Where the lever stands, by number in the circuit's list.
    pub(super) lever: Option<usize>,
    /// Whether it would be another check with the lever elsewhere.
    pub(super) hangs_on_lever: bool,
    /// Holes that are closed meanwhile, by number in the body's list.
    pub(super) blocked: Vec<usize>,
}

/// A block on the bench with all checks by air that it can be given.
///
/// No pump works and no solenoid has current; air at one cavity is the only source. Castings that
/// come apart are tested alone, their faces open, the plates that roof their passages bolted on;
/// shafts stay with the casting that their rings run in. Assembled, air goes in at taps, at the
/// holes of pressure switches, and at what no such hole strokes.
///
/// ```
/// use oilpath::{answer::AirBench, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["feed"] }
///     case = { passages = ["apply"] }
///     [source]
///     pump = { feeds = "feed" }
///     [port]
///     drilling = { between = ["feed", "apply"] }
///     [outlet]
///     clutch = { kind = "clutch", at = "apply" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let bench = AirBench::new(&net);
/// let check = bench.setups().iter().find(|s| bench.cavity(s) == "apply").unwrap();
/// let sound = bench.blow(check, &[]);
/// assert_eq!(sound.strokes[0].id, "clutch");
/// assert!(sound.holds());
/// let cracked = circuit.fault("apply:cracked").unwrap();
/// assert!(bench.blow(check, &[cracked]).strokes.is_empty());
/// ```
pub struct AirBench<'n> {
    pub(super) net: &'n Net<'n>,
    pub(super) bodies: Bodies<'n>,
    /// The block as the lever stands, in each of its detents or in none.
    pub(super) levers: Vec<(Option<usize>, Stage<'n>)>,
    /// Ways that air is too weak to open: regulators and sprung balls.
    stiff: Vec<WayId>,
    /// Valves that air is too weak to move, with their places at rest.
    stays: Vec<(usize, u32)>,
    pub(super) setups: Vec<AirSetup>,
}

impl<'n> AirBench<'n> {
    /// Finds every check: each hole in a face of each casting, each tap and pressure switch, and
    /// each clutch or servo that none of these strokes.
    #[must_use]
    pub fn new(net: &'n Net<'n>) -> Self {
        let circuit = net.circuit();
        let detents = (0..circuit.lever.len()).map(Some);
        let detents = detents.chain(circuit.lever.is_empty().then_some(None));
        let levers = detents.map(|detent| {
            let state = State {
                lever: detent.map(|d| circuit.lever[d].clone()),
                ..State::default()
            };
            (detent, Stage::new(net, &state, &[]))
        });
        let too_stiff = |at: Option<Pressure>| at.is_some_and(|at| at.pa() > MOST_AIR.pa());
        let valves = net.valves().iter().enumerate();
        let stays = valves.filter_map(|(i, valve)| {
            let stiff = too_stiff(circuit.valves[i].moves_at);
            stiff.then_some((i, valve.rest?))
        });
        let mut bench = AirBench {
            bodies: Bodies::of(net),
            levers: levers.collect(),
            stiff: stiff(net),
            stays: stays.collect(),
            setups: Vec::new(),
            net,
        };
        bench.setups = bench.find();
        bench
    }

    /// The checks: castings tested alone first, then the whole block.
    #[must_use]
    pub fn setups(&self) -> &[AirSetup] {
        &self.setups
    }

    /// The id of the cavity where air goes in.
    #[must_use]
    pub fn cavity(&self, setup: &AirSetup) -> &'n str {
        self.net.name(setup.at)
    }

    /// The castings tested alone; none where the whole block is tested assembled.
    #[must_use]
    pub fn castings(&self, setup: &AirSetup) -> &[String] {
        setup
            .body
            .map_or(&[], |body| &self.bodies.all[body].castings)
    }

    /// Whether the part of a fault is on the bench in a check.
    #[must_use]
    pub fn has(&self, setup: &AirSetup, fault: &Fault) -> bool {
        self.bodies.has(setup.body, fault)
    }

    /// What air does in a check with some faults; those of parts that are not on the bench do
    /// nothing.
    ///
    /// It settles the block twice at most, so it is cheap enough to be asked of every fault.
    #[must_use]
    pub fn blow(&self, setup: &AirSetup, faults: &[Fault]) -> AirFound {
        let there = faults.iter().filter(|fault| self.has(setup, fault));
        let there: Vec<Fault> = there.cloned().collect();
        // What plugs the passage keeps the air out of it.
        if Change::of(self.net, &there).plugged().contains(&setup.at) {
            return AirFound::default();
        }
        let stage = self.stage(setup, &there);
        self.found(&stage, setup.at).0
    }

    /// The stage of a check before any air is blown in.
    pub(super) fn stage(&self, setup: &AirSetup, faults: &[Fault]) -> Stage<'n> {
        let mut levers = self.levers.iter();
        let lever = levers.find(|(lever, _)| *lever == setup.lever);
        let (_, stage) = lever.unwrap_or(&self.levers[0]);
        let mut apart = self.stiff.clone();
        let mut open = Vec::new();
        if let Some(body) = setup.body {
            apart.extend(&self.bodies.apart);
            let openings = self.bodies.all[body].openings.iter().enumerate();
            let openings = openings.filter(|(i, hole)| {
                let blown = hole.at == setup.at && Some(&hole.way) == setup.holes.first();
                !blown && !setup.blocked.contains(i)
            });
            open.extend(openings.map(|(_, hole)| (hole.at, hole.way, hole.strength)));
        }
        let mut stage = stage.with(faults).on_bench(&apart, &open);
        for (valve, rest) in &self.stays {
            // A broken spring holds nothing back.
            if stage.fixed(*valve).is_none() && stage.spring(*valve).is_none() {
                stage = stage.holding(*valve, *rest);
            }
        }
        stage
    }

    /// What air at a cavity does, and every cavity it gets to.
    pub(super) fn found(&self, stage: &Stage<'n>, at: Cavity) -> (AirFound, Vec<Cavity>) {
        let net = self.net;
        let blown = stage.pinning(at, true);
        let settled = settle(&blown);
        let looks: Vec<Look> = settled.ends.iter().map(|e| Look::of(&blown, e)).collect();
        let mut found = AirFound::default();
        for outlet in net.outlets().iter().filter(|o| o.by_pressure) {
            let supplied = |look: &Look| look.balance.supply(outlet.user.feed());
            let weak = looks.iter().any(|look| supplied(look) == Push::Leak);
            // No air can get there.
            if looks.iter().all(|look| supplied(look) == Push::None) {
                continue;
            }
            // What gets no more than a leak lets by may creep, or not.
            let list = match on::status(&settled, outlet) {
                Status::On if !weak => &mut found.strokes,
                Status::Off => continue,
                _ => &mut found.may_stroke,
            };
            list.push(outlet.name.clone());
        }
        found.clicks = self.clicks(stage, &settled);
        for look in &looks {
            for (by, at, how, sure) in &look.escapes {
                let at = net.name(*at);
                let known = found.escapes.iter_mut();
                let mut known = known.filter(|e| e.by == *by && e.at == at);
                match known.next() {
                    Some(known) => known.how = known.how.max(*how),
                    None => {
                        let everywhere = looks.iter().all(|l| {
                            let mut all = l.escapes.iter();
                            all.any(|e| e.0 == *by && net.name(e.1) == at && e.3)
                        });
                        found.escapes.push(AirEscape {
                            at: at.to_owned(),
                            by: by.clone(),
                            how: *how,
                            surely: *sure && everywhere,
                        });
                    }
                }
            }
        }
        // A nozzle gives no more than an open way lets off: little is left to stroke anything.
        if found.goes_off() {
            found.may_stroke.append(&mut found.strokes);
        }
        let order = |e: &AirEscape| (std::cmp::Reverse(e.how), e.at.clone(), e.by.clone());
        found.escapes.sort_by_cached_key(order);
        let mut wet: Vec<Cavity> = looks.into_iter().flat_map(|look| look.wet).collect();
        wet.sort_unstable();
        wet.dedup();
        (found, wet)
    }

    /// The valves that the air moves.
    fn clicks(&self, stage: &Stage<'n>, blown: &Settled) -> Vec<PartName> {
        if blown.moves.is_empty() && blown.ends.len() == 1 {
            return Vec::new();
        }
        let still = settle(stage);
        let valves = self.net.valves().iter().enumerate();
        let moved = valves.filter(|(i, _)| still.positions(*i) != blown.positions(*i));
        moved.map(|(_, valve)| valve.name.clone()).collect()
    }

    fn find(&self) -> Vec<AirSetup> {
        let net = self.net;
        let mut asked: Vec<(Option<usize>, Cavity, Vec<WayId>)> = Vec::new();
        if self.bodies.all.len() > 1 {
            for (number, body) in self.bodies.all.iter().enumerate() {
                for alike in body.openings.chunk_by(|a, b| a.at == b.at) {
                    let holes = alike.iter().map(|hole| hole.way).collect();
                    asked.push((Some(number), alike[0].at, holes));
                }
            }
        }
        let circuit = net.circuit();
        let taps = circuit.taps.values().map(|tap| &tap.at);
        let switches = circuit.switches.values().map(|switch| &switch.at);
        let mut places: Vec<Cavity> = taps
            .chain(switches)
            .filter_map(|at| net.cavity(at))
            .collect();
        places.sort_unstable();
        places.dedup();
        asked.extend(places.iter().map(|at| (None, *at, Vec::new())));
        let mut setups: Vec<AirSetup> = each(&asked, |(body, at, holes)| {
            self.best(*body, *at, holes.clone())
        });
        // What no hole reaches is still told where it would have to be reached.
        let strokes = each(&setups, |setup| self.blow(setup, &[]).strokes);
        let stroked: Vec<PartName> = strokes.into_iter().flatten().collect();
        let outlets = net.outlets().iter().filter(|o| o.by_pressure);
        for outlet in outlets.filter(|o| !stroked.contains(&o.name)) {
            let at = outlet.user.feed();
            if !setups.iter().any(|s| s.body.is_none() && s.at == at) {
                setups.push(self.best(None, at, Vec::new()));
            }
        }
        setups
    }

    /// Closes one hole after the other until none is left that the air would go off by.
    pub(super) fn close(&self, setup: &mut AirSetup) -> (AirFound, Vec<Cavity>) {
        loop {
            let (found, wet) = self.found(&self.stage(setup, &[]), setup.at);
            let Some(body) = setup.body else {
                return (found, wet);
            };
            let out = |hole: &Opening| {
                let (at, by) = (self.net.name(hole.at), self.bodies.part(hole.way));
                let mut escapes = found.escapes.iter();
                escapes.any(|e| e.at == at && e.by == *by && e.how > Strength::Leak)
            };
            let holes = self.bodies.all[body].openings.iter().enumerate();
            let before = setup.blocked.len();
            let closed = holes.filter(|(_, hole)| out(hole)).map(|(i, _)| i);
            let closed: Vec<usize> = closed.filter(|i| !setup.blocked.contains(i)).collect();
            setup.blocked.extend(closed);
            if setup.blocked.len() == before {
                setup.blocked.sort_unstable();
                return (found, wet);
            }
        }
    }
}

/// Ways that stay shut against air: what regulators spill, and balls whose spring is stiffer.
fn stiff(net: &Net<'_>) -> Vec<WayId> {
    let circuit = net.circuit();
    let stands = |at: Option<Pressure>| at.is_none_or(|at| at.pa() > LEAST_AIR.pa());
    let regulators = circuit
        .regulators
        .iter()
        .filter(|(_, r)| matches!(r.work, Work::Spills(_)) && stands(r.at));
    let regulators = regulators.map(|(id, _)| PartName::new(Kind::Regulator, id));
    let balls = circuit.balls.iter().filter(|(_, ball)| match ball.kind {
        BallKind::OneWay { lifts_at, .. } => lifts_at.is_some() && stands(lifts_at),
        BallKind::Shuttle { .. } => false,
    });
    let balls = balls.map(|(id, _)| PartName::new(Kind::Ball, id));
    regulators
        .chain(balls)
        .flat_map(|part| net.ways_of(&part))
        .collect()
}
