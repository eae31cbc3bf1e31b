//! Pages for a browser.

use std::io;

use super::args::{Format, Shown};
use super::failure::Failure;
use super::show::Reply;
use crate::answer::Starve;
use crate::circuit::{Circuit, Fault, Kind, PartName};
use crate::draw::{self, Layered, Picture, Scope, Shape, Style, View};
use crate::net::Net;
use crate::page::{self, Drawings, PageError};
use crate::report::{self, QuizSheet, Words};
use crate::teach::Lesson;
use crate::units::UnitSystem;

/// Makes the page of a circuit.
pub(super) fn page(circuit: &Circuit, shown: &Shown) -> Result<String, Failure> {
    if !matches!(shown.format, Format::Text | Format::Html) {
        let what = "the page of a circuit is HTML always".to_owned();
        return Err(Failure::one(what, "leave out `--format`"));
    }
    let net = Net::new(circuit).map_err(|e| Failure::one(e.to_string(), "check the file"))?;
    page::circuit(&net, shown.units).map_err(unmade)
}

/// Makes the page of a quiz, which marks itself.
pub(super) fn quiz(sheet: &QuizSheet, words: &Words<'_>) -> Result<Reply, Failure> {
    let json = report::json(sheet).map_err(|e| unmade(e.into()))?;
    Ok(Reply {
        text: page::quiz(words, sheet, &json),
        wrong: false,
    })
}

/// The circuit with its faults, in the first state in which they do anything.
pub(super) fn starving(
    net: &Net<'_>,
    answer: &Starve,
    faults: &[Fault],
    units: UnitSystem,
) -> Result<Drawings, Failure> {
    let mut states = answer.states.iter();
    let suffers = states.find(|s| s.outlets.iter().any(|o| o.verdict.is_bad()));
    let shown = suffers.or_else(|| answer.states.first());
    faulty(net, shown.and_then(|s| s.state.as_deref()), faults, units)
}

/// The circuit with its faults in one state.
pub(super) fn faulty(
    net: &Net<'_>,
    state: Option<&str>,
    faults: &[Fault],
    units: UnitSystem,
) -> Result<Drawings, Failure> {
    let view = View {
        state,
        faults,
        units,
        ..View::default()
    };
    Ok(Drawings {
        whole: Some(drawing(&picture(net, &view)?, &Style::default())?),
        sections: Vec::new(),
    })
}

/// The way that a lesson follows, and each of its steps.
pub(super) fn steps(
    net: &Net<'_>,
    lesson: &Lesson,
    units: UnitSystem,
) -> Result<Drawings, Failure> {
    let view = |scope| View {
        state: lesson.state.as_deref(),
        faults: &[],
        units,
        scope,
    };
    let mut whole = picture(net, &view(Scope::Trace(lesson.outlet.clone())))?;
    for item in whole.items.iter_mut().filter(|i| i.shape != Shape::Cavity) {
        // The lesson has steps of its own.
        let steps = lesson.steps.iter().zip(1..);
        let steps = steps.filter(|(step, _)| step.parts.contains(&item.name));
        item.steps = steps.map(|(_, number)| number).collect();
    }
    let steps = lesson.steps.iter().zip(1..).map(|(step, number)| {
        let cavities = step.cavities.iter();
        let cavities = cavities.map(|id| PartName::new(Kind::Passage, id));
        let only = Scope::Only(cavities.chain(step.parts.iter().cloned()).collect());
        let style = Style {
            prefix: format!("step-{number}-"),
            beside: true,
            ..Style::default()
        };
        drawing(&picture(net, &view(only))?, &style)
    });
    Ok(Drawings {
        sections: steps.collect::<Result<_, _>>()?,
        whole: Some(drawing(&whole, &Style::default())?),
    })
}

fn picture(net: &Net<'_>, view: &View<'_>) -> Result<Picture, Failure> {
    draw::picture(net, view).map_err(|e| unmade(e.into()))
}

fn drawing(picture: &Picture, style: &Style) -> Result<String, Failure> {
    draw::svg(picture, &Layered, style).map_err(|e| unmade(e.into()))
}

fn unmade(error: PageError) -> Failure {
    match error {
        PageError::Json(error) => Failure::Unwritten(None, io::Error::other(error)),
        error => Failure::one(error.to_string(), "check the file"),
    }
}
