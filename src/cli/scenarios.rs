//! Which scenarios a sweep is asked for.

use super::args::{Format, Shown, Swept};
use super::asked::Asked;
use super::failure::Failure;
use crate::answer::Scenarios;
use crate::circuit::{Circuit, Kind, PartName};

/// Refuses options that do not go together.
pub(super) fn sensible(asked: &Swept, shown: &Shown) -> Result<(), Failure> {
    let by_line = matches!(shown.format, Format::Csv | Format::JsonLines);
    let lines = "choose `--format csv` or `--format json-lines`";
    if asked.part.is_some() && !by_line {
        let what = "slices of this format would not join to the whole".to_owned();
        return Err(Failure::one(
            what,
            &format!("leave `--part` out, or {lines}"),
        ));
    }
    if asked.resume && !by_line {
        let what = "this format is written when all is done, and cannot be resumed".to_owned();
        return Err(Failure::one(
            what,
            &format!("leave `--resume` out, or {lines}"),
        ));
    }
    if asked.resume && shown.output.is_none() {
        let what = "there is no file to go on with".to_owned();
        return Err(Failure::one(what, "name it with `--output`"));
    }
    Ok(())
}

/// What is asked for.
pub(super) struct Understood {
    pub scenarios: Scenarios,
    /// Ids of the states; none for all.
    pub states: Vec<String>,
    /// The options that say so, as they are typed, in one order.
    pub said: String,
}

impl Understood {
    pub fn of(asked: &Swept, circuit: &Circuit) -> Result<Self, Failure> {
        let mut said = Asked::of(circuit);
        let of = asked.of.iter();
        let mut of: Vec<PartName> = of.filter_map(|part| said.part(part, Kind::ALL)).collect();
        let states = asked.states.iter();
        let states: Vec<String> = states.filter_map(|state| said.state_id(state)).collect();
        said.understood(Some(()))?;
        let all = of.is_empty() && asked.kinds.is_empty();
        let wanted = |part: &PartName| all || of.contains(part) || asked.kinds.contains(&part.kind);
        let alone = Scenarios::alone(circuit, wanted);
        let scenarios = match asked.pairs {
            true => alone.pairs(),
            false => alone.clone(),
        };
        match (scenarios.count(), alone.count()) {
            (0, 0) => {
                return Err(Failure::one(
                    "the catalogue has no fault for these parts".to_owned(),
                    "list what can be wrong with `oilpath parts FILE --faults`",
                ));
            }
            (0, _) => {
                return Err(Failure::one(
                    "a pair is of two parts, and only one is meant".to_owned(),
                    "name another part with `--of`, or more with `--kind`",
                ));
            }
            _ => {}
        }
        of.sort();
        of.dedup();
        let mut kinds = asked.kinds.clone();
        kinds.sort();
        kinds.dedup();
        let mut said: Vec<String> = asked
            .pairs
            .then(|| " --pairs".to_owned())
            .into_iter()
            .collect();
        said.extend(
            of.iter()
                .map(|part| format!(" --of {}", circuit.short(part))),
        );
        said.extend(kinds.iter().map(|kind| format!(" --kind {kind}")));
        said.extend(states.iter().map(|state| format!(" --state {state}")));
        let slice = asked.part.filter(|slice| slice.n > 1);
        said.extend(slice.map(|slice| format!(" --part {}/{}", slice.k, slice.n)));
        Ok(Understood {
            scenarios,
            states,
            said: said.concat(),
        })
    }
}
