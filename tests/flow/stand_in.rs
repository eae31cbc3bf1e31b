//! What stands in for sizes that a file does not give: the whole table, typed anew. Round numbers,
//! common practice, no source.

use oilpath::answer::{FlowsQuestion, SizeUsed, flows, takes_hold};
use oilpath::circuit::{Circuit, Fault};
use oilpath::net::Net;
use oilpath::sheet;

/// Every kind of part that a size is asked of, and not one size.
const BARE: &str = r#"
    [casting]
    block = { passages = [
      "suction", "line", "held", "lube", "pilot", "clutch-feed", "pocket", "cooled", "far", "boost",
    ] }
    [source]
    pump = { feeds = "line" }
    [regulator]
    main = { holds = "line", spills = ["lube"], boost = ["boost"] }
    pilot-line = { holds = "held", reduces = "line" }
    [relief]
    safety = { on = "line" }
    [plate]
    roof = { kind = "cover", roofs = ["lube"] }
    [port]
    open = { between = ["held", "boost"] }
    [orifice]
    jet = { between = ["lube", "far"] }
    [ball]
    check = { from = "line", to = "pilot" }
    [clearance]
    fit = { between = ["far", "sump"] }
    [cooler]
    cooler = { between = ["lube", "cooled"] }
    [seal]
    ring = { kind = "ring", between = ["clutch-feed", "sump"] }
    [solenoid]
    bleed = { kind = "bleed", on = "pilot" }
    [valve.shift]
    bore = ["pilot", "clutch-feed", "line", "pocket"]
    spring = "pocket"
    rest = { joins = [["clutch-feed", "pocket"]], otherwise = true }
    up = { joins = [["line", "clutch-feed"]], when = "pilot" }
    [accumulator]
    cushion = { at = "clutch-feed" }
    [outlet]
    clutch = { kind = "clutch", at = "clutch-feed" }
    lube = { kind = "lube", at = "cooled" }
    bearing = { kind = "bearing", at = "far" }
    [state]
    up = { on = ["bleed"], applies = ["clutch"] }
"#;

fn bare() -> Circuit {
    sheet::read(BARE).expect("a circuit without errors").circuit
}

fn assuming() -> FlowsQuestion {
    FlowsQuestion {
        assume: true,
        ..FlowsQuestion::default()
    }
}

fn typed(sizes: &[SizeUsed]) -> Vec<String> {
    let sizes = sizes.iter();
    sizes
        .map(|s| format!("{}.{} {}", s.part.id, s.measure, s.size))
        .collect()
}

fn stands_in(circuit: &Circuit, faults: &[&str]) -> Vec<String> {
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    let net = Net::new(circuit).unwrap();
    typed(
        &flows(&net, &faults, Some("up"), &assuming())
            .unwrap()
            .assumed,
    )
}

#[test]
fn every_size_that_is_not_given_has_its_stand_in() {
    assert_eq!(
        stands_in(&bare(), &[]),
        [
            "pump.speed 1500 rpm",
            "pump.displacement 20 cm³/rev",
            "main.bore 8 mm",
            "main.at 10 bar",
            "main.band 0.5 bar",
            "main.boost 5 bar",
            "pilot-line.bore 4 mm",
            "pilot-line.at 10 bar",
            "pilot-line.band 0.5 bar",
            "safety.bore 6 mm",
            "safety.at 20 bar",
            "safety.rise 2 bar",
            "open.bore 8 mm",
            "jet.bore 1.5 mm",
            "fit.gap 0.05 mm",
            "fit.diameter 20 mm",
            "fit.length 10 mm",
            "check.bore 5 mm",
            "shift.opening 6 mm",
            "cooler.bore 8 mm",
            "bearing.bore 1 mm",
            "lube.bore 1 mm",
        ]
    );
}

/// How far a fault has gone is in no file.
#[test]
fn what_a_fault_opens_has_its_stand_in() {
    let circuit = bare();
    let sound = stands_in(&circuit, &[]);
    for (fault, expected) in [
        ("line:cracked", &["line.leak 3 mm"][..]),
        (
            "pump:worn",
            &["pump.leaks-at 10 bar", "pump.worn-leakage 9 L/min"],
        ),
        ("pump:air-leak", &["pump.still-moves 10 cm³/rev"]),
        (
            "roof:loose",
            &["lube.length 40 mm", "roof.gap 0.2 mm", "roof.wall 4 mm"],
        ),
        ("roof:left-out", &["roof.leak 8 mm"]),
        ("jet:oversize", &["jet.wide 2.25 mm"]),
        ("fit:worn", &["fit.wear 0.04 mm"]),
        ("check:worn", &["check.leak 0.5 mm"]),
        ("ring:cut", &["ring.leak 3 mm"]),
        (
            "shift:worn=clutch-feed+line",
            &[
                "shift.clearance 0.015 mm",
                "shift.wear 0.04 mm",
                "shift.diameter 12 mm",
                "shift.land 5 mm",
            ],
        ),
        ("bleed:leaking", &["bleed.leak 0.5 mm"]),
        ("bleed:no-current", &["bleed.bore 1.5 mm"]),
    ] {
        let mut more = stands_in(&circuit, &[fault]);
        more.retain(|size| !sound.contains(size));
        assert_eq!(more, expected, "{fault}");
    }
}

#[test]
fn strokes_and_springs_have_theirs() {
    let circuit = bare();
    let net = Net::new(&circuit).unwrap();
    let sound = stands_in(&circuit, &[]);
    let answer = takes_hold(&net, &[], Some("up"), &assuming()).unwrap();
    let mut more = typed(&answer.assumed);
    more.retain(|size| !sound.contains(size));
    assert_eq!(
        more,
        [
            "cushion.volume 25 cm³",
            "cushion.begins-at 2.5 bar",
            "cushion.full-at 6 bar",
            "clutch.volume 50 cm³",
            "clutch.spring 1.2 bar",
            "clutch.stroked-at 1.5 bar",
        ]
    );
}
