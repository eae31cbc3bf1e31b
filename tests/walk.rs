//! Driving from state to state, reasoned out beside each check.

mod support;

use std::collections::BTreeSet;

use oilpath::answer::{Answer, CourseWord, DrivesAs, Walk, WalkMove, WalkStep, walk};
use oilpath::circuit::{Circuit, Fault, Level, PartName};
use oilpath::net::Stage;
use oilpath::settle::{Settled, settle, settle_from};
use support::{every_circuit, net, open, read};

fn drive(circuit: &Circuit, states: &[&str], faults: &[&str]) -> Walk {
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    walk(&net(circuit), states, &faults).unwrap()
}

fn bus(states: &[&str], faults: &[&str]) -> Walk {
    drive(&open("circuits/six-speed-bus.toml"), states, faults)
}

fn lesson(name: &str, states: &[&str], faults: &[&str]) -> Walk {
    let circuit = open(&format!("circuits/lessons/{name}.toml"));
    drive(&circuit, states, faults)
}

fn ids(parts: &[PartName]) -> Vec<&str> {
    parts.iter().map(|part| part.id.as_str()).collect()
}

/// `part from>to` of everything that moved; several places with a bar between.
fn moved(step: &WalkStep) -> Vec<String> {
    let places = |places: &[Option<String>]| {
        let places = places.iter().map(|p| p.as_deref().unwrap_or("?"));
        places.collect::<Vec<_>>().join("|")
    };
    let told = |m: &WalkMove| format!("{} {}>{}", m.part.id, places(&m.from), places(&m.to));
    step.moved.iter().map(told).collect()
}

fn drives(walk: &Walk) -> Vec<(DrivesAs, &str)> {
    let steps = walk.steps.iter();
    steps
        .map(|s| (s.drives, s.like.as_deref().unwrap_or("-")))
        .collect()
}

/// A shuttle's ball lies at the one inlet that has oil. Then the other is fed and drained by ways as
/// wide, so that what it has cannot be said: it may push the ball over, and neither is the clutch sure.
#[test]
fn a_ball_does_not_stay_where_what_meets_it_cannot_be_said() {
    let circuit = read(
        r#"
        lever = ["one", "two"]
        [casting]
        block = { passages = ["line", "a", "b", "out"] }
        [source]
        pump = { feeds = "line" }
        [ball]
        shuttle = { kind = "shuttle", inlets = ["a", "b"], outlet = "out" }
        [valve.hand]
        bore = ["a", "line", "b", "sump"]
        one = { joins = [["line", "a"], ["b", "sump"]], otherwise = true }
        two = { joins = [["a", "line", "b", "sump"]], when = "lever.two" }
        [outlet]
        clutch = { kind = "clutch", at = "out" }
        [state]
        one = { lever = "one" }
        two = { lever = "two" }
    "#,
    );
    let answer = drive(&circuit, &["one", "two"], &[]);
    assert_eq!(ids(&answer.steps[0].applied), ["clutch"]);
    assert_eq!(answer.steps[1].courses[0].course, CourseWord::Undecided);
    assert_eq!(ids(&answer.steps[1].unsure), ["clutch"]);
}

/// Each gear moves the spools whose solenoids change and no others; pilot 1 is full from third to
/// third and from fifth to sixth, pilot 2 in second, third and sixth, the high half from fourth.
#[test]
fn up_through_the_gears_the_shift_valves_move_as_the_solenoids_say() {
    let answer = bus(&["first", "second", "third", "fourth", "fifth"], &[]);
    let all: Vec<Vec<String>> = answer.steps.iter().map(moved).collect();
    assert_eq!(all[0], ["manual neutral>drive"]);
    assert_eq!(all[1], ["shift-2 rest>up"]);
    assert_eq!(all[2], ["shift-1 rest>up"]);
    // Three spools at once, as the range valve's note says.
    assert_eq!(
        all[3],
        ["shift-1 up>rest", "shift-2 up>rest", "range low>high"]
    );
    // C oil and pilot 3 together set the relay, and only once C has its oil.
    assert_eq!(all[4], ["shift-1 rest>up", "limp-relay reset>set"]);
    assert!(!answer.wrong());
    assert!(answer.steps.iter().all(|s| s.courses.is_empty()));
}

/// If shift valve 2 falls back before the range valve is over, brake E gets a breath of drive oil,
/// empties into the exhaust gallery and keeps the 0.2 bar of its ball; if after, E never has any.
/// Every valve ends in the same place, so it is no race. In fifth A empties into that gallery, and
/// E stands at what the ball leaves either way.
#[test]
fn what_is_left_in_the_brake_hangs_on_which_spool_is_first() {
    let circuit = open("circuits/six-speed-bus.toml");
    let answer = drive(&circuit, &["third", "fourth", "fifth"], &[]);
    let fourth = &answer.steps[1];
    assert!(fourth.ends > 1);
    assert!(fourth.differing.contains(&"e-piston".to_owned()));
    assert!(fourth.courses.is_empty());
    assert_eq!((fourth.drives, fourth.unsure.len()), (DrivesAs::Same, 0));
    assert_eq!((fourth.not_followed, answer.steps[2].ends), (0, 1));
    let net = net(&circuit);
    let piston = net.cavity("e-piston").unwrap();
    let stage = |state: &str| Stage::new(&net, &circuit.states[state], &[]);
    let highest = |settled: &Settled| -> BTreeSet<Level> {
        let ends = settled.ends.iter();
        ends.map(|end| end.pressures.span(piston).highest).collect()
    };
    let fourth = settle_from(&stage("fourth"), &settle(&stage("third")).ends[0]);
    assert_eq!(highest(&fourth), [Level::Off, Level::Fill].into());
    for end in &fourth.ends {
        let fifth = settle_from(&stage("fifth"), end);
        assert_eq!(highest(&fifth), [Level::Fill].into());
    }
}

/// The relay that C oil set in fifth keeps itself set when the current fails: fifth stays, where
/// from cold the same lever gives third. Out of D its drive oil is gone; in D again it is third.
#[test]
fn the_limp_relay_remembers_fifth_until_the_lever_leaves_drive() {
    let answer = bus(
        &[
            "fifth",
            "plug-pulled-drive",
            "plug-pulled-neutral",
            "plug-pulled-drive",
        ],
        &[],
    );
    let [_, running, stopped, again] = &answer.steps[..] else {
        panic!();
    };
    assert_eq!(moved(running), [""; 0]);
    assert_eq!(
        (running.drives, running.like.as_deref()),
        (DrivesAs::Like, Some("fifth"))
    );
    assert_eq!(ids(&running.should), ["brake-d", "clutch-b"]);
    let cold = &running.from_cold;
    assert_eq!(
        (ids(&cold.lost), ids(&cold.gained)),
        (vec!["brake-d"], vec!["clutch-c"])
    );
    let relay = cold
        .stand
        .iter()
        .find(|s| s.valve.id == "limp-relay")
        .unwrap();
    assert_eq!(relay.there, [Some("reset".to_owned())]);
    assert_eq!(relay.here, [Some("set".to_owned())]);
    assert!(moved(stopped).contains(&"limp-relay set>reset".to_owned()));
    for step in [stopped, again] {
        assert_eq!(step.drives, DrivesAs::Same);
        assert_eq!(step.from_cold, Default::default());
    }
    assert!(answer.wrong());
}

/// The state that writes the relay down as set: from fifth the relay would stand there of itself,
/// from first it would not.
#[test]
fn a_valve_held_by_hand_is_told_from_one_that_would_go_there() {
    for (before, let_be) in [("fifth", "set"), ("first", "reset")] {
        let answer = bus(&[before, "plug-pulled-running"], &[]);
        let [relay] = &answer.steps[1].by_hand[..] else {
            panic!();
        };
        assert_eq!(relay.valve.id, "limp-relay");
        assert_eq!(relay.held.as_deref(), Some("set"));
        assert_eq!(relay.let_be, [Some(let_be.to_owned())], "{before}");
        assert_eq!(answer.steps[1].drives, DrivesAs::Same);
    }
}

/// Reverse oil pushes both shuttles over, and first pushes E's back; neutral moves neither, for
/// then neither side has oil.
#[test]
fn park_reverse_neutral_first() {
    let answer = bus(&["park", "reverse", "neutral", "first"], &[]);
    let all: Vec<Vec<String>> = answer.steps.iter().map(moved).collect();
    assert_eq!(all[0], ["manual neutral>park"]);
    assert!(all[1].contains(&"e-either first-feed>reverse".to_owned()));
    assert!(all[1].contains(&"c-either c-high>reverse".to_owned()));
    assert!(!all[2].iter().any(|m| m.contains("either")), "{:?}", all[2]);
    assert!(all[3].contains(&"e-either reverse>first-feed".to_owned()));
    assert!(!answer.wrong());
    // Park and neutral list nothing: nothing applied is what they should have.
    assert!(answer.steps[0].should.is_empty() && answer.steps[0].applied.is_empty());
}

/// Stuck in reset, the relay is missed only once the current fails; a walk that keeps its current
/// is none the worse, and what the sound walk does too is no fault's doing.
#[test]
fn with_a_fault_each_step_is_held_against_the_sound_walk() {
    let stuck = &["limp-relay:stuck=reset"];
    let answer = bus(&["fifth", "plug-pulled-drive"], stuck);
    let [fifth, pulled] = &answer.steps[..] else {
        panic!();
    };
    assert!(!fifth.is_wrong() && pulled.is_wrong());
    assert_eq!(fifth.from_sound.as_ref().unwrap().stand.len(), 1);
    let sound = pulled.from_sound.as_ref().unwrap();
    assert_eq!(
        (ids(&sound.lost), ids(&sound.gained)),
        (vec!["clutch-c"], vec!["brake-d"])
    );
    // It does what its state lists: the fault is in that it should not, coming from fifth.
    assert_eq!(pulled.drives, DrivesAs::Same);
    assert!(!bus(&["first", "second", "fifth", "sixth"], stuck).wrong());
    assert!(!bus(&["fifth", "plug-pulled-drive"], &["e-exhaust:stuck-seated"]).wrong());
}

/// Through the hole or past the ball, lift comes on and lets go; with the hole plugged it never
/// comes on, so there is nothing to let go.
#[test]
fn the_lesson_of_the_check_ball_walked() {
    let states = &["free", "lift", "free"];
    let answer = lesson("check-ball", states, &[]);
    assert_eq!(moved(&answer.steps[0]), [""; 0]);
    assert_eq!(moved(&answer.steps[1]), ["lever-valve free>lift"]);
    assert_eq!(moved(&answer.steps[2]), ["lever-valve lift>free"]);
    assert!(!answer.wrong());
    assert!(!lesson("check-ball", states, &["quick-off:stuck-seated"]).wrong());
    let plugged = lesson("check-ball", states, &["fill:plugged"]);
    let wrong: Vec<bool> = plugged.steps.iter().map(WalkStep::is_wrong).collect();
    assert_eq!(wrong, [false, true, false]);
    assert_eq!(plugged.steps[1].drives, DrivesAs::None);
}

/// The ball crosses only when the other side calls alone; both at once find it where it lies. (Let
/// go of both at once, and whichever valve is last leaves it on either seat: no step here does.)
#[test]
fn the_lesson_of_the_shuttle_walked() {
    let states = &["lever", "both", "pedal", "both", "lever"];
    let answer = lesson("shuttle", states, &[]);
    let ball = |step: &WalkStep| moved(step).into_iter().find(|m| m.starts_with("either"));
    let crossings: Vec<Option<String>> = answer.steps.iter().map(ball).collect();
    let over = |way: &str| Some(format!("either {way}"));
    assert_eq!(
        crossings,
        [
            None,
            None,
            over("choked-feed>pedal-feed"),
            None,
            over("pedal-feed>choked-feed"),
        ]
    );
    assert!(!answer.wrong());
}

/// The feed passes a ball and nothing else leads from the clutch: let go, its oil cannot get out.
/// In `blocked` the lever valve shuts its port as well, so the feed behind the ball is sealed with
/// it; in `off` that runs off and the clutch alone keeps its oil.
#[test]
fn oil_with_no_way_out_stays_and_lets_go_late() {
    let circuit = read(
        "
        lever = ['off', 'on', 'blocked']
        [casting]
        block = { passages = ['line', 'feed', 'piston'] }
        [source]
        pump = { feeds = 'line' }
        [valve.manual]
        bore = ['sump', 'feed', 'line']
        off = { joins = [['feed', 'sump']], otherwise = true }
        on = { joins = [['line', 'feed']], when = 'lever.on' }
        blocked = { joins = [], when = 'lever.blocked' }
        [ball]
        in = { from = 'feed', to = 'piston' }
        [outlet]
        clutch = { kind = 'clutch', at = 'piston' }
        [state]
        off = { lever = 'off' }
        on = { lever = 'on', applies = ['clutch'] }
        blocked = { lever = 'blocked' }
        ",
    );
    let answer = drive(&circuit, &["off", "on", "blocked", "off"], &[]);
    let trapped: Vec<Vec<&str>> = answer
        .steps
        .iter()
        .map(|s| s.trapped.iter().map(String::as_str).collect())
        .collect();
    assert_eq!(
        trapped,
        [vec![], vec![], vec!["feed", "piston"], vec!["piston"]]
    );
    let shut_in: Vec<Vec<&str>> = answer.steps.iter().map(|s| ids(&s.shut_in)).collect();
    assert_eq!(shut_in, [vec![], vec![], vec!["clutch"], vec!["clutch"]]);
    assert_eq!(
        drives(&answer),
        [
            (DrivesAs::Same, "off"),
            (DrivesAs::Same, "on"),
            (DrivesAs::Like, "on"),
            (DrivesAs::Like, "on"),
        ]
    );
    assert_eq!(ids(&answer.steps[3].from_cold.gained), ["clutch"]);
    assert!(answer.wrong());
}

/// Two relays that each shut the other's pilot off: which is first wins, and keeps what it won
/// in the next step. Both ends are gone on from, and each leads to a clutch of its own: of
/// neither clutch can it be said, though one of the two is on.
#[test]
fn a_race_is_gone_on_from_at_both_its_ends() {
    let circuit = read(
        "
        [casting]
        block = { passages = ['line', 'a-pilot', 'b-pilot', 'a-feed', 'b-feed'] }
        [source]
        pump = { feeds = 'line' }
        [input]
        go = {}
        [valve.start]
        bore = ['sump', 'line', 'a-feed', 'b-feed']
        wait = { joins = [['a-feed', 'sump'], ['b-feed', 'sump']], otherwise = true }
        run = { joins = [['line', 'a-feed'], ['line', 'b-feed']], when = 'go' }
        [valve.a]
        bore = ['a-pilot', 'b-feed', 'b-pilot', 'sump']
        rest = { joins = [['b-feed', 'b-pilot']], otherwise = true }
        over = { joins = [['b-pilot', 'sump']], when = 'a-pilot' }
        [valve.b]
        bore = ['b-pilot', 'a-feed', 'a-pilot', 'sump']
        rest = { joins = [['a-feed', 'a-pilot']], otherwise = true }
        over = { joins = [['a-pilot', 'sump']], when = 'b-pilot' }
        [outlet]
        a-clutch = { kind = 'clutch', at = 'a-pilot' }
        b-clutch = { kind = 'clutch', at = 'b-pilot' }
        [state]
        wait = {}
        run = { on = ['go'] }
        ",
    );
    let answer = drive(&circuit, &["wait", "run", "run", "wait"], &[]);
    let [_, raced, kept, over] = &answer.steps[..] else {
        panic!();
    };
    assert_eq!(raced.courses[0].course, CourseWord::Race);
    assert_eq!(ids(&raced.courses[0].unsettled), ["a", "b"]);
    for step in [raced, kept] {
        assert_eq!((step.drives, step.ends), (DrivesAs::Unsure, 2));
        assert_eq!(ids(&step.unsure), ["a-clutch", "b-clutch"]);
    }
    // It races no more: whoever won keeps what it has.
    assert!(kept.courses.is_empty());
    assert_eq!(moved(kept), [""; 0]);
    assert_eq!((over.ends, over.drives), (1, DrivesAs::Same));
    assert!(
        moved(over).contains(&"a rest|over>rest".to_owned()),
        "{:?}",
        moved(over)
    );
}

#[test]
fn an_unknown_state_is_refused() {
    let circuit = open("circuits/lessons/shuttle.toml");
    let error = walk(&net(&circuit), &["rest", "lift"], &[]).unwrap_err();
    assert!(error.to_string().contains("lift"));
}

/// Everywhere: the first step is the state from cold, and to stay in it moves nothing.
#[test]
fn in_every_circuit_the_first_step_is_cold_and_staying_moves_nothing() {
    for (path, circuit) in every_circuit() {
        let net = net(&circuit);
        for (id, state) in &circuit.states {
            let answer = walk(&net, &[id, id], &[]).unwrap();
            let settled = settle(&Stage::new(&net, state, &[]));
            assert_eq!(answer.steps[0].ends, settled.ends.len(), "{path} {id}");
            assert_eq!(answer.steps[0].from_cold, Default::default(), "{path} {id}");
            assert_eq!(answer.steps[1].from_cold, Default::default(), "{path} {id}");
            assert_eq!(moved(&answer.steps[1]), [""; 0], "{path} {id}");
            assert!(!answer.wrong(), "{path} {id}");
        }
    }
}
