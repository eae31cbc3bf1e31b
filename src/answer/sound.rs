//! The sound half of a question: each state settled and looked at once, whatever faults follow.

use super::on;
use super::picture::Picture;
use crate::circuit::{PartName, State};
use crate::net::{Net, Stage};
use crate::settle::{Settled, settle};

/// The sound circuit in the states a question is asked in.
pub(super) struct Sound<'n> {
    pub states: Vec<SoundState<'n>>,
}

/// The sound circuit in one state.
pub(super) struct SoundState<'n> {
    /// The state; none for a circuit that declares no states.
    pub id: Option<&'n str>,
    pub stage: Stage<'n>,
    pub settled: Settled,
    pub picture: Picture<'n>,
    /// Every other state of the circuit with what it applies, sorted.
    pub others: Vec<(&'n str, Vec<&'n PartName>)>,
}

impl<'n> Sound<'n> {
    /// Settles and looks at some states.
    pub fn of(net: &'n Net<'n>, asked: Vec<(Option<&'n str>, &'n State)>) -> Self {
        let circuit = net.circuit();
        let mut states: Vec<SoundState<'n>> = asked
            .into_iter()
            .map(|(id, state)| {
                let stage = Stage::new(net, state, &[]);
                let settled = settle(&stage);
                SoundState {
                    id,
                    picture: Picture::new(&stage, &settled.ends[0], None),
                    settled,
                    stage,
                    others: Vec::new(),
                }
            })
            .collect();
        let applied: Vec<(&str, Vec<&PartName>)> = circuit
            .states
            .iter()
            .map(|(id, state)| {
                let known = states.iter().find(|s| s.id == Some(id.as_str()));
                let applied = match known {
                    Some(known) => on::applied(net, &known.settled),
                    None => on::applied(net, &settle(&Stage::new(net, state, &[]))),
                };
                (id.as_str(), applied)
            })
            .collect();
        for state in &mut states {
            let others = applied.iter().filter(|(id, _)| Some(*id) != state.id);
            state.others = others.cloned().collect();
        }
        Sound { states }
    }
}
