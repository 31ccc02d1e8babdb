//! A job in inches: no number of mm without its inches, on stdout and stderr.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{fs, path::Path, process::Command};

/// Half of 1/16 in, and what writing mm to a tenth or to whole mm may take, in.
const HALF_SIXTEENTH: f64 = 1.0 / 32.0 + 0.02;

const JOB: &str = "format = \"job/1\"\nvehicle = \"delivery-van\"\ntemplate = \"perimeter-lines\"\nunits = \"inch\"\n";

/// The streams of a run, in a folder with a job in inches.
fn run(folder: &Path, arguments: &[&str]) -> (String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .current_dir(folder)
        .args(arguments)
        .env_remove("SOURCE_DATE_EPOCH")
        .output()
        .expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (text(output.stdout), text(output.stderr))
}

fn bay(more: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("job.toml"), format!("{JOB}{more}")).unwrap();
    folder
}

/// "10 1/4" as a number.
fn inches(text: &str) -> f64 {
    let part = |word: &str| match word.split_once('/') {
        Some((top, bottom)) => top.parse::<f64>().unwrap() / bottom.parse::<f64>().unwrap(),
        None => word.parse::<f64>().unwrap(),
    };
    text.split(' ').map(part).sum()
}

/// Asserts that lengths in mm have their inches behind them, and that these are right; how many there are.
fn inches_beside(text: &str) -> usize {
    let lengths = text.split(" mm (").skip(1).zip(text.split(" mm ("));
    let mut count = 0;
    for (behind, before) in lengths {
        let Some((written, _)) = behind.split_once(" in)") else {
            continue;
        };
        let mm: f64 = before.rsplit([' ', '(']).next().unwrap().parse().unwrap();
        let last = written.rsplit(" to ").next().unwrap();
        assert!(
            (inches(last) - mm / 25.4).abs() < HALF_SIXTEENTH,
            "{mm} mm, {written} in: {text}"
        );
        count += 1;
    }
    count
}

#[test]
fn a_bay_that_is_too_small_is_so_by_inches_too() {
    let bay = bay("[bay]\nlength = \"29 ft\"\nwidth = \"16 ft\"\n");
    let (out, _) = run(bay.path(), &["plan", "job.toml"]);
    let line = out.lines().find(|line| line.starts_with("bay: ")).unwrap();
    assert!(
        line.contains("too short") && line.contains("too narrow"),
        "{line}"
    );
    assert_eq!(inches_beside(line), 2, "{line}");
    let (_, said) = run(bay.path(), &["kit", "job.toml"]);
    let line = said
        .lines()
        .find(|line| line.starts_with("the bay: "))
        .unwrap();
    assert_eq!(inches_beside(line), 2, "{line}");
}

#[test]
fn faults_of_values_flags_and_cuts_have_inches_behind_their_mm() {
    let bay = bay("");
    for (arguments, count) in [
        (["kit", "job.toml", "--set", "front_gap=5m"], 2),
        (["kit", "job.toml", "--overlap", "300mm"], 2),
        (["cut", "job.toml", "--kerf", "60mm"], 2),
    ] {
        let (_, said) = run(bay.path(), &arguments);
        assert_eq!(inches_beside(&said), count, "{said}");
    }
}

#[test]
fn a_roll_is_so_many_feet_long_and_sheets_are_letter() {
    let bay = bay("");
    let (_, said) = run(bay.path(), &["stencils", "job.toml", "--roll", "36in"]);
    let (feet, rest) = said.split_once(" ft ").unwrap();
    let feet: f64 = feet.rsplit(' ').next().unwrap().parse().unwrap();
    let (inch, rest) = rest.split_once(" in (").unwrap();
    let metres: f64 = rest.split_once(" m)").unwrap().0.parse().unwrap();
    // To half an inch and half a centimetre.
    assert!(
        (feet * 0.3048 + inches(inch) * 0.0254 - metres).abs() < 0.018,
        "{said}"
    );
    let (_, said) = run(bay.path(), &["stencils", "job.toml", "--mode", "keys"]);
    assert!(said.contains("of Letter"), "{said}");
    let (_, said) = run(
        bay.path(),
        &["stencils", "job.toml", "--mode", "keys", "--units", "mm"],
    );
    assert!(said.contains("of A4"), "{said}");
}

#[test]
fn the_report_of_a_check_moves_marks_by_inches_and_shows_both_in_its_table() {
    let bay = bay("");
    let (_, said) = run(
        bay.path(),
        &["kit", "job.toml", "--mode", "keys", "-o", "kit"],
    );
    assert!(said.contains("kit: "), "{said}");
    let form = fs::read_to_string(bay.path().join("kit/readings.csv")).unwrap();
    let filled: Vec<String> = form
        .lines()
        .enumerate()
        .map(|(index, line)| {
            let cells: Vec<&str> = line.split(',').collect();
            // 4L is taped 0.8 in too far wherever a tape ends on it.
            let reading = match cells[5] {
                _ if index == 0 => "reading_in".to_owned(),
                should_be if cells[4] == "4L" && cells[2] == "distance" => {
                    format!("{:.3}", inches(should_be) + 0.8)
                }
                should_be => should_be.to_owned(),
            };
            let (form, _) = line.rsplit_once(',').unwrap();
            format!("{form},{reading}")
        })
        .collect();
    fs::write(bay.path().join("kit/readings.csv"), filled.join("\n")).unwrap();
    let (out, _) = run(bay.path(), &["check", "kit/readings.csv", "--details"]);
    assert!(out.contains("lies off from the vehicle, mm (in)"), "{out}");
    assert!(out.contains("8 (5/16)"), "{out}");
    assert!(inches_beside(&out) > 0, "{out}");
}
