//! Writing a circuit file: begun, made of a list, set right, looked over.

mod checklist;
mod import;
mod tidy;

use std::fs;

use assert_cmd::Command;
use oilpath::net::Net;
use oilpath::{lint, sheet};
use predicates::str::contains;

fn oilpath() -> Command {
    let mut command = Command::cargo_bin("oilpath").unwrap();
    command.env_remove("CLICOLOR_FORCE");
    command
}

#[test]
fn what_a_file_begins_as_can_be_used_at_once() {
    let circuit = sheet::read(sheet::SMALL).unwrap().circuit;
    assert_eq!(lint::lint(&Net::new(&circuit).unwrap()), []);
    assert!(sheet::read(sheet::BLANK).is_ok());
}

/// Whoever takes every example of the blank file out of its comment has a circuit.
#[test]
fn the_examples_of_the_blank_file_are_right() {
    let examples = sheet::BLANK.lines().filter_map(|line| {
        let example = line.strip_prefix("# ")?;
        let is_toml = example.starts_with('[') || example.contains(" = ");
        is_toml.then_some(example)
    });
    let text: Vec<&str> = examples.collect();
    let text = text
        .join("\n")
        .replace("\"pilot\"] }", "\"pilot\", \"drum\"] }");
    let circuit = sheet::read(&text)
        .unwrap_or_else(|e| panic!("{e}\n{text}"))
        .circuit;
    assert!(circuit.parts().count() > 10);
}

#[test]
fn a_file_is_begun_and_none_is_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("box.toml");
    oilpath().arg("new").arg(&path).assert().code(0);
    assert_eq!(fs::read_to_string(&path).unwrap(), sheet::SMALL);
    oilpath().arg("check").arg(&path).assert().code(0);
    fs::write(&path, "mine").unwrap();
    for arguments in [["new", "--blank"], ["new", "--force"]] {
        let run = oilpath().args(arguments).arg(&path).assert();
        run.code(2).stderr(contains("`new` replaces nothing"));
        assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
    }
    let nowhere = folder.path().join("no").join("box.toml");
    oilpath().arg("new").arg(&nowhere).assert().code(2);
    oilpath()
        .args(["new", "-"])
        .assert()
        .code(0)
        .stdout(sheet::SMALL);
}
