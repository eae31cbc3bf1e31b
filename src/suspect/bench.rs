//! What checks on the bench are expected to show: air into a hole, vacuum on a bore.

use std::sync::OnceLock;

use crate::answer::{AirBench, AirCheck, AirFound, AirReady, AirSign, LandTest, each};
use crate::circuit::{AirTest, BoreTest, Condition, Fault, Kind, PartName};
use crate::net::{Cavity, Change, Net, Strength};

/// A block on the bench, with every check that it can be given there.
pub(super) struct Bench<'n> {
    net: &'n Net<'n>,
    air: OnceLock<AirBench<'n>>,
    blown: OnceLock<Vec<Blown>>,
    bores: OnceLock<Vec<Bore>>,
}

/// A check by air.
pub(super) struct Blown {
    pub check: AirCheck,
    pub ready: AirReady,
}

impl Blown {
    /// The passage that air goes into.
    pub fn at(&self) -> PartName {
        PartName::new(Kind::Passage, &self.check.cavity)
    }
}

/// A valve's bore, tested land by land.
#[derive(Clone, PartialEq)]
pub(super) struct Bore {
    pub valve: PartName,
    lands: Vec<Land>,
}

#[derive(Clone, PartialEq)]
struct Land {
    pull: Cavity,
    close: Vec<Cavity>,
    spool_in: Option<String>,
}

/// Whoever says that it leaks heard air. Where none comes out that was by mistake, such as a nozzle
/// held askew, which happens as often whatever else is wrong with the block (assumption, no source):
/// a leak heard speaks for nothing that lets no air out.
const MISHEARD: f64 = 0.04;

// Of air: holds, leaks, dead. Round numbers (assumptions, no source): how often what the bench is
// computed to show is heard and felt as such.
const AS_SOUND: [f64; AirTest::ALL.len()] = [0.95, MISHEARD, 0.01];
const HISSES: [f64; AirTest::ALL.len()] = [0.03, 0.9, 0.07];
/// A leak that a running gearbox loses little by may be taken for nothing.
const HISSES_SOFTLY: [f64; AirTest::ALL.len()] = [0.35, 0.64, 0.01];
/// What should stroke does not, and the air is heard going off.
const HISSES_AND_DEAD: [f64; AirTest::ALL.len()] = [0.02, 0.7, 0.28];
const DEAD: [f64; AirTest::ALL.len()] = [0.03, MISHEARD, 0.93];
const WEAK: [f64; AirTest::ALL.len()] = [0.38, MISHEARD, 0.58];
/// A piston strokes that should stay still: air is heard going over to it.
const GOES_OVER: [f64; AirTest::ALL.len()] = [0.35, 0.6, 0.05];
/// A valve moves otherwise, which is felt at times; air does not come out by it.
const CLICKS: [f64; AirTest::ALL.len()] = [0.76, MISHEARD, 0.2];

// Of vacuum: holds, leaks (assumptions, no source).
const TIGHT: [f64; BoreTest::ALL.len()] = [0.95, 0.05];
const WORN: [f64; BoreTest::ALL.len()] = [0.05, 0.95];
/// The spool does not stand where the land is, or stands there by luck.
const ASTRAY: [f64; BoreTest::ALL.len()] = [0.5, 0.5];

impl<'n> Bench<'n> {
    /// Nothing of it is worked out before it is asked for.
    pub fn new(net: &'n Net<'n>) -> Self {
        Bench {
            net,
            air: OnceLock::new(),
            blown: OnceLock::new(),
            bores: OnceLock::new(),
        }
    }

    fn air(&self) -> &AirBench<'n> {
        self.air.get_or_init(|| AirBench::new(self.net))
    }

    /// The checks by air that test something, as the bench sheet has them.
    pub fn blown(&self) -> &[Blown] {
        self.blown.get_or_init(|| {
            let air = self.air();
            let all = each(air.setups(), |setup| {
                let ready = air.ready(setup);
                Blown {
                    check: air.told(setup, ready.sound.clone()),
                    ready,
                }
            });
            let tests = |blown: &Blown| !blown.ready.sound.tests_nothing();
            all.into_iter().filter(tests).collect()
        })
    }

    /// The bores that can be pulled on.
    pub fn bores(&self) -> &[Bore] {
        self.bores.get_or_init(|| {
            let valves = self.net.circuit().valves.keys();
            let bores = valves.map(|id| PartName::new(Kind::Valve, id));
            bores
                .filter_map(|valve| Bore::of(self.net, valve))
                .collect()
        })
    }

    /// The checks by air that a part stands for where someone says what came of it; none where they
    /// tell nothing.
    pub fn meant(&self, part: &PartName) -> Vec<AirReady> {
        self.air().meant(part)
    }

    /// What some faults show in a check by air otherwise than a sound block.
    pub fn signs(&self, ready: &AirReady, faults: &[Fault]) -> Vec<AirSign> {
        self.air().signs(ready, faults)
    }

    /// The chance of each of [`AirTest::ALL`] with some faults.
    pub fn blow(&self, ready: &AirReady, faults: &[Fault]) -> [f64; AirTest::ALL.len()] {
        let Some(found) = self.air().felt_in(ready, faults) else {
            return AS_SOUND;
        };
        let signs = found.signs(&ready.sound);
        if signs.is_empty() {
            return AS_SOUND;
        }
        let any = |is: fn(&AirSign) -> bool| signs.iter().any(is);
        let hisses = any(|sign| matches!(sign, AirSign::Hisses { .. }));
        let dead = any(|sign| matches!(sign, AirSign::Dead { .. } | AirSign::Silent { .. }));
        let weak = any(|sign| matches!(sign, AirSign::Weak { .. }));
        let over = any(|sign| matches!(sign, AirSign::Strokes { .. }));
        match (hisses, dead, weak) {
            (true, true, _) | (true, _, true) => HISSES_AND_DEAD,
            (true, ..) if softly(ready, &found) => HISSES_SOFTLY,
            (true, ..) => HISSES,
            _ if over => GOES_OVER,
            (_, true, _) => DEAD,
            (_, _, true) => WEAK,
            _ => CLICKS,
        }
    }

    /// The chance of each of [`BoreTest::ALL`] with some faults.
    pub fn pull(&self, bore: &Bore, faults: &[Fault]) -> [f64; BoreTest::ALL.len()] {
        let each = faults.iter().map(|fault| self.pulled(bore, fault));
        each.fold(
            TIGHT,
            |worst, own| if own[1] > worst[1] { own } else { worst },
        )
    }

    /// With the castings bare, plates, seals and whatever the other holes lead to are out of it: a
    /// bore is tested by itself and by the passages that are pulled on.
    fn pulled(&self, bore: &Bore, fault: &Fault) -> [f64; BoreTest::ALL.len()] {
        let own = fault.part == bore.valve;
        let stands = |place: &String| {
            let mut asked = bore.lands.iter().filter_map(|land| land.spool_in.as_ref());
            asked.all(|asked| asked == place)
        };
        match (&fault.condition, fault.part.kind) {
            (Condition::StuckIn(place), _) if own && !stands(place) => WORN,
            (Condition::StuckBetween(_) | Condition::Backwards | Condition::PlugOut, _) if own => {
                ASTRAY
            }
            (Condition::WornBetween(_), _) if own => self.leaves(bore, fault),
            (Condition::Cracked | Condition::Porous(_), Kind::Passage) => self.leaves(bore, fault),
            _ => TIGHT,
        }
    }

    /// Whether a fault opens a way out of a passage that is pulled on, which no closed port ends.
    fn leaves(&self, bore: &Bore, fault: &Fault) -> [f64; BoreTest::ALL.len()] {
        let change = Change::of(self.net, std::slice::from_ref(fault));
        let lets_in = |[a, b]: [Cavity; 2]| {
            bore.lands.iter().any(|land| {
                (land.pull == a && !land.close.contains(&b))
                    || (land.pull == b && !land.close.contains(&a))
            })
        };
        match change.joins().any(lets_in) {
            true => WORN,
            false => TIGHT,
        }
    }
}

/// Whether all that is heard besides is no louder than a leak.
fn softly(ready: &AirReady, found: &AirFound) -> bool {
    let sound = &ready.sound.escapes;
    let mut new = found.escapes.iter().filter(|e| !sound.contains(e));
    new.all(|escape| escape.how == Strength::Leak)
}

impl Bore {
    fn of(net: &Net<'_>, valve: PartName) -> Option<Self> {
        let cavity = |text: &String| net.cavity(text);
        let faults = net.circuit().faults_of(&valve);
        let lands = faults.iter().filter_map(|fault| {
            let test = LandTest::of(net, fault)?;
            Some(Land {
                pull: cavity(&test.pull)?,
                close: test.close.iter().filter_map(cavity).collect(),
                spool_in: test.spool_in,
            })
        });
        let lands: Vec<Land> = lands.collect();
        (!lands.is_empty()).then_some(Bore { valve, lands })
    }

    /// The passages that are pulled on.
    pub fn pulled(&self) -> impl Iterator<Item = Cavity> + '_ {
        self.lands.iter().map(|land| land.pull)
    }
}
