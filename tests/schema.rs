//! The schema of the circuit file agrees with its reader as far as a schema can, and every JSON
//! answer with the schema of its kind.

#[path = "support/files.rs"]
mod files;
#[path = "sheet/parts.rs"]
mod parts;
#[path = "sheet/valid.rs"]
mod valid;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use files::circuit_files;
use jsonschema::Validator;
use oilpath::circuit::is_id;
use oilpath::report::{AnswerSchema, SCHEMAS};
use oilpath::sheet;
use oilpath::units::{
    Area, Density, Displacement, DynamicViscosity, Flow, KinematicViscosity, Length, Pressure,
    Quantity, Speed, Temperature, Torque, Volume,
};
use proptest::prelude::*;
use serde_json::{Value, json};

/// What a schema can see: one value or one table at a time, none by what another says.
const SEEN: [&str; 10] = [
    "wrong-type",
    "bare-number",
    "bad-size",
    "bad-word",
    "unknown-key",
    "unknown-kind",
    "stray-key",
    "missing-key",
    "one-of",
    "bad-id",
];

fn circuit_file() -> Validator {
    jsonschema::validator_for(&sheet::schema()).unwrap()
}

/// A TOML text as JSON, if it is one.
fn as_json(text: &str) -> Option<Value> {
    fn value(toml: &toml::Value) -> Value {
        match toml {
            toml::Value::String(text) => json!(text),
            toml::Value::Integer(number) => json!(number),
            toml::Value::Float(number) => json!(number),
            toml::Value::Boolean(flag) => json!(flag),
            toml::Value::Datetime(date) => json!({ "date": date.to_string() }),
            toml::Value::Array(items) => items.iter().map(value).collect(),
            toml::Value::Table(table) => table
                .iter()
                .map(|(key, item)| (key.clone(), value(item)))
                .collect(),
        }
    }
    let table: toml::Table = text.parse().ok()?;
    Some(value(&toml::Value::Table(table)))
}

fn complaints(schema: &Validator, file: &Path) -> Option<Vec<String>> {
    let json = as_json(&fs::read_to_string(file).ok()?)?;
    let found = schema.iter_errors(&json);
    Some(
        found
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect(),
    )
}

#[test]
fn every_sound_circuit_is_accepted() {
    let schema = circuit_file();
    let sound: Vec<PathBuf> = ["circuits", "tests/slips"].map(circuit_files).concat();
    assert!(sound.len() >= 13);
    for file in sound {
        let said = complaints(&schema, &file).unwrap();
        assert_eq!(said, [""; 0], "{}", file.display());
    }
}

#[test]
fn of_the_gallery_it_rejects_what_a_schema_can_see_and_nothing_else() {
    let schema = circuit_file();
    let mut rejected = BTreeSet::new();
    for file in circuit_files("tests/broken") {
        let Some(said) = complaints(&schema, &file) else {
            continue;
        };
        let refused = sheet::open(&file)
            .err()
            .map(|r| r.diagnostics)
            .unwrap_or_default();
        let seen: Vec<&str> = refused
            .iter()
            .map(|d| d.code)
            .filter(|c| SEEN.contains(c))
            .collect();
        assert_eq!(
            said.is_empty(),
            seen.is_empty(),
            "{}: {said:?} {seen:?}",
            file.display()
        );
        rejected.extend(seen);
    }
    assert_eq!(rejected, SEEN.into_iter().collect());
}

#[test]
fn the_schema_of_the_circuit_file() {
    snapshot("circuit", &sheet::schema());
}

#[test]
fn the_schema_of_each_answer() {
    for AnswerSchema { answer, schema } in SCHEMAS {
        snapshot(answer, &schema());
    }
}

fn snapshot(name: &str, schema: &Value) {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots/schema");
    let text = serde_json::to_string_pretty(schema).unwrap();
    settings.bind(|| insta::assert_snapshot!(name, text));
}

fn pattern(pattern: &str) -> Validator {
    jsonschema::validator_for(&json!({ "pattern": pattern })).unwrap()
}

/// Numbers and units as they are typed, right and wrong: the pattern takes what is read.
#[test]
fn the_pattern_of_a_size_takes_what_the_reader_takes() {
    fn agree<Q: Quantity>() {
        let pattern = pattern(&Q::pattern());
        let units = Q::accepts().iter().map(|unit| (*unit).to_owned());
        let plain = |unit: String| {
            let typed = unit.replace('³', "3").replace('²', "^2").replace('µ', "u");
            [
                unit.clone(),
                typed.replace('·', "."),
                typed.replace('·', " - "),
                unit.replace('·', ""),
            ]
        };
        let strange =
            ["", "furlong", "MM", "mmm", "l/m", "bar.", "psia", "cm^^3"].map(str::to_owned);
        let units: Vec<String> = units.flat_map(plain).chain(strange).collect();
        let mut read = 0;
        for number in [
            "1.2", "1", ".5", "5.", "1e-3", "+2.5E+2", "1,2", "1/16", "1 2", "", "e", "1.2.3",
        ] {
            for unit in &units {
                for text in [format!("{number} {unit}"), format!(" {number}{unit}\t")] {
                    let reads = text.parse::<Q>().is_ok();
                    read += usize::from(reads);
                    assert_eq!(
                        pattern.is_valid(&json!(text)),
                        reads,
                        "{}: {text:?}",
                        Q::NAME
                    );
                }
            }
        }
        assert!(read >= 12, "{}: {read}", Q::NAME);
    }
    agree::<Pressure>();
    agree::<Length>();
    agree::<Area>();
    agree::<Volume>();
    agree::<Flow>();
    agree::<Temperature>();
    agree::<KinematicViscosity>();
    agree::<DynamicViscosity>();
    agree::<Density>();
    agree::<Torque>();
    agree::<Speed>();
    agree::<Displacement>();
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_is_written_is_accepted(circuit in valid::circuit()) {
        let json = as_json(&sheet::write(&circuit)).unwrap();
        let schema = circuit_file();
        let said: Vec<String> = schema.iter_errors(&json).map(|e| e.to_string()).collect();
        prop_assert!(said.is_empty(), "{said:?}");
    }

    #[test]
    fn an_id_is_one_to_both(id in r"(?:[a-zé½Ⅷ٣\u{345}·_ .-]|and|or|not|[0-9]){0,4}|\PC{0,3}") {
        let schema = sheet::schema();
        let id_alone = jsonschema::validator_for(&schema["definitions"]["id"]).unwrap();
        prop_assert_eq!(id_alone.is_valid(&json!(id)), is_id(&id));
    }
}
