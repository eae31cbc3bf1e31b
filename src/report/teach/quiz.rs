//! A quiz, in words: its questions, and apart from them its key.

use serde::Serialize;

use super::proof::Told;
use super::strong;
use crate::answer::Answer;
use crate::report::page::{Block, Line, Page};
use crate::report::words::{self, Words};
use crate::teach::{LeftOut, Quiz, QuizAsked, QuizKind, QuizLevel};

/// A quiz with its words, for a page that marks itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct QuizSheet {
    /// What it was drawn with: the same seed on the same circuit draws the same quiz.
    pub seed: u64,
    /// The hardest its questions may be.
    pub level: QuizLevel,
    /// How many questions were asked for; there are fewer where no more of them differ.
    pub asked_for: usize,
    /// The questions.
    pub questions: Vec<SheetQuestion>,
    /// Kinds of question that this circuit is too small for.
    pub left_out: Vec<LeftOut>,
}

/// A question with its words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SheetQuestion {
    /// The question.
    pub question: String,
    /// What there is to choose from.
    pub choices: Vec<String>,
    /// Which of the choices is right, from 0. No other is.
    pub right: usize,
    /// Why it is right.
    pub why: String,
    /// For each choice why it is wrong; empty for the right one.
    pub against: Vec<String>,
    /// How hard it is.
    pub level: QuizLevel,
    /// The state it is asked in; none for a circuit that declares no states.
    pub state: Option<String>,
    /// What is asked, as ids, with what proves each choice right or wrong.
    pub asked: QuizAsked,
}

impl Answer for QuizSheet {
    const NAME: &'static str = "quiz";
    const VERSION: u32 = 1;

    /// A quiz asks what would be, not what is.
    fn wrong(&self) -> bool {
        false
    }
}

impl QuizSheet {
    /// Puts a quiz in words.
    #[must_use]
    pub fn new(quiz: &Quiz, words: &Words<'_>) -> Self {
        let text = |line: &Line| line.spans().iter().map(|span| span.text()).collect();
        let questions = quiz.questions.iter().map(|asked| {
            let told = words.quiz_question(asked);
            SheetQuestion {
                question: text(&told.question),
                choices: told.choices.iter().map(text).collect(),
                right: asked.right,
                why: text(&told.why),
                against: told.against.iter().map(text).collect(),
                level: asked.level,
                state: asked.state.clone(),
                asked: asked.asked.clone(),
            }
        });
        QuizSheet {
            seed: quiz.seed,
            level: quiz.level,
            asked_for: quiz.asked_for,
            questions: questions.collect(),
            left_out: quiz.left_out.clone(),
        }
    }
}

/// The questions of a quiz, without a hint of the answers.
#[must_use]
pub fn quiz(quiz: &Quiz, words: &Words<'_>) -> Page {
    let count = words::plural(quiz.questions.len(), "question");
    let lead = format!(
        "{}, seed {}, up to level {}: {}.",
        count,
        quiz.seed,
        quiz.level.number(),
        meaning(quiz.level)
    );
    let mut blocks = vec![Block::Lead(lead.into())];
    for (i, asked) in quiz.questions.iter().enumerate() {
        let told = words.quiz_question(asked);
        let heading = format!("Question {}, level {}", i + 1, asked.level.number());
        blocks.push(Block::Heading(heading.into()));
        blocks.push(Block::Text(told.question));
        let choices = told.choices.into_iter().zip(LETTERS);
        let choices = choices.map(|(choice, letter)| strong(letter) + ": " + choice);
        blocks.push(Block::List(choices.collect()));
    }
    if quiz.questions.len() < quiz.asked_for {
        let asked = quiz.asked_for;
        let text = format!("{asked} were asked for; this circuit has no more that differ.");
        blocks.push(Block::Text(text.into()));
    }
    let left_out = quiz.left_out.iter().map(left_out);
    let left_out: Vec<Line> = left_out.collect();
    if !left_out.is_empty() {
        blocks.push(Block::Text(left_out.into_iter().fold(
            Line::default(),
            |line, left| match line.is_empty() {
                true => left,
                false => line + " " + left,
            },
        )));
    }
    blocks.push(Block::Text(
        Line::from("The key: the same again with ") + Line::id("--key") + ".",
    ));
    let mut kinds = quiz.questions.iter().map(|q| q.asked.kind());
    if kinds.any(|kind| kind == QuizKind::Gauge) {
        blocks.push(Block::Note(words::gauge_caution()));
    }
    Page {
        title: words.title(),
        blocks,
    }
}

/// The key of a quiz: what is right and why, and what is wrong with the rest.
#[must_use]
pub fn quiz_key(quiz: &Quiz, words: &Words<'_>) -> Page {
    let lead = format!(
        "The key to {}, seed {}, up to level {}.",
        words::plural(quiz.questions.len(), "question"),
        quiz.seed,
        quiz.level.number()
    );
    let mut blocks = vec![Block::Lead(lead.into())];
    for (i, asked) in quiz.questions.iter().enumerate() {
        let Told {
            choices,
            why,
            against,
            ..
        } = words.quiz_question(asked);
        blocks.push(Block::Heading(
            Line::from(format!("Question {}, ", i + 1)) + strong(LETTERS[asked.right]),
        ));
        let right = choices[asked.right].clone().capital();
        blocks.push(Block::Text(right + ". " + why));
        let wrong = against.into_iter().zip(LETTERS);
        let wrong = wrong.filter(|(against, _)| !against.is_empty());
        let wrong = wrong.map(|(against, letter)| strong(letter) + ": " + against);
        blocks.push(Block::List(wrong.collect()));
    }
    blocks.push(Block::Note(words::depth(quiz.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

/// The choices are called by these.
const LETTERS: [&str; 4] = ["A", "B", "C", "D"];

fn meaning(level: QuizLevel) -> &'static str {
    match level {
        QuizLevel::OneCasting => "cause and effect touch one casting, and no valve is moved",
        QuizLevel::WholeWay => "cause and effect may lie castings apart, and no valve is moved",
        QuizLevel::MovingValves => "valves may be moved, and move others",
    }
}

fn left_out(left: &LeftOut) -> Line {
    let kind = match left.kind {
        QuizKind::Starves => "Which outlet loses its oil",
        QuizKind::Culprit => "Which part did it",
        QuizKind::Order => "In which order oil meets the parts",
        QuizKind::Gauge => "Which gauge tells two faults apart",
    };
    match left.from {
        Some(level) => format!("{kind}: asked from level {} on.", level.number()).into(),
        None => format!("{kind}: not asked, this circuit is too small for it.").into(),
    }
}
