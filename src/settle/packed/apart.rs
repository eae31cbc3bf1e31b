//! Movers that never meet: what one of them does never reaches what the other goes by, in many
//! scenes at once.
//!
//! The balance with everything that moves standing anywhere says of which cavities it hangs on that
//! what they hold or what reaches them. What a mover does spreads only over such cavities, from the
//! ends of the ways it opens. Movers that do not meet settle as if each were in a circuit of its
//! own: in whatever order they move, the same end is come to, as long as of those that meet only
//! one moves at a time.

use super::balance_packed;
use crate::circuit::Level;
use crate::net::{
    Cavity, Lanes, Net, NetValve, Pack, PackedStage, Passes, Strength, Sweep, Term, Tide, WayId,
};

/// Of more movers it is not asked which meet.
const MOST: usize = 48;

/// Which movers meet.
#[derive(Clone, Debug)]
pub(super) struct Apart {
    /// By mover and by mover the scenes in which they may meet.
    meet: Vec<Vec<Lanes>>,
}

impl Apart {
    /// Finds out which movers of a stage meet, in each scene.
    pub fn of(stage: &PackedStage<'_>) -> Self {
        let net = stage.net();
        let movers = net.valves().len() + net.shuttles().len();
        let unknown = movers > MOST || stage.may_shift_pressure();
        if unknown {
            return Apart {
                meet: vec![vec![Lanes::ALL; movers]; movers],
            };
        }
        let own = own_ways(net);
        let ground = Ground::of(stage, &own);
        let pack = stage.anywhere(Level::Low, stage.all());
        let spread = own.iter().map(|ways| ground.spread(&pack, ways));
        let spread: Vec<Vec<Lanes>> = spread.collect();
        let mut meet: Vec<Vec<Lanes>> = vec![vec![ground.vague; movers]; movers];
        let mut join = |one: usize, other: usize, lanes: Lanes| {
            meet[one][other] |= lanes;
            meet[other][one] |= lanes;
        };
        for other in 0..movers {
            for cavity in reads(net, other) {
                (0..movers).for_each(|one| join(one, other, spread[one][cavity.number()]));
            }
        }
        // What two have a hand in and nothing else decides hangs on which came first.
        for (at, sealed) in ground.sealed.iter().enumerate().filter(|(_, s)| s.any()) {
            let hands = (0..movers).map(|m| (m, spread[m][at] & *sealed));
            let hands: Vec<(usize, Lanes)> = hands.filter(|(_, lanes)| lanes.any()).collect();
            for (i, (one, lanes)) in hands.iter().enumerate() {
                hands[..i]
                    .iter()
                    .for_each(|(other, own)| join(*one, *other, *lanes & *own));
            }
        }
        // Whoever meets somebody meets all that he meets.
        for between in 0..movers {
            for one in 0..movers {
                for other in 0..movers {
                    let lanes = meet[one][between] & meet[between][other];
                    meet[one][other] |= lanes;
                }
            }
        }
        Apart { meet }
    }

    /// Whether any two of some movers meet in one scene.
    pub fn meet(&self, lane: usize, movers: &[usize]) -> bool {
        let mut pairs = movers.iter().enumerate();
        pairs.any(|(i, one)| {
            let mut others = movers[..i].iter();
            others.any(|other| self.meet[*one][*other].contains(lane))
        })
    }

    /// Scenes in which two movers meet of those that move.
    pub fn crowd(&self, moves: &[Lanes]) -> Lanes {
        let mut crowd = Lanes::NONE;
        for (one, meets) in self.meet.iter().enumerate() {
            for (other, meet) in meets[..one].iter().enumerate() {
                crowd |= *meet & moves[one] & moves[other];
            }
        }
        crowd
    }
}

/// What may change at all while things move.
struct Ground {
    /// For each cavity the scenes in which what it holds, or what reaches it, hangs on where things
    /// stand.
    shifts: Vec<Lanes>,
    /// Scenes in which it may be sealed: what it holds hangs on what was before.
    sealed: Vec<Lanes>,
    /// Scenes in which an open way joins it straight to a source's own cavity or to the sump wherever
    /// some valve stands: nothing narrower has a say in what it holds.
    firm: Vec<Lanes>,
    /// Scenes in which some spool may not always be able to stroke.
    vague: Lanes,
}

impl Ground {
    fn of(stage: &PackedStage<'_>, own: &[Vec<WayId>]) -> Self {
        let net = stage.net();
        let none = vec![Lanes::NONE; net.cavity_count()];
        let mut ground = Ground {
            shifts: none.clone(),
            firm: none.clone(),
            sealed: none,
            vague: Lanes::NONE,
        };
        let mut roots = vec![stage.all(); net.cavity_count()];
        let by_bore = net.meters_by_bore();
        for level in net.levels() {
            let pack = stage.anywhere(*level, stage.all());
            let oil = balance_packed(&pack, None);
            let mut here = vec![Lanes::NONE; net.cavity_count()];
            for (cavity, lanes) in pack.rails().iter().chain(pack.vents()) {
                here[cavity.number()] |= *lanes;
            }
            roots
                .iter_mut()
                .zip(here)
                .for_each(|(roots, here)| *roots &= here);
            for cavity in net.cavities() {
                let at = cavity.number();
                let [fed, drained] = oil.values_at(cavity);
                let open = !(fed | drained | oil.turns.torn(cavity));
                ground.shifts[at] |= oil.turns.varies(cavity) | open;
                ground.sealed[at] |= !oil.turns.settled(cavity);
                // Of two holes bores may say which wins, and those change with every route.
                if by_bore {
                    ground.shifts[at] |= oil.turns.metered(cavity);
                }
            }
            if *level == Level::Low {
                for (number, valve) in net.valves().iter().enumerate() {
                    let ends = valve.ends.iter();
                    let sealed = ends.fold(Lanes::NONE, |any, end| any | !oil.turns.settled(*end));
                    ground.vague |= sealed & !stage.fixed(number);
                }
            }
        }
        for (valve, ways) in net.valves().iter().zip(own) {
            ground.join(stage, valve, ways, &roots);
        }
        ground
    }

    /// Finds what a valve joins straight to some root wherever it stands.
    fn join(&mut self, stage: &PackedStage<'_>, valve: &NetValve, ways: &[WayId], roots: &[Lanes]) {
        let net = stage.net();
        for cavity in ends(net, ways) {
            let mut places = vec![Lanes::NONE; valve.rules.len()];
            for id in ways {
                let way = &net.ways()[id.at()];
                let Some((_, place)) = way.position() else {
                    continue;
                };
                let [a, b] = way.ends;
                let other = if a == cavity { b } else { a };
                let joins = way.ends.contains(&cavity) && way.passes == Passes::Both;
                if joins && way.strength == Strength::Open {
                    places[place] |= roots[other.number()] & stage.spared(*id);
                }
            }
            let everywhere = places.iter().fold(Lanes::ALL, |all, place| all & *place);
            self.firm[cavity.number()] |= everywhere;
        }
    }

    /// The cavities, with the scenes, that what a mover does with its ways may spread over.
    fn spread(&self, pack: &Pack<'_>, ways: &[WayId]) -> Vec<Lanes> {
        let net = pack.net();
        let mut reached = vec![Lanes::NONE; net.cavity_count()];
        let mut sweep = Sweep::new(net, Tide::Supply);
        for end in ends(net, ways) {
            reached[end.number()] = self.shifts[end.number()] & pack.all();
            sweep.push(end);
        }
        while let Some(cavity) = sweep.pop() {
            let here = reached[cavity.number()];
            pack.next_to(cavity, |to, strength, lanes| {
                let at = to.number();
                let weak = Lanes::all_if(strength < Strength::Open);
                let new = here & lanes & self.shifts[at] & !(self.firm[at] & weak) & !reached[at];
                if new.any() {
                    reached[at] |= new;
                    sweep.push(to);
                }
            });
        }
        reached
    }
}

/// The ways that each mover opens and shuts.
fn own_ways(net: &Net<'_>) -> Vec<Vec<WayId>> {
    let valves = net.valves().len();
    let mut own = vec![Vec::new(); valves + net.shuttles().len()];
    for (way, number) in net.ways().iter().zip(0..) {
        let valve = way.position().map(|(valve, _)| valve);
        let mover = valve.or_else(|| way.shuttle().map(|shuttle| valves + shuttle));
        if let Some(mover) = mover {
            own[mover].push(WayId(number));
        }
    }
    own
}

/// The ends of some ways.
fn ends(net: &Net<'_>, ways: &[WayId]) -> Vec<Cavity> {
    let ways = ways.iter().map(|way| &net.ways()[way.at()]);
    let mut ends: Vec<Cavity> = ways.flat_map(|way| way.ends).collect();
    ends.sort_unstable();
    ends.dedup();
    ends
}

/// The cavities whose pressures say where a mover goes.
fn reads(net: &Net<'_>, mover: usize) -> Vec<Cavity> {
    match mover.checked_sub(net.valves().len()) {
        None => {
            let rules = net.valves()[mover].rules.iter().flatten();
            rules.flat_map(Term::cavities).collect()
        }
        Some(shuttle) => net.shuttles()[shuttle].inlets.to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::{Net, PackedFaults, Stage};

    /// Two valves that line moves at once, and one that the first of them moves.
    const VALVES: &str = r#"
        [casting]
        block = { passages = ["line", "one", "two", "three"] }
        [source]
        pump = { feeds = "line" }
        [clearance]
        first-land = { between = ["one", "sump"] }
        second-land = { between = ["two", "sump"] }
        [plate]
        separator = { kind = "separator", separates = [["one", "two"], ["two", "three"]] }
        [valve.first]
        bore = ["line", "line", "one", "sump"]
        rest = { joins = [["one", "sump"]], otherwise = true }
        over = { joins = [["line", "one"]], when = "line" }
        [valve.second]
        bore = ["line", "line", "two", "sump"]
        rest = { joins = [["two", "sump"]], otherwise = true }
        over = { joins = [["line", "two"]], when = "line" }
        [valve.third]
        bore = ["one", "line", "three", "sump"]
        rest = { joins = [["three", "sump"]], otherwise = true }
        over = { joins = [["line", "three"]], when = "one" }
    "#;

    #[test]
    fn valves_meet_where_one_feeds_what_moves_the_other() {
        let circuit = crate::sheet::read(VALVES).unwrap().circuit;
        let net = Net::new(&circuit).unwrap();
        let fault = |text| vec![circuit.fault(text).unwrap()];
        // A leak between the first two changes nothing that an open way decides; a loose plate
        // that runs them together does, and so the second moves the third as well.
        let sets = [
            vec![],
            fault("passage.one:porous=two"),
            fault("separator:loose"),
        ];
        let faults = PackedFaults::new(&net, &sets);
        let stage = PackedStage::new(&Stage::new(&net, &Default::default(), &[]), &faults);
        let apart = Apart::of(&stage);
        let among = |movers: &[usize]| {
            let moves = (0..3).map(|mover| Lanes::all_if(movers.contains(&mover)));
            let crowd = apart.crowd(&moves.collect::<Vec<_>>());
            [0, 1, 2].map(|lane| crowd.contains(lane))
        };
        assert_eq!(among(&[0, 1]), [false, false, true]);
        assert_eq!(among(&[1, 2]), [false, false, true]);
        assert_eq!(among(&[0, 2]), [true, true, true]);
        assert_eq!(among(&[2]), [false, false, false]);
    }
}
