//! What is written, in each format.

use assert_cmd::Command;
use oilpath::answer::Scenarios;
use oilpath::circuit::Kind;
use oilpath::report::{self, SCHEMAS};
use predicates::prelude::*;
use predicates::str::contains;
use serde_json::Value;

use super::{LESSON, LINES, TRACTOR, TRANSFER_BOX, circuit, printed, run};

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
            row.iter().skip(4).take(7).all(str::is_empty)
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
        "is read for this answer",
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
    settings.set_snapshot_path("../snapshots/sweep");
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
