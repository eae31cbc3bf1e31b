//! States driven one after the other, in words.

use super::page::{Block, Line, Page, Role};
use super::words::{self, Words};
use crate::answer::{Difference, DrivesAs, Walk, WalkMove, WalkStep};
use crate::circuit::PartName;

/// At most this many steps or passages are named in a sentence.
const NAMED: usize = 6;

/// The report of a walk: what each step applies, a row a step, then what moved in each.
#[must_use]
pub fn walk(answer: &Walk, words: &Words<'_>) -> Page {
    let told = Told { answer, words };
    let rows = answer.steps.iter().enumerate();
    let rows = rows.map(|(i, step)| told.row(i + 1, step));
    let faulty = match answer.faults.len() {
        1 => "with the fault",
        _ => "with the faults",
    };
    let head = &["", "state", "applied", "it drives", faulty];
    let mut blocks = vec![Block::Lead(told.lead())];
    if !answer.steps.is_empty() {
        let nexts = answer.steps.iter().skip(1).map(Some).chain([None]);
        let steps = answer.steps.iter().zip(nexts);
        let steps = steps.map(|(step, next)| told.step(step, next));
        blocks.push(Block::table(head, rows.collect()));
        blocks.push(Block::Heading("Step by step".into()));
        blocks.push(Block::Steps(steps.collect()));
    }
    blocks.push(Block::Note(words::depth_from(
        answer.depth,
        "the first step from rest, each next from where the one before it ended",
    )));
    Page {
        title: words.title(),
        blocks,
    }
}

struct Told<'a> {
    answer: &'a Walk,
    words: &'a Words<'a>,
}

impl Told<'_> {
    fn lead(&self) -> Line {
        let steps = &self.answer.steps;
        let numbered = steps.iter().enumerate();
        let wrong = numbered.filter(|(_, step)| step.is_wrong());
        let wrong: Vec<Line> = wrong
            .map(|(i, step)| Line::id(&step.state) + format!(" (step {})", i + 1))
            .collect();
        let all = words::plural(steps.len(), "step");
        let which = match wrong.len() {
            0 => Line::default(),
            1..=NAMED => Line::from(": ") + Line::list(wrong.iter().cloned(), "and"),
            _ => Line::from(", ") + wrong[0].clone() + " the first",
        };
        let faults = self.answer.faults.iter().map(|f| Line::id(f));
        let line = match (&self.answer.faults[..], wrong.len()) {
            _ if steps.is_empty() => "Nothing is driven".into(),
            ([], 0) => Line::from(format!("Each of {all} applies what it should")),
            ([], some) => {
                let does = match some {
                    1 => "does not apply what it should",
                    _ => "do not apply what they should",
                };
                Line::from(format!("{some} of {all} {does}")) + which
            }
            (faulty, some) => {
                let s = if faulty.len() == 1 { "s" } else { "" };
                let faults = Line::list(faults, "and");
                match some {
                    0 => faults + format!(" change{s} nothing in any of {all}"),
                    some => faults + format!(" change{s} {some} of {all}") + which,
                }
            }
        };
        line + "."
    }

    fn list(&self, parts: &[PartName]) -> Line {
        Line::list(parts.iter().map(|part| self.words.typed(part)), "and")
    }

    fn row(&self, number: usize, step: &WalkStep) -> Vec<Line> {
        let applied = match &step.applied[..] {
            [] => Line::role(Role::Faint, "nothing"),
            parts => self.list(parts),
        };
        let sound = step.from_sound.as_ref();
        vec![
            number.to_string().into(),
            Line::id(&step.state),
            applied,
            self.drives(step),
            sound.map(|sound| self.felt(sound)).unwrap_or_default(),
        ]
    }

    fn drives(&self, step: &WalkStep) -> Line {
        match step.drives {
            DrivesAs::Same => Line::role(Role::Supplied, "as it should"),
            DrivesAs::Like => {
                Line::from("like ") + step.like.as_deref().map(Line::id).unwrap_or_default()
            }
            DrivesAs::None => Line::role(Role::Drained, "none"),
            DrivesAs::Flare => Line::role(Role::Drained, "flare"),
            DrivesAs::Bind => Line::role(Role::Stray, "bind"),
            DrivesAs::Creeps => Line::role(Role::Stray, "creeps"),
            DrivesAs::Unlike => Line::from("like no state"),
            DrivesAs::Unsure => {
                Line::role(Role::Unsure, "cannot be said: ") + self.list(&step.unsure)
            }
        }
    }

    /// What outlets fare otherwise, against there.
    fn felt(&self, difference: &Difference) -> Line {
        let clauses = [
            ("loses ", &difference.lost),
            ("gains ", &difference.gained),
            ("cannot be said: ", &difference.unsure),
        ];
        let clauses = clauses.into_iter().filter(|(_, parts)| !parts.is_empty());
        let clauses = clauses.map(|(verb, parts)| Line::from(verb) + self.list(parts));
        Line::list(clauses, "and")
    }

    /// All there is to say of a step; `next` is the one after it.
    fn step(&self, step: &WalkStep, next: Option<&WalkStep>) -> Line {
        let mut line = Line::id(&step.state) + ": " + self.moves(step) + ".";
        let mut say = |sentence: Line| {
            line = std::mem::take(&mut line) + " " + sentence + ".";
        };
        if step.drives != DrivesAs::Same {
            let should = match &step.should[..] {
                [] => "nothing".into(),
                parts => self.list(parts),
            };
            say(Line::from("It should apply ") + should);
        }
        self.sealed(step, &mut say);
        let cold = &step.from_cold;
        let cold: Vec<Line> = [self.stood(cold), self.fared(cold)]
            .into_iter()
            .flatten()
            .collect();
        if let Some(line) = cold.into_iter().reduce(|line, next| line + "; " + next) {
            say(Line::from("It remembers: from cold, ") + line);
        }
        let without = match self.answer.faults.len() {
            1 => "Without the fault, ",
            _ => "Without the faults, ",
        };
        // How outlets fare is in the table.
        if let Some(line) = step.from_sound.as_ref().and_then(|sound| self.stood(sound)) {
            say(Line::from(without) + line);
        }
        for by_hand in &step.by_hand {
            let held = place(&by_hand.held);
            let valve = self.words.typed(&by_hand.valve);
            let line = Line::from("The state holds ") + valve + " in " + held;
            say(match by_hand.let_be == [by_hand.held.clone()] {
                true => line + " by hand, where it would end of itself",
                false => line + " by hand; let be, it would end in " + places(&by_hand.let_be),
            });
        }
        for course in &step.courses {
            let parts = match &course.unsettled[..] {
                [] => Line::from("what moves"),
                parts => self.words.parts(parts),
            };
            say(words::course(course.course, parts));
        }
        if step.ends > 1 {
            let line = Line::from(format!("It can end in {} ways", step.ends));
            let differing = step.differing.iter().map(|cavity| Line::id(cavity));
            let line = match step.differing.len() {
                0 => line,
                1..=NAMED => line + ", by what is left in " + Line::list(differing, "and"),
                many => line + format!(", by what is left in {many} passages"),
            };
            say(match next.map(|next| next.not_followed) {
                None => line,
                Some(0) => line + "; the next step goes on from each",
                Some(not) => {
                    let followed = step.ends - not;
                    line + format!("; the next step goes on from {followed} of them alone")
                }
            });
        }
        if step.not_followed > 0 {
            let ends = words::plural(step.not_followed, "end");
            let line = format!("What {ends} of the step before would lead to is left out");
            say(line.into());
        }
        line
    }

    fn moves(&self, step: &WalkStep) -> Line {
        let went = |m: &WalkMove| {
            let line = self.words.typed(&m.part) + " ";
            match &m.to[..] {
                to if m.from != to => line + places(&m.from) + " → " + places(to),
                [_] => line + "went and came back to " + places(&m.to),
                to => line + "moves between " + Line::list(to.iter().map(place), "and"),
            }
        };
        match &step.moved[..] {
            [] => "nothing moves".into(),
            [first, rest @ ..] => rest
                .iter()
                .fold(went(first), |line, next| line + ", " + went(next)),
        }
    }

    /// What keeps its oil, and what that means.
    fn sealed(&self, step: &WalkStep, say: &mut impl FnMut(Line)) {
        let (kept, late): (Vec<PartName>, Vec<PartName>) =
            (step.shut_in.iter().cloned()).partition(|part| step.should.contains(part));
        if !late.is_empty() {
            let line = self.list(&late) + " should be off and has nothing but oil that is shut in";
            say(line + ": it lets go late");
        }
        if !kept.is_empty() {
            say(self.list(&kept) + " holds by oil that is shut in, until that has leaked off");
        }
        if !step.trapped.is_empty() {
            let cavities = step.trapped.iter().map(|cavity| Line::id(cavity));
            let keeps = match step.trapped.len() {
                1 => " is sealed off and keeps its oil",
                _ => " are sealed off and keep their oil",
            };
            say(Line::list(cavities, "and") + keeps);
        }
    }

    /// Where valves would stand there.
    fn stood(&self, there: &Difference) -> Option<Line> {
        let mut stand = there.stand.iter();
        let first = stand.next().map(|s| (s, " would stand in "))?;
        let stand = std::iter::once(first).chain(stand.map(|s| (s, " in ")));
        let stand = stand.map(|(s, verb)| self.words.typed(&s.valve) + verb + places(&s.there));
        Some(Line::list(stand, "and"))
    }

    /// How outlets would fare there.
    fn fared(&self, there: &Difference) -> Option<Line> {
        let clauses = [
            (&there.lost, "", " would have oil"),
            (&there.gained, "", " would have none"),
            (&there.unsure, "it may be otherwise with ", ""),
        ];
        let clauses = clauses.into_iter().filter(|(parts, ..)| !parts.is_empty());
        let clauses =
            clauses.map(|(parts, before, behind)| Line::from(before) + self.list(parts) + behind);
        let clauses: Vec<Line> = clauses.collect();
        (!clauses.is_empty()).then(|| Line::list(clauses, "and"))
    }
}

fn place(place: &Option<String>) -> Line {
    match place {
        Some(place) => Line::id(place),
        None => "an unknown place".into(),
    }
}

fn places(places: &[Option<String>]) -> Line {
    Line::list(places.iter().map(place), "or")
}
