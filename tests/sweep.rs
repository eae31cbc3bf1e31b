//! Every fault in every state: the library against `starve`, the command as a process.

use std::cell::Cell;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;
use oilpath::answer::{
    self, Reason, Scenarios, Severity, StarveState, SweepRecord, Sweeper, Verdict,
};
use oilpath::circuit::{Circuit, Kind, PartName};
use oilpath::cli::{self, Streams};
use oilpath::net::Net;
use oilpath::report::{self, Look, SCHEMAS};
use oilpath::sheet;
use predicates::prelude::*;
use predicates::str::contains;
use serde_json::Value;

const LESSON: &str = "circuits/lessons/check-ball.toml";
const TRANSFER_BOX: &str = "circuits/transfer-box.toml";
const TRACTOR: &str = "circuits/tractor-powershift.toml";
/// The formats that are written line by line.
const LINES: [&str; 2] = ["csv", "json-lines"];

fn circuit(file: &str) -> Circuit {
    sheet::open(Path::new(file)).unwrap().circuit
}

fn sweeper<'n>(net: &'n Net<'n>, pairs: bool) -> Sweeper<'n> {
    let alone = Scenarios::alone(net.circuit(), |_| true);
    Sweeper::new(net, if pairs { alone.pairs() } else { alone }, &[])
}

fn all(sweeper: &Sweeper<'_>) -> Vec<SweepRecord> {
    sweeper.records(0..sweeper.scenarios().count())
}

fn run(arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("oilpath").unwrap();
    command.arg("sweep").args(arguments);
    command
}

fn printed(arguments: &[&str]) -> String {
    let output = run(arguments).assert().code(0).get_output().clone();
    String::from_utf8(output.stdout).unwrap()
}

// The scenarios.

#[test]
fn every_fault_is_tried_once_and_every_pair_of_two_parts() {
    for file in [LESSON, TRANSFER_BOX] {
        let circuit = circuit(file);
        let faults = circuit.faults();
        let alone = Scenarios::alone(&circuit, |_| true);
        let tried: Vec<_> = (0..alone.count()).flat_map(|n| alone.get(n)).collect();
        assert_eq!(tried, faults);
        let mut expected = Vec::new();
        for (i, first) in faults.iter().enumerate() {
            let later = faults[i + 1..].iter().filter(|f| f.part != first.part);
            expected.extend(later.map(|second| vec![first.clone(), second.clone()]));
        }
        let pairs = alone.pairs();
        assert_eq!(pairs.count(), expected.len());
        for (number, pair) in expected.into_iter().enumerate() {
            assert_eq!(pairs.get(number), pair, "{number}");
        }
        assert_eq!(pairs.get(pairs.count()), []);
    }
}

#[test]
fn slices_follow_each_other_and_leave_nothing_out() {
    let circuit = circuit(LESSON);
    let scenarios = Scenarios::alone(&circuit, |_| true);
    for n in 1..=scenarios.count() + 3 {
        let slices: Vec<_> = (1..=n).map(|k| scenarios.slice(k, n)).collect();
        let numbers: Vec<usize> = slices.iter().cloned().flatten().collect();
        assert_eq!(numbers, (0..scenarios.count()).collect::<Vec<_>>(), "{n}");
        let lengths = slices.iter().map(ExactSizeIterator::len);
        assert!(lengths.clone().max().unwrap() - lengths.min().unwrap() <= 1);
    }
}

// What a record says.

/// The slow, obvious rival: each scenario asked alone, state by state.
fn agrees(record: &SweepRecord, net: &Net<'_>, scenarios: &Scenarios) {
    let alone = answer::starve(net, &scenarios.get(record.number), None);
    assert_eq!(record.faults, alone.faults);
    assert_eq!(record.severity, Severity::of(net, &alone));
    for state in &alone.states {
        let with = |verdict: Verdict| -> Vec<PartName> {
            let some = state.outlets.iter().filter(|o| o.verdict == verdict);
            some.map(|o| o.outlet.clone()).collect()
        };
        let Some(found) = record.states.iter().find(|s| s.state == state.state) else {
            assert_eq!(Severity::in_state(state), Severity::Nothing);
            assert!(!state.outlets.iter().any(|o| o.verdict.is_bad()));
            continue;
        };
        assert_eq!(found.severity, Severity::in_state(state));
        let StarveState {
            will_not_build,
            cannot_draw,
            course,
            unsettled,
            complaints,
            ..
        } = state;
        assert_eq!(&found.will_not_build, will_not_build);
        assert_eq!(&found.cannot_draw, cannot_draw);
        assert_eq!(&found.course, course);
        assert_eq!(&found.unsettled, unsettled);
        assert_eq!(&found.complaints, complaints);
        assert_eq!(found.starved, with(Verdict::Starved));
        assert_eq!(found.weakened, with(Verdict::Weakened));
        assert_eq!(found.on_when_off, with(Verdict::OnWhenOff));
        assert_eq!(found.late, with(Verdict::Late));
        let undecided = found.undecided.iter().map(|u| u.outlet.clone());
        assert_eq!(undecided.collect::<Vec<_>>(), with(Verdict::Undecided));
    }
}

#[test]
fn every_record_is_what_starve_answers_alone() {
    for (file, pairs) in [(LESSON, false), (LESSON, true), (TRANSFER_BOX, false)] {
        let circuit = circuit(file);
        let net = Net::new(&circuit).unwrap();
        let sweeper = sweeper(&net, pairs);
        let records = all(&sweeper);
        assert_eq!(records.len(), sweeper.scenarios().count());
        for (number, record) in records.iter().enumerate() {
            assert_eq!(record.number, number);
            agrees(record, &net, sweeper.scenarios());
        }
    }
}

#[test]
fn a_pair_says_what_each_of_its_faults_does_alone() {
    let circuit = circuit(LESSON);
    let net = Net::new(&circuit).unwrap();
    let single = all(&sweeper(&net, false));
    for pair in all(&sweeper(&net, true)) {
        let alone = pair.faults.iter().map(|fault| {
            let found = single.iter().find(|record| record.faults[0] == *fault);
            found.unwrap().severity
        });
        assert_eq!(pair.alone, alone.collect::<Vec<_>>());
        assert_eq!(pair.adds(), pair.alone.iter().all(|a| pair.severity < *a));
    }
}

/// Of each kind of part at most this many faults of a large circuit, spread over all of them.
const OF_A_KIND: usize = 6;

/// In every demo circuit, an outlet that is left open says what it hangs on: valves and balls, or
/// a cavity.
#[test]
fn what_is_undecided_has_a_named_cause() {
    let mut open = 0;
    for file in files("circuits") {
        let circuit = circuit(file.to_str().unwrap());
        let net = Net::new(&circuit).unwrap();
        let mut chosen = Vec::new();
        for kind in Kind::ALL {
            let faults = circuit.faults();
            let here: Vec<_> = faults.iter().filter(|f| f.part.kind == *kind).collect();
            let step = here.len().div_ceil(OF_A_KIND).max(1);
            chosen.extend(here.into_iter().step_by(step).map(|f| circuit.say(f)));
        }
        let scenarios = Scenarios::alone(&circuit, |_| true);
        let sweeper = Sweeper::new(&net, scenarios, &[]);
        let faults = sweeper.scenarios().faults().iter();
        let wanted = faults.map(|f| chosen.contains(&circuit.say(f)));
        let numbers = wanted.enumerate().filter(|(_, w)| *w).map(|(n, _)| n);
        for record in numbers.flat_map(|n| sweeper.records(n..n + 1)) {
            for (state, outlet) in record
                .states
                .iter()
                .flat_map(|s| s.undecided.iter().map(move |u| (s, u)))
            {
                let what = format!("{file:?} {:?} {:?} {outlet:?}", record.faults, state.state);
                let why = outlet.why.as_ref().expect(&what);
                open += 1;
                if let Reason::Depends { on } = why {
                    assert!(!on.is_empty(), "{what}");
                    assert!(on.iter().all(|p| state.unsettled.contains(p)), "{what}");
                    continue;
                }
                let why = serde_json::to_value(why).unwrap();
                let cavity = why["cavity"].as_str().expect(&what);
                assert!(net.cavity(cavity).is_some(), "{what}");
            }
        }
    }
    assert!(open > 50, "{open}");
}

fn files(folder: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(path.to_str().unwrap()));
        } else if path.extension().is_some_and(|e| e == "toml") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// By hand: the fill hole of the lesson is the lift clutch's only way in, the tap sits behind it
/// and has no pressure left. The cracked line is held by the pump alone, which it overloads: a
/// gauge there says so.
#[test]
fn a_gauge_shows_what_it_sits_on() {
    let circuit = circuit(LESSON);
    let net = Net::new(&circuit).unwrap();
    let records = all(&sweeper(&net, false));
    let of = |fault: &str| records.iter().find(|r| r.faults[0] == fault).unwrap();
    let plugged = of("fill:plugged");
    assert!(plugged.is_seen() && plugged.costs_a_gear());
    let seen = &plugged.states[0].seen;
    assert_eq!(plugged.states[0].state.as_deref(), Some("lift"));
    assert_eq!(seen[0].at, PartName::new(Kind::Tap, "lift-tap"));
    assert_eq!(
        (seen[0].sound.lowest.word(), seen[0].now.highest.word()),
        ("full", "off")
    );
    assert!(of("pump:worn").is_harmless() && !of("pump:worn").is_seen());

    let circuit = self::circuit(TRANSFER_BOX);
    let net = Net::new(&circuit).unwrap();
    let records = all(&sweeper(&net, false));
    let cracked = records.iter().find(|r| r.faults[0] == "line:cracked");
    let states = &cracked.unwrap().states;
    let line = PartName::new(Kind::Tap, "line-tap");
    assert_eq!(states.len(), circuit.states.len());
    assert!(
        states
            .iter()
            .all(|s| s.seen.iter().any(|r| r.at == line && r.is_sure()))
    );
}

// What is written.

#[test]
fn slices_join_to_the_whole_byte_for_byte() {
    let count = Scenarios::alone(&circuit(LESSON), |_| true).count();
    for format in LINES {
        let whole = printed(&[LESSON, "--format", format]);
        for n in (1..=7).chain([count + 2]) {
            let slices = (1..=n)
                .map(|k| printed(&[LESSON, "--format", format, "--part", &format!("{k}/{n}")]));
            assert_eq!(slices.collect::<String>(), whole, "{format} {n}");
        }
    }
}

#[test]
fn the_order_does_not_hang_on_the_threads() {
    for format in ["csv", "json-lines", "json", "markdown"] {
        let with = |n| {
            printed(&[
                TRANSFER_BOX,
                "--kind",
                "plate",
                "--format",
                format,
                "--threads",
                n,
            ])
        };
        assert_eq!(with("1"), with("5"), "{format}");
    }
}

#[test]
fn each_line_and_the_whole_are_as_their_schemas_say() {
    let schema = |answer: &str| {
        let found = SCHEMAS.iter().find(|s| s.answer == answer).unwrap();
        jsonschema::validator_for(&(found.schema)()).unwrap()
    };
    let (record, sweep) = (schema("sweep-record"), schema("sweep"));
    for extra in [&[][..], &["--pairs"], &["--state", "lift"]] {
        let with = |format| printed(&[&[LESSON, "--format", format], extra].concat());
        let lines = with("json-lines");
        let lines: Vec<Value> = lines
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .collect();
        for line in &lines {
            assert!(record.is_valid(line), "{line}");
        }
        let whole: Value = serde_json::from_str(&with("json")).unwrap();
        assert!(sweep.is_valid(&whole));
        assert_eq!(whole["records"].as_array().unwrap().len(), lines.len());
        assert_eq!(whole["summary"]["scenarios"], lines.len());
        let harmless = lines.iter().filter(|l| l["severity"] == "nothing").count();
        assert_eq!(whole["summary"]["harmless"], harmless);
        for (of_whole, mut line) in whole["records"].as_array().unwrap().iter().zip(lines) {
            let fields = line.as_object_mut().unwrap();
            fields.remove("answer");
            fields.remove("version");
            assert_eq!(*of_whole, line);
        }
    }
}

#[test]
fn a_table_has_a_row_for_each_scenario_and_state() {
    let circuit = circuit(TRANSFER_BOX);
    let text = printed(&[TRANSFER_BOX, "--kind", "ball", "--format", "csv"]);
    let mut table = csv::Reader::from_reader(text.as_bytes());
    assert_eq!(
        text.lines().next(),
        Some(report::sweep_csv_head().trim_end())
    );
    let head = table.headers().unwrap().clone();
    let rows: Vec<_> = table.records().map(Result::unwrap).collect();
    let balls = Scenarios::alone(&circuit, |part| part.kind == Kind::Ball);
    let states: Vec<&String> = circuit.states.keys().collect();
    assert_eq!(rows.len(), balls.count() * states.len());
    for (i, row) in rows.iter().enumerate() {
        assert_eq!(row.len(), head.len());
        assert_eq!(row[0], (i / states.len()).to_string());
        assert_eq!(row[1], circuit.say(&balls.get(i / states.len())[0]));
        assert_eq!(&row[2], states[i % states.len()]);
        assert_eq!(
            &row[3] == "nothing",
            row.iter().skip(4).take(6).all(str::is_empty)
        );
    }
}

#[test]
fn filters_add_up_and_mistakes_are_answered() {
    let said = printed(&[
        TRACTOR,
        "--of",
        "hop",
        "--of",
        "hop-cover",
        "--kind",
        "filter",
        "--format",
        "csv",
        "--state",
        "neutral",
        "--state",
        "pedal-down",
    ]);
    let circuit = circuit(TRACTOR);
    let wanted = Scenarios::alone(&circuit, |part| {
        part.id == "hop" || part.id == "hop-cover" || part.kind == Kind::Filter
    });
    assert_eq!(said.lines().count(), 1 + 2 * wanted.count());
    let refused = |arguments: &[&str], with: &str| {
        run(arguments)
            .assert()
            .code(2)
            .stdout("")
            .stderr(contains(with));
    };
    refused(&[LESSON, "--part", "1/2"], "--format csv");
    refused(&[LESSON, "--part", "0/2", "--format", "csv"], "such as 1/4");
    refused(&[LESSON, "--part", "3/2", "--format", "csv"], "such as 1/4");
    refused(&[LESSON, "--resume"], "--format csv");
    refused(&[LESSON, "--resume", "--format", "csv"], "--output");
    refused(&[LESSON, "--kind", "state"], "no fault for these parts");
    refused(&[LESSON, "--pairs", "--of", "fill"], "name another part");
    refused(&[LESSON, "--of", "fil"], "did you mean `fill`?");
    refused(&[LESSON, "--state", "lfit"], "did you mean `lift`?");
    refused(
        &[LESSON, "--output", LESSON, "--format", "csv"],
        "circuit file itself",
    );
    let mut starve = Command::cargo_bin("oilpath").unwrap();
    starve.args(["starve", LESSON, "fill:plugged", "--format", "csv"]);
    starve.assert().code(2).stderr(contains("choose text"));
}

#[test]
fn how_many_pairs_there_are_is_said_first() {
    let count = Scenarios::alone(&circuit(LESSON), |_| true).pairs().count();
    run(&[LESSON, "--pairs", "--format", "json-lines"])
        .assert()
        .code(0)
        .stdout(predicate::function(|out: &str| {
            out.lines().count() == count
        }))
        .stderr(contains(format!("{count} pairs of 25 faults")));
}

fn snapshot(name: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots/sweep");
    settings.bind(|| insta::assert_snapshot!(name, text));
}

#[test]
fn tables_and_pairs_as_they_are_read() {
    snapshot("lesson-csv", &printed(&[LESSON, "--format", "csv"]));
    let some = [
        TRANSFER_BOX,
        "--kind",
        "tap",
        "--of",
        "range",
        "--format",
        "csv",
    ];
    snapshot("transfer-box-csv", &printed(&some));
    snapshot("pairs-text", &printed(&[LESSON, "--pairs"]));
}

// Files that grow.

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        Folder(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> String {
        self.0.path().join(name).to_str().unwrap().to_owned()
    }
}

/// The same command within this process, for tests that ask it often; its exit status, what it
/// printed and what it said. It is told to stop once it has looked so often whether to.
fn within(arguments: &[&str], looks: usize) -> (u8, String, String) {
    let arguments = ["oilpath", "sweep"].iter().chain(arguments);
    let arguments: Vec<OsString> = arguments.map(OsString::from).collect();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let look = Look {
        colour: false,
        width: 80,
    };
    let looked = Cell::new(0);
    let status = cli::run(
        arguments,
        Streams {
            input: &mut std::io::empty(),
            out: &mut out,
            err: &mut err,
            out_look: look,
            err_look: look,
            stopped: &|| looked.replace(looked.get() + 1) >= looks,
            progress: &|_| {},
        },
    );
    let [out, err] = [out, err].map(|bytes| String::from_utf8(bytes).unwrap());
    (status, out, err)
}

#[test]
fn a_run_goes_on_wherever_it_was_cut() {
    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    for format in LINES {
        let asked = [LESSON, "--of", "fill", "--of", "main", "--format", format];
        let whole = printed(&asked);
        let resumed = [&asked[..], &["--resume", "--output", &out]].concat();
        for cut in 0..=whole.len() {
            fs::write(&partial, &whole[..cut]).unwrap();
            assert_eq!(
                within(&resumed, usize::MAX),
                (0, String::new(), String::new())
            );
            assert_eq!(fs::read_to_string(&out).unwrap(), whole, "{format} {cut}");
            assert!(!Path::new(&partial).exists());
            fs::remove_file(&out).unwrap();
        }
    }
}

/// Stopped after each chunk in turn, in a stream, a file and a document.
#[test]
fn a_run_stops_between_chunks_and_says_how_to_go_on() {
    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    for format in LINES {
        let asked = [LESSON, "--pairs", "--format", format, "--threads", "1"];
        let whole = printed(&asked);
        let (status, some, said) = within(&asked, 3);
        assert_eq!(status, 2);
        assert!(said.contains("stopped after 48 of 265 scenarios"), "{said}");
        assert!(said.contains("--output FILE"), "{said}");
        assert!(some.ends_with('\n') && whole.starts_with(&some) && some != whole);
        let to_file = [&asked[..], &["--resume", "--output", &out]].concat();
        let mut runs = 0;
        loop {
            let (status, printed, said) = within(&to_file, 4);
            assert_eq!(printed, "");
            if status == 0 {
                break;
            }
            runs += 1;
            assert!(said.contains("`--resume` goes on after them"), "{said}");
            let left = fs::read_to_string(&partial).unwrap();
            assert!(left.ends_with('\n') && whole.starts_with(&left));
        }
        assert_eq!(runs, 265 / (4 * 16), "{format}");
        assert_eq!(fs::read_to_string(&out).unwrap(), whole);
        fs::remove_file(&out).unwrap();
    }
    for format in ["text", "markdown", "json"] {
        let (status, printed, said) = within(&[LESSON, "--format", format, "--threads", "1"], 1);
        assert_eq!((status, &*printed), (2, ""));
        assert!(said.contains("stopped after 16 of 25 scenarios"), "{said}");
    }
}

#[test]
fn what_another_run_has_left_is_not_gone_on_with() {
    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    for format in LINES {
        let left = printed(&[LESSON, "--format", format]);
        let lines = left.split_inclusive('\n');
        let some: String = lines.take(left.lines().count() / 2).collect();
        for other in [
            &[LESSON, "--state", "lift"][..],
            &[LESSON, "--pairs"],
            &[LESSON, "--kind", "ball"],
            &[LESSON, "--part", "2/3"],
            &[TRANSFER_BOX],
        ] {
            fs::write(&partial, &some).unwrap();
            run(other)
                .args(["--format", format, "--resume", "--output", &out])
                .assert()
                .code(2)
                .stderr(contains("is of another circuit"));
            assert_eq!(
                fs::read_to_string(&partial).unwrap(),
                some,
                "{format} {other:?}"
            );
            assert!(!Path::new(&out).exists());
        }
    }
}

#[test]
fn nothing_is_replaced_unless_forced() {
    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    let asked = [LESSON, "--of", "fill", "--format", "csv", "--output", &out];
    fs::write(&out, "mine").unwrap();
    run(&asked).assert().code(2).stderr(contains("--force"));
    assert_eq!(fs::read_to_string(&out).unwrap(), "mine");
    run(&asked).arg("--force").assert().code(0);
    assert_eq!(fs::read_to_string(&out).unwrap(), printed(&asked[..5]));
    fs::remove_file(&out).unwrap();
    fs::write(&partial, "half").unwrap();
    run(&asked).assert().code(2).stderr(contains("--resume"));
    assert_eq!(fs::read_to_string(&partial).unwrap(), "half");
    run(&asked).arg("--force").assert().code(0);
    assert_eq!(fs::read_to_string(&out).unwrap(), printed(&asked[..5]));
}

/// Stopped by a signal it ends with 2, says how to go on, and leaves whole lines; what it left
/// becomes the whole.
#[cfg(unix)]
#[test]
fn a_run_that_is_interrupted_can_be_resumed() {
    use std::process::{Command as Process, Stdio};
    use std::thread::sleep;
    use std::time::Duration;

    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    // Pairs enough for minutes: it is stopped long before its end.
    let asked = [
        "sweep",
        TRACTOR,
        "--pairs",
        "--format",
        "json-lines",
        "--output",
        &out,
    ];
    let program = assert_cmd::cargo::cargo_bin("oilpath");
    let child = Process::new(program)
        .args(asked)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let has_lines = || fs::metadata(&partial).is_ok_and(|m| m.len() > 0);
    while !has_lines() {
        sleep(Duration::from_millis(20));
    }
    let pid = child.id().to_string();
    assert!(
        Process::new("kill")
            .args(["-INT", &pid])
            .status()
            .unwrap()
            .success()
    );
    let ended = child.wait_with_output().unwrap();
    let said = String::from_utf8(ended.stderr).unwrap();
    assert_eq!(ended.status.code(), Some(2), "{said}");
    assert!(
        said.contains("stopped after ") && said.contains("`--resume`"),
        "{said}"
    );
    assert!(!Path::new(&out).exists());
    let left = fs::read_to_string(&partial).unwrap();
    assert!(left.ends_with('\n'));
    for (number, line) in left.lines().enumerate() {
        let line: Value = serde_json::from_str(line).unwrap();
        assert_eq!(line["number"], number);
    }
}
