//! From a place in the circuit to the text it came from.

use oilpath::circuit::{Kind, PartName, Place};
use oilpath::sheet::{self, Sheet};
use proptest::prelude::*;

use crate::valid::circuit;

const TEXT: &str = r#"lever = ["P", "D"]
[casting]
block = { passages = ["line", "low", "pilot"] }
[passage]
low = { bore = "4 mm" }
[regulator.main]
holds = "line"
spills = ["sump"]
boost = ["low"]
[valve.range]
bore = ["pilot", "line", "low"]
high = { joins = [["pilot", "line"], { between = ["line", "low"], bore = "1 mm" }], when = "pilot" }
rest = { otherwise = true }
[solenoid]
shift = { kind = "plunger" }
[state.s]
levels = { shift = "low" }
"#;

fn at(sheet: &Sheet, place: Place) -> &str {
    let location = sheet.locate(&place).expect("a place");
    &sheet.sources()[location.file].text[location.range()]
}

fn part(kind: Kind, id: &str) -> Place {
    Place::of(PartName::new(kind, id))
}

#[test]
fn places_lead_to_ids_values_and_items() {
    let sheet = sheet::read(TEXT).unwrap();
    let at = |place| at(&sheet, place);
    assert_eq!(at(Place::default().then("lever").then(1)), r#""D""#);
    assert_eq!(at(part(Kind::Regulator, "main")), "main");
    assert_eq!(at(part(Kind::Regulator, "main").then("holds")), r#""line""#);
    // A passage is where its casting lists it; what is said of it, under its header.
    assert_eq!(at(part(Kind::Passage, "pilot")), r#""pilot""#);
    assert_eq!(at(part(Kind::Passage, "low").then("bore")), r#""4 mm""#);
    // Ids as keys, and the same as a list.
    assert_eq!(
        at(part(Kind::State, "s").then("levels").then("shift")),
        "shift"
    );
    assert_eq!(
        at(part(Kind::Regulator, "main").then("boost").then("low")),
        r#""low""#
    );
    // Positions, and joins with and without keys.
    let high = || part(Kind::Valve, "range").then("high");
    assert_eq!(at(high()), "high");
    assert_eq!(at(high().then("when")), r#""pilot""#);
    assert_eq!(at(high().then("joins").then(0).then(1)), r#""line""#);
    assert_eq!(at(high().then("joins").then(1).then(1)), r#""low""#);
    // A key that is not there leads to the part.
    assert_eq!(at(part(Kind::Valve, "range").then("spring")), "range");
    assert_eq!(sheet.locate(&part(Kind::Valve, "shift")), None);
}

proptest! {
    #[test]
    fn every_mention_leads_to_where_it_is_typed(circuit in circuit()) {
        let sheet = sheet::read(&sheet::write(&circuit)).unwrap();
        for (name, _) in sheet.circuit.parts() {
            let text = at(&sheet, Place::of(name.clone()));
            prop_assert_eq!(text.trim_matches('"'), name.id);
        }
        for mention in sheet.circuit.references() {
            let text = at(&sheet, mention.place.clone());
            let in_rule = format!("{:?}", mention.place).contains("Key(\"when\")");
            if in_rule {
                prop_assert!(text.contains(mention.text));
            } else {
                prop_assert_eq!(text.trim_matches('"'), mention.text);
            }
        }
    }
}
