//! What outlets of the tractor and the lessons live by, reasoned out beside each check.

use std::collections::BTreeSet as Set;

use oilpath::answer::{LivesBy, LivesByError, LivesByQuestion, LivesByState, Method, lives_by};
use oilpath::circuit::{Circuit, Kind};

use super::support::{net, open, read};

const TRACTOR: &str = "circuits/tractor-powershift.toml";

fn ask(circuit: &Circuit, outlet: &str, question: &LivesByQuestion) -> LivesBy {
    let outlet = circuit.find(outlet, Kind::ALL).unwrap();
    lives_by(&net(circuit), &outlet, question).unwrap()
}

fn lesson(name: &str, outlet: &str) -> LivesBy {
    let circuit = open(&format!("circuits/lessons/{name}.toml"));
    ask(&circuit, outlet, &LivesByQuestion::default())
}

fn state<'a>(answer: &'a LivesBy, id: &str) -> &'a LivesByState {
    let is = |s: &&LivesByState| s.state.as_deref() == Some(id);
    answer.states.iter().find(is).unwrap()
}

/// What starves alone.
fn alone(state: &LivesByState) -> Set<&str> {
    let single = state.cut_sets.iter().filter(|set| set.faults.len() == 1);
    single
        .flat_map(|set| &set.faults[0])
        .map(String::as_str)
        .collect()
}

fn has_pair(state: &LivesByState, a: &str, b: &str) -> bool {
    let has = |alike: &Vec<String>, fault: &str| alike.iter().any(|f| f == fault);
    let pairs = state.cut_sets.iter().filter(|set| set.faults.len() == 2);
    pairs.map(|set| &set.faults).any(|set| {
        let there = has(&set[0], a) && has(&set[1], b);
        there || has(&set[0], b) && has(&set[1], a)
    })
}

fn hides(state: &LivesByState, fault: &str, beside: &str) -> bool {
    state.masked.iter().any(|pair| {
        pair.fault.iter().any(|f| f == fault) && pair.beside.iter().any(|f| f == beside)
    })
}

/// The way: suction screen, pump, line, a 1.2 mm hole under the bridge cover, the hollow, a port
/// through two gaskets and the plate, the drilling. Everything on it that is blocked cuts the
/// bearing off; behind the hole, everything that opens to the sump outdoes a metered supply. Line
/// itself is held by the pump, so what opens it does not starve the bearing: nothing builds.
#[test]
fn the_bearing_behind_the_hop() {
    let circuit = open(TRACTOR);
    let single = LivesByQuestion {
        up_to: 1,
        ..LivesByQuestion::default()
    };
    let answer = ask(&circuit, "pto-bearing", &single);
    assert_eq!(answer.states.len(), 13);
    let expected = Set::from([
        // Cut off.
        "suction-screen:blocked",
        "suction:plugged",
        "line:plugged",
        "hop:plugged",
        "hop-cover:wrong=hop",
        "lube-feed:plugged",
        "rear-lube:plugged",
        "lube-rear:plugged",
        "block-gasket:wrong=rear-lube",
        "separator:wrong=rear-lube",
        "case-gasket:wrong=rear-lube",
        // Open to the sump behind the hole. The cover roofs the hollow; the plate and the case
        // gasket roof the drilling; block-gasket roofs neither.
        "hop-cover:loose",
        "hop-cover:left-out",
        "lube-feed:cracked",
        "lube-rear:cracked",
        "rear-lube-plug:left-out",
        "separator:loose",
        "separator:left-out",
        "case-gasket:loose",
        "case-gasket:left-out",
    ]);
    for state in &answer.states {
        assert_eq!(alone(state), expected);
        for unbuilt in ["line:cracked", "main:stuck-open"] {
            assert!(state.unbuilt.iter().any(|f| f == unbuilt), "{unbuilt}");
        }
        // A worn pump is weak, a leaking gasket leaks less than the hole brings.
        assert!(!state.undecided.iter().any(|f| f.starts_with("pump:")));
        // A ball lost under way may lie on the port, or not.
        assert!(
            state
                .undecided
                .iter()
                .any(|f| f == "low-exhaust:misplaced=rear-lube")
        );
    }
}

/// Hop plugged, the bearing has no road; a gasket that leaks from the power-take-off clutch's
/// channel into its drilling brings oil by another, while that clutch is on. With the clutch off
/// that channel is empty.
#[test]
fn a_leaking_gasket_hides_the_plugged_hop_while_the_clutch_is_on() {
    let circuit = open(TRACTOR);
    let of = ["hop", "case-gasket"].map(|id| circuit.find(id, Kind::ALL).unwrap());
    let question = LivesByQuestion {
        of: of.to_vec(),
        ..LivesByQuestion::default()
    };
    let answer = ask(&circuit, "pto-bearing", &question);
    let leak = "case-gasket:leaking=lube-rear+pto-apply";
    assert!(hides(state(&answer, "neutral-pto"), "hop:plugged", leak));
    assert!(!hides(state(&answer, "neutral"), "hop:plugged", leak));
}

/// The plugged hole starves the lift clutch; a ball that does not seat lets the feed in past it.
#[test]
fn a_ball_that_does_not_seat_hides_a_plugged_fill() {
    let answer = lesson("check-ball", "lift-clutch");
    assert_eq!(answer.without_oil, ["free"]);
    let lift = state(&answer, "lift");
    let expected = Set::from([
        "line:plugged",
        "lift-feed:plugged",
        "lift-apply:plugged",
        "lift-apply:cracked",
        "lift-tap:left-out",
        "fill:plugged",
        "lever-valve:stuck=free",
    ]);
    assert_eq!(alone(lift), expected);
    for ball in [
        "quick-off:left-out",
        "quick-off:stuck-off",
        "quick-off:worn",
    ] {
        assert!(hides(lift, "fill:plugged", ball), "{ball}");
        assert!(!hides(lift, "lift-tap:left-out", ball), "{ball}");
    }
    let beside = lift.masked.iter().map(|pair| pair.beside.len());
    assert_eq!(beside.sum::<usize>(), 3);
    // The cracked passage and the gauge's open hole are one to the oil.
    let same = lift
        .cut_sets
        .iter()
        .find(|set| set.faults[0].contains(&"lift-tap:left-out".into()));
    assert_eq!(
        same.unwrap().faults,
        [["lift-apply:cracked", "lift-tap:left-out"]]
    );
}

/// The saw's far bearing: hole, hollow, drilling, each alone. The clutch side of the valve does
/// not matter to it, and its line is held by the pump.
#[test]
fn the_bearing_behind_the_small_cover() {
    let answer = lesson("metered-feed", "far-bearing");
    let expected = Set::from([
        "line:plugged",
        "hollow:plugged",
        "hollow:cracked",
        "far-drilling:plugged",
        "far-drilling:cracked",
        "small-cover:loose",
        "small-cover:left-out",
        "small-cover:wrong=meter",
        "meter:plugged",
        "drilling:plugged",
    ]);
    for state in &answer.states {
        assert_eq!(alone(state), expected);
        // One road, which nothing else comes near: no pair does what one does not, but a hole
        // drilled out that lets the cover's leak be fed no more than equally.
        assert!(state.cut_sets.iter().all(|set| set.faults.len() == 1));
        assert!(2 * state.tried[1].settled < state.tried[1].looked_at as usize);
    }
}

/// Two feeds for one clutch, both called for: it dies only if both do. The ball stuck on a seat
/// shuts both; nothing else is common but line and the clutch's own passage.
#[test]
fn either_feed_will_do_and_it_takes_two_faults_to_lose_both() {
    let answer = lesson("shuttle", "winch-clutch");
    assert_eq!(answer.without_oil, ["rest"]);
    let both = state(&answer, "both");
    assert_eq!(
        alone(both),
        Set::from(["line:plugged", "winch-apply:plugged", "either:stuck-seated"])
    );
    assert!(has_pair(both, "choke:plugged", "pedal-feed:plugged"));
    assert!(has_pair(
        both,
        "hand-valve:stuck=rest",
        "pedal-valve:stuck=up"
    ));
    assert!(!has_pair(both, "choke:plugged", "hand-feed:plugged"));
    // On the lever alone the choke's oil is lost through the pedal's valve once the ball is out,
    // unless that feed is shut.
    let lever = state(&answer, "lever");
    assert!(alone(lever).contains("either:left-out"));
    assert!(hides(lever, "either:left-out", "pedal-feed:plugged"));
    assert!(hides(lever, "choke:plugged", "pedal-valve:stuck=down"));
    // Pairs only where neither starves alone.
    for pair in lever.cut_sets.iter().filter(|set| set.faults.len() == 2) {
        let single = pair.faults.iter().flatten();
        assert!(
            single
                .into_iter()
                .all(|fault| !alone(lever).contains(fault.as_str()))
        );
    }
}

/// The high clutch is lost when the plate runs its metered channel into the empty low one; with
/// that hole drilled out the two pull equally, so the fault hides in doubt, not in oil.
#[test]
fn a_loose_plate_starves_high() {
    let answer = lesson("separator-plate", "high-clutch");
    let high = state(&answer, "high");
    assert!(alone(high).contains("channel-plate:loose"));
    assert!(!hides(high, "channel-plate:loose", "soft:oversize"));
    assert!(hides(high, "channel-plate:loose", "low-channel:plugged"));
}

/// The limit is kept and told: each fault alone is tried whatever it is, then the rest of it goes
/// to pairs, and what is found is the first of what is found without a limit.
#[test]
fn what_the_limit_leaves_out_is_told() {
    let circuit = open("circuits/lessons/check-ball.toml");
    let whole = ask(
        &circuit,
        "lift-clutch",
        &LivesByQuestion {
            up_to: 3,
            ..LivesByQuestion::default()
        },
    );
    let whole = &whole.states[0];
    for most in [1, 50, 100, 200, 400, 10_000] {
        let question = LivesByQuestion {
            up_to: 3,
            most,
            ..LivesByQuestion::default()
        };
        let answer = ask(&circuit, "lift-clutch", &question);
        let tried = &answer.states[0].tried;
        assert_eq!(alone(&answer.states[0]), alone(whole));
        assert_eq!(
            (tried[0].looked_at, &tried[0].stopped_at),
            (tried[0].sets, &None)
        );
        let settled: usize = tried.iter().map(|t| t.settled).sum();
        assert!(settled <= most.max(tried[0].settled), "{most}");
        for (tried, whole) in tried.iter().zip(&whole.tried) {
            assert_eq!(tried.sets, whole.sets);
            assert_eq!(
                tried.stopped_at.is_none(),
                tried.looked_at == tried.sets,
                "{most}"
            );
            assert!(
                tried.stopped_at.is_none()
                    || settled == most.max(answer.states[0].tried[0].settled)
            );
        }
        let stopped = tried.iter().any(|t| t.stopped_at.is_some());
        let needed: usize = whole.tried.iter().map(|t| t.settled).sum();
        assert_eq!(stopped, most < needed, "{most}");
        let part = &answer.states[0];
        // No chance is called exact that leaves sets out: it is no more than that of all.
        let called = match stopped {
            true => Method::AtLeast,
            false => Method::Exact,
        };
        assert_eq!(part.method, called, "{most}");
        assert!(part.chance <= whole.chance + 1e-12, "{most}");
        assert!(part.masked.iter().all(|pair| whole.masked.contains(pair)));
    }
}

#[test]
fn what_is_no_outlet_lives_by_nothing() {
    let circuit = open(TRACTOR);
    let net = net(&circuit);
    let ask = |outlet: &str, question: LivesByQuestion| {
        lives_by(&net, &circuit.find(outlet, Kind::ALL).unwrap(), &question)
    };
    let all = LivesByQuestion::default;
    for none in ["hop", "lube-rear"] {
        assert!(
            matches!(ask(none, all()), Err(LivesByError::NoOutlet(_))),
            "{none}"
        );
    }
    // The pump draws through it: it takes oil, but none under pressure.
    assert!(matches!(
        ask("suction-screen", all()),
        Err(LivesByError::Drawn(_))
    ));
    let casting = LivesByQuestion {
        kinds: vec![Kind::Casting],
        ..all()
    };
    assert_eq!(ask("pto-bearing", casting), Err(LivesByError::NoFaults));
    // Off in neutral: it lives by nothing there.
    let neutral = LivesByQuestion {
        state: Some("neutral".to_owned()),
        ..all()
    };
    let answer = ask("low-clutch", neutral);
    let answer = answer.unwrap();
    assert!(answer.states.is_empty() && answer.unsure_of_oil.is_empty());
    assert_eq!(answer.without_oil, ["neutral"]);
}

/// What is fed and drained by holes of which neither outdoes the other is not sure of its oil; with no
/// way to it there is surely none.
#[test]
fn what_is_surely_off_is_told_from_what_cannot_be_said() {
    let of = |ways: &str, states: &str| {
        let circuit = read(&format!(
            "[casting]\nblock = {{ passages = ['line', 'apply'] }}\n\
             [source]\npump = {{ feeds = 'line' }}\n\
             [outlet]\nclutch = {{ kind = 'clutch', at = 'apply' }}\n[orifice]\n{ways}{states}"
        ));
        let answer = ask(&circuit, "clutch", &LivesByQuestion::default());
        assert!(answer.states.is_empty());
        (answer.without_oil, answer.unsure_of_oil)
    };
    let feed = "feed = { between = ['line', 'apply'] }\n";
    let out = "out = { between = ['apply', 'sump'] }\n";
    let both = format!("{feed}{out}");
    let (id, states) = ("on".to_owned(), "[state.on]\n");
    assert_eq!(
        of(&both, states),
        (vec![id.clone()], vec![Some(id.clone())])
    );
    assert_eq!(of(&both, ""), (vec![], vec![None]));
    assert_eq!(of(out, states), (vec![id], vec![]));
    assert_eq!(of(out, ""), (vec![], vec![]));
}
