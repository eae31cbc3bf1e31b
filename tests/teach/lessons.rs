//! Every lesson follows the oil, and its answers hold.

use std::collections::BTreeSet;

use oilpath::answer::{self, Route, RouteKind};
use oilpath::circuit::{Circuit, Kind, PartName};
use oilpath::net::Net;
use oilpath::teach::{self, LessonError, StepAt, StepQuestion};

use crate::{WAYS, support};

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
