//! How long what a state applies takes to take hold, in words.

use super::page::{Block, Line, Page, Role};
use super::sizes::size_list;
use super::words::{self, Words};
use crate::answer::{HoldTimes, HoldWord, OutletHolds, Range, TakesHold, TakesHoldState};
use crate::circuit::PartName;

/// The report of how long clutches take: what is early, late, harsh or never in one sentence, and a
/// row for each outlet.
#[must_use]
pub fn takes_hold(answer: &TakesHold, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    for state in &answer.states {
        told.state(state, &mut blocks);
    }
    told.means(&mut blocks);
    if answer.oil.is_none() {
        blocks.push(Block::Text(words::generic_oil()));
    }
    blocks.extend(size_list("Set for this answer", &answer.set, words));
    blocks.extend(size_list(
        "Assumed, since the file does not say",
        &answer.assumed,
        words,
    ));
    blocks.push(Block::Note(
        "How this was found: pressures and flows computed step by step while pistons stroke \
         against their springs and accumulators fill, everything from empty, valves standing where \
         the oil puts them in the end. Inertia, empty channels and the time that valves take are \
         left out: compare the times, set no watch by them."
            .into(),
    ));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a TakesHold,
    words: &'a Words<'a>,
}

fn id(state: &TakesHoldState) -> &str {
    state.state.as_deref().unwrap_or_default()
}

impl Told<'_> {
    fn faulty(&self) -> bool {
        !self.answer.faults.is_empty()
    }

    fn lead(&self) -> Line {
        let states: Vec<&str> = self.answer.states.iter().map(id).collect();
        if states.is_empty() {
            return "No state asked about applies anything.".into();
        }
        if !self.faulty() {
            let line = Line::from("How long what is applied takes to take hold");
            return line + words::in_states(&states, &states) + ", when sound.";
        }
        let faults = self.answer.faults.iter().map(|f| Line::id(f));
        let faults = Line::from("With ") + Line::list(faults, "and");
        // Outlets with the same wrong in the same states are told together.
        let mut told: Vec<(&[HoldWord], Vec<&str>, Vec<Line>)> = Vec::new();
        for (wrong, outlet, bad) in self.wrongs() {
            let name = self.words.part(outlet);
            let same = |(w, states, _): &&mut (&[HoldWord], Vec<&str>, Vec<Line>)| {
                *w == wrong && *states == bad
            };
            match told.iter_mut().find(same) {
                Some((_, _, outlets)) => outlets.push(name),
                None => told.push((wrong, bad, vec![name])),
            }
        }
        told.sort_by_key(|(wrong, ..)| wrong.to_vec());
        let said = told.into_iter().map(|(wrong, bad, outlets)| {
            let one = outlets.len() == 1;
            let does = Line::role(Role::Strong, &does(wrong, one));
            Line::list(outlets, "and") + " " + does + words::in_states(&bad, &states)
        });
        let said: Vec<Line> = said.collect();
        match said.is_empty() {
            true => faults + ", everything takes hold as when sound.",
            false => faults + ", " + Line::list(said, "and") + ".",
        }
    }

    /// Each outlet with something wrong, and the states where that is wrong with it.
    fn wrongs(&self) -> Vec<(&[HoldWord], &PartName, Vec<&str>)> {
        let mut wrongs: Vec<(&[HoldWord], &PartName, Vec<&str>)> = Vec::new();
        for state in &self.answer.states {
            for outlet in state.outlets.iter().filter(|o| !o.wrong.is_empty()) {
                let same = |(wrong, part, _): &&mut (&[HoldWord], &PartName, Vec<&str>)| {
                    *wrong == outlet.wrong && **part == outlet.outlet
                };
                match wrongs.iter_mut().find(same) {
                    Some((_, _, states)) => states.push(id(state)),
                    None => wrongs.push((&outlet.wrong, &outlet.outlet, vec![id(state)])),
                }
            }
        }
        wrongs
    }

    fn state(&self, state: &TakesHoldState, blocks: &mut Vec<Block>) {
        let running = words::running(state.speed_rad_per_s, state.oil_temperature_k, self.words);
        blocks.push(Block::Heading(match id(state) {
            "" => running.capital(),
            state => Line::id(state) + ", " + running,
        }));
        if !state.converged {
            let line = Line::role(Role::Unsure, "Not solved: ")
                + "pressures do not balance, or nothing comes to rest; the times are no answer.";
            blocks.push(Block::Text(line));
        }
        let rows = state.outlets.iter().map(|outlet| self.row(outlet));
        let head = match self.faulty() {
            true => ["outlet", "from", "sound", "pressing", "now", "pressing", ""],
            false => [
                "outlet",
                "holds from",
                "after",
                "of it pressing",
                "",
                "",
                "",
            ],
        };
        blocks.push(Block::table(&head, rows.collect()));
    }

    fn row(&self, outlet: &OutletHolds) -> Vec<Line> {
        let now = |of: fn(&HoldTimes) -> Option<Range>| match &outlet.now {
            Some(now) => time(of(now)),
            None => Line::default(),
        };
        let wrong = outlet.wrong.iter().map(|word| {
            let role = match word {
                HoldWord::Never => Role::Drained,
                _ => Role::Contested,
            };
            Line::role(role, word.word())
        });
        vec![
            self.words.typed(&outlet.outlet),
            self.words.pa(outlet.holds_from_pa).into(),
            time(outlet.sound.holds_s),
            time(outlet.sound.presses_s),
            now(|times| times.holds_s),
            now(|times| times.presses_s),
            Line::list(wrong, "and"),
        ]
    }

    /// What the words mean.
    fn means(&self, blocks: &mut Vec<Block>) {
        if self.answer.states.is_empty() {
            return;
        }
        let pressing = "Pressing is the part of the time from when the plates touch until they \
                        hold: what the accumulator cushions.";
        let line = match self.faulty() {
            false => pressing.to_owned(),
            true => format!(
                "{pressing} Late is more than {:.0} % of the sound time, early less than {:.0} %, \
                 harsh less than {:.0} % of the sound pressing.",
                100.0 * self.answer.late_from,
                100.0 / self.answer.late_from,
                100.0 * self.answer.harsh_below,
            ),
        };
        blocks.push(Block::Text(line.into()));
    }
}

fn does(wrong: &[HoldWord], one: bool) -> String {
    let s = if one { "s" } else { "" };
    if wrong.contains(&HoldWord::Never) {
        return format!("never take{s} hold");
    }
    let how = wrong.iter().map(|word| match word {
        HoldWord::Harsh => "harshly",
        word => word.word(),
    });
    let how: Vec<&str> = how.collect();
    format!("take{s} hold {}", how.join(" and "))
}

/// Times to a hundredth of a second; never where there is none.
fn time(range: Option<Range>) -> Line {
    match range {
        Some(range) => words::spread(range, |s| format!("{s:.2} s")),
        None => "never".into(),
    }
}
