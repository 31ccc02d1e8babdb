//! The job file.

use std::ops::RangeInclusive;

use kurbo::Rect;

use super::{JobVehicles, Record, cut::read_cut};
use crate::{
    cover::Mode,
    paper::{Paper, Printer, Roll},
    plan::{Bay, Obstacle, Setting},
    source::{Entry, Fault, Faults, Placed, Source, Table},
    stencil::{CutBy, CutOptions},
    survey::{CheckChoice, Decision, LongestPull, Method, Precision},
    template::TemplateSpec,
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

/// Names of values with what is wrong with each.
type Elsewhere = Vec<(String, Fault)>;

/// A job as it stands in its file: what it names is not opened yet.
#[derive(Clone, Debug)]
pub struct JobSpec {
    /// The vehicle, or several for a mat.
    pub vehicles: JobVehicles,
    /// Built-in name or path of the layout template; `None` where the job names it wrongly.
    pub template: Option<Placed<String>>,
    /// Values set for the template.
    pub settings: Vec<Setting>,
    /// Values that are called as a key of the job is, with what is wrong with each where the template has no such value.
    elsewhere: Elsewhere,
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
    /// Who cuts the stencil.
    pub cut_by: CutBy,
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

    /// Has the stencil cut by somebody else: bridges that the file does not give are as usual then.
    pub fn change_cut_by(&mut self, cut_by: CutBy) {
        let given = self.as_read.get("cut").and_then(toml::Value::as_table);
        if given.is_none_or(|cut| !cut.contains_key("bridge")) {
            self.cut.bridge = CutOptions::usual(cut_by).bridge;
        }
        self.cut_by = cut_by;
    }

    /// Shows inches beside mm, or mm alone; where neither the job nor a flag names a paper, the usual one goes with it.
    pub fn change_units(&mut self, inches: bool, paper_is_named: bool) {
        self.inches = inches;
        if !paper_is_named && !self.as_read.contains_key("paper") {
            self.paper = Paper::usual(inches);
        }
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

    /// Takes out the values that are keys of the job in a wrong place; what is wrong with them.
    pub fn misplaced(&mut self, template: &TemplateSpec) -> Vec<Fault> {
        let is_value = |name: &str| template.values.iter().any(|value| value.name == name);
        let misplaced = std::mem::take(&mut self.elsewhere).into_iter();
        let misplaced: Vec<(String, Fault)> =
            misplaced.filter(|(name, _)| !is_value(name)).collect();
        self.settings.retain(|setting| {
            let here = |(name, fault): &(String, Fault)| {
                *name == setting.name && fault.place.line == setting.place.line
            };
            !misplaced.iter().any(here)
        });
        misplaced.into_iter().map(|(_, fault)| fault).collect()
    }

    /// What is wrong so far, taken out: for whoever makes something else than a [`Job`](super::Job) of it.
    pub fn faults(&mut self) -> Vec<Fault> {
        let mut faults = std::mem::take(&mut self.faults);
        if let Some(roll) = self.roll.as_ref().filter(|_| self.mode == Mode::Keys) {
            faults.push(roll.place.fault(
                "keys are printed on sheets, not on a roll; leave the roll out, or take another mode than keys",
            ));
        }
        faults
    }
}

/// Reads all keys. What is wrong has left a fault, and its default stands in its place.
fn build(table: &Table<'_>) -> JobSpec {
    let reference = |key: &'static str, expected: &str| {
        table
            .required(key, expected)
            .and_then(|entry| entry.reference().map(|text| entry.placed(text)))
    };
    let vehicles = JobVehicles::read(table);
    let template = reference(
        "template",
        "a built-in template's name (see `baystencil library`) or the path of a template file",
    );
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
    let precision = table.below("precision", Precision::from_table);
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
    let usual = || Some(Paper::usual(inches?));
    let paper = table
        .entry("paper")
        .map_or_else(usual, |entry| read_paper(&entry));
    let bay = table.below("bay", read_bay);
    let record = table.below("record", read_record);
    let cut_by = table
        .entry("cut_by")
        .map_or(Some(CutBy::default()), |entry| entry.choice(&CutBy::ALL))
        .unwrap_or_default();
    let cut = table.below("cut", |table| read_cut(table, cut_by));
    let single_page = table.entry("single_page").and_then(|entry| entry.flag());
    // Below all others, whose keys may have come among the values.
    let (settings, elsewhere) = read_settings(table).unwrap_or_default();
    JobSpec {
        vehicles: vehicles.unwrap_or_else(|| JobVehicles::none(table.place())),
        template,
        settings,
        elsewhere,
        paper: paper.unwrap_or_else(a4),
        roll: roll.flatten(),
        overlap: overlap.unwrap_or(DEFAULT_OVERLAP_MM),
        mode: mode.unwrap_or_default(),
        printer: printer.unwrap_or_else(|| PrinterChoice::Given(Printer::default())),
        precision: precision.flatten().unwrap_or_default(),
        checks: checks.unwrap_or_default(),
        longest_pull: longest_pull.flatten(),
        laid_by: laid_by.flatten(),
        decision: decision.unwrap_or_default(),
        inches: inches.unwrap_or_default(),
        bay: bay.flatten(),
        record: record.flatten().unwrap_or_default(),
        cut_by,
        cut: cut.flatten().unwrap_or_else(|| CutOptions::usual(cut_by)),
        single_page: single_page.unwrap_or_default(),
        as_read: toml::Table::default(),
        faults: Vec::new(),
    }
}

fn a4() -> Paper {
    let [a4, ..] = Paper::known();
    a4
}

/// Values for the template; and of those that are called as a key of the job is, what is wrong with them if the template has no such
/// value.
fn read_settings(table: &Table<'_>) -> Option<(Vec<Setting>, Elsewhere)> {
    let (mut settings, mut elsewhere) = (Vec::new(), Vec::new());
    for (name, entry) in table.entry("values")?.table()?.entries() {
        if let Some(home) = table.home(&name, "[values]") {
            let message =
                format!("`{name}` is no value of the template, but a key of the job; {home}");
            elsewhere.push((name.clone(), entry.key_place().fault(message)));
        }
        // One that cannot be read does not keep the others from being checked.
        if let Some(text) = entry.written() {
            let place = entry.place();
            settings.push(Setting { name, text, place });
        }
    }
    Some((settings, elsewhere))
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
        .reference()
        .map(|name| PrinterChoice::Named(entry.placed(name)))
}

fn read_bay(table: &Table<'_>) -> Option<Bay> {
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
    let obstacles: Option<Vec<Obstacle>> = obstacles.into_iter().collect();
    Some(Bay {
        length: length?,
        width: width?,
        obstacles: obstacles?,
    })
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
#[path = "spec_tests.rs"]
mod tests;
