//! Pages: one file that is sound HTML, in which nothing of a circuit file is markup, and whose
//! data is what the engine says.

mod browser;
mod driver;
mod embedded;

use std::path::Path;

use oilpath::net::Net;
use oilpath::report::page::{Block, Line, Page, Role};
use oilpath::units::UnitSystem;
use oilpath::{page, sheet};
use scraper::{Html, Selector};

/// The page of a circuit file.
fn page_of(file: impl AsRef<Path>) -> String {
    let circuit = sheet::open(file.as_ref()).unwrap().circuit;
    let net = Net::new(&circuit).unwrap();
    page::circuit(&net, UnitSystem::Metric).unwrap()
}

/// The elements that a selector finds.
fn count(html: &Html, selector: &str) -> usize {
    html.select(&Selector::parse(selector).unwrap()).count()
}

/// What holds of every page.
fn check(text: &str) -> Html {
    let html = Html::parse_document(text);
    assert_eq!(html.errors, Vec::<&str>::new());
    assert_eq!(count(&html, "meta[http-equiv=Content-Security-Policy]"), 1);
    assert_eq!(count(&html, "h1"), 1);
    // Nothing is fetched: not one element has an address.
    assert_eq!(count(&html, "[src], [href], link, iframe, object, img"), 0);
    html
}

#[test]
fn a_page_is_sound_html_and_every_control_has_a_name() {
    for file in [
        "circuits/transfer-box.toml",
        "circuits/lessons/shuttle.toml",
    ] {
        let text = page_of(file);
        let html = check(&text);
        assert_eq!(count(&html, "script:not([type])"), 1, "{file}");
        for control in html.select(&Selector::parse("select, input").unwrap()) {
            let id = control.attr("id").unwrap();
            let named = control.attr("aria-label").is_some();
            assert!(
                named || count(&html, &format!("label[for={id}]")) == 1,
                "{file}: {id}"
            );
        }
        for button in html.select(&Selector::parse("button").unwrap()) {
            assert!(button.text().any(|t| !t.trim().is_empty()), "{file}");
        }
    }
}

#[test]
fn the_same_circuit_gives_the_same_bytes() {
    let file = "circuits/transfer-box.toml";
    assert_eq!(page_of(file), page_of(file));
}

#[test]
fn what_a_file_says_stays_text() {
    let text = page_of("tests/hostile/labels.toml");
    let html = check(&text);
    // The page's own script and its data, and nothing that a label brought.
    assert_eq!(count(&html, "script"), 2);
    assert_eq!(count(&html, "td, b, img, [onerror]"), 0);
    assert!(!text.contains("<script>alert"));
    assert!(!text.contains('\u{1b}'));
    let title = html.select(&Selector::parse("h1").unwrap()).next().unwrap();
    let title: String = title.text().collect();
    assert!(title.contains("<script>alert(1)</script>"), "{title}");
}

#[test]
fn a_report_shows_every_kind_of_block_and_no_markup_of_a_file() {
    let hostile = || Line::from("</script><script>alert(1)</script>");
    let page = Page {
        title: hostile(),
        blocks: vec![
            Block::Heading(hostile()),
            Block::Lead(hostile() + Line::role(Role::Drained, "S starved")),
            Block::Text(hostile()),
            Block::List(vec![hostile()]),
            Block::Steps(vec![hostile(), hostile()]),
            Block::Table {
                head: vec!["one"],
                rows: vec![vec![Line::id("<i>")]],
            },
            Block::Code(vec![hostile()]),
            Block::Tree(vec![hostile()]),
            Block::Note(hostile()),
        ],
    };
    let json = r#"{"label":"</script><!--"}"#;
    let text = page::report(&page, Some("Asked <b>?"), &page::Drawings::default(), json);
    let html = check(&text);
    assert_eq!(count(&html, "script"), 1);
    assert_eq!(count(&html, "i, b"), 0);
    for one in [
        "h2",
        "p.lead span.drained",
        "ul li",
        "table tbody tr td code",
        "p.note",
    ] {
        assert_eq!(count(&html, one), 1, "{one}");
    }
    assert_eq!(count(&html, "ol li"), 2);
    assert_eq!(count(&html, "pre"), 2);
    let data = html
        .select(&Selector::parse("script#answer").unwrap())
        .next();
    let data: String = data.unwrap().text().collect();
    let read: serde_json::Value = serde_json::from_str(&data).unwrap();
    assert_eq!(
        read,
        serde_json::from_str::<serde_json::Value>(json).unwrap()
    );
}

/// Every question answers as a page; what starves has its drawing, and the JSON of the answer.
#[test]
fn a_question_is_answered_as_a_page_with_its_drawing_and_its_json() {
    let run = |arguments: &str| {
        let mut command = assert_cmd::Command::cargo_bin("oilpath").unwrap();
        let out = command.args(arguments.split(' ')).output().unwrap();
        String::from_utf8(out.stdout).unwrap()
    };
    let asked = "starve circuits/tractor-powershift.toml hop-cover:loose --format";
    let text = run(&format!("{asked} html"));
    let html = check(&text);
    assert_eq!(count(&html, "svg.oil-drawing"), 1);
    assert_eq!(count(&html, "svg [data-verdict=starved]"), 1);
    assert_eq!(count(&html, "p.lead"), 1);
    let data = html
        .select(&Selector::parse("script#answer").unwrap())
        .next();
    let data: String = data.unwrap().text().collect();
    let json: serde_json::Value = serde_json::from_str(&run(&format!("{asked} json"))).unwrap();
    assert_eq!(
        serde_json::from_str::<serde_json::Value>(&data).unwrap(),
        json
    );
    for other in [
        "check circuits/transfer-box.toml",
        "trace circuits/transfer-box.toml front-clutch",
        "sweep circuits/lessons/check-ball.toml",
        "chart circuits/transfer-box.toml",
    ] {
        let html = check(&run(&format!("{other} --format html")));
        assert_eq!(count(&html, "script#answer"), 1, "{other}");
        assert_eq!(count(&html, "script"), 1, "{other}");
    }
}

/// A lesson has its whole way drawn once, with its steps by number, and each step small beside its
/// words.
#[test]
fn a_lesson_has_a_small_drawing_with_each_step() {
    let mut command = assert_cmd::Command::cargo_bin("oilpath").unwrap();
    let asked = "lesson circuits/tractor-powershift.toml pto-bearing --format html";
    let out = command.args(asked.split(' ')).output().unwrap();
    let html = check(&String::from_utf8(out.stdout).unwrap());
    assert_eq!(count(&html, "div.sheet svg"), 1);
    assert_eq!(count(&html, "div.small svg"), 5);
    assert_eq!(
        count(&html, "style"),
        2,
        "the page's and one of the drawings"
    );
    let with_id = Selector::parse("[id]").unwrap();
    let ids = html.select(&with_id);
    let mut ids: Vec<&str> = ids.map(|e| e.attr("id").unwrap()).collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all, "no id twice");
}
