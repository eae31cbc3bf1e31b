//! The circuit files of a folder.

use std::fs;
use std::path::PathBuf;

/// Every circuit file in a folder and below it, in order. Cases are about circuits and are none.
pub fn circuit_files(folder: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.ends_with("cases") {
            continue;
        }
        if path.is_dir() {
            found.extend(circuit_files(path.to_str().unwrap()));
        } else if path.extension().is_some_and(|e| e == "toml") {
            found.push(path);
        }
    }
    found.sort();
    found
}
