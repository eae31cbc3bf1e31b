//! Answers as JSON.

use serde::Serialize;

use crate::answer::Answer;
use crate::circuit::shown;

/// An answer with its name and the version of its shape before its own fields.
#[derive(Serialize)]
struct Envelope<'a, A> {
    answer: &'static str,
    version: u32,
    #[serde(flatten)]
    fields: &'a A,
}

/// The answer as JSON: `{"answer": "starve", "version": 1, ...}`.
///
/// # Errors
/// None in practice: an answer holds nothing that JSON cannot.
pub fn json<A: Answer>(answer: &A) -> Result<String, serde_json::Error> {
    Ok(escaped(&serde_json::to_string_pretty(&Envelope::of(answer))?) + "\n")
}

/// The same in one line.
///
/// # Errors
/// None in practice: an answer holds nothing that JSON cannot.
pub fn json_line<A: Answer>(answer: &A) -> Result<String, serde_json::Error> {
    Ok(escaped(&serde_json::to_string(&Envelope::of(answer))?) + "\n")
}

impl<'a, A: Answer> Envelope<'a, A> {
    fn of(answer: &'a A) -> Self {
        Envelope {
            answer: A::NAME,
            version: A::VERSION,
            fields: answer,
        }
    }
}

/// JSON may hold characters that a terminal obeys; they can only be in strings, where an escape
/// says the same.
fn escaped(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        if c != '\n' && shown(c) == char::REPLACEMENT_CHARACTER {
            // None of them lies beyond the reach of one escape.
            out += &format!("\\u{:04x}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    out
}
