//! Standing overnight, reasoned out beside each check, and against a plain search.

mod support;

use std::collections::HashSet;

use oilpath::answer::{Answer, Overnight, StandingCavity, overnight};
use oilpath::circuit::{Circuit, Kind, State};
use oilpath::net::{Cavity, Link, Net, Passes, SUMP_CAVITY, Scene, Stage, Strength, User};
use oilpath::settle::{settle, settle_from};
use proptest::prelude::*;
use support::{every_circuit, net, open, read};

fn ask(circuit: &Circuit, faults: &[&str], state: &str) -> Overnight {
    let faults: Vec<_> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    overnight(&net(circuit), &faults, Some(state))
}

fn cavity<'a>(answer: &'a Overnight, id: &str) -> &'a StandingCavity {
    let cavities = &answer.states[0].cavities;
    cavities.iter().find(|c| c.cavity == id).unwrap()
}

/// How a cavity runs off, and through what.
fn way<'a>(answer: &'a Overnight, id: &str) -> Option<(Strength, Vec<&'a str>)> {
    let run_off = cavity(answer, id).runs_off.as_ref()?;
    let through = run_off.through.iter().map(|part| part.id.as_str());
    Some((run_off.how, through.collect()))
}

/// All that stands open to the pump leaks back through it; nothing else is open in lift.
#[test]
fn a_shut_block_leaks_back_through_its_pump() {
    let circuit = open("circuits/lessons/check-ball.toml");
    let answer = ask(&circuit, &[], "lift");
    let leak = |through: &[&'static str]| Some((Strength::Leak, through.to_vec()));
    assert_eq!(way(&answer, "line"), leak(&["pump"]));
    assert_eq!(way(&answer, "lift-feed"), leak(&["lever-valve", "pump"]));
    // The ball lets the clutch out: an open way, so the shorter of the two by which it leaks.
    let apply = cavity(&answer, "lift-apply").runs_off.as_ref().unwrap();
    assert_eq!((apply.how, apply.through.len()), (Strength::Leak, 3));
    // In free the clutch is empty already.
    let free = ask(&circuit, &[], "free");
    let full: Vec<&str> = free.states[0]
        .cavities
        .iter()
        .map(|c| c.cavity.as_str())
        .collect();
    assert_eq!(full, ["line"]);
}

/// Line runs off through the 1.0 mm hole into the far bearing, which is narrower still: 0.6 mm.
/// Behind the hole it is the bearing that takes the oil.
#[test]
fn a_bearing_takes_the_oil_that_stands_before_it() {
    let answer = ask(&open("circuits/lessons/metered-feed.toml"), &[], "stop");
    let line = cavity(&answer, "line").runs_off.as_ref().unwrap();
    assert_eq!(line.how, Strength::Metered);
    assert_eq!(line.narrowest.as_ref().unwrap().id, "far-bearing");
    assert_eq!(
        way(&answer, "line").unwrap().1,
        ["meter", "drilling", "far-bearing"]
    );
    assert_eq!(way(&answer, "far-drilling").unwrap().1, ["far-bearing"]);
}

/// Four-wheel: without current the front pilot empties through its open bleed, the front valve
/// goes back and opens the front feed to the sump, and the exhaust ball lets the clutch out beside
/// its hole: all in minutes. Line drains through the pilot's 0.7 mm hole and the bleed.
#[test]
fn the_transfer_box_lets_its_front_clutch_go_at_once_and_line_soon() {
    let circuit = open("circuits/transfer-box.toml");
    let answer = ask(&circuit, &[], "four-wheel");
    assert_eq!(
        way(&answer, "front-drum"),
        Some((Strength::Open, vec!["front-turn", "front-exhaust", "front"]))
    );
    assert_eq!(
        way(&answer, "front-pilot"),
        Some((Strength::Open, vec!["front-on"]))
    );
    assert_eq!(
        way(&answer, "line"),
        Some((Strength::Metered, vec!["front-pilot-feed", "front-on"]))
    );
    // In two-wheel the drum of the high clutch stands openly on line through the range valve.
    let answer = ask(&circuit, &[], "two-wheel");
    let drum = cavity(&answer, "high-drum").runs_off.as_ref().unwrap();
    assert_eq!(drum.how, Strength::Metered);
    assert_eq!(drum.through.last().unwrap().id, "front-on");
    // In the morning the high clutch fills through open ways, before all that is behind a jet.
    let outlets: Vec<&str> = answer.states[0]
        .outlets
        .iter()
        .map(|o| o.outlet.id.as_str())
        .collect();
    assert_eq!(outlets, ["high-clutch", "chain", "rear-bearing"]);
    // Past its ball of 5 mm, round its own hole of 2 mm: the pilot's 0.7 mm holds it up.
    let release = cavity(&answer, "servo-release").runs_off.as_ref().unwrap();
    assert_eq!(release.through[0].id, "release-exhaust");
    assert_eq!(release.narrowest.as_ref().unwrap().id, "front-pilot-feed");
    // The chain's jet of 1.5 mm lets go more than the bearing's 1.4 mm behind a jet as wide.
    assert_eq!(
        way(&answer, "lube-gallery"),
        Some((Strength::Metered, vec!["chain-jet", "chain"]))
    );
    let high = &answer.states[0].outlets[0];
    assert_eq!(
        high.to_fill,
        ["line", "high-feed", "high-case", "high-drum"]
    );
}

/// The converter of the six-speed lies between the regulator's spill, which lets nothing back, and
/// a sprung ball. Off its seat, the ball lets it run down into the cooler and the lube gallery.
#[test]
fn the_drain_back_ball_keeps_the_converter_full() {
    let circuit = open("circuits/six-speed-bus.toml");
    let sound = ask(&circuit, &[], "park");
    for full in [
        "converter-feed",
        "converter-in",
        "converter-out",
        "cooler-in",
    ] {
        let held = cavity(&sound, full);
        assert_eq!(held.runs_off, None, "{full}");
        assert_eq!(held.held_by.len(), 1);
        assert_eq!(held.held_by[0].id, "drain-back");
    }
    assert!(!sound.wrong());
    let converter = |answer: &Overnight| {
        let outlets = &answer.states[0].outlets;
        outlets
            .iter()
            .find(|o| o.outlet.id == "converter")
            .unwrap()
            .keeps
    };
    assert!(converter(&sound));
    for fault in [
        "drain-back:stuck-off",
        "drain-back:left-out",
        "drain-back:worn",
    ] {
        let answer = ask(&circuit, &[fault], "park");
        assert!(answer.wrong(), "{fault}");
        let emptied = cavity(&answer, "converter-in");
        assert!(emptied.is_worse());
        assert_eq!(emptied.sound, None);
        let how = emptied.runs_off.as_ref().unwrap().how;
        let worn = fault.ends_with("worn");
        assert_eq!(
            how,
            if worn {
                Strength::Leak
            } else {
                Strength::Metered
            },
            "{fault}"
        );
        assert!(!converter(&answer));
        // Line runs off either way, and is no worse for it.
        assert!(!cavity(&answer, "line").is_worse());
    }
    // The weak ball of the exhaust gallery leaves it its filling.
    let first = ask(&circuit, &[], "first");
    assert_eq!(way(&first, "exhaust").unwrap().0, Strength::Leak);
}

/// A cut ring lets a clutch run off at once that leaks when sound.
#[test]
fn a_cut_ring_empties_its_clutch_sooner() {
    let circuit = open("circuits/transfer-box.toml");
    let answer = ask(&circuit, &["servo-ring:worn"], "low");
    // Worn, the apply side reaches the release side, and that empties past its ball.
    let apply = cavity(&answer, "servo-apply");
    assert_eq!(apply.sound, Some(Strength::Metered));
    assert!(
        !apply.is_worse(),
        "a leak is no wider than the hole it empties through anyway"
    );
    let answer = ask(&circuit, &["line:porous=front-feed"], "neutral");
    assert!(!cavity(&answer, "line").is_worse());
}

/// The standing scene of a state: no source, no current, valves where the oil leaves them.
fn standing<'n>(net: &'n Net<'n>, state: &State) -> Scene<'n> {
    let running = settle(&Stage::new(net, state, &[]));
    let mut dead = state.clone();
    dead.on.retain(|id| net.circuit().inputs.contains_key(id));
    dead.levels.clear();
    let stage = Stage::new(net, &dead, &[]).standing();
    let after = settle_from(&stage, &running.ends[0]);
    stage.scene(&after.ends[0].held, net.levels()[0])
}

/// Whether oil gets out of a cavity by ways at least so wide: walked forward, one cavity at a time.
fn gets_out(scene: &Scene<'_>, from: Cavity, least: Strength) -> bool {
    let net = scene.net();
    let mut seen = HashSet::from([from]);
    let mut stack = vec![from];
    while let Some(at) = stack.pop() {
        let consumed = net
            .outlets()
            .iter()
            .any(|o| !o.by_pressure && o.user == User::Leaf(at) && least <= Strength::Metered);
        let pump = net.sources().iter().any(|s| s.feeds == at) && least == Strength::Leak;
        if at == SUMP_CAVITY || consumed || pump {
            return true;
        }
        for link in scene.onward(at) {
            if link.drains() && link.strength >= least && seen.insert(link.to) {
                stack.push(link.to);
            }
        }
    }
    false
}

#[test]
fn every_cavity_runs_off_by_the_widest_way_a_plain_search_finds() {
    let (mut kept, mut gone) = (0, 0);
    for (path, circuit) in every_circuit() {
        let net = net(&circuit);
        let answer = overnight(&net, &[], None);
        assert!(
            !answer.wrong(),
            "{path}: sound, nothing is worse than sound"
        );
        for state in &answer.states {
            let id = state.state.as_deref().unwrap();
            let scene = standing(&net, &circuit.states[id]);
            assert!(scene.rails().is_empty());
            for standing in &state.cavities {
                let at = format!("{path} {id} {}", standing.cavity);
                let cavity = net.cavity(&standing.cavity).unwrap();
                let widest = [Strength::Open, Strength::Metered, Strength::Leak]
                    .into_iter()
                    .find(|least| gets_out(&scene, cavity, *least));
                let Some(run_off) = &standing.runs_off else {
                    kept += 1;
                    assert_eq!(widest, None, "{at}");
                    continue;
                };
                gone += 1;
                if run_off.through.is_empty() {
                    continue;
                }
                assert_eq!(Some(run_off.how), widest, "{at}");
                // Nothing that a seated ball holds empties: a sprung one lets nothing drain.
                for part in run_off.through.iter().filter(|p| p.kind == Kind::Ball) {
                    let mut ways = net.ways_of(part);
                    let sprung = ways.any(|way| scene.way(way).passes == Passes::Excess);
                    assert!(!sprung, "{at} through {part}");
                }
            }
        }
    }
    assert!(kept > 80 && gone > 500, "{kept} {gone}");
}

/// A hole, a wider ball round it, and behind them a narrower hole: that one holds the oil up. Where
/// no size is given the first metering hole does; a narrow seat counts where both are known.
#[test]
fn the_smallest_bore_on_the_widest_way_holds_the_oil_up() {
    let text = |hop: &str, fill: &str, seat: &str| {
        format!(
            r#"
            [casting]
            block = {{ passages = ["line", "feed", "drum"] }}
            [source]
            pump = {{ feeds = "line" }}
            [orifice]
            hop = {{ between = ["line", "feed"]{hop} }}
            fill = {{ between = ["feed", "drum"]{fill} }}
            [ball]
            off = {{ from = "drum", to = "feed", bore = "6 mm" }}
            [solenoid]
            dump = {{ kind = "two-way", between = ["line", "sump"], normally = "open"{seat} }}
            [outlet]
            clutch = {{ kind = "clutch", at = "drum" }}
            [state]
            forward = {{ on = ["dump"], applies = ["clutch"] }}
            "#
        )
    };
    let held_up = |hop: &str, fill: &str, seat: &str| {
        let circuit = read(&text(hop, fill, seat));
        let answer = ask(&circuit, &[], "forward");
        let run_off = cavity(&answer, "drum").runs_off.clone().unwrap();
        let through: Vec<String> = run_off.through.into_iter().map(|p| p.id).collect();
        (run_off.narrowest.unwrap().id, through.join(" "))
    };
    let bore = |mm: &str| format!(", bore = '{mm} mm'");
    let round = "off hop dump".to_owned();
    let of = |id: &str| (id.to_owned(), round.clone());
    assert_eq!(held_up(&bore("1.5"), &bore("2"), ""), of("hop"));
    assert_eq!(held_up("", "", ""), of("hop"));
    assert_eq!(held_up(&bore("1.5"), "", &bore("1.2")), of("dump"));
    assert_eq!(held_up("", "", &bore("1.2")), of("hop"));
    // A hole wider than the ball that goes round it is the wider way.
    let through = held_up(&bore("1.5"), &bore("7"), "");
    assert_eq!(through.0, "hop");
}

/// A step of a way out: the part, its kind of way, its bore in metres.
type Taken = (String, Strength, f64);

/// Every way out of a cavity that passes no cavity twice.
fn ways_out(scene: &Scene<'_>, at: Cavity, seen: &mut Vec<Cavity>, out: &mut Vec<Vec<Taken>>) {
    fn on(
        scene: &Scene<'_>,
        at: Cavity,
        seen: &mut Vec<Cavity>,
        taken: &mut Vec<Taken>,
        out: &mut Vec<Vec<Taken>>,
    ) {
        let net = scene.net();
        if at == SUMP_CAVITY {
            out.push(taken.clone());
            return;
        }
        let with = |taken: &[Taken], last: Taken| [taken, &[last]].concat();
        let holes = net
            .ways()
            .iter()
            .filter(|w| w.strength == Strength::Metered);
        let holes = holes.filter_map(|w| w.bore).map(|b| b.m());
        let hole = holes.fold(f64::MIN_POSITIVE, f64::max);
        for outlet in net.outlets() {
            if !outlet.by_pressure && outlet.user == User::Leaf(at) {
                let bore = net.circuit().outlets[&outlet.name.id].bore;
                let bore = bore.map_or(hole, |b| b.m());
                let last = (outlet.name.id.clone(), Strength::Metered, bore);
                out.push(with(taken, last));
            }
        }
        for pump in net.sources().iter().filter(|s| s.feeds == at) {
            out.push(with(taken, (pump.name.id.clone(), Strength::Leak, 0.0)));
        }
        let links: Vec<Link> = scene.onward(at).filter(Link::drains).collect();
        for link in links {
            if seen.contains(&link.to) {
                continue;
            }
            let way = scene.way(link.way);
            let bore = match link.strength {
                Strength::Leak => 0.0,
                Strength::Metered => way.bore.map_or(hole, |b| b.m()),
                Strength::Open => way.bore.map_or(f64::INFINITY, |b| b.m()),
            };
            seen.push(link.to);
            taken.push((net.part(way).id.clone(), link.strength, bore));
            on(scene, link.to, seen, taken, out);
            taken.pop();
            seen.pop();
        }
    }
    seen.push(at);
    on(scene, at, seen, &mut Vec::new(), out);
}

/// Holds every cavity that runs off in a state against all of its ways out, one by one.
fn against_all_ways_out(circuit: &Circuit, at: &str) -> usize {
    let net = net(circuit);
    let mut compared = 0;
    for state in &overnight(&net, &[], None).states {
        let plain = State::default();
        let declared = state.state.as_ref().map(|id| &circuit.states[id]);
        let scene = standing(&net, declared.unwrap_or(&plain));
        for told in &state.cavities {
            let at = format!("{at} {:?} {}", state.state, told.cavity);
            let Some(run_off) = told.runs_off.as_ref().filter(|r| !r.through.is_empty()) else {
                continue;
            };
            let mut all = Vec::new();
            let cavity = net.cavity(&told.cavity).unwrap();
            ways_out(&scene, cavity, &mut Vec::new(), &mut all);
            let width = |way: &Vec<Taken>| {
                let how = way.iter().map(|(_, strength, _)| *strength).min().unwrap();
                let bores = way.iter().map(|(_, _, bore)| *bore);
                (how, bores.fold(f64::INFINITY, f64::min))
            };
            let widest = all.iter().map(width);
            let widest = widest.max_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
            let (how, bore) = widest.unwrap();
            assert_eq!(run_off.how, how, "{at}");
            let through: Vec<&str> = run_off.through.iter().map(|p| p.id.as_str()).collect();
            let same = |way: &&Vec<Taken>| {
                let ids = way.iter().map(|(id, _, _)| id.as_str());
                ids.eq(through.iter().copied()) && width(way) == (how, bore)
            };
            let way = all.iter().find(same);
            let way = way.unwrap_or_else(|| panic!("{at}: {through:?} is not the widest"));
            compared += 1;
            let Some(narrowest) = &run_off.narrowest else {
                assert_eq!(how, Strength::Open, "{at}");
                continue;
            };
            let (_, _, own) = way.iter().find(|(id, _, _)| *id == narrowest.id).unwrap();
            assert_eq!(*own, bore, "{at} {narrowest}");
        }
    }
    compared
}

#[test]
fn what_holds_the_oil_up_is_the_best_of_all_ways_out() {
    let mut compared = 0;
    for (path, circuit) in every_circuit() {
        if circuit.passages.len() <= 24 {
            compared += against_all_ways_out(&circuit, &path);
        }
    }
    assert!(compared > 100, "{compared}");
}

/// A circuit of random ways between `c0` (fed) to `c5` and the sump, some of known bore.
fn random_block() -> impl Strategy<Value = String> {
    let way = (0..6usize, 0..7usize, 0..4usize, 0..5usize);
    prop::collection::vec(way, 4..14).prop_map(|ways| {
        let mut tables: [String; 4] = Default::default();
        for (i, (a, b, kind, bore)) in ways.into_iter().enumerate() {
            if a == b {
                continue;
            }
            let to = if b == 6 { "sump".to_owned() } else { format!("c{b}") };
            let bore = match bore {
                0 => String::new(),
                tenths => format!(", bore = '0.{} mm'", tenths * 2),
            };
            let line = match kind {
                0 | 1 => format!("w{i} = {{ between = ['c{a}', '{to}']{bore} }}\n"),
                2 => format!("w{i} = {{ between = ['c{a}', '{to}'] }}\n"),
                _ => format!("w{i} = {{ from = 'c{a}', to = '{to}'{bore} }}\n"),
            };
            tables[kind] += &line;
        }
        let names = ["port", "orifice", "clearance", "ball"];
        let tables = names.iter().zip(&tables);
        let tables = tables.map(|(name, lines)| format!("[{name}]\n{lines}"));
        let passages = "['c0', 'c1', 'c2', 'c3', 'c4', 'c5']";
        format!(
            "[casting]\nblock = {{ passages = {passages} }}\n[source]\npump = {{ feeds = 'c0' }}\n{}",
            tables.collect::<String>()
        )
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn random_blocks_run_off_by_the_best_of_all_ways_out(text in random_block()) {
        against_all_ways_out(&read(&text), &text);
    }
}
