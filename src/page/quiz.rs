//! A quiz that marks itself.

use maud::{Markup, PreEscaped, html};

use super::data::text;
use super::frame::{data, frame};
use crate::report::{QuizSheet, SheetQuestion, Words, words};
use crate::teach::QuizKind;

const SCRIPT: &str = include_str!("quiz.js");

/// A quiz as one HTML file: choose, have it marked, and read why each choice is right or wrong. On
/// paper it is the questions alone, to be marked with a pencil.
///
/// `json` is what [`report::json`](crate::report::json) writes of the sheet; the script marks by it.
///
/// ```
/// use oilpath::{net::Net, page, report::{self, QuizSheet, Words}, teach::{Examiner, QuizLevel}};
/// # let circuit = oilpath::sheet::read(r#"
/// #     [casting]
/// #     block = { passages = ["line", "feed", "lube"] }
/// #     [source]
/// #     pump = { feeds = "line" }
/// #     [port]
/// #     way = { between = ["line", "feed"] }
/// #     [orifice]
/// #     hop = { between = ["feed", "lube"], bore = "1.2 mm" }
/// #     [outlet]
/// #     bearing = { kind = "bearing", at = "lube" }
/// #     clutch = { kind = "clutch", at = "line" }
/// # "#).unwrap().circuit;
/// # let net = Net::new(&circuit).unwrap();
/// # let words = Words { circuit: &circuit, units: Default::default() };
/// let quiz = Examiner::new(&net).quiz(7, QuizLevel::OneCasting, 3).unwrap();
/// let sheet = QuizSheet::new(&quiz, &words);
/// let html = page::quiz(&words, &sheet, &report::json(&sheet).unwrap());
/// assert_eq!(html.matches("<fieldset").count(), quiz.questions.len());
/// ```
#[must_use]
pub fn quiz(words: &Words<'_>, sheet: &QuizSheet, json: &str) -> String {
    let title = text(&words.title());
    let count = sheet.questions.len();
    let mut kinds = sheet.questions.iter().map(|q| q.asked.kind());
    let gauges = kinds.any(|kind| kind == QuizKind::Gauge);
    let body = html! {
        header {
            h1 { (title) }
            p.faint {
                (words::plural(count, "question")) ", seed " (sheet.seed) ", up to level " (sheet.level.number())
            }
            noscript { p { "This page needs its script to mark the answers." } }
        }
        main.report {
            form #quiz {
                @for (number, asked) in sheet.questions.iter().enumerate() { (question(number, asked)) }
                div.tools {
                    button #mark type="submit" { "Mark it" }
                    button #again type="reset" { "Start again" }
                }
                p.lead #score role="status" {}
            }
            @if gauges { p.note { (text(&words::gauge_caution())) } }
        }
        (data("answer", json))
        script { (PreEscaped(SCRIPT)) }
    };
    frame(&title, body)
}

fn question(number: usize, asked: &SheetQuestion) -> Markup {
    let name = format!("question-{number}");
    html! {
        fieldset.question data-question=(number) {
            legend { "Question " (number + 1) ", level " (asked.level.number()) }
            p { (asked.question) }
            @for (choice, words) in asked.choices.iter().enumerate() {
                label.choice {
                    input type="radio" name=(name) value=(choice);
                    span { strong { (letter(choice)) ": " } (words) }
                }
            }
            p.mark role="status" {}
        }
    }
}

fn letter(choice: usize) -> char {
    char::from(b'A' + choice as u8)
}
