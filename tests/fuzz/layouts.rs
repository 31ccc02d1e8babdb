//! Vehicle, template and job, put together from parts, on their way to plan, sheets and PDF.

use std::fs;

use baystencil::{Folders, Job, JobSpec, Source, inside::VEHICLES};
use proptest::{collection::vec, prelude::*, sample::select};

use crate::{
    drive::{Judged, Outcome, Target},
    edit::{Edit, Editor, edits},
    kits::{sound_kit, sound_plan},
    messages::{placeless, refused, said},
};

/// What begins a file in an input of three.
const HEAD: &str = "# file: ";

/// The files of an input.
const FILES: [&str; 3] = ["vehicle.toml", "template.toml", "job.toml"];

const TARGET: Target = Target {
    name: "layouts",
    cases: 40,
    work: [20_000_000_000, 1_000_000],
};

/// Papers, the usual ones more often.
const PAPERS: [&str; 8] = [
    "\"A4\"",
    "\"A4\"",
    "\"A4\"",
    "\"Letter\"",
    "\"Letter\"",
    "\"A3\"",
    "\"250 mm x 353 mm\"",
    "{ width = 180, height = 260 }",
];

/// Further lines of a job.
const JOB_LINES: [&str; 15] = [
    "units = \"inch\"",
    "overlap = 8",
    "overlap = 25",
    "checks = \"full\"",
    "checks = \"quick\"",
    "longest_pull = \"4 m\"",
    "laid_by = \"tape\"",
    "decision = \"simple\"",
    "single_page = true",
    "cut_by = \"hand\"",
    "roll = 610",
    "printer = { name = \"made\", margin_left = 5, margin_bottom = 20 }",
    "printer = { name = \"made\", correction = { of = 200, x = 199.6, y = 200.4, skew = 0.05 } }",
    "cut = { bed = \"1200 mm x 800 mm\", bridge = 8, partial = true }",
    "bay = { length = \"8 m\", width = \"4 m\" }",
];

const MODES: [&str; 5] = ["keys", "keys", "lines", "grid", "full"];

const PANELS: [&str; 5] = [
    "shape = \"square\"\nside = 120",
    "shape = \"chequer\"\nalong = 3\nacross = 2\ncell = 60",
    "shape = \"disc\"\ndiameter = 150",
    "shape = \"cross\"\nspan = 200\narm = 40\nturn = \"45 deg\"",
    "shape = \"square\"\nside = 60\nturn = 30\nahead = 40\noutward = 25",
];

const WIDTHS: [f64; 6] = [8.0, 10.0, 25.0, 50.0, 80.0, 120.0];

/// A place by the number of its station and of its rail, each counted round where it is too large.
type Place = (usize, usize);

/// What a template is written from.
#[derive(Clone, Debug)]
struct Parts {
    /// Distances from station to station and from rail to rail, mm.
    stations: Vec<f64>,
    rails: Vec<f64>,
    /// From where to where, how wide, and which way: along, across or slanting.
    lines: Vec<(Place, Place, f64, u8)>,
    panels: Vec<(Place, &'static str)>,
    /// Bearing and distance.
    points: Vec<(f64, f64)>,
    tolerance: f64,
}

fn template() -> impl Strategy<Value = String> {
    let gap = || prop_oneof![1 => 30.0..160.0_f64, 3 => 160.0..900.0_f64];
    let place = || (0..12_usize, 0..12_usize);
    let line = (place(), place(), select(&WIDTHS[..]), 0..3_u8);
    let panel = (place(), select(&PANELS[..]));
    let point = (-120.0..120.0_f64, 200.0..1500.0_f64);
    let counts = (vec(gap(), 2..5), vec(gap(), 1..4));
    let rest = (vec(panel, 0..3), vec(point, 0..2), 1.0..30.0_f64);
    (counts, vec(line, 0..6), rest).prop_map(
        |((stations, rails), lines, (panels, points, tolerance))| {
            let parts = Parts {
                stations,
                rails,
                lines,
                panels,
                points,
                tolerance,
            };
            parts.text()
        },
    )
}

impl Parts {
    fn text(&self) -> String {
        let head =
            "format = \"template/1\"\nname = \"made\"\npurpose = \"A layout made from parts.\"\n";
        let lines: String = self.lines.iter().map(|line| self.line(line)).collect();
        let panels = self.panels.iter();
        let panels: String = panels
            .map(|(at, shape)| format!("[[panels]]\nat = \"{}\"\n{shape}\n", self.mark(*at)))
            .collect();
        [head, &self.frame(), &lines, &panels, &self.free_points()].concat()
    }

    /// Stations, rails, and a mark wherever they cross.
    fn frame(&self) -> String {
        let mut text = String::new();
        let mut from = "front bumper".to_owned();
        for (number, gap) in self.stations.iter().enumerate() {
            let way = if number == 0 { "ahead" } else { "behind" };
            text += &format!(
                "[[stations]]\nname = \"s{number}\"\nmeaning = \"station {number}\"\nfrom = \"{from}\"\n{way} = {gap:.1}\n"
            );
            from = format!("s{number}");
        }
        let mut from = "centreline".to_owned();
        for (number, gap) in self.rails.iter().enumerate() {
            text += &format!(
                "[[rails]]\nname = \"r{number}\"\nfrom = \"{from}\"\noutward = {gap:.1}\n"
            );
            from = format!("r{number}");
        }
        let list = |letter: char, count: usize| {
            let names: Vec<String> = (0..count)
                .map(|number| format!("\"{letter}{number}\""))
                .collect();
            names.join(", ")
        };
        text + &format!(
            "[[marks]]\nstations = [{}]\nrails = [\"centre\", {}]\ntolerance = {:.1}\n",
            list('s', self.stations.len()),
            list('r', self.rails.len()),
            self.tolerance
        )
    }

    fn mark(&self, (station, rail): Place) -> String {
        let rail = match rail % (2 * self.rails.len() + 1) {
            0 => "centre".to_owned(),
            side => format!("r{}/{}", (side - 1) / 2, ["left", "right"][side % 2]),
        };
        format!("s{}/{rail}", station % self.stations.len())
    }

    /// Nothing where both ends are one mark.
    fn line(&self, (start, end, width, way): &(Place, Place, f64, u8)) -> String {
        let end = match way {
            0 => (start.0, end.1),
            1 => (end.0, start.1),
            _ => *end,
        };
        let [from, to] = [*start, end].map(|place| self.mark(place));
        if from == to {
            return String::new();
        }
        format!("[[lines]]\nfrom = \"{from}\"\nto = \"{to}\"\nwidth = {width}\n")
    }

    fn free_points(&self) -> String {
        let point = |(number, (bearing, distance)): (usize, &(f64, f64))| {
            format!(
                "[[points]]\nname = \"P{number}\"\nmeaning = \"a point\"\nfrom = \"rear corner\"\nbearing_from = \"rearward\"\n\
                 bearing = {bearing:.1}\ndistance = {distance:.1}\ntolerance = 8\n"
            )
        };
        self.points.iter().enumerate().map(point).collect()
    }
}

fn job() -> impl Strategy<Value = String> {
    let lines = vec(select(&JOB_LINES[..]), 0..3);
    (select(&PAPERS[..]), select(&MODES[..]), lines).prop_map(|(paper, mode, mut lines)| {
        lines.sort_unstable();
        lines.dedup_by_key(|line| line.split('=').next());
        format!(
            "format = \"job/1\"\nvehicle = \"vehicle.toml\"\ntemplate = \"template.toml\"\npaper = {paper}\nmode = \"{mode}\"\n{}\n",
            lines.join("\n")
        )
    })
}

type Case = (usize, String, String, Option<Vec<Edit>>);

fn cases() -> impl Strategy<Value = Case> {
    let slips = proptest::option::weighted(0.2, edits(2));
    (0..VEHICLES.len(), template(), job(), slips)
}

fn written(pool: &[String], (vehicle, template, job, slips): &Case) -> Vec<u8> {
    let vehicle = VEHICLES[*vehicle].source().text;
    let texts = [&*vehicle, template, job];
    let files = FILES
        .iter()
        .zip(texts)
        .map(|(name, text)| format!("{HEAD}{name}\n{text}\n"));
    let whole: String = files.collect();
    let edited = slips
        .as_ref()
        .map(|edits| Editor::of(pool).edited(&whole, edits));
    edited.unwrap_or(whole).into_bytes()
}

/// The three files of an input; what is not there is empty.
fn files(input: &str) -> [(&'static str, String); 3] {
    FILES.map(|name| {
        let parts = input.split(HEAD);
        let part = parts
            .filter_map(|part| part.split_once('\n'))
            .find(|(head, _)| *head == name);
        (
            name,
            part.map_or_else(String::new, |(_, text)| text.to_owned()),
        )
    })
}

#[test]
fn a_layout_of_any_parts_gives_a_kit_that_agrees_with_itself_or_is_refused() {
    TARGET.play(
        |_| cases(),
        written,
        |input| {
            let input = String::from_utf8_lossy(input);
            judge(&input)
        },
    );
}

fn judge(input: &str) -> Judged {
    let folder = tempfile::tempdir().unwrap();
    let files = files(input);
    for (name, text) in &files {
        fs::write(folder.path().join(name), text).unwrap();
    }
    let (path, text) = (folder.path().join(FILES[2]), &files[2].1);
    let resolved = |text: &str, lays: bool| {
        let spec = JobSpec::read_on(&Source::new(FILES[2], text))?;
        Job::resolve(spec, &Folders::beside(&path), lays)
    };
    let job = match resolved(text, true) {
        Ok(job) => job,
        Err(faults) => {
            // Faults of files that a job names have the job's folder before their names.
            let shown = FILES.map(|name| folder.path().join(name).display().to_string());
            let places: Vec<(&str, &str)> = files
                .iter()
                .flat_map(|(name, text)| {
                    let shown = shown.iter().find(|path| path.ends_with(name));
                    [Some(*name), shown.map(String::as_str)]
                        .into_iter()
                        .flatten()
                        .map(|name| (name, text.as_str()))
                })
                .collect();
            return refused(&places, &faults);
        }
    };
    sound_plan(&job.plan)?;
    let refusal = sound_kit(&job)?;
    // The kit's own copies are the same job.
    for (name, text) in &job.files {
        fs::write(folder.path().join(name), text).unwrap();
    }
    let again =
        resolved(&job.files[0].1, true).map_err(|faults| format!("its own job.toml: {faults}"))?;
    if placeless(&again.plan) != placeless(&job.plan) || again.made_from != job.made_from {
        return Err(format!(
            "another job once it is written:\n{}",
            job.files[0].1
        ));
    }
    match refusal {
        Some(message) => {
            said(&message)?;
            Ok(Outcome::Refused(vec![message]))
        }
        None => Ok(Outcome::Taken),
    }
}
