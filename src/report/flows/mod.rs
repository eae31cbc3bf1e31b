//! Pressures and flows, in words.

mod state;
mod sure;

use super::page::{Block, Line, Page, Role};
use super::sizes::{drawn, marks};
use super::words::{self, Words};
use crate::answer::{Flows, FlowsState, Gets, OutletFlow, Solved, Verdict};

/// Outlets named in the first sentence at most.
const NAMED: usize = 3;

/// What an outlet keeps of its oil is as good as all from here on.
const ALL: f64 = 0.98;

/// The report of pressures and flows: who falls short in one sentence, every outlet with what it
/// gets and needs, and for one state alone the pressure of each cavity and what goes by each part.
#[must_use]
pub fn flows(answer: &Flows, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    for state in &answer.states {
        told.state(state, &mut blocks);
    }
    told.sizes(&mut blocks);
    told.doubts(&mut blocks);
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Flows,
    words: &'a Words<'a>,
}

fn id(state: &FlowsState) -> &str {
    state.state.as_deref().unwrap_or_default()
}

impl<'a> Told<'a> {
    fn faulty(&self) -> bool {
        !self.answer.faults.is_empty()
    }

    fn lead(&self) -> Line {
        let states: Vec<&str> = self.answer.states.iter().map(id).collect();
        let short = |state: &&FlowsState| state.outlets.iter().any(falls_short);
        let bad: Vec<&str> = self.answer.states.iter().filter(short).map(id).collect();
        let outlets = self.answer.states.iter().flat_map(|s| &s.outlets);
        let mut starved: Vec<&OutletFlow> = Vec::new();
        for outlet in outlets.filter(|o| falls_short(o)) {
            if !starved.iter().any(|known| known.outlet == outlet.outlet) {
                starved.push(outlet);
            }
        }
        let subject = match self.faulty() {
            true => {
                let faults = self.answer.faults.iter().map(|f| Line::id(f));
                Line::from("With ") + Line::list(faults, "and") + ", "
            }
            false => Line::default(),
        };
        let named = |outlets: &[&OutletFlow]| {
            Line::list(outlets.iter().map(|o| self.words.part(&o.outlet)), "and")
        };
        let said = match &starved[..] {
            [] if self.needs_known() => {
                let line: Line = "every outlet whose need is known has it".into();
                line + words::in_each(&states, &states) + "."
            }
            [] => Line::from("no outlet says how much it needs."),
            [one] if bad.len() == 1 => {
                named(&starved)
                    + " does not get what it needs"
                    + words::in_each(&bad, &states)
                    + self.gets_of(one)
                    + "."
            }
            few if few.len() <= NAMED => {
                let do_not = if few.len() == 1 { " does" } else { " do" };
                let need = if few.len() == 1 {
                    "it needs"
                } else {
                    "they need"
                };
                named(few)
                    + do_not
                    + " not get what "
                    + need
                    + words::in_states(&bad, &states)
                    + "."
            }
            many => {
                let line: Line = format!("{} outlets do not get what they need", many.len()).into();
                line + words::in_states(&bad, &states) + "."
            }
        };
        match self.faulty() {
            true => subject + said,
            false => said.capital(),
        }
    }

    fn needs_known(&self) -> bool {
        let mut outlets = self.answer.states.iter().flat_map(|s| &s.outlets);
        outlets.any(|o| o.met.is_some())
    }

    /// What an outlet gets of what it needs, to end a sentence with.
    fn gets_of(&self, outlet: &OutletFlow) -> Line {
        let gets = outlet.now.unwrap_or(outlet.sound);
        let (got, need) = match outlet.by_pressure {
            true => (
                self.words.pressures(gets.pressure_pa),
                outlet.needs_pa.map(|pa| self.words.pa(pa)),
            ),
            false => (
                self.words.flows(gets.flow_m3_per_s),
                outlet.needs_m3_per_s.map(|q| self.words.flow(q)),
            ),
        };
        match need {
            Some(need) => Line::from(": ") + got + " of " + need,
            None => Line::default(),
        }
    }

    fn state(&self, state: &FlowsState, blocks: &mut Vec<Block>) {
        let running = words::running(state.speed_rad_per_s, state.oil_temperature_k, self.words);
        blocks.push(Block::Heading(match id(state) {
            "" => running.capital(),
            state => Line::id(state) + ", " + running,
        }));
        let solved = state.faulty.as_ref().unwrap_or(&state.sound);
        self.solved(state, solved, blocks);
        let whole = self.answer.states.len() == 1;
        let rows: Vec<&OutletFlow> = state
            .outlets
            .iter()
            .filter(|o| o.should_apply || !o.by_pressure)
            .collect();
        let changed: Vec<&OutletFlow> = match whole || !self.faulty() {
            true => rows.clone(),
            false => rows
                .iter()
                .copied()
                .filter(|o| falls_short(o) || changes(o))
                .collect(),
        };
        if rows.is_empty() {
            blocks.push(Block::Text("Nothing here takes oil or is applied.".into()));
        } else if changed.is_empty() {
            let same = "Every outlet gets what it gets when sound, within two parts in a hundred.";
            blocks.push(Block::Text(same.into()));
        } else {
            let table = changed.iter().map(|outlet| self.outlet(outlet)).collect();
            let head = ["outlet", "sound", "now", "kept", "needs", "", "settling"];
            blocks.push(Block::table(&head, table));
            if changed.len() < rows.len() {
                blocks.push(Block::Text(
                    "The others get what they get when sound.".into(),
                ));
            }
        }
        let differ: Vec<_> = state.outlets.iter().filter(|o| o.depths_differ).collect();
        for outlet in differ {
            let verdict = outlet.settled.map(words::verdict_alone).unwrap_or_default();
            let line = Line::from("The two depths differ: settling calls ")
                + self.words.part(&outlet.outlet)
                + " "
                + verdict
                + ". Trust the figures where the sizes are measured.";
            blocks.push(Block::Text(line));
        }
        if whole {
            self.cavities(state, blocks);
            self.streams(state, blocks);
            self.stands(state, blocks);
        }
    }

    fn solved(&self, state: &FlowsState, solved: &Solved, blocks: &mut Vec<Block>) {
        let both = [Some(&state.sound), state.faulty.as_ref()];
        if both.iter().flatten().any(|solved| !solved.converged) {
            let most = both
                .iter()
                .flatten()
                .map(|s| s.imbalance_m3_per_s)
                .fold(0.0, f64::max);
            let line = Line::role(Role::Unsure, "Not solved: ")
                + "the figures below do not balance ("
                + self.words.flow(most)
                + " are left over) and are no answer.";
            blocks.push(Block::Text(line));
        }
        if !solved.dead_ended.is_empty() {
            let one = solved.dead_ended.len() == 1;
            let line = self.words.parts(&solved.dead_ended).capital()
                + if one { " pumps" } else { " pump" }
                + " into a dead end: the pressure there rises until something gives, and no figure \
                   can be said of it.";
            blocks.push(Block::Text(line));
        }
        if solved.cases > 1 {
            let line = format!(
                "Valves can stand in {} ways here; each was measured, and the figures are ranges.",
                solved.cases
            );
            blocks.push(Block::Text(line.into()));
        }
        for valve in &solved.overruled {
            let pilots = valve
                .pilots
                .iter()
                .map(|p| Line::id(&p.cavity) + " at " + self.words.pa(p.pressure_pa));
            let from = valve
                .settled
                .as_deref()
                .map_or("an unknown place".into(), Line::id);
            let line = Line::from("Settling puts ")
                + self.words.part(&valve.valve)
                + " in "
                + from
                + ", the pressures put it in "
                + Line::id(&valve.put)
                + ": it moves at "
                + self.words.pa(valve.moves_at_pa)
                + ", with "
                + Line::list(pilots, "and")
                + ".";
            blocks.push(Block::Text(line));
        }
        if !solved.agrees {
            let line =
                "Valves do not come to rest on these pressures: each place puts them in another.";
            blocks.push(Block::Text(Line::role(Role::Unsure, line)));
        }
    }

    fn outlet(&self, outlet: &OutletFlow) -> Vec<Line> {
        let shown = |gets: Gets| match outlet.by_pressure {
            true => self.words.pressures(gets.pressure_pa),
            false => self.words.flows(gets.flow_m3_per_s),
        };
        let needs = match outlet.by_pressure {
            true => outlet.needs_pa.map(|pa| self.words.pa(pa)),
            false => outlet.needs_m3_per_s.map(|q| self.words.flow(q)),
        };
        let met = match outlet.met {
            Some(true) => Line::role(Role::Supplied, "met"),
            Some(false) => Line::role(Role::Drained, "short"),
            None if may_fall_short(outlet) => Line::role(Role::Unsure, "unsure"),
            None => Line::default(),
        };
        let kept = outlet
            .share
            .map(|share| words::share(share) + drawn(outlet.share_band));
        let settled = outlet.settled.filter(|verdict| *verdict != Verdict::Kept);
        vec![
            self.words.typed(&outlet.outlet),
            shown(outlet.sound) + marks(&outlet.rests_on, outlet.band),
            outlet.now.map(shown).unwrap_or_default(),
            kept.unwrap_or_default(),
            needs.map(Line::from).unwrap_or_default(),
            met,
            settled.map(words::verdict_alone).unwrap_or_default(),
        ]
    }
}

fn falls_short(outlet: &OutletFlow) -> bool {
    outlet.met == Some(false)
}

/// Whether what it needs lies within the range of what it gets.
fn may_fall_short(outlet: &OutletFlow) -> bool {
    let gets = outlet.now.unwrap_or(outlet.sound);
    let both = match outlet.by_pressure {
        true => outlet
            .needs_pa
            .filter(|_| outlet.should_apply)
            .zip(gets.pressure_pa),
        false => outlet.needs_m3_per_s.zip(gets.flow_m3_per_s),
    };
    both.is_some_and(|(need, range)| (range.least..=range.most).contains(&need))
}

/// Whether it gets noticeably less than when sound.
fn changes(outlet: &OutletFlow) -> bool {
    outlet.share.is_some_and(|share| share.least < ALL)
}
