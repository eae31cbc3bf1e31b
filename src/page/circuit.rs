//! A circuit to click through: its drawing, what can be wrong with each part, and what that does.

use maud::{Markup, PreEscaped, html};

use super::data::{Embedded, text};
use super::frame::{data, frame};
use crate::answer::{Depth, Scenarios, Sweeper, starve};
use crate::draw::{self, DrawError, Layer, Layered, LayoutError, Style, View};
use crate::net::Net;
use crate::report::{Words, words};
use crate::units::UnitSystem;

const SCRIPT: &str = include_str!("circuit.js");

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
pub enum PageError {
    /// The circuit cannot be drawn.
    #[error(transparent)]
    Draw(#[from] DrawError),
    /// The drawing cannot be laid out.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// The data cannot be written.
    #[error(transparent)]
    Json(#[from] serde_json::Error),
}

/// The page of a circuit, with every single fault in every state worked out.
///
/// A link to it remembers what is chosen: `circuit.html#state=low&part=hop-cover&fault=loose`.
///
/// # Errors
/// A circuit that cannot be drawn.
///
/// ```
/// use oilpath::{net::Net, page, sheet, units::UnitSystem};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line"] }
///     [source]
///     pump = { feeds = "line" }
///     [outlet]
///     clutch = { kind = "clutch", at = "line", label = "<b>" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let page = page::circuit(&net, UnitSystem::Metric).unwrap();
/// assert!(page.starts_with("<!DOCTYPE html>"));
/// assert!(!page.contains("<b>"));
/// ```
pub fn circuit(net: &Net<'_>, units: UnitSystem) -> Result<String, PageError> {
    let circuit = net.circuit();
    let words = Words { circuit, units };
    let base = View {
        units,
        ..View::default()
    };
    let mut picture = draw::picture(net, &base)?;
    for item in &mut picture.items {
        // The script marks outlets, as the fault that is chosen has it.
        item.verdict = None;
    }
    // Nor is it the drawing of one state.
    picture.about = "the whole circuit".to_owned();
    let svg = draw::svg(&picture, &Layered, &Style::default())?;
    let sound = starve(net, &[], None);
    let sweeper = Sweeper::new(net, Scenarios::alone(circuit, |_| true), &[]).explaining();
    let embedded = Embedded::of(&words, &sweeper, &sound, &Layer::of(net, &picture));
    let title = text(&words.title());
    let body = body(&title, &svg, &embedded, &serde_json::to_string(&embedded)?);
    Ok(frame(&title, body))
}

fn body(title: &str, svg: &str, embedded: &Embedded, json: &str) -> Markup {
    let faults = embedded.faults.len();
    html! {
        header {
            h1 { (title) }
            p.faint { (embedded.parts.len()) " parts, " (faults) " faults, each alone" }
            noscript { p { "This page needs its script to answer; the drawing stands without." } }
        }
        main.circuit {
            section.ask aria-label="What is asked" {
                @if embedded.states[0].0.is_empty() { select #state hidden aria-label="State" {} }
                @else { label for="state" { "State" } select #state {} }
                label for="find" { "Find a part" }
                input #find type="search" autocomplete="off" placeholder="name or kind";
                label for="part" { "Part " span.faint #count aria-live="polite" {} }
                select #part {}
                label for="fault" { "What is wrong with it" }
                select #fault {}
                button #sound type="button" { "Nothing wrong" }
            }
            section.told #told aria-label="The answer" {
                // Alone read out at every change; the rest is there to be read.
                p.lead #lead aria-live="polite" {}
                div #rest {}
            }
            section.drawing aria-label="The drawing" {
                div.tools {
                    button #smaller type="button" aria-label="Smaller drawing" { "−" }
                    button #larger type="button" aria-label="Larger drawing" { "+" }
                    button #whole type="button" { "Whole" }
                    span.faint #caption {}
                }
                div.sheet #sheet tabindex="0" role="region" aria-label="Drawing; scroll it, or press Tab for its parts" {
                    (PreEscaped(svg))
                }
                p.faint { "Click a part. With the keyboard: Tab into the drawing, arrows from part to part, Enter to choose." }
            }
        }
        footer {
            p { (text(&words::depth(Depth::Settle))) }
            p { (text(&words::gauge_caution())) }
        }
        (data("data", json))
        script { (PreEscaped(SCRIPT)) }
    }
}
