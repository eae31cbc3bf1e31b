//! An answer, shown as was asked.

use std::io;

use super::args::{self, Format, Shown};
use super::failure::Failure;
use crate::answer::Answer;
use crate::circuit::Circuit;
use crate::page::{self, Drawings};
use crate::report::{self, Look, Page, Words};

/// An answer as text, and whether it says that something is wrong.
pub(super) struct Reply {
    pub text: String,
    pub wrong: bool,
}

/// An answer as text.
pub(super) fn render<A: Answer>(
    answer: &A,
    page: impl FnOnce() -> Page,
    format: Format,
    look: Look,
) -> Result<Reply, Failure> {
    render_drawn(answer, page, || Ok(Drawings::default()), format, look)
}

/// An answer as text, with its drawing where the format has room for one.
fn render_drawn<A: Answer>(
    answer: &A,
    page: impl FnOnce() -> Page,
    drawings: impl FnOnce() -> Result<Drawings, Failure>,
    format: Format,
    look: Look,
) -> Result<Reply, Failure> {
    let json = || report::json(answer).map_err(|e| Failure::Unwritten(None, io::Error::other(e)));
    let text = match format {
        Format::Text => report::terminal(&page(), look),
        Format::Markdown => report::markdown(&page()),
        Format::Json => json()?,
        Format::Html => {
            let asked = args::asked(A::NAME);
            page::report(&page(), asked.as_deref(), &drawings()?, &json()?)
        }
        Format::Csv | Format::JsonLines => {
            let what = "this answer is not written line by line".to_owned();
            return Err(Failure::one(what, "choose text, markdown, html or json"));
        }
    };
    Ok(Reply {
        text,
        wrong: answer.wrong(),
    })
}

/// How answers are shown.
pub(super) struct Show<'c> {
    words: Words<'c>,
    format: Format,
    look: Look,
}

impl<'c> Show<'c> {
    pub fn of(circuit: &'c Circuit, shown: &Shown, look: Look) -> Self {
        Show {
            words: Words {
                circuit,
                units: shown.units,
            },
            format: shown.format,
            look,
        }
    }

    pub fn words(&self) -> &Words<'c> {
        &self.words
    }

    pub fn reply<A: Answer>(
        &self,
        answer: &A,
        page: impl FnOnce(&Words<'_>) -> Page,
    ) -> Result<Reply, Failure> {
        self.drawn(answer, page, || Ok(Drawings::default()))
    }

    /// The same with drawings, made where the format has room for them.
    pub fn drawn<A: Answer>(
        &self,
        answer: &A,
        page: impl FnOnce(&Words<'_>) -> Page,
        drawings: impl FnOnce() -> Result<Drawings, Failure>,
    ) -> Result<Reply, Failure> {
        render_drawn(
            answer,
            || page(&self.words),
            drawings,
            self.format,
            self.look,
        )
    }

    /// How it is shown.
    pub fn format(&self) -> Format {
        self.format
    }
}
