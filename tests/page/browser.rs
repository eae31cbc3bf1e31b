//! The page in a browser: a link opens it at a state and a fault, and what it shows is what
//! `starve` says. `.ci/browser` installs the browser; where there is none these tests are passed
//! over, unless `OILPATH_BROWSER` names one, as `.ci/run` does: then it must work.

use std::path::Path;
use std::process::Command;

use oilpath::answer::{self, Verdict};
use oilpath::net::Net;
use oilpath::sheet;
use scraper::{Html, Selector};

use super::page_of;

/// The browser to test in; none where none is asked for and none is there.
fn browser() -> Option<String> {
    if let Ok(named) = std::env::var("OILPATH_BROWSER") {
        return Some(named);
    }
    let usual = "chromium";
    let found = Command::new(usual).arg("--version").output().is_ok();
    if !found {
        eprintln!("no browser: run `.ci/browser` to have the page tested in one");
    }
    found.then(|| usual.to_owned())
}

/// Opens a page at a link; gives the document that its script leaves, and what was logged.
fn open(browser: &str, page: &Path, link: &str) -> (Html, String) {
    let profile = tempfile::tempdir().unwrap();
    let run = Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--enable-logging=stderr",
            // So that a page that drives another may look into it.
            "--allow-file-access-from-files",
            "--virtual-time-budget=10000",
            "--dump-dom",
        ])
        .arg(format!("--user-data-dir={}", profile.path().display()))
        .arg(format!("file://{}#{link}", page.display()))
        .output()
        .unwrap();
    let log = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.success(), "{log}");
    let document = String::from_utf8_lossy(&run.stdout);
    (Html::parse_document(&document), log)
}

fn selector(text: &str) -> Selector {
    Selector::parse(text).unwrap()
}

/// The outlets with a verdict in the table of the page, by id, sorted.
fn shown(document: &Html, verdict: &str) -> Vec<String> {
    let rows = selector(&format!("#told li[data-verdict={verdict}]"));
    let outlets = document.select(&rows).map(|row| {
        let name = row.attr("data-outlet").unwrap();
        name.split_once('.').unwrap().1.to_owned()
    });
    let mut outlets: Vec<String> = outlets.collect();
    outlets.sort();
    outlets
}

#[test]
fn a_link_opens_the_six_speed_at_a_state_and_a_fault_as_starve_has_it() {
    let Some(browser) = browser() else {
        return;
    };
    let file = "circuits/six-speed-bus.toml";
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("circuit.html");
    let text = page_of(file);
    assert!(text.len() < 1_000_000, "{} bytes", text.len());
    std::fs::write(&page, text).unwrap();
    let circuit = sheet::open(file).unwrap().circuit;
    let net = Net::new(&circuit).unwrap();
    let mut starved = 0;
    for (state, fault) in [
        ("third", "shift-1:stuck=rest"),
        ("fifth", "separator:left-out"),
    ] {
        let link = format!("state={state}&fault={}", fault.replace('=', "%3D"));
        let (document, log) = open(&browser, &page, &link);
        // Errors of the script, and what the policy of the page refuses, are logged there.
        assert!(!log.contains("CONSOLE"), "{log}");
        let fault = circuit.fault(fault).unwrap();
        let answer = answer::starve(&net, &[fault], Some(state));
        for (verdict, word) in [
            (Verdict::Starved, "starved"),
            (Verdict::Weakened, "weakened"),
            (Verdict::OnWhenOff, "on-when-off"),
            (Verdict::Late, "late"),
            (Verdict::Harsh, "harsh"),
            (Verdict::Undecided, "undecided"),
        ] {
            let mut said = answer.with(state, verdict);
            said.sort_unstable();
            assert_eq!(shown(&document, word), said, "{state} {word}");
        }
        let hungry = answer.with(state, Verdict::Starved).len();
        let marks = document
            .select(&selector(".mark:not(.wrong) rect.fault"))
            .count();
        assert_eq!(marks, hungry, "marked in the drawing");
        starved += hungry;
        let told = document.select(&selector("#told")).next().unwrap();
        assert_eq!(told.attr("data-state"), Some(state));
    }
    assert!(starved > 0);
}

/// What a file says does not run, and breaks no script.
#[test]
fn hostile_labels_are_shown_and_nothing_else() {
    let Some(browser) = browser() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("labels.html");
    std::fs::write(&page, page_of("tests/hostile/labels.toml")).unwrap();
    let (document, log) = open(
        &browser,
        &page,
        "state=drive&part=outlet.bearing&fault=hop%3Aplugged",
    );
    assert!(!log.contains("CONSOLE"), "{log}");
    assert_eq!(shown(&document, "starved"), ["bearing"]);
    assert_eq!(document.select(&selector("b, img, [onerror]")).count(), 0);
    assert_eq!(document.select(&selector("script")).count(), 2);
}

/// Keys, clicks, the search, the choices and the link do what they say, 390 pixels wide.
#[test]
fn a_visitor_with_keys_or_clicks_gets_answers_on_a_narrow_screen() {
    let Some(browser) = browser() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let page = page_of("circuits/tractor-powershift.toml");
    std::fs::write(folder.path().join("circuit.html"), page).unwrap();
    let driver = folder.path().join("drive.html");
    std::fs::write(&driver, include_str!("drive.html")).unwrap();
    let (document, log) = open(&browser, &driver, "");
    assert!(!log.contains("CONSOLE"), "{log}");
    let found = |what: &str| -> String {
        let line = selector(&format!("#log li[data-what=\"{what}\"]"));
        let line = document.select(&line).next();
        let line = line.unwrap_or_else(|| panic!("the driver stopped before {what}"));
        line.text().collect()
    };
    // Nothing makes the page itself wider than the screen.
    assert!(found("width").parse::<u32>().unwrap() <= 390);
    assert_eq!(
        found("stops"),
        "1",
        "one stop of Tab in the drawing, arrows from there"
    );
    for (what, expected) in [
        ("moved", "true"),
        ("by key", "true"),
        ("by click", "hop"),
        ("starved", "outlet.pto-bearing"),
        (
            "link",
            "#state=neutral&part=orifice.hop&fault=hop%3Aplugged",
        ),
        ("state", "forward-low"),
        ("found", "power-take-off bearing (pto-bearing)"),
        ("culprit", "hop: outlet.pto-bearing"),
        ("sound", "true"),
    ] {
        assert_eq!(found(what), expected, "{what}");
    }
}
