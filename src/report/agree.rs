//! How far the depths agree, in words.

use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{Agreement, Contradiction, Differ};

/// Contradictions that are listed at most.
const LISTED: usize = 40;

/// The report of how far settling and flow agree: the rate, a row for each condition of each kind of
/// part, and the contradictions.
#[must_use]
pub fn agree(answer: &Agreement, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead()), Block::Text(told.touched())];
    told.whole(&mut blocks);
    told.causes(&mut blocks);
    told.conditions(&mut blocks);
    told.contradictions(&mut blocks);
    if answer.assumed > 0 {
        let line = words::plural(answer.assumed, "size");
        let line = format!("{line} stood in, for how far faults have gone no file can know.");
        blocks.push(Block::Text(line.into()));
    }
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Agreement,
    words: &'a Words<'a>,
}

impl<'a> Told<'a> {
    fn lead(&self) -> Line {
        let whole = &self.answer.whole;
        let Some(rate) = whole.rate() else {
            return "Settling decides nothing here that has oil when sound.".into();
        };
        let states = words::asked(&self.answer.states);
        let decided = format!(
            "Settling and flow agree on {} of {} outlets that settling decides, with {}",
            percent(rate),
            whole.decided(),
            words::plural(self.answer.faults, "fault"),
        );
        Line::from(decided) + words::in_states(&states, &states) + "."
    }

    fn touched(&self) -> Line {
        let whole = &self.answer.whole;
        let rest = match whole.touched_rate() {
            Some(rate) => format!(
                "Without the {} that keep all of their oil, {} of {}. ",
                whole.untouched,
                percent(rate),
                whole.decided() - whole.untouched,
            ),
            None => String::new(),
        };
        format!(
            "{rest}Starved, and no pressure built, contradict more than 80 % of the sound supply, kept \
             less than 20 %; what lies between goes with either, weakened with all. Undecided: {}. No figure: {}.",
            whole.undecided, whole.unmeasured
        )
        .into()
    }

    fn whole(&self, blocks: &mut Vec<Block>) {
        let whole = &self.answer.whole;
        let rows = [
            ("starved", &whole.starved),
            ("weakened", &whole.weakened),
            ("kept", &whole.kept),
            ("builds no pressure", &whole.unbuilt),
        ];
        let rows = rows.map(|(word, shares)| {
            let counts = [shares.lost, shares.between, shares.kept];
            let counts = counts.map(|count| Line::from(count.to_string()));
            [vec![Line::from(word)], counts.to_vec()].concat()
        });
        let head = ["settling", "under 20 %", "between", "over 80 %"];
        blocks.push(Block::table(&head, rows.to_vec()));
    }

    fn causes(&self, blocks: &mut Vec<Block>) {
        let items = self.answer.causes.iter().map(|cause| {
            let why = match cause.cause {
                Differ::Extent => {
                    "how far the fault has gone: with it gone four times as far, or a quarter, they \
                     do not contradict each other"
                }
                Differ::PumpKeepsUp => {
                    "the pump moves more than what is open lets out; to settling nothing is more \
                     than an open way to the sump"
                }
                Differ::Amounts => {
                    "too little is left for it, or as much presses from behind as from before; \
                     settling knows no amounts"
                }
                Differ::Unexplained => "unexplained",
            };
            Line::from(format!("{}: {why}.", cause.count))
        });
        let items: Vec<Line> = items.collect();
        if !items.is_empty() {
            blocks.push(Block::Heading("What contradictions come from".into()));
            blocks.push(Block::List(items));
        }
    }

    fn conditions(&self, blocks: &mut Vec<Block>) {
        let rows = self.answer.conditions.iter();
        let rows = rows.filter(|row| row.tally.contradicted() > 0);
        let rows: Vec<Vec<Line>> = rows
            .map(|row| {
                let name = format!("{} {}", row.kind.word(), row.condition);
                let counts = [
                    row.tally.decided(),
                    row.tally.starved.kept + row.tally.unbuilt.kept,
                    row.tally.kept.lost,
                ];
                let counts = counts.map(|count| Line::from(count.to_string()));
                let rate = row.tally.rate().map(percent).unwrap_or_default();
                [vec![Line::from(name)], counts.to_vec(), vec![rate.into()]].concat()
            })
            .collect();
        if !rows.is_empty() {
            blocks.push(Block::Heading("Where they contradict each other".into()));
            let head = ["fault", "decided", "starved, keeps", "kept, loses", "agree"];
            blocks.push(Block::table(&head, rows));
        }
    }

    fn contradictions(&self, blocks: &mut Vec<Block>) {
        let all = words::asked(&self.answer.states);
        let mut found: Vec<(&Contradiction, Vec<&str>)> = Vec::new();
        for one in &self.answer.contradictions {
            let id = one.state.as_deref().unwrap_or_default();
            let same = |known: &Contradiction| {
                (&known.fault, &known.outlet, known.settled, known.builds)
                    == (&one.fault, &one.outlet, one.settled, one.builds)
            };
            match found.iter_mut().find(|(known, _)| same(known)) {
                Some((_, states)) => states.push(id),
                None => found.push((one, vec![id])),
            }
        }
        let rows = found.iter().take(LISTED).map(|(one, states)| {
            vec![
                Line::id(&one.fault),
                self.words.typed(&one.outlet),
                match one.builds {
                    true => words::verdict_alone(one.settled),
                    false => "builds no pressure".into(),
                },
                words::share(one.share),
                words::states(states, &all),
            ]
        });
        let rows: Vec<Vec<Line>> = rows.collect();
        if !rows.is_empty() {
            let head = ["fault", "outlet", "settling", "keeps", "in"];
            blocks.push(Block::table(&head, rows));
        }
        if found.len() > LISTED {
            let more = format!("{} more are in the JSON.", found.len() - LISTED);
            blocks.push(Block::Text(Line::role(Role::Faint, &more)));
        }
    }
}

/// A share in parts of a hundred, never rounded up to all.
fn percent(share: f64) -> String {
    format!("{:.1} %", (1000.0 * share).floor() / 10.0)
}
