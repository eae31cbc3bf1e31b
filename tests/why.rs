//! Why a cavity is as it is: what is said agrees with how the circuit settles, whatever it is
//! asked about.

mod support;

use oilpath::answer::{self, Because, Shut, Stands, Why, WhyEnd, WhyWay, why};
use oilpath::circuit::{Circuit, Fault, Kind, Level, PartName};
use oilpath::net::{Net, SUMP_CAVITY, Scene, Stage};
use oilpath::report::{self, Words};
use oilpath::settle::{Cause, Course, Point, Push, Value, balance, settle};
use oilpath::units::UnitSystem;
use support::{every_circuit, net, read};

fn demos() -> Vec<Circuit> {
    every_circuit()
        .into_iter()
        .map(|(_, circuit)| circuit)
        .collect()
}

fn passage(id: &str) -> PartName {
    PartName::new(Kind::Passage, id)
}

/// Each step of a way is an open link of the scene, as strong as is said, and the whole of it as
/// strong as its weakest.
fn connected(scene: &Scene<'_>, way: &WhyWay, drains: bool) {
    let net = scene.net();
    let mut at = way.start.as_str();
    let mut weakest = Push::Rail;
    for hop in &way.hops {
        assert_eq!(hop.from, at);
        let [from, to] = [&hop.from, &hop.to].map(|id| net.cavity(id).unwrap());
        let link = scene.onward(from).find(|link| {
            link.to == to
                && *net.part(scene.way(link.way)) == hop.part
                && (link.strength, link.sure) == (hop.strength, hop.sure)
                && (link.drains() || !drains)
        });
        let link = link.unwrap_or_else(|| panic!("{} -> {}", hop.from, hop.to));
        weakest = weakest.min(link.strength.into());
        at = &hop.to;
    }
    assert_eq!(way.push, weakest);
}

/// What is said of one end of settling against that end.
fn agrees(stage: &Stage<'_>, point: &Point, cavity: &str, end: &WhyEnd) {
    let net = stage.net();
    let scene = stage.scene(&point.held, Level::Low);
    let oil = balance(&scene, Some(&point.pressures.values(Level::Low)));
    let at = net.cavity(cavity).unwrap();
    let value = point.pressures.at_least(Level::Low, at);
    assert_eq!(
        (end.value, end.span),
        (value, point.pressures.span(at)),
        "{cavity}"
    );
    let ways = [(&end.way_in, false), (&end.way_out, true)];
    for (way, drains) in ways {
        if let Some(way) = way {
            connected(&scene, way, drains);
        }
    }
    if let Some(way) = &end.way_in {
        assert!(scene.rails().contains(&net.cavity(&way.start).unwrap()));
        assert_eq!(way.hops.last().map_or(cavity, |hop| &hop.to), cavity);
    }
    if let Some(way) = &end.way_out {
        assert_eq!(way.start, cavity);
        let last = way.hops.last().map_or(cavity, |hop| &hop.to);
        assert!(scene.vents().contains(&net.cavity(last).unwrap()));
    }
    let push = |way: &Option<WhyWay>| way.as_ref().filter(|w| w.live).map(|w| w.push);
    let (supply, drain) = (push(&end.way_in), push(&end.way_out));
    // What the balance says arrives, arrives by the way that is shown.
    for (arrives, shown) in [(oil.supply(at), supply), (oil.drain(at), drain)] {
        if arrives > Push::None && oil.surest(at) == arrives {
            assert_eq!(shown, Some(arrives), "{cavity}");
        }
    }
    match &end.because {
        Because::Source { source } => {
            let source = net.sources().iter().find(|s| s.name == *source).unwrap();
            assert_eq!((source.feeds, value), (at, Value::Fed));
        }
        Because::Driven { push } => {
            let (winner, loser) = match value {
                Value::Fed => (&end.way_in, &end.way_out),
                _ => (&end.way_out, &end.way_in),
            };
            assert_ne!(value, Value::Undecided);
            let winner = winner.as_ref().unwrap();
            assert!(winner.live && winner.push == *push, "{cavity}");
            assert_eq!(winner.beaten_at, None, "{cavity}");
            if let Some(loser) = loser {
                assert!(!loser.live, "{cavity}");
                assert!(loser.beaten_at.is_some(), "{cavity}");
            }
        }
        Because::Bores { share, .. } => {
            assert_eq!((supply, drain), (Some(Push::Metered), Some(Push::Metered)));
            let decided = if *share > 0.5 {
                Value::Fed
            } else {
                Value::Drained
            };
            assert_eq!(value, decided, "{cavity}");
            assert!(!(0.2..=0.8).contains(share), "{cavity}");
        }
        Because::Trapped => assert!(supply.is_none() && drain.is_none(), "{cavity}"),
        Because::Contested { push, share } => {
            assert_eq!(value, Value::Undecided);
            assert_eq!((supply, drain), (Some(*push), Some(*push)), "{cavity}");
            assert!(share.is_none_or(|s| (0.2..=0.8).contains(&s)), "{cavity}");
        }
        Because::Unknown { .. } => assert_eq!(oil.cause(at), Cause::Unknown),
    }
    let starved = end.way_in.as_ref().is_none_or(|way| way.push == Push::Leak);
    assert!(end.shut.is_empty() || (starved && value != Value::Fed));
}

/// Asks after every cavity in every state, or from `first` on after one in so many, and holds each
/// answer against settling.
fn ask(circuit: &Circuit, faults: &[Fault], first: usize, step: usize) -> Vec<Why> {
    let net = net(circuit);
    let cavities = net.cavities().filter(|c| *c != SUMP_CAVITY);
    let cavities = cavities.skip(first).step_by(step);
    let mut answers = Vec::new();
    for cavity in cavities {
        let id = net.name(cavity);
        let answer = why(&net, &passage(id), faults, None).unwrap();
        for state in &answer.states {
            for name in &state.states {
                let stage = Stage::new(&net, &circuit.states[name.as_str()], faults);
                let settled = settle(&stage);
                assert_eq!(state.value, settled.at_least(Level::Low, cavity));
                for point in &settled.ends {
                    let fits = |end: &&WhyEnd| {
                        let value = point.pressures.at_least(Level::Low, cavity);
                        (end.value, end.span) == (value, point.pressures.span(cavity))
                    };
                    assert!(state.ends.iter().any(|end| fits(&end)), "{id} in {name}");
                }
                if settled.course == Course::Steady && settled.ends.len() == 1 {
                    assert_eq!(state.ends.len(), 1);
                    agrees(&stage, &settled.ends[0], id, &state.ends[0]);
                }
            }
        }
        answers.push(answer);
    }
    answers
}

#[test]
fn every_cavity_of_every_demo_in_every_state_is_explained_as_it_settles() {
    let mut asked = 0;
    for circuit in demos() {
        for answer in ask(&circuit, &[], 0, 1) {
            asked += answer.states.iter().map(|s| s.states.len()).sum::<usize>();
            assert!(answer.states.iter().all(|s| s.sound.is_none()));
        }
    }
    assert!(asked > 2000, "{asked}");
}

#[test]
fn some_cavities_of_every_demo_are_explained_with_one_fault_in_some_forty() {
    for circuit in demos() {
        for (i, fault) in circuit.faults().into_iter().step_by(41).enumerate() {
            // Others for each fault, so that all come in.
            ask(&circuit, &[fault], i % 29, 29);
        }
    }
}

/// The one end of a small circuit without states, or of the named state.
fn only(text: &str, part: &str, faults: &[&str], state: Option<&str>) -> WhyEnd {
    let circuit = read(text);
    let net = net(&circuit);
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    let part = circuit.find(part, Kind::ALL).unwrap();
    let mut answer = answer::why(&net, &part, &faults, state).unwrap();
    assert_eq!(answer.states.len(), 1);
    assert_eq!(answer.states[0].ends.len(), 1);
    answer.states.remove(0).ends.remove(0)
}

const METERED: &str = r#"
[casting]
block = { passages = ["line", "a"] }
[source]
pump = { feeds = "line" }
[orifice]
in = { between = ["line", "a"], bore = "2 mm" }
out = { between = ["a", "sump"], bore = "1 mm" }
"#;

#[test]
fn bores_decide_by_the_fourth_power() {
    // 2 mm in, 1 mm out: 16/17 of the pressure is left.
    let end = only(METERED, "a", &[], None);
    let Because::Bores {
        supply_bore_m,
        drain_bore_m,
        share,
    } = end.because
    else {
        panic!("{end:?}");
    };
    assert!((supply_bore_m - 2e-3).abs() < 1e-12 && (drain_bore_m - 1e-3).abs() < 1e-12);
    assert!((share - 16.0 / 17.0).abs() < 1e-9);
    assert_eq!(end.value, Value::Fed);
    assert_eq!(end.way_out.unwrap().beaten_at.as_deref(), Some("a"));
    // 1.2 mm in: 2.0736 to 1, 67 %, which decides nothing.
    let end = only(&METERED.replace("2 mm", "1.2 mm"), "a", &[], None);
    let Because::Contested {
        share: Some(share),
        push: Push::Metered,
    } = end.because
    else {
        panic!("{end:?}");
    };
    assert!((share - 2.0736 / 3.0736).abs() < 1e-9);
    // Without a bore nothing can be reckoned.
    let end = only(&METERED.replace(r#", bore = "1 mm""#, ""), "a", &[], None);
    assert_eq!(
        end.because,
        Because::Contested {
            push: Push::Metered,
            share: None
        }
    );
}

#[test]
fn what_bores_decide_is_told_with_both_bores_and_the_share() {
    let circuit = read(METERED);
    let net = net(&circuit);
    let answer = answer::why(&net, &passage("a"), &[], None).unwrap();
    let words = Words {
        circuit: &circuit,
        units: UnitSystem::Metric,
    };
    let text = report::markdown(&report::why(&answer, &words));
    let lead = "`a` is fed: oil comes through a 2 mm hole, orifice `in`, and it runs off through \
                a 1 mm hole, orifice `out`: 94 % of the pressure is left.";
    assert!(text.contains(lead), "{text}");
}

#[test]
fn the_widest_of_two_metered_ways_is_the_one_that_counts() {
    let text = METERED.to_owned() + "small = { between = ['line', 'a'], bore = '0.5 mm' }\n";
    let end = only(&text, "a", &[], None);
    assert_eq!(end.way_in.unwrap().hops[0].part.id, "in");
}

/// A pilot moves a valve that feeds a clutch past a ball; its lever comes first.
const VALVES: &str = r#"
lever = ["N", "D"]
[casting]
block = { passages = ["line", "drive", "pilot", "feed", "apply", "end"] }
[source]
pump = { feeds = "line" }
[valve.hand]
bore = ["sump", "drive", "line", "sump"]
n = { joins = [["drive", "sump"]], otherwise = true }
d = { joins = [["line", "drive"]], when = "lever.D" }
[orifice]
meter = { between = ["line", "pilot"], bore = "0.8 mm" }
[solenoid]
s = { kind = "bleed", on = "pilot", normally = "closed", bore = "1.6 mm" }
[valve.shift]
bore = ["pilot", "feed", "drive", "sump", "end"]
spring = "end"
rest = { joins = [["feed", "sump"]], otherwise = true }
up = { joins = [["drive", "feed"]], when = "pilot and not end" }
[port]
vent = { between = ["end", "sump"] }
[orifice.fill]
between = ["feed", "apply"]
[ball]
quick = { from = "apply", to = "feed" }
[outlet]
clutch = { kind = "clutch", at = "apply" }
[state]
off = { lever = "N" }
on = { lever = "D" }
down = { lever = "D", on = ["s"] }
hand = { lever = "D", on = ["s"], valves = { shift = "up" } }
"#;

fn moves<'e>(end: &'e WhyEnd, part: &str) -> (&'e str, &'e Stands) {
    let mover = end.movers.iter().find(|m| m.part.id == part);
    let mover = mover.unwrap_or_else(|| panic!("{part} in {end:?}"));
    (mover.stands.as_deref().unwrap_or("?"), &mover.why)
}

#[test]
fn a_shut_valve_is_named_with_the_position_that_would_feed() {
    let end = only(VALVES, "clutch", &[], Some("down"));
    assert_eq!(end.value, Value::Drained);
    assert_eq!(end.way_in, None);
    // The way out is by the ball, which is wider than the hole beside it.
    assert_eq!(end.way_out.as_ref().unwrap().hops[0].part.id, "quick");
    assert_eq!(end.shut.len(), 1);
    assert_eq!(end.shut[0].part.id, "shift");
    let opens = vec!["up".to_owned()];
    assert_eq!(end.shut[0].shut, Shut::Position { opens });
    let (place, Stands::AtRest { rules }) = moves(&end, "shift") else {
        panic!("{end:?}");
    };
    assert_eq!(place, "rest");
    // The pilot alone keeps it there; the other end is as it should be.
    let names: Vec<_> = rules[0]
        .names
        .iter()
        .map(|n| (&*n.name, n.holds, n.decides))
        .collect();
    assert_eq!(
        names,
        [("pilot", Some(false), true), ("end", Some(false), false)]
    );
    // Two valves are shut, the nearer first.
    let end = only(VALVES, "clutch", &[], Some("off"));
    let shut: Vec<&str> = end.shut.iter().map(|g| &*g.part.id).collect();
    assert_eq!(shut, ["hand"]);
    let end = only(VALVES, "clutch", &["s:stuck-on"], Some("off"));
    let shut: Vec<&str> = end.shut.iter().map(|g| &*g.part.id).collect();
    assert_eq!(shut, ["shift", "hand"]);
}

#[test]
fn each_mover_has_the_reason_it_stands_by() {
    let end = only(VALVES, "clutch", &[], Some("on"));
    assert_eq!(end.value, Value::Fed);
    let (place, why) = moves(&end, "shift");
    assert_eq!(place, "up");
    assert!(matches!(why, Stands::Rule { rule } if rule.rule == "pilot and not end"));
    assert!(matches!(moves(&end, "hand"), ("d", Stands::Rule { .. })));
    let end = only(VALVES, "pilot", &[], Some("down"));
    let current = |level, fault: Option<&str>| Stands::Current {
        level,
        fault: fault.map(str::to_owned),
    };
    assert_eq!(moves(&end, "s"), ("open", &current(Level::Full, None)));
    let end = only(VALVES, "pilot", &["s:stuck-on"], Some("on"));
    assert_eq!(
        moves(&end, "s"),
        ("open", &current(Level::Full, Some("s:stuck-on")))
    );
    let end = only(VALVES, "clutch", &[], Some("hand"));
    assert_eq!(moves(&end, "shift"), ("up", &Stands::ByHand));
    let end = only(VALVES, "clutch", &["shift:stuck=rest"], Some("on"));
    let fault = "shift:stuck=rest".to_owned();
    assert_eq!(moves(&end, "shift"), ("rest", &Stands::Fault { fault }));
    let (end, wants) = ("end".to_owned(), "up".to_owned());
    let held = only(VALVES, "clutch", &["shift:vent-plugged"], Some("on"));
    assert_eq!(
        moves(&held, "shift"),
        ("rest", &Stands::SealedEnd { end, wants })
    );
}

#[test]
fn a_sealed_cavity_names_all_that_shuts_it_in() {
    let faults = ["fill:plugged", "quick:stuck-seated"];
    let end = only(VALVES, "clutch", &faults, Some("on"));
    assert_eq!(
        (end.value, &end.because),
        (Value::Drained, &Because::Trapped)
    );
    let sealed: Vec<(&str, &Shut)> = end
        .sealed_by
        .iter()
        .map(|g| (&*g.part.id, &g.shut))
        .collect();
    let fault = |f: &str| Shut::Fault {
        fault: f.to_owned(),
    };
    let all = [fault("fill:plugged"), fault("quick:stuck-seated")];
    assert_eq!(sealed, [("fill", &all[0]), ("quick", &all[1])]);
    // What would feed it is the hole, and the ball only if it let oil the other way.
    let shut: Vec<(&str, &Shut)> = end.shut.iter().map(|g| (&*g.part.id, &g.shut)).collect();
    assert_eq!(shut, [("fill", &all[0]), ("quick", &Shut::Seated)]);
    // The hole alone: the ball lets nothing in, and nothing out that feed oil presses on.
    let end = only(VALVES, "clutch", &["fill:plugged"], Some("on"));
    let seated = end.sealed_by.iter().find(|g| g.part.id == "quick");
    assert!(seated.is_none_or(|g| g.shut == Shut::Seated));
}

#[test]
fn a_broken_spring_makes_two_ends_and_each_is_explained() {
    let circuit = read(VALVES);
    let net = net(&circuit);
    let fault = circuit.fault("shift:spring-broken").unwrap();
    let clutch = circuit.find("clutch", &[Kind::Outlet]).unwrap();
    let answer = answer::why(&net, &clutch, &[fault], Some("down")).unwrap();
    let [state] = &answer.states[..] else {
        panic!("{answer:?}")
    };
    assert_eq!(state.value, Value::Undecided);
    let ends: Vec<_> = state
        .ends
        .iter()
        .map(|e| {
            (
                e.standing[0].place.as_deref(),
                e.value,
                moves(e, "shift").1.clone(),
            )
        })
        .collect();
    assert_eq!(
        ends,
        [
            (Some("rest"), Value::Drained, Stands::SpringBroken),
            (Some("up"), Value::Fed, Stands::SpringBroken),
        ]
    );
    assert_eq!(state.sound.as_ref().unwrap().value, Value::Drained);
    // The line does not care where the spool stands.
    let line = answer::why(&net, &passage("line"), &[], Some("down")).unwrap();
    assert_eq!(line.states[0].ends.len(), 1);
}

#[test]
fn a_part_without_a_cavity_has_no_answer() {
    let circuit = read(VALVES);
    let net: Net<'_> = net(&circuit);
    let shift = circuit.find("shift", &[Kind::Valve]).unwrap();
    assert!(answer::why(&net, &shift, &[], None).is_err());
}
