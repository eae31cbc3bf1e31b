//! The commands as processes.

use std::fs;

use assert_cmd::Command;
use predicates::prelude::*;
use predicates::str::{contains, is_empty};
use pulldown_cmark::{Event, Options, Parser, Tag};
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
fn json_of_a_record_holds_the_story() {
    let mut json = run(&["case", BOX, CASE, "--format", "json"]);
    let output = json.assert().code(0).get_output().stdout.clone();
    let answer: Value = serde_json::from_slice(&output).unwrap();
    assert_eq!(answer["answer"], "case");
    assert_eq!(
        answer["found"]["faults"],
        serde_json::json!(["front:stuck=rear"])
    );
    assert_eq!(
        answer["found"]["held"],
        serde_json::json!(vec!["foretold"; 6])
    );
    assert_eq!(answer["checks"].as_array().unwrap().len(), 4);
    assert!(answer["checks"][3]["came_to"].is_null());
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

#[test]
fn a_record_says_whether_what_was_found_is_what_was_seen() {
    run(&["case", BOX, CASE])
        .assert()
        .code(0)
        .stdout(contains("explains everything"))
        .stderr(is_empty());
    run(&["case", BOX, "tests/stories/contradicted.toml"])
        .assert()
        .code(1)
        .stdout(
            contains("This contradicts two-wheel: line-tap none")
                .and(contains("unlikely to see four-wheel: front-tap normal")),
        )
        .stderr(is_empty());
    run(&["case", BOX, "tests/stories/open.toml"])
        .assert()
        .code(0)
        .stdout(contains("Nothing is found yet"));
    run(&["case", BOX, "tests/cases/story.toml"])
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(
            contains("did you mean `renewed`?")
                .and(contains("did you mean `front:stuck=rear`?"))
                .and(contains("9 errors: the case cannot be used")),
        );
    run(&["case", BOX]).assert().code(2).stdout(is_empty());
}

/// The texts of a case are told as typed, whatever they look like, in every format.
#[test]
fn no_text_of_a_case_is_markup_or_a_command() {
    const STORY: &str = "tests/stories/hostile.toml";
    let record = |format: &str| {
        let mut command = run(&["case", BOX, STORY, "--format", format]);
        let told = command.assert().code(0).get_output().stdout.clone();
        String::from_utf8(told).unwrap()
    };
    let commands = |c: char| (c.is_control() && c != '\n') || c == '\u{202e}';
    for format in ["text", "markdown", "json"] {
        let told = record(format);
        assert!(!told.contains(commands), "{format}: {told:?}");
    }
    let options = Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH;
    let markdown = record("markdown");
    let mut said = String::new();
    for event in Parser::new_ext(&markdown, options) {
        match event {
            Event::Html(_) | Event::InlineHtml(_) | Event::Rule => panic!("{event:?}"),
            Event::Start(
                Tag::Link { .. }
                | Tag::Image { .. }
                | Tag::Emphasis
                | Tag::Strikethrough
                | Tag::CodeBlock(_),
            ) => panic!("{event:?}"),
            Event::Text(text) | Event::Code(text) => said += &text,
            _ => {}
        }
    }
    assert!(said.contains("<script>alert(1)</script> | cell"), "{said}");
    let html = record("html");
    assert!(html.contains("&lt;script&gt;alert(1)&lt;/script&gt; | cell"));
    for tag in [
        "<script>alert",
        "<img",
        "<iframe",
        "<svg onload",
        "<b>",
        "<style>*",
    ] {
        assert!(!html.contains(tag), "{tag}");
    }
    // The only drawing is that of what was found, in the state complained of.
    assert_eq!(html.matches("<svg").count(), 1);
}
