//! The commands as processes.

use std::fs;

use assert_cmd::Command;
use predicates::prelude::*;
use predicates::str::{contains, is_empty};
use serde_json::Value;

const BOX: &str = "circuits/transfer-box.toml";
const CASE: &str = "circuits/cases/transfer-box.toml";

fn run(arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("oilpath").unwrap();
    command.args(arguments);
    command
}

#[test]
fn it_answers_with_zero_whatever_it_finds() {
    run(&[
        "suspects",
        BOX,
        "--saw",
        "low: none",
        "--saw",
        "two-wheel: fine",
    ])
    .assert()
    .code(0)
    .stdout(contains("range:stuck=high").and(contains("What was tried")))
    .stderr(is_empty());
    run(&["suspects", BOX, "--saw", "low: fine"])
        .assert()
        .code(0)
        .stdout(contains("nothing points to a fault"));
    run(&["next", BOX, "--case", CASE])
        .assert()
        .code(0)
        .stderr(is_empty());
}

#[test]
fn what_makes_no_sense_is_told_all_at_once() {
    run(&["suspects", BOX, "--saw", "lo: none", "--saw", "low: flair"])
        .args(["--likelihood", "fill:plugged=0.1", "--effort", "pan=2"])
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(
            contains("there is no state `lo`")
                .and(contains("did you mean `flare`?"))
                .and(contains("fill"))
                .and(contains("did you mean `pan-off`?")),
        );
    run(&["suspects", BOX])
        .assert()
        .code(2)
        .stderr(contains("nothing was seen"));
    run(&["next", BOX, "--case", "no-such-case.toml"])
        .assert()
        .code(2)
        .stderr(contains("there is no such file"));
}

#[test]
fn a_broken_case_is_drawn_and_called_a_case() {
    run(&["suspects", BOX, "--case", "tests/cases/slips.toml"])
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(
            contains("tests/cases/slips.toml:4:")
                .and(contains("error[bad-sighting]"))
                .and(contains("the case cannot be used")),
        );
}

#[test]
fn json_holds_what_the_text_tells() {
    for command in ["suspects", "next"] {
        let mut json = run(&[command, BOX, "--case", CASE, "--format", "json"]);
        let output = json.assert().code(0).get_output().stdout.clone();
        let answer: Value = serde_json::from_slice(&output).unwrap();
        assert_eq!(answer["answer"], command);
        assert_eq!(answer["seen"].as_array().unwrap().len(), 6);
    }
}

#[test]
fn the_same_question_gets_the_same_bytes() {
    let ask = || {
        let mut command = run(&[
            "suspects",
            BOX,
            "--saw",
            "low: none",
            "--format",
            "markdown",
        ]);
        command.assert().code(0).get_output().stdout.clone()
    };
    assert_eq!(ask(), ask());
}

#[test]
fn html_goes_to_a_file_and_escapes_the_case() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("case.toml");
    fs::write(&path, "title = '<b>'\nsaw = ['low: none']\n").unwrap();
    let out = folder.path().join("out.html");
    run(&["suspects", BOX, "--format", "html", "--case"])
        .arg(&path)
        .arg("--output")
        .arg(&out)
        .assert()
        .code(0);
    let html = fs::read_to_string(&out).unwrap();
    assert!(html.contains("low: none") && !html.contains("<b>"));
}
