//! The gallery of broken sheets: what the bench user reads about each.
//!
//! Every file under `tests/broken/` holds one idea and has one snapshot. To add one, write the
//! file, run `cargo insta test --accept --test broken`, and read the snapshot as its user would.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use oilpath::report::diagnostic::{self, Look};
use oilpath::sheet::{self, Refusal};
use proptest::prelude::*;

/// Codes that no file here can show: too large to keep, too many files, no file at all, or of a case
/// and not of a circuit. Each has its own test in `tests/sheet` or `tests/suspects`.
const ELSEWHERE: [&str; 4] = ["too-large", "include-depth", "include-here", "bad-sighting"];

fn gallery() -> Vec<PathBuf> {
    let files = fs::read_dir("tests/broken").unwrap();
    let mut files: Vec<PathBuf> = files.map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|e| e == "toml"));
    files.sort();
    files
}

fn stem(path: &Path) -> String {
    path.file_stem().unwrap().to_string_lossy().into_owned()
}

fn drawn(refusal: &Refusal, colour: bool) -> String {
    let look = Look { colour, width: 100 };
    let mut out = Vec::new();
    diagnostic::write(&refusal.diagnostics, &refusal.sources, look, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn each_broken_sheet_is_explained() {
    let files = gallery();
    assert!(files.len() >= 80, "only {} broken sheets", files.len());
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots/broken");
    settings.bind(|| {
        for file in &files {
            let refusal = sheet::open(file).expect_err(&stem(file));
            insta::assert_snapshot!(stem(file), drawn(&refusal, false));
        }
    });
}

#[test]
fn every_snapshot_has_its_broken_sheet() {
    let names: BTreeSet<String> = gallery().iter().map(|file| stem(file)).collect();
    for entry in fs::read_dir("tests/snapshots/broken").unwrap() {
        let name = stem(&entry.unwrap().path());
        assert!(names.contains(&name), "no tests/broken/{name}.toml");
    }
}

#[test]
fn every_code_has_a_broken_sheet_of_its_name() {
    let mut shown = BTreeSet::new();
    for file in gallery() {
        let name = stem(&file);
        for diagnostic in sheet::open(&file).unwrap_err().diagnostics {
            if name.starts_with(diagnostic.code) {
                shown.insert(diagnostic.code);
            }
        }
    }
    let all: BTreeSet<&str> = sheet::codes().filter(|c| !ELSEWHERE.contains(c)).collect();
    assert_eq!(shown, all);
}

#[test]
fn colour_only_adds_to_the_plain_drawing() {
    let refusal = sheet::open("tests/broken/unknown-id.toml").unwrap_err();
    assert!(drawn(&refusal, true).contains("\u{1b}["));
    assert!(!drawn(&refusal, false).contains("\u{1b}["));
}

proptest! {
    #[test]
    fn any_refusal_can_be_drawn(text in "([a-z=\\[\\]{}\"',. \r\n\t]|é|\u{200b}|[0-9]){0,120}") {
        if let Err(refusal) = sheet::read(&text) {
            prop_assert!(!drawn(&refusal, false).is_empty());
        }
    }
}
