//! `output-samples/` holds what its page and the README show; `tests/samples/` says what every file of these runs shows. Both
//! are what the program writes today. Renew them with `RENEW_SAMPLES=1 cargo test --release --test samples`, and look at what
//! changed.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{
    collections::BTreeMap,
    fs,
    io::Cursor,
    path::{Path, PathBuf},
    process::Command,
    slice,
    sync::LazyLock,
};

use baystencil::{
    Folders, Job, JobSpec, Kit,
    inside::{
        CutBy, DEMONSTRATION, DocumentInfo, Drawing, Exercise, FloorArt, Kind, Layer, Level, Paper,
        PracticeError, PracticePaper, Request, Stroke, TEMPLATES, TemplateSpec, Text, VEHICLES,
        Vehicle, VehicleSpec, answer_sheet, desk_pages, exercise_sheet, heights, make_exercises,
        pdf, png, svg, widths,
    },
};

mod shown;

/// Resolution of the README's pictures of whole sheets.
const SHEET_DPI: f64 = 90.0;

/// Resolution of the README's pictures of exercises.
const EXERCISE_DPI: f64 = 75.0;

/// The sheet that is shown cut by hand: one on which two strips meet.
const CORNER: &str = "3";

/// The page of the desk's floor that is shown: one with marks and the vehicle's side.
const DESK_PAGE: usize = 2;

/// The page of the folder that people wrote.
const PAGE: &str = "README.md";

/// Files that are kept as they are, for people to look at, besides the pictures.
const LINKED: [&str; 4] = [
    "practice/desk/answers.pdf",
    "practice/desk/exercises.pdf",
    "practice/sheets/answers.pdf",
    "practice/sheets/exercises.pdf",
];

/// Resolution of the picture of a strip of a roll: a metre of paper on a screen.
const STRIP_DPI: f64 = 40.0;

/// What else a run can give, each shown by one file: the command, the file that it writes, and what it is called here.
const SINGLE: [(&[&str], &str, &str); 5] = [
    (
        &["stencils", "--template", "target-line", "--roll", "610mm"],
        "strip-1.svg",
        "roll-strip.png",
    ),
    (
        &["stencils", "--mode", "keys", "--only", "1"],
        "stencils-again.pdf",
        "keys.pdf",
    ),
    (
        &[
            "overview",
            "--vehicle",
            "delivery-van",
            "--vehicle",
            "city-car",
        ],
        "overview-A.svg",
        "mat-overview.png",
    ),
    (&["printer", "test"], "printer-test.pdf", "printer-test.pdf"),
    (&["measure"], "measuring-sheet.pdf", "measuring-sheet.pdf"),
];

/// Largest of these files, bytes.
const MOST_BYTES: usize = 150_000;

/// Files by their path below a folder.
type Files = BTreeMap<PathBuf, Vec<u8>>;

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
    let readings = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/outside/inputs/demonstration/filled-readings.csv");
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
fn exercise_pictures(pictures: &mut Files) {
    let (job, vehicle, template) = demonstration();
    let paper = Paper::known()[0].clone();
    let on = PracticePaper {
        paper: &paper,
        origin: "",
    };
    let mut keep = |name: String, page: &Drawing| {
        let path = Path::new("practice").join(name + ".png");
        pictures.insert(path, picture(&svg(page), EXERCISE_DPI));
    };
    for kind in Kind::ALL {
        let level = if kind == Kind::Desk { 1 } else { 2 };
        let request = Request {
            seed: 1,
            first: 1,
            count: 1,
            sheets: vec![(kind, Level::new(level).unwrap())],
            names: Vec::new(),
            vehicle: Vehicle::Given(Box::new(vehicle.clone())),
            template: template.clone(),
            values: job.settings.clone(),
            precision: job.precision,
            paper: paper.clone(),
            inches: job.inches,
            as_is: false,
        };
        make_exercises(&request, Clone::clone, |_, exercise: Exercise| {
            keep(kind.word().to_owned(), &exercise_sheet(&exercise, &on)[0]);
            let answers = format!("{}-answers", kind.word());
            // What asks nothing has no answers.
            if let Some(page) = answer_sheet(&exercise, &on).first() {
                keep(answers, page);
            }
            if let Some(model) = &exercise.model {
                keep(
                    "desk-floor".to_owned(),
                    &desk_pages(model, &paper)[DESK_PAGE],
                );
            }
            Ok::<(), PracticeError>(())
        })
        .unwrap();
    }
}

/// A page as a picture in sixteen greys: half as large as one in all, and as good to look at.
fn picture(page: &str, dots_per_inch: f64) -> Vec<u8> {
    let whole = png(page, dots_per_inch).unwrap();
    let mut reader = ::png::Decoder::new(Cursor::new(whole)).read_info().unwrap();
    let mut greys = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut greys).unwrap();
    let (width, height) = reader.info().size();
    // 0 to 15, the nearest: 17 steps of 255 each.
    let sixteenth = |grey: &u8| grey / 17 + u8::from(grey % 17 > 8);
    let pairs = greys.chunks(width as usize).flat_map(|row| row.chunks(2));
    let packed: Vec<u8> = pairs
        .map(|pair| sixteenth(&pair[0]) << 4 | pair.get(1).map_or(0, sixteenth))
        .collect();
    let mut bytes = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(::png::ColorType::Grayscale);
    encoder.set_depth(::png::BitDepth::Four);
    encoder.set_compression(::png::Compression::High);
    encoder.set_filter(::png::Filter::NoFilter);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&packed).unwrap();
    writer.finish().unwrap();
    bytes
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
    let template = TemplateSpec::read(&find(&job.template.as_ref().unwrap().value)).unwrap();
    (job, vehicle, template)
}

fn assembly_map() -> Vec<u8> {
    let spec = JobSpec::read(&DEMONSTRATION.source()).unwrap();
    let kit = Kit::of(Job::resolve(spec, &Folders::default(), true).unwrap());
    let sheets = kit.lay_sheets(None).unwrap();
    let pages = kit.sheet_zero(
        &sheets,
        &FloorArt::of(&kit.job.plan),
        &kit.takes(&sheets, None),
    );
    picture(&svg(pages.last().expect("sheet 0 has a page")), SHEET_DPI)
}

/// A sheet with a corner of the layout, to be cut by hand.
fn hand_cut() -> Vec<u8> {
    let mut spec = JobSpec::read(&DEMONSTRATION.source()).unwrap();
    spec.change_cut_by(CutBy::Hand);
    let kit = Kit::of(Job::resolve(spec, &Folders::default(), false).unwrap());
    let sheets = kit.lay_sheets(None).unwrap();
    let art = FloorArt::of(&kit.job.plan).cut_as(&kit.stencil_on(&sheets).unwrap());
    let corner = sheets.sheets.iter().position(|sheet| sheet.label == CORNER);
    picture(
        &svg(&kit.page(&sheets, &art, 0, corner.unwrap())),
        SHEET_DPI,
    )
}

/// One file of each of the runs that are not kept in full.
fn singles() -> Files {
    let single = |(command, file, name): (&[&str], &str, &str)| {
        let folder = tempfile::tempdir().unwrap();
        let output = Command::new(env!("CARGO_BIN_EXE_baystencil"))
            .args(command)
            .arg("--out")
            .arg(folder.path())
            .env_remove("SOURCE_DATE_EPOCH")
            .output()
            .expect("the program starts");
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{said}");
        let bytes = fs::read(folder.path().join(file)).unwrap();
        let dots = if file.starts_with("strip") {
            STRIP_DPI
        } else {
            SHEET_DPI
        };
        let shown = match str::from_utf8(&bytes) {
            Ok(page) if file.ends_with(".svg") => picture(page, dots),
            _ => bytes,
        };
        assert!(shown.len() < MOST_BYTES, "{name}: {} bytes", shown.len());
        (name.into(), shown)
    };
    SINGLE.map(single).into()
}

/// Every file of the runs that the samples come from.
fn made() -> Files {
    let folder = tempfile::tempdir().unwrap();
    kit(&folder.path().join("A4"), &[]);
    kit(
        &folder.path().join("Letter"),
        &["--paper", "Letter", "--units", "inch"],
    );
    record(&folder.path().join("check"));
    practice(&folder.path().join("practice"));
    files(folder.path())
}

/// What people are shown of these files.
fn samples(made: &Files) -> Files {
    let page = |name: &str| {
        let text = str::from_utf8(&made[Path::new(name)]).unwrap();
        picture(text, SHEET_DPI)
    };
    let mut samples: Files = LINKED
        .map(|name| (name.into(), made[Path::new(name)].clone()))
        .into();
    samples.insert("overview.png".into(), page("A4/overview.svg"));
    samples.insert("check/record.png".into(), page("check/record.svg"));
    samples.insert("assembly-map.png".into(), assembly_map());
    samples.insert("hand-cut.png".into(), hand_cut());
    exercise_pictures(&mut samples);
    samples.extend(singles());
    samples
}

/// What every one of these files shows, as text.
fn texts(made: &Files) -> Files {
    let text = |(path, bytes): (&PathBuf, &Vec<u8>)| {
        let name = path.to_str().unwrap();
        let ending = match path.extension().and_then(|ending| ending.to_str()) {
            Some("csv" | "txt") => "",
            _ => ".txt",
        };
        let shown = shown::shown(name, bytes);
        (format!("{name}{ending}").into(), shown.into_bytes())
    };
    made.iter().map(text).collect()
}

fn files(folder: &Path) -> Files {
    let mut found = Files::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in
            fs::read_dir(&next).unwrap_or_else(|error| panic!("{}: {error}", next.display()))
        {
            let path = entry.unwrap().path();
            // The manifest has a hash of every other file.
            if path.ends_with(".baystencil.json") {
                continue;
            }
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_owned();
                found.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    found
}

/// Holds a folder of the project to what should be in it, besides a page that people wrote; writes it first when asked to.
fn hold(folder: &str, fresh: &Files) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    if std::env::var_os("RENEW_SAMPLES").is_some() {
        let mut wanted = fresh.clone();
        wanted.extend(fs::read(folder.join(PAGE)).map(|page| (PAGE.into(), page)));
        let _ = fs::remove_dir_all(&folder);
        for (name, bytes) in wanted {
            let path = folder.join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, bytes).unwrap();
        }
    }
    let mut kept = files(&folder);
    kept.remove(Path::new(PAGE));
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
        "{}: stale: {stale:?}, not made by the program: {foreign:?}; \
         renew with RENEW_SAMPLES=1 cargo test --release --test samples",
        folder.display()
    );
}

static MADE: LazyLock<Files> = LazyLock::new(made);

#[test]
fn the_samples_are_what_the_program_writes_today() {
    hold("output-samples", &samples(&MADE));
}

#[test]
fn every_file_shows_what_it_showed() {
    hold("tests/samples", &texts(&MADE));
}

/// A page with a line from `at`, of this style, and a text.
fn small_page(at: f64, stroke: Stroke, text: &str) -> Drawing {
    let mut page = Drawing::new("page", 210.0, 297.0);
    page.line(Layer::Lines, (at, 20.0), (100.0, 20.0), stroke);
    page.text(Text::new((20.0, 30.0), heights::TEXT, text));
    page
}

#[test]
fn a_line_moved_by_a_hundredth_of_a_millimetre_another_style_or_word_is_seen() {
    let plain = small_page(10.0, Stroke::solid(widths::WIDE), "Mark 1R");
    let changed = [
        small_page(10.01, Stroke::solid(widths::WIDE), "Mark 1R"),
        small_page(10.0, Stroke::dashed(widths::WIDE), "Mark 1R"),
        small_page(10.0, Stroke::solid(widths::FINE), "Mark 1R"),
        small_page(10.0, Stroke::solid(widths::WIDE), "Mark 1L"),
    ];
    let written = |page: &Drawing| {
        let document = pdf(slice::from_ref(page), &DocumentInfo::default()).unwrap();
        [
            shown::shown("page.pdf", &document),
            shown::shown("page.svg", svg(page).as_bytes()),
        ]
    };
    let before = written(&plain);
    assert_eq!(before, written(&plain));
    for page in &changed {
        for (before, after) in before.iter().zip(&written(page)) {
            assert_ne!(before, after);
        }
    }
    assert!(
        before.iter().all(|shown| shown.contains("Mark 1R")),
        "{before:?}"
    );
}
