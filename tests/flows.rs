//! Pressures and flows of circuits, each reasoned out by hand beside its check.

mod support;

use oilpath::answer::{
    Answer, ComplaintWord, Flows, FlowsError, FlowsQuestion, Glances, OutletFlow, Range, Varied,
    Vary, VaryPoint, VaryQuestion, VarySpan, Verdict, flows, gauges, starve, vary,
};
use oilpath::circuit::{Circuit, Fault, Kind, PartName};
use oilpath::flow::law::{Film, Hole, Law, Orifice, SHARP_EDGED};
use oilpath::flow::{Fluid, Measure, Oil, Sizes};
use oilpath::sheet;
use oilpath::units::{Length, Temperature};
use support::{every_circuit, net, open};

fn read(text: &str) -> Circuit {
    sheet::read(text).expect("a circuit without errors").circuit
}

fn ask(circuit: &Circuit, faults: &[&str], state: Option<&str>) -> Result<Flows, FlowsError> {
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    flows(&net(circuit), &faults, state, &FlowsQuestion::default())
}

fn outlet<'a>(answer: &'a Flows, id: &str) -> &'a OutletFlow {
    let mut outlets = answer.states[0].outlets.iter();
    outlets.find(|o| o.outlet.id == id).unwrap()
}

fn now(answer: &Flows, cavity: &str) -> Range {
    let mut cavities = answer.states[0].cavities.iter();
    let cavity = cavities.find(|c| c.cavity == cavity).unwrap();
    cavity.now_pa.unwrap()
}

fn one(range: Range) -> f64 {
    assert_eq!(range.least, range.most, "one figure");
    range.least
}

fn warm() -> Fluid {
    Oil::generic().at("80 °C".parse().unwrap()).unwrap()
}

fn mm(mm: f64) -> Length {
    Length::from_m(mm / 1e3)
}

/// A sharp-edged hole in warm oil, by its bore in mm.
fn sharp(bore: f64) -> Orifice {
    let hole = Hole {
        bore: mm(bore),
        thickness: mm(0.0),
        discharge: SHARP_EDGED,
    };
    Orifice::new(hole, warm()).unwrap()
}

const HOP: &str = r#"
    [casting]
    block = { passages = ["line", "lube"] }
    [source]
    supply = { feeds = "line", pressure = "8 bar" }
    [plate]
    hop-cover = { kind = "cover", roofs = ["lube"], gap = "0.05 mm", wall = "4 mm" }
    [passage]
    lube = { length = "30 mm" }
    [orifice]
    hop = { between = ["line", "lube"], bore = "1.2 mm", under = "hop-cover" }
    [outlet]
    bearing = { kind = "bearing", at = "lube", bore = "1.2 mm", needs = "0.5 L/min" }
"#;

/// The passage to the gears is plugged: what the regulator spills there cannot reach them, though no
/// way but the regulator itself leads there.
#[test]
fn nothing_is_spilled_into_a_plugged_passage() {
    let circuit = open("circuits/lessons/regulator.toml");
    let answer = ask(&circuit, &["jet:plugged"], Some("off")).unwrap();
    let gears = outlet(&answer, "gear-spray");
    assert!(one(gears.now.unwrap().flow_m3_per_s.unwrap()) == 0.0);
    let streams = answer.states[0].streams.iter();
    let mut spilled = streams.filter(|s| s.part.id == "main" && s.to == "jet");
    assert!(spilled.all(|s| s.now_m3_per_s.is_none_or(|now| one(now) == 0.0)));
    assert_eq!(
        (gears.met, gears.settled),
        (Some(false), Some(Verdict::Starved))
    );
}

/// The oil in the front valve's spring pocket has no way out, so the spool stays where its spring has
/// it, whatever its pilot has: more than the 3 bar it moves at. Its clutch gets nothing.
#[test]
fn a_spool_that_cannot_stroke_stays_whatever_its_pilot_has() {
    let circuit = open("circuits/transfer-box.toml");
    for fault in [
        "front:vent-plugged",
        "front-vent:plugged",
        "front-pocket:plugged",
    ] {
        let answer = ask(&circuit, &[fault], Some("four-wheel")).unwrap();
        assert!(one(now(&answer, "front-pilot")) > 3e5, "{fault}");
        let clutch = outlet(&answer, "front-clutch");
        assert_eq!(clutch.met, Some(false), "{fault}");
        assert_eq!(clutch.settled, Some(Verdict::Starved), "{fault}");
        assert!(
            answer.states[0]
                .faulty
                .as_ref()
                .unwrap()
                .overruled
                .is_empty()
        );
    }
}

/// Its hole plugged, nothing leads to the clutch but the ball that lets it go, on its seat. What seeps
/// by that applies no clutch.
#[test]
fn what_seeps_by_a_seated_ball_applies_nothing() {
    let circuit = open("circuits/lessons/check-ball.toml");
    let answer = ask(&circuit, &["fill:plugged"], Some("lift")).unwrap();
    let clutch = outlet(&answer, "lift-clutch");
    assert_eq!(
        (clutch.met, clutch.settled),
        (Some(false), Some(Verdict::Starved))
    );
    assert_eq!(clutch.share.map(one), Some(0.0));
    let sound = ask(&circuit, &[], Some("lift")).unwrap();
    assert_eq!(outlet(&sound, "lift-clutch").met, Some(true));
}

/// Two equal holes one after the other each take half of the pressure.
#[test]
fn two_equal_holes_halve_the_pressure() {
    let answer = ask(&read(HOP), &[], None).unwrap();
    assert!((one(now(&answer, "lube")) - 4e5).abs() < 1.0);
    let law = sharp(1.2);
    let bearing = outlet(&answer, "bearing");
    let flow = one(bearing.sound.flow_m3_per_s.unwrap());
    assert!((flow / law.rate(4e5).flow - 1.0).abs() < 1e-6);
    assert_eq!((bearing.met, bearing.share), (Some(true), None));
    let state = &answer.states[0];
    assert!(state.sound.converged && state.sound.imbalance_m3_per_s < 1e-12);
    // What comes by the hop goes by the bearing.
    let streams: Vec<f64> = state
        .streams
        .iter()
        .map(|s| one(s.now_m3_per_s.unwrap()))
        .collect();
    assert_eq!(streams.len(), 2);
    assert!((streams[0] - streams[1]).abs() < 1e-12);
}

/// The cover stands off 0.05 mm along 30 mm of passage, over a wall of 4 mm: what leaks there is the
/// law of a loose plate at the pressure that is left, and the hop passes both.
#[test]
fn a_loose_cover_leaks_by_its_gap() {
    let answer = ask(&read(HOP), &["hop-cover:loose"], None).unwrap();
    let left = one(now(&answer, "lube"));
    assert!(left < 3.5e5, "{left}");
    let gap = Film::plate_edge(mm(0.05), mm(30.0), mm(4.0), warm()).unwrap();
    let state = &answer.states[0];
    let mut streams = state.streams.iter();
    let cover = streams.find(|s| s.part.id == "hop-cover").unwrap();
    assert_eq!((cover.from.as_str(), cover.to.as_str()), ("lube", "sump"));
    let leak = one(cover.now_m3_per_s.unwrap());
    assert!((leak / gap.rate(left).flow - 1.0).abs() < 1e-9);
    assert_eq!(cover.sound_m3_per_s, None);
    let bearing = outlet(&answer, "bearing");
    let share = one(bearing.share.unwrap());
    assert!((0.8..0.95).contains(&share), "{share}");
    assert_eq!(bearing.met, Some(true));
}

/// A plate twice as loose lets eight times as much by as long as the film is thin and slow, so the
/// bearing falls off steeply, never the other way.
#[test]
fn the_looser_the_cover_the_less_the_bearing_gets() {
    let circuit = read(HOP);
    let net = net(&circuit);
    let loose = [circuit.fault("hop-cover:loose").unwrap()];
    let cover = PartName::new(Kind::Plate, "hop-cover");
    let mut before = f64::INFINITY;
    for gap in [0.005, 0.01, 0.02, 0.04, 0.08, 0.16] {
        let sizes = Sizes::default().with((cover.clone(), Measure::Gap), gap / 1e3);
        let question = FlowsQuestion {
            sizes,
            ..FlowsQuestion::default()
        };
        let answer = flows(&net, &loose, None, &question).unwrap();
        assert_eq!(answer.set[0].size, format!("{gap} mm"));
        let gets = one(outlet(&answer, "bearing")
            .now
            .unwrap()
            .flow_m3_per_s
            .unwrap());
        assert!(gets < before);
        before = gets;
    }
}

/// Nothing is passed over in silence: every size the circuit lacks is named with what would stand in
/// for it, and where something may, every figure that rests on it says so.
#[test]
fn sizes_that_are_not_known_are_asked_for() {
    let circuit = read(
        &HOP.replace("bore = \"1.2 mm\", under", "under")
            .replace(", gap = \"0.05 mm\"", ""),
    );
    let named = |faults: &[&str]| match ask(&circuit, faults, None) {
        Err(FlowsError::Missing(sizes)) => {
            let of =
                |s: &oilpath::answer::SizeUsed| format!("{}.{} {}", s.part.id, s.measure, s.size);
            sizes.iter().map(of).collect::<Vec<_>>()
        }
        other => panic!("{other:?}"),
    };
    assert_eq!(named(&[]), ["hop.bore 1.5 mm"]);
    assert_eq!(
        named(&["hop-cover:loose"]),
        ["hop-cover.gap 0.2 mm", "hop.bore 1.5 mm"]
    );
    let question = FlowsQuestion {
        assume: true,
        ..FlowsQuestion::default()
    };
    let answer = flows(&net(&circuit), &[], None, &question).unwrap();
    assert_eq!(answer.assumed.len(), 1);
    let bearing = outlet(&answer, "bearing");
    assert_eq!(bearing.rests_on.len(), 1);
    assert_eq!(bearing.rests_on[0].part.id, "hop");
    // Line is what the supply makes it, whatever the hop.
    assert!(answer.states[0].cavities[0].rests_on.is_empty());
    assert!(!answer.states[0].cavities[1].rests_on.is_empty());
}

#[test]
fn what_nothing_depends_on_cannot_be_set() {
    let circuit = read(HOP);
    let cover = PartName::new(Kind::Plate, "hop-cover");
    let question = FlowsQuestion {
        sizes: Sizes::default().with((cover, Measure::Gap), 1e-4),
        ..FlowsQuestion::default()
    };
    let sound = flows(&net(&circuit), &[], None, &question);
    assert!(matches!(sound, Err(FlowsError::Unused(_))));
    let loose = [circuit.fault("hop-cover:loose").unwrap()];
    assert!(flows(&net(&circuit), &loose, None, &question).is_ok());
}

/// A regulator of 8 bar whose band is 0.4 bar holds line between the two; reverse oil adds 4 bar.
#[test]
fn boost_raises_line() {
    let circuit = read(
        r#"
        lever = ["D", "R"]
        [casting]
        block = { passages = ["line", "reverse"] }
        [source]
        pump = { feeds = "line", displacement = "20 cm³/rev", speed = "1000 rpm" }
        [regulator]
        main = { holds = "line", at = "8 bar", band = "0.4 bar", bore = "8 mm", spills = ["sump"], boost = { reverse = "4 bar" } }
        [valve.manual]
        opening = "6 mm"
        bore = ["sump", "reverse", "line", "sump"]
        drive = { joins = [["reverse", "sump"]], otherwise = true }
        reverse = { joins = [["line", "reverse"]], when = "lever.R" }
        [outlet]
        brake = { kind = "brake", at = "reverse", needs = "9 bar" }
        [state]
        drive = { lever = "D" }
        reverse = { lever = "R", applies = ["brake"], boosts = ["main"] }
    "#,
    );
    let answer = ask(&circuit, &[], Some("drive")).unwrap();
    assert!((8e5..8.4e5).contains(&one(now(&answer, "line"))));
    assert_eq!(outlet(&answer, "brake").met, None);
    let answer = ask(&circuit, &[], Some("reverse")).unwrap();
    assert!((12e5..12.4e5).contains(&one(now(&answer, "line"))));
    assert_eq!(outlet(&answer, "brake").met, Some(true));
    // All the pump moves is spilled: 20 L/min.
    let spilled = answer.states[0]
        .streams
        .iter()
        .find(|s| s.part.id == "main")
        .unwrap();
    assert!((one(spilled.now_m3_per_s.unwrap()) * 60e3 - 20.0).abs() < 1e-6);
}

/// A pilot behind 0.5 mm with a leak of 1 mm to the sump stands near a seventeenth of line (areas
/// squared, 1 to 16): fed for settling, where both are metered and undecided, but far too low for a
/// spring that gives way at 3 bar. The pressures put the valve back.
#[test]
fn a_pilot_too_weak_for_its_spring_is_overruled() {
    let text = |moves_at: &str| {
        format!(
            r#"
        [casting]
        block = {{ passages = ["line", "pilot", "feed", "pocket"] }}
        [source]
        supply = {{ feeds = "line", pressure = "8 bar" }}
        [orifice]
        pilot-feed = {{ between = ["line", "pilot"], bore = "1 mm" }}
        pocket-vent = {{ between = ["pocket", "sump"], bore = "2 mm" }}
        [clearance]
        worn-fit = {{ between = ["pilot", "sump"], gap = "0.15 mm", diameter = "12 mm", length = "6 mm" }}
        [valve.shift]
        opening = "6 mm"
        moves-at = "{moves_at}"
        spring = "pocket"
        bore = ["pilot", "line", "feed", "sump", "pocket"]
        rest = {{ joins = [["feed", "sump"]], otherwise = true }}
        up = {{ joins = [["line", "feed"]], when = "pilot" }}
        [outlet]
        clutch = {{ kind = "clutch", at = "feed", needs = "6 bar" }}
        [state]
        up = {{ applies = ["clutch"] }}
    "#
        )
    };
    // Metered beats a leak: settling puts it up.
    let weak = ask(&read(&text("3 bar")), &[], None).unwrap();
    let solved = &weak.states[0].sound;
    assert_eq!(solved.overruled.len(), 1);
    let valve = &solved.overruled[0];
    assert_eq!(
        (valve.settled.as_deref(), valve.put.as_str()),
        (Some("up"), "rest")
    );
    assert!(valve.pilots[0].pressure_pa < 3e5);
    assert!(solved.agrees);
    assert_eq!(outlet(&weak, "clutch").met, Some(false));
    let soft = ask(&read(&text("0.1 bar")), &[], None).unwrap();
    assert!(soft.states[0].sound.overruled.is_empty());
    assert_eq!(outlet(&soft, "clutch").met, Some(true));
}

/// A valve that may stand in either place is measured in both: the clutch has all of line or none.
#[test]
fn a_valve_left_undecided_gives_a_range() {
    let circuit = open("circuits/tractor-powershift.toml");
    let answer = ask(
        &circuit,
        &["range:stuck-between=low+high"],
        Some("forward-low"),
    )
    .unwrap();
    assert!(answer.states[0].faulty.as_ref().unwrap().cases > 1);
    let range = outlet(&answer, "low-clutch")
        .now
        .unwrap()
        .pressure_pa
        .unwrap();
    assert!(range.most - range.least > 1e5, "{range:?}");
}

/// A passage is crossed by halves: in by one way to its middle and out by another from there.
#[test]
fn a_passage_is_crossed_whole() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["line", "gallery"] }
        [passage]
        gallery = { bore = "4 mm", length = "400 mm" }
        [source]
        supply = { feeds = "line", pressure = "2 bar" }
        [port]
        in = { between = ["line", "gallery"], bore = "20 mm" }
        [outlet]
        lube = { kind = "lube", at = "gallery", bore = "20 mm" }
    "#,
    );
    let answer = ask(&circuit, &[], None).unwrap();
    let run = oilpath::flow::law::Run {
        section: oilpath::flow::law::Section::Round { bore: mm(4.0) },
        length: mm(400.0),
        roughness: mm(0.05),
        fittings: 0.0,
    };
    let law = oilpath::flow::law::Passage::new(run, warm()).unwrap();
    let flow = one(outlet(&answer, "lube").sound.flow_m3_per_s.unwrap());
    // The ends are wide, so nearly all of the pressure is lost along the passage.
    assert!(
        (law.drop(flow) / 2e5 - 1.0).abs() < 0.01,
        "{}",
        law.drop(flow)
    );
    assert!((one(now(&answer, "gallery")) / 1e5 - 1.0).abs() < 0.02);
}

/// Each bend of a passage costs what a mitred one does; two of them at this flow, by the law alone.
#[test]
fn bends_cost_what_their_law_says() {
    let text = |bends: &str| {
        format!(
            r#"
        [casting]
        block = {{ passages = ["line", "gallery"] }}
        [passage]
        gallery = {{ bore = "4 mm", length = "100 mm"{bends} }}
        [source]
        supply = {{ feeds = "line", pressure = "2 bar" }}
        [port]
        in = {{ between = ["line", "gallery"], bore = "20 mm" }}
        [outlet]
        lube = {{ kind = "lube", at = "gallery", bore = "20 mm" }}
    "#
        )
    };
    let straight = ask(&read(&text("")), &[], None).unwrap();
    let bent = ask(&read(&text(", bends = 2")), &[], None).unwrap();
    let flow = |answer: &Flows| one(outlet(answer, "lube").sound.flow_m3_per_s.unwrap());
    assert!(flow(&bent) < 0.95 * flow(&straight));
    let run = oilpath::flow::law::Run {
        section: oilpath::flow::law::Section::Round { bore: mm(4.0) },
        length: mm(100.0),
        roughness: mm(0.05),
        fittings: 2.0 * oilpath::flow::law::minor::mitre_bend(std::f64::consts::FRAC_PI_2),
    };
    let law = oilpath::flow::law::Passage::new(run, warm()).unwrap();
    assert!((law.drop(flow(&bent)) / 2e5 - 1.0).abs() < 0.01);
}

/// Stuck open, a relief is its hole and nothing besides: 8 bar over 4 mm, though it was set to 5 bar.
#[test]
fn a_relief_stuck_open_is_its_hole() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["line"] }
        [source]
        supply = { feeds = "line", pressure = "8 bar" }
        [relief]
        safety = { on = "line", at = "5 bar", rise = "0.5 bar", bore = "4 mm" }
    "#,
    );
    let answer = ask(&circuit, &["safety:stuck-open"], None).unwrap();
    let law = sharp(4.0);
    let streams = answer.states[0].streams.iter();
    let by = streams.filter(|s| s.part.id == "safety");
    let flow: f64 = by.map(|s| one(s.now_m3_per_s.unwrap()).abs()).sum();
    assert!((flow / law.rate(8e5).flow - 1.0).abs() < 1e-6, "{flow}");
}

/// Where a spool joins two ports nothing leaks past a land between them besides: of two grooves of
/// 0.3 mm each lets by what its hole does, though the fit of the spool is known.
#[test]
fn an_open_port_has_no_land_to_leak_past() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["line", "feed", "lube"] }
        [source]
        supply = { feeds = "line", pressure = "8 bar" }
        [valve.spool]
        bore = ["sump", "feed", "line", "lube", "sump"]
        diameter = "12 mm"
        clearance = "0.03 mm"
        land = "5 mm"
        grooves = { joins = [
          { between = ["line", "feed"], bore = "0.3 mm" },
          { between = ["line", "lube"], bore = "0.3 mm" },
        ], otherwise = true }
        [outlet]
        bearing = { kind = "bearing", at = "feed", bore = "8 mm" }
        gears = { kind = "gear", at = "lube", bore = "8 mm" }
    "#,
    );
    let answer = ask(&circuit, &[], None).unwrap();
    let law = sharp(0.3);
    for id in ["bearing", "gears"] {
        let flow = one(outlet(&answer, id).sound.flow_m3_per_s.unwrap());
        assert!(
            (flow / law.rate(8e5).flow - 1.0).abs() < 0.01,
            "{id} {flow}"
        );
    }
}

/// Cold oil is thick: what passes the hop falls, and the answer says that the oil was not measured
/// there.
#[test]
fn cold_oil_passes_less() {
    let circuit = read(HOP);
    let at = |temperature: &str| {
        let question = FlowsQuestion {
            oil_temperature: Some(temperature.parse::<Temperature>().unwrap()),
            ..FlowsQuestion::default()
        };
        flows(&net(&circuit), &[], None, &question)
    };
    let cold = at("-20 °C").unwrap();
    let flow = |answer: &Flows| one(outlet(answer, "bearing").sound.flow_m3_per_s.unwrap());
    assert!(flow(&cold) < flow(&at("80 °C").unwrap()));
    assert_eq!(
        cold.states[0].oil_doubts,
        [oilpath::flow::Doubt::Extrapolated]
    );
    assert!(matches!(at("-150 °C"), Err(FlowsError::Oil(_))));
}

/// A clutch whose ring is cut reads far under line at its tap, and only there is a leak pointed at.
#[test]
fn a_cut_ring_shows_at_the_clutch_tap() {
    let circuit = open("circuits/tractor-powershift.toml");
    let ask = |faults: &[&str]| {
        let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
        let question = FlowsQuestion {
            assume: true,
            ..FlowsQuestion::default()
        };
        gauges(&net(&circuit), &faults, Some("forward-low"), &question).unwrap()
    };
    let points = |faults: &[&str]| {
        let answer = ask(faults);
        let readings = answer.states[0]
            .readings
            .iter()
            .filter(|r| r.points_to_leak);
        readings.map(|r| r.at.id.clone()).collect::<Vec<_>>()
    };
    assert_eq!(points(&[]), Vec::<String>::new());
    assert!(points(&["low-ring:cut"]).contains(&"low-tap".to_owned()));
    assert!(!points(&["low-ring:cut"]).contains(&"line-tap".to_owned()));
}

/// Where settling says that a regulator lets the pressure stand high, flow has more behind it as well: in
/// every state in which either is computed, whether the regulator sticks or is boosted at the wrong time.
#[test]
fn what_stands_high_does_so_at_both_depths() {
    for (file, fault, regulator) in [
        ("circuits/transfer-box.toml", "main:stuck-shut", "main"),
        ("circuits/six-speed-bus.toml", "main:stuck-shut", "main"),
        (
            "circuits/six-speed-bus.toml",
            "pilot-reducer:stuck-open",
            "pilot-reducer",
        ),
        (
            "circuits/six-speed-bus.toml",
            "trim-reducer:stuck-open",
            "trim-reducer",
        ),
        ("circuits/six-speed-bus.toml", "line-port:plugged", "main"),
        (
            "circuits/six-speed-bus.toml",
            "line-pressure:no-current",
            "main",
        ),
    ] {
        let circuit = open(file);
        let net = net(&circuit);
        let faults = [circuit.fault(fault).unwrap()];
        let held = net.cavity(&circuit.regulators[regulator].holds).unwrap();
        let told = starve(&net, &faults, None);
        assert!(told.wrong());
        let measured = flows(&net, &faults, None, &FlowsQuestion::default()).unwrap();
        let mut high = 0;
        for (told, measured) in told.states.iter().zip(&measured.states) {
            let stands = told.complaints.iter().any(|c| {
                c.what == ComplaintWord::StandsHigh && c.outlets.iter().any(|o| o.id == regulator)
            });
            let pressure = &measured.cavities[held.number() - 1];
            let (sound, now) = (
                one(pressure.sound_pa.unwrap()),
                one(pressure.now_pa.unwrap()),
            );
            assert_eq!(
                stands,
                now > 1.1 * sound,
                "{fault} in {:?}: {sound} {now}",
                told.state
            );
            high += usize::from(stands);
        }
        assert!(high > 0, "{fault}");
    }
}

/// A pump that leaks nothing back and whose outlet is plugged has no answer; that is said, and the
/// rest is solved.
#[test]
fn a_pump_into_a_dead_end_is_named() {
    let circuit = read(
        r#"
        [casting]
        block = { passages = ["out", "line"] }
        [source]
        pump = { feeds = "out", displacement = "20 cm³/rev", speed = "1000 rpm" }
        [port]
        up = { between = ["out", "line"], bore = "8 mm" }
        [outlet]
        lube = { kind = "lube", at = "line", bore = "2 mm" }
    "#,
    );
    let sound = ask(&circuit, &[], None).unwrap();
    assert!(sound.states[0].sound.dead_ended.is_empty());
    let answer = ask(&circuit, &["up:plugged"], None).unwrap();
    let faulty = answer.states[0].faulty.as_ref().unwrap();
    assert!(faulty.converged);
    assert_eq!(faulty.dead_ended[0].id, "pump");
    assert_eq!(answer.states[0].cavities[0].now_pa, None);
}

/// The gap at which the bearing stops having its 0.2 L/min, beside a dense sweep: the first of a
/// thousand gaps at which it is short, and the gap before it, hold it between them.
#[test]
fn the_critical_gap_lies_where_a_dense_sweep_has_it() {
    let circuit = open("circuits/tractor-powershift.toml");
    let net = net(&circuit);
    let loose = [circuit.fault("hop-cover:loose").unwrap()];
    let cover = PartName::new(Kind::Plate, "hop-cover");
    let given = FlowsQuestion::default();
    let state = circuit.states.get_key_value("forward-low").unwrap();
    let state = (Some(state.0.as_str()), state.1);
    let ask = |points| {
        let question = VaryQuestion {
            span: VarySpan {
                varied: Varied::Size((cover.clone(), Measure::Gap)),
                over: [0.01e-3, 0.4e-3],
                points,
            },
            flows: &given,
        };
        vary(&net, &loose, state, &question).unwrap()
    };
    let bearing = |answer: &Vary| {
        let mut limits = answer.limits.iter();
        limits
            .find(|l| l.outlet.id == "pto-bearing")
            .unwrap()
            .clone()
    };
    let coarse = ask(7);
    let limit = bearing(&coarse);
    assert!(limit.met_at_first);
    let [critical] = limit.changes[..] else {
        panic!("{limit:?}");
    };
    assert!(critical.most - critical.least <= 1e-4 * 0.39e-3);
    let dense = ask(1000);
    let gets = |point: &VaryPoint| {
        let mut outlets = point.outlets.iter();
        let outlet = outlets.find(|o| o.outlet.id == "pto-bearing").unwrap();
        outlet.gets.flow_m3_per_s.unwrap().least
    };
    let short = |point: &&VaryPoint| gets(point) < limit.needs_m3_per_s.unwrap();
    let after = dense.points.iter().find(short).unwrap().value;
    let before = dense.points.iter().rfind(|p| !short(p)).unwrap().value;
    assert!(before < critical.most && critical.least < after);
    // The looser, the less.
    let falls = |pair: &[VaryPoint]| gets(&pair[1]) <= gets(&pair[0]);
    assert!(dense.points.windows(2).all(falls));
    // What hangs on nothing but line never falls short.
    let clutch = coarse
        .limits
        .iter()
        .find(|l| l.outlet.id == "forward-clutch")
        .unwrap();
    assert!(clutch.met_at_first && clutch.changes.is_empty());
}

/// Every demo circuit is solved sound in every state, and some of every kind of fault.
#[test]
fn every_circuit_is_solved() {
    let question = FlowsQuestion {
        assume: true,
        ..FlowsQuestion::default()
    };
    let mut scenes = 0;
    for (file, circuit) in every_circuit() {
        let net = net(&circuit);
        let faults = circuit.faults();
        let some = faults.iter().step_by(1 + faults.len() / 25);
        let sets = std::iter::once(Vec::new()).chain(some.map(|f| vec![f.clone()]));
        let first = circuit.states.keys().next_back().map(String::as_str);
        for faults in sets {
            let state = if faults.is_empty() { None } else { first };
            let answer = flows(&net, &faults, state, &question).unwrap();
            for state in &answer.states {
                let solved = [Some(&state.sound), state.faulty.as_ref()];
                for solved in solved.into_iter().flatten() {
                    assert!(
                        solved.converged,
                        "{file} {:?} {:?}",
                        answer.faults, state.state
                    );
                }
                scenes += 1;
            }
        }
    }
    println!("{scenes} scenes solved");
    assert!(scenes > 200);
}

/// Of many faults some make the same network, which is solved once: nothing hangs on which comes first.
#[test]
fn what_was_measured_before_makes_no_difference() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let sets: Vec<Vec<Fault>> = circuit.faults().into_iter().map(|f| vec![f]).collect();
    let cavities: Vec<_> = net.cavities().collect();
    let fresh = || Glances::new(&net, &["low".to_owned()], &FlowsQuestion::default()).unwrap();
    let together = fresh().of_sets(0, &sets, &cavities);
    let backwards: Vec<_> = sets.iter().rev().cloned().collect();
    let mut behind = fresh().of_sets(0, &backwards, &cavities);
    behind.reverse();
    assert_eq!(together, behind);
    for (set, together) in sets.iter().zip(&together) {
        assert_eq!(fresh().of(0, set, &cavities), *together, "{set:?}");
    }
}
