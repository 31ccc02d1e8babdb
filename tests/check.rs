//! `baystencil check` as it is called with what careless and hostile people give it: exit codes, what is said, and that
//! nothing passes that is not proven.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

const LAYOUT: [&str; 4] = [
    "--vehicle",
    "compact-hatchback",
    "--template",
    "rear-corner-arcs",
];

struct Bay {
    folder: tempfile::TempDir,
}

/// What a run ends with: exit code, stdout, stderr.
type Ended = (Option<i32>, String, String);

impl Bay {
    fn new() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    fn run(&self, arguments: &[&str]) -> Ended {
        let Output {
            status,
            stdout,
            stderr,
        } = Command::new(env!("CARGO_BIN_EXE_baystencil"))
            .current_dir(self.path())
            .args(arguments)
            .env_remove("SOURCE_DATE_EPOCH")
            .output()
            .expect("the program starts");
        let [stdout, stderr] = [stdout, stderr].map(|bytes| String::from_utf8(bytes).unwrap());
        assert!(!stderr.contains("panicked"), "{stderr}");
        (status.code(), stdout, stderr)
    }

    /// The form of a kit with every distance as it should be, to a tenth of a mm, its rows split into cells.
    fn form(&self) -> Vec<Vec<String>> {
        let (code, _, stderr) =
            self.run(&[&["kit", "--checks", "quick", "--out", "kit"], &LAYOUT[..]].concat());
        assert_eq!(code, Some(0), "{stderr}");
        let text = fs::read_to_string(self.path().join("kit/readings.csv")).unwrap();
        let mut rows: Vec<Vec<String>> = text
            .lines()
            .map(|line| line.split(',').map(str::to_owned).collect())
            .collect();
        for row in &mut rows[1..] {
            row[7] = row[5].clone();
        }
        rows
    }

    fn check(&self, name: &str, content: impl AsRef<[u8]>, more: &[&str]) -> Ended {
        fs::write(self.path().join(name), content).unwrap();
        self.run(&[&["check", name, "--details"], more].concat())
    }

    fn check_form(&self, rows: &[Vec<String>]) -> Ended {
        self.check("readings.csv", joined(rows, ","), &LAYOUT)
    }

    /// A network of a file's own: marks with a place and what else is said of them, distances in mm.
    fn check_network(
        &self,
        marks: &[(&str, f64, f64, &str)],
        distances: &[(&str, &str, f64)],
    ) -> Ended {
        let mark = |(id, x, y, more): &(&str, f64, f64, &str)| {
            format!("[[mark]]\nid = \"{id}\"\nx = {x}\ny = {y}\n{more}\n")
        };
        let reading = |(from, to, distance): &(&str, &str, f64)| {
            format!("[[reading]]\nfrom = \"{from}\"\nto = \"{to}\"\ndistance = {distance}\n")
        };
        let body: String = marks
            .iter()
            .map(mark)
            .chain(distances.iter().map(reading))
            .collect();
        self.check(
            "network.toml",
            format!("format = \"readings/1\"\n{body}"),
            &[],
        )
    }
}

fn joined(rows: &[Vec<String>], between: &str) -> String {
    rows.iter().map(|row| row.join(between) + "\n").collect()
}

#[test]
fn a_form_in_its_kit_is_judged_by_the_job_of_the_kit() {
    let bay = Bay::new();
    let rows = bay.form();
    let (code, named, _) = bay.check_form(&rows);
    let beside = bay.check("kit/readings.csv", joined(&rows, ","), &[]);
    let marks = |report: &str| report.split_once("\nmark ").unwrap().1.to_owned();
    assert_eq!((beside.0, marks(&beside.1)), (code, marks(&named)));
    let said = beside.2;
    assert!(
        said.contains("judged by the job beside it, kit/job.toml"),
        "{said}"
    );
}

/// Asserts exit code 1 with a report or 3 without one, and that what was said, on either stream, contains all of `words`.
fn refused((code, stdout, stderr): &Ended, words: &[&str]) {
    assert_eq!(
        *code,
        Some(if stdout.is_empty() { 3 } else { 1 }),
        "{stdout}{stderr}"
    );
    assert!(!stdout.contains("Inside"), "{stdout}");
    for word in words {
        assert!(
            stdout.contains(word) || stderr.contains(word),
            "no \"{word}\" in: {stdout}{stderr}"
        );
    }
}

const SQUARE: [(&str, f64, f64, &str); 4] = [
    ("a", 0.0, 0.0, "tolerance = 3"),
    ("b", 1000.0, 0.0, "tolerance = 3"),
    ("c", 1000.0, 1000.0, "tolerance = 3"),
    ("d", 0.0, 1000.0, "tolerance = 3"),
];

const SIDES: [(&str, &str, f64); 6] = [
    ("a", "b", 1000.0),
    ("b", "c", 1000.0),
    ("c", "d", 1000.0),
    ("d", "a", 1000.0),
    ("a", "c", 1414.2),
    ("b", "d", 1414.2),
];

#[test]
fn a_reading_that_is_no_distance_or_of_no_mark_is_refused_with_its_row_and_remedy() {
    let bay = Bay::new();
    let form = bay.form();
    for (column, text, words) in [
        (7, "0", ["readings.csv:2", "expected more than 0"]),
        (7, "-5", ["readings.csv:2", "without a sign"]),
        (7, "abc", ["readings.csv:2", "is not a length"]),
        (7, "NaN", ["readings.csv:2", "is not a length"]),
        (3, "9Q", ["readings.csv:2", "there is no mark `9Q`"]),
        (3, "P1L", ["readings.csv:2", "to itself"]),
        (
            7,
            "4.895",
            ["readings.csv:2", "if it is in m, write m behind it"],
        ),
        (
            7,
            "99000000",
            [
                "readings.csv:2",
                "which should be about 4895 mm; tape it again",
            ],
        ),
    ] {
        let mut wrong = form.clone();
        wrong[1][column] = text.to_owned();
        refused(&bay.check_form(&wrong), &words);
    }
}

#[test]
fn an_empty_form_and_files_that_are_no_forms_are_told_for_what_they_are() {
    let bay = Bay::new();
    let mut form = bay.form();
    refused(&bay.check_form(&form[..1]), &["no row below it"]);
    for row in &mut form[1..] {
        row[7].clear();
    }
    refused(
        &bay.check_form(&form),
        &["nothing is filled in", "`reading_mm`"],
    );
    refused(&bay.check("none.csv", "", &LAYOUT), &["is empty"]);
    refused(
        &bay.check("binary.csv", [0_u8; 500], &LAYOUT),
        &["not text"],
    );
    refused(
        &bay.check("large.csv", vec![b'a'; 10_000_001], &LAYOUT),
        &["larger than 10 MB"],
    );
    refused(
        &bay.run(&["check", "missing.csv"]),
        &["missing.csv", "cannot be read", "check the path"],
    );
    refused(&bay.run(&["check", "kit"]), &["kit", "cannot be read"]);
    assert_eq!(bay.run(&["check"]).0, Some(2), "usage");
}

#[test]
fn a_form_that_a_spreadsheet_saved_with_semicolons_decimal_commas_bom_and_crlf_is_judged_alike() {
    let bay = Bay::new();
    let form = bay.form();
    let plain = bay.check_form(&form);
    // A decimal point becomes a comma; the two points of a line's name, as in `1C..3C`, stay.
    let saved = joined(&form, ";")
        .replace("..", "\0")
        .replace('.', ",")
        .replace('\0', "..")
        .replace('\n', "\r\n");
    let german = bay.check("readings.csv", format!("\u{feff}{saved}"), &LAYOUT);
    assert!(plain.1.contains("degrees of freedom"), "{plain:?}");
    assert_eq!((plain.0, plain.1), (german.0, german.1));
}

#[test]
fn a_form_of_another_layout_and_a_form_in_metres_are_refused_as_a_whole() {
    let bay = Bay::new();
    let form = bay.form();
    let other = ["--vehicle", "estate", "--template", "rear-corner-arcs"];
    let ended = bay.check("readings.csv", joined(&form, ","), &other);
    refused(
        &ended,
        &[
            "printed for another layout",
            "--job",
            "--vehicle",
            "1 fault in the input",
        ],
    );
    let mut renamed = form.clone();
    renamed[1][4] = "P1R".to_owned();
    refused(
        &bay.check_form(&renamed),
        &["readings.csv:2", "of this row were changed"],
    );
    let mut metres = form;
    for row in &mut metres[1..] {
        row[7] = format!("{:.4}", row[7].parse::<f64>().unwrap() / 1000.0);
    }
    refused(
        &bay.check_form(&metres),
        &[
            "seem to be in m, but are read as mm",
            "reading_m",
            "1 fault in the input",
        ],
    );
}

#[test]
fn readings_that_stand_in_the_wrong_rows_move_no_mark() {
    let bay = Bay::new();
    let mut form = bay.form();
    let values: Vec<String> = form[1..].iter().map(|row| row[7].clone()).collect();
    for (index, row) in form[1..].iter_mut().enumerate() {
        row[7].clone_from(&values[(index + 1) % values.len()]);
    }
    let ended = bay.check_form(&form);
    refused(&ended, &[]);
    assert!(!ended.1.contains("\n  Move "), "{}", ended.1);
}

#[test]
fn half_a_form_is_undecided_and_names_the_pulls_to_add() {
    let bay = Bay::new();
    let form = bay.form();
    let ended = bay.check_form(&form[..form.len() / 2]);
    refused(&ended, &["tape "]);
    assert!(
        ended.1.contains("Undecided") || ended.2.contains("hold no three marks"),
        "{ended:?}"
    );
}

#[test]
fn one_pair_taped_twice_500_mm_apart_is_decided_by_the_others_or_by_nobody() {
    let bay = Bay::new();
    let good = bay.check_network(&SQUARE, &SIDES);
    let again = [&SIDES[..], &[("a", "c", 1914.2)]].concat();
    let decided = bay.check_network(&SQUARE, &again);
    refused(&decided, &["Tape a–c again: it is about 500 mm long"]);
    let triangle = [
        ("a", "b", 1000.0),
        ("b", "c", 1000.0),
        ("a", "c", 1414.2),
        ("a", "c", 1914.2),
    ];
    let open = bay.check_network(&SQUARE[..3], &triangle);
    refused(
        &open,
        &[
            "1414 mm and 1914 mm contradict each other",
            "nothing else shows",
        ],
    );
    assert!(good.1.contains("degrees of freedom"), "{good:?}");
}

#[test]
fn a_distance_that_no_triangle_can_have_is_named_with_its_triangle() {
    let bay = Bay::new();
    let alone = [("a", "b", 1000.0), ("b", "c", 1000.0), ("a", "c", 2500.0)];
    let ended = bay.check_network(&SQUARE[..3], &alone);
    refused(
        &ended,
        &["a–c with 2500 mm is longer than a–b and b–c together, 2000 mm"],
    );
    let mut sides = SIDES;
    sides[4].2 = 2500.0;
    refused(&bay.check_network(&SQUARE, &sides), &["a–c"]);
}

#[test]
fn networks_that_hold_nothing_or_have_nothing_to_judge_pass_nothing() {
    let bay = Bay::new();
    let line = [
        ("a", 0.0, 0.0, ""),
        ("b", 1000.0, 0.0, ""),
        ("c", 2000.0, 0.0, ""),
    ];
    let along = [("a", "b", 1000.0), ("b", "c", 1000.0), ("a", "c", 2000.0)];
    refused(&bay.check_network(&line, &along), &["hold no three marks"]);
    refused(&bay.check_network(&SQUARE, &SIDES[..4]), &["tape also a–c"]);
    refused(&bay.check_network(&SQUARE[..2], &SIDES[..1]), &[]);
    let fixed = SQUARE.map(|(id, x, y, _)| (id, x, y, "fixed = true"));
    refused(&bay.check_network(&fixed, &SIDES), &["every mark is fixed"]);
    let mut twice = SQUARE;
    twice[0].3 = "fixed = true";
    twice[1] = ("b", 0.0, 0.0, "fixed = true");
    refused(
        &bay.check_network(&twice, &SIDES),
        &["`a` and `b` are fixed at one place"],
    );
    let mut alike = SQUARE;
    alike[1] = ("b", 1000.0, 1000.0, "");
    refused(
        &bay.check_network(&alike, &SIDES),
        &["b and c lie at one place"],
    );
}

#[test]
fn a_wrong_place_of_a_fixed_mark_is_offered_beside_the_reading() {
    let bay = Bay::new();
    let mut marks = SQUARE;
    marks[0].3 = "fixed = true";
    marks[1] = ("b", 1100.0, 0.0, "fixed = true");
    refused(
        &bay.check_network(&marks, &SIDES),
        &[
            "Tape a–b again",
            "the places at which a and b are fixed are wrong",
        ],
    );
}

#[test]
fn grids_tied_to_the_wheels_by_too_little_are_judged_in_themselves() {
    let bay = Bay::new();
    let layout = ["--vehicle", "city-car", "--template", "target-line"];
    let (code, _, stderr) = bay.run(&[&["kit", "--out", "kit"], &layout[..]].concat());
    assert_eq!(code, Some(0), "{stderr}");
    let text = fs::read_to_string(bay.path().join("kit/readings.csv")).unwrap();
    let mut rows: Vec<Vec<String>> = text
        .lines()
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect();
    for row in &mut rows[1..] {
        row[7] = row[5].clone();
    }
    let ended = bay.check("readings.csv", joined(&rows, ","), &layout);
    assert!(ended.1.contains("degrees of freedom"), "{ended:?}");
    assert!(
        !ended.2.contains("no end") && !ended.1.contains("Outside"),
        "{ended:?}"
    );
}

#[test]
fn the_demonstration_form_as_it_should_be_is_inside_and_leaves_a_record_with_the_floor() {
    let bay = Bay::new();
    assert_eq!(bay.run(&["kit", "--out", "kit"]).0, Some(0));
    let filled = |name: &str, from: Option<usize>, to: usize| {
        let text = fs::read_to_string(bay.path().join("kit").join(name)).unwrap();
        let mut rows: Vec<Vec<String>> = text
            .lines()
            .map(|line| line.split(',').map(str::to_owned).collect())
            .collect();
        for (index, row) in rows[1..].iter_mut().enumerate() {
            row[to] = from.map_or_else(|| (index % 3).to_string(), |from| row[from].clone());
        }
        fs::write(bay.path().join(name), joined(&rows, ",")).unwrap();
    };
    filled("readings.csv", Some(5), 7);
    filled("levels.csv", None, 4);
    let (code, stdout, stderr) = bay.run(&[
        "check",
        "readings.csv",
        "--levels",
        "levels.csv",
        "--out",
        "record",
    ]);
    assert_eq!(code, Some(0), "{stdout}{stderr}");
    assert!(
        stdout.starts_with(
            "Inside: all 14 marks lie within their tolerances, measured from the vehicle."
        ),
        "{stdout}"
    );
    let record = fs::read_to_string(bay.path().join("record/record.svg")).unwrap();
    assert!(
        record.contains("Greatest slope") && record.contains("marks lie within their tolerances")
    );
    assert!(bay.path().join("record/record.pdf").is_file());
    assert_eq!(
        bay.run(&["check", "readings.csv", "--levels", "levels.csv"])
            .0,
        Some(2),
        "a floor belongs on a record"
    );
}
