//! The shape of each JSON answer, as a JSON Schema.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::{Value, json};

use super::{Check, Explain, QuizSheet};
use crate::answer::{
    Agreement, Answer, Around, Bench, Chart, Checklist, Compare, Flows, Gauges, Grid, LivesBy,
    Overnight, Parts, Reassemble, Signatures, Starve, Sweep, SweepRecord, TakesHold, Trace,
    Unplugged, Vary, Walk, Why,
};
use crate::suspect::{CaseRecord, Next, Suspects};
use crate::teach::Lesson;

/// A kind of answer and the schema of its JSON.
#[derive(Clone, Copy, Debug)]
pub struct AnswerSchema {
    /// What its JSON calls itself: `{"answer": ...}`.
    pub answer: &'static str,
    /// Makes the schema (JSON Schema 2020-12).
    pub schema: fn() -> Value,
}

/// Every kind of answer that [`super::json`] writes.
///
/// ```
/// let starve = oilpath::report::SCHEMAS.iter().find(|s| s.answer == "starve").unwrap();
/// assert_eq!((starve.schema)()["properties"]["answer"]["const"], "starve");
/// ```
pub const SCHEMAS: &[AnswerSchema] = &[
    of::<Check>(),
    of::<Explain>(),
    of::<Parts>(),
    of::<Trace>(),
    of::<Starve>(),
    of::<Around>(),
    of::<Why>(),
    of::<LivesBy>(),
    of::<Chart>(),
    of::<Checklist>(),
    of::<Unplugged>(),
    of::<Walk>(),
    of::<Overnight>(),
    of::<Reassemble>(),
    of::<Lesson>(),
    of::<QuizSheet>(),
    of::<Sweep>(),
    of::<SweepRecord>(),
    of::<Flows>(),
    of::<Gauges>(),
    of::<Vary>(),
    of::<Suspects>(),
    of::<Next>(),
    of::<CaseRecord>(),
    of::<Grid>(),
    of::<Signatures>(),
    of::<Agreement>(),
    of::<TakesHold>(),
    of::<Bench>(),
    of::<Compare>(),
];

const fn of<A: Answer + JsonSchema>() -> AnswerSchema {
    AnswerSchema {
        answer: A::NAME,
        schema: schema::<A>,
    }
}

fn schema<A: Answer + JsonSchema>() -> Value {
    let generator = SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator();
    let mut schema = generator.into_root_schema_for::<A>().to_value();
    // What the envelope puts before the answer's own fields.
    for (key, value) in [("answer", json!(A::NAME)), ("version", json!(A::VERSION))] {
        schema["properties"][key] = json!({ "const": value });
        if let Some(required) = schema["required"].as_array_mut() {
            required.push(json!(key));
        }
    }
    schema
}
