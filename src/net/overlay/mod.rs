//! What each fault of the catalogue does to a net.

mod change;
mod part;

use super::{Cavity, Drive, Net, SUMP_CAVITY, Strength, Way};
use crate::circuit::{BallKind, Condition, Fault, Kind, PartName, SUMP, SealSeat, Work};

/// What a set of faults changes on a net. Every change only adds to a list, and lists of which the
/// order has a say are sorted, so the order of faults cannot matter; where a way is both shut and
/// opened, shut wins: a plugged hole stays plugged.
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
    /// Those of them that no longer keep their cavity down.
    pub raised: Vec<usize>,
    /// Sources that no longer make full pressure, by number in the circuit's table.
    pub weak: Vec<usize>,
    /// Valves held in a position, by number in the circuit's table; of several the last holds one.
    pub stuck: Vec<(usize, u32)>,
    /// Valves whose spring no longer does its work, each once.
    pub springs: Vec<(usize, Spring)>,
    /// How faults drive solenoids, by number in the circuit's table; of several the last has its way.
    pub drives: Vec<(usize, Drive)>,
    /// Solenoids that get each other's current, one pair after another.
    pub swapped: Vec<[usize; 2]>,
    /// Accumulators that no longer take up oil, each with the cavity it should fill from.
    pub jammed: Vec<(PartName, Cavity)>,
}

/// What is wrong with a valve's spring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
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
            raised: Vec::new(),
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
        // A spring that is another valve's and broken besides pushes nothing back.
        overlay.springs.sort_unstable();
        overlay.springs.dedup_by_key(|(valve, _)| *valve);
        // What sticks on needs no current.
        overlay
            .drives
            .sort_by_key(|(at, drive)| (*at, *drive == Drive::On));
        overlay
            .swapped
            .iter_mut()
            .for_each(|pair| pair.sort_unstable());
        overlay.swapped.sort_unstable();
        overlay.swapped.dedup();
        for list in [&mut overlay.failed, &mut overlay.raised, &mut overlay.weak] {
            list.sort_unstable();
            list.dedup();
        }
        overlay.plugged.sort_unstable();
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
                match &regulator.work {
                    Work::Spills(to) => {
                        for cavity in to {
                            self.join(part, [&regulator.holds, cavity], Strength::Open);
                        }
                    }
                    Work::Reduces(_) => self.raised.extend(circuit.regulators.get_index_of(id)),
                }
            }
            (Kind::Regulator, Condition::StuckShut) => {
                let number = circuit.regulators.get_index_of(id);
                self.failed.extend(number);
                if let Work::Spills(_) = circuit.regulators[id].work {
                    self.raised.extend(number);
                }
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
}
