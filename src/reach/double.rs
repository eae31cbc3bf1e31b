//! Pairs of places whose joint loss cuts a cavity off.

use fixedbitset::FixedBitSet;

use crate::circuit::{Kind, PartName};
use crate::net::{Cavity, Passes, SUMP_CAVITY, Scene, WayId};

/// A place that oil passes and that can be lost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Spot {
    /// A cavity: its passage plugged.
    Cavity(Cavity),
    /// A way: shut.
    Way(WayId),
}

impl Spot {
    /// The part it is: the passage, or the part that the way belongs to.
    #[must_use]
    pub fn part(self, scene: &Scene<'_>) -> PartName {
        let net = scene.net();
        match self {
            Spot::Cavity(cavity) => PartName::new(Kind::Passage, net.name(cavity)),
            Spot::Way(way) => net.part(scene.way(way)).clone(),
        }
    }
}

/// The double points of a cavity: pairs of places neither of which it needs alone, and both of
/// which it cannot lose. Each pair and the list are sorted; empty where no supply reaches.
///
/// Sources are no places here, nor is what they draw through: two that feed one cavity stand and
/// fall with it.
///
/// Two streams that share nothing but single points are sent to the cavity, and a pair has one
/// place on each. Whether a pair cuts is read from how far along both streams oil could be
/// rerouted from each place, which one sweep a stream finds for all of them: every smallest cut
/// is a set that rerouting does not leave (J.-C. Picard, M. Queyranne, *On the structure of all
/// minimum cuts in a network and applications*, Math. Programming Study 13, 1980; from memory).
/// So the time grows with the circuit and the number of pairs. Two long runs side by side make as
/// many pairs as the product of their lengths.
///
/// ```
/// use oilpath::{circuit::Level, net::{Held, Net, Stage}, reach, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "upper", "lower", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [port]
///     up = { between = ["line", "upper"] }
///     down = { between = ["line", "lower"] }
///     [orifice]
///     left = { between = ["upper", "lube"] }
///     right = { between = ["lower", "lube"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let stage = Stage::new(&net, &Default::default(), &[]);
/// let scene = stage.scene(&Held::unknown(&net), Level::Low);
/// let pairs = reach::double_points(&scene, net.cavity("lube").unwrap());
/// assert_eq!(pairs.len(), 9); // one of up, upper, left with one of down, lower, right
/// assert_eq!(pairs[0].map(|spot| spot.part(&scene).id), ["upper", "lower"]);
/// ```
#[must_use]
pub fn double_points(scene: &Scene<'_>, cavity: Cavity) -> Vec<[Spot; 2]> {
    let mut streams = Streams::new(scene);
    let target = cavity.0;
    if cavity == SUMP_CAVITY || !streams.send(target) {
        return Vec::new();
    }
    // What the first stream cannot be led around is a single point, open to both.
    let first = streams.lane(0, target);
    let around = streams.furthest(&first);
    for (_, place) in tight(&first, &around) {
        streams.shared.insert(place as usize);
    }
    if !streams.send(target) {
        return Vec::new();
    }
    let lanes = [0, 1].map(|stream| streams.lane(stream, target));
    let around = [0, 1].map(|stream| streams.furthest(&lanes[stream]));
    // Of each place its rank on its own lane and how far it reaches on the other.
    let [left, right] = [0, 1].map(|stream| {
        let tight = tight(&lanes[stream], &around[stream]);
        let with = |(rank, place)| (rank, around[1 - stream][inlet(place)], place);
        tight.map(with).collect::<Vec<_>>()
    });
    let mut pairs = Vec::new();
    for (rank, reaches, place) in left {
        let from = right.partition_point(|(other, _, _)| *other < reaches);
        let with = right[from..]
            .iter()
            .take_while(|(_, back, _)| *back <= rank);
        pairs.extend(with.map(|(_, _, other)| {
            let mut pair = [place, *other].map(|p| streams.spot(p));
            pair.sort_unstable();
            pair
        }));
    }
    pairs.sort_unstable();
    pairs
}

/// The side at which oil enters a place. Places are numbered, first cavities, then ways; the
/// sump's number stands for the supply, since no path to a cavity passes the sump.
fn inlet(place: u32) -> usize {
    2 * place as usize
}

/// The side at which oil leaves a place.
fn outlet(place: u32) -> usize {
    2 * place as usize + 1
}

const SUPPLY: u32 = SUMP_CAVITY.0;

/// Up to two streams from the supply to one cavity. A place that is not shared passes one.
struct Streams<'s> {
    scene: &'s Scene<'s>,
    /// The places that the streams through each place go on to; the supply where there is none.
    onto: Vec<[u32; 2]>,
    shared: FixedBitSet,
}

impl<'s> Streams<'s> {
    fn new(scene: &'s Scene<'s>) -> Self {
        let places = scene.net().cavity_count() + scene.way_count();
        Streams {
            scene,
            onto: vec![[SUPPLY; 2]; places],
            shared: FixedBitSet::with_capacity(places),
        }
    }

    fn way(&self, place: u32) -> Option<WayId> {
        let ways_from = self.scene.net().cavity_count() as u32;
        place.checked_sub(ways_from).map(WayId)
    }

    fn spot(&self, place: u32) -> Spot {
        match self.way(place) {
            Some(way) => Spot::Way(way),
            None => Spot::Cavity(Cavity(place)),
        }
    }

    /// Places from which oil can enter a place.
    fn feeding(&self, place: u32, mut each: impl FnMut(u32)) {
        let scene = self.scene;
        if let Some(id) = self.way(place) {
            let way = scene.way(id);
            let both = way.passes == Passes::Both || scene.setting(id).bared();
            let from = if both { &way.ends[..] } else { &way.ends[..1] };
            from.iter().for_each(|cavity| each(cavity.0));
        } else if place != SUPPLY {
            let cavity = Cavity(place);
            if scene.rails().contains(&cavity) {
                each(SUPPLY);
            }
            let ways_from = scene.net().cavity_count() as u32;
            // No way at the sump is ever met, so none is mistaken for the supply.
            scene
                .inward(cavity)
                .filter(|link| link.to != SUMP_CAVITY)
                .for_each(|link| each(ways_from + link.way.0));
        }
    }

    /// Sides from which a side can be reached in one step by a stream more: along the oil where
    /// there is room, and against a stream, which gives it up there.
    fn before(&self, side: usize, mut each: impl FnMut(usize)) {
        let place = (side / 2) as u32;
        let onto = self.onto[place as usize];
        let full = onto[0] != SUPPLY;
        if side == inlet(place) {
            self.feeding(place, |from| each(outlet(from)));
            if full {
                each(outlet(place));
            }
        } else {
            if !full || self.shared.contains(place as usize) {
                each(inlet(place));
            }
            for next in onto.into_iter().filter(|next| *next != SUPPLY) {
                each(inlet(next));
            }
        }
    }

    /// Sends one more stream to a cavity by the shortest route there is room for. False if there
    /// is none.
    fn send(&mut self, target: u32) -> bool {
        // The next side on the way to the target; 0, which leads nowhere, is not looked at yet.
        let mut after = vec![0u32; 2 * self.onto.len()];
        let end = inlet(target);
        after[end] = end as u32;
        let mut queue = vec![end];
        let mut looked = 0;
        while after[outlet(SUPPLY)] == 0 {
            let Some(side) = queue.get(looked).copied() else {
                return false;
            };
            looked += 1;
            self.before(side, |from| {
                if after[from] == 0 {
                    after[from] = side as u32;
                    queue.push(from);
                }
            });
        }
        let mut at = outlet(SUPPLY);
        while at != end {
            let next = after[at] as usize;
            let [from, to] = [at, next].map(|side| (side / 2) as u32);
            if from != to {
                if at == outlet(from) {
                    let onto = &mut self.onto[from as usize];
                    onto[usize::from(onto[0] != SUPPLY)] = to;
                } else {
                    let onto = &mut self.onto[to as usize];
                    if onto[0] == from {
                        onto.swap(0, 1);
                    }
                    onto[1] = SUPPLY;
                }
            }
            at = next;
        }
        true
    }

    /// The places one stream passes, the target last.
    fn lane(&self, stream: usize, target: u32) -> Vec<u32> {
        let mut lane = Vec::new();
        let mut at = SUPPLY;
        while at != target {
            let onto = self.onto[at as usize];
            at = match onto[stream] {
                // Between shared places a stream is alone.
                SUPPLY => onto[0],
                next => next,
            };
            lane.push(at);
        }
        lane
    }

    /// For every side, the rank of the furthest side of a lane that can be reached from it by a
    /// stream more; 0 for none. The place at index i enters at rank 2i+1 and leaves at 2i+2.
    fn furthest(&self, lane: &[u32]) -> Vec<u32> {
        let mut furthest = vec![0u32; 2 * self.onto.len()];
        let mut stack = Vec::new();
        for (i, place) in lane.iter().enumerate().rev() {
            let i = i as u32;
            for (side, rank) in [(outlet(*place), 2 * i + 2), (inlet(*place), 2 * i + 1)] {
                if furthest[side] == 0 {
                    furthest[side] = rank;
                    stack.push(side);
                }
                while let Some(side) = stack.pop() {
                    self.before(side, |from| {
                        if furthest[from] == 0 {
                            furthest[from] = rank;
                            stack.push(from);
                        }
                    });
                }
            }
        }
        furthest
    }
}

/// The places of a lane that its stream cannot be led around, each after its rank.
fn tight(lane: &[u32], furthest: &[u32]) -> impl Iterator<Item = (u32, u32)> {
    let ranked = lane.iter().enumerate().map(|(i, p)| (2 * i as u32 + 1, *p));
    ranked.filter(|(rank, place)| furthest[inlet(*place)] == *rank)
}
