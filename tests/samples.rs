//! `output-samples/` holds what the program writes today. Renew it with
//! `RENEW_SAMPLES=1 cargo test --release --test samples`.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use baystencil::{
    Folders, Job, JobSpec, Kit,
    inside::{
        DEMONSTRATION, Drawing, FloorArt, Kind, Level, Paper, PracticeError, PracticePaper,
        Request, TEMPLATES, TemplateSpec, VEHICLES, Vehicle, VehicleSpec, answer_sheet, desk_pages,
        exercise_sheet, make_exercises, png, svg,
    },
};

/// Resolution of the README's picture of sheet 0's last page, the assembly map.
const MAP_DPI: f64 = 90.0;

/// Resolution of the README's pictures of exercises.
const EXERCISE_DPI: f64 = 75.0;

/// The page of the desk's floor that is shown: one with marks and the vehicle's side.
const DESK_PAGE: usize = 1;

/// The page of the folder that people wrote.
const PAGE: &str = "README.md";

fn kept() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("output-samples")
}

fn kit(folder: &Path, flags: &[&str]) {
    let output = Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .args(["kit", "--out"])
        .arg(folder)
        .args(flags)
        .env_remove("SOURCE_DATE_EPOCH")
        .output()
        .expect("the program starts");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
}

/// The record of a layout with one mark off, from readings that were made up.
fn record(folder: &Path) {
    let readings =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/inputs/filled-readings.csv");
    let output = Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .arg("check")
        .arg(&readings)
        .arg("--out")
        .arg(folder)
        .env_remove("SOURCE_DATE_EPOCH")
        .output()
        .expect("the program starts");
    assert_eq!(
        output.status.code(),
        Some(1),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    fs::write(folder.join("report.txt"), output.stdout).unwrap();
    fs::copy(readings, folder.join("filled-readings.csv")).unwrap();
    let page = fs::read_to_string(folder.join("record.svg")).unwrap();
    fs::write(folder.join("record.png"), png(&page, MAP_DPI).unwrap()).unwrap();
}

/// One sheet of each kind of exercise, with its key.
fn practice(folder: &Path) {
    for (name, flags) in [
        ("sheets", &["--level", "2"][..]),
        ("desk", &["--kinds", "desk"]),
    ] {
        let output = Command::new(env!("CARGO_BIN_EXE_baystencil"))
            .args(["practice", "--out"])
            .arg(folder.join(name))
            .args(flags)
            .env_remove("SOURCE_DATE_EPOCH")
            .output()
            .expect("the program starts");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
    }
}

/// The first pages of these exercises and of their answers, and a sheet of the desk's floor, as pictures.
fn exercise_pictures(folder: &Path) {
    let (job, vehicle, template) = demonstration();
    let paper = Paper::known()[0].clone();
    let on = PracticePaper {
        paper: &paper,
        origin: "",
    };
    let keep = |name: String, page: &Drawing| {
        fs::write(folder.join(name), png(&svg(page), EXERCISE_DPI).unwrap()).unwrap();
    };
    for kind in Kind::ALL {
        let level = if kind == Kind::Desk { 1 } else { 2 };
        let request = Request {
            seed: 1,
            first: 1,
            count: 1,
            level: Level::new(level).unwrap(),
            kinds: vec![kind],
            vehicle: Vehicle::Given(Box::new(vehicle.clone())),
            template: template.clone(),
            values: job.settings.clone(),
            precision: job.precision,
            paper: paper.clone(),
            inches: job.inches,
        };
        make_exercises(&request, |exercise| {
            keep(
                format!("{}.png", kind.word()),
                &exercise_sheet(&exercise, &on)[0],
            );
            keep(
                format!("{}-answers.png", kind.word()),
                &answer_sheet(&exercise, &on)[0],
            );
            if let Some(model) = &exercise.model {
                keep(
                    "desk-floor.png".to_owned(),
                    &desk_pages(model, &paper)[DESK_PAGE],
                );
            }
            Ok::<(), PracticeError>(())
        })
        .unwrap();
    }
}

/// The built-in job with its vehicle and template.
fn demonstration() -> (JobSpec, VehicleSpec, TemplateSpec) {
    let job = JobSpec::read(&DEMONSTRATION.source()).unwrap();
    let find = |name: &str| {
        VEHICLES
            .iter()
            .chain(&TEMPLATES)
            .find(|item| item.name == name)
            .unwrap()
            .source()
    };
    let vehicle = VehicleSpec::read(&find(&job.vehicles.names[0].value)).unwrap();
    let template = TemplateSpec::read(&find(&job.template.value)).unwrap();
    (job, vehicle, template)
}

fn assembly_map() -> Vec<u8> {
    let spec = JobSpec::read(&DEMONSTRATION.source()).unwrap();
    let kit = Kit::of(Job::resolve(spec, &Folders::default(), true).unwrap());
    let sheets = kit.lay_sheets(None).unwrap();
    let pages = kit.sheet_zero(&sheets, &FloorArt::of(&kit.job.plan));
    png(&svg(pages.last().expect("sheet 0 has a page")), MAP_DPI).unwrap()
}

fn make(folder: &Path) {
    kit(&folder.join("A4"), &[]);
    kit(
        &folder.join("Letter"),
        &["--paper", "Letter", "--units", "inch"],
    );
    record(&folder.join("check"));
    practice(&folder.join("practice"));
    exercise_pictures(&folder.join("practice"));
    fs::write(folder.join("assembly-map.png"), assembly_map()).unwrap();
}

fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in
            fs::read_dir(&next).unwrap_or_else(|error| panic!("{}: {error}", next.display()))
        {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.insert(
                    path.strip_prefix(folder).unwrap().to_owned(),
                    fs::read(&path).unwrap(),
                );
            }
        }
    }
    found
}

#[test]
fn the_samples_are_what_the_program_writes_today() {
    if std::env::var_os("RENEW_SAMPLES").is_some() {
        let page = fs::read(kept().join(PAGE)).unwrap();
        let _ = fs::remove_dir_all(kept());
        fs::create_dir_all(kept()).unwrap();
        fs::write(kept().join(PAGE), page).unwrap();
        make(&kept());
    }
    let fresh = tempfile::tempdir().unwrap();
    make(fresh.path());
    let (mut kept, fresh) = (files(&kept()), files(fresh.path()));
    assert!(kept.remove(Path::new(PAGE)).is_some());
    let stale: Vec<_> = fresh
        .iter()
        .filter(|(name, bytes)| kept.get(*name) != Some(bytes))
        .map(|(name, _)| name)
        .collect();
    let foreign: Vec<_> = kept
        .keys()
        .filter(|name| !fresh.contains_key(*name))
        .collect();
    assert!(
        stale.is_empty() && foreign.is_empty(),
        "stale: {stale:?}, not made by the program: {foreign:?}; renew with RENEW_SAMPLES=1 cargo test --release --test samples"
    );
}
