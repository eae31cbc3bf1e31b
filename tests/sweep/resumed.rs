//! A run goes on with nothing but what it has left itself, and nothing is begun that cannot be written.

use std::fs;

use predicates::prelude::*;
use predicates::str::contains;

use super::growing::{Folder, within};
use super::{LESSON, LINES, TRANSFER_BOX, printed, run};

/// Edits as if a typo were mended: each changes what some faults do, and none which there are.
const EDITS: [(&str, &str); 3] = [
    // The jet is fed from before the line that it hung on.
    (
        r#"rear-jet = { between = ["lube-gallery", "lube-rear"]"#,
        r#"rear-jet = { between = ["lube-feed", "lube-rear"]"#,
    ),
    // The tap sits elsewhere.
    (
        r#"front-tap = { at = "front-case""#,
        r#"front-tap = { at = "front-feed""#,
    ),
    // Low no longer pulls harder.
    (r#"boost = { low-feed = "5 bar" }"#, ""),
];

/// The transfer box and an edit of it, in a folder of their own.
fn edited(folder: &Folder, edit: (&str, &str)) -> (String, String, String) {
    let text = fs::read_to_string(TRANSFER_BOX).unwrap();
    assert_eq!(text.matches(edit.0).count(), 1, "{edit:?}");
    (folder.path("box.toml"), text.replace(edit.0, edit.1), text)
}

#[test]
fn a_circuit_that_was_changed_is_not_gone_on_with_wherever_it_was_stopped() {
    for edit in EDITS {
        let folder = Folder::new();
        let (file, after, before) = edited(&folder, edit);
        let (out, partial) = (folder.path("out"), folder.path("out.partial"));
        let mut differs = false;
        for format in LINES {
            fs::write(&file, &before).unwrap();
            let asked = [&file, "--format", format];
            let begun = [&asked[..], &["--output", &out]].concat();
            let resumed = [&begun[..], &["--resume"]].concat();
            let whole = printed(&asked);
            assert_eq!(within(&begun, 0).0, 2);
            let of = fs::read_to_string(format!("{partial}.of")).unwrap();
            fs::write(&file, &after).unwrap();
            differs |= printed(&asked) != whole;
            let ends = whole.match_indices('\n').map(|(at, _)| at + 1);
            let ends: Vec<usize> = ends.collect();
            // At the ends of lines from the first to the last, and within them.
            let some = (0..9).map(|n| ends[n * (ends.len() - 1) / 8]);
            for cut in some.flat_map(|end| [end - 1, end]) {
                fs::write(&partial, &whole[..cut]).unwrap();
                let (status, _, said) = within(&resumed, usize::MAX);
                assert_eq!(status, 2, "{edit:?} {format} {cut}");
                assert!(said.contains("no longer reads as it did"), "{said}");
                assert_eq!(fs::read_to_string(&partial).unwrap(), whole[..cut]);
                assert_eq!(fs::read_to_string(format!("{partial}.of")).unwrap(), of);
                assert_eq!(
                    folder.names(),
                    ["box.toml", "out.partial", "out.partial.of"]
                );
            }
            // Put back as it was it goes on.
            fs::write(&file, &before).unwrap();
            assert_eq!(within(&resumed, usize::MAX).0, 0);
            assert_eq!(fs::read_to_string(&out).unwrap(), whole);
            fs::remove_file(&out).unwrap();
        }
        assert!(differs, "{edit:?} changes nothing that is swept");
    }
}

/// What a file includes is part of it.
#[test]
fn a_change_in_what_is_included_is_seen() {
    let folder = Folder::new();
    let (file, part) = (folder.path("box.toml"), folder.path("more.toml"));
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    let text = fs::read_to_string(LESSON).unwrap();
    fs::write(&file, format!("include = [\"more.toml\"]\n{text}")).unwrap();
    fs::write(&part, "[tap]\nline-tap = { at = \"line\" }\n").unwrap();
    let asked = [&file, "--kind", "tap", "--format", "csv", "--output", &out];
    assert_eq!(within(&asked, 0).0, 2);
    let whole = printed(&asked[..5]);
    fs::write(&partial, &whole).unwrap();
    fs::write(&part, "[tap]\nline-tap = { at = \"lift-feed\" }\n").unwrap();
    let (status, _, said) = within(&[&asked[..], &["--resume"]].concat(), usize::MAX);
    assert!(
        status == 2 && said.contains("or what it includes"),
        "{said}"
    );
}

#[test]
fn another_question_is_not_gone_on_with() {
    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    for format in LINES {
        let asked = [LESSON, "--format", format];
        let to_file = ["--output", &out];
        assert_eq!(within(&[&asked[..], &to_file].concat(), 0).0, 2);
        let whole = printed(&asked);
        let some: String = whole.split_inclusive('\n').take(7).collect();
        fs::write(&partial, &some).unwrap();
        let resumed = |asked: &[&str]| {
            let resumed = [asked, &to_file, &["--resume"]].concat();
            within(&resumed, usize::MAX)
        };
        let other = LINES.into_iter().find(|other| *other != format).unwrap();
        for more in [
            &["--state", "lift"][..],
            &["--pairs"],
            &["--kind", "ball"],
            &["--of", "fill"],
            &["--part", "2/3"],
        ] {
            let (status, _, said) = resumed(&[&asked[..], more].concat());
            assert_eq!(status, 2);
            let [a, b] = [format!("`--format {format}`"), more.join(" ")];
            let said = said.replace('\n', " ");
            assert!(said.contains(&a) && said.contains(&b), "{said}");
            assert!(said.contains("ask as it was asked then"), "{said}");
        }
        let (status, _, said) = resumed(&[LESSON, "--format", other]);
        assert!(status == 2 && said.contains("was begun with"), "{said}");
        assert_eq!(fs::read_to_string(&partial).unwrap(), some);
        // The same with another number of threads, and said in other words, is the same.
        let same = [&asked[..], &["--threads", "1", "--part", "1/1"]].concat();
        assert_eq!(resumed(&same).0, 0);
        assert_eq!(fs::read_to_string(&out).unwrap(), whole);
        fs::remove_file(&out).unwrap();
    }
}

#[test]
fn what_another_version_has_begun_is_not_gone_on_with() {
    let folder = Folder::new();
    let of = folder.path("out.partial.of");
    let out = folder.path("out");
    let asked = [LESSON, "--format", "csv", "--output", &out];
    assert_eq!(within(&asked, 0).0, 2);
    let kept = fs::read_to_string(&of).unwrap();
    let version = env!("CARGO_PKG_VERSION");
    fs::write(&of, kept.replace(version, "0.0.9")).unwrap();
    let resumed = [&asked[..], &["--resume"]].concat();
    let (status, _, said) = within(&resumed, usize::MAX);
    let said = said.replace('\n', " ");
    assert_eq!(status, 2);
    assert!(said.contains("was begun by oilpath 0.0.9"), "{said}");
    fs::write(&of, kept).unwrap();
    assert_eq!(within(&resumed, usize::MAX).0, 0);
}

/// Neither gone on with nor begun over, forced or not, however short it is.
#[test]
fn a_file_that_no_run_has_left_is_left_alone() {
    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    for format in LINES {
        let asked = [LESSON, "--format", format, "--output", &out];
        let head = printed(&asked[..3]).lines().next().unwrap().to_owned();
        for theirs in ["x", "mine\n", &head[..4]] {
            for more in [
                &[][..],
                &["--resume"],
                &["--force"],
                &["--resume", "--force"],
            ] {
                fs::write(&partial, theirs).unwrap();
                let (status, _, said) = within(&[&asked[..], more].concat(), usize::MAX);
                assert_eq!(status, 2, "{more:?}");
                assert!(said.contains("move it away"), "{said}");
                assert_eq!(fs::read_to_string(&partial).unwrap(), theirs);
                assert_eq!(folder.names(), ["out.partial"]);
            }
        }
        fs::remove_file(&partial).unwrap();
        let of = format!("{partial}.of");
        fs::write(&of, "mine\n").unwrap();
        assert_eq!(within(&asked, usize::MAX).0, 2);
        assert_eq!(fs::read_to_string(&of).unwrap(), "mine\n");
        assert_eq!(folder.names(), ["out.partial.of"]);
        fs::remove_file(&of).unwrap();
    }
}

#[test]
fn nothing_is_replaced_unless_forced() {
    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    let asked = [LESSON, "--of", "fill", "--format", "csv", "--output", &out];
    fs::write(&out, "mine").unwrap();
    run(&asked).assert().code(2).stderr(contains("--force"));
    assert_eq!(fs::read_to_string(&out).unwrap(), "mine");
    run(&asked).arg("--force").assert().code(0);
    assert_eq!(fs::read_to_string(&out).unwrap(), printed(&asked[..5]));
    fs::remove_file(&out).unwrap();
    assert_eq!(within(&asked, 0).0, 2);
    let left = fs::read_to_string(&partial).unwrap();
    run(&asked).assert().code(2).stderr(contains("--resume"));
    assert_eq!(fs::read_to_string(&partial).unwrap(), left);
    run(&asked).arg("--force").assert().code(0);
    assert_eq!(fs::read_to_string(&out).unwrap(), printed(&asked[..5]));
    assert_eq!(folder.names(), ["out"]);
}

/// Told before the first scenario, whatever the format, in words of its own.
#[test]
fn what_cannot_be_written_is_told_before_anything_is_made() {
    let folder = Folder::new();
    let (inside, nowhere) = (folder.path(""), folder.path("nowhere/out"));
    let under_a_file = format!("{LESSON}/out");
    for format in ["csv", "json-lines", "text", "json"] {
        for (out, why, remedy) in [
            (&inside, "it is a folder", "name a file in it"),
            (&nowhere, "there is no such folder", "make the folder first"),
            (&under_a_file, "is none", "give another path"),
        ] {
            // Looked at but once, before the work, it would stop at once if it began.
            let asked = [
                LESSON, "--pairs", "--format", format, "--force", "--output", out,
            ];
            let (status, _, said) = within(&asked, 0);
            assert_eq!(status, 2);
            let said = said.replace('\n', " ");
            assert!(said.contains(why) && said.contains(remedy), "{out}: {said}");
            assert!(
                !said.contains("os error") && !said.contains("stopped"),
                "{said}"
            );
            assert_eq!(folder.names(), [""; 0]);
        }
    }
    run(&[LESSON, "--output", &nowhere])
        .assert()
        .code(2)
        .stderr(contains("no such folder").and(contains("help:")));
}
