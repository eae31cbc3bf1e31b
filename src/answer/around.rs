//! What lies before and beyond a part: what its oil has passed, and what hangs on it.

use serde::Serialize;

use super::{Answer, Depth, states};
use crate::circuit::{Kind, Level, PartName};
use crate::net::{Net, Scene, Stage, User};
use crate::reach::{self, Side};
use crate::settle::settle;

/// What lies on one side of a part, state by state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Around {
    /// The part asked about.
    pub part: PartName,
    /// The side.
    pub side: Side,
    /// How deep the answer looks.
    pub depth: Depth,
    /// One entry for all states that agree, in the order of the first of each.
    pub states: Vec<AroundState>,
}

/// What lies on one side of a part in some states.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct AroundState {
    /// The states; empty for a circuit that declares none.
    pub states: Vec<String>,
    /// Whether supply reaches the part at all.
    pub supplied: bool,
    /// Parts that oil passes: from the source on for before, from the part on for beyond.
    pub parts: Vec<PartName>,
    /// Outlets among what lies there, those fed and those passed.
    pub outlets: Vec<PartName>,
}

impl Answer for Around {
    const NAME: &'static str = "around";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Asks what lies before or beyond a part, in one state or in all.
///
/// Only paths that pass nothing twice count, as oil goes; valves stand where the sound circuit
/// has them. A plate stands for the ways under and through it.
#[must_use]
pub fn around(net: &Net<'_>, part: &PartName, side: Side, state: Option<&str>) -> Around {
    let mut answer = Around {
        part: part.clone(),
        side,
        depth: Depth::Reach,
        states: Vec::new(),
    };
    for (id, state) in states(net.circuit(), state) {
        let stage = Stage::new(net, state, &[]);
        let scene = stage.scene(settle(&stage).held(), Level::Low);
        let entry = look(&scene, &cavity_part(net, part), side);
        let known = answer.states.iter_mut().find(|known| {
            (known.supplied, &known.parts, &known.outlets)
                == (entry.supplied, &entry.parts, &entry.outlets)
        });
        let name = id.map(str::to_owned);
        match known {
            Some(known) => known.states.extend(name),
            None => answer.states.push(AroundState {
                states: name.into_iter().collect(),
                ..entry
            }),
        }
    }
    answer
}

fn look(scene: &Scene<'_>, part: &PartName, side: Side) -> AroundState {
    let net = scene.net();
    let found = reach::side(scene, part, side);
    let supplied = found.is_some();
    let (parts, cavities) = found.unwrap_or_default();
    let fed = |cavity| cavities.contains(&cavity);
    let outlets = net
        .outlets()
        .iter()
        .filter(|outlet| match outlet.user {
            User::Leaf(at) => side == Side::Beyond && fed(at),
            User::TwoSided { apply, release } => {
                side == Side::Beyond && (fed(apply) || fed(release))
            }
            User::Through { .. } => parts.contains(&outlet.name),
        })
        .map(|outlet| outlet.name.clone())
        .collect();
    AroundState {
        states: Vec::new(),
        supplied,
        parts,
        outlets,
    }
}

/// The part itself, or the passage that an outlet, a tap or the like sits on.
fn cavity_part(net: &Net<'_>, part: &PartName) -> PartName {
    match part.kind {
        Kind::Outlet | Kind::Tap | Kind::Switch | Kind::Accumulator => {
            let cavity = super::trace::cavity_of(net, part);
            cavity.map_or(part.clone(), |c| PartName::new(Kind::Passage, net.name(c)))
        }
        _ => part.clone(),
    }
}
