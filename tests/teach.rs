//! Lessons and quizzes say what the engine says, and nothing else.

mod support;

use std::collections::BTreeSet;

use oilpath::answer::{self, OutletVerdict, Route, RouteKind, StarveState, Verdict};
use oilpath::circuit::{Circuit, Kind, Level, PartName, State};
use oilpath::net::{Net, Stage};
use oilpath::settle::{Span, settle};
use oilpath::teach::{
    self, Dice, Examiner, LessonError, QuizAsked, QuizError, QuizKind, QuizLevel, QuizQuestion,
    Shows, StepAt, StepQuestion,
};
use proptest::prelude::*;

/// Ways looked at before it is given up to look at all.
const WAYS: usize = 300;

/// Asks the engine whether a question has the one right answer it says it has. A slow rival of
/// how the quiz is made: one fault settled at a time, ways listed one by one.
fn proved(net: &Net<'_>, question: &QuizQuestion) -> Result<(), String> {
    let state = question.state.as_deref();
    let right = question.right;
    let only_right = |truths: Vec<bool>| {
        let wanted: Vec<bool> = (0..truths.len()).map(|i| i == right).collect();
        (truths == wanted)
            .then_some(())
            .ok_or_else(|| format!("{truths:?}, not {right}"))
    };
    if !(2..=4).contains(&question.asked.choices()) {
        return Err("too many choices or too few".to_owned());
    }
    match &question.asked {
        QuizAsked::Starves { fault, choices, .. } => {
            let told = told(net, fault, state)?;
            let starved = with(&told, Verdict::Starved);
            for outlet in choices.iter().flatten() {
                if told.outlets.iter().find(|o| o.outlet == outlet.outlet) != Some(outlet) {
                    return Err(format!("{} is not so", outlet.outlet));
                }
                let sure = [Verdict::Starved, Verdict::Kept, Verdict::Off];
                if !sure.contains(&outlet.verdict) {
                    return Err(format!("{} is neither", outlet.outlet));
                }
            }
            let truths = choices.iter().map(|choice| match choice {
                Some(outlet) => starved.contains(&outlet.outlet),
                None => starved.is_empty(),
            });
            only_right(truths.collect())
        }
        QuizAsked::Culprit {
            starved,
            on_when_off,
            choices,
            ..
        } => {
            let mut truths = Vec::new();
            for (i, choice) in choices.iter().enumerate() {
                let told = told(net, &choice.fault, state)?;
                let lost = with(&told, Verdict::Starved) == starved.iter().cloned().collect();
                let stray =
                    with(&told, Verdict::OnWhenOff) == on_when_off.iter().cloned().collect();
                let clean = told.outlets.iter().all(|o| {
                    let plain = [
                        Verdict::Starved,
                        Verdict::OnWhenOff,
                        Verdict::Kept,
                        Verdict::Off,
                    ];
                    plain.contains(&o.verdict)
                });
                truths.push(lost && stray && clean);
                match &choice.cleared_by {
                    None if i == right => {}
                    Some(outlet) if i != right => cleared(&told, outlet, starved, on_when_off)?,
                    _ => return Err(format!("{} is cleared, or not", choice.fault)),
                }
            }
            let parts = choices
                .iter()
                .map(|c| net.circuit().fault(&c.fault).unwrap().part);
            if parts.collect::<BTreeSet<_>>().len() < choices.len() {
                return Err("two faults of one part".to_owned());
            }
            only_right(truths)
        }
        QuizAsked::Order { outlet, choices } => {
            let kind = RouteKind::All(WAYS);
            let traced = answer::trace(net, outlet, &[], state, kind).map_err(|e| e.to_string())?;
            if traced.routes.is_empty() {
                return Err(format!("no way to {outlet}"));
            }
            let fits =
                |order: &Vec<PartName>| traced.routes.iter().all(|r| met(r, order) == *order);
            only_right(choices.iter().map(fits).collect())
        }
        QuizAsked::Gauge {
            faults,
            starved,
            on_when_off,
            choices,
        } => {
            for fault in faults {
                let told = told(net, fault, state)?;
                if with(&told, Verdict::Starved) != starved.iter().cloned().collect()
                    || with(&told, Verdict::OnWhenOff) != on_when_off.iter().cloned().collect()
                {
                    return Err(format!("{fault} does something else"));
                }
            }
            let mut truths = Vec::new();
            for choice in choices {
                let [a, b] = [&faults[0], &faults[1]].map(|f| span(net, f, state, &choice.gauge));
                let shows = [a, b].map(|span| match choice.gauge.kind {
                    Kind::Switch => Shows::Closed(match span {
                        s if s.lowest >= Level::Low => Some(true),
                        s if s.highest < Level::Low => Some(false),
                        _ => None,
                    }),
                    _ => Shows::Pressure(span),
                });
                if shows != choice.shows {
                    return Err(format!("{} shows {shows:?}", choice.gauge));
                }
                let apart = a.highest < b.lowest || b.highest < a.lowest;
                let both_sure = shows.iter().all(|s| *s != Shows::Closed(None));
                let truth = match choice.gauge.kind {
                    Kind::Switch => both_sure && shows[0] != shows[1],
                    _ => apart,
                };
                let pinned = a.lowest == a.highest || choice.gauge.kind == Kind::Switch;
                if !truth && !(both_sure && pinned && shows[0] == shows[1]) {
                    return Err(format!("{} may tell or may not", choice.gauge));
                }
                truths.push(truth);
            }
            only_right(truths)
        }
    }
}

/// What a fault does in a state, if nothing about it is open.
fn told(net: &Net<'_>, fault: &str, state: Option<&str>) -> Result<StarveState, String> {
    let fault = net.circuit().fault(fault).map_err(|e| e.to_string())?;
    let mut answer = answer::starve(net, &[fault], state);
    let told = answer.states.pop().ok_or("no such state")?;
    let open = told.outlets.iter().any(|o| o.verdict == Verdict::Undecided);
    let works = told.will_not_build.is_empty() && told.cannot_draw.is_empty();
    match !open && works && told.course == answer::CourseWord::Steady {
        true => Ok(told),
        false => Err("cannot be said".to_owned()),
    }
}

fn with(told: &StarveState, verdict: Verdict) -> BTreeSet<PartName> {
    let some = told.outlets.iter().filter(|o| o.verdict == verdict);
    some.map(|o| o.outlet.clone()).collect()
}

/// Whether an outlet is with a fault as was said, and other than what was seen.
fn cleared(
    told: &StarveState,
    outlet: &OutletVerdict,
    starved: &[PartName],
    on_when_off: &[PartName],
) -> Result<(), String> {
    if !told.outlets.contains(outlet) {
        return Err(format!("{} is not so", outlet.outlet));
    }
    let seen = match () {
        () if starved.contains(&outlet.outlet) => vec![Verdict::Starved],
        () if on_when_off.contains(&outlet.outlet) => vec![Verdict::OnWhenOff],
        () => vec![Verdict::Kept, Verdict::Off],
    };
    let plain = [
        Verdict::Starved,
        Verdict::OnWhenOff,
        Verdict::Kept,
        Verdict::Off,
    ];
    match plain.contains(&outlet.verdict) && !seen.contains(&outlet.verdict) {
        true => Ok(()),
        false => Err(format!("{} clears nothing", outlet.outlet)),
    }
}

/// Those of some parts that oil meets on a way, in order.
fn met(route: &Route, of: &[PartName]) -> Vec<PartName> {
    let passage = |id: &String| PartName::new(Kind::Passage, id);
    let hops = route.hops.iter();
    let all = hops.flat_map(|hop| [hop.part.clone(), passage(&hop.to)]);
    let all = std::iter::once(passage(&route.start)).chain(all);
    all.filter(|part| of.contains(part)).collect()
}

/// Between which levels the cavity of a gauge stands with a fault.
fn span(net: &Net<'_>, fault: &str, state: Option<&str>, gauge: &PartName) -> Span {
    let circuit = net.circuit();
    let at = match gauge.kind {
        Kind::Tap => &circuit.taps[&gauge.id].at,
        _ => &circuit.switches[&gauge.id].at,
    };
    let nameless = State::default();
    let state = state.map_or(&nameless, |id| &circuit.states[id]);
    let settled = settle(&Stage::new(net, state, &[circuit.fault(fault).unwrap()]));
    // What is sealed in may differ between ends where nothing else does.
    let at = net.cavity(at).unwrap();
    let spans = settled.ends.iter().map(|end| end.pressures.span(at));
    let joined = spans.reduce(|a, b| Span {
        lowest: a.lowest.min(b.lowest),
        highest: a.highest.max(b.highest),
    });
    joined.unwrap()
}

/// Every question drawn with some seeds at every level, on every circuit that comes with the
/// program: proved, and found out as soon as its key is turned.
#[test]
fn every_answer_is_proved_and_every_wrong_choice_refuted() {
    let mut kinds = BTreeSet::new();
    for (path, circuit) in support::every_circuit() {
        let net = support::net(&circuit);
        let examiner = Examiner::new(&net);
        // The large circuits take their time to settle.
        let large = circuit.parts().count() > 100;
        let (seeds, count) = if large { (2, 8) } else { (12, 10) };
        for level in QuizLevel::ALL {
            for seed in 0..seeds {
                let quiz = match examiner.quiz(seed, level, count) {
                    Ok(quiz) => quiz,
                    Err(QuizError::Harder { from, .. }) => {
                        assert!(from > level, "{path}");
                        assert!(examiner.quiz(seed, from, 1).is_ok(), "{path}");
                        continue;
                    }
                    Err(error) => panic!("{path}: {error}"),
                };
                assert_eq!(
                    examiner.quiz(seed, level, count).as_ref(),
                    Ok(&quiz),
                    "{path}"
                );
                for question in &quiz.questions {
                    let about = format!("{path} {seed}: {question:?}");
                    assert!(question.level <= level, "{about}");
                    assert_eq!(proved(&net, question), Ok(()), "{about}");
                    let turned = QuizQuestion {
                        right: (question.right + 1) % question.asked.choices(),
                        ..question.clone()
                    };
                    assert!(proved(&net, &turned).is_err(), "{about}");
                    kinds.insert(question.asked.kind());
                    let left_out = quiz
                        .left_out
                        .iter()
                        .any(|l| l.kind == question.asked.kind());
                    assert!(!left_out, "{about}");
                }
            }
        }
    }
    assert_eq!(kinds, BTreeSet::from(QuizKind::ALL));
}

/// A kind that is left out is left out whatever the seed: the circuit is too small, not the luck.
#[test]
fn what_is_left_out_is_left_out_with_every_seed() {
    for (path, circuit) in support::every_circuit() {
        if circuit.parts().count() > 100 {
            continue;
        }
        let net = support::net(&circuit);
        let examiner = Examiner::new(&net);
        for level in QuizLevel::ALL {
            let left_out = |seed| {
                let quiz = examiner.quiz(seed, level, 4);
                quiz.map(|quiz| {
                    quiz.left_out
                        .iter()
                        .map(|l| l.kind)
                        .collect::<BTreeSet<_>>()
                })
            };
            let first = left_out(0);
            for seed in 1..8 {
                assert_eq!(left_out(seed), first, "{path} {level:?} {seed}");
            }
        }
    }
}

#[test]
fn another_seed_draws_another_quiz() {
    let circuit = support::open("circuits/transfer-box.toml");
    let net = support::net(&circuit);
    let examiner = Examiner::new(&net);
    let quizzes: BTreeSet<String> = (0..6)
        .map(|seed| examiner.quiz(seed, QuizLevel::MovingValves, 6).unwrap())
        .map(|quiz| format!("{:?}", quiz.questions))
        .collect();
    assert_eq!(quizzes.len(), 6);
}

/// The right choice has no favourite place.
#[test]
fn the_right_choice_stands_anywhere() {
    let circuit = support::open("circuits/transfer-box.toml");
    let net = support::net(&circuit);
    let examiner = Examiner::new(&net);
    let mut places = [0; 4];
    for seed in 0..30 {
        let quiz = examiner.quiz(seed, QuizLevel::WholeWay, 8).unwrap();
        for question in quiz.questions {
            places[question.right] += 1;
        }
    }
    let all: i32 = places.iter().sum();
    assert!(places.iter().all(|n| n * 10 > all), "{places:?}");
}

#[test]
fn a_circuit_that_is_too_small_says_so() {
    let circuit = support::read(
        "[casting]\nblock = { passages = ['line'] }\n[source]\npump = { feeds = 'line' }\n\
         [tap]\ngauge = { at = 'line' }\n",
    );
    let net = support::net(&circuit);
    let none = Examiner::new(&net).quiz(1, QuizLevel::MovingValves, 5);
    assert_eq!(none, Err(QuizError::TooSmall));
    // Two ways in a row and what uses the oil, as the remedy says.
    let circuit = support::read(
        "[casting]\nblock = { passages = ['line', 'feed', 'lube'] }\n\
         [source]\npump = { feeds = 'line' }\n\
         [port]\nhole = { between = ['line', 'feed'] }\n\
         [orifice]\njet = { between = ['feed', 'lube'] }\n\
         [outlet]\nbearing = { kind = 'bearing', at = 'lube' }\n",
    );
    let net = support::net(&circuit);
    let quiz = Examiner::new(&net)
        .quiz(1, QuizLevel::OneCasting, 3)
        .unwrap();
    assert_eq!(quiz.questions.len(), 3);
}

/// A valve that never moves keeps level 3 out; one casting keeps level 2 out.
#[test]
fn levels_mean_what_they_say() {
    for path in [
        "circuits/tractor-powershift.toml",
        "circuits/transfer-box.toml",
    ] {
        let circuit = support::open(path);
        let net = support::net(&circuit);
        let examiner = Examiner::new(&net);
        for level in QuizLevel::ALL {
            for seed in 0..3 {
                let quiz = examiner.quiz(seed, level, 8).unwrap();
                for question in &quiz.questions {
                    let state = question.state.as_deref();
                    let faults = match &question.asked {
                        QuizAsked::Starves { fault, .. } => vec![fault],
                        QuizAsked::Culprit { choices, .. } => vec![&choices[question.right].fault],
                        QuizAsked::Gauge { faults, .. } => faults.iter().collect(),
                        QuizAsked::Order { .. } => continue,
                    };
                    let moves = faults.into_iter().any(|f| {
                        let told = told(&net, f, state).unwrap();
                        !told.moved.is_empty()
                    });
                    let hardest = question.level == QuizLevel::MovingValves;
                    assert_eq!(moves, hardest, "{path} {seed} {question:?}");
                }
            }
        }
    }
}

proptest! {
    #[test]
    fn a_shuffle_loses_nothing_and_a_roll_stays_below(seed: u64, n in 1usize..200) {
        let mut dice = Dice::new(seed);
        let mut items: Vec<usize> = (0..n).collect();
        dice.shuffle(&mut items);
        prop_assert!(dice.below(n) < n);
        items.sort_unstable();
        prop_assert!(items.into_iter().eq(0..n));
    }
}

fn outlets(circuit: &Circuit) -> Vec<PartName> {
    let kinds = [Kind::Outlet, Kind::Filter, Kind::Converter, Kind::Cooler];
    let all = kinds.into_iter().flat_map(|kind| {
        let ids = circuit.ids(kind);
        ids.map(move |id| PartName::new(kind, id))
    });
    all.collect()
}

/// Every lesson of every circuit: its steps join, its parts exist, its answers hold.
#[test]
fn every_lesson_follows_the_oil_and_answers_right() {
    let mut asked = BTreeSet::new();
    for (path, circuit) in support::every_circuit() {
        let net = support::net(&circuit);
        // A large circuit has many outlets alike.
        let each = if circuit.parts().count() > 100 { 5 } else { 1 };
        for outlet in outlets(&circuit).into_iter().step_by(each) {
            let about = format!("{path} {outlet}");
            let lesson = match teach::lesson(&net, &outlet, None) {
                Ok(lesson) => lesson,
                Err(LessonError::Dry { .. }) => continue,
                Err(error) => panic!("{about}: {error}"),
            };
            let state = lesson.state.as_deref();
            let mut at = None;
            for step in &lesson.steps {
                for part in &step.parts {
                    assert!(circuit.get(part.kind, &part.id).is_some(), "{about} {part}");
                }
                assert!(
                    step.cavities.iter().all(|c| net.cavity(c).is_some()),
                    "{about}"
                );
                match &step.at {
                    StepAt::Source { feeds, .. } => at = Some(feeds.clone()),
                    StepAt::Held { cavity, .. } => assert_eq!(at.as_ref(), Some(cavity), "{about}"),
                    StepAt::Hop { hop, .. } => {
                        assert_eq!(at.as_ref(), Some(&hop.from), "{about}");
                        at = Some(hop.to.clone());
                    }
                    StepAt::Outlet { cavity, .. } => {
                        assert_eq!(at.as_ref(), Some(cavity), "{about}")
                    }
                }
                for effect in step.without.iter().chain(match &step.question {
                    StepQuestion::Fault { effect } => Some(effect),
                    _ => None,
                }) {
                    let fault = circuit.fault(&effect.fault).unwrap();
                    let told = answer::starve(&net, &[fault], state).states.remove(0);
                    let bad = told.outlets.into_iter().filter(|o| o.verdict.is_bad());
                    assert!(bad.eq(effect.suffering.iter().cloned()), "{about}");
                    assert_eq!(told.will_not_build, effect.will_not_build, "{about}");
                    assert_eq!(told.cannot_draw, effect.cannot_draw, "{about}");
                }
                asked.insert(answered(&net, &outlet, state, &step.question));
            }
            let last = lesson.steps.last().unwrap();
            assert!(
                matches!(&last.at, StepAt::Outlet { outlet: o, .. } if *o == outlet),
                "{about}"
            );
        }
    }
    let kinds = ["elsewhere", "fault", "narrowest", "spills", "way-round"];
    assert_eq!(asked, BTreeSet::from(kinds));
}

/// Checks what is left to check of a question, and says which kind it is.
fn answered(
    net: &Net<'_>,
    outlet: &PartName,
    state: Option<&str>,
    question: &StepQuestion,
) -> &'static str {
    let routes = |kind| answer::trace(net, outlet, &[], state, kind).unwrap();
    match question {
        StepQuestion::Fault { .. } => "fault",
        StepQuestion::Elsewhere { fault, states } => {
            let faults = [net.circuit().fault(fault).unwrap()];
            for told in answer::starve(net, &faults, None).states {
                let felt = states.iter().find(|felt| felt.state == told.state);
                let bad: Vec<_> = told
                    .outlets
                    .into_iter()
                    .filter(|o| o.verdict.is_bad())
                    .collect();
                if let Some(felt) = felt {
                    assert_ne!(told.state.as_deref(), state);
                    assert_eq!(felt.suffering, bad);
                }
            }
            "elsewhere"
        }
        StepQuestion::WayRound { part, needed } => {
            let all = routes(RouteKind::All(WAYS));
            let avoids = |route: &Route| {
                route.source != *part && route.hops.iter().all(|hop| hop.part != *part)
            };
            assert!(!needed || !all.routes.iter().any(avoids), "{outlet} {part}");
            assert!(
                *needed || all.more || all.routes.iter().any(avoids),
                "{outlet} {part}"
            );
            "way-round"
        }
        StepQuestion::Spills { regulator, to } => {
            let known = net.circuit().regulators[&regulator.id].work.clone();
            assert_eq!(known, oilpath::circuit::Work::Spills(to.clone()));
            "spills"
        }
        StepQuestion::Narrowest { place } => {
            let routes = routes(RouteKind::LeastRestricted).routes;
            assert!(routes.iter().any(|route| route.narrowest == *place));
            "narrowest"
        }
    }
}
