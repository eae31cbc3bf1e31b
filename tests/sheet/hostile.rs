//! No text and no bytes make reading panic, and reading twice gives the same.

use oilpath::circuit::Circuit;
use oilpath::sheet::{self, Refusal};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};

use crate::valid::circuit;

/// Reads bytes as a file, twice, and looks every label up.
fn probe(bytes: &[u8]) -> Result<(), TestCaseError> {
    let read = || -> Result<Circuit, Refusal> {
        let mut load = |_: &std::path::Path| Ok(bytes.to_vec());
        sheet::open_with("probe.toml", &mut load).map(|sheet| sheet.circuit)
    };
    let first = read();
    prop_assert_eq!(&first, &read());
    let Err(refusal) = first else { return Ok(()) };
    prop_assert!(!refusal.diagnostics.is_empty());
    prop_assert_eq!(refusal.to_string().is_empty(), false);
    for diagnostic in &refusal.diagnostics {
        prop_assert!(sheet::codes().any(|code| code == diagnostic.code));
        prop_assert!(!diagnostic.message.is_empty() && !diagnostic.remedy.is_empty());
        prop_assert!(!diagnostic.labels.is_empty());
        for label in &diagnostic.labels {
            let text = &refusal.sources[label.at.file].text;
            prop_assert!(text.get(label.at.range()).is_some(), "{:?}", diagnostic);
        }
    }
    Ok(())
}

/// What circuit files are made of, in any order.
fn soup() -> impl Strategy<Value = String> {
    let tokens = vec![
        "[",
        "]",
        "{",
        "}",
        "[[",
        "]]",
        "=",
        ",",
        ".",
        "\"",
        "'",
        "\"\"\"",
        "'''",
        "#",
        "\n",
        "\r\n",
        " ",
        "\t",
        "\\",
        "\u{7f}",
        "é",
        "„",
        "casting",
        "passages",
        "valve",
        "v",
        "bore",
        "joins",
        "between",
        "kind",
        "state",
        "include",
        "lever",
        "passage",
        "outlet",
        "needs",
        "\"line\"",
        "\"sump\"",
        "'1.2 mm'",
        "\"3\\u0020bar\"",
        "1.2",
        "08",
        "true",
        "0x1F",
        "1979-05-27",
        "when",
        "\"a and (b\"",
        "probe.toml",
        "-",
        "inf",
        "\"probe.toml\"",
    ];
    vec(select(tokens), 0..60).prop_map(|tokens| tokens.concat())
}

/// A valid text with pieces cut out, doubled or overwritten.
fn mutant() -> impl Strategy<Value = Vec<u8>> {
    let cuts = vec((any::<Index>(), 0usize..40, 0u8..4, any::<u8>()), 1..6);
    (circuit(), cuts).prop_map(|(circuit, cuts)| {
        let mut bytes = sheet::write(&circuit).into_bytes();
        for (at, length, how, byte) in cuts {
            let start = at.index(bytes.len().max(1));
            let end = (start + length).min(bytes.len());
            match how {
                0 => drop(bytes.drain(start..end)),
                1 => bytes.truncate(start),
                2 => {
                    let piece = bytes[start..end].to_vec();
                    bytes.splice(end..end, piece);
                }
                _ => bytes.insert(start, byte),
            }
        }
        bytes
    })
}

proptest! {
    #[test]
    fn any_bytes(bytes in vec(any::<u8>(), 0..200)) {
        probe(&bytes)?;
    }

    #[test]
    fn any_text(text in any::<String>()) {
        probe(text.as_bytes())?;
    }

    #[test]
    fn any_tokens(text in soup()) {
        probe(text.as_bytes())?;
    }

    #[test]
    fn any_damage_to_a_valid_file(bytes in mutant()) {
        probe(&bytes)?;
    }
}

#[test]
fn deep_nesting_is_refused_and_does_not_end_the_stack() {
    for text in [
        "a = [",
        "a = { b = ",
        "[a.",
        "valve.v.",
        "[[",
        "\"",
        "a = [",
    ] {
        let deep = text.repeat(20_000);
        assert!(sheet::read(&deep).is_err());
        assert!(sheet::read(&format!("a = {}", text.repeat(5_000))).is_err());
    }
    let closed = format!("a = {}{}", "[".repeat(10_000), "]".repeat(10_000));
    assert!(sheet::read(&closed).is_err());
}
