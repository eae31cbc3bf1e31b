//! Plates, and which of them roofs or is passed by what.

use super::fault::wrong_with;
use super::part::Bench;
use super::{Over, Plate, Shape};
use crate::circuit::{Fault, Kind, Part, PartName};
use crate::draw::label;

/// The plates, each with its letter.
pub(super) fn plates(bench: &Bench<'_>, faults: &[Fault]) -> Vec<Plate> {
    let circuit = bench.net.circuit();
    let plates = circuit.plates.iter().enumerate();
    plates
        .map(|(number, (id, plate))| {
            let name = PartName::new(Kind::Plate, id);
            let label = match &plate.text.label {
                Some(label) => label.clone(),
                None => format!("{} {id}", plate.kind),
            };
            Plate {
                id: id.clone(),
                label: label::plain(&label),
                letter: letter(number),
                fault: wrong_with(&name, faults),
            }
        })
        .collect()
}

/// `a` to `z`, then `aa`, `ab` and so on.
fn letter(number: usize) -> String {
    let last = char::from(b'a' + (number % 26) as u8);
    match number / 26 {
        0 => last.to_string(),
        more => letter(more - 1) + &last.to_string(),
    }
}

/// Notes on each item which plates roof it and which it passes.
pub(super) fn on_plates(bench: &mut Bench<'_>) {
    let net = bench.net;
    let circuit = net.circuit();
    let plate = |text: &String| {
        let name = circuit.find(text, &[Kind::Plate]).ok()?;
        circuit.plates.get_index_of(&name.id)
    };
    for item in bench.items.iter_mut().filter(|i| i.shape != Shape::Leak) {
        let (through, under): (&[String], _) = match circuit.get(item.name.kind, &item.name.id) {
            Some(Part::Port(p)) => (&p.through, &p.under),
            Some(Part::Orifice(p)) => (&p.through, &p.under),
            Some(Part::Ball(p)) => (&p.through, &p.under),
            Some(Part::Passage(_)) => {
                let here = net.cavity(&item.name.id);
                let roofs =
                    |p: &crate::circuit::Plate| p.roofs.iter().any(|c| net.cavity(c) == here);
                let plates = circuit.plates.values().enumerate();
                let over = plates.filter(|(_, p)| roofs(p));
                item.plates = over.map(|(i, _)| (i, Over::Roof)).collect();
                continue;
            }
            _ => continue,
        };
        let under = under.iter().filter_map(plate).map(|p| (p, Over::Roof));
        let through = through.iter().filter_map(plate);
        item.plates = under.chain(through.map(|p| (p, Over::Through))).collect();
    }
}
