//! Lessons and quizzes made from a circuit, for those who learn the trade.
//!
//! A [`lesson`] follows the oil from where it is made to one outlet, one idea a step. An
//! [`Examiner`] makes a [`Quiz`]: every right answer and every wrong choice is what the engine
//! says, none is made up.

mod lesson;
mod places;
mod quiz;

pub use crate::answer::Dice;
pub use lesson::{
    Effect, Felt, Lesson, LessonError, LessonStep, StepAt, StepQuestion, Term, lesson,
};
pub use quiz::{
    Examiner, GaugeChoice, LeftOut, Quiz, QuizAsked, QuizError, QuizKind, QuizLevel, QuizQuestion,
    Shows, SuspectChoice,
};
