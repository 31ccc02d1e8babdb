//! The program's own sources and tables, as tests read them.

use std::{
    fs,
    path::{Path, PathBuf},
};

/// The folder of the project.
pub fn project() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Code below a folder, tests left out.
pub fn sources(folder: &Path) -> Vec<PathBuf> {
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
pub fn without_tests(source: &str) -> &str {
    source
        .split("#[cfg(test)]\nmod tests {")
        .next()
        .unwrap_or("")
}

/// String literals of three words or more. Those of comments, attributes and stated invariants are nobody's to read.
pub fn sentences(source: &str) -> Vec<String> {
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
