//! Pages in a browser: a link opens one at a state and a fault, clicks and keys do what they say,
//! and what is shown is what the engine says.

use std::path::PathBuf;

use oilpath::answer::{self, Verdict};
use oilpath::net::Net;
use oilpath::report::{self, QuizSheet, Words};
use oilpath::teach::{Examiner, QuizLevel};
use oilpath::{page, sheet};
use tempfile::TempDir;

use super::driver::{DOWN, Driver, ENTER, TAB};
use super::page_of;

/// A page as a file of its own.
fn file(text: &str) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("page.html");
    std::fs::write(&path, text).unwrap();
    (folder, path)
}

/// The outlets with a verdict in the answer of the page, by id, sorted.
fn shown(driver: &Driver, verdict: &str) -> Vec<String> {
    let rows = format!("[...document.querySelectorAll('#told li[data-verdict={verdict}]')]");
    let names = driver.ask(&format!("{rows}.map(row => row.dataset.outlet)"));
    let names = names.as_array().unwrap().iter();
    let mut ids: Vec<String> = names
        .map(|name| name.as_str().unwrap().split_once('.').unwrap().1.to_owned())
        .collect();
    ids.sort();
    ids
}

#[test]
fn a_link_opens_the_six_speed_at_a_state_and_a_fault_as_starve_has_it() {
    let Some(driver) = Driver::start() else {
        return;
    };
    let of = "circuits/six-speed-bus.toml";
    let text = page_of(of);
    assert!(text.len() < 1_000_000, "{} bytes", text.len());
    let (_folder, page) = file(&text);
    let circuit = sheet::open(of).unwrap().circuit;
    let net = Net::new(&circuit).unwrap();
    let mut starved = 0;
    for (state, fault) in [
        ("third", "shift-1:stuck=rest"),
        ("fifth", "separator:left-out"),
    ] {
        driver.open(
            &page,
            &format!("state={state}&fault={}", fault.replace('=', "%3D")),
        );
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
            assert_eq!(shown(&driver, word), said, "{state} {word}");
        }
        let hungry = answer.with(state, Verdict::Starved).len();
        let marks = "document.querySelectorAll('.mark:not(.wrong) rect.fault').length";
        assert_eq!(driver.ask(marks), hungry, "marked in the drawing");
        starved += hungry;
        let told = "document.getElementById('told').dataset.state";
        assert_eq!(driver.text(told), state);
    }
    assert!(starved > 0);

    // The same by hand: choose the state, click the part, choose what is wrong with it.
    driver.open(&page, "");
    driver.type_into("#state", "third");
    driver.click("#valve-shift-1");
    driver.type_into("#fault", "stuck: rest");
    let fault = circuit.fault("shift-1:stuck=rest").unwrap();
    let answer = answer::starve(&net, &[fault], Some("third"));
    let mut said = answer.with("third", Verdict::Starved);
    said.sort_unstable();
    assert_eq!(shown(&driver, "starved"), said);
    driver.check_quiet();
}

/// The drawing is coloured as the fault has it, and as before without it.
#[test]
fn the_drawing_follows_the_fault() {
    let Some(driver) = Driver::start() else {
        return;
    };
    let (_folder, page) = file(&page_of("circuits/tractor-powershift.toml"));
    let role = "document.getElementById('cavity-lube-rear').dataset.role";
    driver.open(&page, "state=neutral");
    assert_eq!(driver.text(role), "supply");
    driver.open(&page, "state=neutral&fault=hop-cover%3Aloose");
    assert_eq!(driver.text(role), "drained");
    driver.click("#sound");
    assert_eq!(driver.text(role), "supply");
    driver.check_quiet();
}

/// What a file says does not run, and breaks no script.
#[test]
fn hostile_labels_are_shown_and_nothing_else() {
    let Some(driver) = Driver::start() else {
        return;
    };
    let (_folder, page) = file(&page_of("tests/hostile/labels.toml"));
    driver.open(&page, "state=drive&part=outlet.bearing&fault=hop%3Aplugged");
    assert_eq!(shown(&driver, "starved"), ["bearing"]);
    let count = |what: &str| driver.ask(&format!("document.querySelectorAll('{what}').length"));
    assert_eq!(count("b, img, [onerror]"), 0);
    assert_eq!(count("script"), 2);
    driver.check_quiet();
}

/// Keys, clicks, the search, the choices and the link do what they say, on a phone's screen.
#[test]
fn a_visitor_with_keys_or_clicks_gets_answers_on_a_narrow_screen() {
    let Some(driver) = Driver::start() else {
        return;
    };
    let (_folder, page) = file(&page_of("circuits/tractor-powershift.toml"));
    driver.narrow();
    driver.open(&page, "");
    let width = driver.ask("document.documentElement.scrollWidth");
    assert!(width.as_u64().unwrap() <= 390, "{width}");
    let stops = "document.querySelectorAll('.oil-drawing [tabindex=\"0\"]').length";
    assert_eq!(driver.ask(stops), 1, "one stop of Tab, arrows from there");
    let chosen = "document.getElementById('part').selectedOptions[0].textContent";
    let starved = || shown(&driver, "starved").join(" ");

    // With the keyboard alone, from the top of the page into the drawing.
    let in_drawing = "document.activeElement.matches('g.item')";
    for _ in 0..30 {
        driver.press(&[TAB]);
        if driver.ask(in_drawing) == true {
            break;
        }
    }
    let focus = "document.activeElement.id";
    let first = driver.text(focus);
    driver.press(&[DOWN]);
    assert_eq!(driver.ask(in_drawing), true);
    assert_ne!(driver.text(focus), first);
    driver.press(&[ENTER]);
    let name = driver.text("document.activeElement.getAttribute('aria-label')");
    assert!(name.starts_with(&driver.text(chosen)), "{name}");

    driver.click("#orifice-hop");
    assert_eq!(driver.text(chosen), "hop");
    driver.type_into("#fault", "plugged");
    assert_eq!(starved(), "pto-bearing");
    assert_eq!(
        driver.text("location.hash"),
        "#state=neutral&part=orifice.hop&fault=hop%3Aplugged"
    );
    driver.type_into("#state", "forward-low");
    let told = |what: &str| driver.text(&format!("document.getElementById('told').dataset.{what}"));
    assert_eq!(told("state"), "forward-low");

    driver.type_into("#find", "power-take-off bearing");
    driver.press(&[ENTER]);
    assert_eq!(driver.text(chosen), "power-take-off bearing (pto-bearing)");
    let culprit = "[...document.querySelectorAll('#told button')]
        .find(one => one.textContent === 'hop:plugged').id = 'culprit'";
    driver.ask(culprit);
    driver.click("#culprit");
    assert_eq!(
        (driver.text(chosen), starved()),
        ("hop".to_owned(), "pto-bearing".to_owned())
    );
    driver.click("#sound");
    assert_eq!((told("fault"), starved()), (String::new(), String::new()));
    driver.check_quiet();
}

/// A quiz marks what was chosen by its key, says why, and forgets it when asked to.
#[test]
fn a_quiz_marks_itself() {
    let Some(driver) = Driver::start() else {
        return;
    };
    let circuit = sheet::open("circuits/tractor-powershift.toml").unwrap();
    let circuit = circuit.circuit;
    let net = Net::new(&circuit).unwrap();
    let words = Words {
        circuit: &circuit,
        units: Default::default(),
    };
    let quiz = Examiner::new(&net).quiz(7, QuizLevel::MovingValves, 4);
    let sheet = QuizSheet::new(&quiz.unwrap(), &words);
    let json = report::json(&sheet).unwrap();
    let (_folder, page) = file(&page::quiz(&words, &sheet, &json));
    driver.narrow();
    driver.open(&page, "");
    let [right, wrong, ..] = &sheet.questions[..] else {
        panic!("a quiz of four");
    };
    let choose = |question: usize, choice: usize| {
        driver.click(&format!(
            "[data-question=\"{question}\"] input[value=\"{choice}\"]"
        ));
    };
    let mistaken = (wrong.right + 1) % wrong.choices.len();
    choose(0, right.right);
    choose(1, mistaken);
    driver.click("#mark");
    let score = "document.getElementById('score').textContent";
    assert_eq!(driver.text(score), "1 of 4 right, 2 not answered.");
    let marks = "[...document.querySelectorAll('[data-question]')].map(q => q.dataset.mark ?? '')";
    let marks = || driver.text(&format!("{marks}.join(' ')"));
    assert_eq!(marks(), "right wrong open open");
    let said = |question: usize| {
        let mark = format!("document.querySelectorAll('.mark')[{question}]");
        driver.text(&format!("{mark}.textContent"))
    };
    assert!(said(0).contains(&right.why), "{}", said(0));
    let against = &wrong.against[mistaken][1..];
    assert!(said(1).contains(against), "{}", said(1));
    assert!(said(1).contains(&wrong.choices[wrong.right]), "{}", said(1));
    // What is changed is not marked until asked for again.
    choose(1, wrong.right);
    assert_eq!(marks(), "right  open open");
    driver.click("#mark");
    assert_eq!(driver.text(score), "2 of 4 right, 2 not answered.");
    driver.click("#again");
    assert_eq!(
        (marks(), driver.text(score)),
        ("   ".to_owned(), String::new())
    );
    let width = driver.ask("document.documentElement.scrollWidth");
    assert!(width.as_u64().unwrap() <= 390, "{width}");
    driver.check_quiet();
}
