//! What a disk, a folder, another program or a hand on the keyboard can do to a run: what was there
//! stays whole.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

const BOX: &str = "circuits/transfer-box.toml";

fn oilpath(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_oilpath"));
    command.args(arguments);
    command
}

/// The exit status and what went to standard error.
fn run(command: &mut Command) -> (Option<i32>, String) {
    let out = command.output().unwrap();
    (
        out.status.code(),
        String::from_utf8_lossy(&out.stderr).into_owned(),
    )
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_is_told_and_ends_with_two() {
    // Whatever is written there finds no space left.
    let full = || {
        fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .unwrap()
    };
    for arguments in [
        &["starve", BOX, "rear-jet:plugged"][..],
        &["draw", BOX],
        &["new", "-"],
    ] {
        let mut command = oilpath(arguments);
        let ended = command
            .stdout(full())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let ended = ended.wait_with_output().unwrap();
        let said = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(2), "{said}");
        assert!(said.contains("cannot write the answer"), "{said}");
    }
    let (status, said) = run(&mut oilpath(&[
        "draw",
        BOX,
        "--force",
        "--output",
        "/dev/full",
    ]));
    assert_eq!(status, Some(2), "{said}");
    assert!(said.contains("cannot write `/dev/full`"), "{said}");
}

#[test]
#[cfg(target_os = "linux")]
fn a_device_is_written_to_and_not_replaced() {
    use std::os::unix::fs::FileTypeExt;
    let (status, said) = run(&mut oilpath(&[
        "draw",
        BOX,
        "--force",
        "--output",
        "/dev/null",
    ]));
    assert_eq!((status, said.as_str()), (Some(0), ""));
    assert!(
        fs::metadata("/dev/null")
            .unwrap()
            .file_type()
            .is_char_device()
    );
}

#[test]
#[cfg(target_os = "linux")]
fn a_folder_that_takes_nothing_is_told() {
    // Not even the owner of all files can write there.
    let (status, said) = run(&mut oilpath(&[
        "draw",
        BOX,
        "--output",
        "/proc/circuit.svg",
    ]));
    assert_eq!(status, Some(2));
    assert!(said.contains("cannot write `/proc/circuit.svg`"), "{said}");
    assert!(
        !said.contains("os error") && said.contains("help: "),
        "{said}"
    );
    let (status, said) = run(&mut oilpath(&["new", "/proc/circuit.toml"]));
    assert_eq!(status, Some(2));
    assert!(said.contains("cannot write"), "{said}");
}

#[test]
#[cfg(unix)]
fn behind_a_link_the_file_is_replaced_and_the_link_stays() {
    let folder = tempfile::tempdir().unwrap();
    let (file, link) = (
        folder.path().join("file.svg"),
        folder.path().join("link.svg"),
    );
    fs::write(&file, "old").unwrap();
    std::os::unix::fs::symlink(&file, &link).unwrap();
    let (status, _) = run(oilpath(&["draw", BOX, "--force", "--output"]).arg(&link));
    assert_eq!(status, Some(0));
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(fs::read_to_string(&file).unwrap().starts_with("<svg"));
}

/// Killed at any moment, a run leaves what was there, or all of what is new.
#[test]
fn a_run_that_is_killed_leaves_the_old_file_or_the_whole_new_one() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("circuit.html");
    let mut kept = 0;
    for wait in [0, 5, 20, 60, 120, 250] {
        fs::write(&path, "old").unwrap();
        let mut command = oilpath(&["page", BOX, "--force", "--output"]);
        let mut child = command.arg(&path).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(wait));
        let _ = child.kill();
        child.wait().unwrap();
        let text = fs::read_to_string(&path).unwrap();
        assert!(text == "old" || text.ends_with("</html>\n"), "{text:.80}");
        kept += usize::from(text == "old");
    }
    assert!(kept > 0);
}

#[test]
fn a_file_too_large_is_refused_before_it_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.toml");
    let file = fs::File::create(&path).unwrap();
    // It takes no room on the disk.
    file.set_len(100 << 30).unwrap();
    for command in ["check", "tidy", "import"] {
        let (status, said) = run(oilpath(&[command]).arg(&path));
        assert_eq!(status, Some(2), "{command}");
        assert!(said.contains("large"), "{command}: {said}");
    }
}

#[test]
fn a_folder_or_nothing_in_place_of_a_file_is_told() {
    for (given, reason) in [("circuits", "cannot"), ("no/such/file.toml", "cannot")] {
        for command in ["check", "tidy", "import"] {
            let (status, said) = run(&mut oilpath(&[command, given]));
            assert_eq!(status, Some(2), "{command} {given}");
            assert!(said.contains(reason), "{command} {given}: {said}");
        }
    }
    assert!(Path::new("circuits").is_dir());
}

/// Both take far longer than a second on any machine.
#[test]
fn where_the_time_is_up_work_ends_and_a_sweep_keeps_what_it_has() {
    const BUS: &str = "circuits/six-speed-bus.toml";
    let (status, said) = run(&mut oilpath(&["agree", BUS, "--within", "1"]));
    assert_eq!(status, Some(2), "{said}");
    assert!(said.contains("within the time given"), "{said}");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pairs.csv");
    let sweep = [
        "sweep", BUS, "--pairs", "--format", "csv", "--within", "1", "--output",
    ];
    let (status, said) = run(oilpath(&sweep).arg(&path));
    assert_eq!(status, Some(2), "{said}");
    assert!(said.contains("--resume"), "{said}");
    assert!(!path.exists());
    assert!(folder.path().join("pairs.csv.partial").exists());
}
