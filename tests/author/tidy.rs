//! Setting space right.

use std::fs;
use std::path::PathBuf;

use oilpath::sheet;
use predicates::str::contains;

use super::oilpath;

fn circuits() -> Vec<PathBuf> {
    let folders = [
        "circuits",
        "circuits/lessons",
        "circuits/published",
        "tests/circuits",
    ];
    let files = folders
        .iter()
        .flat_map(|folder| fs::read_dir(folder).unwrap());
    let mut files: Vec<PathBuf> = files.map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|e| e == "toml"));
    files.sort();
    files
}

/// The comments of a text, in order.
fn comments(text: &str) -> Vec<&str> {
    let lines = text.lines().filter_map(|line| {
        let at = line.find('#')?;
        // No circuit here has the sign within quotes.
        Some(line[at..].trim_end())
    });
    lines.collect()
}

#[test]
fn every_circuit_stays_the_same_circuit_with_the_same_comments() {
    let files = circuits();
    assert!(files.len() >= 10);
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        let tidy = sheet::tidy(&text).unwrap();
        let name = file.display();
        let read = |text: &str| toml::from_str::<toml::Table>(text).unwrap();
        assert_eq!(read(&tidy), read(&text), "{name}");
        assert_eq!(comments(&tidy), comments(&text), "{name}");
        assert_eq!(sheet::tidy(&tidy).unwrap(), tidy, "{name}: tidy stays tidy");
        assert!(!tidy.contains("\n\n\n") && !tidy.contains(" \n"), "{name}");
        // Order too.
        let keys = |text: &str| -> Vec<String> {
            let lines = text.lines().filter_map(|line| line.split_once('='));
            let keys = lines.map(|(key, _)| key.trim().to_owned());
            keys.filter(|key| !key.contains(['#', '{', '"'])).collect()
        };
        assert_eq!(keys(&tidy), keys(&text), "{name}");
    }
}

#[test]
fn a_list_too_long_for_a_line_is_filled_and_one_with_comments_left_alone() {
    let ids: Vec<String> = (10..40).map(|n| format!("'passage-{n}'")).collect();
    let text = format!("[casting.block]\npassages=[{}]\n", ids.join(","));
    let tidy = sheet::tidy(&text).unwrap();
    assert!(
        tidy.lines().all(|line| line.chars().count() <= 100),
        "{tidy}"
    );
    assert!(tidy.lines().count() < 10, "{tidy}");
    let noted = "[casting.block]\npassages = [\n  'line', # from the pump\n  'lube',\n]\n";
    assert_eq!(sheet::tidy(noted).unwrap(), noted);
}

#[test]
fn blank_lines_between_groups_stay_single() {
    let text = "\n\n# top\ntitle='a'\n\n\n\n# group\nnote='b'   \n[source]\n\npump={feeds='line'}\n\n\n# end\n\n";
    let expected = "# top\ntitle = 'a'\n\n# group\nnote = 'b'\n\n[source]\npump = { feeds = 'line' }\n\n# end\n";
    assert_eq!(sheet::tidy(text).unwrap(), expected);
}

#[test]
fn the_command_shows_checks_and_writes_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("box.toml");
    let rough = "[casting]\nblock={passages=['line']}   # a\n";
    fs::write(&path, rough).unwrap();
    let tidy = "[casting]\nblock = { passages = ['line'] }   # a\n";
    oilpath()
        .arg("tidy")
        .arg(&path)
        .assert()
        .code(0)
        .stdout(tidy);
    oilpath()
        .args(["tidy", "--check"])
        .arg(&path)
        .assert()
        .code(1)
        .stdout(contains("is not tidy"));
    assert_eq!(fs::read_to_string(&path).unwrap(), rough);
    oilpath()
        .args(["tidy", "--in-place"])
        .arg(&path)
        .assert()
        .code(0)
        .stdout("");
    assert_eq!(fs::read_to_string(&path).unwrap(), tidy);
    oilpath()
        .args(["tidy", "--check"])
        .arg(&path)
        .assert()
        .code(0);
    fs::write(&path, "[casting\n").unwrap();
    let run = oilpath().args(["tidy", "--in-place"]).arg(&path).assert();
    run.code(2).stderr(contains("box.toml:1"));
    assert_eq!(fs::read_to_string(&path).unwrap(), "[casting\n");
}
