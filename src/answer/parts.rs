//! The parts of a circuit, with what can go wrong with each.

use serde::Serialize;

use super::Answer;
use crate::circuit::{Kind, Part, PartName};
use crate::net::Net;

/// Every part, kind by kind, in file order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Parts {
    /// The parts.
    pub parts: Vec<PartRow>,
}

/// One part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PartRow {
    /// Its kind and id.
    pub part: PartName,
    /// What people call it.
    pub label: Option<String>,
    /// What it says about itself.
    pub note: Option<String>,
    /// The casting a passage lies in.
    pub casting: Option<String>,
    /// Other parts and cavities it names, in the order it names them, each once.
    pub touches: Vec<String>,
    /// Every fault the catalogue has for it, as a reader would type it.
    pub faults: Vec<String>,
}

impl Answer for Parts {
    const NAME: &'static str = "parts";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Lists the parts of a circuit, of some kinds or of all.
#[must_use]
pub fn parts(net: &Net<'_>, kinds: &[Kind]) -> Parts {
    let circuit = net.circuit();
    let mut touches: std::collections::HashMap<PartName, Vec<String>> = Default::default();
    for reference in circuit.references() {
        if let Some(part) = reference.place.part {
            let list = touches.entry(part).or_default();
            if !list.iter().any(|t| t == reference.text) {
                list.push(reference.text.to_owned());
            }
        }
    }
    let rows = circuit
        .parts()
        .filter(|(name, _)| kinds.is_empty() || kinds.contains(&name.kind));
    Parts {
        parts: rows
            .map(|(part, body)| PartRow {
                label: body.text().label.clone(),
                note: body.text().note.clone(),
                casting: match body {
                    Part::Passage(p) => Some(p.casting.clone()),
                    _ => None,
                },
                touches: touches.remove(&part).unwrap_or_default(),
                faults: circuit
                    .faults_of(&part)
                    .iter()
                    .map(|f| circuit.say(f))
                    .collect(),
                part,
            })
            .collect(),
    }
}
