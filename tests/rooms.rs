//! Rooms import only rooms below them, in the order of the table in `DEVELOPERS.md`, and those that compute hold no sentences.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    fs,
    path::{Path, PathBuf},
};

fn project() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Rooms from bottom to top, as the table lists them.
fn rooms() -> Vec<String> {
    let text = fs::read_to_string(project().join("DEVELOPERS.md")).unwrap();
    let rows = text
        .lines()
        .skip_while(|line| !line.starts_with("| room |"))
        .skip(2);
    let names = rows.take_while(|line| line.starts_with("| `"));
    names
        .map(|line| line.split('`').nth(1).unwrap().to_owned())
        .collect()
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let of = |path: PathBuf| {
        if path.is_dir() {
            sources(&path)
        } else {
            vec![path]
        }
    };
    let is_code = |path: &PathBuf| {
        let name = path.file_name().unwrap().to_str().unwrap();
        name.ends_with(".rs") && !name.ends_with("tests.rs")
    };
    entries.flat_map(of).filter(is_code).collect()
}

/// A source without the tests in it, which may look at everything.
fn without_tests(source: &str) -> &str {
    source
        .split("#[cfg(test)]\nmod tests {")
        .next()
        .unwrap_or("")
}

/// The first names after each `crate::` of a source, those in braces one by one. Comments are left out, and tests.
fn imported(source: &str) -> Vec<String> {
    let code: String = without_tests(source)
        .lines()
        .map(|line| line.split("//").next().unwrap_or(""))
        .collect::<Vec<_>>()
        .join(" ");
    let mut found = Vec::new();
    for rest in code.split("crate::").skip(1) {
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
    assert_eq!(imported(source), ["plan", "survey", "units"]);
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
            for name in imported(&fs::read_to_string(&path).unwrap()) {
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

/// String literals of three words or more. Those of comments, attributes and stated invariants are nobody's to read.
fn sentences(source: &str) -> Vec<String> {
    let code: String = without_tests(source)
        .lines()
        .map(str::trim_start)
        .filter(|line| !line.starts_with("//") && !line.starts_with("#["))
        .collect::<Vec<_>>()
        .join("\n")
        .replace("\\\"", "'")
        .replace("'\"'", "");
    let mut pieces = code.split('"');
    let mut before = pieces.next().unwrap();
    let mut found = Vec::new();
    while let Some(literal) = pieces.next() {
        let has_letter = |word: &&str| word.chars().any(char::is_alphabetic);
        let words = literal.split_whitespace().filter(has_letter).count();
        let invariant = ["expect(", "unreachable!("]
            .iter()
            .any(|call| before.trim_end().ends_with(call));
        if words > 2 && !invariant {
            found.push(literal.to_owned());
        }
        before = pieces.next().unwrap_or("");
    }
    found
}

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
