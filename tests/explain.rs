//! Every code is explained, and its examples are what they say.

use std::collections::BTreeSet;
use std::io;
use std::path::Path;

use oilpath::explain::{self, Example, Explanation};
use oilpath::lint::{self, Doubt};
use oilpath::net::Net;
use oilpath::sheet::{self, DEEPEST_INCLUDE, LARGEST_FILE, Refusal, Severity};

/// Every code that the bytes of a file `box.toml` get.
fn codes(bytes: &[u8]) -> BTreeSet<&'static str> {
    let mut files = |path: &Path| match path.to_str() {
        Some("box.toml") => Ok(bytes.to_vec()),
        _ => Err(io::ErrorKind::NotFound.into()),
    };
    match sheet::open_with("box.toml", &mut files) {
        Err(refusal) => errors(&refusal),
        Ok(sheet) => {
            let net = Net::new(&sheet.circuit).unwrap();
            lint::lint(&net).iter().map(|w| w.what.code()).collect()
        }
    }
}

fn errors(refusal: &Refusal) -> BTreeSet<&'static str> {
    refusal.diagnostics.iter().map(|d| d.code).collect()
}

fn is_error(code: &str) -> bool {
    sheet::codes().any(|known| known == code)
}

#[test]
fn every_code_is_explained_once_and_nothing_else() {
    let explained: Vec<&str> = explain::all().map(|known| known.code).collect();
    let once: BTreeSet<&str> = explained.iter().copied().collect();
    assert_eq!(once.len(), explained.len());
    assert_eq!(once, sheet::codes().chain(Doubt::CODES).collect());
    for Explanation { code, severity, .. } in explain::all() {
        assert_eq!(*severity == Severity::Error, is_error(code), "{code}");
    }
}

#[test]
fn every_bad_example_gets_its_code_alone_and_every_good_one_nothing_of_the_sort() {
    for known in explain::all() {
        let Example::Sheet { bad, mend } = known.example else {
            continue;
        };
        let code = known.code;
        assert_eq!(bad.matches(mend.0).count(), 1, "{code}: {}", mend.0);
        assert_eq!(codes(bad.as_bytes()), BTreeSet::from([code]), "{code}");
        let good = codes(known.good().as_bytes());
        // An error put right leaves no error, a slip put right leaves nothing at all.
        assert!(!good.iter().any(|left| is_error(left)), "{code}: {good:?}");
        if known.severity == Severity::Warning {
            assert_eq!(good, BTreeSet::new(), "{code}");
        }
    }
}

#[test]
fn what_only_words_can_show_is_true_too() {
    let told: BTreeSet<&str> = explain::all()
        .filter(|known| matches!(known.example, Example::Words { .. }))
        .map(|known| known.code)
        .collect();
    let only = |code| BTreeSet::from([code]);
    let mut shown = BTreeSet::new();

    let text = "[casting]\nblock = { passages = ['line'] }\n";
    let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert_eq!(codes(&[b"\xFF\xFE", &*wide].concat()), only("not-utf8"));
    shown.insert("not-utf8");

    let mut large = text.as_bytes().to_vec();
    large.resize(LARGEST_FILE + 1, b'\n');
    assert_eq!(codes(&large), only("too-large"));
    shown.insert("too-large");

    let nested = |deep: usize| {
        let mut files = |path: &Path| {
            let n: usize = path.to_str().unwrap().parse().unwrap();
            let next = if n < deep {
                format!("include = ['{}']", n + 1)
            } else {
                String::new()
            };
            Ok(next.into_bytes())
        };
        sheet::open_with("0", &mut files)
    };
    assert!(nested(DEEPEST_INCLUDE).is_ok());
    assert_eq!(
        errors(&nested(DEEPEST_INCLUDE + 1).unwrap_err()),
        only("include-depth")
    );
    shown.insert("include-depth");

    let alone = sheet::read("include = [\"case.toml\"]").unwrap_err();
    assert_eq!(errors(&alone), only("include-here"));
    shown.insert("include-here");

    let circuit = "[casting]\nblock = { passages = ['line'] }\n[state]\nreverse = {}\n";
    let circuit = sheet::read(circuit).unwrap().circuit;
    let case = |text| sheet::read_case(text, &circuit, &|_, _| Ok(()));
    let refusal = case("saw = [\"revers: none\"]").unwrap_err();
    assert_eq!(errors(&refusal), only("bad-sighting"));
    assert!(case("saw = [\"reverse: none\"]").is_ok());
    shown.insert("bad-sighting");

    assert_eq!(shown, told);
}

#[test]
fn gists_are_one_line_and_examples_narrow() {
    for known in explain::all() {
        assert!(known.gist().len() <= 58, "{}", known.gist());
        assert!(known.gist().ends_with('.') && known.means.ends_with('.'));
        if matches!(known.example, Example::Sheet { .. }) {
            let good = known.good();
            let widest = known.bad().lines().chain(good.lines()).map(str::len).max();
            assert!(widest <= Some(100), "{}", known.code);
        }
    }
}

#[test]
fn a_code_nearly_right_is_told() {
    let unknown = explain::explain("unknwon-id").unwrap_err();
    assert_eq!(unknown.near[0], "unknown-id");
    assert_eq!(unknown.to_string(), "there is no code `unknwon-id`");
}
