//! The contributor guide and the crate page tell the truth about the house.

use std::collections::BTreeSet;

fn modules() -> BTreeSet<String> {
    let entries = std::fs::read_dir("src").unwrap();
    let names = entries.map(|e| e.unwrap().file_name().into_string().unwrap());
    let names = names.map(|n| n.trim_end_matches(".rs").to_owned());
    names.filter(|n| n != "lib" && n != "main").collect()
}

/// The first code word of each row of the first table after a heading.
fn rows(text: &str, heading: &str) -> Vec<String> {
    let table = text.split(heading).nth(1).unwrap();
    let rows = table.lines().skip_while(|l| !l.contains("|---")).skip(1);
    let rows = rows.take_while(|l| l.contains("| "));
    rows.map(|l| l.split('`').nth(1).unwrap().to_owned())
        .collect()
}

#[test]
fn the_map_names_every_module_and_no_other() {
    let map = rows(include_str!("../DEVELOPERS.md"), "## The map");
    let mapped: BTreeSet<String> = map.iter().cloned().collect();
    assert_eq!(mapped.len(), map.len(), "named twice");
    assert_eq!(mapped, modules());
}

/// The crate page lists what the library has: all but the command line.
#[test]
fn the_crate_page_lists_the_library_in_the_same_order() {
    let page = rows(include_str!("../src/lib.rs"), "# The house");
    let mut map = rows(include_str!("../DEVELOPERS.md"), "## The map");
    map.retain(|m| m != "cli");
    assert_eq!(page, map);
}

/// The arrows of the map: no module uses one below it.
#[test]
fn arrows_run_one_way() {
    let map = rows(include_str!("../DEVELOPERS.md"), "## The map");
    for (i, module) in map.iter().enumerate() {
        let below = &map[i + 1..];
        for (path, text) in sources(module) {
            let code = text.lines().filter(|l| !l.trim_start().starts_with("//"));
            for line in code {
                for other in below {
                    let used = line.contains(&format!("crate::{other}::"));
                    assert!(!used, "{path} uses {other}, which lies below it");
                }
            }
        }
    }
}

fn sources(module: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut folders = vec![format!("src/{module}")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.to_str().unwrap().to_owned();
            if path.is_dir() {
                folders.push(name);
            } else if name.ends_with(".rs") {
                let text = std::fs::read_to_string(&path).unwrap();
                found.push((name, text));
            }
        }
    }
    found
}
