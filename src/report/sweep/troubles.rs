//! What a scenario does in one state, in a word or two for each trouble.

use super::{NAMED, Told};
use crate::answer::{ComplaintWord, Reason, SweepState, Verdict};
use crate::circuit::PartName;
use crate::report::page::Line;
use crate::report::words;

impl<'a> Told<'a> {
    /// What happens in one state. Without pressure there is no more to say.
    pub(super) fn troubles(&self, state: &'a SweepState) -> Vec<(Line, Vec<&'a PartName>)> {
        let no_pressure = |sources: &'a [PartName], what: &'static str| {
            let line = move |source| self.words.typed(source) + what;
            sources.iter().map(move |source| (line(source), Vec::new()))
        };
        let dry = no_pressure(&state.cannot_draw, " gives no oil");
        let loaded = no_pressure(&state.will_not_build, " will not build pressure");
        let mut found: Vec<(Line, Vec<&PartName>)> = dry.chain(loaded).collect();
        if !found.is_empty() {
            return found;
        }
        for complaint in &state.complaints {
            let head = words::complaint(complaint.what);
            let outlets = complaint.outlets.iter().collect();
            found.push(match &complaint.like {
                Some(like) => (head + " " + Line::id(like), Vec::new()),
                None if complaint.what == ComplaintWord::WrongState => {
                    (head + " no state", outlets)
                }
                None => (head, outlets),
            });
        }
        // What no one complains of, such as a filter.
        let told = |part: &&PartName| state.complaints.iter().any(|c| c.outlets.contains(part));
        let untold = |verdict, parts: &mut dyn Iterator<Item = &'a PartName>| {
            let parts: Vec<&PartName> = parts.filter(|part| !told(part)).collect();
            (words::verdict_alone(verdict), parts)
        };
        let rest = [
            untold(Verdict::Starved, &mut state.starved.iter()),
            untold(Verdict::OnWhenOff, &mut state.on_when_off.iter()),
            untold(Verdict::Weakened, &mut state.weakened.iter()),
            untold(Verdict::Late, &mut state.late.iter()),
            untold(Verdict::Harsh, &mut state.harsh.iter()),
        ];
        found.extend(rest.into_iter().filter(|(_, parts)| !parts.is_empty()));
        found.extend(self.undecided(state));
        found
    }

    /// Outlets of which nothing can be proved, those with the same cause as one.
    fn undecided(&self, state: &'a SweepState) -> Vec<(Line, Vec<&'a PartName>)> {
        let mut found: Vec<(Line, Vec<&PartName>)> = Vec::new();
        for undecided in &state.undecided {
            let head = words::verdict_alone(Verdict::Undecided);
            let head = match &undecided.why {
                Some(Reason::Depends { on }) if !on.is_empty() => {
                    let on = on.iter().map(|part| self.words.typed(part));
                    head + " by where " + Line::few(on, NAMED, "and") + " ends up"
                }
                _ => head,
            };
            match found.iter_mut().find(|(known, _)| *known == head) {
                Some((_, outlets)) => outlets.push(&undecided.outlet),
                None => found.push((head, vec![&undecided.outlet])),
            }
        }
        found
    }
}
