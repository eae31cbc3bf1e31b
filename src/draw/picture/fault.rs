//! What is wrong, marked on what it is wrong with.

use super::{Item, Shape};
use crate::circuit::{Fault, PartName};

/// Marks the parts that something is wrong with.
pub(super) fn blame(items: &mut [Item], faults: &[Fault]) {
    for item in items.iter_mut().filter(|i| i.shape != Shape::Leak) {
        item.fault = wrong_with(&item.name, faults);
    }
}

/// What is wrong with a part, in the words of the faults.
pub(super) fn wrong_with(name: &PartName, faults: &[Fault]) -> Option<String> {
    let wrong = faults.iter().filter(|f| f.part == *name);
    let words: Vec<String> = wrong.map(|f| f.condition.to_string()).collect();
    (!words.is_empty()).then(|| words.join(", "))
}
