//! A clutch that is sealed off, varied and measured once.

use oilpath::answer::{FlowsQuestion, GridQuestion, VaryQuestion, flows, grid, vary};

use crate::grid::{speed, state, temperature};
use crate::support::{net, read};

/// Nothing comes to a clutch whose feed is plugged, however warm the oil is and however fast the
/// pump turns: short at every value, as it is when measured once, and not in doubt.
#[test]
fn a_sealed_off_clutch_is_short_at_every_value() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["line", "drum"] }
        [source]
        pump = { feeds = "line", displacement = "14 cm³/rev", leakage = "2 L/min", leaks-at = "10 bar" }
        [relief]
        relief = { on = "line", at = "10 bar", bore = "8 mm" }
        [orifice]
        feed = { between = ["line", "drum"], bore = "1.5 mm" }
        [outlet]
        clutch = { kind = "clutch", at = "drum", needs = "5 bar" }
        [state]
        drive = { applies = ["clutch"] }
    "#,
    );
    let net = net(&circuit);
    let drive = state(&circuit, "drive");
    let question = FlowsQuestion {
        assume: true,
        ..FlowsQuestion::default()
    };
    for (fault, short) in [("feed:plugged", true), ("feed:oversize", false)] {
        let faults = [circuit.fault(fault).unwrap()];
        let measured = flows(&net, &faults, drive.0, &question).unwrap();
        assert_eq!(measured.states[0].outlets[0].met, Some(!short), "{fault}");
        let asked = VaryQuestion {
            span: temperature([20.0, 100.0], 5),
            flows: &question,
        };
        let varied = vary(&net, &faults, drive, &asked).unwrap();
        let limit = &varied.limits[0];
        assert_eq!((limit.met_at_first, limit.fails_at_first), (!short, short));
        assert!(limit.changes.is_empty() && limit.fails.is_empty());
        let asked = GridQuestion {
            along: speed([1500.0, 3000.0], 4),
            up: temperature([20.0, 100.0], 3),
            flows: &question,
        };
        let met = grid(&net, &faults, drive, &asked).unwrap().outlets[0]
            .met
            .concat();
        assert_eq!(met, vec![Some(!short); 12], "{fault}");
    }
}
