//! Cases reasoned out by hand from the circuit.

use oilpath::circuit::Circuit;
use oilpath::suspect::{ClashWhy, Efforts, Inquiry, Suspects};

use super::support::{net, open, read};
use super::{inquire, question};

/// The faults of the suspects, in order, those that no check tells apart in one row.
fn rows(suspects: &Suspects) -> Vec<Vec<String>> {
    let sets = |s: &oilpath::suspect::Suspect| {
        let said = s.sets.iter().map(|set| set.faults.concat().join(" and "));
        said.collect()
    };
    suspects.suspects.iter().map(sets).collect()
}

/// The lift clutch of the lesson is fed through the hole `fill` alone (the ball lets nothing in),
/// by the lever valve from line. It has nothing in lift: either the hole, a passage of the feed or
/// its cavity is plugged, or the valve sticks in free, or nothing makes pressure. `free: fine`
/// excludes none of these. A plugged tap shows nothing of its own.
#[test]
fn nothing_in_lift_is_the_hole_the_passages_the_valve_or_the_pump() {
    let circuit = open("circuits/lessons/check-ball.toml");
    let net = net(&circuit);
    let mut question = question(&circuit, &["lift: none", "free: fine"]);
    question.measure = false;
    let inquiry = Inquiry::new(&net, question);
    let explaining: Vec<String> = inquiry
        .explaining()
        .iter()
        .filter(|set| set.len() == 1)
        .map(|set| circuit.say(&set[0]))
        .collect();
    for fault in [
        "fill:plugged",
        "lift-feed:plugged",
        "lift-apply:plugged",
        "lever-valve:stuck=free",
    ] {
        assert!(
            explaining.contains(&fault.to_owned()),
            "{fault} of {explaining:?}"
        );
    }
    // With the ball out the clutch is fed faster, not slower.
    assert!(!explaining.contains(&"quick-off:left-out".to_owned()));
}

/// The gauge in the clutch tells the hole from what lies behind it: with the hole plugged it shows
/// nothing, and a likelihood given for one fault brings it to the top.
#[test]
fn what_is_given_counts_for_more_than_what_is_assumed() {
    let circuit = open("circuits/lessons/check-ball.toml");
    let net = net(&circuit);
    let first = |likelihood: Option<&str>| {
        let mut question = question(&circuit, &["lift: none", "lift: lift-tap none"]);
        if let Some(text) = likelihood {
            question.likelihoods.give(&circuit, text).unwrap();
        }
        let inquiry = Inquiry::new(&net, question);
        rows(&inquiry.suspects()).remove(0)
    };
    assert!(first(Some("lift-feed:plugged=0.9")).contains(&"lift-feed:plugged".to_owned()));
    assert!(!first(Some("lift-feed:plugged=0.000001"))[0].starts_with("lift-feed:plugged"));
}

/// Two bearings behind two holes of one line. Each dry alone is its own hole or what lies behind
/// it; both dry at once is the pump, or one fault of each branch: nothing else is before both.
#[test]
fn two_dry_bearings_are_the_pump_or_one_fault_of_each_branch() {
    let circuit = read(
        "[casting]\nblock = { passages = ['line', 'left', 'right'] }\n\
         [source]\npump = { feeds = 'line', pressure = '8 bar' }\n\
         [orifice]\nleft-hole = { between = ['line', 'left'] }\n\
         right-hole = { between = ['line', 'right'] }\n\
         [outlet]\nleft-bearing = { kind = 'bearing', at = 'left' }\n\
         right-bearing = { kind = 'bearing', at = 'right' }\n",
    );
    let net = net(&circuit);
    let inquiry = inquire(&net, &["left-bearing starved", "right-bearing starved"]);
    let said: Vec<String> = inquiry
        .explaining()
        .iter()
        .map(|set| {
            set.iter()
                .map(|f| circuit.say(f))
                .collect::<Vec<_>>()
                .join(" and ")
        })
        .collect();
    assert!(said.contains(&"line:plugged".to_owned()), "{said:?}");
    assert!(
        said.contains(&"left-hole:plugged and right-hole:plugged".to_owned()),
        "{said:?}"
    );
    assert!(
        said.contains(&"left:plugged and right:plugged".to_owned()),
        "{said:?}"
    );
    assert!(!said.contains(&"left-hole:plugged".to_owned()));
    // What holds a fault that explains it alone is not listed.
    assert!(
        !said
            .iter()
            .any(|set| set.contains(" and ") && set.contains("line:plugged"))
    );
}

/// The same two: one dry and one fine leaves the pump out.
#[test]
fn what_is_fine_rules_out_what_would_starve_it() {
    let circuit = two_branches();
    let net = net(&circuit);
    let inquiry = inquire(&net, &["left-bearing starved", "right-bearing fine"]);
    let pump = circuit.fault("line:plugged").unwrap();
    assert_eq!(inquiry.rank(std::slice::from_ref(&pump)), None);
    // Less than sure, it rules nothing out.
    let inquiry = inquire(
        &net,
        &["left-bearing starved", "right-bearing fine, likely"],
    );
    assert!(inquiry.rank(&[pump]).is_some());
}

fn two_branches() -> Circuit {
    read(
        "[casting]\nblock = { passages = ['line', 'left', 'right'] }\n\
         [source]\npump = { feeds = 'line', pressure = '8 bar' }\n\
         [orifice]\nleft-hole = { between = ['line', 'left'] }\n\
         right-hole = { between = ['line', 'right'] }\n\
         [outlet]\nleft-bearing = { kind = 'bearing', at = 'left' }\n\
         right-bearing = { kind = 'bearing', at = 'right' }\n\
         [tap]\nleft-tap = { at = 'left' }\n",
    )
}

/// Things that cannot both be, and things that a sound circuit excludes, are pointed out.
#[test]
fn what_cannot_be_is_pointed_out_with_the_reason() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let why = |saw: &[&str]| -> Vec<ClashWhy> {
        let suspects = inquire(&net, saw).suspects();
        suspects
            .clashes
            .into_iter()
            .map(|clash| clash.why)
            .collect()
    };
    let excludes = |other| ClashWhy::Excludes { other };
    assert_eq!(why(&["low: fine", "low: none"]), [excludes(0)]);
    assert_eq!(
        why(&["low: line-tap low", "low: line-tap high"]),
        [excludes(0)]
    );
    assert_eq!(
        why(&["low: line-tap 19 bar", "low: line-tap 5 bar"]),
        [excludes(0)]
    );
    assert_eq!(
        why(&["low: low-switch open", "low: low-switch closed"]),
        [excludes(0)]
    );
    assert_eq!(why(&["low: fine", "low: low-band starved"]), [excludes(0)]);
    assert_eq!(why(&["low: none", "low: low-band fine"]), [excludes(0)]);
    assert_eq!(why(&["neutral: none"]), [ClashWhy::NothingApplied]);
    assert_eq!(why(&["neutral: bind"]), [ClashWhy::NothingApplied]);
    assert_eq!(why(&["low: creeps"]), [ClashWhy::SomethingApplied]);
    assert_eq!(
        why(&["two-wheel: front-clutch starved"]),
        [ClashWhy::NoOilThere]
    );
    assert_eq!(why(&["low: low-band on"]), [ClashWhy::OilThere]);
    assert_eq!(why(&["two-wheel: front-tap low"]), [ClashWhy::NothingShown]);
    assert_eq!(why(&["low: works as low"]), [ClashWhy::SameState]);
    // Hot and cold it may be either; in two states too.
    assert_eq!(
        why(&[
            "low: line-tap low, hot only",
            "low: line-tap normal, cold only"
        ]),
        []
    );
    assert_eq!(why(&["two-wheel: fine", "low: none"]), []);
}

/// Where nothing fits, the answer says which thing seen stands in the way.
#[test]
fn where_nothing_fits_it_says_what_would_without_one_thing() {
    let circuit = two_branches();
    let net = net(&circuit);
    let suspects = inquire(&net, &["left-bearing starved", "left-tap high"]).suspects();
    assert!(suspects.suspects.is_empty());
    assert!(suspects.without.iter().any(|without| without.left > 0));
}

/// The plan never costs more than looking at the parts one after the other; free checks are always
/// worth making, and checks as dear as the bench never are.
#[test]
fn the_plan_is_the_cheaper_of_the_two() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    for saw in [
        &["low: none"][..],
        &["four-wheel: flare", "two-wheel: fine"],
        &["neutral: creeps"],
    ] {
        let plan = |efforts: &[&str]| {
            let mut question = question(&circuit, saw);
            question.efforts = Efforts::default();
            for text in efforts {
                question.efforts.give(text).unwrap();
            }
            let next = Inquiry::new(&net, question).next();
            assert!(next.plan.effort <= next.one_by_one + 1e-9, "{saw:?}");
            next
        };
        plan(&[]);
        let free = plan(&["drive=0", "outside=0"]);
        assert!(free.plan.check.is_some(), "{saw:?}");
        let dear = plan(&["drive=1000", "air=1000", "vacuum=1000"]);
        assert_eq!(dear.plan.check, None, "{saw:?}");
        assert_eq!(dear.plan.effort, dear.one_by_one);
    }
}

/// Chances of the outcomes of a check add up to one, and so do those of a plan but for what hardly
/// ever comes; nothing seen twice tells nothing new.
#[test]
fn chances_add_up() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let next = inquire(&net, &["low: none", "two-wheel: fine"]).next();
    for check in &next.checks {
        let sum: f64 = check.outcomes.iter().map(|outcome| outcome.chance).sum();
        assert!(sum <= 1.0 + 1e-9 && sum > 0.8, "{sum}");
        assert!(check.check.state.as_deref() != Some("low") || check.check.reads());
        assert!(check.check.state.as_deref() != Some("two-wheel") || check.check.reads());
    }
    let shares: f64 = next.suspects.iter().flatten().map(|set| set.share).sum();
    assert!((shares - next.share).abs() < 1e-9);
}
