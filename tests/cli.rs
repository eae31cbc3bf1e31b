//! The command line as a process: exit statuses, streams, files.

use std::fs;
use std::io::Read;
use std::path::Path;
use std::process::{Command as Process, Stdio};

use assert_cmd::Command;
use predicates::prelude::*;
use predicates::str::{contains, is_empty, starts_with};

const TRACTOR: &str = "circuits/tractor-powershift.toml";

fn oilpath() -> Command {
    let mut command = Command::cargo_bin("oilpath").unwrap();
    for name in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "FORCE_COLOR"] {
        command.env_remove(name);
    }
    command
}

fn coloured() -> impl Predicate<str> {
    contains("\u{1b}[")
}

#[test]
fn the_status_tells_sound_from_wrong_from_unanswered() {
    let status = |arguments: &[&str], status: i32| {
        oilpath().args(arguments).assert().code(status);
    };
    status(&["check", TRACTOR], 0);
    status(&["starve", TRACTOR], 0);
    status(&["starve", TRACTOR, "hop-cover:loose"], 1);
    status(&["starve", TRACTOR, "main:stuck-open"], 1);
    status(&["starve", TRACTOR, "pilot-cover:loose"], 1);
    status(&["trace", TRACTOR, "pto-bearing"], 0);
    status(
        &["trace", TRACTOR, "pto-bearing", "--fault", "hop:plugged"],
        1,
    );
    status(&["parts", TRACTOR], 0);
    status(&["before", TRACTOR, "pto-bearing"], 0);
    status(&["beyond", TRACTOR, "hop"], 0);
    status(&["why", TRACTOR, "pto-bearing"], 0);
    status(&["why", TRACTOR, "pto-bearing", "hop-cover:loose"], 0);
    status(&["why", TRACTOR, "separator"], 2);
    const BOX: &str = "circuits/transfer-box.toml";
    const BUS: &str = "circuits/six-speed-bus.toml";
    status(&["chart", BOX], 0);
    status(&["chart", BOX, "--bad", "low", "--kind", "orifice"], 0);
    status(&["unplugged", BOX], 0);
    status(&["walk", BUS, "first", "second"], 0);
    // The relay remembers fifth, where its state lists third.
    status(&["walk", BUS, "fifth", "plug-pulled-drive"], 1);
    let stuck = "--fault=limp-relay:stuck=reset";
    status(&["walk", BUS, "fifth", "plug-pulled-drive", stuck], 1);
    status(&["walk", BUS, "first", "second", stuck], 0);
    status(&["walk", BUS, "first"], 2);
    status(&["walk", BUS, "first", "secnd"], 2);
    status(&["overnight", BOX], 0);
    status(&["overnight", BUS, "--state", "park"], 0);
    status(&["overnight", BUS, "drain-back:worn", "--state", "park"], 1);
    status(&["reassemble", BOX], 0);
    status(&["draw", BOX, "--state", "low", "--trace", "chain"], 0);
    status(&["draw", BOX, "--fault", "chain-cover:loose"], 2);
    status(&["draw", BOX, "--around", "low"], 2);
    status(&["draw", BOX, "--trace", "chain", "--around", "line"], 2);
    status(&["draw", BOX, "--format", "json"], 2);
    status(&["trace", BOX, "chain", "--tree"], 0);
    status(&["trace", BOX, "chain", "--tree=round"], 2);
    status(&["trace", BOX, "chain", "--tree", "--format", "json"], 2);
    status(&["lesson", BOX, "rear-bearing"], 0);
    status(&["lesson", BOX, "high-clutch", "--state", "neutral"], 2);
    status(&["lesson", BOX, "main"], 2);
    status(&["quiz", BOX, "--count", "2"], 0);
    status(&["quiz", BOX, "--count", "2", "--key"], 0);
    status(&["quiz", BOX, "--level", "4"], 2);
    status(&["chart", BOX, "--bad", "lo"], 2);
    status(&["chart", BOX, "--kind", "lever"], 2);
    status(&["overnight", BOX, "front-exhaust:lost"], 2);
    status(&["starve", "no-such-file.toml"], 2);
    status(&["starve", TRACTOR, "hop-cover:lost"], 2);
    status(&["starve", TRACTOR, "--state", "flying"], 2);
    status(&["trace", TRACTOR, "pto-bearing", "--most", "3"], 2);
    status(&["trace", TRACTOR, "separator"], 2);
    status(&["no-such-command"], 2);
    status(&["starve", TRACTOR, "--no-such-option"], 2);
    status(&[], 2);
    status(&["--help"], 0);
    status(&["--version"], 0);
}

#[test]
fn a_slip_makes_check_end_with_one_and_an_error_with_two() {
    let slip = "[casting]\nblock = { passages = ['line', 'odd'] }\n\
                [source]\npump = { feeds = 'line' }\n[tap]\ngauge = { at = 'line' }\n";
    oilpath()
        .args(["check", "-"])
        .write_stdin(slip)
        .assert()
        .code(1)
        .stdout(
            contains("standard-input:2:31")
                .and(contains("^^^^^"))
                .and(contains("1 warning")),
        )
        .stderr(is_empty());
    oilpath()
        .args(["check", "-"])
        .write_stdin(slip.replace("'line' }\n[tap]", "'lime', draws = 3 }\n[tap]"))
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(
            contains("did you mean `line`?")
                .and(contains("error[wrong-type]"))
                .and(contains("2 errors")),
        );
}

#[test]
fn where_there_is_no_quiz_and_no_lesson_it_says_why() {
    let small = "[casting]\nblock = { passages = ['line'] }\n[source]\npump = { feeds = 'line' }\n";
    oilpath()
        .args(["quiz", "-"])
        .write_stdin(small)
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(contains("too small for a quiz").and(contains("help: ")));
    let path = "circuits/transfer-box.toml";
    oilpath()
        .args(["lesson", path, "high-clutch", "--state", "neutral"])
        .assert()
        .code(2)
        .stderr(contains("no oil reaches").and(contains("help: name a state")));
}

#[test]
fn standard_input_is_a_circuit_file_too() {
    let text = fs::read_to_string(TRACTOR).unwrap();
    let piped = oilpath()
        .args(["starve", "-", "hop-cover:loose"])
        .write_stdin(text)
        .assert();
    let named = oilpath()
        .args(["starve", TRACTOR, "hop-cover:loose"])
        .assert();
    assert_eq!(piped.get_output().stdout, named.get_output().stdout);
    piped.code(1);
    oilpath()
        .args(["check", "-"])
        .write_stdin(b"title = \"\xff\"".to_vec())
        .assert()
        .code(2)
        .stderr(contains("UTF-8"));
}

#[test]
fn every_mistake_is_answered_at_once_with_what_is_right() {
    oilpath()
        .args([
            "starve",
            TRACTOR,
            "hop-cover:lose",
            "rang:stuck=high",
            "zzz:off",
            "hop",
        ])
        .args(["--state", "foward-low"])
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(
            contains("did you mean `hop-cover:loose`? it can be `hop-cover:loose`,")
                .and(contains("did you mean `range`?"))
                .and(contains("no such part `zzz`"))
                .and(contains("`hop` alone is no fault"))
                .and(contains("`hop:plugged` or `hop:oversize`"))
                .and(contains(
                    "did you mean `forward-low`? The states are neutral, neutral-pto,",
                )),
        );
    oilpath()
        .args(["trace", TRACTOR, "pto-baring", "--state", "low"])
        .assert()
        .code(2)
        .stderr(
            contains("did you mean `pto-bearing`")
                .and(contains("The states are").or(contains("the states are"))),
        );
    oilpath()
        .args(["trace", TRACTOR, "hop"])
        .assert()
        .code(2)
        .stderr(contains("`oilpath before FILE hop`"));
    oilpath()
        .args(["trace", "circuits/no.toml", "hop"])
        .assert()
        .code(2)
        .stderr(contains("there is no such file"));
}

#[test]
fn a_state_is_bad_or_good_but_not_both() {
    oilpath()
        .args(["chart", TRACTOR, "--bad", "neutral", "--bad", "foward-low"])
        .args(["--good", "neutral", "--good", "revers-low"])
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(
            contains("`neutral` is called bad and good")
                .and(contains("did you mean `forward-low`?"))
                .and(contains("did you mean `reverse-low`")),
        );
    // A circuit without states has none to name.
    let bare = "[casting]\nblock = { passages = ['line'] }\n[source]\npump = { feeds = 'line' }\n";
    for command in ["chart", "unplugged", "overnight", "reassemble"] {
        oilpath()
            .args([command, "-"])
            .write_stdin(bare)
            .assert()
            .code(0)
            .stderr(is_empty());
    }
    // Of a file without parts there is nothing to say.
    for nothing in [
        "",
        "title = 'nothing yet'\n[casting]\nblock = { passages = [] }\n",
    ] {
        for command in ["chart", "unplugged", "overnight", "reassemble", "checklist"] {
            oilpath()
                .args([command, "-"])
                .write_stdin(nothing)
                .assert()
                .code(2)
                .stdout(is_empty())
                .stderr(contains("not one part").and(contains("oilpath new")));
        }
    }
    oilpath()
        .args(["chart", "-", "--bad", "low"])
        .write_stdin(bare)
        .assert()
        .code(2)
        .stderr(contains("declares no states"));
}

#[test]
fn why_says_what_is_wrong_with_a_question_and_what_is_right() {
    oilpath()
        .args(["why", TRACTOR, "pto-baring", "hop-cover:lose"])
        .args(["--state", "low"])
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(
            contains("did you mean `pto-bearing`")
                .and(contains("did you mean `hop-cover:loose`?"))
                .and(contains("he states are")),
        );
    oilpath()
        .args(["why", TRACTOR, "range"])
        .assert()
        .code(2)
        .stderr(contains("`oilpath before FILE range`"));
}

#[test]
fn a_bench_sheet_says_which_sizes_it_lacks_and_goes_on() {
    let published = "circuits/published/two-speed-training.toml";
    let all = printed(&["bench", published]);
    assert!(
        all.contains("Air check 1") && all.contains("Vacuum") && all.contains("the file lacks")
    );
    // Asked for alone they are what cannot be answered.
    let gauges = ["bench", published, "--only", "gauges"];
    let alone = oilpath().args(gauges).assert().code(2);
    alone.stdout(is_empty()).stderr(contains("--assume"));
    let assumed = printed(&[&gauges[..], &["--assume"]].concat());
    assert!(!assumed.contains("Air check"));
    // Room for a pencil, in every format that is printed.
    for format in ["markdown", "html"] {
        let sheet = printed(&["bench", published, "--only", "air", "--format", format]);
        assert!(
            sheet.contains("Air check 1") && sheet.contains("found"),
            "{format}"
        );
    }
    oilpath()
        .args([
            "bench",
            TRACTOR,
            "--state",
            "neutrl",
            "--set",
            "hop.bor=1mm",
        ])
        .assert()
        .code(2)
        .stderr(contains("did you mean `neutral`").and(contains("no size `bor`")));
}

#[test]
fn a_comparison_exits_with_its_verdict_and_names_every_mistake() {
    const BOX: &str = "circuits/transfer-box.toml";
    let compared = |more: &[&str]| {
        let mut command = oilpath();
        command.args(["compare", BOX, BOX]).args(more);
        command.assert()
    };
    compared(&[])
        .code(0)
        .stdout(starts_with("They interchange"));
    compared(&["--map", "rear-jet=chain-jet", "--map", "chain-jet=rear-jet"])
        .code(1)
        .stdout(starts_with("They do not interchange"));
    compared(&[
        "--map",
        "rear-jett=chain-jet",
        "--map",
        "rear-jet=chain-jett",
        "--map",
        "pump",
    ])
    .code(2)
    .stdout(is_empty())
    .stderr(
        contains("did you mean `rear-jet`?")
            .and(contains("did you mean `chain-jet`?"))
            .and(contains("OLD=NEW")),
    );
    compared(&[
        "--map",
        "rear-jet=chain-jet",
        "--map",
        "rear-jet=front-fill",
    ])
    .code(2)
    .stderr(contains("leave one of the two out"));
    // A part is one of its own kind.
    compared(&["--map", "rear-jet=pump"])
        .code(2)
        .stderr(contains("pump"));
    oilpath()
        .args(["compare", "-", "-"])
        .write_stdin("")
        .assert()
        .code(2)
        .stderr(contains("cannot be both"));
    oilpath()
        .args(["compare", BOX, "circuits/no.toml"])
        .assert()
        .code(2)
        .stderr(contains("there is no such file"));
    let itself = fs::read_to_string(BOX).unwrap();
    oilpath()
        .args(["compare", "-", BOX])
        .write_stdin(itself)
        .assert()
        .code(0);
}

#[test]
fn a_fault_given_twice_is_one_fault() {
    oilpath()
        .args([
            "starve",
            TRACTOR,
            "hop-cover:loose",
            "plate.hop-cover:loose",
        ])
        .assert()
        .stdout(starts_with("hop-cover:loose starves"));
}

#[test]
fn a_drawing_goes_to_a_stream_or_whole_into_a_file() {
    const BOX: &str = "circuits/transfer-box.toml";
    let asked = ["draw", BOX, "--state", "low", "--around", "chain-cover"];
    let streamed = printed(&asked);
    assert!(streamed.starts_with("<svg ") && streamed.ends_with("</svg>\n"));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("low.svg");
    let to_file = || {
        let mut command = oilpath();
        command.args(asked).arg("--output").arg(&path);
        command
    };
    to_file().assert().code(0).stdout(is_empty());
    assert_eq!(fs::read_to_string(&path).unwrap(), streamed);
    fs::write(&path, "mine").unwrap();
    to_file().assert().code(2).stderr(contains("--force"));
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
    to_file().arg("--force").assert().code(0);
    assert_eq!(fs::read_to_string(&path).unwrap(), streamed);
    // Nothing else is left beside it.
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    // The other engine and the other theme are other drawings; DOT is another language.
    let with = |more: &[&str]| printed(&[&asked[..], more].concat());
    assert_ne!(with(&["--engine", "plain"]), streamed);
    assert!(!with(&["--theme", "dark"]).contains("var("));
    assert!(with(&["--dot"]).starts_with("digraph "));
    oilpath()
        .args([
            "draw",
            BOX,
            "--trace",
            "chian",
            "--fault",
            "chain-cover:lose",
        ])
        .assert()
        .code(2)
        .stderr(contains("did you mean `chain`?").and(contains("chain-cover:loose")));
    oilpath()
        .args(["draw", BOX, "--trace", "front-clutch", "--state", "neutral"])
        .assert()
        .code(2)
        .stderr(contains("no oil reaches outlet.front-clutch in neutral"));
}

#[test]
fn a_reader_that_has_seen_enough_is_no_failure() {
    let asked = ["starve", TRACTOR, "separator:left-out", "--format", "json"];
    let whole = oilpath().args(asked).output().unwrap();
    // More than a pipe holds, which is 64 KiB on the systems we know.
    assert!(whole.stdout.len() > 1 << 16, "{}", whole.stdout.len());
    let mut child = Process::new(assert_cmd::cargo::cargo_bin("oilpath"))
        .args(asked)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut out = child.stdout.take().unwrap();
    out.read_exact(&mut [0]).unwrap();
    drop(out);
    let ended = child.wait_with_output().unwrap();
    assert_eq!(ended.status.code(), whole.status.code());
    assert_eq!(String::from_utf8_lossy(&ended.stderr), "");
}

#[test]
fn colour_is_for_terminals_unless_asked_for() {
    let starve = ["starve", TRACTOR, "hop-cover:loose"];
    let plain = || coloured().not();
    oilpath().args(starve).assert().stdout(plain());
    oilpath()
        .args(starve)
        .args(["--color", "always"])
        .assert()
        .stdout(coloured());
    oilpath()
        .args(starve)
        .args(["--color", "always"])
        .env("NO_COLOR", "1")
        .assert()
        .stdout(coloured());
    oilpath()
        .args(starve)
        .env("CLICOLOR_FORCE", "1")
        .assert()
        .stdout(coloured());
    oilpath()
        .args(starve)
        .env("CLICOLOR_FORCE", "1")
        .env("NO_COLOR", "1")
        .assert()
        .stdout(plain());
    oilpath()
        .args(starve)
        .args(["--color", "never"])
        .env("CLICOLOR_FORCE", "1")
        .assert()
        .stdout(plain());
    oilpath()
        .args(["check", "no.toml", "--color", "always"])
        .assert()
        .stderr(coloured());
    oilpath()
        .args(["check", "no.toml"])
        .assert()
        .stderr(plain());
}

#[test]
fn an_output_file_is_written_whole_and_never_replaced_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("report.md");
    let starve = || {
        let mut command = oilpath();
        command.args([
            "starve",
            TRACTOR,
            "hop-cover:loose",
            "--format",
            "markdown",
            "--output",
        ]);
        command.arg(&path);
        command
    };
    starve()
        .assert()
        .code(1)
        .stdout(is_empty())
        .stderr(is_empty());
    let written = fs::read_to_string(&path).unwrap();
    assert!(written.starts_with("# Compact tractor: powershift gearbox\n"));

    fs::write(&path, "mine").unwrap();
    starve()
        .assert()
        .code(2)
        .stderr(contains("is there already").and(contains("--force")));
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
    starve().arg("--force").assert().code(1);
    assert_eq!(fs::read_to_string(&path).unwrap(), written);
    assert_eq!(names(folder.path()), ["report.md"]);

    // What cannot be answered leaves what was there.
    fs::write(&path, "mine").unwrap();
    starve()
        .args(["--force", "--state", "none"])
        .assert()
        .code(2);
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
    assert_eq!(names(folder.path()), ["report.md"]);

    let nowhere = folder.path().join("no-folder").join("report.md");
    oilpath()
        .args(["starve", TRACTOR, "--output"])
        .arg(&nowhere)
        .assert()
        .code(2)
        .stderr(contains("cannot write"));
    oilpath()
        .args(["starve", TRACTOR, "--force", "--output"])
        .arg(folder.path())
        .assert()
        .code(2)
        .stderr(contains("cannot write"));
}

#[cfg(unix)]
#[test]
fn a_new_file_has_the_usual_permissions_and_a_replaced_one_keeps_its_own() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let path = folder.path().join("new.txt");
    oilpath()
        .args(["starve", TRACTOR, "--output"])
        .arg(&path)
        .assert()
        .code(0);
    let usual = folder.path().join("usual.txt");
    fs::write(&usual, "").unwrap();
    assert_eq!(mode(&path), mode(&usual));
    fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
    oilpath()
        .args(["starve", TRACTOR, "--force", "--output"])
        .arg(&path)
        .assert()
        .code(0);
    assert_eq!(mode(&path), 0o600);
}

#[test]
fn the_circuit_itself_is_never_replaced_by_its_report() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("box.toml");
    fs::copy(TRACTOR, &path).unwrap();
    oilpath()
        .args(["starve", "--force", "--output"])
        .args([&path, &path])
        .assert()
        .code(2)
        .stderr(contains("is read for this answer"));
    assert_eq!(fs::read(&path).unwrap(), fs::read(TRACTOR).unwrap());
    let case = folder.path().join("case.toml");
    fs::copy("circuits/cases/transfer-box.toml", &case).unwrap();
    let before = fs::read(&case).unwrap();
    oilpath()
        .args(["case", "circuits/transfer-box.toml", "--force", "--output"])
        .args([&case, &case])
        .assert()
        .code(2)
        .stderr(contains("is read for this answer"));
    assert_eq!(fs::read(&case).unwrap(), before);
}

fn names(folder: &Path) -> Vec<String> {
    let files = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = files
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Lines of a text that show a command after the given start.
fn examples(text: &str, start: &str) -> Vec<String> {
    let lines = text.lines().filter_map(|line| line.strip_prefix(start));
    lines
        .filter_map(|line| line.strip_prefix("oilpath "))
        .map(str::to_owned)
        .collect()
}

/// The arguments of a command as a shell takes them: what stands in single quotes is one.
fn arguments(example: &str) -> Vec<String> {
    let pieces = example.split('\'').enumerate();
    let words = pieces.flat_map(|(i, piece)| match i % 2 {
        0 => piece.split_whitespace().map(str::to_owned).collect(),
        _ => vec![piece.to_owned()],
    });
    words.collect()
}

/// A folder with the circuits in it, to write beside them.
fn folder_with_circuits() -> tempfile::TempDir {
    fn copy(from: &Path, to: &Path) {
        fs::create_dir(to).unwrap();
        for entry in fs::read_dir(from).unwrap() {
            let path = entry.unwrap().path();
            let to = to.join(path.file_name().unwrap());
            match path.is_dir() {
                true => copy(&path, &to),
                false => drop(fs::copy(&path, &to).unwrap()),
            }
        }
    }
    let folder = tempfile::tempdir().unwrap();
    copy(Path::new("circuits"), &folder.path().join("circuits"));
    folder
}

#[track_caller]
fn answers(example: &str, folder: &Path) {
    let mut run = oilpath();
    run.current_dir(folder).args(arguments(example));
    let out = run.output().unwrap();
    let said = String::from_utf8_lossy(&out.stderr);
    assert!(
        matches!(out.status.code(), Some(0 | 1)),
        "{example}: {said}"
    );
    // How many pairs there are is said beside the answer.
    let quiet = out.stderr.is_empty() || (example.contains("--pairs") && said.lines().count() == 1);
    let shown = !out.stdout.is_empty() || example.contains("--output");
    assert!(quiet && shown, "{example}: {said}");
}

#[test]
fn every_help_has_examples_that_work_from_the_root() {
    let help = |command: &[&str]| {
        let out = oilpath().args(command).arg("--help").output().unwrap();
        assert_eq!(out.status.code(), Some(0));
        String::from_utf8(out.stdout).unwrap()
    };
    let top = help(&[]);
    let commands = top
        .split_once("Commands:\n")
        .unwrap()
        .1
        .split_once("\n\n")
        .unwrap()
        .0;
    let mut helps = vec![top.clone()];
    let folder = folder_with_circuits();
    let listed = commands
        .lines()
        .map(|line| line.split_whitespace().next().unwrap());
    for command in listed.filter(|command| *command != "help").chain(UNLISTED) {
        helps.push(help(&[command]));
    }
    assert!(helps.len() >= 10);
    for help in helps {
        let examples = examples(&help, "  ");
        assert!(!examples.is_empty(), "no example in {help}");
        for example in &examples {
            answers(example, folder.path());
        }
    }
}

#[test]
fn the_commands_the_lessons_name_work_from_the_root() {
    let mut count = 0;
    for lesson in fs::read_dir("circuits/lessons").unwrap() {
        let text = fs::read_to_string(lesson.unwrap().path()).unwrap();
        let named = examples(&text, "#   ");
        count += named.len();
        for example in &named {
            answers(example, Path::new("."));
        }
    }
    assert!(count >= 7, "{count}");
}

/// Commands that the help of the program only mentions in its last line.
const UNLISTED: [&str; 3] = ["schema", "completions", "man"];

fn printed(arguments: &[&str]) -> String {
    let out = oilpath().args(arguments).output().unwrap();
    assert_eq!(out.status.code(), Some(0), "{arguments:?}");
    assert!(out.stderr.is_empty());
    String::from_utf8(out.stdout).unwrap()
}

const QUESTIONS: &[&str] = &[
    "check",
    "parts",
    "trace",
    "starve",
    "why",
    "before",
    "beyond",
    "lives-by",
    "chart",
    "checklist",
    "unplugged",
    "walk",
    "overnight",
    "reassemble",
    "lesson",
    "quiz",
    "sweep",
    "flows",
    "gauges",
    "vary",
    "suspects",
    "next",
    "case",
    "grid",
    "signatures",
    "agree",
    "takes-hold",
    "draw",
    "page",
    "bench",
    "compare",
    "new",
    "tidy",
    "import",
];

#[test]
fn shells_complete_every_command_and_option() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = printed(&["completions", shell]);
        for word in QUESTIONS
            .iter()
            .chain(&UNLISTED)
            .chain(&["explain", "units", "state"])
        {
            assert!(script.contains(word), "{word} in {shell}");
        }
    }
    oilpath()
        .args(["completions", "sh"])
        .assert()
        .code(2)
        .stderr(contains("bash"));
}

#[test]
fn the_manual_has_a_page_of_the_program_and_one_of_each_command() {
    let page = printed(&["man"]);
    assert!(page.contains(".TH oilpath 1"));
    for command in QUESTIONS {
        let escaped = command.replace('-', "\\-");
        assert!(
            page.contains(&format!("oilpath\\-{escaped}(1)")),
            "{command}"
        );
    }
    for command in QUESTIONS.iter().chain(&UNLISTED) {
        let page = printed(&["man", command]);
        assert!(
            page.contains(&format!(".TH oilpath-{command} 1")),
            "{page:.200}"
        );
        assert!(page.contains("Example"), "{command}");
    }
    oilpath()
        .args(["man", "chek"])
        .assert()
        .code(2)
        .stderr(contains("no command `chek`").and(contains("did you mean `check`?")));
}

#[test]
fn codes_are_explained_without_a_file_and_schemas_printed() {
    assert!(printed(&["check", "--explain", "unknown-id"]).starts_with("error[unknown-id]: "));
    assert!(printed(&["check", "--explain", "dead-end"]).starts_with("warning[dead-end]: "));
    let all = printed(&["check", "--explain"]);
    assert_eq!(all, printed(&["check", "--explain", "list"]));
    for known in oilpath::explain::all() {
        let line = all
            .lines()
            .find(|line| line.trim_start().starts_with(known.code));
        assert!(
            line.unwrap()
                .ends_with(&known.gist()[known.gist().len() - 9..])
        );
    }
    oilpath()
        .args(["check", "--explain", "unknwon-id"])
        .assert()
        .code(2)
        .stdout(is_empty())
        .stderr(contains("did you mean `unknown-id`?"));
    oilpath()
        .args(["check", "--explain", "what"])
        .assert()
        .code(2)
        .stderr(contains("`oilpath check --explain`"));
    oilpath()
        .args(["check", TRACTOR, "--explain"])
        .assert()
        .code(2);
    let schema = |arguments: &[&str]| -> serde_json::Value {
        serde_json::from_str(&printed(arguments)).unwrap()
    };
    assert_eq!(schema(&["schema"]), oilpath::sheet::schema());
    for known in oilpath::report::SCHEMAS {
        assert_eq!(schema(&["schema", known.answer]), (known.schema)());
    }
    oilpath()
        .args(["schema", "starved"])
        .assert()
        .code(2)
        .stderr(contains("starve"));
}

#[test]
fn figures_need_sizes_or_leave_to_assume_them() {
    let published = "circuits/published/two-speed-training.toml";
    let missing = contains("sizes are not known").and(contains("--assume"));
    let asked = oilpath().args(["flows", published]).assert();
    asked.code(2).stdout(is_empty()).stderr(missing);
    oilpath()
        .args(["flows", published, "--assume"])
        .assert()
        .code(0);
    // A gap so wide that the bearing does not get what it needs.
    let loose = [
        "flows",
        TRACTOR,
        "hop-cover:loose",
        "--state",
        "forward-low",
    ];
    let gap = |gap: &'static str| [&loose[..], &["--set", gap]].concat();
    oilpath().args(gap("hop-cover.gap=1 mm")).assert().code(1);
    oilpath()
        .args(gap("hop-cover.gap=0.005 mm"))
        .assert()
        .code(0);
    for (slip, said) in [
        ("hop-cover.gap", "sets no size"),
        ("hop-cover.gasp=1 mm", "there is no size `gasp`"),
        ("hop-cower.gap=1 mm", "no such part `hop-cower`"),
        ("hop-cover.gap=1 bar", "measures pressure"),
        ("oil-cooler.at=1 bar", "nothing here depends on"),
    ] {
        oilpath()
            .args(gap(slip))
            .assert()
            .code(2)
            .stderr(contains(said));
    }
    let oil = ["flows", TRACTOR, "--oil", "castor"];
    oilpath()
        .args(oil)
        .assert()
        .code(2)
        .stderr(contains("no oil `castor`"));
    let vary = |of: &'static str, to: &'static str| {
        let asked = [
            "vary", TRACTOR, "--state", "neutral", "--of", of, "--to", to,
        ];
        oilpath().args(asked).assert()
    };
    vary("hop.bore", "2 mm")
        .code(0)
        .stdout(contains("pto-bearing"));
    let no_end = ["vary", TRACTOR, "--state", "neutral", "--of", "hop.bore"];
    oilpath()
        .args(no_end)
        .assert()
        .code(2)
        .stderr(contains("with `--to`"));
    vary("hop", "2 mm")
        .code(2)
        .stderr(contains("cannot be varied"));
    vary("hop.bore", "2 bar")
        .code(2)
        .stderr(contains("measures pressure"));
    vary("speed", "300 rpm")
        .code(2)
        .stderr(contains("varied over nothing"));
    let all = ["vary", TRACTOR, "--of", "speed", "--to", "900rpm"];
    oilpath()
        .args(all)
        .assert()
        .code(2)
        .stderr(contains("one state at a time"));
    let plot = [&all[..], &["--state", "neutral", "--plot"]].concat();
    oilpath()
        .args(plot)
        .assert()
        .code(0)
        .stdout(starts_with("<svg"));
    let bands = ["flows", TRACTOR, "--state", "neutral"];
    let ask = |rest: &[&'static str]| oilpath().args(bands).args(rest).assert();
    ask(&["--bands"])
        .code(0)
        .stdout(contains("hop.bore 1.2 mm ±0.05 mm"));
    ask(&["--draws", "9"]).code(2).stderr(contains("--bands"));
    ask(&["--bands", "--draws", "0"]).code(2);
    let grid = |rest: &[&'static str]| {
        let asked = ["grid", TRACTOR, "--state", "neutral", "--of", "speed"];
        let few = ["--to", "900rpm", "--points", "3", "--and-points", "3"];
        oilpath().args(asked).args(few).args(rest).assert()
    };
    grid(&[
        "--and",
        "oil-temperature",
        "--and-from",
        "-10 °C",
        "--and-to",
        "110 °C",
    ])
    .code(0)
    .stdout(contains("What falls short where").and(contains("-10 °C")));
    grid(&["--and", "oil-temperature", "--and-to", "110 °C", "--plot"])
        .code(0)
        .stdout(starts_with("<svg"));
    grid(&["--and", "speed", "--and-to", "2000 rpm"])
        .code(2)
        .stderr(contains("both quantities are the same").and(contains("--and")));
    grid(&["--and", "hop.bore", "--and-to", "2 bar"])
        .code(2)
        .stderr(contains("measures pressure"));
    let speed = ["gauges", TRACTOR, "--speed", "fast"];
    oilpath()
        .args(speed)
        .assert()
        .code(2)
        .stderr(contains("rpm"));
}
