//! Reports as their readers see them, in every format.
//!
//! To change one on purpose: `cargo insta test --accept --test report`, then read the snapshot as
//! someone at the bench would.

use std::collections::BTreeSet;
use std::ffi::OsString;

use oilpath::answer::{self, FlowsQuestion, LivesByQuestion, RouteKind, Side};
use oilpath::circuit::{Circuit, Kind, PartName};
use oilpath::cli::{self, Streams};
use oilpath::net::Net;
use oilpath::report::{self, AnswerSchema, Look, Page, SCHEMAS, Words};
use oilpath::sheet;
use oilpath::teach::{self, Examiner, QuizLevel};
use oilpath::units::UnitSystem;
use proptest::prelude::*;
use serde_json::Value;
use unicode_width::UnicodeWidthStr;

const TRACTOR: &str = "circuits/tractor-powershift.toml";

/// A circuit with three slips, to be checked.
const SLIPS: &str = r#"
title = "Three slips"
[casting]
block = { passages = ["line", "lube", "odd"] }
[source]
pump = { feeds = "line" }
[orifice]
hop = { between = ["line", "lube"], bore = "1.2 mm" }
[port]
wide = { between = ["line", "lube"] }
[plate]
cover = { kind = "cover" }
[outlet]
bearing = { kind = "bearing", at = "lube" }
spare = { kind = "bearing", at = "odd" }
"#;

/// Each report by name, and the question it answers; `T` is the tractor.
const REPORTS: &[(&str, &str)] = &[
    ("check", "check T"),
    ("check-slips", "check -"),
    ("explain-code", "check --explain stray-key"),
    ("explain-all", "check --explain"),
    ("parts-outlets", "parts T --kind outlet"),
    ("parts-lesson", "parts circuits/lessons/check-ball.toml"),
    (
        "parts-faults",
        "parts T --kind plate --kind ball --kind passage --faults",
    ),
    ("trace-bearing", "trace T pto-bearing"),
    ("trace-bearing-us", "trace T pto-bearing --units us"),
    ("trace-clutch", "trace T low-clutch"),
    (
        "trace-tree",
        "trace T low-clutch --state forward-low --tree",
    ),
    (
        "trace-all",
        "trace T lube-main --state neutral --by all --most 3",
    ),
    (
        "trace-widest",
        "trace T lube-main --state neutral --by widest",
    ),
    (
        "trace-faulty",
        "trace T low-clutch --state forward-low --fault range:stuck=high",
    ),
    ("trace-nothing", "trace T pto-bearing --fault hop:plugged"),
    ("trace-tap", "trace T pto-tap --state neutral-pto"),
    (
        "trace-front",
        "trace T front-clutch --state forward-low-front",
    ),
    ("before-bearing", "before T rear-lube"),
    ("before-clutch", "before T low-clutch"),
    ("beyond-cover", "beyond T hop-cover"),
    ("beyond-filter", "beyond T lube-filter --state neutral"),
    ("starve-sound", "starve T"),
    ("starve-loose-cover", "starve T hop-cover:loose"),
    (
        "starve-one-state",
        "starve T hop-cover:loose --state neutral",
    ),
    ("starve-no-suction", "starve T suction-screen:blocked"),
    ("starve-line-low", "starve T main:stuck-open"),
    ("starve-no-separator", "starve T separator:left-out"),
    ("starve-wrong-range", "starve T range:stuck=high"),
    ("starve-would-move", "starve T pilot-cover:loose"),
    ("starve-worn-ring", "starve T low-ring:worn"),
    ("starve-two", "starve T hop-cover:loose low-ring:cut"),
    ("starve-brake", "starve T brake-o-ring:cut"),
    ("starve-stuck-pto", "starve T pto:stuck=engaged"),
    ("starve-blocked", "starve T cooler-send:plugged"),
    ("starve-narrower", "starve - wide:plugged"),
    ("sweep-lesson", "sweep circuits/lessons/check-ball.toml"),
    (
        "sweep-one-state",
        "sweep circuits/lessons/regulator.toml --of main --kind orifice --state on",
    ),
    (
        "sweep-transfer-box",
        "sweep circuits/transfer-box.toml --kind plate --kind valve --kind tap --kind ball",
    ),
    (
        "lesson-ball",
        "starve circuits/lessons/check-ball.toml quick-off:left-out fill:plugged",
    ),
    (
        "lesson-fill",
        "starve circuits/lessons/check-ball.toml fill:plugged",
    ),
    (
        "lesson-cover",
        "starve circuits/lessons/metered-feed.toml small-cover:loose",
    ),
    ("why-driven", "why T low-clutch --state forward-low"),
    ("why-states", "why T low-clutch"),
    ("why-everywhere", "why T pto-bearing"),
    (
        "why-moved",
        "why T low-clutch pilot-cover:loose --state forward-low",
    ),
    (
        "why-two-ends",
        "why T low-clutch range:spring-broken --state forward-low",
    ),
    (
        "why-between",
        "why T low-clutch range:stuck-between=low+high --state forward-low",
    ),
    ("why-source", "why T line --state neutral"),
    (
        "why-trapped",
        "why circuits/lessons/check-ball.toml lift-clutch quick-off:stuck-seated fill:plugged --state free",
    ),
    (
        "why-contested",
        "why circuits/lessons/separator-plate.toml high-clutch channel-plate:loose soft:oversize --state high",
    ),
    (
        "why-shuttle",
        "why circuits/lessons/shuttle.toml winch-clutch --state lever",
    ),
    (
        "why-shut",
        "why circuits/six-speed-bus.toml clutch-a --state third",
    ),
    (
        "why-solenoid",
        "why circuits/six-speed-bus.toml pilot-1 --state first",
    ),
    (
        "why-level",
        "why circuits/six-speed-bus.toml boost-pilot --state third",
    ),
    (
        "why-dry",
        "why circuits/six-speed-bus.toml clutch-a suction-filter:blocked --state first",
    ),
    (
        "why-spill",
        "why circuits/lessons/regulator.toml converter fill:plugged --state on",
    ),
    (
        "lesson-trace",
        "trace circuits/lessons/metered-feed.toml far-bearing",
    ),
    (
        "lives-by-bearing",
        "lives-by T pto-bearing --state neutral-pto --of hop --of hop-cover --of case-gasket",
    ),
    ("lives-by-states", "lives-by T pto-bearing --up-to 1"),
    (
        "lives-by-alone",
        "lives-by T low-clutch --state forward-low --up-to 1",
    ),
    (
        "lives-by-lesson",
        "lives-by circuits/lessons/shuttle.toml winch-clutch --likelihood choke:plugged=0.04",
    ),
    (
        "lives-by-limit",
        "lives-by circuits/lessons/check-ball.toml lift-clutch --up-to 3 --most 60",
    ),
    (
        "lives-by-nothing",
        "lives-by circuits/lessons/check-ball.toml lift-clutch --state free",
    ),
    (
        "bench-training",
        "bench circuits/published/two-speed-training.toml",
    ),
    ("bench-box", "bench circuits/transfer-box.toml"),
    (
        "bench-gauges",
        "bench circuits/transfer-box.toml --only gauges --state low --units us",
    ),
    (
        "compare-same",
        "compare circuits/transfer-box.toml circuits/transfer-box.toml",
    ),
    (
        "compare-wrapped",
        "compare circuits/lessons/check-ball.toml circuits/lessons/regulator.toml",
    ),
    (
        "compare-others",
        "compare circuits/lessons/check-ball.toml circuits/lessons/shuttle.toml",
    ),
    ("chart", "chart T"),
    ("chart-box", "chart circuits/transfer-box.toml"),
    ("chart-kinds", "chart T --kind passage --kind ball"),
    (
        "chart-bad",
        "chart T --bad forward-high --bad forward-high-pto --bad reverse-high --bad reverse-high-pto",
    ),
    (
        "chart-bad-good",
        "chart T --bad forward-high --good forward-low --good reverse-low",
    ),
    ("chart-lesson", "chart circuits/lessons/regulator.toml"),
    ("checklist", "checklist T"),
    ("checklist-bus", "checklist circuits/six-speed-bus.toml"),
    (
        "checklist-lesson",
        "checklist circuits/lessons/metered-feed.toml",
    ),
    (
        "checklist-forgotten",
        "checklist tests/slips/unused-position.toml",
    ),
    ("unplugged", "unplugged T"),
    ("unplugged-none", "unplugged circuits/lessons/shuttle.toml"),
    (
        "walk",
        "walk T neutral forward-low forward-high forward-high-pto reverse-low",
    ),
    (
        "walk-remembers",
        "walk circuits/six-speed-bus.toml first second third fourth fifth plug-pulled-running plug-pulled-drive",
    ),
    (
        "walk-lever",
        "walk circuits/six-speed-bus.toml park reverse neutral first",
    ),
    (
        "walk-fault",
        "walk circuits/six-speed-bus.toml fifth plug-pulled-drive --fault limp-relay:stuck=reset",
    ),
    (
        "walk-undecided",
        "walk circuits/six-speed-bus.toml third fifth --fault limp-relay:spring-broken --fault pilot-cover:loose",
    ),
    ("overnight", "overnight T"),
    (
        "overnight-one-state",
        "overnight circuits/transfer-box.toml --state two-wheel",
    ),
    (
        "overnight-drain-back",
        "overnight circuits/six-speed-bus.toml drain-back:stuck-off --state park",
    ),
    (
        "overnight-sound-bus",
        "overnight circuits/six-speed-bus.toml --state first",
    ),
    (
        "overnight-nothing",
        "overnight circuits/lessons/check-ball.toml quick-off:left-out",
    ),
    ("reassemble", "reassemble circuits/transfer-box.toml"),
    (
        "reassemble-us",
        "reassemble circuits/transfer-box.toml --units us",
    ),
    (
        "reassemble-lesson",
        "reassemble circuits/lessons/shuttle.toml",
    ),
    ("flows", "flows T"),
    (
        "flows-loose-cover",
        "flows T hop-cover:loose --state forward-low",
    ),
    (
        "flows-two-places",
        "flows T range:stuck-between=low+high --state forward-low --set hop.bore=1.3mm",
    ),
    (
        "flows-assumed",
        "flows circuits/published/two-speed-training.toml --state drive-standing --assume",
    ),
    (
        "flows-dead-end",
        "flows circuits/published/loader-control-valve.toml main:plugged --state low-cutout --assume",
    ),
    (
        "flows-us",
        "flows circuits/lessons/metered-feed.toml --units us",
    ),
    (
        "flows-bands",
        "flows T hop-cover:loose --state neutral --bands --draws 50",
    ),
    (
        "flows-bands-all",
        "flows circuits/transfer-box.toml --bands --units us",
    ),
    (
        "flows-bands-none",
        "flows circuits/lessons/shuttle.toml --state lever --bands",
    ),
    (
        "vary-gap",
        "vary T hop-cover:loose --of hop-cover.gap --to 0.3mm --state forward-low",
    ),
    (
        "vary-bands",
        "vary T hop-cover:loose --of hop-cover.gap --to 0.3mm --state forward-low --bands --points 7",
    ),
    (
        "grid-bands",
        "grid T hop-cover:loose --of hop-cover.gap --to 0.3mm --and oil-temperature --points 6 --and-points 3 --state neutral --bands",
    ),
    (
        "vary-speed",
        "vary circuits/transfer-box.toml --of speed --to 2000rpm --state low --points 5",
    ),
    (
        "vary-nothing",
        "vary circuits/lessons/shuttle.toml --of oil-temperature --to 140°C --state lever --units us",
    ),
    (
        "signatures",
        "signatures circuits/transfer-box.toml front-ring high-turn main:stuck-shut",
    ),
    (
        "signatures-seen",
        "signatures circuits/transfer-box.toml --kind plate --seen hot-only --state two-wheel",
    ),
    (
        "signatures-idle",
        "signatures T low-ring:worn --state forward-low --units us",
    ),
    (
        "takes-hold",
        "takes-hold circuits/six-speed-bus.toml --state first",
    ),
    (
        "takes-hold-jammed",
        "takes-hold circuits/six-speed-bus.toml a-cushion:jammed d-fill:plugged",
    ),
    (
        "takes-hold-assumed",
        "takes-hold circuits/transfer-box.toml front-fill:oversize --assume --units us",
    ),
    ("agree", "agree circuits/lessons/regulator.toml"),
    ("agree-whole", "agree circuits/lessons/shuttle.toml"),
    (
        "grid-gap",
        "grid T hop-cover:loose --of hop-cover.gap --to 0.3mm --and oil-temperature --and-from -10°C --and-to 110°C --state forward-low",
    ),
    (
        "grid-idle-to-fast",
        "grid circuits/six-speed-bus.toml --of speed --to 3000rpm --and oil-temperature --and-from -20°C --and-to 130°C --points 6 --and-points 5 --state first",
    ),
    (
        "grid-undecided",
        "grid T range:stuck-between=low+high --of speed --to 900rpm --and oil-temperature --and-to 100°C --points 4 --and-points 3 --state forward-low --units us",
    ),
    (
        "grid-never",
        "grid circuits/lessons/shuttle.toml --of oil-temperature --to 140°C --and choke.bore --and-to 2mm --points 3 --and-points 3 --state lever",
    ),
    ("gauges", "gauges circuits/transfer-box.toml"),
    ("gauges-cut-ring", "gauges T low-ring:cut --assume"),
    (
        "gauges-assumed",
        "gauges circuits/published/two-speed-training.toml --assume --units us",
    ),
    (
        "suspects",
        "suspects circuits/transfer-box.toml --case circuits/cases/transfer-box.toml",
    ),
    (
        "suspects-lesson",
        "suspects circuits/lessons/check-ball.toml --saw lift:none --saw free:fine --weigh-only",
    ),
    (
        "suspects-clash",
        "suspects circuits/transfer-box.toml --saw low:fine --saw low:none --saw neutral:bind --units us",
    ),
    (
        "suspects-fine",
        "suspects circuits/transfer-box.toml --saw low:fine",
    ),
    (
        "next",
        "next circuits/transfer-box.toml --case circuits/cases/transfer-box.toml",
    ),
    (
        "next-lesson",
        "next circuits/lessons/check-ball.toml --saw lift:none",
    ),
    (
        "case",
        "case circuits/transfer-box.toml circuits/cases/transfer-box.toml",
    ),
    (
        "case-contradicted",
        "case circuits/transfer-box.toml tests/stories/contradicted.toml --units us",
    ),
    (
        "case-open",
        "case circuits/transfer-box.toml tests/stories/open.toml",
    ),
    ("lesson-sheet-clutch", "lesson T low-clutch"),
    (
        "lesson-sheet-bearing",
        "lesson T pto-bearing --state neutral",
    ),
    (
        "lesson-sheet-ball",
        "lesson circuits/lessons/check-ball.toml lift-clutch",
    ),
    (
        "lesson-sheet-box",
        "lesson circuits/transfer-box.toml low-band --units us",
    ),
    ("quiz-tractor", "quiz T --level 3 --count 6"),
    ("quiz-tractor-key", "quiz T --level 3 --count 6 --key"),
    ("quiz-ball", "quiz circuits/lessons/check-ball.toml"),
    (
        "quiz-ball-key",
        "quiz circuits/lessons/check-ball.toml --key",
    ),
    (
        "quiz-box",
        "quiz circuits/transfer-box.toml --seed 5 --level 1",
    ),
    (
        "quiz-box-key",
        "quiz circuits/transfer-box.toml --seed 5 --level 1 --key",
    ),
];

/// What the command line answers, as text of that width.
fn asked(question: &str, look: Look) -> String {
    let words = question.split(' ').map(|word| match word {
        "T" => TRACTOR.into(),
        word => word.into(),
    });
    let arguments: Vec<OsString> = std::iter::once("oilpath".into()).chain(words).collect();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let streams = Streams {
        input: &mut SLIPS.as_bytes(),
        out: &mut out,
        err: &mut err,
        out_look: look,
        err_look: look,
        stopped: &|| false,
        within: &|_| {},
        progress: &|_| {},
    };
    let status = cli::run(arguments, streams);
    let err = String::from_utf8(err).unwrap();
    assert!(status < 2 && err.is_empty(), "{question}: {status} {err}");
    String::from_utf8(out).unwrap()
}

const PLAIN: Look = Look {
    colour: false,
    width: 80,
};

fn snapshots(folder: &str, of: impl Fn(&str) -> String) {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path(format!("snapshots/report/{folder}"));
    settings.bind(|| {
        for (name, question) in REPORTS {
            insta::assert_snapshot!(*name, format!("$ oilpath {question}\n{}", of(question)));
        }
    });
}

#[test]
fn text() {
    snapshots("text", |question| asked(question, PLAIN));
}

#[test]
fn markdown() {
    snapshots("markdown", |q| {
        asked(&format!("{q} --format markdown"), PLAIN)
    });
}

/// The shape of JSON: every key path with the types found there, so that a snapshot shows what a
/// program can rely on and no more.
#[test]
fn json() {
    fn walk(at: String, value: &Value, found: &mut BTreeSet<String>) {
        let kind = match value {
            Value::Object(fields) => {
                for (key, value) in fields {
                    walk(format!("{at}.{key}"), value, found);
                }
                return;
            }
            Value::Array(items) => {
                found.insert(format!("{at}[]"));
                for item in items {
                    walk(format!("{at}[]"), item, found);
                }
                return;
            }
            Value::Null => "null",
            Value::Bool(_) => "bool",
            Value::Number(_) => "number",
            Value::String(_) => "string",
        };
        found.insert(format!("{at}: {kind}"));
    }
    let mut answers: Vec<(&str, Value)> = Vec::new();
    for (_, question) in REPORTS {
        // A tree is for reading: a program gets the trace itself.
        if question.contains("--tree") {
            continue;
        }
        let mut texts = vec![asked(&format!("{question} --format json"), PLAIN)];
        if question.starts_with("sweep") {
            let lines = asked(&format!("{question} --format json-lines"), PLAIN);
            texts.extend(lines.lines().map(str::to_owned));
        }
        answers.extend(texts.iter().map(|text| {
            let start = text.split('"').nth(1);
            assert_eq!(start, Some("answer"), "{question}");
            (*question, serde_json::from_str(text).unwrap())
        }));
    }
    for AnswerSchema {
        answer: name,
        schema,
    } in SCHEMAS
    {
        let schema = jsonschema::validator_for(&schema()).unwrap();
        let mut found = BTreeSet::new();
        for (question, value) in answers.iter().filter(|(_, v)| v["answer"] == *name) {
            let said: Vec<String> = schema.iter_errors(value).map(|e| e.to_string()).collect();
            assert_eq!(said, [""; 0], "{question}");
            for key in value.as_object().unwrap().keys() {
                let mut less = value.clone();
                less.as_object_mut().unwrap().remove(key);
                assert!(!schema.is_valid(&less), "{question} without {key}");
            }
            assert_eq!(value["version"], 1, "{question}");
            walk(String::new(), value, &mut found);
        }
        assert!(!found.is_empty(), "{name}");
        let shape: Vec<String> = found.into_iter().collect();
        let mut settings = insta::Settings::clone_current();
        settings.set_prepend_module_to_snapshot(false);
        settings.set_omit_expression(true);
        settings.set_snapshot_path("snapshots/report/json");
        settings.bind(|| insta::assert_snapshot!(*name, shape.join("\n")));
    }
}

#[test]
fn json_holds_what_the_text_says() {
    let text = asked("starve T hop-cover:loose --format json", PLAIN);
    let value: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["faults"], serde_json::json!(["hop-cover:loose"]));
    let states = value["states"].as_array().unwrap();
    assert_eq!(states.len(), 13);
    for state in states {
        let worst = &state["outlets"][0];
        assert_eq!(worst["outlet"]["id"], "pto-bearing");
        assert_eq!(worst["verdict"], "starved");
        assert_eq!(state["outlets"][1]["verdict"], "kept");
    }
    let text = asked("trace T pto-bearing --format json", PLAIN);
    let value: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["routes"][0]["narrowest"]["bore_m"], 0.0012);
}

#[test]
fn no_line_is_wider_than_the_terminal() {
    for width in [80, 60, 40] {
        let look = Look { width, ..PLAIN };
        for (name, question) in REPORTS {
            for line in asked(question, look).lines() {
                // Lines of a circuit file could not be typed again if they were broken.
                if *name == "explain-code" && line.starts_with("    ") {
                    continue;
                }
                assert!(line.width() <= width, "{name} at {width}: {line}");
            }
        }
    }
}

#[test]
fn colour_only_adds_to_the_plain_text() {
    let coloured = Look {
        colour: true,
        ..PLAIN
    };
    // A slip drawn in colour has other lines around it; `tests/broken.rs` has its colours.
    for (name, question) in REPORTS.iter().filter(|(name, _)| *name != "check-slips") {
        let text = asked(question, coloured);
        assert!(text.contains("\u{1b}["), "{name}");
        assert_eq!(strip(&text), asked(question, PLAIN), "{name}");
    }
}

/// Text without what sets colours.
fn strip(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        out += before;
        rest = after.split_once('m').unwrap().1;
    }
    out + rest
}

#[test]
fn why_can_be_told_with_every_fault_of_the_catalogue() {
    let circuit = sheet::open(TRACTOR).unwrap().circuit;
    let net = Net::new(&circuit).unwrap();
    let words = Words {
        circuit: &circuit,
        units: UnitSystem::Metric,
    };
    let states: Vec<&str> = circuit.ids(Kind::State).collect();
    let passages: Vec<&str> = circuit.ids(Kind::Passage).collect();
    for (i, fault) in circuit.faults().into_iter().enumerate() {
        let part = PartName::new(Kind::Passage, passages[i % passages.len()]);
        let state = Some(states[i % states.len()]);
        let answer = answer::why(&net, &part, std::slice::from_ref(&fault), state).unwrap();
        let text = report::terminal(&report::why(&answer, &words), PLAIN);
        let said = circuit.say(&fault);
        assert!(text.contains(&part.id), "{said}: {text}");
        for gap in ["  .", " ,", " :", "()", ", ,", ". .", "..", ":."] {
            assert!(!text.contains(gap), "{said}: `{gap}` in {text}");
        }
    }
}

#[test]
fn every_reason_of_the_catalogue_can_be_told() {
    let circuit = sheet::open(TRACTOR).unwrap().circuit;
    let net = Net::new(&circuit).unwrap();
    let words = Words {
        circuit: &circuit,
        units: UnitSystem::Metric,
    };
    for fault in circuit.faults() {
        let answer = answer::starve(&net, std::slice::from_ref(&fault), None);
        let text = report::terminal(&report::starve(&answer, &words), PLAIN);
        let said = circuit.say(&fault);
        assert!(text.replace('\n', " ").starts_with(&said), "{said}: {text}");
        // Nothing left empty by a sentence that lacked a part of it.
        for gap in ["  .", " ,", " :", "()", ", ,", ". ."] {
            assert!(!text.contains(gap), "{said}: `{gap}` in {text}");
        }
    }
}

/// A small circuit in which every label, note and title is the same text.
fn labelled(label: &str) -> Circuit {
    let mut circuit = sheet::read(SLIPS).unwrap().circuit;
    circuit.title = Some(label.to_owned());
    let text = || oilpath::circuit::Text {
        label: Some(label.to_owned()),
        note: Some(label.to_owned()),
    };
    circuit.castings.values_mut().for_each(|p| p.text = text());
    circuit.passages.values_mut().for_each(|p| p.text = text());
    circuit.sources.values_mut().for_each(|p| p.text = text());
    circuit.orifices.values_mut().for_each(|p| p.text = text());
    circuit.outlets.values_mut().for_each(|p| p.text = text());
    let state = oilpath::circuit::State {
        text: text(),
        ..Default::default()
    };
    circuit.states.insert("idle".to_owned(), state);
    circuit
}

fn pages(circuit: &Circuit) -> Vec<Page> {
    let net = Net::new(circuit).unwrap();
    let other = &sheet::read(SLIPS).unwrap().circuit;
    let words = &Words {
        circuit,
        units: UnitSystem::Metric,
    };
    let fault = circuit.fault("lube:cracked").unwrap();
    let bearing = circuit.find("bearing", &[Kind::Outlet]).unwrap();
    let traced = answer::trace(&net, &bearing, &[], None, RouteKind::Shortest).unwrap();
    let quiz = Examiner::new(&net)
        .quiz(1, QuizLevel::OneCasting, 4)
        .unwrap();
    vec![
        report::starve(&answer::starve(&net, &[fault], None), words),
        report::trace(&traced, words),
        report::around(&answer::around(&net, &bearing, Side::Before, None), words),
        report::why(&answer::why(&net, &bearing, &[], None).unwrap(), words),
        report::parts(&answer::parts(&net, &[]), words),
        report::faults(&answer::parts(&net, &[]), words),
        report::lives_by(
            &answer::lives_by(&net, &bearing, &LivesByQuestion::default()).unwrap(),
            words,
        ),
        report::chart(&answer::chart(&net, &[], &[], &[]), words),
        report::unplugged(&answer::unplugged(&net), words),
        report::walk(&answer::walk(&net, &["idle", "idle"], &[]).unwrap(), words),
        report::overnight(&answer::overnight(&net, &[], None), words),
        report::reassemble(&answer::reassemble(&net), words),
        report::bench(
            &answer::bench(&net, &[], None, &FlowsQuestion::default()).unwrap(),
            words,
        ),
        report::compare(
            &answer::compare(&net, &Net::new(other).unwrap(), &[]),
            words,
        ),
        report::lesson(&teach::lesson(&net, &bearing, None).unwrap(), words),
        report::quiz(&quiz, words),
        report::quiz_key(&quiz, words),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Nothing in a label reaches the terminal as a command, or overflows it.
    #[test]
    fn a_label_is_only_text_on_a_terminal(label in ".{0,60}", bytes in "[\u{0}-\u{ff}]{0,20}") {
        for label in [label, bytes] {
            for page in pages(&labelled(&label)) {
                let text = report::terminal(&page, PLAIN);
                prop_assert!(!text.chars().any(|c| c.is_control() && c != '\n'), "{text:?}");
            }
        }
    }

    /// Nothing in a label becomes markup, and all of it can be read.
    #[test]
    fn a_label_is_only_text_in_markdown(label in r"[-a-z0-9 *_`#>|<&;:!\[\]()~+=.\\$/\n\t]{1,40}") {
        use pulldown_cmark::{Event, Options, Parser, Tag};
        let shown: String = label.chars().map(|c| if c.is_whitespace() { ' ' } else { c }).collect();
        let shown = shown.trim();
        for page in pages(&labelled(&label)) {
            let text = report::markdown(&page);
            let (mut heading, mut all) = (None, String::new());
            for event in Parser::new_ext(&text, Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH) {
                match event {
                    Event::Text(text) | Event::Code(text) => all += &text,
                    Event::End(pulldown_cmark::TagEnd::Heading(_)) => {
                        heading.get_or_insert(all.clone());
                    }
                    Event::Html(_) | Event::InlineHtml(_) | Event::Rule | Event::HardBreak
                    | Event::SoftBreak => prop_assert!(false, "{event:?} in {text}"),
                    Event::Start(Tag::Link { .. } | Tag::Image { .. } | Tag::Emphasis
                        | Tag::CodeBlock(_) | Tag::Strikethrough) => {
                        prop_assert!(false, "{event:?} in {text}");
                    }
                    _ => {}
                }
            }
            let heading = heading.unwrap_or_default();
            prop_assert_eq!(heading.trim(), shown, "{}", text);
        }
    }
}
