//! How much the program takes on, from both sides of each limit: what is allowed is made, what is not is refused before any work,
//! with the limit and how to stay below it.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

use std::{fmt::Write as _, fs, path::Path};

mod program;

use program::{baystencil, stderr};

/// A template of stations and rails on both sides, all crossings marked, with strips of the outermost rails, and chequers of
/// `cells` × `cells` at the marks of the first rail.
struct Layout {
    stations: usize,
    rails: usize,
    along: usize,
    across: usize,
    strips: bool,
    panels: usize,
    cells: usize,
}

impl Layout {
    const SMALL: Self = Self {
        stations: 3,
        rails: 1,
        along: 1000,
        across: 900,
        strips: false,
        panels: 0,
        cells: 1,
    };

    fn write(&self, folder: &Path) -> &'static str {
        let mut text = "format = \"template/1\"\nname = \"grid\"\npurpose = \"A grid of marks.\"\n\
            preparation = [\"Floor level\"]\nclosing = [\"Cleared away\"]\n"
            .to_owned();
        for (name, value) in [
            ("along", self.along),
            ("across", self.across),
            ("strip", 50),
            ("tolerance", 8),
            ("cell", 20),
        ] {
            writeln!(text, "[values.{name}]\nmeaning = \"{name}\"\ndefault = \"{value} mm\"\nleast = \"1 mm\"\nmost = \"30 m\"").unwrap();
        }
        for index in 0..self.stations {
            let from = match index {
                0 => "from = \"front bumper\"".to_owned(),
                _ => format!("from = \"s{}\"\nbehind = \"along\"", index - 1),
            };
            writeln!(
                text,
                "[[stations]]\nname = \"s{index}\"\nmeaning = \"station {index}\"\n{from}"
            )
            .unwrap();
        }
        for index in 0..self.rails {
            let from = match index {
                0 => "centreline".to_owned(),
                _ => format!("r{}", index - 1),
            };
            writeln!(
                text,
                "[[rails]]\nname = \"r{index}\"\nfrom = \"{from}\"\noutward = \"across\""
            )
            .unwrap();
        }
        let names = |letter: char, count: usize| {
            let names: Vec<String> = (0..count).map(|n| format!("\"{letter}{n}\"")).collect();
            names.join(", ")
        };
        writeln!(
            text,
            "[[marks]]\nstations = [{}]\nrails = [\"centre\", {}]\ntolerance = \"tolerance\"",
            names('s', self.stations),
            names('r', self.rails)
        )
        .unwrap();
        let (last, outermost) = (self.stations - 1, self.rails - 1);
        if self.strips {
            for rail in 0..self.rails {
                writeln!(text, "[[lines]]\nfrom = \"s0/r{rail}\"\nto = \"s{last}/r{rail}\"\nsides = \"both\"\nwidth = \"strip\"").unwrap();
            }
            for station in 0..self.stations {
                writeln!(text, "[[lines]]\nfrom = \"s{station}/r{outermost}/left\"\nto = \"s{station}/r{outermost}/right\"\nwidth = \"strip\"").unwrap();
            }
        }
        for station in 0..self.panels {
            writeln!(text, "[[panels]]\nat = \"s{station}/r0\"\nsides = \"both\"\nshape = \"chequer\"\nalong = {0}\nacross = {0}\ncell = \"cell\"", self.cells).unwrap();
        }
        fs::write(folder.join("grid.toml"), text).unwrap();
        "grid.toml"
    }
}

/// What `command` says to a layout and more arguments, and whether it was done.
fn said(layout: &Layout, command: &[&str]) -> (bool, String) {
    let folder = tempfile::tempdir().unwrap();
    let template = layout.write(folder.path());
    let arguments = [
        command,
        &["--vehicle", "delivery-van", "--template", template],
    ]
    .concat();
    let output = baystencil(folder.path(), &arguments);
    if !output.status.success() {
        let left = fs::read_dir(folder.path()).unwrap().count();
        assert_eq!(left, 1, "a refused run leaves nothing");
    }
    (output.status.success(), stderr(&output))
}

#[test]
fn a_floor_of_300_marks_is_planned_and_one_of_more_is_refused() {
    // 12 × (2 × 12 + 1) = 300, but no template has so many rails: 20 × (2 × 7 + 1).
    let most = Layout {
        stations: 20,
        rails: 7,
        along: 500,
        across: 300,
        ..Layout::SMALL
    };
    let (done, words) = said(&most, &["plan"]);
    assert!(done, "{words}");
    let more = Layout {
        stations: 21,
        ..most
    };
    let (done, words) = said(&more, &["plan"]);
    assert!(
        !done && words.contains("the layout has 315 marks; expected at most 300"),
        "{words}"
    );
}

#[test]
fn panels_of_2000_cells_are_laid_and_more_are_refused_at_their_place() {
    let panels = |panels: usize, cells: usize| Layout {
        stations: 12,
        panels,
        cells,
        ..Layout::SMALL
    };
    // Ten panels on both sides of 10 × 10 cells.
    let (done, words) = said(&panels(10, 10), &["cut"]);
    assert!(done, "{words}");
    let (done, words) = said(&panels(11, 10), &["cut"]);
    assert!(
        !done && words.contains("2200 cells up to here; expected at most 2000"),
        "{words}"
    );
    assert!(
        words.contains("grid.toml:") && !words.contains("grid.toml: "),
        "{words}"
    );
}

#[test]
fn a_floor_for_more_sheets_than_anyone_lays_is_refused_before_its_lays_are_chosen() {
    let floor = |along: usize, across: usize| Layout {
        stations: 10,
        rails: 4,
        along,
        across,
        strips: true,
        ..Layout::SMALL
    };
    let (done, words) = said(&floor(1000, 700), &["stencils", "--yes"]);
    assert!(done, "{words}");
    let (done, words) = said(&floor(5000, 6000), &["stencils", "--yes"]);
    assert!(
        !done && words.contains("sheets or more; expected at most 2000: check its distances, or take a larger paper or a roll"),
        "{words}"
    );
    let (done, words) = said(&floor(5900, 7000), &["stencils", "--yes", "--roll", "36in"]);
    assert!(
        !done && words.contains("m of paper from the roll; expected at most 500 m"),
        "{words}"
    );
}

#[test]
fn exercises_for_125_trainees_are_one_run_and_more_are_refused_with_the_number_to_go_on_from() {
    let folder = tempfile::tempdir().unwrap();
    let made = |count: &str| {
        let output = baystencil(
            folder.path(),
            &[
                "practice",
                "-o",
                "out",
                "--count",
                count,
                "--first",
                "11",
                "--replace",
            ],
        );
        (output.status.success(), stderr(&output))
    };
    let (done, words) = made("126");
    assert!(
        !done && words.contains("expected at most 125: run again with --first 136"),
        "{words}"
    );
    assert!(!folder.path().join("out").exists());
    let (done, words) = made("125");
    assert!(done, "{words}");
}

#[test]
fn toml_up_to_a_megabyte_is_read_and_more_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let job = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n#";
    let planned = |length: usize| {
        let text = format!("{job}{}", "x".repeat(length - job.len()));
        fs::write(folder.path().join("job.toml"), text).unwrap();
        let output = baystencil(folder.path(), &["plan", "job.toml"]);
        (output.status.success(), stderr(&output))
    };
    let (done, words) = planned(1_000_000);
    assert!(done, "{words}");
    let (done, words) = planned(1_000_001);
    assert!(!done && words.contains("larger than 1 MB"), "{words}");
}

#[test]
fn a_list_of_400_texts_is_looked_at_and_a_longer_one_is_refused_as_a_whole() {
    let folder = tempfile::tempdir().unwrap();
    let refused = |count: usize| {
        let names = vec!["\"city-car\""; count].join(", ");
        let job = format!("format = \"job/1\"\nvehicles = [{names}]\ntemplate = \"target-line\"\n");
        fs::write(folder.path().join("job.toml"), job).unwrap();
        stderr(&baystencil(folder.path(), &["plan", "job.toml"]))
    };
    let words = refused(400);
    assert!(
        words.contains("400 vehicles are too many for one mat"),
        "{words}"
    );
    let words = refused(401);
    assert!(
        words.contains("`vehicles` has 401 texts; expected at most 400"),
        "{words}"
    );
}

/// 300 marks, each taped to the ten next, two in five of the readings wrong by up to 14 mm: far more than single slips.
#[test]
fn readings_that_contradict_one_another_everywhere_are_judged_and_more_than_5000_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let place = |mark: usize| ((mark % 20) as f64 * 700.0, (mark / 20) as f64 * 500.0);
    let form = |count: usize| {
        let mut text = "format = \"readings/1\"\nsigma = 1.0\n".to_owned();
        for mark in 0..300 {
            let (x, y) = place(mark);
            writeln!(
                text,
                "[[mark]]\nid = \"M{mark}\"\nx = {x}\ny = {y}\ntolerance = 5.0"
            )
            .unwrap();
        }
        for index in 0..count {
            let (from, to) = (index % 300, (index + 1 + 7 * (index / 300)) % 300);
            let ((ax, ay), (bx, by)) = (place(from), place(to));
            let wrong = if index % 5 < 2 {
                14.0 * ((index * 37 % 29) as f64 / 14.5 - 1.0)
            } else {
                0.0
            };
            let distance = (bx - ax).hypot(by - ay) + wrong;
            writeln!(
                text,
                "[[reading]]\nfrom = \"M{from}\"\nto = \"M{to}\"\ndistance = {distance:.2}"
            )
            .unwrap();
        }
        fs::write(folder.path().join("r.toml"), text).unwrap();
        baystencil(folder.path(), &["check", "r.toml"])
    };
    let judged = form(3000);
    assert_eq!(judged.status.code(), Some(1), "{}", stderr(&judged));
    let refused = form(5001);
    let words = stderr(&refused);
    assert!(
        refused.status.code() == Some(3) && words.contains("at most 5000"),
        "{words}"
    );
}
