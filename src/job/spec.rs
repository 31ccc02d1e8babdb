//! The job file.

use std::ops::RangeInclusive;

use kurbo::Rect;

use super::{JobVehicles, Record, cut::read_cut};
use crate::{
    cover::Mode,
    paper::{Paper, Printer, Roll},
    plan::{Bay, Obstacle, Setting},
    source::{Entry, Fault, Faults, Placed, Source, Table},
    stencil::CutOptions,
    survey::{CheckChoice, Decision, LongestPull, Method, Precision},
};

/// Version of the format that is read.
const FORMAT: &str = "job/1";

/// Width of the strip that neighbouring sheets share, unless a job says otherwise, mm.
pub const DEFAULT_OVERLAP_MM: f64 = 10.0;

/// Sensible overlaps, mm: a registration mark needs 8 mm; half a sheet is a waste.
pub const OVERLAP_MM: RangeInclusive<f64> = 8.0..=60.0;

/// Sensible longest distances to tape, mm: from a pocket tape to the longest on a reel.
pub const LONGEST_PULL_MM: RangeInclusive<f64> = 2000.0..=100_000.0;

/// Ways of bringing the marks to the floor, by the words of a job.
const LAID_BY: [(&str, Method); 4] = [
    ("tape", Method::TapeOnly),
    ("sheets", Method::TapedSheets),
    ("keys", Method::KeyStencils),
    ("roll", Method::RollStrips),
];

/// Most obstacles in a bay that the overview can name.
const MOST_OBSTACLES: usize = 20;

/// Sensible bay sizes and places of obstacles, mm.
const BAY_MM: RangeInclusive<f64> = 1000.0..=60_000.0;
const OBSTACLE_PLACE_MM: RangeInclusive<f64> = -60_000.0..=60_000.0;
const OBSTACLE_SIZE_MM: RangeInclusive<f64> = 1.0..=60_000.0;

/// A job as it stands in its file: what it names is not opened yet.
#[derive(Clone, Debug)]
pub struct JobSpec {
    /// The vehicle, or several for a mat.
    pub vehicles: JobVehicles,
    /// Built-in name or path of the layout template; `None` where the job names it wrongly.
    pub template: Option<Placed<String>>,
    /// Values set for the template.
    pub settings: Vec<Setting>,
    /// Paper.
    pub paper: Paper,
    /// The roll that the sheets are cut from, where one is named; the paper is then that of the pages to carry.
    pub roll: Option<Placed<Roll>>,
    /// Overlap of neighbouring sheets, mm.
    pub overlap: f64,
    /// What the sheets are to show.
    pub mode: Mode,
    /// Printer profile.
    pub printer: PrinterChoice,
    /// A-priori precision of tools, hands and paper.
    pub precision: Precision,
    /// Which tolerance the check's lays are to prove.
    pub checks: CheckChoice,
    /// Longest distance that is taped, mm.
    pub longest_pull: LongestPull,
    /// How the marks are brought to the floor, where the job says so.
    pub laid_by: Option<Method>,
    /// How a verdict is come to.
    pub decision: Decision,
    /// Show inches beside mm.
    pub inches: bool,
    /// The bay, where one is given.
    pub bay: Option<Bay>,
    /// Fields for the file.
    pub record: Record,
    /// How the stencil is cut.
    pub cut: CutOptions,
    /// The whole floor on one page as well.
    pub single_page: bool,
    /// The file as it was read.
    pub(super) as_read: toml::Table,
    /// What is wrong so far. Whoever resolves the job tells it with what is wrong in the files that it names.
    pub(super) faults: Vec<Fault>,
}

/// The printer a job names.
#[derive(Clone, Debug)]
pub enum PrinterChoice {
    /// None: the generic profile, or one written into the job.
    Given(Printer),
    /// Name of a stored profile, or path of a profile (it ends in .toml or has a folder in it).
    Named(Placed<String>),
}

impl JobSpec {
    /// Reads and checks a job.
    ///
    /// # Errors
    /// All faults of the file.
    pub fn read(source: &Source) -> Result<Self, Faults> {
        let mut spec = Self::read_on(source)?;
        Faults::none_in(std::mem::take(&mut spec.faults))?;
        Ok(spec)
    }

    /// As [`read`](Self::read), but goes on where values are wrong, with defaults in their place: [`Job::resolve`](super::Job::resolve)
    /// refuses such a job, and tells its faults with those of what it names.
    ///
    /// # Errors
    /// A file that is no TOML, or no job.
    pub fn read_on(source: &Source) -> Result<Self, Faults> {
        let (mut spec, faults) = source.read_on(FORMAT, build)?;
        spec.as_read = source.text.parse().unwrap_or_default();
        spec.faults = faults;
        Ok(spec)
    }

    /// Adds what is wrong with the job beside its file.
    pub fn found_wrong(&mut self, faults: impl IntoIterator<Item = Fault>) {
        self.faults.extend(faults);
    }

    /// What is wrong so far, taken out: for whoever makes something else than a [`Job`](super::Job) of it.
    pub fn faults(&mut self) -> Vec<Fault> {
        std::mem::take(&mut self.faults)
    }
}

/// Reads all keys. What is wrong has left a fault, and its default stands in its place.
fn build(table: &Table<'_>) -> JobSpec {
    let reference = |key: &'static str, expected: &str| {
        table
            .required(key, expected)
            .and_then(|entry| entry.text().map(|text| entry.placed(text)))
    };
    let vehicles = JobVehicles::read(table);
    let template = reference(
        "template",
        "a built-in template's name (see `baystencil library`) or the path of a template file",
    );
    let settings = read_settings(table);
    let paper = table
        .entry("paper")
        .map_or_else(|| Some(a4()), |entry| read_paper(&entry));
    let roll = table
        .entry("roll")
        .map_or(Some(None), |entry| read_roll(&entry).map(Some));
    let overlap = table
        .entry("overlap")
        .map_or(Some(DEFAULT_OVERLAP_MM), |entry| {
            entry.length_within(OVERLAP_MM, "an overlap of sheets")
        });
    let mode = table
        .entry("mode")
        .map_or(Some(Mode::default()), |entry| entry.choice(&Mode::ALL));
    let printer = read_printer(table);
    let precision = read_precision(table);
    let checks = table
        .entry("checks")
        .map_or(Some(CheckChoice::default()), |entry| {
            entry.choice(&CheckChoice::ALL)
        });
    let longest_pull = table.entry("longest_pull").map_or(Some(None), |entry| {
        entry
            .length_within(LONGEST_PULL_MM, "the longest distance to tape")
            .map(Some)
    });
    let decision = table
        .entry("decision")
        .map_or(Some(Decision::default()), |entry| {
            entry.choice(&Decision::ALL)
        });
    let laid_by = table
        .entry("laid_by")
        .map_or(Some(None), |entry| entry.choice(&LAID_BY).map(Some));
    let inches = table.entry("units").map_or(Some(false), |entry| {
        entry.choice(&[("mm", false), ("inch", true)])
    });
    let bay = read_bay(table);
    let record = read_record(table);
    let cut = read_cut(table);
    let single_page = table.entry("single_page").and_then(|entry| entry.flag());
    JobSpec {
        vehicles: vehicles.unwrap_or_else(|| JobVehicles::none(table.place())),
        template,
        settings: settings.unwrap_or_default(),
        paper: paper.unwrap_or_else(a4),
        roll: roll.flatten(),
        overlap: overlap.unwrap_or(DEFAULT_OVERLAP_MM),
        mode: mode.unwrap_or_default(),
        printer: printer.unwrap_or_else(|| PrinterChoice::Given(Printer::default())),
        precision: precision.unwrap_or_default(),
        checks: checks.unwrap_or_default(),
        longest_pull: longest_pull.flatten(),
        laid_by: laid_by.flatten(),
        decision: decision.unwrap_or_default(),
        inches: inches.unwrap_or_default(),
        bay: bay.flatten(),
        record: record.unwrap_or_default(),
        cut: cut.unwrap_or_default(),
        single_page: single_page.unwrap_or_default(),
        as_read: toml::Table::default(),
        faults: Vec::new(),
    }
}

fn a4() -> Paper {
    let [a4, ..] = Paper::known();
    a4
}

fn read_settings(table: &Table<'_>) -> Option<Vec<Setting>> {
    let Some(entry) = table.entry("values") else {
        return Some(Vec::new());
    };
    let settings: Vec<Option<Setting>> = entry
        .table()?
        .entries()
        .into_iter()
        .map(|(name, entry)| {
            Some(Setting {
                name,
                text: entry.written()?,
                place: entry.place(),
            })
        })
        .collect();
    // One that cannot be read does not keep the others from being checked.
    Some(settings.into_iter().flatten().collect())
}

fn read_paper(entry: &Entry<'_>) -> Option<Paper> {
    let paper = if entry.is_table() {
        let table = entry.table()?;
        let (width, height) = (
            table.required("width", "the width"),
            table.required("height", "the height"),
        );
        table.refuse_unknown();
        Paper::custom(width?.length()?, height?.length()?)
    } else {
        Paper::parse(&entry.text()?)
    };
    paper.map_err(|message| entry.fault(message)).ok()
}

fn read_roll(entry: &Entry<'_>) -> Option<Placed<Roll>> {
    let roll = Roll::parse(&entry.written()?)
        .map_err(|message| entry.fault(message))
        .ok()?;
    Some(entry.placed(roll))
}

fn read_printer(table: &Table<'_>) -> Option<PrinterChoice> {
    let Some(entry) = table.entry("printer") else {
        return Some(PrinterChoice::Given(Printer::default()));
    };
    if entry.is_table() {
        let table = entry.table()?;
        let printer = Printer::from_table(&table);
        table.refuse_unknown();
        return printer.map(PrinterChoice::Given);
    }
    entry
        .text()
        .map(|name| PrinterChoice::Named(entry.placed(name)))
}

fn read_precision(table: &Table<'_>) -> Option<Precision> {
    let Some(entry) = table.entry("precision") else {
        return Some(Precision::default());
    };
    let table = entry.table()?;
    let precision = Precision::from_table(&table);
    table.refuse_unknown();
    precision
}

fn read_bay(table: &Table<'_>) -> Option<Option<Bay>> {
    let Some(entry) = table.entry("bay") else {
        return Some(None);
    };
    let table = entry.table()?;
    let side = |key: &'static str| {
        table
            .required(key, &format!("a length, as in {key} = \"9 m\""))
            .and_then(|entry| entry.length_within(BAY_MM, "a bay"))
    };
    let (length, width) = (side("length"), side("width"));
    let obstacles: Vec<Option<Obstacle>> = table
        .tables("obstacles", MOST_OBSTACLES)
        .iter()
        .map(|item| {
            let obstacle = read_obstacle(item);
            item.refuse_unknown();
            obstacle
        })
        .collect();
    table.refuse_unknown();
    let obstacles: Option<Vec<Obstacle>> = obstacles.into_iter().collect();
    Some(Some(Bay {
        length: length?,
        width: width?,
        obstacles: obstacles?,
    }))
}

fn read_obstacle(table: &Table<'_>) -> Option<Obstacle> {
    let name = table
        .required("name", "what it is, as in name = \"lift post\"")
        .and_then(|entry| entry.text());
    let number = |key: &'static str, expected: &str, range: &RangeInclusive<f64>, what: &str| {
        table
            .required(key, expected)
            .and_then(|entry| entry.length_within(range.clone(), what))
    };
    let x = number(
        "x",
        "how far its middle lies ahead of the front axle",
        &OBSTACLE_PLACE_MM,
        "an obstacle's place",
    );
    let y = number(
        "y",
        "how far its middle lies left of the centreline",
        &OBSTACLE_PLACE_MM,
        "an obstacle's place",
    );
    let length = number(
        "length",
        "its length along the vehicle",
        &OBSTACLE_SIZE_MM,
        "an obstacle's size",
    );
    let width = number(
        "width",
        "its width across the vehicle",
        &OBSTACLE_SIZE_MM,
        "an obstacle's size",
    );
    Some(Obstacle {
        name: name?,
        footprint: Rect::from_center_size((x?, y?), (length?, width?)),
    })
}

fn read_record(table: &Table<'_>) -> Option<Record> {
    let Some(entry) = table.entry("record") else {
        return Some(Record::default());
    };
    let table = entry.table()?;
    let field = |key| {
        table
            .entry(key)
            .map_or_else(|| Some(String::new()), |entry| entry.any_text())
    };
    let (workshop, order, vehicle_id) = (field("workshop"), field("order"), field("vehicle_id"));
    let (technician, service_information, note) = (
        field("technician"),
        field("service_information"),
        field("note"),
    );
    let date = table
        .entry("date")
        .map_or_else(|| Some(String::new()), |entry| read_date(&entry));
    table.refuse_unknown();
    Some(Record {
        workshop: workshop?,
        order: order?,
        vehicle_id: vehicle_id?,
        technician: technician?,
        date: date?,
        service_information: service_information?,
        note: note?,
    })
}

/// A day as ISO 8601 writes it, given as text or as a TOML date.
fn read_date(entry: &Entry<'_>) -> Option<String> {
    let text = entry.any_text_or_date()?;
    let parsed = text.parse::<toml::value::Datetime>();
    if text.is_empty() || parsed.is_ok_and(|date| date.date.is_some() && date.time.is_none()) {
        return Some(text);
    }
    entry.fault(format!(
        "\"{text}\" is not a date; write year-month-day, as in \"2026-03-02\", or leave it empty"
    ));
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{ScaleSource, TapeClass};

    fn read(text: &str) -> Result<JobSpec, String> {
        JobSpec::read(&Source::new("job.toml", text)).map_err(|faults| faults.to_string())
    }

    const SMALL: &str = "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n";

    #[test]
    fn a_short_job_gets_the_documented_defaults() {
        let job = read(SMALL).unwrap();
        assert_eq!(
            (job.paper.name.as_str(), job.overlap, job.inches),
            ("A4", 10.0, false)
        );
        assert!(job.bay.is_none() && job.record == Record::default());
    }

    #[test]
    fn a_job_names_its_check_plan_and_its_longest_tape() {
        let job = read(&format!(
            "{SMALL}checks = \"quick\"\nlongest_pull = \"5 m\"\n"
        ))
        .unwrap();
        assert_eq!(
            (job.checks, job.longest_pull),
            (CheckChoice::Quick, Some(5000.0))
        );
        let job = read(SMALL).unwrap();
        assert_eq!((job.checks, job.longest_pull), (CheckChoice::Full, None));
        let list = read(&format!(
            "{SMALL}checks = \"all\"\nlongest_pull = \"5 mm\"\n"
        ))
        .unwrap_err();
        assert!(
            list.contains("\"all\" is not a known `checks`; expected one of \"quick\", \"full\""),
            "{list}"
        );
        assert!(
            list.contains("`longest_pull` is 5 mm; expected 2000 to 100000 mm"),
            "{list}"
        );
    }

    #[test]
    fn all_faults_of_a_job_are_told_at_once() {
        let list = read(&format!(
            "{SMALL}paper = \"A9\"\noverlap = \"1 mm\"\nunits = \"furlong\"\ncolour = 1\n[record]\ndate = \"2.3.2026\"\n[bay]\nlength = 0\n"
        ))
        .unwrap_err();
        for expected in [
            "job.toml:4:9: \"A9\" is no paper",
            "job.toml:5:11: `overlap` is 1 mm",
            "job.toml:6:9: \"furlong\" is not a known `units`",
            "job.toml:7:1: `colour` is not a key",
            "job.toml:9:8: \"2.3.2026\" is not a date",
            "`width` is missing in [bay]",
            "`length` is 0 mm",
        ] {
            assert!(list.contains(expected), "{expected} not in\n{list}");
        }
    }

    #[test]
    fn a_job_overrides_single_inputs_of_the_precision_and_keeps_the_other_defaults() {
        let job = read(&format!(
            "{SMALL}[precision]\ntape_class = \"I\"\nreading = \"1/32 in\"\nprinter_scale_per_metre = \"1 mm\"\n"
        ));
        let expected = Precision {
            tape_class: TapeClass::I,
            reading: 0.793_75,
            printer_scale: 1.0,
            scale_source: ScaleSource::Job,
            ..Precision::default()
        };
        assert_eq!(job.unwrap().precision, expected);
        assert_eq!(read(SMALL).unwrap().precision, Precision::default());
    }

    #[test]
    fn every_key_of_the_precision_reaches_its_own_input_and_no_other_key_is_taken() {
        let job = read(&format!(
            "{SMALL}[precision]\ntape_class = \"III\"\nreading = 1.1\nplumb = 1.2\ncentreline = 1.3\n\
             perpendicular_per_metre = 1.4\nmark_width = 1.5\njoint = 1.6\nstrip = 1.7\nlevel = 2.0\n\
             printer_scale_per_metre = 1.8\npaper_per_metre = 1.9\n"
        ));
        let expected = Precision {
            tape_class: TapeClass::III,
            reading: 1.1,
            plumb: 1.2,
            centreline: 1.3,
            perpendicular: 1.4,
            mark_width: 1.5,
            joint: 1.6,
            strip: 1.7,
            level: 2.0,
            printer_scale: 1.8,
            scale_source: ScaleSource::Job,
            paper: 1.9,
        };
        assert_eq!(job.unwrap().precision, expected);
        let list = read(&format!(
            "{SMALL}[precision]\ntape_class = \"IV\"\nreading = \"-1 mm\"\npaper_per_metre = \"40 mm\"\nplum = 1\nstrip = nan\n"
        ))
        .unwrap_err();
        for expected in [
            "job.toml:5:14: \"IV\" is not a known `tape_class`; expected one of \"I\", \"II\", \"III\"",
            "job.toml:6:11: `reading` is \u{2212}1 mm; expected 0 to 20 mm for a standard deviation",
            "job.toml:7:19: `paper_per_metre` is 40 mm; expected 0 to 30 mm for a standard deviation per metre",
            "job.toml:8:1: `plum` is not a key of [precision]; did you mean `plumb`?",
            "job.toml:9:9: `strip` is NaN",
        ] {
            assert!(list.contains(expected), "{expected} not in\n{list}");
        }
    }

    #[test]
    fn the_date_may_be_text_or_a_toml_date() {
        for date in ["\"2026-03-02\"", "2026-03-02"] {
            assert_eq!(
                read(&format!("{SMALL}[record]\ndate = {date}\n"))
                    .unwrap()
                    .record
                    .date,
                "2026-03-02"
            );
        }
    }
}
