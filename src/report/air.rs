//! Checks by air, in words.

use super::page::{Block, Line, Role};
use super::words::{self, Words};
use crate::answer::{Air, AirCheck, AirMeaning, AirSign};
use crate::circuit::{Kind, PartName};
use crate::net::Strength;

/// What a check may show besides, listed at most.
const SHOWN: usize = 8;

/// The checks by air, without cautions.
pub(super) fn air_blocks(answer: &Air, words: &Words<'_>) -> Vec<Block> {
    let told = Told { answer, words };
    let mut blocks = vec![Block::Lead(told.lead())];
    if answer.checks.is_empty() {
        return blocks;
    }
    blocks.push(Block::Text(
        "A dull thud is a piston that strokes, a hiss a seal or a ball that leaks. A sound clutch \
         holds for a second or two after the air is taken off. No pump runs and no solenoid has \
         current; valves rest on their springs until the air moves them. (Common practice, no \
         source, as is the pressure.)"
            .into(),
    ));
    let mut number = 0;
    for alike in answer.checks.chunk_by(|a, b| a.castings == b.castings) {
        told.set_up(&alike[0], &mut blocks);
        for check in alike {
            number += 1;
            told.check(number, check, &mut blocks);
        }
    }
    told.rest(&mut blocks);
    blocks
}

struct Told<'a> {
    answer: &'a Air,
    words: &'a Words<'a>,
}

impl<'a> Told<'a> {
    fn lead(&self) -> Line {
        let count = self.answer.checks.len();
        if count == 0 {
            return "There is nothing to check by air.".into();
        }
        let [least, most] = [self.answer.least_pa, self.answer.most_pa].map(|p| self.words.pa(p));
        let checks = words::plural(count, "check");
        format!("{checks} by air: clean, dry, regulated to {least} to {most} (30 to 40 psi).")
            .into()
    }

    /// What lies on the bench.
    fn set_up(&self, check: &AirCheck, blocks: &mut Vec<Block>) {
        if check.castings.is_empty() {
            blocks.push(Block::Heading("The whole block, assembled".into()));
            blocks.push(Block::Text(
                "Every plate on. Air goes in where a tap or a pressure switch is taken out.".into(),
            ));
            return;
        }
        let castings = check.castings.iter().map(|id| self.words.casting(id));
        let heading = Line::list(castings, "and").capital() + ", alone";
        blocks.push(Block::Heading(heading));
        let plates = |ids: &[String]| {
            let plates = ids.iter().map(|id| PartName::new(Kind::Plate, id));
            Line::list(plates.map(|plate| self.words.part(&plate)), "and")
        };
        let mut line = Line::default();
        if !check.off.is_empty() {
            line = line + "Take off " + plates(&check.off) + ". ";
        }
        if !check.on.is_empty() {
            line = line + "Keep on " + plates(&check.on) + ": without, passages lie open. ";
        }
        line = line + "Its faces are open; a hole is closed only where that is said.";
        blocks.push(Block::Text(line));
    }

    fn check(&self, number: usize, check: &AirCheck, blocks: &mut Vec<Block>) {
        let words = self.words;
        let heading = format!("Air check {number}: blow into ");
        let at = match &check.hole {
            Some(hole) => Line::id(&check.cavity) + " by " + self.hole(hole),
            None => Line::id(&check.cavity) + ", to which the file has no hole",
        };
        blocks.push(Block::Heading(Line::from(heading) + at));
        let mut items = Vec::new();
        if let Some(lever) = &check.lever {
            items.push(Line::from("Lever in ") + Line::id(lever) + ".");
        }
        if !check.close.is_empty() {
            let holes = check.close.iter().map(|hole| self.hole(&hole.way));
            items.push(Line::from("Close ") + Line::list(holes, "and") + ".");
        }
        let sound = &check.sound;
        let list = |parts: &[PartName]| Line::list(parts.iter().map(|p| words.name(p)), "and");
        if !sound.strokes.is_empty() {
            items.push(Line::role(Role::Supplied, "Must stroke: ") + list(&sound.strokes) + ".");
        }
        if !sound.may_stroke.is_empty() {
            let line = "May stroke, or only creep: ";
            items.push(Line::role(Role::Unsure, line) + list(&sound.may_stroke) + ".");
        }
        if !sound.clicks.is_empty() {
            items.push(Line::from("The air moves ") + list(&sound.clicks) + ".");
        }
        let out = |how: fn(Strength) -> bool| {
            let escapes = sound.escapes.iter().filter(|e| how(e.how));
            let mut parts: Vec<&PartName> = escapes.map(|e| &e.by).collect();
            let mut seen = Vec::new();
            parts.retain(|part| {
                !seen.contains(part) && {
                    seen.push(*part);
                    true
                }
            });
            (!parts.is_empty())
                .then(|| Line::list(parts.iter().map(|p| air_place(p, self.words)), "and"))
        };
        match out(|how| how > Strength::Leak) {
            Some(at) => items.push(Line::from("Air comes out at ") + at + ", and must."),
            None => items.push("Nothing else is heard: it holds.".into()),
        }
        if let Some(at) = out(|how| how == Strength::Leak) {
            items.push(Line::from("A slight leak is usual at ") + at + ".");
        }
        blocks.push(Block::List(items));
        if check.meanings.is_empty() {
            blocks.push(Block::Text("No single fault shows here.".into()));
            return;
        }
        let rows = check.meanings.iter().take(SHOWN).map(|meaning| {
            let faults = meaning.faults.iter().map(|fault| Line::id(fault));
            vec![
                self.signs(check, meaning),
                Line::few(faults, words::FEW, "or"),
                "[ ]".into(),
            ]
        });
        blocks.push(Block::table(&["if", "look at", "found"], rows.collect()));
        let more = check.meanings.len().saturating_sub(SHOWN);
        if more > 0 {
            let line = format!("{more} less likely findings are left out; JSON has them all.");
            blocks.push(Block::Text(line.into()));
        }
    }

    fn hole(&self, part: &PartName) -> Line {
        air_hole(part, self.words)
    }

    fn signs(&self, check: &AirCheck, meaning: &AirMeaning) -> Line {
        let moves = |valve: &PartName| match check.sound.clicks.contains(valve) {
            true => " does not move",
            false => " moves",
        };
        air_signs(&meaning.signs, moves, self.words)
    }

    /// What air does not tell.
    fn rest(&self, blocks: &mut Vec<Block>) {
        let answer = self.answer;
        if !answer.useless.is_empty() {
            let places = answer.useless.iter().map(|check| {
                let off = check.sound.escapes.iter().find(|e| e.how == Strength::Open);
                let off = off.map(|e| Line::from(" (by ") + self.words.typed(&e.by) + ")");
                let of = match check.castings.first() {
                    Some(casting) => Line::from(" of ") + self.words.casting(casting),
                    None => " of the whole block".into(),
                };
                Line::id(&check.cavity) + of + off.unwrap_or_default()
            });
            let places = Line::list(places, "and");
            blocks.push(Block::Text(
                Line::from("Air goes off at once, wherever the lever stands, at ") + places + ".",
            ));
        }
        if !answer.unstroked.is_empty() {
            let parts = answer.unstroked.iter().map(|p| self.words.name(p));
            let line = Line::role(Role::Unsure, "No check surely strokes ");
            blocks.push(Block::Text(line + Line::list(parts, "or") + "."));
        }
    }
}

/// The hole that air goes in by, or that is closed.
pub(super) fn air_hole(part: &PartName, words: &Words<'_>) -> Line {
    let typed = words.typed(part);
    match part.kind {
        Kind::Tap => Line::from("tap ") + typed,
        Kind::Switch => Line::from("the hole of switch ") + typed,
        _ => Line::from("the hole of ") + typed,
    }
}

/// What is seen or heard otherwise than on a sound block; `moves` says what a valve does then.
pub(super) fn air_signs(
    signs: &[AirSign],
    moves: impl Fn(&PartName) -> &'static str,
    words: &Words<'_>,
) -> Line {
    let mut told: Vec<Line> = Vec::new();
    let place = |part: &PartName| air_place(part, words);
    let mut clauses = signs.iter().map(|sign| match sign {
        AirSign::Dead { outlet } => words.typed(outlet) + " does not stroke",
        AirSign::Weak { outlet } => words.typed(outlet) + " strokes weakly or not",
        AirSign::Strokes { outlet } => words.typed(outlet) + " strokes",
        // A valve or a plate has many places to leak: which passage loses its air tells them
        // apart.
        AirSign::Hisses { at, by } if matches!(by.kind, Kind::Valve | Kind::Plate) => {
            Line::from("air at ") + place(by) + " from " + Line::id(at)
        }
        AirSign::Hisses { by, .. } => Line::from("air at ") + place(by),
        AirSign::Silent { by, .. } => Line::from("no air at ") + place(by),
        AirSign::Valve { valve } => words.typed(valve) + moves(valve),
    });
    // Both ends of one joint are one place to listen.
    clauses.by_ref().for_each(|clause| {
        if !told.contains(&clause) {
            told.push(clause);
        }
    });
    Line::few(told, words::FEW, "and")
}

/// Where air is heard, as a reader can type it.
fn air_place(part: &PartName, words: &Words<'_>) -> Line {
    match part.kind {
        Kind::Port | Kind::Orifice => air_hole(part, words),
        _ => words.typed(part),
    }
}
