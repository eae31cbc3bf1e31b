//! Case files, sound and broken.

use std::fs;

use oilpath::answer::Likelihoods;
use oilpath::circuit::{Case, Circuit};
use oilpath::report::diagnostic::{self, Look};
use oilpath::sheet::{self, CaseList, Refusal};
use oilpath::suspect::Efforts;
use proptest::prelude::*;

use super::support::open;

fn read(circuit: &Circuit, text: &str) -> Result<Case, Refusal> {
    let check = |list: CaseList, text: &str| match list {
        CaseList::Likelihoods => {
            let given = Likelihoods::default().give(circuit, text);
            given.map_err(|e| [e.to_string(), e.remedy()])
        }
        CaseList::Efforts => {
            let given = Efforts::default().give(text);
            given.map_err(|e| [e.what, e.remedy])
        }
    };
    sheet::read_case(text, circuit, &check)
}

#[test]
fn the_case_that_comes_with_the_program_is_read() {
    let circuit = open("circuits/transfer-box.toml");
    let text = fs::read_to_string("circuits/cases/transfer-box.toml").unwrap();
    let case = read(&circuit, &text).unwrap();
    assert_eq!(
        case.story.title.as_deref(),
        Some("No drive in low, high is fine")
    );
    assert_eq!(case.saw.len(), 6);
    assert_eq!((case.likelihoods.len(), case.efforts.len()), (1, 1));
}

#[test]
fn the_case_of_the_guide_is_read() {
    let guide = include_str!("../../circuits/README.md");
    let text = guide.split("## A case").nth(1).unwrap();
    let text = text.split("```toml\n").nth(1).unwrap();
    let circuit = open("circuits/transfer-box.toml");
    let case = read(&circuit, text.split("```").next().unwrap()).unwrap();
    assert_eq!((case.found.len(), case.story.checks.len()), (1, 1));
}

/// Every broken case under `tests/cases`, as its author sees it.
#[test]
fn each_broken_case_is_explained() {
    let circuit = open("circuits/transfer-box.toml");
    let mut files: Vec<_> = fs::read_dir("tests/cases")
        .unwrap()
        .map(|f| f.unwrap().path())
        .collect();
    files.sort();
    assert!(files.len() >= 5);
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("../snapshots/cases");
    settings.bind(|| {
        for file in files {
            let name = file.file_stem().unwrap().to_string_lossy().into_owned();
            let refusal = read(&circuit, &fs::read_to_string(&file).unwrap()).expect_err(&name);
            let look = Look {
                colour: false,
                width: 100,
            };
            let mut out = Vec::new();
            diagnostic::write(&refusal.diagnostics, &refusal.sources, look, &mut out).unwrap();
            insta::assert_snapshot!(name, String::from_utf8(out).unwrap());
        }
    });
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn any_case_is_read_or_refused(text in "([a-z=\\[\\]\"', :\n]|saw = |low: none|é){0,60}") {
        let circuit = open("circuits/transfer-box.toml");
        if let Err(refusal) = read(&circuit, &text) {
            prop_assert!(!refusal.diagnostics.is_empty());
        }
    }
}
