//! `baystencil practice` as it is called: what is written, and what is refused.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

const FILES: [&str; 4] = ["answers.json", "answers.pdf", "exercises.pdf", "key.pdf"];

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
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
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
        let output = run(
            place.path(),
            &[
                "--vehicle",
                "random",
                "--count",
                "2",
                "--seed",
                seed,
                "--out",
                out,
            ],
        );
        assert!(output.status.success(), "{output:?}");
    }
    let read = |out: &str, name: &str| fs::read(place.path().join(out).join(name)).unwrap();
    assert_eq!(
        names(&place.path().join("a")),
        [&[".baystencil.json"], &FILES[..]].concat()
    );
    for name in FILES {
        assert_eq!(read("a", name), read("b", name), "{name}");
        assert_ne!(read("a", name), read("c", name), "{name}");
    }
}

#[test]
fn a_single_sheet_is_made_again_from_its_number() {
    let place = tempfile::tempdir().unwrap();
    let flags = ["--vehicle", "random", "--seed", "4711", "--kinds", "square"];
    assert!(
        run(
            place.path(),
            &[&flags[..], &["--count", "3", "-o", "all"]].concat()
        )
        .status
        .success()
    );
    assert!(
        run(
            place.path(),
            &[&flags[..], &["--first", "3", "-o", "one"]].concat()
        )
        .status
        .success()
    );
    let (all, one) = (
        answers(&place.path().join("all")),
        answers(&place.path().join("one")),
    );
    assert_eq!(all["format"], "answers/2");
    assert_eq!(all["sheets"].as_array().unwrap().len(), 3);
    assert_eq!(all["sheets"][2], one["sheets"][0]);
    assert_eq!(one["sheets"][0]["number"], 3);
}

#[test]
fn all_kinds_of_a_trainee_come_together() {
    let place = tempfile::tempdir().unwrap();
    assert!(
        run(place.path(), &["--kinds", "levels,square", "--count", "2"])
            .status
            .success()
    );
    let answers = answers(&place.path().join("practice"));
    let sheets = answers["sheets"].as_array().unwrap();
    let order: Vec<_> = sheets
        .iter()
        .map(|sheet| {
            (
                sheet["number"].as_u64().unwrap(),
                sheet["kind"].as_str().unwrap(),
            )
        })
        .collect();
    assert_eq!(
        order,
        [(1, "levels"), (1, "square"), (2, "levels"), (2, "square")]
    );
}

#[test]
fn what_cannot_be_asked_for_is_refused_and_nothing_is_written() {
    let place = tempfile::tempdir().unwrap();
    let refused: [(&[&str], i32, &str); 18] = [
        (&["--kinds", "juggling"], 2, "expected one of"),
        (&["--level", "9"], 2, "level 9 is none"),
        (&["--level", "easy"], 2, "expected 1, 2, 3 or 4"),
        (&["--level", "-1"], 2, "level -1 is none"),
        (&["--count", "0"], 2, "a whole number from 1 to 1000"),
        (&["--count", "-1"], 2, "a whole number from 1 to 1000"),
        (&["--count", "1000000"], 2, "a whole number from 1 to 1000"),
        (
            &["--seed", "lucky"],
            2,
            "a whole number from 0 to 18446744073709551615",
        ),
        (
            &["--seed", "99999999999999999999"],
            2,
            "a whole number from 0",
        ),
        (&["--first", "0"], 2, "a whole number from 1 to 1000000"),
        (&["--paper", "A9"], 3, "\"A9\" is no paper"),
        (
            &["--paper", "A0"],
            3,
            "exercises go on A4 or Letter, not on 841 × 1189 mm",
        ),
        (
            &["--paper", "A3"],
            3,
            "exercises go on A4 or Letter, not on A3",
        ),
        (&["--paper", "200x200"], 3, "exercises go on A4 or Letter"),
        (
            &["--set", "side_gap=9m"],
            3,
            "`side_gap` is 9000 mm; expected 100 to 2500 mm",
        ),
        (
            &["--vehicle", "random", "--set", "gap=1"],
            3,
            "has no value `gap`",
        ),
        (
            &["--vehicle", "city-car", "--vehicle", "estate"],
            3,
            "one vehicle",
        ),
        (
            &["--vehicle", "zeppelin"],
            3,
            "no built-in vehicle \"zeppelin\"",
        ),
    ];
    for (arguments, code, words) in refused {
        let output = run(place.path(), arguments);
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(code), "{arguments:?}: {message}");
        assert!(message.contains(words), "{arguments:?}: {message}");
    }
    assert!(names(place.path()).is_empty());
}

#[test]
fn a_job_is_about_one_vehicle_that_it_names() {
    let place = tempfile::tempdir().unwrap();
    let job = |name: &str, vehicle: &str| {
        let text = format!(
            "format = \"job/1\"\n{vehicle}\ntemplate = \"perimeter-lines\"\nunits = \"inch\"\n"
        );
        fs::write(place.path().join(name), text).unwrap();
    };
    job("mat.toml", "vehicles = [\"city-car\", \"estate\"]");
    job("random.toml", "vehicle = \"random\"");
    for (name, words) in [
        ("mat.toml", "mat.toml:2:12: exercises are about one vehicle"),
        (
            "random.toml",
            "random.toml:2:11: a vehicle that is drawn by lot is for exercises alone",
        ),
        ("none.toml", "the job \"none.toml\" cannot be read"),
    ] {
        let output = run(place.path(), &[name]);
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(3), "{name}: {message}");
        assert!(message.contains(words), "{name}: {message}");
    }
    assert_eq!(names(place.path()), ["mat.toml", "random.toml"]);
    // A flag goes over the job, and a job in inches makes exercises too.
    assert!(
        run(
            place.path(),
            &["mat.toml", "--vehicle", "estate", "--kinds", "units"]
        )
        .status
        .success()
    );
}

#[test]
fn a_kind_that_cannot_be_made_is_left_out_with_a_note_and_alone_it_is_refused() {
    let place = tempfile::tempdir().unwrap();
    for template in ["target-line", "rear-corner-arcs"] {
        let flags = ["--template", template, "--level", "2"];
        let kinds = [
            "--kinds",
            "square,table,units",
            "--out",
            template,
            "--count",
            "3",
        ];
        let output = run(place.path(), &[&flags[..], &kinds].concat());
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{message}");
        let note = "note: \"square\" at level 2 is left out: no sound exercise of the kind \"square\" at level 2: the layout has no rectangle";
        assert!(message.contains(note), "{message}");
        assert_eq!(message.matches("note: ").count(), 1, "{message}");
        let answers = answers(&place.path().join(template));
        assert_eq!(answers["sheets"].as_array().unwrap().len(), 6);
        fs::remove_dir_all(place.path().join(template)).unwrap();
        let alone = run(place.path(), &[&flags[..], &["--kinds", "square"]].concat());
        let message = String::from_utf8(alone.stderr).unwrap();
        assert_eq!(alone.status.code(), Some(3), "{message}");
        assert!(message.contains("take level 3 or 4"), "{message}");
        assert!(names(place.path()).is_empty());
    }
}

#[test]
fn values_that_are_given_are_kept_and_as_is_draws_none() {
    let place = tempfile::tempdir().unwrap();
    let places = |arguments: &[&str]| -> Vec<String> {
        let flags = [
            "--kinds",
            "table",
            "--level",
            "2",
            "--count",
            "8",
            "--replace",
        ];
        let output = run(place.path(), &[&flags[..], arguments].concat());
        assert!(output.status.success(), "{output:?}");
        let answers = answers(&place.path().join("practice"));
        let sheets = answers["sheets"].as_array().unwrap();
        sheets
            .iter()
            .map(|sheet| sheet["facts"].to_string())
            .collect()
    };
    let different = |sheets: Vec<String>| {
        sheets
            .into_iter()
            .collect::<std::collections::BTreeSet<_>>()
            .len()
    };
    let front = |sheets: &[String]| -> std::collections::BTreeSet<String> {
        let station = |sheet: &String| {
            let facts: serde_json::Value = serde_json::from_str(sheet).unwrap();
            let facts = facts.as_array().unwrap().clone();
            let own = facts
                .iter()
                .find(|fact| fact["of"] == "1L station")
                .unwrap();
            own["text"].as_str().unwrap().to_owned()
        };
        sheets.iter().map(station).collect()
    };
    let drawn = places(&[]);
    assert!(front(&drawn).len() > 1);
    // The delivery van's front overhang is 1010 mm.
    let kept = places(&["--set", "front_gap=777mm"]);
    assert_eq!(front(&kept).into_iter().collect::<Vec<_>>(), ["1787 mm"]);
    assert!(different(kept) > 1);
    assert_eq!(different(places(&["--as-is"])), 1);
}

#[test]
fn a_class_list_puts_names_on_sheets_and_makes_a_list_to_mark_on() {
    let place = tempfile::tempdir().unwrap();
    let list = place.path().join("class.txt");
    fs::write(&list, "\u{feff}Ada\r\n\r\n  Bruno Vals \r\n=1+2\r\n").unwrap();
    let output = run(
        place.path(),
        &["--kinds", "units,table", "--names", "class.txt"],
    );
    assert!(output.status.success(), "{output:?}");
    let folder = place.path().join("practice");
    let sheets = answers(&folder)["sheets"].clone();
    let names: Vec<_> = sheets
        .as_array()
        .unwrap()
        .iter()
        .map(|sheet| sheet["name"].clone())
        .collect();
    assert_eq!(
        names,
        ["Ada", "Ada", "Bruno Vals", "Bruno Vals", "=1+2", "=1+2"]
    );
    let csv = fs::read_to_string(folder.join("marking.csv")).unwrap();
    let lines: Vec<&str> = csv.lines().collect();
    assert_eq!(lines[0], "name,a table 1,b units 1,sum");
    assert_eq!(
        (lines[1], lines[2], lines[3]),
        ("most points,4,11,15", "Ada,,,", "Bruno Vals,,,")
    );
    assert!(
        !lines[4].starts_with('='),
        "a spreadsheet takes it for a formula: {}",
        lines[4]
    );
    assert!(folder.join("marking.pdf").exists());
    // Points that a teacher typed are not written over.
    let marked = csv.replace("Ada,,,", "Ada,4,9,13");
    fs::write(folder.join("marking.csv"), &marked).unwrap();
    let again = ["--kinds", "units,table", "--names", "class.txt"];
    assert_eq!(run(place.path(), &again).status.code(), Some(3));
    assert_eq!(
        fs::read_to_string(folder.join("marking.csv")).unwrap(),
        marked
    );
    for (text, words) in [
        ("", "there is no name in the class list"),
        ("Ada\nB\u{7}\n", "line 2: the name has"),
        (
            &"x".repeat(61),
            "line 1: the name has more than 60 characters",
        ),
    ] {
        fs::write(&list, text).unwrap();
        let output = run(place.path(), &["--names", "class.txt", "--out", "other"]);
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(3), "{message}");
        assert!(message.contains(words), "{message}");
    }
    assert!(!place.path().join("other").exists());
}

#[test]
fn a_course_has_a_file_for_each_lesson_and_worked_answers_on_request() {
    let place = tempfile::tempdir().unwrap();
    let files = |arguments: &[&str]| {
        let output = run(
            place.path(),
            &[&["--course", "--replace"], arguments].concat(),
        );
        assert!(output.status.success(), "{output:?}");
        names(&place.path().join("practice"))
    };
    let mut expected: Vec<String> = (1..=10)
        .map(|lesson| format!("lesson-{lesson:02}.pdf"))
        .collect();
    let lists = [
        "answers.json",
        "course.pdf",
        "key.pdf",
        "marking.csv",
        "marking.pdf",
    ];
    expected.extend(lists.map(str::to_owned));
    expected.push(".baystencil.json".to_owned());
    expected.sort();
    assert_eq!(files(&[]), expected);
    assert!(files(&["--worked"]).contains(&"answers.pdf".to_owned()));
    for flags in [
        ["--course", "--level", "2"],
        ["--course", "--kinds", "table"],
        ["--names", "a.txt", "--count"],
    ] {
        let flags = if flags[2] == "--count" {
            [&flags[..], &["2"]].concat()
        } else {
            flags.to_vec()
        };
        assert_eq!(
            run(place.path(), &flags).status.code(),
            Some(2),
            "{flags:?}"
        );
    }
}

#[test]
fn a_vehicle_too_long_for_the_paper_is_refused_and_a_small_one_is_laid_at_the_next_scale() {
    let place = tempfile::tempdir().unwrap();
    let vehicle = |name: &str, [wheelbase, overhang, track, width]: [u32; 4]| {
        let text = format!(
            "format = \"vehicle/1\"\nname = \"{name}\"\nsource = \"invented\"\nwheelbase = {wheelbase}\n\
             front_overhang = {overhang}\nrear_overhang = {overhang}\nfront_track = {track}\nrear_track = {track}\n\
             tyre = \"175/65R14\"\noverall_width = {width}\nwidth_over_mirrors = {width}\n"
        );
        fs::write(place.path().join(format!("{name}.toml")), text).unwrap();
    };
    vehicle("long", [7000, 2400, 1425, 1640]);
    vehicle("small", [1200, 300, 920, 1250]);
    let made = |name: &str, kind: &str| {
        let file = format!("{name}.toml");
        run(place.path(), &["--vehicle", &file, "--kinds", kind])
    };
    let output = made("long", "set-out");
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(3), "{message}");
    assert!(
        message.contains("vehicle and layout take") && message.contains("long"),
        "{message}"
    );
    assert_eq!(names(place.path()), ["long.toml", "small.toml"]);
    assert!(made("small", "desk").status.success());
}

#[test]
fn a_folder_that_cannot_be_made_is_told_and_the_file_in_its_place_stays() {
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join("taken"), "mine").unwrap();
    for out in ["taken", "taken/below"] {
        let output = run(place.path(), &["--kinds", "units", "-o", out]);
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(3), "{message}");
        assert!(
            message.contains("taken is a file, not a folder: choose another folder"),
            "{message}"
        );
    }
    assert_eq!(names(place.path()), ["taken"]);
    assert_eq!(
        fs::read_to_string(place.path().join("taken")).unwrap(),
        "mine"
    );
}
