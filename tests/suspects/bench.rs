//! What is found on the bench, by air and by vacuum, among what is seen and what can be checked.

use oilpath::answer::AirBench;
use oilpath::circuit::Circuit;
use oilpath::suspect::{Check, CheckWord, ClashWhy, Inquiry, PlanStep, Unweighed};

use super::support::{net, open, read};
use super::{inquire, question};

/// Two clutches fed through two castings and a valve; the left one's ring can leak, the right one's
/// feed can be plugged.
fn two_clutches() -> Circuit {
    read(
        "lever = ['N', 'D']\n\
         [casting]\nblock = { passages = ['line', 'feed'] }\n\
         case = { passages = ['left', 'right', 'back'] }\n\
         [source]\npump = { feeds = 'line', pressure = '8 bar' }\n\
         [plate]\nface = { kind = 'gasket', faces = ['block', 'case'] }\n\
         [port]\nleft-port = { between = ['feed', 'left'], through = 'face' }\n\
         right-port = { between = ['feed', 'right'], through = 'face' }\n\
         back-vent = { between = ['back', 'sump'] }\n\
         [seal]\nring = { kind = 'ring', between = ['left', 'back'] }\n\
         [valve.hand]\nbore = ['sump', 'feed', 'line', 'sump']\n\
         neutral = { joins = [['feed', 'sump']], otherwise = true }\n\
         drive = { joins = [['line', 'feed']], when = 'lever.D' }\n\
         [outlet]\nleft-clutch = { kind = 'clutch', at = 'left' }\n\
         right-clutch = { kind = 'clutch', at = 'right' }\n\
         [state]\nneutral = { lever = 'N' }\n\
         drive = { lever = 'D', applies = ['left-clutch', 'right-clutch'] }\n",
    )
}

fn first(circuit: &Circuit, saw: &[&str]) -> Vec<String> {
    let net = net(circuit);
    let suspects = inquire(&net, saw).suspects();
    let first = suspects.suspects.into_iter().next();
    let sets = first.into_iter().flat_map(|suspect| suspect.sets);
    sets.map(|set| set.faults.concat().join(" and ")).collect()
}

/// Air into the left clutch hisses off: its ring is behind it, or its passage, and nothing of the
/// right side. Nothing moves at the right one: nothing gets there.
#[test]
fn air_that_leaks_is_the_seal_and_air_that_moves_nothing_is_the_plugged_feed() {
    let circuit = two_clutches();
    let leaks = first(&circuit, &["air: left-clutch leaks"]);
    assert!(leaks.contains(&"ring:worn".to_owned()), "{leaks:?}");
    assert!(leaks.iter().all(|set| !set.contains("right")), "{leaks:?}");
    let dead = first(&circuit, &["air: right-clutch dead"]);
    assert_eq!(dead, ["right:plugged"]);
}

/// Of two suspects in drive, air that holds clears the ring.
#[test]
fn air_that_holds_speaks_against_what_would_leak() {
    let circuit = two_clutches();
    let net = net(&circuit);
    let ring = circuit.fault("ring:cut").unwrap();
    let share = |saw: &[&str]| {
        let suspects = inquire(&net, saw).suspects().suspects;
        let sets = suspects.iter().flat_map(|s| &s.sets);
        let own = sets.filter(|set| set.faults == [[circuit.say(&ring)]]);
        own.map(|set| set.share).sum::<f64>()
    };
    let driven = ["drive: left-clutch starved"];
    let before = share(&driven);
    let after = share(&[driven[0], "air: left-clutch holds"]);
    assert!(before > 0.01 && after < before / 5.0, "{before} {after}");
}

/// What the bench is computed to show with a fault laid is never ruled out by being seen, and a
/// check in which the fault cannot be felt says nothing of it.
#[test]
fn no_fault_is_ruled_out_by_what_air_shows_of_it() {
    for path in [
        "circuits/transfer-box.toml",
        "circuits/published/two-speed-training.toml",
    ] {
        let circuit = open(path);
        let net = net(&circuit);
        let bench = AirBench::new(&net);
        let mut asked = 0;
        for setup in bench.setups() {
            let sound = bench.blow(setup, &[]);
            let at = bench.cavity(setup);
            for fault in circuit.faults().iter().step_by(9) {
                let found = bench.blow(setup, std::slice::from_ref(fault));
                let hisses = found.escapes.len() > sound.escapes.len();
                if sound.strokes.is_empty() || found == sound {
                    continue;
                }
                let said = match (hisses, found.strokes.is_empty()) {
                    (true, _) => "leaks",
                    (_, true) => "dead",
                    _ => continue,
                };
                let saw = format!("air: {} {said}", circuit.short(&passage(at)));
                let mut question = question(&circuit, &[&saw]);
                (question.up_to, question.measure) = (1, false);
                let rank = Inquiry::new(&net, question).rank(std::slice::from_ref(fault));
                assert!(rank.is_some(), "{path}: {} by {saw}", circuit.say(fault));
                asked += 1;
            }
        }
        assert!(asked > 3, "{path}: {asked}");
    }
}

fn passage(id: &str) -> oilpath::circuit::PartName {
    oilpath::circuit::PartName::new(oilpath::circuit::Kind::Passage, id)
}

/// A bore that leaks under vacuum is worn, or its passage is cracked; one that holds is not.
#[test]
fn a_bore_that_leaks_is_worn() {
    let circuit = open("circuits/transfer-box.toml");
    let leaks = first(&circuit, &["vacuum: front leaks"]);
    assert!(
        !leaks.is_empty() && leaks.iter().all(|set| set.starts_with("front:worn=")),
        "{leaks:?}"
    );
    let net = net(&circuit);
    let worn = circuit.fault("range:worn=line+sump").unwrap();
    let rank = |bore: &[&str]| {
        let saw = [&["low: slips, hot only"], bore].concat();
        let mut question = question(&circuit, &saw);
        question.up_to = 1;
        let rank = Inquiry::new(&net, question).rank(std::slice::from_ref(&worn));
        rank.unwrap_or(f64::INFINITY)
    };
    let (before, holds) = (rank(&[]), rank(&["vacuum: range holds"]));
    let leaks = rank(&["vacuum: range leaks"]);
    assert!(
        leaks <= before && before < holds,
        "{leaks} {before} {holds}"
    );
}

/// Every check that the plan, or a confirmation, asks for on the bench can be typed as it is told.
#[test]
fn a_check_on_the_bench_reads_back() {
    let circuit = two_clutches();
    let net = net(&circuit);
    let mut question = question(&circuit, &["drive: flare"]);
    for text in ["drive=500", "bench=1"] {
        question.efforts.give(text).unwrap();
    }
    let next = Inquiry::new(&net, question).next();
    let mut made = Vec::new();
    walk(&next.plan, &mut made);
    assert!(
        made.iter().any(|(check, _)| check.what == CheckWord::Air),
        "{made:?}"
    );
    for (check, seen) in made.iter().filter(|(check, _)| check.on_bench()) {
        assert_eq!(check.state, None);
        let read = circuit.sightings(seen).unwrap();
        assert_eq!(read[0].to_string(), *seen);
        assert_eq!(read[0].seen.part(), check.at.as_ref());
    }
}

fn walk(step: &PlanStep, made: &mut Vec<(Check, String)>) {
    for outcome in &step.outcomes {
        if let Some(check) = &step.check {
            made.push((check.clone(), outcome.seen.clone()));
        }
        walk(&outcome.next, made);
    }
}

/// Once the block is out, it has to go in again before it is driven: no plan drives after a check on
/// the bench where that costs more than it tells.
#[test]
fn what_is_on_the_bench_is_not_driven() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let mut question = question(&circuit, &["low: none"]);
    for text in ["drive=30", "outside=30", "bench=1", "look=50", "air=0.1"] {
        question.efforts.give(text).unwrap();
    }
    let next = Inquiry::new(&net, question).next();
    fn on_bench(step: &PlanStep) -> usize {
        let own = step.check.as_ref().is_some_and(Check::on_bench);
        usize::from(own)
            + step
                .outcomes
                .iter()
                .map(|o| on_bench(&o.next))
                .sum::<usize>()
    }
    assert!(on_bench(&next.plan) > 0);
    assert!(next.plan.effort <= next.one_by_one + 1e-9);
}

/// A feed under a bridge cover, from a check ball through a gate to a clutch: ten parts.
fn covered() -> Circuit {
    read(
        "[casting]\nblock = { passages = ['line', 'feed', 'apply', 'pilot', 'bay'] }\n\
         case = { passages = ['drum'] }\n\
         [source]\npump = { feeds = 'line', pressure = '8 bar' }\n\
         [plate]\ncover = { kind = 'bridge', faces = ['block'], roofs = ['feed'] }\n\
         [ball]\ncheck = { from = 'line', to = 'feed' }\n\
         [orifice]\njet = { between = ['line', 'pilot'] }\n\
         [port]\nturn = { between = ['apply', 'drum'] }\n\
         vent = { between = ['bay', 'sump'] }\n\
         [valve.gate]\nbore = ['pilot', 'sump', 'apply', 'feed']\n\
         open = { joins = [['feed', 'apply']], otherwise = true }\n\
         shut = { joins = [['apply', 'sump']], when = 'pilot' }\n\
         [outlet]\nclutch = { kind = 'clutch', at = 'drum' }\n\
         [tap]\nfeed-tap = { at = 'feed' }\nbay-tap = { at = 'bay' }\n",
    )
}

/// Whoever hears it leak heard air: a loose cover lets it out. A gate that is stuck shut keeps the
/// clutch from stroking and lets out none, so that it stands not before the cover however much
/// likelier it is, and is no suspect at all.
#[test]
fn a_leak_heard_speaks_for_what_lets_air_out_alone() {
    let circuit = covered();
    let net = net(&circuit);
    let bench = AirBench::new(&net);
    let lets_air_out = |said: &String| {
        let fault = circuit.fault(said).unwrap();
        bench.setups().iter().any(|setup| {
            let known = bench.blow(setup, &[]).escapes;
            let found = bench.blow(setup, std::slice::from_ref(&fault));
            found.escapes.iter().any(|escape| !known.contains(escape))
        })
    };
    let mut question = question(&circuit, &["air: feed leaks"]);
    question.up_to = 1;
    let suspects = Inquiry::new(&net, question).suspects().suspects;
    let sets: Vec<&String> = suspects
        .iter()
        .flat_map(|suspect| &suspect.sets)
        .flat_map(|set| &set.faults[0])
        .collect();
    assert!(sets.iter().any(|said| *said == "cover:loose"), "{sets:?}");
    assert!(
        !sets.iter().any(|said| *said == "gate:stuck=shut"),
        "{sets:?}"
    );
    let silent = sets.iter().find(|said| !lets_air_out(said));
    assert_eq!(silent, None, "{sets:?}");
    // That nothing strokes is what the stuck gate does, and the cover is far behind it.
    let dead = inquire(&net, &["air: feed dead"]).suspects().suspects;
    let share = |said: &str| {
        let sets = dead.iter().flat_map(|suspect| &suspect.sets);
        let own = sets.filter(|set| set.faults == [[said]]);
        own.map(|set| set.share).sum::<f64>()
    };
    assert!(share("gate:stuck=shut") > 20.0 * share("cover:loose"));
}

/// Air into a bay with an open vent goes off at once on a sound block, and strokes nothing: what came
/// of it tells nothing, as the bench sheet says, and is not weighed.
#[test]
fn air_where_it_always_goes_off_tells_nothing() {
    let circuit = covered();
    let net = net(&circuit);
    let sheet = oilpath::answer::air(&net);
    assert!(sheet.useless.iter().any(|check| check.cavity == "bay"));
    assert!(sheet.checks.iter().all(|check| check.cavity != "bay"));
    for test in ["leaks", "dead", "holds"] {
        let saw = format!("air: bay {test}");
        let inquiry = inquire(&net, &[&saw]);
        assert!(inquiry.is_quiet(), "{saw}");
        let seen = &inquiry.suspects().seen[0];
        assert_eq!(seen.unweighed, Some(Unweighed::AirTellsNothing), "{saw}");
        assert!(!seen.weighed && !seen.abnormal, "{saw}");
    }
    // Beside what tells something, it changes nothing.
    let alone = inquire(&net, &["air: feed leaks"]).suspects().suspects;
    let both = inquire(&net, &["air: feed leaks", "air: bay dead"]).suspects();
    assert_eq!(both.suspects, alone);
}

/// Two things said of one hole exclude each other; a hole that cannot be blown into is asked about
/// all the same.
#[test]
fn air_cannot_hold_and_leak() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let suspects = inquire(
        &net,
        &["air: front-clutch leaks", "air: front-clutch holds"],
    )
    .suspects();
    let excludes = ClashWhy::Excludes { other: 0 };
    assert!(suspects.clashes.iter().any(|clash| clash.why == excludes));
    assert!(
        suspects
            .seen
            .iter()
            .all(|seen| seen.weighed && seen.state.is_none())
    );
    let inside = inquire(&net, &["air: lube-chain leaks"]).suspects();
    assert!(inside.seen[0].weighed);
}
