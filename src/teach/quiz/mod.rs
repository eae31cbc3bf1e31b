//! A quiz: questions whose right answer and wrong choices are all proved by the engine.

mod culprit;
mod draw;
mod facts;
mod gauge;
mod order;
mod starves;

use serde::Serialize;

use crate::answer::{Depth, MovedValve, OutletVerdict};
use crate::circuit::{Access, PartName};
use crate::net::Net;
use crate::settle::Span;
use crate::teach::Dice;

use draw::Draw;
use facts::Facts;

/// Questions about a circuit, with their answers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Quiz {
    /// What it was drawn with: the same seed on the same circuit draws the same quiz.
    pub seed: u64,
    /// The hardest its questions may be.
    pub level: QuizLevel,
    /// How deep its answers look.
    pub depth: Depth,
    /// How many questions were asked for; there are fewer where no more of them differ.
    pub asked_for: usize,
    /// The questions, the kinds in turn.
    pub questions: Vec<QuizQuestion>,
    /// Kinds of question that this circuit is too small for.
    pub left_out: Vec<LeftOut>,
}

/// How hard a question is: how far the effect lies from its cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum QuizLevel {
    /// All that matters touches one casting, and no valve stands elsewhere than it should.
    OneCasting,
    /// Cause and effect lie in different castings.
    WholeWay,
    /// A valve stands elsewhere than it should, or what moves is part of the question.
    MovingValves,
}

impl QuizLevel {
    /// All of them, the easiest first.
    pub const ALL: [QuizLevel; 3] = [
        QuizLevel::OneCasting,
        QuizLevel::WholeWay,
        QuizLevel::MovingValves,
    ];

    /// Its number, from 1.
    #[must_use]
    pub fn number(self) -> u8 {
        self as u8 + 1
    }
}

/// A kind of question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum QuizKind {
    /// Which outlet loses its oil.
    Starves,
    /// Which part did it.
    Culprit,
    /// In which order the oil meets some parts.
    Order,
    /// Which gauge tells two faults apart.
    Gauge,
}

impl QuizKind {
    /// All of them, in the order they take turns.
    pub const ALL: [QuizKind; 4] = [
        QuizKind::Starves,
        QuizKind::Culprit,
        QuizKind::Order,
        QuizKind::Gauge,
    ];
}

/// A kind of question that this circuit is too small for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct LeftOut {
    /// The kind.
    pub kind: QuizKind,
    /// The level from which there are such questions; none where there are none at all.
    pub from: Option<QuizLevel>,
}

/// One question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct QuizQuestion {
    /// How hard it is.
    pub level: QuizLevel,
    /// The state it is asked in; none for a circuit that declares no states.
    pub state: Option<String>,
    /// What is asked, with its choices.
    pub asked: QuizAsked,
    /// Which of the choices is right, from 0. No other is.
    pub right: usize,
}

/// What is asked, with its choices and what proves each right or wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum QuizAsked {
    /// Which outlet loses its oil to a fault.
    Starves {
        /// The fault, as a reader would type it.
        fault: String,
        /// Valves that it makes stand elsewhere.
        moved: Vec<MovedValve>,
        /// Outlets with what becomes of them; null stands for "none at all loses its oil".
        choices: Vec<Option<OutletVerdict>>,
    },
    /// Which fault is behind it, where some outlets have lost their oil, some have oil they should
    /// not, and all others are as they should be.
    Culprit {
        /// Outlets that have lost their oil.
        starved: Vec<PartName>,
        /// Outlets that have oil they should not.
        on_when_off: Vec<PartName>,
        /// Valves that the culprit makes stand elsewhere.
        moved: Vec<MovedValve>,
        /// Why each of those outlets suffers.
        suffering: Vec<OutletVerdict>,
        /// The suspects.
        choices: Vec<SuspectChoice>,
    },
    /// In which order the oil meets some parts, whatever way it takes.
    Order {
        /// The outlet it is on its way to.
        outlet: PartName,
        /// Orders of the same parts.
        choices: Vec<Vec<PartName>>,
    },
    /// Which gauge tells two faults apart that starve the same outlets.
    Gauge {
        /// The faults, as a reader would type them.
        faults: [String; 2],
        /// Outlets that both starve.
        starved: Vec<PartName>,
        /// Outlets that get oil they should not from both.
        on_when_off: Vec<PartName>,
        /// Taps and pressure switches.
        choices: Vec<GaugeChoice>,
    },
}

/// A fault that may be behind it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SuspectChoice {
    /// The fault, as a reader would type it.
    pub fault: String,
    /// What clears it: an outlet that would be otherwise with it; none for the culprit.
    pub cleared_by: Option<OutletVerdict>,
}

/// A tap or a pressure switch that may tell two faults apart.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct GaugeChoice {
    /// The tap or the switch.
    pub gauge: PartName,
    /// How hard it is to reach.
    pub access: Access,
    /// What it shows with each of the two faults.
    pub shows: [Shows; 2],
}

/// What a tap or a pressure switch shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Shows {
    /// A gauge in a tap: between which levels it stands.
    Pressure(Span),
    /// A switch: whether it is closed; none where that cannot be said.
    Closed(Option<bool>),
}

impl QuizAsked {
    /// What kind of question it is.
    #[must_use]
    pub fn kind(&self) -> QuizKind {
        match self {
            QuizAsked::Starves { .. } => QuizKind::Starves,
            QuizAsked::Culprit { .. } => QuizKind::Culprit,
            QuizAsked::Order { .. } => QuizKind::Order,
            QuizAsked::Gauge { .. } => QuizKind::Gauge,
        }
    }

    /// How many choices it gives.
    #[must_use]
    pub fn choices(&self) -> usize {
        match self {
            QuizAsked::Starves { choices, .. } => choices.len(),
            QuizAsked::Culprit { choices, .. } => choices.len(),
            QuizAsked::Order { choices, .. } => choices.len(),
            QuizAsked::Gauge { choices, .. } => choices.len(),
        }
    }
}

/// Why there is no quiz.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum QuizError {
    /// Every question this circuit is good for is harder.
    #[error("this circuit has no question at level {}: the easiest is at level {}", .level.number(), .from.number())]
    Harder {
        /// The level asked for.
        level: QuizLevel,
        /// The easiest there is.
        from: QuizLevel,
    },
    /// It is good for none.
    #[error("this circuit is too small for a quiz: no question has a right answer and a wrong one")]
    TooSmall,
}

impl QuizError {
    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> String {
        match self {
            QuizError::Harder { from, .. } => format!("add `--level {}`", from.number()),
            QuizError::TooSmall => "draw an outlet and the way to it: a source, two or three ways \
                 in a row and what uses the oil are enough"
                .to_owned(),
        }
    }
}

/// Asks about one circuit. What each fault does is found once for each state that comes up,
/// however many quizzes are made.
///
/// ```
/// use oilpath::{net::Net, sheet, teach::{Examiner, QuizLevel}};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "feed", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [port]
///     gallery = { between = ["line", "feed"] }
///     [orifice]
///     jet = { between = ["feed", "lube"], bore = "1.2 mm" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
///     clutch = { kind = "clutch", at = "line" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let examiner = Examiner::new(&net);
/// let quiz = examiner.quiz(7, QuizLevel::OneCasting, 6).unwrap();
/// assert_eq!(quiz, examiner.quiz(7, QuizLevel::OneCasting, 6).unwrap());
/// assert!(quiz.questions.iter().all(|q| q.right < q.asked.choices()));
/// ```
pub struct Examiner<'n> {
    facts: Facts<'n>,
}

impl<'n> Examiner<'n> {
    /// Gets ready to ask about a circuit.
    #[must_use]
    pub fn new(net: &'n Net<'n>) -> Self {
        Examiner {
            facts: Facts::of(net),
        }
    }

    /// Draws `count` questions that are no harder than `level`, those of that level first.
    ///
    /// # Errors
    /// The circuit is good for no question, or only for harder ones.
    pub fn quiz(&self, seed: u64, level: QuizLevel, count: usize) -> Result<Quiz, QuizError> {
        let mut dice = Dice::new(seed);
        let mut states: Vec<usize> = (0..self.facts.states()).collect();
        dice.shuffle(&mut states);
        let mut draws = QuizKind::ALL
            .map(|kind| Draw::new(&self.facts, kind, level, states.clone(), dice.roll()));
        let mut questions = Vec::new();
        let mut left_out = Vec::new();
        loop {
            let before = questions.len();
            for draw in &mut draws {
                if questions.len() == count {
                    break;
                }
                match draw.next() {
                    Some(question) => questions.push(question),
                    None if draw.given() == 0 && !draw.is_told() => left_out.push(draw.left_out()),
                    None => {}
                }
            }
            if questions.len() == before {
                break;
            }
        }
        if questions.is_empty() && count > 0 {
            let from = left_out.iter().filter_map(|left: &LeftOut| left.from).min();
            return Err(from.map_or(QuizError::TooSmall, |from| QuizError::Harder {
                level,
                from,
            }));
        }
        Ok(Quiz {
            seed,
            level,
            depth: Depth::Settle,
            asked_for: count,
            questions,
            left_out,
        })
    }
}
