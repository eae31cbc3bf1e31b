//! The gallery of slips: what the bench user reads of a circuit that is legal and looks wrong.
//!
//! Every file under `tests/slips/` has warnings of one code, the one it is named after, and one
//! snapshot. To add one, write the file, run `cargo insta test --accept --test slips`, and read
//! the snapshot as its user would.

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

use oilpath::lint::{self, Doubt};
use oilpath::net::Net;
use oilpath::report::diagnostic::{self, Look};
use oilpath::{report, sheet};

fn gallery() -> Vec<(String, PathBuf)> {
    let files = fs::read_dir("tests/slips").unwrap();
    let files = files.map(|entry| entry.unwrap().path());
    let mut files: Vec<_> = files
        .map(|path| {
            (
                path.file_stem().unwrap().to_string_lossy().into_owned(),
                path,
            )
        })
        .collect();
    files.sort();
    files
}

#[test]
fn each_slip_is_explained() {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots/slips");
    settings.bind(|| {
        for (name, path) in gallery() {
            let sheet = sheet::open(&path).unwrap_or_else(|refusal| panic!("{refusal}"));
            let net = Net::new(&sheet.circuit).unwrap();
            let warnings = report::located(&sheet, &lint::lint(&net));
            let look = Look {
                colour: false,
                width: 100,
            };
            let mut drawn = Vec::new();
            diagnostic::write(&warnings, sheet.sources(), look, &mut drawn).unwrap();
            insta::assert_snapshot!(&*name, String::from_utf8(drawn).unwrap());
            let codes: BTreeSet<&str> = warnings.iter().map(|w| w.code).collect();
            assert_eq!(codes, BTreeSet::from([&*name]));
        }
    });
}

#[test]
fn every_code_has_a_slip_and_every_snapshot_its_file() {
    let names: BTreeSet<String> = gallery().into_iter().map(|(name, _)| name).collect();
    assert_eq!(names, Doubt::CODES.map(str::to_owned).into());
    for entry in fs::read_dir("tests/snapshots/slips").unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        assert!(names.contains(&name), "no tests/slips/{name}.toml");
    }
}
