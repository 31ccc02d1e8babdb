//! Rooms import only rooms below them, in the order of the table in `DEVELOPERS.md`, and those that compute hold no sentences; kinds
//! of sheet import only what the table in `src/sheets/mod.rs` grants them.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::fs;

mod sources;

use sources::{project, sentences, sources, without_tests};

/// Rows of a table of a file whose heading begins with `heading`: the names that stand in backticks.
fn table(file: &str, heading: &str) -> Vec<Vec<String>> {
    let text = fs::read_to_string(project().join(file)).unwrap();
    let rows = text
        .lines()
        .map(|line| line.trim_start_matches("//! "))
        .skip_while(|line| !line.starts_with(heading))
        .skip(2);
    rows.take_while(|line| line.starts_with("| `"))
        .map(|line| {
            line.split('`')
                .skip(1)
                .step_by(2)
                .map(str::to_owned)
                .collect()
        })
        .collect()
}

/// Rooms from bottom to top, as the table lists them.
fn rooms() -> Vec<String> {
    table("DEVELOPERS.md", "| room |")
        .into_iter()
        .map(|mut row| row.swap_remove(0))
        .collect()
}

/// The first names after each `path` of a source, as `crate::`, those in braces one by one. Comments are left out, and tests.
fn imported(source: &str, path: &str) -> Vec<String> {
    let code: String = without_tests(source)
        .lines()
        .map(|line| line.split("//").next().unwrap_or(""))
        .collect::<Vec<_>>()
        .join(" ");
    let mut found = Vec::new();
    for rest in code.split(path).skip(1) {
        let Some(group) = rest.strip_prefix('{') else {
            found.push(word(rest));
            continue;
        };
        let mut depth = 0;
        let mut start = 0;
        for (at, sign) in group.char_indices() {
            match sign {
                '{' => depth += 1,
                '}' if depth > 0 => depth -= 1,
                ',' | '}' if depth == 0 => {
                    found.push(word(&group[start..at]));
                    start = at + 1;
                    if sign == '}' {
                        break;
                    }
                }
                _ => {}
            }
        }
    }
    found.retain(|name| !name.is_empty());
    found
}

fn word(text: &str) -> String {
    text.trim_start()
        .chars()
        .take_while(|sign| sign.is_alphanumeric() || *sign == '_')
        .collect()
}

#[test]
fn groups_and_single_names_are_found_and_comments_are_not() {
    let source = "use crate::{\n    plan::{A, B},\n    survey,\n};\nlet x = crate::units::MM; // crate::cli\n";
    assert_eq!(imported(source, "crate::"), ["plan", "survey", "units"]);
    assert_eq!(
        imported("use crate::{page, sheets::{a::X, b}};", "sheets::"),
        ["a", "b"]
    );
}

#[test]
fn every_folder_below_src_is_a_room_of_the_table_and_every_room_a_folder() {
    let entries = fs::read_dir(project().join("src"))
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let mut folders: Vec<String> = entries
        .filter(|path| path.is_dir())
        .map(|path| path.file_name().unwrap().to_str().unwrap().to_owned())
        .collect();
    folders.sort();
    let mut table = rooms();
    table.sort();
    assert_eq!(folders, table);
}

#[test]
fn no_room_imports_one_above_it() {
    let rooms = rooms();
    let (mut wrong, mut imports) = (Vec::new(), 0);
    for (height, room) in rooms.iter().enumerate() {
        for path in sources(&project().join("src").join(room)) {
            for name in imported(&fs::read_to_string(&path).unwrap(), "crate::") {
                let Some(other) = rooms.iter().position(|known| *known == name) else {
                    continue;
                };
                imports += 1;
                if other > height {
                    wrong.push(format!("{}: {name}", path.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(imports > 500, "{imports}");
}

/// Rooms that return findings as data.
const WORDLESS: [&str; 4] = ["plan", "survey", "cover", "stencil"];

/// What reads a file of its own format names keys, columns and what belongs there.
const READERS: [&str; 5] = [
    "survey/precision.rs",
    "survey/readings/csv.rs",
    "survey/readings/toml.rs",
    "survey/levels/csv.rs",
    "survey/levels/read.rs",
];

#[test]
fn sentences_are_found_and_comments_invariants_and_keys_are_not() {
    let source = "// a \"quoted long sentence\"\nfn f() {\n    g(\"front_axle\", '\"', \"two words\");\n    \
        x.expect(\"a plane has points\");\n    h(\"mark {} \\\"lies\\\" elsewhere\");\n}\n";
    assert_eq!(sentences(source), ["mark {} 'lies' elsewhere"]);
}

#[test]
fn rooms_that_compute_hold_no_sentences() {
    let source = project().join("src");
    let (mut wrong, mut read) = (Vec::new(), 0);
    for path in WORDLESS.iter().flat_map(|room| sources(&source.join(room))) {
        let name = path.strip_prefix(&source).unwrap().to_str().unwrap();
        if READERS.contains(&name.replace('\\', "/").as_str()) {
            continue;
        }
        read += 1;
        let text = fs::read_to_string(&path).unwrap();
        wrong.extend(
            sentences(&text)
                .into_iter()
                .map(|one| format!("{name}: {one}")),
        );
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(read > 100, "{read}");
}

#[test]
fn every_kind_of_sheet_imports_only_what_the_table_of_sheets_grants_it() {
    let folder = project().join("src/sheets");
    let kinds = table("src/sheets/mod.rs", "| folder |");
    let (mut wrong, mut seen) = (Vec::new(), 0);
    for path in sources(&folder) {
        let inside = path.strip_prefix(&folder).unwrap();
        let kind = inside.iter().next().unwrap().to_str().unwrap();
        if kind == "mod.rs" {
            continue;
        }
        let kind = kind.trim_end_matches(".rs");
        let Some(granted) = kinds.iter().find(|row| row[0] == kind) else {
            panic!("{kind} is missing in the table of src/sheets/mod.rs");
        };
        let source = fs::read_to_string(&path).unwrap();
        for name in imported(&source, "sheets::") {
            seen += 1;
            if !granted.contains(&name) {
                wrong.push(format!("{}: {name}", path.display()));
            }
        }
        // Paths that climb would hide where they lead.
        let own = source.split("#[cfg(test)]\nmod tests {").next().unwrap();
        let up = if path.parent() == Some(&folder) {
            "super::"
        } else {
            "super::super"
        };
        assert!(!own.contains(up), "{} climbs by {up}", path.display());
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(seen > 20, "{seen}");
}
