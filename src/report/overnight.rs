//! Standing overnight, in words.

use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{Overnight, OvernightState, RunOff, StandingCavity};
use crate::circuit::{Kind, PartName};
use crate::net::Strength;
use crate::settle::Push;

/// Cavities named in the first sentence at most.
const NAMED: usize = 4;

/// The report of a night: what runs off, what keeps its oil, and what that means for the morning.
#[must_use]
pub fn overnight(answer: &Overnight, words: &Words<'_>) -> Page {
    let night = Told { answer, words };
    let mut blocks = vec![Block::Lead(night.lead())];
    night.worse(&mut blocks);
    night.runs_off(&mut blocks);
    night.kept(&mut blocks);
    night.morning(&mut blocks);
    blocks.push(Block::Note(
        "Through open ways oil is gone in minutes, through metering holes soon after, through \
         leaks in hours: how many depends on sizes and heights. Gravity is not computed: every \
         way out counts as if it lay at the bottom, and of spool clearances only those that the \
         file lists. A standing pump is taken to leak."
            .into(),
    ));
    blocks.push(Block::Note(words::depth(answer.depth)));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Overnight,
    words: &'a Words<'a>,
}

/// Cavities of which the same is told, with the states it is told of.
type Group<'a, K> = Vec<(K, Vec<&'a str>, Vec<&'a str>)>;

fn id(state: &OvernightState) -> &str {
    state.state.as_deref().unwrap_or_default()
}

impl<'a> Told<'a> {
    fn all(&self) -> Vec<&'a str> {
        self.answer.states.iter().map(id).collect()
    }

    /// Cavities grouped by what `of` tells of them, cavities of the same states together.
    fn grouped<K: PartialEq>(&self, of: impl Fn(&'a StandingCavity) -> Option<K>) -> Group<'a, K> {
        let mut single: Vec<(K, &str, Vec<&str>)> = Vec::new();
        for state in &self.answer.states {
            for cavity in &state.cavities {
                let Some(key) = of(cavity) else { continue };
                let known = single.iter_mut();
                let mut known = known.filter(|(k, c, _)| *k == key && *c == cavity.cavity);
                match known.next() {
                    Some((_, _, states)) => states.push(id(state)),
                    None => single.push((key, &cavity.cavity, vec![id(state)])),
                }
            }
        }
        let mut groups: Group<'_, K> = Vec::new();
        for (key, cavity, states) in single {
            let known = groups
                .iter_mut()
                .find(|(k, s, _)| *k == key && *s == states);
            match known {
                Some((_, _, cavities)) => cavities.push(cavity),
                None => groups.push((key, states, vec![cavity])),
            }
        }
        groups
    }

    fn ids(cavities: &[&str]) -> Line {
        Line::list(cavities.iter().map(|c| Line::id(c)), "and")
    }

    /// In which states, briefly; nothing where in all.
    fn states(&self, these: &[&str]) -> Line {
        let all = self.all();
        match these.len() == all.len() {
            true => Line::default(),
            false => words::in_states(these, &all),
        }
    }

    fn lead(&self) -> Line {
        let all = self.all();
        let faults = self.answer.faults.iter().map(|f| Line::id(f));
        let one = faults.len() == 1;
        let subject = Line::list(faults, "and");
        if !self.answer.faults.is_empty() {
            let worse = self.grouped(|c| c.is_worse().then_some(()));
            let cavities = distinct(&worse);
            let verb = |plural: &str| {
                if one {
                    format!("{plural}s")
                } else {
                    plural.to_owned()
                }
            };
            return match cavities.len() {
                0 => subject + " " + verb("let") + " nothing run off overnight that should stay.",
                1..=NAMED => {
                    let named = cavities.iter().map(|c| self.words.cavity(c));
                    subject
                        + " "
                        + verb("let")
                        + " "
                        + Line::list(named, "and")
                        + " run off overnight, as should not be."
                }
                n => {
                    subject
                        + " "
                        + verb("let")
                        + format!(" {n} cavities run off overnight, as should not be.").as_str()
                }
            };
        }
        let kept = self.grouped(|c| c.runs_off.is_none().then_some(()));
        let cavities = distinct(&kept);
        let left = match &all[..] {
            [] | [""] => Line::default(),
            [only] => Line::from(" in ") + Line::id(only),
            [_, _] => " in either state".into(),
            all => format!(" in any of the {} states", all.len()).into(),
        };
        if self.answer.states.iter().all(|s| s.cavities.is_empty()) {
            return Line::from("Nothing has oil when the engine is turned off") + left + ".";
        }
        let left = Line::from("Left standing overnight") + left + ", ";
        match cavities.len() {
            0 => left + "every cavity runs off in time.",
            1..=NAMED => {
                let named = cavities.iter().map(|c| self.words.cavity(c));
                left + Line::list(named, "and") + " can keep oil; all else runs off in time."
            }
            n => left + format!("{n} cavities can keep oil; all else runs off in time."),
        }
    }

    /// What runs off that keeps its oil when sound, or runs off wider.
    fn worse(&self, blocks: &mut Vec<Block>) {
        let groups = self.grouped(|c| {
            let run_off = c.runs_off.as_ref().filter(|_| c.is_worse())?;
            Some((Way::of(run_off), c.sound))
        });
        if groups.is_empty() {
            return;
        }
        blocks.push(Block::Heading("Runs off, and should not".into()));
        let items = groups.iter().map(|((way, sound), states, cavities)| {
            let sound = match sound {
                None => "; sound, it keeps its oil",
                Some(Strength::Leak) => "; sound, it leaks",
                Some(_) => "; sound, it is metered",
            };
            Self::ids(cavities) + self.states(states) + ": " + self.way(way) + sound + "."
        });
        blocks.push(Block::List(items.collect()));
    }

    fn runs_off(&self, blocks: &mut Vec<Block>) {
        let groups = self.grouped(|c| {
            let run_off = c.runs_off.as_ref().filter(|_| !c.is_worse())?;
            Some(Way::of(run_off))
        });
        let mut ways: Vec<(&Way<'_>, Vec<Line>)> = Vec::new();
        for (way, states, cavities) in &groups {
            let told = Self::ids(cavities) + self.states(states);
            match ways.iter_mut().find(|(known, _)| *known == way) {
                Some((_, all)) => all.push(told),
                None => ways.push((way, vec![told])),
            }
        }
        ways.sort_by_key(|(way, _)| std::cmp::Reverse(way.how));
        if ways.is_empty() {
            return;
        }
        blocks.push(Block::Heading(match self.answer.faults.is_empty() {
            true => "Runs off".into(),
            false => "Runs off when sound, too".into(),
        }));
        let items = ways.into_iter().map(|(way, told)| {
            let told = told.into_iter().reduce(|line, more| line + "; " + more);
            self.way(way).capital() + ": " + told.unwrap_or_default() + "."
        });
        blocks.push(Block::List(items.collect()));
    }

    fn way(&self, way: &Way<'_>) -> Line {
        let soon = match way.how {
            Strength::Open => Line::role(Role::Drained, "in minutes"),
            Strength::Metered => Line::role(Role::Contested, "soon"),
            Strength::Leak => Line::role(Role::Trapped, "in hours"),
        };
        let Some(last) = way.last else {
            return soon + ", as the valves go over";
        };
        let out = match last.kind {
            Kind::Source => Line::from("back through "),
            Kind::Outlet => "into ".into(),
            _ => "out at ".into(),
        };
        let out = out + self.words.part(last);
        match way.narrowest.filter(|narrowest| *narrowest != last) {
            Some(narrowest) => soon + ", through " + self.words.part(narrowest) + " and " + out,
            None => soon + ", " + out,
        }
    }

    fn kept(&self, blocks: &mut Vec<Block>) {
        let groups = self.grouped(|c| c.runs_off.is_none().then_some(&c.held_by));
        if groups.is_empty() {
            return;
        }
        blocks.push(Block::Heading("Keeps its oil".into()));
        let items = groups.iter().map(|(balls, states, cavities)| {
            let behind = match balls.is_empty() {
                true => "shut in".into(),
                false => Line::from("behind ") + self.words.parts(balls),
            };
            Line::role(Role::Supplied, "kept, ")
                + behind
                + ": "
                + Self::ids(cavities)
                + self.states(states)
                + "."
        });
        blocks.push(Block::List(items.collect()));
    }

    /// What has to fill again before each outlet has oil.
    fn morning(&self, blocks: &mut Vec<Block>) {
        let mut rows: Vec<(&PartName, usize, Push, bool, Vec<&str>)> = Vec::new();
        for state in &self.answer.states {
            for outlet in &state.outlets {
                let row = (
                    &outlet.outlet,
                    outlet.to_fill.len(),
                    outlet.fed_through,
                    outlet.keeps,
                );
                let known = rows.iter_mut().find(|r| (r.0, r.1, r.2, r.3) == row);
                match known {
                    Some(known) => known.4.push(id(state)),
                    None => rows.push((row.0, row.1, row.2, row.3, vec![id(state)])),
                }
            }
        }
        if rows.is_empty() {
            return;
        }
        rows.sort_by_key(|(_, fill, feed, ..)| (std::cmp::Reverse((*feed).min(Push::Open)), *fill));
        blocks.push(Block::Heading(
            "In the morning, the first to have oil first".into(),
        ));
        let all = self.all();
        let rows = rows.iter().map(|(outlet, fill, feed, keeps, states)| {
            let first = match fill {
                0 => "nothing".to_owned(),
                1 => "1 cavity".to_owned(),
                n => format!("{n} cavities"),
            };
            let first = match *keeps && *fill > 0 {
                true => first + "; its own is full",
                false => first,
            };
            let feed = match feed {
                Push::Rail | Push::Open => "open ways",
                Push::Metered => "a metering hole",
                Push::Leak => "a leak",
                Push::None => "what is shut in",
            };
            let states = match states.len() {
                n if n == all.len() => Line::default(),
                1 | 2 => words::states(states, &all),
                n => format!("{n} of {} states", all.len()).into(),
            };
            vec![self.words.typed(outlet), first.into(), feed.into(), states]
        });
        let head = &["outlet", "to fill first", "fed through", "in"];
        blocks.push(Block::table(head, rows.collect()));
    }
}

/// The cavities of some groups, each once.
fn distinct<'a, K>(groups: &Group<'a, K>) -> Vec<&'a str> {
    let mut cavities: Vec<&str> = Vec::new();
    for cavity in groups.iter().flat_map(|(_, _, found)| found) {
        if !cavities.contains(cavity) {
            cavities.push(cavity);
        }
    }
    cavities
}

/// How oil runs off, as far as it is told.
#[derive(PartialEq)]
struct Way<'a> {
    how: Strength,
    narrowest: Option<&'a PartName>,
    last: Option<&'a PartName>,
}

impl<'a> Way<'a> {
    fn of(run_off: &'a RunOff) -> Self {
        Way {
            how: run_off.how,
            narrowest: run_off.narrowest.as_ref(),
            last: run_off.through.last(),
        }
    }
}
