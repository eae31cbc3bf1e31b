//! Pressures and flows, in words.

use std::collections::{BTreeMap, BTreeSet};

use super::page::{Block, Line, Page, Role};
use super::sizes::{assumed, banded, drawn, marks, size_list};
use super::words::{self, Words};
use crate::answer::{Flows, FlowsState, Gets, OutletFlow, Range, Solved, Verdict};
use crate::circuit::PartName;
use crate::flow::Doubt;
use crate::flow::law::Stand;

/// Outlets named in the first sentence at most.
const NAMED: usize = 3;

/// Parts of which one thing is doubted, named at most.
const DOUBTED: usize = 8;

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

    fn cavities(&self, state: &FlowsState, blocks: &mut Vec<Block>) {
        blocks.push(Block::Heading("Pressures".into()));
        let rows = state.cavities.iter().map(|cavity| {
            let now = match self.faulty() {
                true => self.words.pressures(cavity.now_pa),
                false => Line::default(),
            };
            vec![
                Line::id(&cavity.cavity),
                self.words.pressures(cavity.sound_pa) + marks(&cavity.rests_on, cavity.band),
                now,
            ]
        });
        blocks.push(Block::table(&["cavity", "sound", "now"], rows.collect()));
    }

    fn streams(&self, state: &FlowsState, blocks: &mut Vec<Block>) {
        blocks.push(Block::Heading("Flows".into()));
        let seen = |range: Option<Range>| {
            range.is_some_and(|r| r.most.abs().max(r.least.abs()) >= words::SEEN)
        };
        let streams = state.streams.iter();
        let streams = streams.filter(|s| seen(s.sound_m3_per_s) || seen(s.now_m3_per_s));
        let rows = streams.map(|stream| {
            let shown = |range: Option<Range>| match range {
                Some(range) => self.words.flows(Some(range)),
                None => "-".into(),
            };
            let now = match self.faulty() {
                true => shown(stream.now_m3_per_s),
                false => Line::default(),
            };
            vec![
                self.words.typed(&stream.part),
                Line::id(&stream.from),
                Line::id(&stream.to),
                shown(stream.sound_m3_per_s) + marks(&stream.rests_on, stream.band),
                now,
            ]
        });
        blocks.push(Block::table(
            &["by", "from", "to", "sound", "now"],
            rows.collect(),
        ));
    }

    /// Balls, reliefs and regulators that are not just shut.
    fn stands(&self, state: &FlowsState, blocks: &mut Vec<Block>) {
        let shut = |stands: &[Stand]| stands.iter().all(|stand| *stand == Stand::Shut);
        let moves = state
            .stands
            .iter()
            .filter(|s| !shut(&s.sound) || !shut(&s.now));
        let rows = moves.map(|part| {
            let told =
                |stands: &[Stand]| Line::list(stands.iter().map(|s| s.to_string().into()), "or");
            vec![
                self.words.typed(&part.part),
                Line::id(&part.from),
                Line::id(&part.to),
                told(&part.sound),
                if self.faulty() {
                    told(&part.now)
                } else {
                    Line::default()
                },
            ]
        });
        let rows: Vec<Vec<Line>> = rows.collect();
        if !rows.is_empty() {
            blocks.push(Block::Heading("Balls, reliefs and regulators".into()));
            blocks.push(Block::table(&["part", "from", "to", "sound", "now"], rows));
        }
    }

    fn sizes(&self, blocks: &mut Vec<Block>) {
        if self.answer.oil.is_none() {
            blocks.push(Block::Text(words::generic_oil()));
        }
        blocks.extend(size_list(
            "Set for this answer",
            &self.answer.set,
            self.words,
        ));
        blocks.extend(assumed(&self.answer.assumed, self.words));
        self.bands(blocks);
        let [state] = &self.answer.states[..] else {
            return;
        };
        let resting = state.outlets.iter().filter(|o| !o.rests_on.is_empty());
        let resting = resting.filter(|o| o.should_apply || !o.by_pressure);
        let lines = resting.map(|outlet| {
            let sizes = outlet.rests_on.iter();
            let sizes = sizes.map(|s| self.words.typed(&s.part) + "." + s.measure.as_str());
            self.words.typed(&outlet.outlet) + ": " + Line::list(sizes, "and")
        });
        let lines: Vec<Line> = lines.collect();
        if !lines.is_empty() {
            blocks.push(Block::Heading("Worth measuring first".into()));
            blocks.push(Block::List(lines));
        }
    }

    fn bands(&self, blocks: &mut Vec<Block>) {
        let figures = self.answer.states.iter().flat_map(|state| {
            let outlets = state.outlets.iter().flat_map(|o| [o.band, o.share_band]);
            let cavities = state.cavities.iter().map(|c| c.band);
            outlets
                .chain(cavities)
                .chain(state.streams.iter().map(|s| s.band))
        });
        let by = figures.flatten().collect();
        blocks.extend(banded(self.answer.bands.as_ref(), by, self.words));
    }

    /// What is unsure of the oil and of laws, each once over all states.
    fn doubts(&self, blocks: &mut Vec<Block>) {
        let states = || self.answer.states.iter();
        let mut oil: Vec<Doubt> = states()
            .flat_map(|s| s.oil_doubts.iter().copied())
            .collect();
        oil.sort_unstable();
        oil.dedup();
        let mut parts: BTreeMap<Doubt, BTreeSet<&PartName>> = BTreeMap::new();
        for doubt in states().flat_map(|s| &s.doubts) {
            parts.entry(doubt.doubt).or_default().extend(&doubt.parts);
        }
        let oil = oil
            .into_iter()
            .map(|doubt| Line::from(doubt.to_string()).capital() + ".");
        let parts = parts.into_iter().map(|(doubt, parts)| {
            let named = match parts.len() {
                1..=DOUBTED => Line::list(parts.into_iter().map(|p| self.words.typed(p)), "and"),
                many => format!("{many} parts").into(),
            };
            Line::from(doubt.to_string()).capital() + ": " + named + "."
        });
        let lines: Vec<Line> = oil.chain(parts).collect();
        if !lines.is_empty() {
            blocks.push(Block::Heading("Less sure than the digits look".into()));
            blocks.push(Block::List(lines));
        }
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
