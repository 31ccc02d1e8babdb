//! `baystencil practice` as it is called: what is written, and what is refused.

#![expect(clippy::unwrap_used, reason = "a test stops at the first thing that is wrong")]

use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

const FILES: [&str; 3] = ["answers.json", "answers.pdf", "exercises.pdf"];

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .current_dir(folder)
        .arg("practice")
        .args(arguments)
        .env_remove("SOURCE_DATE_EPOCH")
        .output()
        .expect("the program starts")
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn answers(folder: &Path) -> serde_json::Value {
    serde_json::from_slice(&fs::read(folder.join("answers.json")).unwrap()).unwrap()
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_seed_other_sheets() {
    let place = tempfile::tempdir().unwrap();
    for (out, seed) in [("a", "4711"), ("b", "4711"), ("c", "4712")] {
        let output = run(place.path(), &["--vehicle", "random", "--count", "2", "--seed", seed, "--out", out]);
        assert!(output.status.success(), "{output:?}");
    }
    let read = |out: &str, name: &str| fs::read(place.path().join(out).join(name)).unwrap();
    assert_eq!(names(&place.path().join("a")), FILES);
    for name in FILES {
        assert_eq!(read("a", name), read("b", name), "{name}");
        assert_ne!(read("a", name), read("c", name), "{name}");
    }
}

#[test]
fn a_single_sheet_is_made_again_from_its_number() {
    let place = tempfile::tempdir().unwrap();
    let flags = ["--vehicle", "random", "--seed", "4711", "--kinds", "square"];
    assert!(run(place.path(), &[&flags[..], &["--count", "3", "-o", "all"]].concat()).status.success());
    assert!(run(place.path(), &[&flags[..], &["--first", "3", "-o", "one"]].concat()).status.success());
    let (all, one) = (answers(&place.path().join("all")), answers(&place.path().join("one")));
    assert_eq!(all["format"], "answers/1");
    assert_eq!(all["sheets"].as_array().unwrap().len(), 3);
    assert_eq!(all["sheets"][2], one["sheets"][0]);
    assert_eq!(one["sheets"][0]["number"], 3);
}

#[test]
fn all_kinds_of_a_trainee_come_together() {
    let place = tempfile::tempdir().unwrap();
    assert!(run(place.path(), &["--kinds", "levels,square", "--count", "2"]).status.success());
    let answers = answers(&place.path().join("practice"));
    let sheets = answers["sheets"].as_array().unwrap();
    let order: Vec<_> =
        sheets.iter().map(|sheet| (sheet["number"].as_u64().unwrap(), sheet["kind"].as_str().unwrap())).collect();
    assert_eq!(order, [(1, "square"), (1, "levels"), (2, "square"), (2, "levels")]);
}

#[test]
fn what_cannot_be_asked_for_is_refused_and_nothing_is_written() {
    let place = tempfile::tempdir().unwrap();
    let refused: [(&[&str], i32, &str); 9] = [
        (&["--kinds", "juggling"], 2, "expected one of"),
        (&["--level", "9"], 2, "level 9 is none"),
        (&["--level", "easy"], 2, "expected 1, 2, 3 or 4"),
        (&["--count", "0"], 2, "1..=1000"),
        (&["--count", "1000000"], 2, "1..=1000"),
        (&["--seed", "lucky"], 2, "--seed"),
        (&["--first", "0"], 2, "--first"),
        (&["--vehicle", "city-car", "--vehicle", "estate"], 1, "one vehicle"),
        (&["--vehicle", "zeppelin"], 1, "no built-in vehicle \"zeppelin\""),
    ];
    for (arguments, code, words) in refused {
        let output = run(place.path(), arguments);
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(code), "{arguments:?}: {message}");
        assert!(message.contains(words), "{arguments:?}: {message}");
    }
    assert!(names(place.path()).is_empty());
}
