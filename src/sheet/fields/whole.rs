//! What is wrong with a table as a whole: keys that nobody asked for, that go with another kind, that
//! are missing, or of which one is wanted.

use super::Fields;
use crate::circuit::{join_and, join_or};
use crate::sheet::Code;
use crate::sheet::wanted::{Asked, Choice, Need};

impl Fields<'_, '_> {
    /// Says which keys nobody asked for. Gives back those that were probably meant.
    pub(super) fn strangers(&mut self) -> Vec<String> {
        let mut meant: Vec<String> = Vec::new();
        for (key, item) in self.table {
            let known = self.asked.iter().any(|a| a.key == key);
            if known || self.taken.contains(&key.as_str()) {
                continue;
            }
            let near = self.near(key).into_iter().next();
            let remedy = match &near {
                Some(best) => format!("did you mean `{best}`?"),
                None => {
                    let list = quoted(self.asked.iter().map(|a| a.key));
                    let hint = self.hint.as_deref().unwrap_or_default();
                    format!("{hint}it takes {}", join_and(&list))
                }
            };
            meant.extend(near);
            let message = format!("{} has no key `{key}`", self.what);
            self.log
                .say(Code::UnknownKey, item.key.clone(), message, remedy);
        }
        meant
    }

    /// Says which keys go with another kind.
    pub(super) fn misplaced(&mut self) {
        let Some(&(_, owner)) = self.strays.first() else {
            return;
        };
        let strays = self.strays.iter().filter(|(_, of)| *of == owner);
        let keys: Vec<&str> = strays.map(|(key, _)| *key).collect();
        let mut places = keys.iter().filter_map(|key| self.table.get(*key));
        let Some(first) = places.next() else { return };
        let rest = places.map(|item| item.key.clone()).collect();
        let (go, them) = match keys.len() {
            1 => ("goes", "it"),
            _ => ("go", "them"),
        };
        let list = join_and(&quoted(keys.iter().copied()));
        let message = format!("{list} {go} with {owner}, which {} is not", self.what);
        let remedy = format!("remove {them}, or make this {owner} by its `kind`");
        self.log
            .say_at(Code::StrayKey, first.key.clone(), rest, message, remedy);
    }

    pub(super) fn missing(&mut self, missing: &[Asked]) {
        let them = match missing.len() {
            0 => return,
            1 => "it",
            _ => "them",
        };
        let keys = join_and(&quoted(missing.iter().map(|a| a.key)));
        let message = format!("{} lacks {keys}", self.what);
        let examples = missing
            .iter()
            .map(|a| format!("{} = {}", a.key, a.wanted.example()));
        let examples: Vec<String> = examples.collect();
        let remedy = format!("add {them}, such as {}", examples.join(", "));
        self.log
            .say(Code::MissingKey, self.at.clone(), message, remedy);
    }

    pub(super) fn choice(&mut self, Choice { of: sets, need }: &Choice, meant: &[String]) {
        let there = |key: &str| self.table.contains_key(key) || meant.iter().any(|m| m == key);
        let absent = |key: &str| !there(key) && !self.log.may_say(key);
        let chosen: Vec<_> = sets
            .iter()
            .filter(|set| set.iter().any(|k| there(k)))
            .collect();
        let all: Vec<String> = sets
            .iter()
            .map(|set| match &quoted(set.iter().copied())[..] {
                [first, rest @ ..] if !rest.is_empty() => {
                    format!("{first} with {}", join_and(rest))
                }
                one => one.concat(),
            })
            .collect();
        match chosen[..] {
            [] if *need == Need::Must && sets.iter().all(|set| set.iter().all(|k| absent(k))) => {
                let message = format!("{} has neither {}", self.what, all.join(" nor "));
                let first = self.asked.iter().find(|a| a.key == sets[0][0]);
                let example = first.map(|a| format!("{} = {}", a.key, a.wanted.example()));
                let example = example.unwrap_or_default();
                let remedy = format!("add one of them, such as {example}");
                self.log.say(Code::OneOf, self.at.clone(), message, remedy);
            }
            [] => {}
            [set] => {
                if let Some(absent) = set.iter().find(|key| absent(key)) {
                    let message = format!("{} lacks `{absent}`", self.what);
                    let remedy = format!("it takes {}", join_or(&all));
                    self.log
                        .say(Code::MissingKey, self.at.clone(), message, remedy);
                }
            }
            [first, second, ..] => {
                let key = |set: &[&str]| set.iter().find_map(|key| self.table.get(*key));
                if let (Some(first), Some(second)) = (key(first), key(second)) {
                    let message = format!("{} has both {}", self.what, all.join(" and "));
                    let remedy = "keep one of them".into();
                    let (first, second) = (first.key.clone(), second.key.clone());
                    self.log
                        .say_at(Code::OneOf, second, vec![first], message, remedy);
                }
            }
        }
    }
}

fn quoted<'k>(keys: impl Iterator<Item = &'k str>) -> Vec<String> {
    keys.map(|key| format!("`{key}`")).collect()
}
