//! What the README shows is what the program says.
#![cfg(feature = "cli")]

use assert_cmd::Command;

#[test]
fn every_run_shown_in_the_readme_is_real() {
    let readme = include_str!("../README.md");
    let mut shown = 0;
    for block in readme.split("```console\n").skip(1) {
        let block = block.split("```").next().unwrap();
        let (line, output) = block.split_once('\n').unwrap();
        let args = line.strip_prefix("$ oilpath ").unwrap().split(' ');
        let run = Command::cargo_bin("oilpath")
            .unwrap()
            .args(args)
            .output()
            .unwrap();
        assert_eq!(String::from_utf8(run.stdout).unwrap(), output, "{line}");
        shown += 1;
    }
    assert!(shown >= 2);
}

#[test]
fn the_commands_it_opens_with_are_the_ones_ci_runs() {
    let readme = include_str!("../README.md");
    let mut commands = readme
        .split("```sh\n")
        .skip(1)
        .map(|b| b.lines().next().unwrap());
    let run = commands.next().unwrap();
    assert!(run.starts_with("cargo run --release -- "));
    let test = commands.next().unwrap();
    assert!(include_str!("../.ci/run").lines().any(|line| line == test));
}

#[test]
fn its_drawing_is_the_one_the_program_makes() {
    let asked = "draw circuits/tractor-powershift.toml --trace pto-bearing \
                 --fault hop-cover:loose --state neutral";
    let mut command = assert_cmd::Command::cargo_bin("oilpath").unwrap();
    let out = command.args(asked.split_whitespace()).output().unwrap();
    let kept = std::fs::read("circuits/drawings/loose-cover.svg").unwrap();
    assert!(out.stdout == kept, "make it anew: oilpath {asked}");
}

#[test]
fn the_circuit_it_shows_reads_and_the_cover_matters() {
    let readme = include_str!("../README.md");
    let text = readme.split("```toml\n[casting]").nth(1).unwrap();
    let text = format!("[casting]{}", text.split("```").next().unwrap());
    let circuit = oilpath::sheet::read(&text).unwrap().circuit;
    let net = oilpath::net::Net::new(&circuit).unwrap();
    let loose = circuit.fault("small-cover:loose").unwrap();
    let answer = oilpath::answer::starve(&net, &[loose], None);
    assert_eq!(
        answer.with("", oilpath::answer::Verdict::Starved),
        ["far-bearing"]
    );
}

/// The ten-part circuit of circuits/README.md: every step reads, and the whole answers.
#[test]
fn the_circuit_built_line_by_line_reads_at_every_step() {
    let guide = include_str!("../circuits/README.md");
    let guide = guide.split("## A first circuit").nth(1).unwrap();
    let steps = guide.split("### ").skip(1);
    let mut text = String::new();
    let mut count = 0;
    for step in steps.take_while(|step| step.starts_with("Step")) {
        for block in step.split("```toml\n").skip(1) {
            text += block.split("```").next().unwrap();
            text.push('\n');
            if let Err(refusal) = oilpath::sheet::read(&text) {
                panic!("{refusal}\n{text}");
            }
            count += 1;
        }
    }
    assert!(count >= 8, "{count}");
    let circuit = oilpath::sheet::read(&text).unwrap().circuit;
    let net = oilpath::net::Net::new(&circuit).unwrap();
    assert_eq!(oilpath::lint::lint(&net), []);
}
