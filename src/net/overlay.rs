//! What each fault of the catalogue does to a net.

use super::{Cavity, Drive, Gate, Net, Passes, SUMP_CAVITY, Strength, Way, WayId};
use crate::circuit::{BallKind, Condition, Fault, Kind, PartName, SUMP, SealSeat, Work};
use crate::units::Length;

/// What a set of faults changes on a net. Every change only adds to a list, so order cannot
/// matter; where a way is both shut and opened, shut wins: a plugged hole stays plugged.
#[derive(Clone, Debug)]
pub(super) struct Overlay<'n> {
    net: &'n Net<'n>,
    /// Ways the faults add.
    pub added: Vec<Way>,
    /// Cavities nothing passes.
    pub plugged: Vec<Cavity>,
    /// Ways nothing passes, by number, each at least once.
    pub shut: Vec<usize>,
    /// Ways wide open in both directions, whatever they were.
    pub bared: Vec<usize>,
    /// Ways that may be open or shut.
    pub doubtful: Vec<usize>,
    /// Ways that are shut in the place their valve is taken to stand in, and may be open.
    pub maybe_open: Vec<usize>,
    /// Regulators that no longer hold, by number in the circuit's table.
    pub failed: Vec<usize>,
    /// Sources that no longer make full pressure, by number in the circuit's table.
    pub weak: Vec<usize>,
    /// Valves held in a position, by number in the circuit's table.
    pub stuck: Vec<(usize, u32)>,
    /// Valves whose spring no longer does its work.
    pub springs: Vec<(usize, Spring)>,
    /// How faults drive solenoids, by number in the circuit's table.
    pub drives: Vec<(usize, Drive)>,
    /// Solenoids that get each other's current.
    pub swapped: Vec<[usize; 2]>,
    /// Accumulators that no longer take up oil, each with the cavity it should fill from.
    pub jammed: Vec<(PartName, Cavity)>,
}

/// What is wrong with a valve's spring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spring {
    /// It no longer returns the spool: with nothing pushing, it may stand anywhere.
    Broken,
    /// It is another valve's: what should push the spool over may not.
    Wrong,
}

impl<'n> Overlay<'n> {
    /// What some faults change.
    pub fn of(net: &'n Net<'n>, faults: &[Fault]) -> Self {
        let mut overlay = Overlay {
            net,
            added: Vec::new(),
            plugged: Vec::new(),
            shut: Vec::new(),
            bared: Vec::new(),
            doubtful: Vec::new(),
            maybe_open: Vec::new(),
            failed: Vec::new(),
            weak: Vec::new(),
            stuck: Vec::new(),
            springs: Vec::new(),
            drives: Vec::new(),
            swapped: Vec::new(),
            jammed: Vec::new(),
        };
        for fault in faults {
            overlay.take(fault);
        }
        overlay.plug();
        overlay.draw_air();
        overlay.bared.sort_unstable();
        overlay.bared.dedup();
        overlay.added.sort_by_key(|w| (w.ends, w.strength, w.part));
        overlay.added.dedup();
        overlay.stuck.sort_unstable();
        overlay.jammed.sort_unstable();
        overlay
    }

    fn take(&mut self, fault: &Fault) {
        let circuit = self.net.circuit();
        let part = &fault.part;
        let id = part.id.as_str();
        match (part.kind, &fault.condition) {
            (Kind::Passage, Condition::Plugged) => {
                if let Some(cavity) = self.net.cavity(id) {
                    self.plugged.push(cavity);
                }
            }
            (Kind::Passage, Condition::Cracked) => self.vent(part, id, Strength::Open),
            (Kind::Passage, Condition::Porous(to)) => self.join(part, [id, to], Strength::Leak),
            (Kind::Plate, Condition::Loose) => self.loosen(part),
            (Kind::Plate, Condition::LeftOut) => self.leave_plate_out(part),
            (Kind::Plate, Condition::Leaking([a, b])) => self.join(part, [a, b], Strength::Leak),
            (_, Condition::Plugged | Condition::StuckSeated | Condition::Blocked) => {
                self.each_way(part, |overlay, way| overlay.shut.push(way));
            }
            (Kind::Orifice, Condition::Oversize)
            | (Kind::Ball, Condition::LeftOut | Condition::StuckOff) => {
                self.each_way(part, |overlay, way| overlay.bared.push(way));
            }
            (Kind::Ball, Condition::Worn) => match &circuit.balls[id].kind {
                BallKind::OneWay { from, to, .. } => self.join(part, [from, to], Strength::Leak),
                BallKind::Shuttle { inlets, outlet } => {
                    for inlet in inlets {
                        self.join(part, [inlet, outlet], Strength::Leak);
                    }
                }
            },
            (Kind::Seal, condition) => {
                let strength = match condition {
                    Condition::Worn => Strength::Leak,
                    _ => Strength::Open,
                };
                match &circuit.seals[id].seat {
                    SealSeat::Between([a, b]) => self.join(part, [a, b], strength),
                    SealSeat::On(way) => self.open_joint(part, way, strength),
                }
            }
            (Kind::Valve, Condition::WornBetween([a, b])) => {
                self.join(part, [a, b], Strength::Leak);
            }
            (Kind::Regulator, Condition::StuckOpen) => {
                self.failed.extend(circuit.regulators.get_index_of(id));
                let regulator = &circuit.regulators[id];
                if let Work::Spills(to) = &regulator.work {
                    for cavity in to {
                        self.join(part, [&regulator.holds, cavity], Strength::Open);
                    }
                }
            }
            (Kind::Regulator, Condition::StuckShut) => {
                self.failed.extend(circuit.regulators.get_index_of(id));
                self.each_way(part, |overlay, way| overlay.shut.push(way));
            }
            (Kind::Relief, Condition::StuckOpen) => {
                let relief = &circuit.reliefs[id];
                let to = relief.to.as_deref().unwrap_or(SUMP);
                self.join(part, [&relief.on, to], Strength::Open);
            }
            (Kind::Accumulator, Condition::Worn) => self.empty_accumulator(part, Strength::Leak),
            (Kind::Accumulator, Condition::Cut) => self.empty_accumulator(part, Strength::Open),
            (Kind::Valve, Condition::StuckIn(position)) => {
                if let Some((valve, _, body)) = circuit.valves.get_full(id) {
                    let position = body.positions.get_index_of(position);
                    self.stuck.extend(position.map(|p| (valve, p as u32)));
                }
            }
            (Kind::Valve, Condition::StuckBetween(places)) => self.stick_between(part, places),
            // Its lands lie where nobody meant them to: any port may be open or shut.
            (Kind::Valve, Condition::Backwards) => {
                self.each_way(part, |overlay, way| overlay.doubtful.push(way));
            }
            (Kind::Valve, Condition::SpringBroken) => self.spoil_spring(id, Spring::Broken),
            (Kind::Valve, Condition::SpringSwapped(other)) => {
                self.spoil_spring(id, Spring::Wrong);
                self.spoil_spring(other, Spring::Wrong);
            }
            // The far end of the bore gapes, and what the plug held in falls out.
            (Kind::Valve, Condition::PlugOut | Condition::ClipOut) => {
                let valve = &circuit.valves[id];
                if let Some(end) = valve.bore.last() {
                    self.vent(part, end, Strength::Open);
                }
                if valve.spring.is_some() && valve.spring == valve.bore.last().cloned() {
                    self.spoil_spring(id, Spring::Broken);
                }
            }
            (Kind::Valve, Condition::VentPlugged) => {
                let spring = circuit.valves[id].spring.as_ref();
                if let Some(pocket) = spring.and_then(|end| self.net.cavity(end)) {
                    self.shut_in(pocket);
                }
            }
            (Kind::Solenoid, Condition::StuckOn | Condition::StuckOff | Condition::NoCurrent) => {
                let drive = match fault.condition {
                    Condition::StuckOn => Drive::On,
                    _ => Drive::Off,
                };
                let solenoid = circuit.solenoids.get_index_of(id);
                self.drives.extend(solenoid.map(|s| (s, drive)));
            }
            (Kind::Solenoid, Condition::Swapped(other)) => {
                let both = [id, other].map(|s| circuit.solenoids.get_index_of(s));
                if let [Some(a), Some(b)] = both {
                    self.swapped.push([a, b]);
                }
            }
            (Kind::Solenoid, Condition::SeatLeaking) => {
                for way in self.net.ways_of(part) {
                    let ends = self.net.ways[way.at()].ends;
                    self.add(part, ends, Strength::Leak, None);
                }
            }
            (Kind::Solenoid, Condition::SealCut) => {
                for way in self.net.ways_of(part) {
                    for end in self.net.ways[way.at()].ends {
                        self.add(part, [end, SUMP_CAVITY], Strength::Open, None);
                    }
                }
            }
            (Kind::Plate, Condition::Wrong(holes)) => {
                for hole in holes {
                    let kinds = &[Kind::Port, Kind::Orifice, Kind::Ball];
                    if let Ok(name) = circuit.find(hole, kinds) {
                        self.each_way(&name, |overlay, way| overlay.shut.push(way));
                    }
                }
            }
            // Its own pocket is empty; where it lies now it may or may not stop the oil.
            (Kind::Ball, Condition::Misplaced(other)) => {
                self.each_way(part, |overlay, way| overlay.bared.push(way));
                if let Ok(name) = circuit.find(other, &[Kind::Port, Kind::Orifice]) {
                    self.each_way(&name, |overlay, way| overlay.doubtful.push(way));
                }
            }
            (Kind::Clearance, Condition::Worn) => {
                for way in self.net.ways_of(part) {
                    let ends = self.net.ways[way.at()].ends;
                    self.add(part, ends, Strength::Metered, None);
                }
            }
            (Kind::Source, Condition::Worn | Condition::AirLeak | Condition::OilLow) => {
                self.weak.extend(circuit.sources.get_index_of(id));
            }
            (Kind::Tap, Condition::LeftOut) => {
                self.vent(part, &circuit.taps[id].at, Strength::Open);
            }
            (Kind::Accumulator, Condition::Jammed | Condition::SpringBroken) => {
                if let Some(at) = self.net.cavity(&circuit.accumulators[id].at) {
                    self.jammed.push((part.clone(), at));
                }
            }
            _ => {}
        }
    }

    /// A pump whose inlet has a hole draws air with its oil.
    fn draw_air(&mut self) {
        for (i, source) in self.net.sources.iter().enumerate() {
            let holed = |way: &Way| way.ends.contains(&source.draws);
            if source.draws != SUMP_CAVITY && self.added.iter().any(holed) {
                self.weak.push(i);
            }
        }
    }

    /// Shuts every way at a plugged cavity, those of other faults included. Once all are in.
    fn plug(&mut self) {
        for cavity in self.plugged.clone() {
            self.shut_in(cavity);
            self.added.retain(|way| !way.ends.contains(&cavity));
        }
    }

    fn each_way(&mut self, part: &PartName, change: impl Fn(&mut Self, usize)) {
        for way in self.net.ways_of(part) {
            change(self, way.at());
        }
    }

    /// Adds a way between two cavities, blamed on a part.
    fn join(&mut self, part: &PartName, ends: [&str; 2], strength: Strength) {
        let ends = ends.map(|id| self.net.cavity(id).unwrap_or(SUMP_CAVITY));
        self.add(part, ends, strength, None);
    }

    fn vent(&mut self, part: &PartName, cavity: &str, strength: Strength) {
        self.join(part, [cavity, SUMP], strength);
    }

    fn add(
        &mut self,
        part: &PartName,
        mut ends: [Cavity; 2],
        strength: Strength,
        bore: Option<Length>,
    ) {
        ends.sort_unstable();
        if ends[0] != ends[1] {
            self.added.push(Way {
                ends,
                passes: Passes::Both,
                strength,
                bore,
                part: self.net.number_of(part),
                gate: Gate::Always,
            });
        }
    }

    fn empty_accumulator(&mut self, part: &PartName, strength: Strength) {
        let accumulator = &self.net.circuit().accumulators[&part.id];
        let back = accumulator.back.as_deref().unwrap_or(SUMP);
        self.join(part, [&accumulator.at, back], strength);
    }

    /// Between two places a spool opens what both open, and may open what only one does.
    fn stick_between(&mut self, part: &PartName, places: &[String; 2]) {
        let circuit = self.net.circuit();
        let Some((number, _, valve)) = circuit.valves.get_full(&part.id) else {
            return;
        };
        let places = places.each_ref().map(|p| valve.positions.get_index_of(p));
        let [Some(one), Some(other)] = places else {
            return;
        };
        // It stands in one; the ways of the other come on top, and the ways of only one are in
        // doubt.
        self.stuck.push((number, one as u32));
        let net = self.net;
        let of = |place: usize| -> Vec<WayId> {
            let ways = net.ways_of(part);
            let stands = Some((number, place));
            ways.filter(|way| net.ways[way.at()].position() == stands)
                .collect()
        };
        let same = |a: WayId, b: WayId| {
            let [a, b] = [a, b].map(|way| &net.ways[way.at()]);
            let mut ends = [a.ends, b.ends];
            ends.iter_mut().for_each(|e| e.sort_unstable());
            ends[0] == ends[1] && a.strength == b.strength
        };
        let (here, there) = (of(one), of(other));
        let doubtful = here.iter().filter(|a| !there.iter().any(|b| same(**a, *b)));
        let doubtful: Vec<usize> = doubtful.map(|way| way.at()).collect();
        let maybe = there.iter().filter(|a| !here.iter().any(|b| same(**a, *b)));
        let maybe: Vec<usize> = maybe.map(|way| way.at()).collect();
        self.doubtful.extend(doubtful);
        self.maybe_open.extend(maybe);
    }

    fn spoil_spring(&mut self, valve: &str, spring: Spring) {
        let valve = self.net.circuit().valves.get_index_of(valve);
        self.springs.extend(valve.map(|v| (v, spring)));
    }

    /// Shuts every way at a cavity but leaves the cavity itself.
    fn shut_in(&mut self, cavity: Cavity) {
        for arcs in [&self.net.onward, &self.net.inward] {
            let ways = arcs.at(cavity).iter().map(|arc| arc.way().at());
            self.shut.extend(ways);
        }
    }

    /// What a plate roofs opens to the sump; what it separates runs together.
    fn loosen(&mut self, part: &PartName) {
        let plate = &self.net.circuit().plates[&part.id];
        for cavity in &plate.roofs {
            self.vent(part, cavity, Strength::Open);
        }
        for run in &plate.separates {
            for pair in run.windows(2) {
                self.join(part, [&pair[0], &pair[1]], Strength::Open);
            }
        }
    }

    fn leave_plate_out(&mut self, part: &PartName) {
        self.loosen(part);
        let circuit = self.net.circuit();
        let cover = circuit.plates[&part.id].kind.is_cover();
        for (name, hole_at) in self.net.lying_on(part) {
            if !cover {
                self.each_way(name, |overlay, way| overlay.bared.push(way));
                continue;
            }
            for way in self.net.ways_of(name) {
                self.shut.push(way.at());
                let way = self.net.ways[way.at()].clone();
                for end in way.ends {
                    let own_hole = hole_at.iter().any(|c| self.net.cavity(c) == Some(end));
                    let (strength, bore) = if own_hole {
                        (way.strength, way.bore)
                    } else {
                        (Strength::Open, None)
                    };
                    self.add(part, [end, SUMP_CAVITY], strength, bore);
                }
            }
        }
    }

    /// Opens the joint that a seal keeps tight on a way: both its ends run to the sump there.
    fn open_joint(&mut self, part: &PartName, way: &str, strength: Strength) {
        let Ok(name) = self.net.circuit().find(way, &Kind::WAYS) else {
            return;
        };
        for way in self.net.ways_of(&name) {
            for end in self.net.ways[way.at()].ends {
                self.add(part, [end, SUMP_CAVITY], strength, None);
            }
        }
    }
}
