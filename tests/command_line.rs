//! The program as it is called: exit codes, what goes to which stream, and what is on the disk
//! afterwards.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{fs, path::Path, process::Command};

mod program;

use program::{baystencil, stderr};

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn kit_without_arguments_writes_the_demonstration_into_kit() {
    let folder = tempfile::tempdir().unwrap();
    let output = baystencil(folder.path(), &["kit"]);
    assert!(output.status.success(), "{}", stderr(&output));
    assert!(
        output.stdout.is_empty(),
        "stdout carries data alone, and only when asked"
    );
    assert!(
        stderr(&output).contains("demonstration values are in use for front_gap"),
        "{}",
        stderr(&output)
    );
    assert_eq!(
        names(&folder.path().join("kit")),
        [
            ".baystencil.json",
            "assembly-map.png",
            "assembly-map.svg",
            "checks.svg",
            "cut-01.dxf",
            "cut-01.svg",
            "cut-02.dxf",
            "cut-02.svg",
            "cut-03.dxf",
            "cut-03.svg",
            "cut-04.dxf",
            "cut-04.svg",
            "cut-05.dxf",
            "cut-05.svg",
            "cut-map.pdf",
            "cut.pdf",
            "floor.dxf",
            "floor.svg",
            "job.toml",
            "levels.csv",
            "overview.pdf",
            "overview.png",
            "overview.svg",
            "plan.json",
            "readings.csv",
            "sheets.json",
            "stencils.pdf",
            "steps.pdf"
        ]
    );
}

#[test]
fn a_kit_made_again_from_its_own_job_is_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    for (own, shipped) in [
        (
            "van.toml",
            include_str!("../vehicle-specs/delivery-van.toml"),
        ),
        (
            "lines.toml",
            include_str!("../templates/perimeter-lines.toml"),
        ),
    ] {
        fs::write(at.join(own), shipped).unwrap();
    }
    let profile = [
        "printer", "set", "bay", "--x", "199.2", "--y", "200.3", "--file", "bay.toml",
    ];
    assert!(baystencil(at, &profile).status.success());
    let own = [
        "kit",
        "--vehicle",
        "van.toml",
        "--template",
        "lines.toml",
        "--set",
        "front_gap=29 1/2 in",
        "--units",
        "inch",
        "--paper",
        "250 mm x 353 mm",
        "--overlap",
        "12mm",
        "--mode",
        "grid",
        "--printer",
        "bay.toml",
        "--checks",
        "quick",
        "--longest-pull",
        "6m",
        "--single-page",
        "--bed",
        "1300mmx800mm",
        "--border",
        "55mm",
        "--partial",
        "--pen-names",
        "--bridge",
        "1/4 in",
        "--bridge-every",
        "200mm",
        "--kerf",
        "0.2mm",
        "--corner",
        "0.5mm",
        "--hairline",
        "0.05mm",
        "--spot",
        "Laser (0.2 mm), deep",
        "--score-spot",
        "Crease",
        "--cut-colour",
        "#ff0000",
        "--score-colour",
        "#0000ff",
    ];
    let mat = [
        "kit",
        "--vehicle",
        "city-car",
        "--vehicle",
        "estate",
        "--template",
        "target-line",
        "--roll",
        "36in",
    ];
    for flags in [&["kit"][..], &own, &mat] {
        let run = |arguments: &[&str]| {
            let output = baystencil(at, arguments);
            assert!(output.status.success(), "{}", stderr(&output));
        };
        run(&[flags, &["-o", "first"]].concat());
        fs::rename(at.join("first"), at.join("moved")).unwrap();
        run(&["kit", "moved/job.toml", "-o", "second"]);
        // Into its own folder, where nothing changes.
        run(&["kit", "moved", "-o", "moved"]);
        let files = names(&at.join("moved"));
        assert_eq!(files, names(&at.join("second")));
        for file in files {
            let read = |kit: &str| fs::read(at.join(kit).join(&file)).unwrap();
            assert!(read("moved") == read("second"), "{file} of {flags:?}");
        }
        fs::remove_dir_all(at.join("moved")).unwrap();
        fs::remove_dir_all(at.join("second")).unwrap();
    }
}

#[test]
fn the_same_bytes_are_written_however_many_cores_draw() {
    let folder = tempfile::tempdir().unwrap();
    let runs: [&[&str]; 3] = [
        &["kit", "--paper", "A3"],
        &["stencils", "--roll", "36in"],
        &["practice", "--count", "6", "--kinds", "set-out,desk"],
    ];
    for arguments in runs {
        let written = ["1", "4"].map(|threads| {
            let out = folder.path().join(threads).join(arguments[0]);
            let output = Command::new(env!("CARGO_BIN_EXE_baystencil"))
                .args(arguments)
                .arg("--out")
                .arg(&out)
                .env("RAYON_NUM_THREADS", threads)
                .output()
                .expect("the program starts");
            assert!(output.status.success(), "{}", stderr(&output));
            let files = names(&out).into_iter();
            let files = files.map(|name| (fs::read(out.join(&name)).unwrap(), name));
            files.collect::<Vec<_>>()
        });
        assert!(
            !written[0].is_empty() && written[0] == written[1],
            "{arguments:?}"
        );
    }
}

#[test]
fn strips_of_an_earlier_run_go_when_sheets_come_and_that_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let strips = baystencil(
        folder.path(),
        &["stencils", "--template", "target-line", "--roll", "36in"],
    );
    assert!(
        strips.status.success() && !stderr(&strips).contains("left from"),
        "{}",
        stderr(&strips)
    );
    let sheets = baystencil(
        folder.path(),
        &["stencils", "--template", "target-line", "--mode", "keys"],
    );
    let told = stderr(&sheets);
    assert!(
        told.contains("assembly.pdf, strip-1.svg") && told.contains("of the earlier run removed"),
        "{told}"
    );
    assert!(!folder.path().join("kit/strip-1.svg").exists());
    assert!(told.contains("5 keys on 1 page of A4"), "{told}");
}

#[test]
fn flags_without_a_job_do_not_borrow_the_demonstrations_order_and_bay() {
    let folder = tempfile::tempdir().unwrap();
    let plan = |flags: &[&str]| {
        let arguments: Vec<&str> = ["plan"].iter().chain(flags).copied().collect();
        String::from_utf8(baystencil(folder.path(), &arguments).stdout).unwrap()
    };
    assert!(plan(&[]).contains("\nbay: "));
    assert!(!plan(&["--vehicle", "city-car"]).contains("\nbay: "));
}

#[test]
fn a_floor_too_large_for_one_page_is_refused_before_anything_is_laid() {
    let folder = tempfile::tempdir().unwrap();
    let template = include_str!("../templates/perimeter-lines.toml")
        .replace("most = \"4 m\"", "most = \"30 m\"");
    fs::write(folder.path().join("long.toml"), template).unwrap();
    let flags = [
        "--template",
        "long.toml",
        "--set",
        "front_gap=25m",
        "--set",
        "rear_gap=24m",
        "--single-page",
    ];
    let arguments: Vec<&str> = ["stencils"].iter().chain(&flags).copied().collect();
    let output = baystencil(folder.path(), &arguments);
    assert_eq!(output.status.code(), Some(3));
    assert!(
        stderr(&output).contains("leave --single-page out"),
        "{}",
        stderr(&output)
    );
    assert_eq!(names(folder.path()), ["long.toml"]);
}

#[test]
fn a_fault_leaves_the_folder_as_it_was_and_exits_with_3() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("kit")).unwrap();
    fs::write(folder.path().join("kit/plan.json"), "mine").unwrap();
    let output = baystencil(
        folder.path(),
        &[
            "kit",
            "--set",
            "side_gap=1 furlong",
            "--set",
            "sied_gap=300",
        ],
    );
    assert_eq!(output.status.code(), Some(3));
    let message = stderr(&output);
    assert!(
        message.contains("\"1 furlong\" is not a length")
            && message.contains("no value `sied_gap`"),
        "{message}"
    );
    assert_eq!(names(&folder.path().join("kit")), ["plan.json"]);
    assert_eq!(
        fs::read_to_string(folder.path().join("kit/plan.json")).unwrap(),
        "mine"
    );
}

#[test]
fn files_of_others_in_the_folder_stay() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("kit")).unwrap();
    fs::write(folder.path().join("kit/notes.txt"), "mine").unwrap();
    assert!(baystencil(folder.path(), &["overview"]).status.success());
    assert_eq!(
        fs::read_to_string(folder.path().join("kit/notes.txt")).unwrap(),
        "mine"
    );
}

#[test]
fn usage_faults_exit_with_2() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [
        &["kti"][..],
        &["kit", "--papre", "A4"],
        &["kit", "--set", "side_gap"],
        &[],
    ] {
        assert_eq!(
            baystencil(folder.path(), arguments).status.code(),
            Some(2),
            "{arguments:?}"
        );
    }
}

/// What a command ends with: 0 done and inside, 1 outside or undecided, 2 not understood, 3 input that cannot be used.
#[test]
fn every_command_exits_by_what_came_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let network = |third: f64| {
        let mark = |id: &str, x: f64, y: f64| {
            format!("[[mark]]\nid = \"{id}\"\nx = {x}\ny = {y}\ntolerance = 5\n")
        };
        let reading = |[from, to]: [&str; 2], mm: f64| {
            format!("[[reading]]\nfrom = \"{from}\"\nto = \"{to}\"\ndistance = {mm}\n")
        };
        let marks = mark("a", 0.0, 0.0)
            + &mark("b", 3000.0, 0.0)
            + &mark("c", 3000.0, 4000.0)
            + &mark("d", 0.0, 4000.0);
        let sides = reading(["a", "b"], 3000.0)
            + &reading(["b", "c"], 4000.0)
            + &reading(["c", "d"], third);
        let rest = reading(["d", "a"], 4000.0)
            + &reading(["a", "c"], 5000.0)
            + &reading(["b", "d"], 5000.0);
        format!("format = \"readings/1\"\nsigma = 1\n{marks}{sides}{rest}")
    };
    let heights = |first: f64| {
        let level = |(name, x, y, z): (&str, f64, f64, f64)| {
            format!("[[level]]\nat = \"{name}\"\nx = {x}\ny = {y}\nheight = {z}\n")
        };
        let places = [
            ("p", 0.0, 0.0, first),
            ("q", 4000.0, 0.0, 0.0),
            ("r", 0.0, 2000.0, 0.0),
            ("s", 4000.0, 2000.0, 0.0),
        ];
        format!(
            "format = \"levels/1\"\nas = \"height\"\n{}",
            places.map(level).concat()
        )
    };
    for (name, text) in [
        ("good.toml", network(3000.0)),
        ("bad.toml", network(3200.0)),
        ("flat.toml", heights(0.0)),
        ("bent.toml", heights(500.0)),
        (
            "job.toml",
            "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"perimeter-lines\"\n"
                .to_owned(),
        ),
        (
            "broken.toml",
            "format = \"job/1\"\nvehicle = 3\n".to_owned(),
        ),
    ] {
        fs::write(folder.path().join(name), text).unwrap();
    }
    for (code, arguments) in [
        (0, &["plan"][..]),
        (0, &["library"]),
        (0, &["check", "good.toml"]),
        (0, &["levels", "flat.toml"]),
        (0, &["measure"]),
        (0, &["--help"]),
        (1, &["check", "bad.toml"]),
        (1, &["levels", "bent.toml", "--job", "job.toml"]),
        (2, &["check"]),
        (2, &["library", "zeppelin"]),
        (2, &["levels", "flat.toml", "--tilt"]),
        (2, &["plan", "--csv", "--json"]),
        (3, &["plan", "broken.toml"]),
        (3, &["kit", "none.toml"]),
        (3, &["stencils", "broken.toml"]),
        (3, &["cut", "broken.toml"]),
        (3, &["overview", "broken.toml"]),
        (3, &["practice", "broken.toml"]),
        (3, &["printer", "test", "--printer", "none"]),
        (3, &["measure", "--paper", "A5"]),
        (3, &["check", "flat.toml"]),
        (3, &["levels", "good.toml"]),
    ] {
        let output = baystencil(folder.path(), arguments);
        assert_eq!(
            output.status.code(),
            Some(code),
            "{arguments:?}: {}",
            stderr(&output)
        );
    }
}

#[test]
fn flags_win_over_the_job_and_paths_in_a_job_are_relative_to_it() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("jobs")).unwrap();
    let vehicle =
        include_str!("../vehicle-specs/city-car.toml").replace("city car (demo)", "my car");
    fs::write(folder.path().join("jobs/mine.toml"), vehicle).unwrap();
    let job = "format = \"job/1\"\nvehicle = \"mine.toml\"\ntemplate = \"target-line\"\n[values]\ntarget_distance = \"4 ft 11 1/16 in\"\n";
    fs::write(folder.path().join("jobs/job.toml"), job).unwrap();
    let plan = |flags: &[&str]| {
        let output = baystencil(
            folder.path(),
            &[&["plan", "jobs/job.toml", "--json"], flags].concat(),
        );
        assert!(output.status.success(), "{}", stderr(&output));
        serde_json::from_slice::<serde_json::Value>(&output.stdout).unwrap()
    };
    let distance =
        |plan: &serde_json::Value| plan["template"]["values"][0]["value"].as_f64().unwrap();
    let from_job = plan(&[]);
    assert_eq!(from_job["vehicle"]["name"], "my car");
    // 4 ft 11 1/16 in = 59.0625 in × 25.4 mm.
    assert!((distance(&from_job) - 1500.1875).abs() < 1e-9);
    assert_eq!(distance(&plan(&["--set", "target_distance=2 m"])), 2000.0);
}

#[test]
fn more_than_400_sheets_need_yes() {
    let folder = tempfile::tempdir().unwrap();
    let many = [
        "stencils",
        "--template",
        "perimeter-lines",
        "--paper",
        "150 mm x 150 mm",
        "--set",
        "side_gap=2500",
        "--set",
        "front_gap=4 m",
        "--set",
        "rear_gap=4 m",
        "--set",
        "cross_length=2 m",
        "--set",
        "strip=150",
        "--overlap",
        "40",
    ];
    let refused = baystencil(folder.path(), &many);
    assert_eq!(refused.status.code(), Some(3));
    assert!(stderr(&refused).contains("--yes"), "{}", stderr(&refused));
    assert!(names(folder.path()).is_empty());
    assert!(
        baystencil(folder.path(), &[&many[..], &["--yes"]].concat())
            .status
            .success()
    );
}

#[test]
fn the_document_date_comes_from_the_job_or_the_environment_and_never_from_the_clock() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("job.toml"),
        "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n",
    )
    .unwrap();
    let with_epoch = |epoch: &str| {
        Command::new(env!("CARGO_BIN_EXE_baystencil"))
            .current_dir(folder.path())
            .args(["overview", "job.toml"])
            .env("SOURCE_DATE_EPOCH", epoch)
            .output()
            .unwrap()
    };
    // 1 000 000 000 s after 1970-01-01 is 2001-09-09 (elementary calendar arithmetic).
    assert!(with_epoch("1000000000").status.success());
    let pdf = fs::read(folder.path().join("kit/overview.pdf")).unwrap();
    let dated = String::from_utf8_lossy(&pdf).contains("D:20010909");
    assert!(dated, "the date of SOURCE_DATE_EPOCH is in the file");
    let wrong = with_epoch("yesterday");
    assert_eq!(wrong.status.code(), Some(3));
    assert!(stderr(&wrong).contains("SOURCE_DATE_EPOCH is \"yesterday\""));
}

#[test]
fn a_file_that_was_read_is_never_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let job = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n";
    fs::write(folder.path().join("plan.json"), job).unwrap();
    let output = baystencil(folder.path(), &["kit", "plan.json", "--out", "."]);
    assert_eq!(output.status.code(), Some(3));
    assert!(
        stderr(&output).contains("would be overwritten"),
        "{}",
        stderr(&output)
    );
    assert_eq!(names(folder.path()), ["plan.json"]);
    assert_eq!(
        fs::read_to_string(folder.path().join("plan.json")).unwrap(),
        job
    );
}

#[test]
fn signs_that_the_typeface_lacks_are_refused_where_they_stand() {
    let folder = tempfile::tempdir().unwrap();
    let job = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n[record]\nnote = \"\u{732b} next door\"\n";
    fs::write(folder.path().join("job.toml"), job).unwrap();
    let output = baystencil(folder.path(), &["overview", "job.toml"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(
        stderr(&output).starts_with("job.toml:5:9: `note` has U+732B (\u{732b}) in it"),
        "{}",
        stderr(&output)
    );
    assert_eq!(names(folder.path()), ["job.toml"]);
}

#[test]
fn a_mat_has_an_overview_for_each_vehicle_and_marks_with_its_letter() {
    let folder = tempfile::tempdir().unwrap();
    let vehicle =
        include_str!("../vehicle-specs/city-car.toml").replace("city car (demo)", "my car");
    fs::write(folder.path().join("mine.toml"), vehicle).unwrap();
    let job =
        "format = \"job/1\"\nvehicles = [\"mine.toml\", \"estate\"]\ntemplate = \"target-line\"\n";
    fs::write(folder.path().join("job.toml"), job).unwrap();
    let output = baystencil(folder.path(), &["kit", "job.toml"]);
    assert!(output.status.success(), "{}", stderr(&output));
    let written = names(&folder.path().join("kit"));
    let overviews: Vec<&String> = written
        .iter()
        .filter(|name| name.starts_with("overview"))
        .collect();
    assert_eq!(
        overviews,
        [
            "overview-A.png",
            "overview-A.svg",
            "overview-B.png",
            "overview-B.svg",
            "overview.pdf"
        ]
    );
    let plan: serde_json::Value =
        serde_json::from_slice(&fs::read(folder.path().join("kit/plan.json")).unwrap()).unwrap();
    assert_eq!(
        (&plan["vehicles"][0]["letter"], &plan["vehicles"][0]["name"]),
        (&"A".into(), &"my car".into())
    );
    assert!(plan.get("vehicle").is_none());
    let readings = fs::read_to_string(folder.path().join("kit/readings.csv")).unwrap();
    assert!(
        readings.contains("\n1,A:1,") && readings.contains(",B:1,"),
        "{readings}"
    );
    let shown = baystencil(folder.path(), &["plan", "job.toml"]);
    let shown = String::from_utf8_lossy(&shown.stdout).into_owned();
    assert!(
        shown.contains("A: my car") && shown.contains("B: estate car (demo)"),
        "{shown}"
    );
}

#[test]
fn vehicles_that_cannot_share_a_mat_are_refused_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("mine.toml"),
        include_str!("../vehicle-specs/city-car.toml"),
    )
    .unwrap();
    let job = |vehicles: &str| {
        let text = format!("format = \"job/1\"\n{vehicles}\ntemplate = \"perimeter-lines\"\n");
        fs::write(folder.path().join("job.toml"), text).unwrap();
    };
    let refused = |flags: &[&str], expected: &str| {
        let output = baystencil(folder.path(), &[&["kit", "job.toml"], flags].concat());
        assert_eq!(output.status.code(), Some(3), "{expected}");
        assert!(
            stderr(&output).contains(expected),
            "{expected} not in\n{}",
            stderr(&output)
        );
        assert_eq!(names(folder.path()), ["job.toml", "mine.toml"]);
    };
    job("vehicles = [\"estate\", \"estate\"]");
    refused(&[], "job.toml:2:23: the vehicle \"estate\" is named twice");
    job("vehicles = [\"mine.toml\", \"./mine.toml\"]");
    refused(
        &[],
        "job.toml:2:26: the vehicle file \"./mine.toml\" is named twice",
    );
    job("vehicle = \"estate\"\nvehicles = [\"estate\", \"city-car\"]");
    refused(&[], "`vehicle` and `vehicles` are both given");
    job(
        "vehicles = [\"city-car\", \"compact-hatchback\", \"estate\", \"crew-cab-pickup\", \"delivery-van\"]",
    );
    refused(
        &[],
        "5 vehicles are too many for one mat; expected at most 4",
    );
    // Front ends 925 + 750 mm and 905 + 750 mm ahead of the front axle.
    job("vehicles = [\"city-car\", \"estate\", \"crew-cab-pickup\"]");
    refused(
        &[],
        "job.toml:2:12: marks of B (estate car (demo)) and C (crew-cab pickup (demo)) look alike on one mat",
    );
    refused(&[], "B:1C and C:1C lie 20 mm apart");
    refused(
        &["--vehicle", "estate", "--vehicle", "estate"],
        "--vehicle: the vehicle \"estate\" is named twice",
    );
    // The flags win over the job's list.
    let output = baystencil(folder.path(), &["plan", "job.toml", "--vehicle", "estate"]);
    assert!(output.status.success(), "{}", stderr(&output));
}
