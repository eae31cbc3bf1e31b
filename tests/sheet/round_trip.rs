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
high-feed = { width = "6 mm", depth = "5 mm", length = "80 mm", bends = 2 }

[oil]
summer = { viscosity = { "40 °C" = "34 cSt", "100 °C" = "7.1 cSt" }, density = "850 kg/m³" }

[source.pump]
feeds = "line"
displacement = "14 cm³/rev"
leakage = "1.5 L/min"
leaks-at = "16 bar"
worn-leakage = "6 L/min"

[regulator]
main = { holds = "line", at = "16 bar", spills = ["sump"], boost = { reverse-feed = "4 bar" } }

[relief]
safety = { on = "line", at = "24 bar", rise = "3 bar", bore = "6 mm" }

[plate]
hop-cover = { kind = "cover", roofs = ["low-feed"], bolts = 2, gap = "0.2 mm", wall = "4 mm" }

[orifice]
hop = { between = ["line", "low-feed"], bore = "1.2 mm", under = "hop-cover", hole-at = "line" }

[valve.range]
bore = ["pilot", "sump", "high-feed", "line", "low-feed", "sump", "spring-pocket"]
spring = "spring-pocket"
clearance = "15 µm"
land = "4 mm"
opening = "6 mm"
wear = "30 µm"
plug = true
low = { joins = [["line", "low-feed"], ["high-feed", "sump"]], otherwise = true }
high = { joins = [["line", "high-feed"], ["low-feed", "sump"]], when = "pilot and not lever.R" }

[solenoid]
shift = { kind = "bleed", on = "pilot", normally = "closed", bore = "1.6 mm" }

[filter]
screen = { between = ["sump", "line"], passes = "20 L/min", drop = "0.1 bar", passes-at = "80 °C" }

[outlet]
rear = { kind = "bearing", at = "lube-rear-bearing", needs = "0.2 L/min", bore = "1.1 mm" }

[state.high]
lever = "D"
on = ["shift"]
speed = "700 rpm"
oil-temperature = "110 °C"
"#;
    assert_eq!(sheet::write(&sound(text).circuit), text);
}
