//! Files made to break a reader or to command a terminal: what comes of each is drawn, and
//! nothing in them reaches a screen as anything but text.
//!
//! The files under `tests/hostile/` are kept byte for byte (`.gitattributes`).

use std::ffi::OsString;
use std::fs;
use std::path::PathBuf;

use oilpath::cli::{self, Streams};
use oilpath::report::Look;
use pulldown_cmark::{Event, Options, Parser, Tag};

const LABELS: &str = "tests/hostile/labels.toml";

fn plain(width: usize) -> Look {
    Look {
        colour: false,
        width,
    }
}

/// The exit status, and all that was written to either stream.
fn run(arguments: &[&str], input: &[u8], look: Look) -> (u8, String) {
    let arguments: Vec<OsString> = std::iter::once(&"oilpath")
        .chain(arguments)
        .map(OsString::from)
        .collect();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let streams = Streams {
        input: &mut &*input,
        out: &mut out,
        err: &mut err,
        out_look: look,
        err_look: look,
        stopped: &|| false,
        within: &|_| {},
        progress: &|_| {},
    };
    let status = cli::run(arguments, streams);
    out.extend(err);
    (status, String::from_utf8(out).unwrap())
}

/// Everything a terminal may obey, and what turns or hides text on it.
fn harmless(text: &str) -> bool {
    !text.chars().any(|c| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}'
                | '\u{2060}'..='\u{206F}' | '\u{FEFF}')
    })
}

fn files() -> Vec<PathBuf> {
    let files = fs::read_dir("tests/hostile").unwrap();
    let mut files: Vec<PathBuf> = files.map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}

#[test]
fn each_hostile_file_is_answered_in_text() {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots/hostile");
    settings.bind(|| {
        for file in files() {
            let name = file.file_stem().unwrap().to_str().unwrap().to_owned();
            let (status, text) = run(&["check", file.to_str().unwrap()], b"", plain(100));
            assert!(harmless(&text), "{name}: {text:?}");
            insta::assert_snapshot!(name, format!("exit status {status}\n{text}"));
        }
    });
}

/// Every question of the command line, of a circuit whose every label, note, title and detent is
/// an attack.
const QUESTIONS: [&[&str]; 11] = [
    &["check"],
    &["parts"],
    &["parts", "--faults"],
    &["trace", "bearing"],
    &["trace", "gauge", "--by", "all"],
    &[
        "trace",
        "bearing",
        "--units",
        "us",
        "--fault",
        "line:cracked",
    ],
    &["starve"],
    &["starve", "hop-cover:loose"],
    &["starve", "hop:plugged", "line:cracked"],
    &["before", "bearing"],
    &["beyond", "hop"],
];

fn asked(question: &[&str], more: &[&str], look: Look) -> String {
    let [command, rest @ ..] = question else {
        panic!("no command");
    };
    let arguments = [&[*command, LABELS], rest, more].concat();
    let (status, text) = run(&arguments, b"", look);
    assert!(status < 2, "{arguments:?}: {text}");
    text
}

#[test]
fn no_answer_carries_a_command_to_the_terminal() {
    for question in QUESTIONS {
        for format in ["text", "markdown", "json"] {
            for width in [100, 40] {
                let text = asked(question, &["--format", format], plain(width));
                assert!(harmless(&text), "{question:?} {format}: {text:?}");
            }
        }
    }
}

#[test]
fn no_answer_is_markup_in_markdown() {
    let options = Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH;
    for question in QUESTIONS {
        let text = asked(question, &["--format", "markdown"], plain(80));
        let mut said = String::new();
        for event in Parser::new_ext(&text, options) {
            match event {
                Event::Html(_) | Event::InlineHtml(_) => panic!("{event:?} in {text}"),
                Event::Start(
                    Tag::Link { .. } | Tag::Image { .. } | Tag::Emphasis | Tag::Strikethrough,
                ) => panic!("{event:?} in {text}"),
                Event::Text(text) | Event::Code(text) => said += &text,
                _ => {}
            }
        }
        assert!(
            said.contains("<script>alert(1)</script>"),
            "{question:?}: {said}"
        );
    }
}

#[test]
fn an_attack_in_json_is_still_what_was_typed() {
    let text = asked(&["parts"], &["--format", "json"], plain(80));
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let pump = &value["parts"][3];
    assert_eq!(pump["label"], "\u{9b}31mC1 \u{85} \u{7f}");
    assert_eq!(
        pump["note"],
        "\u{202e}right to left\u{202c} \u{2066}x\u{2069}"
    );
}

#[test]
fn no_argument_carries_a_command_to_the_terminal() {
    let esc = "\u{1b}]0;owned\u{7}\u{9b}31m";
    for arguments in [
        &["check", esc][..],
        &["trace", LABELS, esc],
        &["starve", LABELS, esc, "--state", esc],
        &["starve", LABELS, &format!("{esc}:loose")],
        &["check", "--explain", esc],
        &["man", esc],
        &["check", LABELS, "--output", &format!("no-folder/{esc}")],
    ] {
        let (status, text) = run(arguments, b"", plain(80));
        assert_eq!(status, 2, "{arguments:?}");
        assert!(harmless(&text), "{arguments:?}: {text:?}");
    }
}

#[test]
fn depth_and_length_end_in_an_error() {
    for text in [
        "a = ".to_owned() + &"[".repeat(50_000),
        "a = ".to_owned() + &"[".repeat(50_000) + &"]".repeat(50_000),
        "a = ".to_owned() + &"{ a = ".repeat(20_000),
        "[".to_owned() + &"a.".repeat(20_000),
        "a".repeat(200_000),
        "a = \"".to_owned() + &"x".repeat(200_000),
        "=".repeat(20_000),
        "\n".repeat(200_000) + "[port]\nx = 3",
        "[port]\nx = { between = ['a', '".to_owned() + &"b".repeat(100_000) + "'] }",
        format!(
            "[casting]\nb = {{ passages = [{}'a'] }}",
            "'a', ".repeat(1_000)
        ),
    ] {
        let (status, said) = run(&["check", "-"], text.as_bytes(), plain(80));
        assert_eq!(status, 2, "{text:.40}");
        let errors = said.matches("error[").count();
        assert!(errors > 0, "{text:.40}");
        // What is said grows with the errors, not with the length of the line each is on.
        let longest = text.lines().map(str::len).max().unwrap_or(0);
        assert!(
            said.len() <= 2 * longest + 1_000 * errors,
            "{text:.40}: {}",
            said.len()
        );
    }
}

#[test]
fn an_empty_file_is_a_slip() {
    for text in ["", "\n", "\u{feff}", "# nothing\r\n"] {
        let (status, said) = run(&["check", "-"], text.as_bytes(), plain(80));
        assert_eq!(status, 1, "{text:?}");
        assert!(said.contains("warning[no-parts]"), "{said}");
    }
}
