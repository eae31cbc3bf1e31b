//! Files that grow: stopped, gone on with, not replaced.

use std::cell::Cell;
use std::ffi::OsString;
use std::fs;

use oilpath::answer::Sweeper;
use oilpath::cli::{self, Streams};
use oilpath::report::Look;
#[cfg(unix)]
use serde_json::Value;

#[cfg(unix)]
use super::TRACTOR;
use super::{LESSON, LINES, TRANSFER_BOX, printed};

pub struct Folder(tempfile::TempDir);

impl Folder {
    pub fn new() -> Self {
        Folder(tempfile::tempdir().unwrap())
    }

    pub fn path(&self, name: &str) -> String {
        self.0.path().join(name).to_str().unwrap().to_owned()
    }

    /// What lies in it, in order.
    pub fn names(&self) -> Vec<String> {
        let names = fs::read_dir(self.0.path()).unwrap();
        let names = names.map(|n| n.unwrap().file_name().into_string().unwrap());
        let mut names: Vec<String> = names.collect();
        names.sort();
        names
    }
}

/// The same command within this process, for tests that ask it often; its exit status, what it
/// printed and what it said. It is told to stop once it has looked so often whether to, not counting
/// the look before it begins.
pub fn within(arguments: &[&str], looks: usize) -> (u8, String, String) {
    let arguments = ["oilpath", "sweep"].iter().chain(arguments);
    let arguments: Vec<OsString> = arguments.map(OsString::from).collect();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let look = Look {
        colour: false,
        width: 80,
    };
    let looked = Cell::new(0);
    let status = cli::run(
        arguments,
        Streams {
            input: &mut std::io::empty(),
            out: &mut out,
            err: &mut err,
            out_look: look,
            err_look: look,
            stopped: &|| looked.replace(looked.get() + 1) > looks,
            within: &|_| {},
            progress: &|_| {},
        },
    );
    let [out, err] = [out, err].map(|bytes| String::from_utf8(bytes).unwrap());
    (status, out, err)
}

#[test]
fn a_run_goes_on_wherever_it_was_cut() {
    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    for format in LINES {
        let asked = [LESSON, "--of", "fill", "--of", "main", "--format", format];
        let whole = printed(&asked);
        let begun = [&asked[..], &["--output", &out]].concat();
        let resumed = [&begun[..], &["--resume"]].concat();
        // Stopped before its first scenario: what it is of is kept already.
        assert_eq!(within(&begun, 0).0, 2);
        let of = fs::read_to_string(format!("{partial}.of")).unwrap();
        for cut in 0..=whole.len() {
            fs::write(&partial, &whole[..cut]).unwrap();
            fs::write(format!("{partial}.of"), &of).unwrap();
            assert_eq!(
                within(&resumed, usize::MAX),
                (0, String::new(), String::new())
            );
            assert_eq!(fs::read_to_string(&out).unwrap(), whole, "{format} {cut}");
            assert_eq!(folder.names(), ["out"]);
            fs::remove_file(&out).unwrap();
        }
    }
}

/// Stopped after each chunk in turn, in a stream, a file and a document.
#[test]
fn a_run_stops_between_chunks_and_says_how_to_go_on() {
    const AT_ONCE: usize = Sweeper::AT_ONCE;
    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    let kinds = ["orifice", "ball", "port", "seal", "solenoid", "valve"];
    let kinds = kinds.iter().flat_map(|kind| ["--kind", kind]);
    let mut asked = vec![TRANSFER_BOX, "--pairs", "--state", "low"];
    asked.extend(kinds);
    for format in LINES {
        let asked = [&asked[..], &["--format", format]].concat();
        let whole = printed(&asked);
        let lines = whole.lines().count() - usize::from(format == "csv");
        assert!(lines > 2 * AT_ONCE, "{lines}");
        let (status, some, said) = within(&asked, 2);
        assert_eq!(status, 2);
        let stopped = format!("stopped after {} of {lines} scenarios", 2 * AT_ONCE);
        assert!(said.contains(&stopped), "{said}");
        assert!(said.contains("--output FILE"), "{said}");
        assert!(some.ends_with('\n') && whole.starts_with(&some) && some != whole);
        let to_file = [&asked[..], &["--resume", "--output", &out]].concat();
        let mut runs = 0;
        loop {
            let (status, printed, said) = within(&to_file, 1);
            assert_eq!(printed, "");
            if status == 0 {
                break;
            }
            runs += 1;
            assert!(said.contains("`--resume` goes on after them"), "{said}");
            let left = fs::read_to_string(&partial).unwrap();
            assert!(left.ends_with('\n') && whole.starts_with(&left));
        }
        assert_eq!(runs, (lines - 1) / AT_ONCE, "{format}");
        assert_eq!(fs::read_to_string(&out).unwrap(), whole);
        fs::remove_file(&out).unwrap();
    }
    for format in ["text", "markdown", "json"] {
        let (status, printed, said) = within(&[&asked[..], &["--format", format]].concat(), 1);
        assert_eq!((status, &*printed), (2, ""));
        let stopped = format!("stopped after {AT_ONCE} of");
        assert!(said.contains(&stopped), "{said}");
    }
}

/// Stopped by a signal it ends with 2, says how to go on, and leaves whole lines; what it left
/// becomes the whole.
#[cfg(unix)]
#[test]
fn a_run_that_is_interrupted_can_be_resumed() {
    use std::process::{Command as Process, Stdio};
    use std::thread::sleep;
    use std::time::Duration;

    let folder = Folder::new();
    let (out, partial) = (folder.path("out"), folder.path("out.partial"));
    // Pairs enough for minutes: it is stopped long before its end.
    let asked = [
        "sweep",
        TRACTOR,
        "--pairs",
        "--format",
        "json-lines",
        "--output",
        &out,
    ];
    let program = assert_cmd::cargo::cargo_bin("oilpath");
    let child = Process::new(program)
        .args(asked)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let has_lines = || fs::metadata(&partial).is_ok_and(|m| m.len() > 0);
    while !has_lines() {
        sleep(Duration::from_millis(20));
    }
    let pid = child.id().to_string();
    assert!(
        Process::new("kill")
            .args(["-INT", &pid])
            .status()
            .unwrap()
            .success()
    );
    let ended = child.wait_with_output().unwrap();
    let said = String::from_utf8(ended.stderr).unwrap();
    assert_eq!(ended.status.code(), Some(2), "{said}");
    assert!(
        said.contains("stopped after ") && said.contains("`--resume`"),
        "{said}"
    );
    assert_eq!(folder.names(), ["out.partial", "out.partial.of"]);
    let left = fs::read_to_string(&partial).unwrap();
    assert!(left.ends_with('\n'));
    for (number, line) in left.lines().enumerate() {
        let line: Value = serde_json::from_str(line).unwrap();
        assert_eq!(line["number"], number);
    }
}
