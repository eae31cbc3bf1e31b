//! What was tried to find suspects, in words.

use super::page::{Block, Line};
use super::suspects::Told;
use super::words;
use crate::suspect::{Suspects, TriedSets};

impl Told<'_> {
    pub fn without(&self, blocks: &mut Vec<Block>) {
        if self.answer.without.is_empty() {
            return;
        }
        blocks.push(Block::Heading("If one of these was something else".into()));
        let items = self.answer.without.iter().map(|without| {
            let said = Line::id(&self.answer.seen[without.seen].said);
            let left = words::plural(without.left, "single fault");
            Line::from("without ") + said + format!(" {left} would fit")
        });
        blocks.push(Block::List(items.collect()));
    }

    pub fn tried(&self, blocks: &mut Vec<Block>) {
        let Suspects { faults, parts, .. } = self.answer;
        blocks.push(Block::Heading("What was tried".into()));
        let mut items = vec![
            format!(
                "{} of {} can have a hand in what was seen.",
                words::plural(*faults, "fault"),
                words::plural(*parts, "part"),
            )
            .into(),
        ];
        items.extend(self.answer.tried.iter().map(tried));
        blocks.push(Block::List(items));
    }
}

fn tried(tried: &TriedSets) -> Line {
    let of = match tried.faults {
        1 => "One fault",
        2 => "Two faults",
        _ => "Three faults",
    };
    let all = match tried.looked_at == tried.sets {
        true => format!("all {} tried", tried.sets),
        false => format!(
            "{} of {} tried (those whose faults each do a share of it, then {}those of the \
             likeliest faults; more with `--most`)",
            tried.looked_at,
            tried.sets,
            match tried.tell_more {
                0 => String::new(),
                more => format!("{more} that together tell more of it than any one fault, then "),
            }
        ),
    };
    let hidden = match tried.hidden {
        0 => String::new(),
        hidden => format!("; {hidden} more hold what explains it already, and were passed over"),
    };
    let measured = match (tried.faults, tried.measured) {
        (1, _) | (_, 0) => String::new(),
        (_, measured) => {
            format!("; {measured} that weighing would have dropped were measured first")
        }
    };
    format!(
        "{of}: {all}; {} left, {} of them foretell everything seen{hidden}{measured}.",
        tried.consistent, tried.explain
    )
    .into()
}
