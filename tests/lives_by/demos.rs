//! Every single fault of every demo circuit, in every state: what starves a user of oil alone is what
//! `starve` says of that fault.

use std::collections::{BTreeMap, BTreeSet as Set};
use std::path::Path;

use oilpath::answer::{LivesByQuestion, Status, Verdict, lives_by, starve};
use oilpath::circuit::PartName;
use oilpath::net::{Net, User};
use oilpath::sheet;

use super::support::files::circuit_files;
use super::support::net;

/// What single faults do to one user of oil in one state: those that starve it, and those with which
/// it cannot be said whether it has oil.
type Alone = [Set<String>; 2];

/// The same for users in states.
type Found = BTreeMap<(PartName, Option<String>), Alone>;

/// Asks `starve` of each fault, one after the other.
fn by_starve(net: &Net<'_>, users: &[PartName], state: Option<&str>) -> Found {
    let circuit = net.circuit();
    let mut found = Found::new();
    for fault in circuit.faults() {
        let typed = circuit.say(&fault);
        for state in starve(net, &[fault], state).states {
            let told = state.outlets.iter().filter(|o| users.contains(&o.outlet));
            for outlet in told.filter(|o| o.sound == Status::On) {
                let key = (outlet.outlet.clone(), state.state.clone());
                let [starves, undecided] = found.entry(key).or_default();
                if outlet.verdict == Verdict::Starved {
                    starves.insert(typed.clone());
                }
                if outlet.now == Status::Unsure {
                    undecided.insert(typed.clone());
                }
            }
        }
    }
    found
}

/// Holds what some users of a circuit live by alone, in one state or in all, against what `starve`
/// says. Gives how many such answers there were.
fn agrees(file: &Path, state: Option<&str>, asked: fn(&User) -> bool) -> usize {
    let circuit = sheet::open(file).unwrap().circuit;
    let net = net(&circuit);
    let users = net.outlets().iter();
    // What the pump draws through has no pressure to lose.
    let drawn =
        |user: User| matches!(user, User::Through { inlet, .. } if net.draws_through(inlet));
    let users = users.filter(|o| asked(&o.user) && !drawn(o.user));
    let users: Vec<PartName> = users.map(|o| o.name.clone()).collect();
    let question = LivesByQuestion {
        state: state.map(str::to_owned),
        up_to: 1,
        ..LivesByQuestion::default()
    };
    let mut found = Found::new();
    for user in &users {
        for state in lives_by(&net, user, &question).unwrap().states {
            let sets = state.cut_sets.into_iter().flat_map(|set| set.faults);
            let alone = [
                sets.flatten().collect(),
                state.undecided.into_iter().collect(),
            ];
            found.insert((user.clone(), state.state), alone);
        }
    }
    let slow = by_starve(&net, &users, state);
    for (key, alone) in &slow {
        assert_eq!(found.get(key), Some(alone), "{} {key:?}", file.display());
    }
    assert_eq!(found.len(), slow.len(), "{}", file.display());
    found.len()
}

/// Filters, converters and coolers, on the pump's own line and behind it. The six-speed, which is by far
/// the largest, in states between which everything that is switched moves.
#[test]
fn what_oil_passes_through_lives_by_what_starve_says() {
    let through = |user: &User| matches!(user, User::Through { .. });
    let mut asked = 0;
    for file in circuit_files("circuits") {
        let states = match file.ends_with("six-speed-bus.toml") {
            true => &[Some("second"), Some("sixth-locked")][..],
            false => &[None],
        };
        for state in states {
            asked += agrees(&file, *state, through);
        }
    }
    assert!(asked > 50, "{asked}");
}

/// Clutches, bearings and whatever else oil ends at, of all but the largest.
#[test]
fn outlets_live_by_what_starve_says() {
    let ends = |user: &User| !matches!(user, User::Through { .. });
    let mut asked = 0;
    for file in circuit_files("circuits") {
        if !file.ends_with("six-speed-bus.toml") {
            asked += agrees(&file, None, ends);
        }
    }
    assert!(asked > 100, "{asked}");
}
