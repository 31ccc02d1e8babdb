//! What a command line makes of a job: which flags act, what is kept of them, and that all faults are told in one run.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{collections::BTreeMap, fs, path::Path};

mod program;

use program::{baystencil, stderr};

/// What a run leaves: exit code, standard output, and every file of its folder.
type Outcome = (Option<i32>, Vec<u8>, BTreeMap<String, Vec<u8>>);

fn outcome(folder: &Path, arguments: &[&str]) -> Outcome {
    let out = folder.join("out");
    let _ = fs::remove_dir_all(&out);
    let output = baystencil(folder, arguments);
    assert_ne!(output.status.code(), Some(2), "{}", stderr(&output));
    let files = fs::read_dir(&out).into_iter().flatten().map(|entry| {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        (name, fs::read(path).unwrap())
    });
    (output.status.code(), output.stdout, files.collect())
}

/// Flags that change neither what is written nor what is printed, and why they are there all the same.
const NO_OTHER_BYTES: [(&str, &str, &str); 5] = [
    ("", "--help", "says what the command does"),
    ("", "--replace", "lifts the refusal of what would be lost"),
    ("", "--out", "says where"),
    ("", "--yes", "lifts the refusal of very many sheets"),
    ("levels", "--units", "its report is in mm"),
];

/// What to type for a flag, if need be behind others without which it does not act.
fn typed(command: &str, flag: &str) -> (&'static [&'static str], &'static [&'static str]) {
    let alone: &[&str] = match flag {
        "--vehicle" => &["--vehicle", "estate"],
        "--template" => &["--template", "rear-corner-arcs"],
        "--set" if command == "levels" => &["--set", "floor_slope=1mm"],
        "--set" if command == "check" => &["--set", "tolerance=30mm"],
        "--set" => &["--set", "strip=40mm"],
        "--units" => &["--units", "inch"],
        "--paper" => &["--paper", "letter"],
        "--roll" => &["--roll", "24in"],
        "--overlap" => &["--overlap", "25mm"],
        "--mode" => &["--mode", "keys"],
        "--printer" => &["--printer", "office.toml"],
        "--checks" => &["--checks", "quick"],
        "--longest-pull" => &["--longest-pull", "2500mm"],
        "--single-page" => &["--single-page"],
        "--only" => &["--only", "2"],
        "--bed" => &["--bed", "600mmx400mm"],
        "--border" => &["--border", "45mm"],
        "--field" => &["--field"],
        "--partial" => &["--partial"],
        "--pen-names" => &["--pen-names"],
        "--cut-by" => &["--cut-by", "hand"],
        "--bridge" => &["--bridge", "12mm"],
        "--bridge-every" => &["--bridge-every", "150mm"],
        "--kerf" => &["--kerf", "0.2mm"],
        "--corner" => &["--corner", "0.5mm"],
        "--hairline" => &["--hairline", "0.3mm"],
        "--spot" => &["--spot", "Laser"],
        "--score-spot" => &["--score-spot", "Crease"],
        "--cut-colour" => &["--cut-colour", "#ff0000"],
        "--score-colour" => &["--score-colour", "#0000ff"],
        "--json" => &["--json"],
        "--csv" => &["--csv"],
        "--job" => &["--job", "other.toml"],
        "--no-prior" => &["--no-prior"],
        "--details" => &["--details"],
        "--sigma" => &["--sigma", "3mm"],
        "--seed" => &["--seed", "5"],
        "--count" => &["--count", "2"],
        "--first" => &["--first", "3"],
        "--kinds" => &["--kinds", "levels"],
        "--level" => &["--level", "3"],
        "--names" => &["--names", "class.txt"],
        "--course" => &["--course"],
        "--worked" => &["--worked"],
        "--as-is" => &["--as-is"],
        "--levels" => &["--levels", "kit/levels.csv"],
        other => panic!("{command} has a new flag, {other}: say here what to type for it"),
    };
    let behind: &[&str] = match (command, flag) {
        ("check", "--levels" | "--paper") => &["-o", "out"],
        ("practice", "--worked") => &["--course"],
        _ => &[],
    };
    (behind, alone)
}

fn flags_of(folder: &Path, command: &str) -> Vec<String> {
    let help = baystencil(folder, &[command, "--help"]).stdout;
    let help = String::from_utf8(help).unwrap();
    let lines = help.lines().filter_map(|line| {
        let line = line.trim_start();
        let line = line
            .split_once(", --")
            .map_or(line.to_owned(), |(short, long)| {
                assert!(short.starts_with('-'), "{line}");
                format!("--{long}")
            });
        line.starts_with("--")
            .then(|| line.split(' ').next().unwrap().to_owned())
    });
    lines.collect()
}

/// Fills a column of a form with numbers.
fn filled(form: &str, from: usize, into: usize) -> String {
    let mut lines = form.lines();
    let mut text = format!("{}\n", lines.next().unwrap());
    for line in lines {
        let mut cells: Vec<&str> = line.split(',').collect();
        let value = cells[from].to_owned();
        cells[into] = &value;
        text += &format!("{}\n", cells.join(","));
    }
    text
}

#[test]
fn every_flag_that_a_command_offers_changes_what_comes_of_it() {
    let place = tempfile::tempdir().unwrap();
    let at = place.path();
    let base = ["--vehicle", "city-car", "--template", "target-line"];
    // Large enough that how its marks are laid shows in what is taped.
    let large = ["--vehicle", "city-car", "--template", "perimeter-lines"];
    assert!(
        baystencil(at, &[&["kit"], &base[..]].concat())
            .status
            .success()
    );
    let column = |form: &str, name: &str| {
        let found = form
            .lines()
            .next()
            .unwrap()
            .split(',')
            .position(|cell| cell == name);
        found.unwrap_or_else(|| panic!("no column {name} in {form}"))
    };
    let form = fs::read_to_string(at.join("kit/readings.csv")).unwrap();
    let read = filled(
        &form,
        column(&form, "should_be_mm"),
        column(&form, "reading_mm"),
    );
    // One reading that is off gives the report something to say.
    let off = read.replacen(",1700.0\n", ",1760.0\n", 1);
    assert_ne!(off, read);
    fs::write(at.join("kit/readings.csv"), off).unwrap();
    let form = fs::read_to_string(at.join("kit/levels.csv")).unwrap();
    // Heights that follow a place are a floor that slopes.
    let height = filled(&form, column(&form, "y_mm"), column(&form, "height_mm"));
    fs::write(at.join("kit/levels.csv"), height).unwrap();
    let other = "format = \"job/1\"\nvehicle = \"estate\"\ntemplate = \"perimeter-lines\"\n";
    fs::write(at.join("other.toml"), other).unwrap();
    fs::write(at.join("class.txt"), "Ada\nBruno\n").unwrap();
    let profile = [
        "printer",
        "set",
        "office",
        "--x",
        "199.2",
        "--y",
        "200.3",
        "--margin-left",
        "20",
        "--file",
        "office.toml",
    ];
    assert!(baystencil(at, &profile).status.success());

    for (command, first) in [
        ("kit", &base[..]),
        ("stencils", &base),
        ("plan", &large),
        ("overview", &large),
        ("cut", &base),
        ("check", &["kit/readings.csv"]),
        ("levels", &["kit/levels.csv", "--job", "kit/job.toml"]),
        ("practice", &["--kinds", "set-out"]),
        ("measure", &[]),
    ] {
        let writes = matches!(
            command,
            "kit" | "stencils" | "overview" | "cut" | "practice" | "measure"
        );
        let to: &[&str] = if writes { &["-o", "out"] } else { &[] };
        for flag in flags_of(at, command) {
            let is_known = |&(of, known, _): &(&str, &str, &str)| {
                known == flag && (of.is_empty() || of == command)
            };
            if NO_OTHER_BYTES.iter().any(is_known) {
                continue;
            }
            let (behind, typed) = typed(command, &flag);
            // A flag that is in the base already takes its place.
            let first: Vec<&str> = match first.iter().position(|word| *word == flag) {
                // A course has kinds of its own.
                _ if matches!(&*flag, "--course" | "--worked") => Vec::new(),
                Some(index) if flag != "--vehicle" => {
                    [&first[..index], &first[index + 2..]].concat()
                }
                _ => first.to_vec(),
            };
            let without = [&[command][..], &first, to, behind].concat();
            let with = [&without[..], typed].concat();
            assert!(
                outcome(at, &with) != outcome(at, &without),
                "{with:?} does the same as without {flag}"
            );
        }
    }
}

#[test]
fn flags_that_a_command_has_no_use_for_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [
        &["plan", "--overlap", "12mm"][..],
        &["overview", "--overlap", "12mm"],
        &["plan", "--kerf", "1mm"],
        &["cut", "--paper", "letter"],
        &["cut", "--roll", "36in"],
        &["cut", "--cut-by", "hand"],
        &["kit", "--cut-by", "laser"],
        &["plan", "--cut-by", "hand"],
        &["cut", "--mode", "keys"],
        &["cut", "--printer", "office"],
        &["cut", "--checks", "quick"],
        &["cut", "--longest-pull", "5m"],
        &["levels", "--paper", "letter"],
        &["kit", "--only", "3"],
        &["stencils", "--only", "3", "--single-page"],
    ] {
        let output = baystencil(folder.path(), arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
    }
}

#[test]
fn sheets_that_are_cut_by_hand_take_no_flags_of_a_machine_and_have_no_files_for_one() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let job = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\ncut_by = \"hand\"\n";
    let write = |name: &str, text: &str| fs::write(at.join(name), text).unwrap();
    write("job.toml", job);
    write("number.toml", &job.replace("\"hand\"", "3"));
    write("other.toml", &job.replace("hand", "hands"));
    for (arguments, message) in [
        (&["kit", "number.toml"][..], "number.toml:4:10: `cut_by`"),
        (
            &["kit", "other.toml"],
            "other.toml:4:10: \"hands\" is not a known `cut_by`; expected one of \"machine\", \"hand\"; did you mean \"hand\"?",
        ),
        (
            &["kit", "job.toml", "--kerf", "1mm"],
            "--kerf: this is for a machine",
        ),
        (
            &["stencils", "job.toml", "--bed", "1mx1m"],
            "--bed: this is for a machine",
        ),
        (
            &["stencils", "--cut-by", "hand", "--spot", "Laser"],
            "--spot: this is for a machine",
        ),
        (
            &["stencils", "--cut-by", "hand", "--bridge", "90mm"],
            "a bridge width of 90 mm",
        ),
    ] {
        let output = baystencil(at, &[arguments, &["-o", "none"]].concat());
        assert!(!output.status.success(), "{arguments:?}");
        assert!(
            stderr(&output).contains(message),
            "{arguments:?}: {}",
            stderr(&output)
        );
        assert!(!at.join("none").exists());
    }
    let done = |arguments: &[&str]| {
        let output = baystencil(at, arguments);
        assert!(
            output.status.success(),
            "{arguments:?}: {}",
            stderr(&output)
        );
        stderr(&output)
    };
    assert!(done(&["kit", "job.toml", "-o", "hand"]).contains("of card 200–300 g/m²"));
    let by_hand = fs::read(at.join("hand/stencils.pdf")).unwrap();
    assert!(!at.join("hand/cut-01.svg").exists() && !at.join("hand/cut.pdf").exists());
    assert!(
        fs::read_to_string(at.join("hand/job.toml"))
            .unwrap()
            .contains("cut_by = \"hand\"")
    );
    // Its own job makes the same sheets, a flag wins over it, and files for a machine can be had beside.
    done(&["stencils", "hand", "-o", "again"]);
    assert_eq!(fs::read(at.join("again/stencils.pdf")).unwrap(), by_hand);
    done(&[
        "kit", "job.toml", "--cut-by", "machine", "--kerf", "1mm", "-o", "machine",
    ]);
    assert!(at.join("machine/cut.pdf").exists());
    assert_ne!(fs::read(at.join("machine/stencils.pdf")).unwrap(), by_hand);
    done(&["cut", "job.toml", "-o", "cut"]);
    done(&["cut", "job.toml", "--bridge", "8mm", "-o", "eight"]);
    let bytes = |name: &str| fs::read(at.join(name)).unwrap();
    assert_eq!(
        bytes("cut/cut.pdf"),
        bytes("eight/cut.pdf"),
        "a machine's bridges stay 8 mm wide"
    );
    done(&["stencils", "job.toml", "--bridge", "10mm", "-o", "wide"]);
    assert_ne!(bytes("wide/stencils.pdf"), by_hand);
}

#[test]
fn all_faults_of_the_job_its_flags_and_every_file_that_it_names_are_told_in_one_run() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let write = |name: &str, text: &str| fs::write(at.join(name), text).unwrap();
    let vehicle = include_str!("../vehicle-specs/city-car.toml");
    write("v.toml", &vehicle.replace("\"2345 mm\"", "\"2 furlongs\""));
    write("w.toml", &vehicle.replace("front_track", "front_tarck"));
    write(
        "p.toml",
        "format = \"printer/1\"\nname = \"p\"\nmargin_left = \"wide\"\n",
    );
    let template = include_str!("../templates/target-line.toml");
    write("t.toml", template);
    let job = |template: &str| {
        format!(
            "format = \"job/1\"\nvehicles = [\"v.toml\", \"estate\", \"w.toml\", \"x.toml\"]\n\
             template = \"{template}\"\npaper = \"A9\"\nprinter = \"p.toml\"\ncolour = 1\n\
             [values]\nstrip = \"1 furlong\"\nsied_gap = 3\ntolerance = true\n[cut]\nkerf = \"thin\"\n"
        )
    };
    let told = |arguments: &[&str]| {
        let output = baystencil(at, arguments);
        assert_eq!(output.status.code(), Some(3), "{}", stderr(&output));
        assert!(!at.join("out").exists());
        stderr(&output)
    };
    write("job.toml", &job("t.toml"));
    let list = told(&[
        "kit",
        "job.toml",
        "--overlap",
        "1mm",
        "--bridge",
        "wide",
        "--set",
        "stand_offset=9m",
        "-o",
        "out",
    ]);
    let always = [
        "job.toml:4:9: \"A9\" is no paper",
        "job.toml:6:1: `colour` is not a key",
        "v.toml:",
        "w.toml:",
        "\"x.toml\" cannot be read",
        "p.toml:3:15",
        "job.toml:12:8: ",
    ];
    let values = [
        "job.toml:8:9: ",
        "no value `sied_gap`",
        "job.toml:10:13: ",
        "--set stand_offset=9m: ",
        "--overlap: ",
        "--bridge: ",
    ];
    for expected in always.iter().chain(&values) {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
    // A template that cannot be read hides the values alone.
    write(
        "t.toml",
        &template.replace("least = \"500 mm\"", "least = \"much\""),
    );
    let list = told(&["plan", "job.toml"]);
    for expected in always.iter().chain(&["t.toml:"]) {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
    // Names that nothing has.
    write(
        "job.toml",
        "format = \"job/1\"\nvehicle = \"zeppelin\"\ntemplate = 3\n[values]\nx = 1\n",
    );
    let list = told(&["overview", "job.toml", "--printer", "none.toml"]);
    for expected in ["\"zeppelin\"", "job.toml:3:12: ", "none.toml"] {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
    // Exercises tell theirs at once as well.
    write(
        "job.toml",
        "format = \"job/1\"\nvehicle = \"v.toml\"\ntemplate = \"target-line\"\n[values]\nstrip = \"x\"\n",
    );
    let list = told(&["practice", "job.toml", "--paper", "A3"]);
    for expected in ["v.toml:", "job.toml:5:9: ", "--paper: "] {
        assert!(list.contains(expected), "{expected} not in\n{list}");
    }
}

#[test]
fn a_roll_and_a_paper_are_taken_together_by_flags_as_in_a_job() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let job = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\npaper = \"Letter\"\nroll = \"24 in\"\n";
    fs::write(at.join("job.toml"), job).unwrap();
    let by_job = outcome(at, &["stencils", "job.toml", "-o", "out"]);
    let flags = [
        "--vehicle",
        "city-car",
        "--template",
        "target-line",
        "--roll",
        "24in",
        "--paper",
        "Letter",
    ];
    let by_flags = outcome(at, &[&["stencils", "-o", "out"], &flags[..]].concat());
    assert!(by_job.2.contains_key("assembly.pdf"));
    // The hash is of the job as it was resolved, which has no record and no bay either way.
    assert!(by_job == by_flags);
    // A paper alone takes the sheets from the roll.
    let sheets = outcome(at, &["stencils", "job.toml", "--paper", "A4", "-o", "out"]);
    assert!(!sheets.2.contains_key("assembly.pdf"));
}
