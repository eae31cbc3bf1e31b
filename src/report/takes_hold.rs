//! How long what a state applies takes to take hold, in words.

use super::flows::size_list;
use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{HoldWord, OutletHolds, Range, TakesHold, TakesHoldState};

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
            return Line::from("How long what is applied takes to take hold, when sound")
                + words::in_states(&states, &states)
                + ".";
        }
        let faults = self.answer.faults.iter().map(|f| Line::id(f));
        let faults = Line::from("With ") + Line::list(faults, "and");
        let mut said = Vec::new();
        for word in HoldWord::ALL {
            let mut outlets: Vec<Line> = Vec::new();
            let mut bad: Vec<&str> = Vec::new();
            for state in &self.answer.states {
                for outlet in state.outlets.iter().filter(|o| o.wrong.contains(word)) {
                    let name = self.words.part(&outlet.outlet);
                    if !outlets.contains(&name) {
                        outlets.push(name);
                    }
                    if bad.last() != Some(&id(state)) {
                        bad.push(id(state));
                    }
                }
            }
            if !outlets.is_empty() {
                let one = outlets.len() == 1;
                let does = Line::role(Role::Strong, does(*word, one));
                let states = words::in_states(&bad, &states);
                said.push(Line::list(outlets, "and") + " " + does + states);
            }
        }
        match said.is_empty() {
            true => faults + ", everything takes hold as when sound.",
            false => faults + ", " + Line::list(said, "and") + ".",
        }
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
        let now = |of: fn(&crate::answer::HoldTimes) -> Option<Range>| match &outlet.now {
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

fn does(word: HoldWord, one: bool) -> &'static str {
    match (word, one) {
        (HoldWord::Never, true) => "never takes hold",
        (HoldWord::Never, false) => "never take hold",
        (HoldWord::Late, true) => "takes hold late",
        (HoldWord::Late, false) => "take hold late",
        (HoldWord::Early, true) => "takes hold early",
        (HoldWord::Early, false) => "take hold early",
        (HoldWord::Harsh, true) => "takes hold harshly",
        (HoldWord::Harsh, false) => "take hold harshly",
    }
}

/// Times to a hundredth of a second; never where there is none.
fn time(range: Option<Range>) -> Line {
    match range {
        Some(range) => words::spread(range, |s| format!("{s:.2} s")),
        None => "never".into(),
    }
}
