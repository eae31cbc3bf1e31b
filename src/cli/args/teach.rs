//! What is made for those who learn.

use clap::Subcommand;
use clap::builder::{PossibleValuesParser, RangedU64ValueParser, TypedValueParser};

use super::named::{File, InState};
use crate::teach::QuizLevel;

/// What is made for those who learn.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum Teach {
    /// Write a lesson: the oil's way to an outlet, one idea a step, a question after each
    #[command(after_help = "Examples:
  oilpath lesson circuits/lessons/check-ball.toml lift-clutch
  oilpath lesson circuits/tractor-powershift.toml low-clutch --state reverse-low
  oilpath lesson circuits/transfer-box.toml rear-bearing --format markdown

The answers stand apart at the end. Without --state it is the first state in which the outlet has
oil.")]
    Lesson {
        #[command(flatten)]
        file: File,
        /// An outlet, filter, converter or cooler
        outlet: String,
        #[command(flatten)]
        state: InState,
    },
    /// Draw a quiz: what starves, which part did it, in which order, which gauge tells
    #[command(after_help = "Examples:
  oilpath quiz circuits/lessons/separator-plate.toml
  oilpath quiz circuits/tractor-powershift.toml --seed 7 --level 3
  oilpath quiz circuits/tractor-powershift.toml --seed 7 --level 3 --key

Level 1: cause and effect touch one casting. Level 2: they may lie castings apart. Level 3: valves
are moved. A quiz has questions of its level and, where these run out, easier ones.
The same seed draws the same quiz on every machine. Json holds questions and key together.")]
    Quiz {
        #[command(flatten)]
        file: File,
        /// What the quiz is drawn with: another number, another quiz
        #[arg(long, value_name = "N", default_value_t = 1)]
        seed: u64,
        /// How hard its questions may be
        #[arg(long, value_name = "LEVEL", default_value = "2", value_parser = levels())]
        level: QuizLevel,
        /// How many questions
        #[arg(
            long,
            value_name = "N",
            default_value_t = 8,
            value_parser = RangedU64ValueParser::<usize>::new().range(1..=1000)
        )]
        count: usize,
        /// The key instead of the questions
        #[arg(long)]
        key: bool,
    },
}

fn levels() -> impl TypedValueParser<Value = QuizLevel> {
    PossibleValuesParser::new(["1", "2", "3"]).map(|word| match &*word {
        "1" => QuizLevel::OneCasting,
        "2" => QuizLevel::WholeWay,
        _ => QuizLevel::MovingValves,
    })
}
