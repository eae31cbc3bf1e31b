//! What each state makes of the drawing, as a script can lay it over the one that is there.

use serde::Serialize;

use crate::draw::{DrawError, Passing, Picture, View, picture};
use crate::net::Net;
use crate::units::UnitSystem;

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

/// The letter of whether oil passes.
fn letter(passing: Passing) -> char {
    match passing {
        Passing::Open => 'o',
        Passing::Shut => 's',
        Passing::Unsure => 'u',
    }
}

impl Overlay {
    /// Lays a state over a drawing of the whole circuit that has none.
    ///
    /// # Errors
    /// What [`picture`] says.
    pub fn of(
        net: &Net<'_>,
        drawn: &Picture,
        state: Option<&str>,
        units: UnitSystem,
    ) -> Result<Self, DrawError> {
        let view = View {
            state,
            units,
            ..View::default()
        };
        let settled = picture(net, &view)?;
        let item = |key: &str| settled.items.iter().find(|i| i.key == key);
        let items: Vec<_> = drawn.items.iter().map(|i| item(&i.key)).collect();
        let letter = |passing: Option<Passing>| passing.map_or(' ', letter);
        let pipes = drawn.pipes.iter().map(|pipe| {
            let ends = [pipe.from, pipe.to].map(|end| &*drawn.items[end].key);
            let mut same = settled.pipes.iter().filter(|p| {
                p.tag == pipe.tag
                    && p.pushes == pipe.pushes
                    && [p.from, p.to].map(|end| &*settled.items[end].key) == ends
            });
            letter(same.next().map(|p| p.passing))
        });
        let stands = items.iter().enumerate().filter_map(|(number, item)| {
            let words = item.and_then(|i| i.detail.clone())?;
            (drawn.items[number].detail.as_ref() != Some(&words)).then_some((number, words))
        });
        Ok(Overlay {
            roles: (items.iter())
                .map(|i| i.and_then(|i| i.role).map_or(' ', |r| r.letter()))
                .collect(),
            items: items.iter().map(|i| letter(i.map(|i| i.passing))).collect(),
            pipes: pipes.collect(),
            stands: stands.collect(),
        })
    }
}
