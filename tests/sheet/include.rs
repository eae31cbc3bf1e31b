//! Files that include others, in memory.

use std::collections::BTreeMap;
use std::io;
use std::path::Path;

use oilpath::circuit::Kind;
use oilpath::sheet::{self, DEEPEST_INCLUDE, LARGEST_FILE, Refusal, Sheet};

fn open(first: &str, files: &[(&str, &str)]) -> Result<Sheet, Refusal> {
    let files: BTreeMap<&str, &str> = files.iter().copied().collect();
    sheet::open_with(first, &mut |path: &Path| {
        let text = path.to_str().and_then(|path| files.get(path));
        text.map(|text| text.as_bytes().to_vec())
            .ok_or_else(|| io::ErrorKind::NotFound.into())
    })
}

#[test]
fn each_file_is_read_once_and_paths_start_at_the_including_file() {
    let sheet = open(
        "box/main.toml",
        &[
            (
                "box/main.toml",
                "title = 'whole'\ninclude = ['parts/a.toml', './parts/b.toml']\n",
            ),
            (
                "box/parts/a.toml",
                "title = 'a'\ninclude = ['../../shared.toml']\n",
            ),
            (
                "box/parts/b.toml",
                "include = ['../../shared.toml']\n[tap]\nt = { at = 'line' }\n",
            ),
            (
                "shared.toml",
                "lever = ['P', 'D']\n[casting]\nc = { passages = ['line'] }\n",
            ),
        ],
    )
    .unwrap();
    let names: Vec<&str> = sheet.sources().iter().map(|s| s.name.as_str()).collect();
    let expected = [
        "box/main.toml",
        "box/parts/a.toml",
        "shared.toml",
        "box/parts/b.toml",
    ];
    assert_eq!(names, expected);
    assert_eq!(sheet.circuit.title.as_deref(), Some("whole"));
    assert_eq!(sheet.circuit.lever, ["P", "D"]);
    assert!(sheet.circuit.get(Kind::Tap, "t").is_some());
}

#[test]
fn errors_name_the_included_file_and_the_others_are_still_read() {
    let refusal = open(
        "main.toml",
        &[
            (
                "main.toml",
                "include = ['a.toml', 'gone.toml']\n[tap]\nt = { at = 'lime' }\n",
            ),
            (
                "a.toml",
                "[casting]\nc = { passages = ['line'], colour = 'red' }\n",
            ),
        ],
    )
    .unwrap_err();
    assert_eq!(
        refusal.to_string(),
        "main.toml:1:22: error[unreadable]: cannot read `gone.toml`: there is no such file; \
         paths are taken from the folder of the including file\n\
         main.toml:3:12: error[unknown-id]: there is no cavity `lime`; did you mean `line`?\n\
         a.toml:2:28: error[unknown-key]: casting `c` has no key `colour`; \
         it takes `passages`, `label` and `note`"
    );
}

#[test]
fn a_cycle_is_shown_whole() {
    let refusal = open(
        "a.toml",
        &[
            ("a.toml", "include = ['b.toml']\n"),
            ("b.toml", "include = ['c.toml']\n"),
            ("c.toml", "include = ['./b.toml']\n"),
        ],
    )
    .unwrap_err();
    let [cycle] = &refusal.diagnostics[..] else {
        panic!("{refusal}");
    };
    assert_eq!(cycle.code, "include-cycle");
    let files: Vec<&str> = cycle
        .labels
        .iter()
        .map(|label| refusal.sources[label.at.file].name.as_str())
        .collect();
    assert_eq!(files, ["c.toml", "b.toml"]);
}

#[test]
fn the_same_id_in_two_files_shows_both() {
    let refusal = open(
        "a.toml",
        &[
            (
                "a.toml",
                "include = ['b.toml']\n[casting]\nc = { passages = ['line'] }\n",
            ),
            (
                "b.toml",
                "[casting]\nd = { passages = ['line'] }\n[casting.c]\npassages = []\n",
            ),
        ],
    )
    .unwrap_err();
    assert_eq!(refusal.diagnostics.len(), 2, "{refusal}");
    for diagnostic in &refusal.diagnostics {
        assert_eq!(diagnostic.code, "duplicate-id");
        let files: Vec<usize> = diagnostic.labels.iter().map(|l| l.at.file).collect();
        assert_eq!(files, [1, 0]);
    }
}

#[test]
fn includes_have_a_deepest_level() {
    let refusal = sheet::open_with("0", &mut |path: &Path| {
        let level: usize = path.to_str().unwrap().parse().unwrap();
        Ok(format!("include = ['{}']\n", level + 1).into_bytes())
    })
    .unwrap_err();
    assert_eq!(refusal.diagnostics[0].code, "include-depth");
    assert_eq!(refusal.diagnostics.len(), 1);
    assert_eq!(refusal.sources.len(), DEEPEST_INCLUDE + 1);
}

#[test]
fn a_text_alone_includes_nothing() {
    let refusal = sheet::read("include = ['a.toml']\n").unwrap_err();
    assert_eq!(refusal.diagnostics[0].code, "include-here");
}

#[test]
fn a_file_has_a_largest_size() {
    let refusal =
        sheet::open_with("a.toml", &mut |_| Ok(vec![b'\n'; LARGEST_FILE + 1])).unwrap_err();
    assert_eq!(refusal.diagnostics[0].code, "too-large");
}

#[test]
fn so_have_all_files_together() {
    let mut files = |path: &std::path::Path| {
        let mut text = match path.to_str() {
            Some("a.toml") => b"include = ['b.toml', 'c.toml']\n".to_vec(),
            _ => Vec::new(),
        };
        text.resize(LARGEST_FILE / 3 + 1, b'\n');
        Ok(text)
    };
    let refusal = sheet::open_with("a.toml", &mut files).unwrap_err();
    assert_eq!(refusal.diagnostics.len(), 1);
    let large = &refusal.diagnostics[0];
    assert_eq!(large.code, "too-large");
    assert!(
        large
            .message
            .starts_with("`c.toml` and the files read before it"),
        "{large:?}"
    );
}

#[test]
fn what_cannot_be_opened_is_a_diagnostic_too() {
    for path in ["tests/no-such-file.toml", "tests", ""] {
        let refusal = sheet::open(path).unwrap_err();
        assert_eq!(refusal.diagnostics[0].code, "unreadable", "{path}");
    }
}
