//! What makes a valve stand where it stands.

use crate::circuit::{Kind, PartName, Truth};
use crate::net::{Cavity, Stage, Term};
use crate::settle::Point;

/// Valves where settling has put them.
pub(super) struct Stance<'s, 'n> {
    stage: &'s Stage<'n>,
    point: &'s Point,
}

impl<'s, 'n> Stance<'s, 'n> {
    pub fn of(stage: &'s Stage<'n>, point: &'s Point) -> Self {
        Stance { stage, point }
    }

    /// Where the rules of a valve put it when some cavities are empty, or full, that are not.
    fn place(&self, valve: usize, changed: &[Cavity]) -> Option<u32> {
        let valve = &self.stage.net().valves()[valve];
        let fed = |cavity: Cavity| {
            let fed = self.point.pressures.fed(cavity);
            if changed.contains(&cavity) { !fed } else { fed }
        };
        let holds = |term: &Option<Term>| {
            let drives = self.stage.drives();
            term.as_ref()
                .is_some_and(|term| term.truth(drives, &fed) == Truth::True)
        };
        let place = valve.rules.iter().position(holds);
        place.map(|p| p as u32).or(valve.rest)
    }

    /// The cavities that the rules of a valve read, fed or empty; none where it is held by hand.
    fn read(&self, valve: usize, fed: Truth) -> Vec<Cavity> {
        if self.stage.fixed(valve).is_some() {
            return Vec::new();
        }
        let rules = self.stage.net().valves()[valve].rules.iter().flatten();
        let mut read: Vec<Cavity> = rules.flat_map(|rule| rule.cavities()).collect();
        read.retain(|c| self.point.pressures.fed(*c) == fed);
        read.sort_unstable();
        read.dedup();
        read
    }

    /// The cavities whose oil holds a valve where it stands: each without which it would stand
    /// elsewhere, or all together where none does alone.
    pub fn held_by(&self, valve: usize) -> Vec<Cavity> {
        let stands = self.point.held.valves[valve];
        let read = self.read(valve, Truth::True);
        let alone: Vec<Cavity> = read
            .iter()
            .copied()
            .filter(|c| self.place(valve, &[*c]) != stands)
            .collect();
        match alone.is_empty() && self.place(valve, &read) != stands {
            true => read,
            false => alone,
        }
    }

    /// The cavities that must be empty for a valve to stand where it stands: each whose oil would
    /// put it elsewhere, and, away from rest, the ends that it had to empty to get there.
    pub fn needs_empty(&self, valve: usize) -> Vec<Cavity> {
        let stands = self.point.held.valves[valve];
        let mut needed = self.read(valve, Truth::False);
        needed.retain(|c| self.place(valve, &[*c]) != stands);
        let known = &self.stage.net().valves()[valve];
        if stands != known.rest {
            let ends = known.ends.iter().copied();
            needed.extend(ends.filter(|c| self.point.pressures.fed(*c) == Truth::False));
        }
        needed
    }

    /// The solenoids with current that the rule of a valve's place names.
    pub fn pushed_by(&self, valve: usize) -> Vec<PartName> {
        let circuit = self.stage.net().circuit();
        let (Some(stands), Some((_, body))) = (
            self.point.held.valves[valve],
            circuit.valves.get_index(valve),
        ) else {
            return Vec::new();
        };
        let place = body.positions.get_index(stands as usize);
        let rule = place.and_then(|(_, place)| place.when.as_ref());
        let named = rule.into_iter().flat_map(|rule| rule.names());
        let solenoids = named.filter_map(|name| circuit.find(name, &[Kind::Solenoid]).ok());
        let on = |part: &PartName| {
            let number = circuit.solenoids.get_index_of(&part.id);
            number.is_some_and(|n| self.stage.drives().has_current(n) == Truth::True)
        };
        solenoids.filter(on).collect()
    }
}
