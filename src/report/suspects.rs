//! The suspects, in words.

use super::complaint;
use super::page::{Block, Line, Page, Role};
use super::shows::{on_bench, shows_when};
use super::sought::{check, notes, percent, seen, sets, typed};
use super::words::{self, Words};
use crate::answer::{Complaint, Depth};
use crate::circuit::Access;
use crate::suspect::{Cause, Clash, ClashWhy, Suspect, Suspects};

/// Suspects told with all that is known of them; the others have their row in the table alone.
pub(super) const DETAILED: usize = 3;
/// Sets of faults named in one place at most; the rest is counted.
const NAMED: usize = 7;
/// Complaints nobody made, told of one suspect at most; the rest is counted.
const ALSO: usize = 6;

/// The report of suspects: the answer in one sentence, what was seen and what of it cannot be, the
/// suspects, of the likeliest why, what else and how to confirm it, and what was tried.
#[must_use]
pub fn suspects(answer: &Suspects, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    blocks.push(Block::Heading("What was seen".into()));
    blocks.push(seen(&answer.seen, words));
    told.clashes(&mut blocks);
    told.table(&mut blocks);
    for (number, suspect) in answer.suspects.iter().enumerate().take(DETAILED) {
        told.detail(number, suspect, &mut blocks);
    }
    told.without(&mut blocks);
    told.tried(&mut blocks);
    let confirm = answer.suspects.iter().flat_map(|s| &s.confirm);
    let on_bench = confirm.into_iter().any(|c| c.check.on_bench());
    blocks.extend(notes(&answer.seen, answer.depth, on_bench));
    Page {
        title: words.title(),
        blocks,
    }
}

/// Suspects and the words to tell them in.
pub(super) struct Told<'a> {
    pub answer: &'a Suspects,
    pub words: &'a Words<'a>,
}

impl Told<'_> {
    /// What can be behind it, in a sentence.
    pub fn lead(&self) -> Line {
        let seen = &self.answer.seen;
        if !seen.iter().any(|s| s.weighed) {
            return "Nothing that was seen can be weighed, so every fault is as likely as before."
                .into();
        }
        if !seen.iter().any(|s| s.abnormal) {
            return "Everything that was seen is as it should be: nothing points to a fault."
                .into();
        }
        let Some(first) = self.answer.suspects.first() else {
            return "No fault that was tried fits everything that was seen.".into();
        };
        let chance = percent(first.share);
        let line = sets(&first.sets, NAMED, self.words).capital();
        let line = match first.sets.len() {
            1 => line + ": the likeliest, with " + chance + " of the chance",
            _ => line + ": the likeliest, with " + chance + " of the chance between them",
        };
        let others = self.answer.suspects.len() - 1;
        let line = match (others, first.explains) {
            (0, true) => line,
            (0, false) => line + "; it leaves some of what was seen open",
            (others, _) => {
                line + "; " + words::plural(others, "other suspect") + " listed beside it"
            }
        };
        line + "."
    }

    /// What of it cannot be.
    pub fn clashes(&self, blocks: &mut Vec<Block>) {
        if self.answer.clashes.is_empty() {
            return;
        }
        blocks.push(Block::Heading("What cannot be".into()));
        let items = self.answer.clashes.iter().map(|clash| self.clash(clash));
        blocks.push(Block::List(items.collect()));
        blocks.push(Block::Text(
            "Look at it again, or say of it `likely` or `hint`: then it rules nothing out.".into(),
        ));
    }

    fn clash(&self, clash: &Clash) -> Line {
        let said = |seen: usize| Line::id(&self.answer.seen[seen].said);
        let why = match &clash.why {
            ClashWhy::Excludes { other } => {
                return said(clash.seen) + " and " + said(*other) + " exclude each other.";
            }
            ClashWhy::NothingApplied => {
                "the state applies nothing when sound, so nothing can be missing or fight there; \
                 what is on there creeps"
            }
            ClashWhy::SomethingApplied => {
                "the state applies something when sound, so what is on beside it binds"
            }
            ClashWhy::NoOilThere => "it has no oil there when sound, so it cannot lack any",
            ClashWhy::OilThere => "it has its oil there when sound, so it is on as it should be",
            ClashWhy::NothingShown => {
                "the gauge shows nothing there when sound, so it cannot show less"
            }
            ClashWhy::SameState => "that is how the state itself works",
            ClashWhy::NoFault => "no fault that was tried does this",
        };
        said(clash.seen) + ": " + why + "."
    }

    /// All suspects, a row each.
    pub fn table(&self, blocks: &mut Vec<Block>) {
        if self.answer.suspects.is_empty() {
            return;
        }
        blocks.push(Block::Heading("The suspects".into()));
        let rows = self
            .answer
            .suspects
            .iter()
            .zip(1..)
            .map(|(suspect, number)| {
                vec![
                    number.to_string().into(),
                    percent(suspect.share).into(),
                    typed(&suspect.sets, NAMED),
                    fits(suspect),
                    access(
                        suspect
                            .sets
                            .iter()
                            .map(|s| s.access)
                            .min()
                            .unwrap_or_default(),
                    )
                    .into(),
                ]
            });
        let head = &["", "chance", "suspect", "fits", "look at it"];
        blocks.push(Block::table(head, rows.collect()));
        if self.answer.more > 0 {
            let more = words::plural(self.answer.more, "more suspect");
            let share = percent(self.answer.more_share);
            let line = format!(
                "Not listed: {more} that nothing seen rules out, with {share} of \
                 the chance."
            );
            blocks.push(Block::Text(line.into()));
        }
    }

    /// The heading of a suspect and why it is one.
    pub fn reasons(&self, number: usize, suspect: &Suspect) -> (Block, Vec<Line>) {
        let head = format!("{}. ", number + 1);
        let head = Line::from(head) + sets(&suspect.sets, NAMED, self.words);
        let mut items = Vec::new();
        if suspect.sets.len() > 1 {
            items.push("No check that can be made tells these apart: look at them.".into());
        }
        items.extend(self.why(&suspect.causes));
        let shows = suspect.shows_when.iter();
        items.extend(shows.map(|shows| shows_when(shows, &self.answer.seen, self.words)));
        let bench = suspect.on_bench.iter();
        items.extend(bench.map(|shows| on_bench(shows, &self.answer.seen, self.words)));
        let driven = self
            .answer
            .seen
            .iter()
            .any(|s| s.abnormal && s.state.is_some());
        if suspect.causes.is_empty() && self.answer.depth == Depth::Flow && driven {
            items.push(
                "By weighing alone nothing is starved there; pressures and flows say that it \
                 falls."
                    .into(),
            );
        }
        if !suspect.leaves_open.is_empty() {
            let open = suspect.leaves_open.iter();
            let open = open.map(|seen| Line::id(&self.answer.seen[*seen].said));
            items.push(Line::from("Leaves open: ") + Line::list(open, "and") + ".");
        }
        (Block::Heading(head), items)
    }

    fn detail(&self, number: usize, suspect: &Suspect, blocks: &mut Vec<Block>) {
        let (head, mut items) = self.reasons(number, suspect);
        blocks.push(head);
        let also = suspect.also.iter().take(ALSO).map(|also| {
            let states: Vec<&str> = also.states.iter().map(String::as_str).collect();
            let told = self.complaint(&also.complaint);
            match states.is_empty() {
                true => told,
                false => words::states(&states, &self.every()) + ": " + told,
            }
        });
        let mut also: Vec<Line> = also.collect();
        if suspect.also.len() > ALSO {
            also.push(format!("{} more", suspect.also.len() - ALSO).into());
        }
        if !also.is_empty() {
            items.push(
                Line::from("It would also do what nobody reported. ")
                    + join(also, "; ").capital()
                    + ".",
            );
        }
        for confirm in &suspect.confirm {
            let line = Line::from("To confirm: ") + check(&confirm.check, self.words);
            items.push(line + ": " + Line::id(&confirm.seen) + ". " + others(confirm.sets_apart));
        }
        if suspect.confirm.is_empty() {
            items.push("To confirm: no gauge, switch, drive or check on the bench tells; look at the part.".into());
        }
        blocks.push(Block::List(items));
    }

    fn complaint(&self, complaint: &Complaint) -> Line {
        complaint::told(complaint, self.words)
    }

    fn every(&self) -> Vec<&str> {
        let states = self.words.circuit.states.keys();
        states.map(String::as_str).collect()
    }

    /// What leads to what was seen, each with its states.
    pub fn why(&self, causes: &[Cause]) -> Vec<Line> {
        let mut all: Vec<&str> = causes.iter().map(|c| id(&c.state)).collect();
        all.dedup();
        let told = self.causes(causes).into_iter().map(|(why, states)| {
            let states = words::states(&states, &all);
            match states.is_empty() {
                true => why.capital(),
                false => (states + ": " + why).capital(),
            }
        });
        told.collect()
    }

    /// What leads to what was seen: a sentence for all states that agree.
    fn causes<'c>(&self, causes: &'c [Cause]) -> Vec<(Line, Vec<&'c str>)> {
        let mut found: Vec<(Line, Vec<&str>)> = Vec::new();
        for cause in causes {
            let line = self.words.part(&cause.outlet) + " (" + words::verdict_alone(cause.verdict);
            let line = line + ")";
            let line = match &cause.reason {
                Some(reason) => line + ": " + self.words.reason(reason) + ".",
                None => line + ".",
            };
            let line = line + complaint::chain(&cause.chain, self.words);
            let state = id(&cause.state);
            match found.iter_mut().find(|(known, _)| *known == line) {
                Some((_, states)) => states.push(state),
                None => found.push((line, vec![state])),
            }
        }
        found
    }
}

fn fits(suspect: &Suspect) -> Line {
    match (suspect.explains, suspect.leaves_open.len()) {
        (true, _) => Line::role(Role::Supplied, "all of it"),
        (false, open) => {
            let all = suspect.foretells.len() + open;
            Line::role(
                Role::Unsure,
                &format!("{} of {all}", suspect.foretells.len()),
            )
        }
    }
}

fn access(access: Access) -> &'static str {
    match access {
        Access::Outside => "outside",
        Access::PanOff => "pan off",
        Access::Bench => "on the bench",
    }
}

fn others(share: f64) -> String {
    match share {
        share if share >= 0.995 => "All the others would show something else.".to_owned(),
        share => format!(
            "Of the others {} would show something else, by chance.",
            percent(share)
        ),
    }
}

fn join(lines: Vec<Line>, between: &str) -> Line {
    let mut lines = lines.into_iter();
    let first = lines.next().unwrap_or_default();
    lines.fold(first, |line, next| line + between + next)
}

fn id(state: &Option<String>) -> &str {
    state.as_deref().unwrap_or_default()
}
