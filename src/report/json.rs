//! Answers as JSON.

use serde::Serialize;

use crate::answer::Answer;

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
    let envelope = Envelope {
        answer: A::NAME,
        version: A::VERSION,
        fields: answer,
    };
    Ok(serde_json::to_string_pretty(&envelope)? + "\n")
}
