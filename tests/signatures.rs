//! In what pattern a fault shows: reasoned by hand, and held against asking `flows` at each corner.

mod support;

use oilpath::answer::{
    Corner, Flows, FlowsError, FlowsQuestion, OutletFlow, Pattern, SignatureQuestion, Signatures,
    When, flows, signatures,
};
use oilpath::circuit::{Circuit, Fault, Kind, PartName};
use oilpath::sheet;
use oilpath::units::{Speed, Temperature};
use support::{net, open};

fn read(text: &str) -> Circuit {
    sheet::read(text).expect("a circuit without errors").circuit
}

fn ask(circuit: &Circuit, fault: &str, question: &SignatureQuestion) -> Signatures {
    let fault = circuit.fault(fault).unwrap();
    signatures(&net(circuit), &[fault], &[], question).unwrap()
}

fn as_usual() -> SignatureQuestion {
    SignatureQuestion {
        extents: vec![1.0],
        ..SignatureQuestion::default()
    }
}

/// The one pattern of an outlet; never where it is not listed.
fn pattern(answer: &Signatures, fault: usize, state: &str, outlet: &PartName) -> Pattern {
    let fault = &answer.faults[fault].fault;
    let found = answer.of(fault, state, outlet);
    found.map_or(Pattern::Never, |found| {
        assert_eq!(found.patterns.len(), 1);
        found.patterns[0].pattern
    })
}

/// A clutch behind a hole from a line that is held at 8 bar whatever the pump does.
const CLUTCH: &str = r#"
    [casting]
    block = { passages = ["line", "drum"] }
    [oil]
    thick = { viscosity = { "40 °C" = "34 cSt", "100 °C" = "7.1 cSt" } }
    [source]
    supply = { feeds = "line", pressure = "8 bar" }
    [orifice]
    fill = { between = ["line", "drum"], bore = "1.0 mm", thickness = "1 mm" }
    [clearance]
    bushing = { between = ["drum", "sump"], gap = "0.01 mm", diameter = "40 mm", length = "10 mm", wear = "0.05 mm" }
    [outlet]
    clutch = { kind = "clutch", at = "drum", needs = "6 bar" }
    [state]
    on = { applies = ["clutch"] }
"#;

fn clutch() -> PartName {
    PartName::new(Kind::Outlet, "clutch")
}

/// The oil that leaks by a worn bushing goes as its thinness: some twentyfold more at 110 °C than at
/// 20 °C. What the hole lets in hardly changes, for it is short. So what a worn bushing costs shows
/// hot; and since the line is held, the engine's speed has no say.
#[test]
fn a_worn_bushing_shows_hot_only() {
    let circuit = read(CLUTCH);
    let answer = ask(&circuit, "bushing:worn", &as_usual());
    let found = pattern(&answer, 0, "on", &clutch());
    assert_eq!(found, Pattern::Hot);
    assert!(found.fits(When::Hot) && !found.fits(When::Idle) && !found.fits(When::Cold));
    assert!(answer.sound.is_empty() && answer.assumed.is_empty());
}

/// Half as worn it may show nowhere, worn through it shows always: the three are told apart.
#[test]
fn how_far_it_has_gone_changes_the_pattern() {
    let circuit = read(CLUTCH);
    let question = SignatureQuestion {
        extents: vec![8.0, 1.0, 0.2],
        ..SignatureQuestion::default()
    };
    let answer = ask(&circuit, "bushing:worn", &question);
    assert!(answer.faults[0].has_extent);
    let found = answer.of("bushing:worn", "on", &clutch()).unwrap();
    let told = found.patterns.iter().map(|p| (p.extent, p.pattern));
    let told: Vec<(f64, Pattern)> = told.collect();
    assert_eq!(
        told,
        [
            (0.2, Pattern::Never),
            (1.0, Pattern::Hot),
            (8.0, Pattern::Always)
        ]
    );
    assert!(found.fits(When::Hot) && found.fits(When::Always) && !found.fits(When::Cold));
}

/// The same circuit without its bushing: nothing leaks.
fn tight() -> String {
    let leaks = |line: &&str| line.contains("bushing") || line.contains("[clearance]");
    let lines = CLUTCH.lines().filter(|line| !leaks(line));
    lines.collect::<Vec<_>>().join("\n")
}

/// A clutch whose hole is plugged is sealed off: nothing comes to it, however the gearbox runs. And a
/// plugged hole is plugged: it has no extent.
#[test]
fn what_is_sealed_off_falls_short_always() {
    let circuit = read(&tight());
    let answer = ask(&circuit, "fill:plugged", &SignatureQuestion::default());
    assert!(!answer.faults[0].has_extent);
    assert_eq!(pattern(&answer, 0, "on", &clutch()), Pattern::Always);
}

/// Without the sizes of the sound circuit there is no pattern, and what lacks is named.
#[test]
fn a_circuit_without_sizes_says_what_it_lacks() {
    let circuit = read(&CLUTCH.replace("bore = \"1.0 mm\", ", ""));
    let fault = circuit.fault("bushing:worn").unwrap();
    let refused = signatures(&net(&circuit), &[fault], &[], &as_usual()).unwrap_err();
    let FlowsError::Missing(sizes) = refused else {
        panic!("{refused}");
    };
    let named = sizes.iter().map(|s| format!("{}.{}", s.part.id, s.measure));
    assert_eq!(named.collect::<Vec<_>>(), ["fill.bore"]);
}

/// The slow way: `flows` asked at one corner after the other, each fault alone.
#[test]
fn patterns_are_those_of_asking_at_each_corner() {
    for (file, state) in [
        ("circuits/transfer-box.toml", "four-wheel"),
        ("circuits/transfer-box.toml", "low"),
        ("circuits/lessons/regulator.toml", "on"),
    ] {
        let circuit = open(file);
        let net = net(&circuit);
        let faults: Vec<Fault> = circuit.faults().into_iter().step_by(3).collect();
        let answer = signatures(&net, &faults, &[state.to_owned()], &as_usual()).unwrap();
        for (number, fault) in faults.iter().enumerate() {
            let at = Corner::ALL.iter().map(|corner| {
                let runs = answer
                    .corners
                    .iter()
                    .find(|runs| runs.corner == *corner)
                    .unwrap();
                let question = FlowsQuestion {
                    speed: Some(Speed::from_rad_per_s(runs.speed_rad_per_s)),
                    oil_temperature: Some(Temperature::from_kelvin(runs.oil_temperature_k)),
                    assume: true,
                    ..FlowsQuestion::default()
                };
                let sound = flows(&net, &[], Some(state), &question).unwrap();
                (
                    sound,
                    flows(&net, std::slice::from_ref(fault), Some(state), &question).unwrap(),
                )
            });
            let at: Vec<(Flows, Flows)> = at.collect();
            let outlets = at[0].1.states[0].outlets.iter().enumerate();
            for (i, outlet) in outlets.filter(|(_, o)| o.should_apply || !o.by_pressure) {
                let fails: Vec<Option<bool>> = at.iter().map(|(s, f)| fails(s, f, i)).collect();
                let slow = Pattern::of(fails.try_into().unwrap());
                let quick = pattern(&answer, number, state, &outlet.outlet);
                assert_eq!(
                    quick,
                    slow,
                    "{} {state} {}",
                    circuit.say(fault),
                    outlet.outlet
                );
            }
        }
    }
}

/// Whether an outlet falls short at a corner and does not when sound.
fn fails(sound: &Flows, faulty: &Flows, outlet: usize) -> Option<bool> {
    let of = |answer: &Flows| -> OutletFlow { answer.states[0].outlets[outlet].clone() };
    let solved = faulty.states[0].faulty.as_ref().unwrap();
    if !solved.converged || !solved.dead_ended.is_empty() {
        return None;
    }
    let (sound, now) = (of(sound), of(faulty));
    if sound.met == Some(true) {
        return now.met.map(|met| !met);
    }
    let Some(share) = now.share else {
        return Some(false);
    };
    match (share.most < 0.5, share.least < 0.5) {
        (true, _) => Some(true),
        (_, false) => Some(false),
        _ => None,
    }
}
