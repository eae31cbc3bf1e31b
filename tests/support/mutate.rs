//! Files as they come when a hand slips, an editor dies or a program sends rubbish, from those that
//! are right; and what a careful visitor does with each.

use std::time::{Duration, Instant};

use oilpath::answer::{FlowsQuestion, flows, starve};
use oilpath::circuit::Circuit;
use oilpath::lint;
use oilpath::net::Net;
use oilpath::sheet;

use super::layered::Dice;
use super::worked::worked;

/// What is put in: what means something to a reader, and what should not.
const PIECES: [&str; 24] = [
    "[valve.x]",
    "[[port]]",
    "{",
    "}",
    "[",
    "]",
    "\"",
    "'",
    "\"\"\"",
    "=",
    ",",
    ".",
    "#",
    "\n",
    "\r",
    "line",
    "sump",
    "when = \"a and not (b or\"",
    "1e999",
    "-0",
    "\u{FEFF}",
    "\u{202E}",
    "é",
    "\0",
];

/// A text with a few slips in it.
pub fn slip(text: &str, dice: &mut Dice) -> String {
    let mut text = text.to_owned();
    for _ in 0..1 + dice.below(4) {
        let lines: Vec<&str> = text.lines().collect();
        if lines.is_empty() {
            break;
        }
        let line = dice.below(lines.len());
        text = match dice.below(8) {
            // A line lost, twice, or somewhere else.
            0 => joined(
                lines
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| *i != line)
                    .map(|(_, l)| *l),
            ),
            1 => joined(
                lines
                    .iter()
                    .enumerate()
                    .flat_map(|(i, l)| vec![*l; 1 + usize::from(i == line)]),
            ),
            2 => {
                let mut lines = lines.clone();
                let other = dice.below(lines.len());
                lines.swap(line, other);
                joined(lines.into_iter())
            }
            // Cut off.
            3 => text[..place(&text, dice)].to_owned(),
            // A word for another.
            4 => {
                let words: Vec<&str> = text.split_inclusive(['"', ' ', '=']).collect();
                let (one, other) = (dice.below(words.len()), dice.below(words.len()));
                let with = |i: usize| if i == one { words[other] } else { words[i] };
                (0..words.len()).map(with).collect()
            }
            // A character lost.
            5 => {
                let at = place(&text, dice);
                let next = text[at..].chars().next().map_or(0, char::len_utf8);
                text[..at].to_owned() + &text[at + next..]
            }
            _ => {
                let at = place(&text, dice);
                let piece = PIECES[dice.below(PIECES.len())];
                format!("{}{piece}{}", &text[..at], &text[at..])
            }
        };
    }
    text
}

fn joined<'a>(lines: impl Iterator<Item = &'a str>) -> String {
    lines.fold(String::new(), |text, line| text + line + "\n")
}

/// Somewhere between two characters.
fn place(text: &str, dice: &mut Dice) -> usize {
    let mut at = dice.below(text.len() + 1);
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// What became of some inputs.
#[derive(Debug, Default)]
pub struct Tally {
    pub inputs: usize,
    /// Those that could be used.
    pub sound: usize,
    /// By the clock.
    pub slowest: Duration,
    /// By the processor.
    pub hardest: Duration,
}

impl Tally {
    fn count(&mut self, sound: bool, began: (Instant, Duration)) {
        self.inputs += 1;
        self.sound += usize::from(sound);
        self.slowest = self.slowest.max(began.0.elapsed());
        self.hardest = self.hardest.max(worked().saturating_sub(began.1));
    }
}

/// Reads a text twice: it may be refused, but not in two ways.
pub fn read(text: &str, tally: &mut Tally) -> Option<Circuit> {
    let began = (Instant::now(), worked());
    let first = sheet::read(text);
    tally.count(first.is_ok(), began);
    match (first, sheet::read(text)) {
        (Ok(first), Ok(second)) => {
            assert_eq!(first.circuit, second.circuit);
            Some(first.circuit)
        }
        (Err(first), Err(second)) => {
            assert_eq!(first, second);
            assert!(!first.diagnostics.is_empty());
            None
        }
        _ => panic!("read once and refused once:\n{text}"),
    }
}

/// Asks of a circuit what a visitor would, with a fault or two, twice.
pub fn ask(circuit: &Circuit, dice: &mut Dice, tally: &mut Tally) {
    let began = (Instant::now(), worked());
    // What the reader takes can be asked about.
    let net = Net::new(circuit).expect("a circuit that was read");
    assert_eq!(net.verify(), Vec::<String>::new());
    let parts: Vec<_> = circuit.parts().map(|(name, _)| name).collect();
    let mut faults = Vec::new();
    for _ in 0..dice.below(3).min(parts.len()) {
        let all = circuit.faults_of(&parts[dice.below(parts.len())]);
        if !all.is_empty() {
            faults.push(all[dice.below(all.len())].clone());
        }
    }
    let question = FlowsQuestion {
        assume: true,
        ..FlowsQuestion::default()
    };
    let answers = || {
        let flow = flows(&net, &faults, None, &question);
        let flow = flow.map_err(|e| e.to_string());
        (lint::lint(&net), starve(&net, &faults, None), flow)
    };
    let first = answers();
    tally.count(true, began);
    assert!(first == answers(), "{faults:?}");
}
