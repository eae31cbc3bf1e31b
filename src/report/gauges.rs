//! What gauges and switches should show, in words.

use super::page::{Block, Line, Page, Role};
use super::sizes::{assumed, mark, size_list};
use super::words::{self, Words};
use crate::answer::{GaugeReading, Gauges, GaugesState};
use crate::circuit::{Kind, PartName};
use crate::units::Pressure;

/// The report of gauges: a row for each tap and state, what a leak looks like, cautions.
#[must_use]
pub fn gauges(answer: &Gauges, words: &Words<'_>) -> Page {
    let mut blocks = gauge_blocks(answer, words, false);
    blocks.push(Block::Note(words::gauge_caution()));
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

/// What gauges should show, without cautions; with room for a pencil if wanted.
pub(super) fn gauge_blocks(answer: &Gauges, words: &Words<'_>, pencil: bool) -> Vec<Block> {
    let told = Told {
        answer,
        words,
        pencil,
    };
    let mut blocks = vec![Block::Lead(told.lead())];
    told.table(&mut blocks);
    told.leaks(&mut blocks);
    if answer.oil.is_none() {
        blocks.push(Block::Text(words::generic_oil()));
    }
    blocks.extend(size_list("Set for this answer", &answer.set, words));
    blocks.extend(assumed(&answer.assumed, words));
    blocks
}

struct Told<'a> {
    answer: &'a Gauges,
    words: &'a Words<'a>,
    /// Whether what is read is to be written beside it.
    pencil: bool,
}

fn id(state: &GaugesState) -> &str {
    state.state.as_deref().unwrap_or_default()
}

impl<'a> Told<'a> {
    fn faulty(&self) -> bool {
        !self.answer.faults.is_empty()
    }

    fn readings(&self) -> impl Iterator<Item = (&'a GaugesState, &'a GaugeReading)> {
        let states = self.answer.states.iter();
        states.flat_map(|state| state.readings.iter().map(move |reading| (state, reading)))
    }

    fn lead(&self) -> Line {
        let mut taps: Vec<&PartName> = self.readings().map(|(_, r)| &r.at).collect();
        taps.sort_unstable();
        taps.dedup();
        let count = |kind| taps.iter().filter(|tap| tap.kind == kind).count();
        let (taps, switches) = (count(Kind::Tap), count(Kind::Switch));
        if taps + switches == 0 {
            return "The circuit has no tap and no switch.".into();
        }
        let what = words::plural(taps, "tap") + " and " + &words::plural(switches, "switch");
        if !self.faulty() {
            let states = words::plural(self.answer.states.len(), "state");
            return format!("What {what} should show when sound, in {states}.").into();
        }
        let faults = self.answer.faults.iter().map(|f| Line::id(f));
        let faults = Line::from("With ") + Line::list(faults, "and") + ", ";
        let mut changed: Vec<&PartName> = self
            .readings()
            .filter(|(_, r)| changes(r))
            .map(|(_, r)| &r.at)
            .collect();
        changed.sort_unstable();
        changed.dedup();
        match &changed[..] {
            [] => faults + "no gauge and no switch shows anything else than when sound.",
            changed => {
                let named = changed.iter().map(|tap| self.words.typed(tap));
                let verb = if changed.len() == 1 {
                    " shows"
                } else {
                    " show"
                };
                faults + Line::list(named, "and") + verb + " something else than when sound."
            }
        }
    }

    /// A row for each tap and each thing it shows; with faults only what is not as when sound.
    fn table(&self, blocks: &mut Vec<Block>) {
        let all: Vec<&str> = self.answer.states.iter().map(id).collect();
        // What a tap shows, cell by cell, and the states in which it shows that.
        let mut rows: Vec<(&PartName, Vec<Line>, Vec<&str>)> = Vec::new();
        for (state, reading) in self.readings() {
            if self.faulty() && !changes(reading) {
                continue;
            }
            let cells = self.cells(reading);
            let known = rows.iter_mut();
            let mut known = known.filter(|(tap, c, _)| **tap == reading.at && *c == cells);
            match known.next() {
                Some((_, _, states)) => states.push(id(state)),
                None => rows.push((&reading.at, cells, vec![id(state)])),
            }
        }
        // Each tap's rows together, in file order.
        let mut taps: Vec<&PartName> = Vec::new();
        for (tap, ..) in &rows {
            if !taps.contains(tap) {
                taps.push(tap);
            }
        }
        if let [_] = all[..] {
            let named = rows.iter();
            let table = named.map(|(tap, cells, _)| {
                let name = self.words.typed(tap) + self.reached(tap);
                [vec![name], cells.clone(), vec![self.room()]].concat()
            });
            let head = ["gauge", "sound", "now", "under line", "switch", "read"];
            if !rows.is_empty() {
                blocks.push(Block::table(&head, table.collect()));
            }
            taps.clear();
        }
        for tap in taps {
            let own = rows.iter().filter(|(at, ..)| *at == tap);
            let table = own.map(|(_, cells, states)| {
                let states = words::states(states, &all);
                [cells.clone(), vec![states, self.room()]].concat()
            });
            blocks.push(Block::Heading(self.words.name(tap) + self.reached(tap)));
            let head = ["sound", "now", "under line", "switch", "in", "read"];
            blocks.push(Block::table(&head, table.collect()));
        }
        let unsolved = self.answer.states.iter().filter(|s| !s.converged);
        let unsolved: Vec<&str> = unsolved.map(id).collect();
        if !unsolved.is_empty() {
            let line = Line::role(Role::Unsure, "Not solved")
                + words::in_each(&unsolved, &all)
                + ": those figures do not balance and are no answer.";
            blocks.push(Block::Text(line));
        }
    }

    /// Room for what is read, where it is wanted.
    fn room(&self) -> Line {
        if self.pencil {
            words::ROOM.into()
        } else {
            Line::default()
        }
    }

    /// How hard a tap is to reach, where it is not just outside.
    fn reached(&self, tap: &PartName) -> &'static str {
        let mut readings = self.readings().filter(|(_, r)| r.at == *tap);
        match readings.next().map(|(_, r)| r.access.as_str()) {
            Some("pan-off") => ", pan off",
            Some("bench") => ", on the bench",
            _ => "",
        }
    }

    fn cells(&self, reading: &GaugeReading) -> Vec<Line> {
        let words = self.words;
        let under = match reading.under_line_pa {
            Some(range) if reading.points_to_leak => {
                words.read_off(Some(range)) + " " + Line::role(Role::Drained, "leaks")
            }
            Some(range) => words.read_off(Some(range)),
            None => Line::default(),
        };
        let switch = match reading.closed {
            Some(true) => "closed",
            Some(false) => "open",
            None => "",
        };
        let now = match self.faulty() {
            true => words.read_off(reading.now_pa),
            false => Line::default(),
        };
        let sound = words.read_off(reading.sound_pa) + mark(&reading.rests_on);
        vec![sound, now, under, switch.into()]
    }

    fn leaks(&self, blocks: &mut Vec<Block>) {
        if self.readings().any(|(_, r)| r.under_line_pa.is_some()) {
            let least = self.words.pa(8.0 * Pressure::PSI.pa());
            let most = self.words.pa(15.0 * Pressure::PSI.pa());
            let line = format!(
                "A clutch that holds and reads {least} to {most} (8 to 15 psi) or more under line \
                 points to a leak in its circuit: common practice, no source."
            );
            blocks.push(Block::Text(line.into()));
        }
    }
}

/// Whether a gauge shows something else than when sound: by more than its needle can be read, two
/// parts in a hundred and a tenth of a bar.
fn changes(reading: &GaugeReading) -> bool {
    match (reading.sound_pa, reading.now_pa) {
        (Some(sound), Some(now)) => {
            let off =
                |a: f64, b: f64| (a - b).abs() > 1e4 && (a - b).abs() > 0.02 * a.abs().max(b.abs());
            off(sound.least, now.least) || off(sound.most, now.most)
        }
        (sound, now) => sound.is_some() != now.is_some(),
    }
}
