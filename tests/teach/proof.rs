//! Whether a question has the one right answer it says it has.

use std::collections::BTreeSet;

use oilpath::answer::{self, OutletVerdict, Route, RouteKind, StarveState, Verdict};
use oilpath::circuit::{Kind, Level, PartName, State};
use oilpath::net::{Net, Stage};
use oilpath::settle::{Span, settle};
use oilpath::teach::{QuizAsked, QuizQuestion, Shows};

use crate::WAYS;

/// Asks the engine whether a question has the one right answer it says it has. A slow rival of
/// how the quiz is made: one fault settled at a time, ways listed one by one.
pub fn proved(net: &Net<'_>, question: &QuizQuestion) -> Result<(), String> {
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
                let same = both_sure && pinned && shows[0] == shows[1];
                if !(truth || same) {
                    return Err(format!("{} may tell or may not", choice.gauge));
                }
                truths.push(truth);
            }
            only_right(truths)
        }
    }
}

/// What a fault does in a state, if nothing about it is open.
pub fn told(net: &Net<'_>, fault: &str, state: Option<&str>) -> Result<StarveState, String> {
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
