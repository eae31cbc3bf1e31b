//! Lessons and quizzes say what the engine says, and nothing else.

mod lessons;
mod proof;
#[path = "../support/mod.rs"]
mod support;

use std::collections::BTreeSet;

use oilpath::teach::{Dice, Examiner, QuizAsked, QuizError, QuizKind, QuizLevel, QuizQuestion};
use proptest::prelude::*;

use proof::{proved, told};

/// Ways looked at before it is given up to look at all.
const WAYS: usize = 300;

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
                if seed == 0 {
                    let again = examiner.quiz(seed, level, count);
                    assert_eq!(again.as_ref(), Ok(&quiz), "{path}");
                }
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
