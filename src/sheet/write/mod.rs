//! From a circuit to the text a careful author would have typed.

mod body;
mod part;

use self::part::keys;
use super::toml::{Keys, WIDTH, key};
use crate::circuit::{Circuit, Kind, PartName};

/// The circuit as a file that reads back to an equal circuit.
///
/// Parts stand kind by kind; one-liners first, then with a header each those that have more to
/// say. What is usual (a one-way ball, an O-ring, a tap outside) goes unsaid.
///
/// ```
/// let text = "\
/// [casting]
/// block = { passages = [\"line\", \"lube\"] }
///
/// [orifice]
/// hop = { between = [\"line\", \"lube\"], bore = \"1.2 mm\" }
/// ";
/// let sheet = oilpath::sheet::read(text).unwrap();
/// assert_eq!(oilpath::sheet::write(&sheet.circuit), text);
/// ```
#[must_use]
pub fn write(circuit: &Circuit) -> String {
    let mut top = Keys::default();
    top.text("title", circuit.title.as_ref());
    top.text("note", circuit.note.as_ref());
    top.list("lever", &circuit.lever);
    let mut blocks = vec![top.lines()];
    let mut castings: Vec<&str> = Vec::new();
    for kind in Kind::ALL {
        let mut ids: Vec<&str> = circuit.ids(*kind).collect();
        if *kind == Kind::Passage {
            // In the order their castings list them, which is that of the file read back.
            let home = |id: &&str| {
                castings
                    .iter()
                    .position(|c| *c == circuit.passages[*id].casting)
            };
            ids.sort_by_key(home);
        }
        let parts = ids.into_iter().filter_map(|id| {
            let part = circuit.get(*kind, id)?;
            Some((id, keys(circuit, &PartName::new(*kind, id), part)?))
        });
        let (short, long): (Vec<_>, Vec<_>) =
            parts.partition(|(id, keys)| is_one_liner(*kind, id, keys));
        if *kind == Kind::Casting {
            castings.extend(short.iter().chain(&long).map(|(id, _)| *id));
        }
        let lines = short.iter().map(|(id, keys)| one_liner(id, keys) + "\n");
        let lines: String = lines.collect();
        if !lines.is_empty() {
            blocks.push(format!("[{kind}]\n{lines}"));
        }
        let headed = long.iter();
        blocks.extend(headed.map(|(id, keys)| format!("[{kind}.{}]\n{}", key(id), keys.lines())));
    }
    blocks.retain(|block| !block.is_empty());
    blocks.join("\n")
}

fn one_liner(id: &str, keys: &Keys) -> String {
    format!("{} = {}", key(id), keys.inline())
}

fn is_one_liner(kind: Kind, id: &str, keys: &Keys) -> bool {
    !matches!(kind, Kind::Valve | Kind::State)
        && !keys.has_long_text()
        && one_liner(id, keys).chars().count() <= WIDTH
}
