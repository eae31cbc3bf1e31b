//! Lists of ways.

use oilpath::circuit::{Kind, OutletKind};
use oilpath::report::diagnostic::{self, Look};
use oilpath::sheet;
use predicates::prelude::*;
use predicates::str::{contains, starts_with};
use proptest::prelude::*;

use super::oilpath;

#[test]
fn a_list_becomes_the_circuit_it_lists() {
    let text = std::fs::read_to_string("circuits/ways.csv").unwrap();
    let circuit = sheet::import("ways.csv", &text).unwrap();
    assert_eq!(circuit.passages["far-drilling"].casting, "case");
    let label = circuit.passages["far-drilling"].text.label.as_deref();
    assert_eq!(label, Some("Far drilling"));
    let hop = &circuit.orifices["hop"];
    assert_eq!(
        (&hop.between[0], &hop.between[1]),
        (&"line-pressure".into(), &"hollow".into())
    );
    assert_eq!(hop.under.as_deref(), Some("hop-cover"));
    assert!(hop.bore.is_some());
    assert_eq!(
        circuit.ports["hollow-far-drilling"].through,
        ["block-gasket"]
    );
    assert_eq!(circuit.outlets["far-bearing"].kind, OutletKind::Bearing);
    assert_eq!(circuit.sources["pump"].draws, None);
    let count = |kind| circuit.ids(kind).count();
    assert_eq!(
        (count(Kind::Ball), count(Kind::Relief), count(Kind::Tap)),
        (1, 1, 1)
    );
    // And what is written of it reads back to the same.
    assert_eq!(
        sheet::read(&sheet::write(&circuit)).unwrap().circuit,
        circuit
    );
}

#[test]
fn a_spreadsheet_may_save_it_its_own_way() {
    let commas = "from,to,kind,label\r\nline,lube,port,\"wide, open\"\r\n\r\n";
    let semicolons = "\u{FEFF}From;To;Kind;Label\nline;lube;Port;\"wide, open\"\n";
    let tabs = "from\tto\tkind\tlabel\n line \tlube\tport\twide, open\n";
    let first = sheet::import("a", commas).unwrap();
    assert_eq!(
        first.ports["line-lube"].text.label.as_deref(),
        Some("wide, open")
    );
    for other in [semicolons, tabs] {
        assert_eq!(sheet::import("a", other).unwrap(), first);
    }
}

#[test]
fn two_ways_between_the_same_cavities_have_two_names() {
    let text = "from,to,kind\nline,lube,port\nline,lube,port\nline,lube,orifice\n";
    let circuit = sheet::import("a", text).unwrap();
    let ports: Vec<&String> = circuit.ports.keys().collect();
    assert_eq!(ports, ["line-lube", "line-lube-2"]);
    assert!(circuit.orifices.contains_key("line-lube"));
}

/// Every error of a list at once, each at its cell.
#[test]
fn a_broken_list_is_explained() {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("../snapshots/lists");
    let lists = [
        ("empty", ""),
        (
            "columns",
            "form,to,kind,kind,colour\nline,lube,port,port,red\n",
        ),
        (
            "cells",
            "from,to,kind,bore,needs,plate,from-casting\n\
             line,lube,orifice,1.2,,,block\n\
             line,lube,orifise,1.2 mm,,,\n\
             line,,port,,,,case\n\
             line,lube,valve,,,,\n\
             lube,bearing,bearing,,2 bar,,\n\
             ,,,5 mm,,,\n\
             line,\"far, \"\"end\"\"\",port,3 furlongs,,separator,\n\
             line,line,clearance,1 mm,,,\n",
        ),
    ];
    settings.bind(|| {
        for (name, text) in lists {
            let refusal = sheet::import("ways.csv", text).expect_err(name);
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

#[test]
fn the_command_writes_a_file_and_says_where_a_list_is_wrong() {
    let folder = tempfile::tempdir().unwrap();
    let made = folder.path().join("box.toml");
    let mut run = oilpath();
    run.args(["import", "circuits/ways.csv", "--output"])
        .arg(&made);
    run.assert().code(0).stdout("");
    oilpath()
        .arg("trace")
        .arg(&made)
        .arg("far-bearing")
        .assert()
        .code(0);
    oilpath()
        .args(["import", "-"])
        .write_stdin("from,to,kind\nline,lube,prot\n")
        .assert()
        .code(2)
        .stderr(contains("standard-input:2:11").and(contains("did you mean `port`?")));
    oilpath()
        .args(["import", "no-such-list.csv"])
        .assert()
        .code(2)
        .stderr(starts_with("error: cannot read"));
    oilpath()
        .args(["import", "-"])
        .write_stdin(b"\xff\xfe".to_vec())
        .assert()
        .code(2);
}

proptest! {
    /// Whatever the bytes, a list is read or refused, and every error stands within it.
    #[test]
    fn no_list_is_too_strange(text in "(from,to,kind,bore\n)?([a-z ,;\"\n\t\r]|port|line|1 mm|é){0,60}") {
        if let Err(refusal) = sheet::import("ways.csv", &text) {
            let length = refusal.sources[0].text.len();
            for diagnostic in &refusal.diagnostics {
                for label in &diagnostic.labels {
                    prop_assert!(label.at.end <= length, "{refusal}");
                }
            }
            prop_assert!(!refusal.diagnostics.is_empty());
        }
    }
}
