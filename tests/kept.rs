//! What a run does not replace: readings that somebody typed, files that somebody changed or brought, another job's folder.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

use tempfile::TempDir;

fn baystencil(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .current_dir(folder)
        .args(arguments)
        .env_remove("SOURCE_DATE_EPOCH")
        .output()
        .expect("the program starts")
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A folder with a job in it, and its kit in `kit/`.
struct Bay {
    place: TempDir,
}

const JOB: &str =
    "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\nmode = \"keys\"\n";

impl Bay {
    fn new() -> Self {
        let place = tempfile::tempdir().unwrap();
        fs::write(place.path().join("job.toml"), JOB).unwrap();
        let bay = Self { place };
        bay.writes(&["kit", "job.toml"]);
        bay
    }

    fn at(&self, name: &str) -> PathBuf {
        self.place.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.at(name)).unwrap()
    }

    fn run(&self, arguments: &[&str]) -> Output {
        baystencil(self.place.path(), arguments)
    }

    /// Runs what has to end well; what it said.
    fn writes(&self, arguments: &[&str]) -> String {
        let output = self.run(arguments);
        assert!(
            output.status.success(),
            "{arguments:?}: {}",
            stderr(&output)
        );
        stderr(&output)
    }

    /// Runs what has to be refused, and leaves everything in its folders as it is; what it said.
    fn is_refused(&self, arguments: &[&str]) -> String {
        let before = self.everything();
        let output = self.run(arguments);
        assert_eq!(
            output.status.code(),
            Some(3),
            "{arguments:?}: {}",
            stderr(&output)
        );
        assert!(
            self.everything() == before,
            "{arguments:?} changed something"
        );
        stderr(&output)
    }

    fn everything(&self) -> Vec<(PathBuf, Vec<u8>)> {
        let (mut found, mut folders) = (Vec::new(), vec![self.place.path().to_owned()]);
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                } else if path.is_file() {
                    found.push((path.clone(), fs::read(path).unwrap()));
                }
            }
        }
        found.sort();
        found
    }

    /// Writes what it should be into the reading of each row of the kit's form, changed by `typed`; how many.
    fn fill(&self, typed: impl Fn(usize, &str) -> Option<String>) -> usize {
        let form = self.text("kit/readings.csv");
        let mut lines = form.lines();
        let mut filled = vec![lines.next().unwrap().to_owned()];
        let mut count = 0;
        for (row, line) in lines.enumerate() {
            let cells: Vec<&str> = line.split(',').collect();
            let reading = typed(row, cells[5]);
            count += usize::from(reading.is_some());
            filled.push(format!(
                "{},{}",
                cells[..7].join(","),
                reading.unwrap_or_default()
            ));
        }
        fs::write(self.at("kit/readings.csv"), filled.join("\n") + "\n").unwrap();
        count
    }

    fn fill_all(&self) -> usize {
        self.fill(|_, should_be| Some(should_be.to_owned()))
    }
}

#[test]
fn the_same_command_again_on_an_untouched_kit_works_and_says_nothing_new() {
    let bay = Bay::new();
    let before = bay.everything();
    let said = bay.writes(&["kit", "job.toml"]);
    assert!(bay.everything() == before);
    assert!(
        !said.contains("carried") && !said.contains("removed"),
        "{said}"
    );
    for command in [
        &["overview", "job.toml"][..],
        &["cut", "job.toml"],
        &["stencils", "kit"],
        &["kit", "kit"],
    ] {
        bay.writes(command);
        bay.writes(command);
    }
    assert_eq!(
        bay.text("kit/readings.csv"),
        String::from_utf8(
            before
                .iter()
                .find(|(path, _)| path.ends_with("kit/readings.csv"))
                .unwrap()
                .1
                .clone()
        )
        .unwrap()
    );
}

#[test]
fn readings_are_carried_into_the_form_of_a_kit_that_is_made_again() {
    let bay = Bay::new();
    let blank = bay.text("kit/readings.csv");
    let count = bay.fill_all();
    let filled = bay.text("kit/readings.csv");
    let said = bay.writes(&["kit", "job.toml"]);
    assert!(
        said.contains(&format!(
            "readings.csv: {count} rows with readings carried over"
        )),
        "{said}"
    );
    assert_eq!(bay.text("kit/readings.csv"), filled);
    assert_ne!(filled, blank);
    // And again, though the form is now as the program itself wrote it.
    bay.writes(&["kit", "job.toml"]);
    assert_eq!(bay.text("kit/readings.csv"), filled);
    let check = bay.run(&["check", "kit/readings.csv"]);
    assert_eq!(check.status.code(), Some(0), "{}", stderr(&check));
}

#[test]
fn every_row_of_every_templates_form_stands_in_its_own_layout() {
    let place = tempfile::tempdir().unwrap();
    let mat = ["--vehicle", "city-car", "--vehicle", "estate"];
    for (template, more) in [
        ("perimeter-lines", &mat[..0]),
        ("side-and-end-panels", &["--units", "inch"]),
        ("rear-corner-arcs", &mat[..0]),
        ("target-line", &mat),
    ] {
        let kit = ["kit", "--mode", "keys", "--replace", "--template", template];
        let kit = [&kit[..], more].concat();
        let blank = baystencil(place.path(), &kit);
        assert!(blank.status.success(), "{}", stderr(&blank));
        let path = place.path().join("kit/readings.csv");
        let form = fs::read_to_string(&path).unwrap();
        let filled = form.replace(",\n", ",7\n");
        fs::write(&path, &filled).unwrap();
        let again = baystencil(place.path(), &kit);
        let rows = format!(
            "{} rows with readings carried over\n",
            form.lines().count() - 1
        );
        assert!(
            stderr(&again).contains(&rows),
            "{template}: {}",
            stderr(&again)
        );
        assert_eq!(fs::read_to_string(&path).unwrap(), filled, "{template}");
    }
}

#[test]
fn heights_are_carried_over_too_with_points_of_somebodys_own() {
    let bay = Bay::new();
    let form = bay.text("kit/levels.csv");
    let mut filled: Vec<String> = form
        .lines()
        .enumerate()
        .map(|(row, line)| {
            if row == 1 {
                format!("{}3,", line.strip_suffix(',').unwrap())
            } else {
                line.to_owned()
            }
        })
        .collect();
    filled.push("drain,the drain,2000.0,1500.0,,1403".to_owned());
    fs::write(bay.at("kit/levels.csv"), filled.join("\n") + "\n").unwrap();
    let said = bay.writes(&["kit", "job.toml"]);
    assert!(
        said.contains("levels.csv: 2 rows with readings carried over"),
        "{said}"
    );
    assert_eq!(bay.text("kit/levels.csv"), filled.join("\n") + "\n");
}

#[test]
fn rows_that_no_longer_stand_are_named_and_refused_until_they_may_go() {
    let bay = Bay::new();
    let count = bay.fill_all();
    let filled = bay.text("kit/readings.csv");
    fs::write(
        bay.at("job.toml"),
        format!("{JOB}[values]\nstand_offset = \"900 mm\"\n"),
    )
    .unwrap();
    let said = bay.is_refused(&["kit", "job.toml"]);
    assert!(
        said.contains("no longer stand: ") && said.contains("--replace") && said.contains("--out"),
        "{said}"
    );
    assert_eq!(bay.text("kit/readings.csv"), filled);
    let said = bay.writes(&["kit", "job.toml", "--replace"]);
    assert!(
        said.contains("carried over") && said.contains("no longer stand"),
        "{said}"
    );
    let kept = bay
        .text("kit/readings.csv")
        .lines()
        .skip(1)
        .filter(|line| !line.ends_with(','))
        .count();
    assert!(0 < kept && kept < count, "{kept} of {count}");
}

#[test]
fn readings_survive_another_check_plan_another_unit_and_a_spreadsheet() {
    let bay = Bay::new();
    let count = bay.fill_all();
    // A spreadsheet with decimal commas, a column of notes and a row of somebody's own.
    let form = bay.text("kit/readings.csv");
    let mut lines: Vec<String> = form
        .lines()
        .map(|line| line.replace(',', ";").replace('.', ",").replace(",,", "..") + ";")
        .collect();
    lines[0].push_str("Note");
    lines[1].push_str("tape; worn".replace(';', " is").as_str());
    lines.push(";;distance;1R;1L;;;1600,5;again".to_owned());
    fs::write(bay.at("kit/readings.csv"), lines.join("\r\n")).unwrap();
    let said = bay.writes(&["kit", "job.toml", "--units", "inch", "--checks", "quick"]);
    assert!(
        said.contains(&format!("{} rows with readings carried over", count + 1)),
        "{said}"
    );
    let form = bay.text("kit/readings.csv");
    assert!(
        form.starts_with("lay,check,kind,from,to,should_be_in,limit_in,reading_in,Note\n"),
        "{form}"
    );
    assert!(
        form.contains("tape is worn") && form.contains("1R,1L,,,1600.5 mm,again"),
        "{form}"
    );
    let json =
        |output: Output| -> serde_json::Value { serde_json::from_slice(&output.stdout).unwrap() };
    let checked = json(bay.run(&["check", "kit/readings.csv", "--json"]));
    let readings = checked["readings"].as_array().unwrap().iter();
    let taped = readings.filter(|reading| reading["kind"] != "vehicle");
    assert_eq!(taped.count(), count + 1, "{checked}");
}

#[test]
fn a_form_that_cannot_be_read_is_not_replaced() {
    let bay = Bay::new();
    fs::write(bay.at("kit/readings.csv"), [0x50, 0x4b, 3, 4, 0, 0, 8]).unwrap();
    let said = bay.is_refused(&["kit", "job.toml"]);
    assert!(
        said.contains("readings.csv cannot be read") && said.contains("--replace"),
        "{said}"
    );
    bay.writes(&["kit", "job.toml", "--replace"]);
}

#[test]
fn files_that_somebody_changed_or_brought_are_not_replaced() {
    let bay = Bay::new();
    for name in ["job.toml", "overview.pdf", "plan.json"] {
        let path = bay.at("kit").join(name);
        let written = fs::read(&path).unwrap();
        fs::write(&path, "mine").unwrap();
        let said = bay.is_refused(&["kit", "job.toml"]);
        assert!(
            said.contains(name) && said.contains("changed since") && said.contains("--replace"),
            "{said}"
        );
        fs::write(&path, written).unwrap();
    }
    fs::create_dir(bay.at("desk")).unwrap();
    for (name, command) in [
        ("overview.pdf", &["overview", "job.toml", "-o", "desk"][..]),
        ("cut.pdf", &["cut", "job.toml", "-o", "desk"]),
        ("stencils.pdf", &["stencils", "job.toml", "-o", "desk"]),
        (
            "exercises.pdf",
            &["practice", "job.toml", "--kinds", "units", "-o", "desk"],
        ),
        ("printer-test.pdf", &["printer", "test", "-o", "desk"]),
        ("measuring-sheet.pdf", &["measure", "-o", "desk"]),
        (
            "stencils-again.pdf",
            &["stencils", "job.toml", "--only", "1", "-o", "desk"],
        ),
    ] {
        let path = bay.at("desk").join(name);
        fs::write(&path, "mine").unwrap();
        let said = bay.is_refused(command);
        assert!(said.contains(name) && said.contains("--replace"), "{said}");
        bay.writes(&[command, &["--replace"]].concat());
        bay.writes(command);
        assert!(fs::read(&path).unwrap().starts_with(b"%PDF"));
    }
    fs::write(bay.at("kit/notes.txt"), "mine").unwrap();
    bay.writes(&["kit", "job.toml", "--replace"]);
    assert_eq!(bay.text("kit/notes.txt"), "mine");
}

#[test]
fn a_record_is_not_replaced_once_somebody_changed_it_and_the_verdict_is_given_even_so() {
    let bay = Bay::new();
    bay.fill_all();
    let record = ["check", "kit/readings.csv", "-o", "record"];
    bay.writes(&record);
    bay.writes(&record);
    fs::write(bay.at("record/record.pdf"), "signed").unwrap();
    let output = bay.run(&record);
    assert_eq!(output.status.code(), Some(3));
    assert!(
        String::from_utf8_lossy(&output.stdout).starts_with("Inside"),
        "{output:?}"
    );
    assert!(stderr(&output).contains("record.pdf") && stderr(&output).contains("--replace"));
    assert_eq!(bay.text("record/record.pdf"), "signed");
    bay.writes(&[&record[..], &["--replace"]].concat());
}

#[test]
fn another_jobs_folder_is_refused_and_a_corrected_job_is_not() {
    let bay = Bay::new();
    for other in [
        &["kit", "job.toml", "--vehicle", "estate"][..],
        &["overview", "job.toml", "--vehicle", "estate"],
        &["cut", "job.toml", "--template", "perimeter-lines"],
        &["stencils", "--mode", "keys"],
    ] {
        let said = bay.is_refused(other);
        assert!(
            said.contains("another job") && said.contains("--replace") && said.contains("--out"),
            "{said}"
        );
    }
    bay.writes(&["kit", "job.toml", "--set", "target_distance=1700mm"]);
    fs::write(
        bay.at("job.toml"),
        format!("{JOB}[record]\norder = \"4712\"\n"),
    )
    .unwrap();
    let said = bay.is_refused(&["kit", "job.toml"]);
    assert!(said.contains("order 4712"), "{said}");
    bay.writes(&["kit", "job.toml", "--replace"]);
    bay.writes(&["kit", "job.toml"]);
}

#[test]
fn a_part_with_other_settings_does_not_go_into_a_kit() {
    let bay = Bay::new();
    for other in [
        &["overview", "job.toml", "--set", "target_distance=1700mm"][..],
        &["cut", "job.toml", "--bed", "1000mmx700mm"],
        &["stencils", "job.toml", "--paper", "letter"],
    ] {
        let said = bay.is_refused(other);
        assert!(
            said.contains("other settings") && said.contains("--replace"),
            "{said}"
        );
    }
    // Alone they are what they always were.
    bay.writes(&["overview", "job.toml", "-o", "page"]);
    bay.writes(&[
        "overview",
        "job.toml",
        "-o",
        "page",
        "--set",
        "target_distance=1700mm",
    ]);
}

#[test]
fn readings_of_another_job_do_not_come_into_the_form_that_replaces_it() {
    let bay = Bay::new();
    bay.fill_all();
    let said = bay.writes(&["kit", "job.toml", "--vehicle", "estate", "--replace"]);
    assert!(
        said.contains("readings.csv") && said.contains("another job"),
        "{said}"
    );
    let form = bay.text("kit/readings.csv");
    assert!(
        form.lines().skip(1).all(|line| line.ends_with(',')),
        "{form}"
    );
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_nowhere_is_said_in_words() {
    let bay = Bay::new();
    std::os::unix::fs::symlink("gone", bay.at("out")).unwrap();
    let said = bay.is_refused(&["overview", "job.toml", "-o", "out"]);
    assert!(said.contains("is a link that leads to nothing"), "{said}");
}
