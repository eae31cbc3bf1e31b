//! What a report says and in what order, before any medium.
//!
//! An answer is worded once, as a [`Page`]; the terminal and Markdown each show any page.

use std::ops::Add;

use crate::circuit::shown;

/// A report: its title, then one block after the other.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Page {
    /// What the report is about; a terminal, where the question stands just above, leaves it out.
    pub title: Line,
    /// The blocks.
    pub blocks: Vec<Block>,
}

/// One block of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// The answer in one sentence.
    Lead(Line),
    /// What the next blocks are about.
    Heading(Line),
    /// A paragraph.
    Text(Line),
    /// Items in no order.
    List(Vec<Line>),
    /// Items one after the other.
    Steps(Vec<Line>),
    /// Rows of cells, as many in each as the head has.
    Table {
        /// The name of each column.
        head: Vec<&'static str>,
        /// The rows.
        rows: Vec<Vec<Line>>,
    },
    /// Lines of a circuit file as they are typed.
    Code(Vec<Line>),
    /// Lines of a tree or of a map, whose spaces count.
    Tree(Vec<Line>),
    /// What to bear in mind when reading the rest.
    Note(Line),
}

impl Block {
    /// A piece of a circuit file.
    #[must_use]
    pub fn code(text: &str) -> Self {
        Block::Code(text.lines().map(Line::from).collect())
    }

    /// A table without the columns in which no row has anything.
    #[must_use]
    pub fn table(head: &[&'static str], rows: Vec<Vec<Line>>) -> Self {
        let used = |i: &usize| rows.iter().any(|row| !row[*i].is_empty());
        let used: Vec<usize> = (0..head.len()).filter(used).collect();
        let cells =
            |mut row: Vec<Line>| used.iter().map(|i| std::mem::take(&mut row[*i])).collect();
        Block::Table {
            head: used.iter().map(|i| head[*i]).collect(),
            rows: rows.into_iter().map(cells).collect(),
        }
    }
}

/// What a stretch of text stands for. A medium may colour it; the text alone says it too.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Role {
    /// Prose.
    #[default]
    Plain,
    /// What matters most in a line.
    Strong,
    /// What a reader can type.
    Id,
    /// A word of the circuit file, quoted in a sentence.
    Word,
    /// What can be passed over.
    Faint,
    /// Has its oil.
    Supplied,
    /// Has lost its oil.
    Drained,
    /// Fed and drained at once.
    Contested,
    /// Has oil that it should not have.
    Stray,
    /// Has oil that cannot get out.
    Trapped,
    /// Cannot be said.
    Unsure,
}

/// A stretch of text in one role.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    role: Role,
    text: String,
}

impl Span {
    /// A stretch of text. Line breaks and tabs become spaces; other control characters and
    /// those that turn the direction of writing, which could forge what a reader sees, become
    /// the replacement character.
    #[must_use]
    pub fn new(role: Role, text: &str) -> Self {
        Span {
            role,
            text: text.chars().map(shown).collect(),
        }
    }

    /// What it stands for.
    #[must_use]
    pub fn role(&self) -> Role {
        self.role
    }

    /// The text, free of control characters.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

/// Stretches of text that follow each other; lines are joined with `+`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    spans: Vec<Span>,
}

impl Line {
    /// The stretches.
    #[must_use]
    pub fn spans(&self) -> &[Span] {
        &self.spans
    }

    /// A line in one role.
    #[must_use]
    pub fn role(role: Role, text: &str) -> Self {
        Line {
            spans: vec![Span::new(role, text)],
        }
    }

    /// What a reader can type.
    #[must_use]
    pub fn id(text: &str) -> Self {
        Line::role(Role::Id, text)
    }

    /// Whether nothing is in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.spans.iter().all(|s| s.text.is_empty())
    }

    /// The same as the start of a sentence. An id keeps its letters.
    #[must_use]
    pub fn capital(mut self) -> Self {
        if let Some(span) = self.spans.iter_mut().find(|s| !s.text.is_empty())
            && span.role != Role::Id
        {
            let mut rest = span.text.chars();
            if let Some(first) = rest.next() {
                span.text = first.to_uppercase().chain(rest).collect();
            }
        }
        self
    }

    /// Lines as one list in a sentence: `a, b and c`.
    #[must_use]
    pub fn list(items: impl IntoIterator<Item = Line>, last: &str) -> Self {
        let mut items = items.into_iter().peekable();
        let mut line = items.next().unwrap_or_default();
        while let Some(item) = items.next() {
            line = match items.peek() {
                Some(_) => line + ", " + item,
                None => line + " " + last + " " + item,
            };
        }
        line
    }

    /// Lines as one list in a sentence of so many items at most: `a, b and 3 more`.
    #[must_use]
    pub fn few(items: impl IntoIterator<Item = Line>, most: usize, last: &str) -> Self {
        let mut items: Vec<Line> = items.into_iter().collect();
        if items.len() > most {
            let more = items.len() + 1 - most;
            items.truncate(most - 1);
            items.push(format!("{more} more").into());
        }
        Line::list(items, last)
    }
}

impl From<&str> for Line {
    fn from(text: &str) -> Self {
        Line::role(Role::Plain, text)
    }
}

impl From<String> for Line {
    fn from(text: String) -> Self {
        Line::from(&*text)
    }
}

impl<T: Into<Line>> Add<T> for Line {
    type Output = Line;

    fn add(mut self, more: T) -> Line {
        self.spans.extend(more.into().spans);
        self
    }
}
