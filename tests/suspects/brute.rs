//! Suspects against asking `starve` of every set of faults, one after the other.

use std::collections::BTreeSet as Set;

use oilpath::answer::{StarveState, Status, Verdict, starve};
use oilpath::circuit::{Case, Circuit, Fares, Fault, Seen, Sighting};
use oilpath::net::Net;
use oilpath::suspect::{HeldAgainst, Inquiry, SuspectsQuestion, case_record};
use proptest::prelude::*;

use super::support::moving::moving;
use super::support::{net, open, read};

/// What one set of faults does to what was seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Says {
    Against,
    Open,
    Foretells,
}

/// What a set of faults says of an outlet seen starved or fine, from its verdict alone.
fn says(state: &StarveState, seen: &Sighting) -> Says {
    let Seen::Outlet(outlet, fares) = &seen.seen else {
        unreachable!("outlets alone are seen here");
    };
    let own = state.outlets.iter().find(|o| o.outlet == *outlet).unwrap();
    let unbuilt = !state.will_not_build.is_empty() && own.sound == Status::On;
    match (fares, own.verdict) {
        // Where nothing builds pressure, what counts as kept may have nothing.
        (Fares::Starved, Verdict::Kept) if unbuilt => Says::Foretells,
        (Fares::Fine, Verdict::Kept) if unbuilt => Says::Open,
        (Fares::Starved, Verdict::Starved) => Says::Foretells,
        (Fares::Starved, Verdict::Weakened | Verdict::Undecided) => Says::Open,
        (Fares::Starved, _) => Says::Against,
        (Fares::Fine, Verdict::Starved) => Says::Against,
        (Fares::Fine, Verdict::Weakened | Verdict::Undecided | Verdict::OnWhenOff) => Says::Open,
        (Fares::Fine, _) => Says::Foretells,
        _ => unreachable!("starved and fine alone are seen here"),
    }
}

/// The smallest sets of up to two faults, of different parts, that foretell all of it.
fn explaining(net: &Net<'_>, saw: &[Sighting]) -> Vec<Vec<Fault>> {
    let circuit = net.circuit();
    let foretells = |set: &[Fault]| {
        saw.iter().all(|seen| {
            let told = starve(net, set, seen.state.as_deref());
            says(&told.states[0], seen) == Says::Foretells
        })
    };
    let faults = circuit.faults();
    let mut found: Set<Vec<Fault>> = Set::new();
    for fault in &faults {
        if foretells(std::slice::from_ref(fault)) {
            found.insert(vec![fault.clone()]);
        }
    }
    let mut pairs = Vec::new();
    for (i, one) in faults.iter().enumerate() {
        for other in &faults[i + 1..] {
            let known = |fault: &Fault| found.contains(&vec![fault.clone()]);
            if one.part == other.part || known(one) || known(other) {
                continue;
            }
            let pair = vec![one.clone(), other.clone()];
            if foretells(&pair) {
                pairs.push(pair);
            }
        }
    }
    found.into_iter().chain(pairs).collect()
}

/// Whether each of two faults alone foretells something seen starved that the other does not, and
/// both together all of it.
fn share(net: &Net<'_>, saw: &[Sighting], pair: &[Fault]) -> bool {
    let starved = saw.iter().filter(|s| s.to_string().ends_with("starved"));
    let hits = starved.map(|seen| {
        let alone = |fault: &Fault| {
            let told = starve(net, std::slice::from_ref(fault), seen.state.as_deref());
            says(&told.states[0], seen) == Says::Foretells
        };
        [alone(&pair[0]), alone(&pair[1])]
    });
    let hits: Vec<[bool; 2]> = hits.collect();
    let all = |which: usize| hits.iter().all(|hit| hit[which]);
    hits.iter().all(|hit| hit[0] || hit[1]) && !all(0) && !all(1)
}

fn asked(saw: Vec<Sighting>, most: usize) -> SuspectsQuestion {
    SuspectsQuestion {
        saw,
        most,
        measure: false,
        ..SuspectsQuestion::default()
    }
}

/// What is seen of some faults: outlets that have lost their oil first, then those that kept it.
fn seen_of(circuit: &Circuit, net: &Net<'_>, faults: &[Fault], most: usize) -> Vec<Sighting> {
    let told = starve(net, faults, None);
    let mut saw = Vec::new();
    for state in &told.states {
        let id = state.state.as_deref().unwrap();
        for outlet in state.outlets.iter().filter(|o| o.sound == Status::On) {
            let fares = match outlet.verdict {
                Verdict::Starved => "starved",
                Verdict::Kept if state.will_not_build.is_empty() => "fine",
                _ => continue,
            };
            let text = format!("{id}: {} {fares}", circuit.short(&outlet.outlet));
            saw.extend(circuit.sightings(&text).unwrap());
        }
    }
    // Those starved first, so that few still say something.
    saw.sort_by_key(|s| s.to_string().ends_with("fine"));
    saw.truncate(most);
    saw
}

/// Checks one circuit with what a fault shows; says how many sets explain it and how many of them
/// are pairs of which each does a share.
fn agrees(circuit: &Circuit, fault: &[Fault], most: usize) -> [usize; 2] {
    let net = net(circuit);
    let saw = seen_of(circuit, &net, fault, most);
    if !saw.iter().any(|s| s.to_string().ends_with("starved")) {
        return [0, 0];
    }
    let slow = explaining(&net, &saw);
    let everything = Inquiry::new(&net, asked(saw.clone(), usize::MAX / 2));
    let seen: Vec<String> = saw.iter().map(ToString::to_string).collect();
    let whole = oilpath::sheet::write(circuit);
    assert_eq!(
        said(circuit, everything.explaining()),
        said(circuit, slow.clone()),
        "{seen:?}\n{whole}"
    );
    // With no more sets than the smallest hitting sets, those alone are tried.
    let tried = everything.suspects().tried;
    let hitting = tried.iter().find(|t| t.faults == 2).map_or(0, |t| t.shares);
    let few = Inquiry::new(&net, asked(saw.clone(), hitting as usize)).explaining();
    let pairs = |sets: Vec<Vec<Fault>>| sets.into_iter().filter(|set| set.len() == 2);
    let shared: Vec<Vec<Fault>> = pairs(slow.clone())
        .filter(|p| share(&net, &saw, p))
        .collect();
    let few: Vec<Vec<Fault>> = pairs(few).collect();
    assert_eq!(
        said(circuit, few),
        said(circuit, shared.clone()),
        "{seen:?}\n{whole}"
    );
    [slow.len(), shared.len()]
}

/// Sets as they are typed, sorted.
fn said(circuit: &Circuit, sets: Vec<Vec<Fault>>) -> Set<String> {
    let sets = sets.iter().map(|set| {
        let mut said: Vec<String> = set.iter().map(|fault| circuit.say(fault)).collect();
        said.sort();
        said.join(" and ")
    });
    sets.collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// With no limit, the smallest sets that explain what two faults show are those that trying every
    /// set finds; and those that come of smallest hitting sets are those whose faults each do a
    /// share of it.
    #[test]
    fn what_explains_is_what_trying_every_set_finds(
        small in moving(5),
        picks in [any::<prop::sample::Index>(), any::<prop::sample::Index>()],
        most in 1usize..5,
    ) {
        let circuit = read(&small.text());
        let faults = circuit.faults();
        if faults.len() <= 50 {
            let [one, other] = picks.map(|pick| pick.get(&faults).clone());
            agrees(&circuit, &[one, other], most);
        }
    }
}

/// The lessons, with faults one by one and two by two.
#[test]
fn lessons_agree_with_trying() {
    let mut sets = [0, 0];
    for lesson in ["check-ball", "metered-feed", "separator-plate"] {
        let circuit = open(&format!("circuits/lessons/{lesson}.toml"));
        let faults = circuit.faults();
        for (i, fault) in faults.iter().enumerate().step_by(7) {
            let other = &faults[(i * 5 + 3) % faults.len()];
            for set in [vec![fault.clone()], vec![fault.clone(), other.clone()]] {
                let found = agrees(&circuit, &set, 4);
                sets = [sets[0] + found[0], sets[1] + found[1]];
            }
        }
    }
    assert!(sets[0] > 20 && sets[1] > 0, "{sets:?}");
}

/// Whatever is found, the record of a case holds it against what was seen as its verdict does.
#[test]
fn what_was_found_is_held_as_its_verdict_says() {
    let circuit = open("circuits/lessons/check-ball.toml");
    let net = net(&circuit);
    let saw = ["lift: lift-clutch starved", "free: lift-clutch fine"];
    let saw = saw.iter().flat_map(|text| circuit.sightings(text).unwrap());
    let saw: Vec<Sighting> = saw.collect();
    let mut counts = [0; 3];
    for fault in circuit.faults() {
        let case = Case {
            saw: saw.clone(),
            found: vec![fault.clone()],
            ..Case::default()
        };
        let question = SuspectsQuestion {
            up_to: 1,
            measure: false,
            ..SuspectsQuestion::default()
        };
        let held = case_record(&net, &case, question).found.unwrap().held;
        for (seen, held) in saw.iter().zip(held) {
            let told = starve(&net, std::slice::from_ref(&fault), seen.state.as_deref());
            let says = says(&told.states[0], seen);
            let is = match held {
                HeldAgainst::Foretold => Says::Foretells,
                HeldAgainst::Contradicted => Says::Against,
                HeldAgainst::LeftOpen | HeldAgainst::Unlikely => Says::Open,
                HeldAgainst::NotWeighed => panic!("{fault}: not weighed"),
            };
            assert_eq!(is, says, "{fault}: {seen}");
            counts[is as usize] += 1;
        }
    }
    assert!(counts.iter().all(|count| *count > 0), "{counts:?}");
}
