//! Scenarios line by line: for spreadsheets, and for programs that read a line at a time.

use std::io;

use crate::answer::{Reading, Reason, Severity, SweepRecord, SweepState};
use crate::circuit::{Circuit, PartName, Shows};

const HEAD: [&str; 12] = [
    "number",
    "faults",
    "state",
    "severity",
    "complaint",
    "starved",
    "weakened",
    "on-when-off",
    "late",
    "harsh",
    "undecided",
    "seen",
];

/// The head of the table that [`sweep_csv`] writes rows of.
#[must_use]
pub fn sweep_csv_head() -> String {
    HEAD.join(",") + "\n"
}

/// One scenario as comma-separated rows (RFC 4180, lines ending in a line feed), one for each of
/// the states asked about, those in which nothing changes as well. Several parts in one cell are
/// separated by spaces.
///
/// # Errors
/// None in practice: it is written to memory.
pub fn sweep_csv(record: &SweepRecord, states: &[String], circuit: &Circuit) -> io::Result<String> {
    let mut rows = csv::Writer::from_writer(Vec::new());
    let ids: Vec<Option<&str>> = match states {
        [] => vec![None],
        states => states.iter().map(|id| Some(id.as_str())).collect(),
    };
    for id in ids {
        let state = record.states.iter().find(|s| s.state.as_deref() == id);
        let severity = state.map_or(Severity::Nothing, |s| s.severity);
        let start = [
            record.number.to_string(),
            record.faults.join(" "),
            id.unwrap_or_default().to_owned(),
            word(&severity),
        ];
        let rest = state.map_or_else(Default::default, |s| cells(s, circuit));
        rows.write_record(start.iter().chain(&rest))?;
    }
    let bytes = rows.into_inner().map_err(|e| e.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// What one state has in the columns from the complaint on.
fn cells(state: &SweepState, circuit: &Circuit) -> [String; 8] {
    let parts = |parts: &[PartName]| {
        let ids: Vec<String> = parts.iter().map(|part| circuit.short(part)).collect();
        ids.join(" ")
    };
    let complaints = state.complaints.iter().map(|c| match &c.like {
        Some(like) => format!("{}={like}", word(&c.what)),
        None => word(&c.what),
    });
    let undecided = state.undecided.iter();
    let undecided = undecided.map(|u| circuit.short(&u.outlet) + &cause(&u.why, circuit));
    let seen = state.seen.iter();
    let seen = seen.map(|reading| format!("{}={}", circuit.short(&reading.at), now(reading)));
    [
        complaints.collect::<Vec<_>>().join(" "),
        parts(&state.starved),
        parts(&state.weakened),
        parts(&state.on_when_off),
        parts(&state.late),
        parts(&state.harsh),
        undecided.collect::<Vec<_>>().join(" "),
        seen.collect::<Vec<_>>().join(" "),
    ]
}

/// `=` and what an outlet hangs on: parts that may end up here or there, or the passage of which it
/// cannot be said whether it has pressure.
fn cause(why: &Option<Reason>, circuit: &Circuit) -> String {
    match why {
        Some(Reason::Depends { on }) => {
            let on: Vec<String> = on.iter().map(|part| circuit.short(part)).collect();
            format!("={}", on.join("+"))
        }
        Some(Reason::Unknown { cavity }) => format!("={cavity}"),
        _ => String::new(),
    }
}

/// The level a gauge shows: one, or the lowest and the highest it can be.
fn now(reading: &Reading) -> String {
    let (lowest, highest) = (reading.now.lowest, reading.now.highest);
    if reading.high {
        return Shows::High.to_string();
    }
    match lowest == highest {
        true => lowest.to_string(),
        false => format!("{lowest}..{highest}"),
    }
}

/// The word that JSON has for it.
fn word(of: &impl serde::Serialize) -> String {
    match serde_json::to_value(of) {
        Ok(serde_json::Value::String(word)) => word,
        _ => String::new(),
    }
}
