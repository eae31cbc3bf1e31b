//! What states and faults make of the drawing, as a script can lay it over the one that is there.

use std::fmt::Write;

use serde::Serialize;

use crate::draw::{Laid, Passing};

/// The sound circuit in one state, over the drawing of the circuit without one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Overlay {
    /// The letter of what has become of the oil of each item, in the order they are drawn; a
    /// space for what is no cavity.
    pub roles: String,
    /// Whether oil passes each item, and each pipe, in the same order.
    pub items: String,
    /// The same of pipes.
    pub pipes: String,
    /// Where valves stand and solenoids have current: the number of the item and the words.
    pub stands: Vec<(usize, String)>,
}

/// What a fault changes of the overlay of its state: for roles, items and pipes the places that
/// change, each as how many are passed over since the last, to the base 36, and its new letter.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct Repaint {
    /// What becomes of the oil of items.
    pub roles: String,
    /// Whether oil passes items.
    pub items: String,
    /// Whether oil passes pipes.
    pub pipes: String,
    /// What stands elsewhere: the number of the item and the words.
    pub stands: Vec<(usize, String)>,
}

/// The letter of whether oil passes.
fn letter(passing: &Passing) -> char {
    match passing {
        Passing::Open => 'O',
        Passing::Shut => 'S',
        Passing::Unsure => 'U',
    }
}

impl From<Laid> for Overlay {
    fn from(laid: Laid) -> Self {
        let roles = laid.roles.iter().map(|r| r.map_or(' ', |r| r.letter()));
        let stands = laid.stands.into_iter().enumerate();
        Overlay {
            roles: roles.collect(),
            items: laid.items.iter().map(letter).collect(),
            pipes: laid.pipes.iter().map(letter).collect(),
            stands: stands.filter_map(|(i, s)| Some((i, s?))).collect(),
        }
    }
}

impl Overlay {
    /// What another overlay of the same drawing has otherwise.
    pub(super) fn repaint(&self, other: &Overlay) -> Repaint {
        let elsewhere = other.stands.iter().filter(|s| !self.stands.contains(s));
        Repaint {
            roles: changes(&self.roles, &other.roles),
            items: changes(&self.items, &other.items),
            pipes: changes(&self.pipes, &other.pipes),
            stands: elsewhere.cloned().collect(),
        }
    }
}

/// Where two texts of the same length differ, and how the second has it.
fn changes(from: &str, to: &str) -> String {
    let mut text = String::new();
    let mut passed = 0;
    for (was, is) in from.chars().zip(to.chars()) {
        if was == is {
            passed += 1;
            continue;
        }
        let _ = write!(text, "{}{is}", base_36(passed));
        passed = 0;
    }
    text
}

/// A number to the base 36, as JavaScript's `parseInt` reads it; nothing for 0.
fn base_36(number: usize) -> String {
    let digit = |value: usize| char::from_digit(value as u32, 36).unwrap_or('0');
    match number {
        0 => String::new(),
        _ => base_36(number / 36) + &digit(number % 36).to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_are_told_by_how_many_places_are_passed_over() {
        assert_eq!(changes("SSDD", "SSDD"), "");
        assert_eq!(changes("SSDD", "DSDS"), "D2S");
        let long = "O".repeat(100);
        assert_eq!(changes(&long, &(long[..99].to_owned() + "S")), "2rS");
    }
}
