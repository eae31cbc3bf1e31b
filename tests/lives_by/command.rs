//! The command as a process.

use assert_cmd::Command;
use predicates::prelude::*;
use predicates::str::{contains, is_empty};
use serde_json::Value;

const LESSON: &str = "circuits/lessons/check-ball.toml";

fn run(arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("oilpath").unwrap();
    command.arg("lives-by").args(arguments);
    command
}

#[test]
fn it_answers_with_zero_whatever_it_finds() {
    run(&[LESSON, "lift-clutch"])
        .assert()
        .code(0)
        .stdout(contains("lives by 6 parts alone").and(contains("lever-valve")))
        .stderr(is_empty());
    run(&[LESSON, "lift-clutch", "--state", "free"])
        .assert()
        .code(0)
        .stdout(contains(
            "has no oil in the sound circuit in free, so it lives by",
        ));
}

#[test]
fn the_limit_is_printed_with_where_it_stopped() {
    run(&[LESSON, "lift-clutch", "--most", "60"])
        .assert()
        .code(0)
        .stdout(
            contains("as far as was tried")
                .and(contains("not all:"))
                .and(contains("--most"))
                .and(contains("Stopped before")),
        );
}

#[test]
fn what_makes_no_sense_is_answered_at_once() {
    run(&[LESSON, "lift-cluch", "--state", "lit", "--of", "fil"])
        .args([
            "--likelihood",
            "fill:pluged=0.1",
            "--likelihood",
            "fill:plugged=2",
        ])
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(
            contains("did you mean `lift-clutch`")
                .and(contains("did you mean `lift`?"))
                .and(contains("`fill`"))
                .and(contains("`fill:plugged`"))
                .and(contains("from 0 to 1")),
        );
    for refused in [
        ["--up-to", "4"],
        ["--up-to", "0"],
        ["--most", "0"],
        ["--kind", "lever"],
    ] {
        run(&[LESSON, "lift-clutch"]).args(refused).assert().code(2);
    }
    run(&[LESSON, "lift-clutch", "--kind", "casting"])
        .assert()
        .code(2)
        .stderr(contains("no fault"));
    run(&["circuits/tractor-powershift.toml", "suction-screen"])
        .assert()
        .code(2)
        .stderr(contains("a pump draws through").and(contains("suction-screen:blocked")));
}

#[test]
fn json_has_the_sets_and_the_likelihoods_that_were_given() {
    let given = [
        "--likelihood",
        "fill:plugged=0.25",
        "--format",
        "json",
        "--of",
        "fill",
    ];
    let out = run(&[LESSON, "lift-clutch"]).args(given).output().unwrap();
    let answer: Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(
        (&answer["answer"], &answer["version"]),
        (&"lives-by".into(), &1.into())
    );
    let state = &answer["states"][0];
    assert_eq!(state["cut_sets"][0]["faults"][0][0], "fill:plugged");
    assert_eq!(state["chance"], 0.25);
    assert_eq!(state["method"], "exact");
    assert_eq!(state["importance"][0]["birnbaum"], 1.0);
    assert_eq!(state["importance"][0]["assumption"], false);
}
