//! Lessons and quizzes.

use std::path::Path;

use super::args::{Format, Teach};
use super::ask::OUTLETS;
use super::asked::Asked;
use super::failure::Failure;
use super::show::{Reply, Show};
use crate::net::Net;
use crate::report::{self, QuizSheet};
use crate::teach::{self, Examiner};

impl Teach {
    /// The circuit file it is about.
    pub fn file(&self) -> &Path {
        match self {
            Teach::Lesson { file, .. } | Teach::Quiz { file, .. } => &file.file,
        }
    }

    /// Makes it.
    pub fn ask(&self, net: &Net<'_>, show: &Show<'_>) -> Result<Reply, Failure> {
        match self {
            Teach::Lesson { outlet, state, .. } => {
                let mut asked = Asked::of(net.circuit());
                let outlet = asked.part(outlet, OUTLETS);
                let state = asked.state(state);
                let outlet = asked.understood(outlet)?;
                let answer = teach::lesson(net, &outlet, state.as_deref())
                    .map_err(|e| Failure::one(e.to_string(), e.remedy()))?;
                let drawings = || super::page::steps(net, &answer, show.words().units);
                show.drawn(&answer, |words| report::lesson(&answer, words), drawings)
            }
            Teach::Quiz {
                seed,
                level,
                count,
                key,
                ..
            } => {
                let quiz = Examiner::new(net)
                    .quiz(*seed, *level, *count)
                    .map_err(|e| Failure::one(e.to_string(), &e.remedy()))?;
                let sheet = QuizSheet::new(&quiz, show.words());
                if show.format() == Format::Html && !*key {
                    return super::page::quiz(&sheet, show.words());
                }
                let page = if *key { report::quiz_key } else { report::quiz };
                show.reply(&sheet, |words| page(&quiz, words))
            }
        }
    }
}
