//! Any report as a page.

use maud::{Markup, PreEscaped, html};

use super::data::text;
use super::frame::{data, frame};
use crate::report::page::{Block, Line, Page, Role, Span};

/// Drawings that go with a report, as SVG that [`draw::svg`](crate::draw::svg) writes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Drawings {
    /// Of the answer as a whole.
    pub whole: Option<String>,
    /// For the sections of the report, one after the other, each below its heading.
    pub sections: Vec<String>,
}

/// A report as one HTML file: what was asked, the answer, its drawing where there is one, then
/// the rest, and the answer as JSON for other programs, in an element of its own.
///
/// `json` is what [`report::json`](crate::report::json) writes.
///
/// ```
/// use oilpath::{page, report::page::{Block, Page}};
/// let report = Page { title: "A <box>".into(), blocks: vec![Block::Lead("Nothing.".into())] };
/// let html = page::report(&report, Some("What starves?"), &Default::default(), "{}");
/// assert!(html.contains("<h1>A &lt;box&gt;</h1>"));
/// assert!(html.contains("What starves?"));
/// ```
#[must_use]
pub fn report(page: &Page, question: Option<&str>, drawings: &Drawings, json: &str) -> String {
    let (leads, rest): (Vec<&Block>, Vec<&Block>) =
        (page.blocks.iter()).partition(|block| matches!(block, Block::Lead(_)));
    let mut sections = drawings.sections.iter();
    let body = html! {
        header {
            h1 { (inline(&page.title)) }
            @if let Some(question) = question { p.faint { "Asked: " (question) } }
        }
        main.report {
            @for lead in leads { (block(lead)) }
            @if let Some(svg) = &drawings.whole { div.sheet tabindex="0" role="region" aria-label="Drawing" { (PreEscaped(svg)) } }
            @for other in rest {
                (block(other))
                @if matches!(other, Block::Heading(_)) {
                    @if let Some(svg) = sections.next() { div.small { (PreEscaped(svg)) } }
                }
            }
        }
        (data("answer", json))
    };
    frame(&text(&page.title), body)
}

fn block(block: &Block) -> Markup {
    match block {
        Block::Lead(line) => html! { p.lead { (inline(line)) } },
        Block::Heading(line) => html! { h2 { (inline(line)) } },
        Block::Text(line) => html! { p { (inline(line)) } },
        Block::Note(line) => html! { p.note { (inline(line)) } },
        Block::List(items) => html! { ul { @for item in items { li { (inline(item)) } } } },
        Block::Steps(items) => html! { ol { @for item in items { li { (inline(item)) } } } },
        Block::Table { head, rows } => html! {
            div.wide tabindex="0" role="region" aria-label="Table" {
                table {
                    thead { tr { @for name in head { th scope="col" { (name) } } } }
                    tbody {
                        @for row in rows { tr { @for cell in row { td { (inline(cell)) } } } }
                    }
                }
            }
        },
        Block::Code(lines) | Block::Tree(lines) => html! {
            pre tabindex="0" { @for line in lines { (inline(line)) "\n" } }
        },
    }
}

fn inline(line: &Line) -> Markup {
    html! { @for one in line.spans() { (span(one)) } }
}

fn span(span: &Span) -> Markup {
    let text = span.text();
    let class = match span.role() {
        Role::Plain => return html! { (text) },
        Role::Strong => return html! { strong { (text) } },
        Role::Id | Role::Word => return html! { code { (text) } },
        Role::Faint => "faint",
        Role::Supplied => "supplied",
        Role::Drained => "drained",
        Role::Contested => "contested",
        Role::Stray => "stray",
        Role::Trapped => "trapped",
        Role::Unsure => "unsure",
    };
    html! { span class=(class) { (text) } }
}
