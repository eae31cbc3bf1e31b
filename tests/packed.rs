//! Many scenes in one pass give what each gives alone.

#[path = "support/layered.rs"]
mod layered;
mod support;

use std::cell::Cell;
use std::ops::Add;
use std::path::{Path, PathBuf};

use layered::Ways;
use oilpath::answer::{Reason, Scenarios, SweepRecord, Sweeper, starve};
use oilpath::circuit::{Circuit, Fault, Level, State};
use oilpath::net::{LANES, Net, PackedFaults, PackedStage, Stage};
use oilpath::reach;
use oilpath::settle::{PackedSettle, balance, balance_packed, settle, settle_packed};
use oilpath::sheet;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use support::files::circuit_files;
use support::moving::moving;
use support::{net, read, sketches};

/// Compares packed and single in one state with everything standing as in the sound circuit; says
/// how many values were compared.
fn compare(net: &Net<'_>, state: &State, level: Level, faults: &[Vec<Fault>]) -> usize {
    let stage = Stage::new(net, state, &[]);
    let held = settle(&stage).held().clone();
    let mut compared = 0;
    for faults in faults.chunks(LANES) {
        let packed = PackedFaults::new(net, faults);
        let packed = PackedStage::new(&stage, &packed);
        let pack = packed.scene(&packed.fix(&held), level, packed.all());
        let (fed, oil) = (reach::supplied_packed(&pack), balance_packed(&pack, None));
        for (lane, faults) in faults.iter().enumerate() {
            let own = stage.with(faults);
            let scene = own.scene(&own.fix(held.clone()), level);
            let alone = reach::supplied(&scene);
            let single = balance(&scene, None);
            for cavity in net.cavities() {
                let name = net.name(cavity);
                let packed = fed.at(cavity).contains(lane);
                assert_eq!(packed, reach::has(&alone, cavity), "{name} {faults:?}");
                let value = oil.value(lane, cavity);
                assert_eq!(value, single.value(cavity), "{name} {faults:?}");
                compared += 1;
            }
        }
    }
    compared
}

fn singles(circuit: &Circuit) -> Vec<Vec<Fault>> {
    circuit.faults().into_iter().map(|f| vec![f]).collect()
}

fn open(path: &str) -> Circuit {
    sheet::open(Path::new(path)).unwrap().circuit
}

#[test]
fn every_single_fault_of_the_tractor_in_every_state() {
    let circuit = open("circuits/tractor-powershift.toml");
    let net = net(&circuit);
    let faults = singles(&circuit);
    assert!(faults.len() > 250, "{}", faults.len());
    for state in circuit.states.values() {
        assert!(compare(&net, state, Level::Low, &faults) >= faults.len() * 36);
    }
}

#[test]
fn pairs_of_faults_of_the_tractor() {
    let circuit = open("circuits/tractor-powershift.toml");
    let net = net(&circuit);
    let pairs = pairs(&circuit, 1500);
    let state = &circuit.states["forward-high-pto"];
    assert!(compare(&net, state, Level::Full, &pairs) > 40_000);
}

/// Pairs of faults from all over a circuit.
fn pairs(circuit: &Circuit, count: usize) -> Vec<Vec<Fault>> {
    let all = circuit.faults();
    let pick = |i: usize| all[i % all.len()].clone();
    (0..count)
        .map(|i| vec![pick(i * 7), pick(i * 31)])
        .collect()
}

/// How many scenes were settled, how many of them had to go alone and how many were quiet.
#[derive(Clone, Copy, Debug, Default)]
struct Count {
    scenes: usize,
    alone: usize,
    quiet: usize,
    /// Of those compared the ones in which something moved after something else had.
    long: usize,
}

impl Add for Count {
    type Output = Count;

    fn add(self, other: Count) -> Count {
        Count {
            scenes: self.scenes + other.scenes,
            alone: self.alone + other.alone,
            quiet: self.quiet + other.quiet,
            long: self.long + other.long,
        }
    }
}

/// Settles sets of faults side by side, after the sound circuit; says how many one pass left.
fn side_by_side(
    stage: &Stage<'_>,
    faults: &[Vec<Fault>],
    mut ask: impl FnMut(&[Vec<Fault>], &PackedSettle<'_>),
) -> usize {
    let mut left = 0;
    for faults in faults.chunks(LANES - 1) {
        let sets = [&[Vec::new()], faults].concat();
        let packed = PackedFaults::new(stage.net(), &sets);
        let packed = PackedStage::new(stage, &packed);
        let mut settled = settle_packed(&packed);
        left += settled.alone().count();
        settled.settle_left(&sets);
        ask(&sets, &settled);
    }
    left
}

/// Every `stride`th scene settles alone as it does side by side; returns what went how.
fn settles_alike(stage: &Stage<'_>, faults: &[Vec<Fault>], stride: usize) -> Count {
    let net = stage.net();
    let mut count = Count::default();
    count.alone = side_by_side(stage, faults, |sets, packed| {
        count.scenes += sets.len();
        count.quiet += packed.quiet().count();
        for (lane, faults) in sets.iter().enumerate().step_by(stride) {
            let now = packed.settled(lane).unwrap();
            let alone = settle(&stage.with(faults));
            assert_eq!(now.ends, alone.ends, "{faults:?}");
            assert_eq!(now.course, alone.course, "{faults:?}");
            assert_eq!(now.rounds, alone.rounds, "{faults:?}");
            assert_eq!(now.moves, alone.moves, "{faults:?}");
            count.long += usize::from(now.moves.iter().any(|m| m.round > 1));
            for (level, cavity) in net
                .levels()
                .iter()
                .flat_map(|l| net.cavities().map(|c| (*l, c)))
            {
                let value = packed.at_least(lane, level, cavity);
                assert_eq!(value, Some(alone.at_least(level, cavity)));
            }
        }
    });
    count
}

/// Every `stride`th quiet scene has the verdicts of the sound circuit.
fn quiet_is_sound(
    net: &Net<'_>,
    (id, state): (Option<&str>, &State),
    faults: &[Vec<Fault>],
    stride: usize,
) -> usize {
    let mut asked = 0;
    let mut sound = starve(net, &[], id).states.remove(0);
    let stage = Stage::new(net, state, &[]);
    side_by_side(&stage, faults, |sets, packed| {
        for lane in packed.quiet().iter().step_by(stride) {
            let faults = &sets[lane];
            let mut now = starve(net, faults, id).states.remove(0);
            // Why an outlet is undecided may be told by another way.
            for outlet in now.outlets.iter_mut().chain(&mut sound.outlets) {
                outlet.reason = None;
            }
            assert_eq!(now, sound, "{faults:?}");
            asked += 1;
        }
    });
    asked
}

fn demos() -> Vec<PathBuf> {
    let found = circuit_files("circuits");
    assert!(found.len() >= 10, "{found:?}");
    found
}

fn states(circuit: &Circuit) -> Vec<(Option<&str>, State)> {
    let all = circuit.states.iter();
    let mut states: Vec<_> = all.map(|(id, s)| (Some(id.as_str()), s.clone())).collect();
    if states.is_empty() {
        states.push((None, State::default()));
    }
    states
}

#[test]
fn demo_circuits_settle_side_by_side_as_alone() {
    for path in demos() {
        let circuit = open(path.to_str().unwrap());
        let net = net(&circuit);
        let (faults, pairs) = (singles(&circuit), pairs(&circuit, 200));
        // Settling thousands of scenes of the large ones alone takes long.
        let stride = (faults.len() / 60).max(1);
        let (mut single, mut double) = (Count::default(), Count::default());
        for (i, (_, state)) in states(&circuit).iter().enumerate() {
            // Another share in every state.
            let faults: Vec<_> = faults.iter().skip(i % stride).cloned().collect();
            let stage = Stage::new(&net, state, &[]);
            single = single + settles_alike(&stage, &faults, stride);
            double = double + settles_alike(&stage, &pairs, stride);
        }
        println!("{}: {single:?}, pairs {double:?}", path.display());
        // Those left over have something that may go to several places, or moves that may have to be
        // made in some order.
        assert!(single.alone * 2 < single.scenes, "{path:?} {single:?}");
        assert!(double.alone * 3 < double.scenes * 2, "{path:?} {double:?}");
    }
}

#[test]
fn quiet_scenes_of_demo_circuits_have_the_verdicts_of_the_sound_one() {
    for path in demos() {
        let circuit = open(path.to_str().unwrap());
        let net = net(&circuit);
        let faults = singles(&circuit);
        let stride = (faults.len() / 30).max(1);
        let mut asked = 0;
        for (id, state) in states(&circuit) {
            asked += quiet_is_sound(&net, (id, &state), &faults, stride);
        }
        println!("{}: {asked} quiet scenes asked", path.display());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn single_and_double_faults_of_sketches(sketch in sketches(9, 2), at in any::<prop::sample::Index>()) {
        let circuit = sketch.circuit(None);
        let net = net(&circuit);
        let state = &circuit.states["s"];
        let mut faults = singles(&circuit);
        let second = faults[at.index(faults.len())][0].clone();
        let pairs: Vec<Vec<Fault>> = faults.iter().map(|f| vec![f[0].clone(), second.clone()]).collect();
        faults.push(Vec::new());
        faults.extend(pairs);
        compare(&net, state, Level::Low, &faults);
    }
}

#[test]
fn generated_circuits_settle_side_by_side_as_alone() {
    let count = Cell::new(Count::default());
    let mut runner = TestRunner::new(ProptestConfig::with_cases(1000));
    let any_fault = any::<prop::sample::Index>();
    let ran = runner.run(&(moving(8), any_fault), |(moving, at)| {
        let circuit = read(&moving.text());
        let net = net(&circuit);
        let faults = singles(&circuit);
        // A share of the faults, other ones every time, alone and with a second one.
        let from = at.index(faults.len());
        let some = |i: usize| faults[(from + i * 5) % faults.len()].clone();
        let mut sets: Vec<Vec<Fault>> = (0..8).map(some).collect();
        sets.extend((0..4).map(|i| [some(i), some(i + 9)].concat()));
        for state in circuit.states.values() {
            let stage = Stage::new(&net, state, &[]);
            count.set(count.get() + settles_alike(&stage, &sets, 1));
            settles_alike(&stage.standing(), &sets, 1);
        }
        Ok(())
    });
    if let Err(failure) = ran {
        panic!("{failure}");
    }
    let count = count.get();
    println!("generated: {count:?}");
    // Most are decided, and not because nothing moves.
    assert!(count.alone * 5 < count.scenes * 3, "{count:?}");
    assert!(count.long * 50 > count.scenes, "{count:?}");
}

/// Valves that may not be able to stroke until others have moved: found among generated circuits. Of
/// five ends one was lost where such a spool was taken to have to do with fewer others.
const HELD_BY_OTHERS: &str = "
lever = ['A', 'B']
[casting]
block = { passages = ['c1', 'c2', 'c3', 'c4', 'c5', 'c6', 'c7', 'c8', 'c9', 'c10'] }
[source]
pump = { feeds = 'c1' }
[state.s]
[port]
[orifice]
e1 = { between = ['c5', 'c2'] }
e4 = { between = ['c4', 'c3'] }
[clearance]
e0 = { between = ['c6', 'c4'] }
e3 = { between = ['c6', 'sump'] }
[ball]
e2 = { from = 'c5', to = 'c4' }
[valve.v0]
bore = ['c1', 'c2', 'sump', 'c1', 'c2', 'c2', 'sump', 'c4']
spring = 'c4'
rest = { joins = [{ between = ['c2', 'sump'], bore = '1 mm' }], otherwise = true }
over = { joins = [{ between = ['c1', 'c2'], bore = '1 mm' }], when = 'c1 and not c4' }
[valve.v1]
bore = ['c1', 'c3', 'sump', 'c1', 'c3', 'c4', 'c5', 'c3']
spring = 'c3'
rest = { joins = [{ between = ['c3', 'sump'] }], otherwise = true }
over = { joins = [{ between = ['c1', 'c3'] }], when = 'c1' }
[valve.v2]
bore = ['c2', 'c4', 'sump', 'c1', 'c4', 'c4', 'c2', 'c2']
spring = 'c2'
rest = { joins = [{ between = ['c4', 'sump'] }], otherwise = true }
over = { joins = [{ between = ['c1', 'c4'] }], when = 'c2 and not c2' }
[valve.v3]
bore = ['c1', 'c7', 'sump', 'c7', 'c8', 'sump', 'c1', 'c1']
spring = 'c1'
rest = { joins = [{ between = ['c7', 'sump'] }], otherwise = true }
over = { joins = [{ between = ['c7', 'c8'] }], when = 'c1' }
[valve.v4]
bore = ['c2', 'c6', 'sump', 'c1', 'c6', 'sump', 'c1', 'c2']
spring = 'c2'
rest = { joins = [{ between = ['c6', 'sump'] }], otherwise = true }
over = { joins = [{ between = ['c1', 'c6'] }], when = 'c2 and not c2' }
[regulator.r0]
holds = 'c7'
at = '12 bar'
spills = ['c8', 'sump']
boost = { c1 = '3 bar' }
[solenoid.coil]
kind = 'bleed'
on = 'c3'
bore = '1.5 mm'
[state.t]
lever = 'A'
levels = { coil = 'low' }
boosts = ['r0']
";

#[test]
fn spools_that_others_let_stroke_settle_side_by_side_as_alone() {
    let circuit = read(HELD_BY_OTHERS);
    let net = net(&circuit);
    for state in circuit.states.values() {
        let stage = Stage::new(&net, state, &[]);
        settles_alike(&stage, &singles(&circuit), 1);
        settles_alike(&stage.standing(), &singles(&circuit), 1);
    }
}

#[test]
fn layered_circuits_settle_side_by_side_as_alone() {
    // Four valves move at once there and four after one of them: orders of movement are not
    // followed where they never meet, and are where a fault has them meet.
    for (ways, seed) in [(Ways::Tight, 7), (Ways::Mixed, 8), (Ways::Mixed, 9)] {
        let circuit = layered::with_valves(60, ways, seed);
        let net = net(&circuit);
        let stage = Stage::new(&net, &State::default(), &[]);
        let count = settles_alike(&stage, &singles(&circuit), 3);
        println!("layered: {count:?}");
        assert!(count.alone * 10 < count.scenes, "{count:?}");
        assert!(count.long * 10 > count.scenes, "{count:?}");
    }
}

/// However large a circuit is, alone too the orders in which four valves may move are followed to
/// their end.
#[test]
fn a_large_circuit_settles_alone_as_side_by_side() {
    let circuit = layered::with_valves(30_000, Ways::Tight, 7);
    let net = net(&circuit);
    let stage = Stage::new(&net, &State::default(), &[]);
    let alone = settle(&stage);
    let faults = PackedFaults::new(&net, &[Vec::new()]);
    let packed = PackedStage::new(&stage, &faults);
    let packed = settle_packed(&packed).settled(0).unwrap();
    assert_eq!(alone.course, packed.course);
    assert_eq!(alone.held(), packed.held());
    assert_eq!(alone.rounds, packed.rounds);
}

/// Some scenarios of a sweep, made together; and every `stride`th of them made by itself, which
/// settles and judges it alone. Returns how many were compared that do something.
fn records_alike(net: &Net<'_>, scenarios: Scenarios, most: usize, stride: usize) -> usize {
    let sweeper = Sweeper::new(net, scenarios, &[]);
    let count = sweeper.scenarios().count().min(most);
    let mut telling = 0;
    // Why an outlet is undecided may be told by another way.
    let plain = |mut record: SweepRecord| {
        let undecided = record.states.iter_mut().flat_map(|s| &mut s.undecided);
        undecided.for_each(|outlet| outlet.why = None);
        record
    };
    let together = sweeper.records(0..count);
    for (number, record) in together.into_iter().enumerate().step_by(stride) {
        telling += usize::from(!record.states.is_empty());
        let alone = sweeper.records(number..number + 1).remove(0);
        assert_eq!(plain(record), plain(alone));
    }
    telling
}

#[test]
fn records_of_generated_circuits_are_the_same_made_together_or_one_by_one() {
    let telling = Cell::new(0);
    let mut runner = TestRunner::new(ProptestConfig::with_cases(1000));
    let ran = runner.run(&moving(8), |moving| {
        let circuit = read(&moving.text());
        let net = net(&circuit);
        let alone = Scenarios::alone(&circuit, |_| true);
        let pairs = alone.pairs();
        telling.set(telling.get() + records_alike(&net, alone, usize::MAX, 13));
        telling.set(telling.get() + records_alike(&net, pairs, 100, 29));
        Ok(())
    });
    if let Err(failure) = ran {
        panic!("{failure}");
    }
    println!("generated: {} records told of something", telling.get());
    assert!(telling.get() > 800, "{}", telling.get());
}

#[test]
fn records_of_the_large_demo_circuits_are_the_same_made_together_or_one_by_one() {
    for (name, stride) in [("tractor-powershift", 17), ("six-speed-bus", 41)] {
        let circuit = open(&format!("circuits/{name}.toml"));
        let net = net(&circuit);
        let alone = Scenarios::alone(&circuit, |_| true);
        let telling = records_alike(&net, alone, usize::MAX, stride);
        assert!(telling > 10, "{name} {telling}");
    }
}

/// Why each outlet suffers, told from what is left of many scenes and from the routes of the sound
/// circuit, and of each scene by itself.
#[test]
fn reasons_in_layered_circuits_are_the_same_made_together_or_one_by_one() {
    let mut routes = 0;
    for (ways, seed) in [(Ways::Tight, 7), (Ways::Mixed, 8), (Ways::Mixed, 9)] {
        let circuit = layered::with_valves(250, ways, seed);
        let net = net(&circuit);
        let sweeper = Sweeper::new(&net, Scenarios::alone(&circuit, |_| true), &[]);
        let sweeper = sweeper.explaining();
        let together = sweeper.records(0..sweeper.scenarios().count());
        let sound = sweeper.of_sets(&[Vec::new()]).remove(0);
        for (number, record) in together.into_iter().enumerate().step_by(5) {
            // Where a fault does nothing the reasons are those of the sound circuit.
            if record.states.iter().eq(sound.iter().flatten()) {
                continue;
            }
            let undecided = record.states.iter().flat_map(|s| &s.undecided);
            let told = undecided.filter_map(|outlet| outlet.why.as_ref());
            let told = told.filter(|why| match why {
                Reason::RunsOff { through, .. } | Reason::Contested { through, .. } => {
                    through.len() > 1
                }
                _ => false,
            });
            routes += told.count();
            let alone = sweeper.records(number..number + 1).remove(0);
            assert_eq!(record, alone);
        }
    }
    println!("layered: {routes} routes told");
    assert!(routes > 100, "{routes}");
}
