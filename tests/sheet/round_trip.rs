//! A circuit written and read again is the same circuit.

use oilpath::circuit::{Circuit, Kind};
use oilpath::sheet;
use proptest::prelude::*;

use crate::sound;
use crate::valid::circuit;

proptest! {
    #[test]
    fn a_written_circuit_reads_back_equal(circuit in circuit()) {
        prop_assert_eq!(circuit.problems(), vec![]);
        let text = sheet::write(&circuit);
        let again = sheet::read(&text).map_err(|e| TestCaseError::fail(format!("{e}\n{text}")))?;
        prop_assert_eq!(&again.circuit, &circuit);
        prop_assert_eq!(sheet::write(&again.circuit), text);
    }

    #[test]
    fn the_strategy_has_a_part_of_every_kind(circuit in circuit()) {
        for kind in Kind::ALL {
            prop_assert!(circuit.ids(*kind).next().is_some(), "no {}", kind);
        }
    }
}

#[test]
fn nothing_is_written_for_an_empty_circuit() {
    assert_eq!(sheet::write(&Circuit::default()), "");
    assert_eq!(sound("").circuit, Circuit::default());
}

#[test]
fn a_circuit_is_written_as_a_careful_author_would() {
    let text = r#"title = "Marsh tractor: range box"
note = """
Measured on the bench.
The "old" cover was used."""
lever = ["R", "N", "D"]

[casting]
block = { passages = ["line", "low-feed", "high-feed", "pilot", "spring-pocket", "reverse-feed"] }

[casting.case]
passages = [
    "lube-rear-bearing", "lube-front-bearing", "high-clutch-shaft", "low-clutch-shaft",
    "reverse-brake-piston",
]

[passage]
low-feed = { bore = "4 mm", note = "cross-drilled" }

[source]
pump = { feeds = "line", displacement = "14 cm³/rev" }

[regulator]
main = { holds = "line", at = "16 bar", spills = ["sump"], boost = { reverse-feed = "4 bar" } }

[plate]
hop-cover = { kind = "cover", roofs = ["low-feed"], bolts = 2, torque = "9 N·m" }

[orifice]
hop = { between = ["line", "low-feed"], bore = "1.2 mm", under = "hop-cover", hole-at = "line" }

[valve.range]
bore = ["pilot", "sump", "high-feed", "line", "low-feed", "sump", "spring-pocket"]
spring = "spring-pocket"
plug = true
low = { joins = [["line", "low-feed"], ["high-feed", "sump"]], otherwise = true }
high = { joins = [["line", "high-feed"], ["low-feed", "sump"]], when = "pilot and not lever.R" }

[solenoid]
shift = { kind = "bleed", on = "pilot", normally = "closed", bore = "1.6 mm" }

[state.high]
lever = "D"
on = ["shift"]
"#;
    assert_eq!(sheet::write(&sound(text).circuit), text);
}
