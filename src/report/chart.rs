//! The gear-by-part chart, in words and marks.

use super::page::{Block, Line, Page};
use super::words::{self, Words};
use crate::answer::{Chart, ChartPart, ChartState, Shared, Use, UsedBy};
use crate::circuit::{Kind, PartName};

/// States side by side in one table at most.
const ABREAST: usize = 30;
/// Marks that stand together, so that an eye can count them.
const TOGETHER: usize = 5;
/// Parts named in the first sentence at most.
const NAMED: usize = 6;
/// Parts ranked at most; the rest is counted.
const RANKED: usize = 25;

/// The chart: a key of numbered states, then a row a part with one mark a state. What is alike in
/// every state is said in a sentence instead.
#[must_use]
pub fn chart(answer: &Chart, words: &Words<'_>) -> Page {
    let drawn = Drawn { answer, words };
    let mut blocks = vec![Block::Lead(drawn.lead())];
    if let Some(shared) = &answer.shared {
        drawn.ranked(shared, &mut blocks);
    }
    drawn.key(&mut blocks);
    drawn.uses(&mut blocks);
    drawn.stands(&mut blocks);
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Drawn<'a> {
    answer: &'a Chart,
    words: &'a Words<'a>,
}

impl<'a> Drawn<'a> {
    fn lead(&self) -> Line {
        let answer = self.answer;
        if let Some(shared) = &answer.shared {
            return self.shared(shared);
        }
        let rows: Vec<&ChartPart> = self.rows().collect();
        let count = |of: fn(&ChartPart) -> bool| rows.iter().filter(|row| of(row)).count();
        let always = count(|row| marks(row).iter().all(|mark| *mark != IDLE));
        let never = count(|row| marks(row).iter().all(|mark| *mark == IDLE));
        let states = words::plural(answer.states.len(), "state");
        format!(
            "{states}, {}: {always} used in every state, {} in some, {never} in none.",
            words::plural(rows.len(), "part"),
            rows.len() - always - never
        )
        .into()
    }

    fn shared(&self, shared: &Shared) -> Line {
        let exactly: Vec<&PartName> = shared.exactly().collect();
        let bad = match &shared.bad[..] {
            [] => "no bad state".into(),
            [only] => Line::id(only),
            [_, _] => "both bad states".into(),
            all => format!("all {} bad states", all.len()).into(),
        };
        let good = match &shared.good[..] {
            [] => Line::default(),
            [only] => Line::from(" and not to ") + Line::id(only),
            [_, _] => " and to neither of the good ones".into(),
            all => format!(" and to none of the {} good ones", all.len()).into(),
        };
        let used = Line::from("of use to ") + bad + good;
        match exactly.len() {
            0 => Line::from("No part is ") + used + "; the nearest to it come first below.",
            1..=NAMED => {
                let parts = exactly.iter().map(|part| self.words.part(part));
                used.capital() + ": " + Line::list(parts, "and") + "."
            }
            n => Line::from(format!("{n} parts are ")) + used + "; they come first below.",
        }
    }

    fn ranked(&self, shared: &Shared, blocks: &mut Vec<Block>) {
        if shared.parts.is_empty() {
            return;
        }
        blocks.push(Block::Heading(
            "Of use to the bad states more than to the good".into(),
        ));
        blocks.push(Block::Text(
            "Oil: oil passes it, or it keeps oil in its place. Letting go: what must be empty runs \
             off by it. Holding: it holds back oil, as a hole to an empty pilot or a ball beside a \
             hole does. Current: it has current. What the good states use as much is not here, \
             though it may be the culprit."
                .into(),
        ));
        let rows = shared.parts.iter().take(RANKED).map(|row| {
            vec![
                self.words.typed(&row.part),
                row.part.kind.word().into(),
                match row.by {
                    UsedBy::Oil => "oil".into(),
                    UsedBy::LettingGo => "letting go".into(),
                    UsedBy::HoldingBack => "holding".into(),
                    UsedBy::Current => "current".into(),
                },
                format!("{} of {}", row.bad, shared.bad.len()).into(),
                format!("{} of {}", row.good, shared.good.len()).into(),
                self.words.label(&row.part),
            ]
        });
        let head = &["part", "kind", "by", "bad", "good", "label"];
        blocks.push(Block::table(head, rows.collect()));
        let more = shared.parts.len().saturating_sub(RANKED);
        if more > 0 {
            let more = format!(
                "{} more, less telling, are in the JSON.",
                words::plural(more, "part")
            );
            blocks.push(Block::Text(more.into()));
        }
    }

    fn name(&self, state: &ChartState) -> Line {
        state.state.as_deref().map(Line::id).unwrap_or_default()
    }

    fn key(&self, blocks: &mut Vec<Block>) {
        let shared = self.answer.shared.as_ref();
        let called = |state: &ChartState| {
            let id = state.state.as_ref()?;
            let bad = shared?.bad.contains(id);
            Some(if bad { "bad" } else { "good" })
        };
        let rows = self.answer.states.iter().zip(1..).map(|(state, number)| {
            let applied = state.applied.iter().map(|part| self.words.typed(part));
            let applied = match state.applied.is_empty() {
                true => "nothing".into(),
                false => Line::list(applied, "and"),
            };
            let doubt = match state.steady {
                true => "",
                false => "; cannot be said for sure",
            };
            vec![
                number.to_string().into(),
                self.name(state),
                called(state).unwrap_or_default().into(),
                applied + doubt,
            ]
        });
        blocks.push(Block::Heading("States".into()));
        blocks.push(Block::table(
            &["no.", "state", "called", "applied"],
            rows.collect(),
        ));
    }

    /// The rows to show: passages only where they were asked for, and of states called bad and
    /// good only what tells them apart.
    fn rows(&self) -> impl Iterator<Item = &'a ChartPart> {
        let answer = self.answer;
        let parts = answer.parts.iter();
        parts.filter(|row| {
            let told = answer.shared.as_ref().is_none_or(|shared| {
                let mut parts = shared.parts.iter().take(RANKED);
                parts.any(|p| p.part == row.part)
            });
            told && (!answer.kinds.is_empty() || row.part.kind != Kind::Passage)
        })
    }

    fn uses(&self, blocks: &mut Vec<Block>) {
        let rows = self.rows().map(|row| (row, marks(row)));
        let alike = |(_, marks): &(_, Vec<char>)| marks.windows(2).all(|w| w[0] == w[1]);
        let (alike, differ): (Vec<_>, Vec<_>) = rows.partition(alike);
        let differ_is_empty = differ.is_empty();
        if !differ_is_empty {
            blocks.push(Block::Heading("Used, a column a state".into()));
            blocks.push(Block::Text(
                "# needed: something cannot have its oil without it. + used: oil passes it, there \
                 are other ways. p pilot: its oil holds a used valve where it stands, or raises a \
                 used regulator. g lets go: none of these, but what must be empty runs off by it. \
                 h holds: it only holds oil back, a hole to an empty cavity or a ball beside a \
                 hole. A dot: none."
                    .into(),
            ));
            let rows = differ.into_iter().map(|(row, marks)| {
                let cells = [self.words.typed(&row.part), row.part.kind.word().into()];
                (cells.to_vec(), marks, None)
            });
            self.tables(&["part", "kind", "states"], rows.collect(), blocks);
        }
        let (head, several) = match self.answer.states.len() {
            0 | 1 => ("Used", false),
            _ => ("Alike in every state", true),
        };
        let items = [
            ('#', "needed"),
            ('+', "used, with other ways beside it"),
            ('p', "pilot"),
            ('g', "lets go"),
            ('h', "holds back"),
            (IDLE, "not used"),
        ]
        .into_iter()
        .filter_map(|(mark, said)| {
            let same = alike
                .iter()
                .filter(|(_, marks)| marks.first() == Some(&mark));
            let parts: Vec<Line> = same.map(|(row, _)| self.words.typed(&row.part)).collect();
            (!parts.is_empty()).then(|| Line::from(said) + ": " + Line::list(parts, "and") + ".")
        });
        let items: Vec<Line> = items.collect();
        if !items.is_empty() && (several || differ_is_empty) {
            blocks.push(Block::Heading(head.into()));
            blocks.push(Block::List(items));
        }
    }

    fn stands(&self, blocks: &mut Vec<Block>) {
        let circuit = self.words.circuit;
        let rows = self.rows().filter(|row| !row.stands.is_empty()).map(|row| {
            let places: Vec<&String> = match circuit.valves.get(&row.part.id) {
                Some(valve) if row.part.kind == Kind::Valve => valve.positions.keys().collect(),
                _ => Vec::new(),
            };
            let place = |stands: &Option<String>| match stands.as_deref() {
                None => '?',
                Some("on") if places.is_empty() => 'o',
                Some("off") if places.is_empty() => '-',
                Some(level) if places.is_empty() => level.chars().next().unwrap_or('?'),
                Some(at) => {
                    let number = places.iter().position(|p| *p == at).unwrap_or(0);
                    char::from_digit(number as u32 + 1, 36).unwrap_or('?')
                }
            };
            let key = places.iter().zip(1..).map(|(place, number)| {
                let digit = char::from_digit(number, 36).unwrap_or('?');
                Line::from(format!("{digit} ")) + Line::id(place)
            });
            let key = key.reduce(|line, more| line + ", " + more);
            let key = key.unwrap_or_else(|| current(row));
            let marks = row.stands.iter().map(place).collect();
            (vec![self.words.typed(&row.part)], marks, Some(key))
        });
        let rows: Vec<Row> = rows.collect();
        if !rows.is_empty() {
            blocks.push(Block::Heading(
                "Where valves stand, and which solenoids have current".into(),
            ));
            self.tables(&["part", "states", "key"], rows, blocks);
        }
    }

    /// Rows of marks, a table for every so many states, each under the numbers of its states.
    fn tables(&self, head: &[&'static str], rows: Vec<Row>, blocks: &mut Vec<Block>) {
        let count = self.answer.states.len();
        for from in (0..count.max(1)).step_by(ABREAST) {
            let to = count.min(from + ABREAST);
            let tens = (from..to).any(|i| i >= 9);
            let digit = |i: usize, of: usize| {
                char::from_digit(((i + 1) / of % 10) as u32, 10).unwrap_or('?')
            };
            let ruler = |of: usize| -> Vec<char> {
                let blank = |i: usize| of > 1 && i + 1 < of;
                (from..to)
                    .map(|i| if blank(i) { '.' } else { digit(i, of) })
                    .collect()
            };
            let filled = |first: Vec<Line>, marks: &[char], key: Option<Line>| {
                let mut cells = first;
                cells.push(grouped(marks));
                cells.extend(key);
                cells
            };
            let blanks = |first: &str| {
                let (cells, _, key) = &rows[0];
                let mut blanks = vec![Line::default(); cells.len()];
                blanks[0] = first.into();
                (blanks, key.as_ref().map(|_| Line::default()))
            };
            let mut lines = Vec::new();
            if tens {
                let (first, key) = blanks("no. (tens)");
                lines.push(filled(first, &ruler(10), key));
            }
            let (first, key) = blanks(if tens { "no. (ones)" } else { "no." });
            lines.push(filled(first, &ruler(1), key));
            for (first, marks, key) in &rows {
                lines.push(filled(first.clone(), &marks[from..to], key.clone()));
            }
            blocks.push(Block::table(head, lines));
        }
    }
}

/// The cells before the marks, the marks, what explains them.
type Row = (Vec<Line>, Vec<char>, Option<Line>);

/// Nothing in a state has any use for it.
const IDLE: char = '.';

/// How each state uses a part.
fn marks(row: &ChartPart) -> Vec<char> {
    let states = row.uses.iter().enumerate();
    let mark = |(state, usage): (usize, &Use)| match usage {
        Use::Needed => '#',
        Use::Used => '+',
        Use::Pilot => 'p',
        Use::Idle if row.is_used(state, UsedBy::LettingGo) => 'g',
        Use::Idle if row.is_used(state, UsedBy::HoldingBack) => 'h',
        Use::Idle => IDLE,
    };
    states.map(mark).collect()
}

/// What the marks of a solenoid mean, those that occur.
fn current(row: &ChartPart) -> Line {
    let mut seen: Vec<&str> = row.stands.iter().flatten().map(String::as_str).collect();
    seen.sort_unstable();
    seen.dedup();
    let said = seen.into_iter().map(|word| match word {
        "on" => "o on".to_owned(),
        "off" => "- off".to_owned(),
        level => format!(
            "{} half driven ({level})",
            level.chars().next().unwrap_or('?')
        ),
    });
    said.collect::<Vec<_>>().join(", ").into()
}

/// Marks in groups.
fn grouped(marks: &[char]) -> Line {
    let groups = marks.chunks(TOGETHER).map(|group| {
        let group: String = group.iter().collect();
        Line::id(&group)
    });
    let line = groups.reduce(|line, group| line + " " + group);
    line.unwrap_or_default()
}
