//! From arguments to a resolved job: opens what is named, lays flags over the file, resolves.

use std::{
    fs,
    ops::RangeInclusive,
    path::{Path, PathBuf},
};

use super::{
    args::{JobArgs, SheetFlags, Units},
    failure::Failure,
    practice_args::PracticeArgs,
    profiles,
};
use crate::{
    cover::{Mode, SheetFormat},
    job::{
        BuiltIn, DEMONSTRATION, JobSpec, JobVehicles, LONGEST_PULL_MM, OVERLAP_MM, PrinterChoice, Record, TEMPLATES,
        VEHICLES,
    },
    paper::{Correction, LONGEST_PAGE_MM, Margins, Paper, Printer, Roll},
    plan::{FloorPlan, JoinedPlans, Setting, join},
    practice::Vehicle,
    source::{Fault, Faults, Place, Placed, Source},
    survey::{Decision, LayPlanner, LayingPrior, Method, Precision},
    template::TemplateSpec,
    units::{mm_exact, parse_length},
    vehicle::VehicleSpec,
};

/// What printed limits are rounded up to, mm: half a mm, and 1/16 in where the job is in inches. Nobody reads less.
const LIMIT_STEP_MM: f64 = 0.5;
const LIMIT_STEP_INCH_MM: f64 = 25.4 / 16.0;

/// A job with everything that it names opened and resolved.
pub(super) struct Job {
    /// Everything that lies on the floor.
    pub plan: FloorPlan,
    /// For a mat, the layout of each vehicle alone; else empty.
    pub mat: Vec<FloorPlan>,
    /// How the marks come to the floor.
    laid: Laid,
    pub format: SheetFormat,
    /// A roll's strips, where the job names a roll: its paper at the greatest length of a page.
    pub roll: Option<SheetFormat>,
    pub mode: Mode,
    pub precision: Precision,
    pub decision: Decision,
    pub printer: String,
    pub inches: bool,
    pub record: Record,
    /// Paths of job, vehicle, template and printer profile, where they are files.
    pub inputs: Vec<PathBuf>,
}

/// Reads the job that the arguments name, or the built-in one, and resolves it, without lays to check by.
pub(super) fn load(args: &JobArgs) -> Result<Job, Failure> {
    read(args, false)
}

/// As [`load`], with the lays that the layout is to be checked by.
pub(super) fn load_with_lays(args: &JobArgs) -> Result<Job, Failure> {
    read(args, true)
}

fn read(args: &JobArgs, with_lays: bool) -> Result<Job, Failure> {
    let source = job_source(args)?;
    let mut spec = JobSpec::read(&source)?;
    let folder = args.job.as_deref().and_then(Path::parent).unwrap_or(Path::new("")).to_owned();
    lay_flags_over(&mut spec, args)?;
    if args.job.is_none() && !(args.layout.vehicles.is_empty() && args.layout.template.is_none()) {
        // The demonstration's order and bay belong to its own vehicle.
        (spec.record, spec.bay) = (Record::default(), None);
    }
    spec.vehicles.check()?;
    let from = |flag: bool| if flag { PathBuf::new() } else { folder.clone() };
    let vehicle_folder = from(!args.layout.vehicles.is_empty());
    let vehicles = all(spec.vehicles.names.iter().map(|name| open(name, &VEHICLES, &vehicle_folder, "vehicle")));
    let template = open(&spec.template, &TEMPLATES, &from(args.layout.template.is_some()), "template");
    let (vehicles, template) = both(vehicles, template)?;
    refuse_same_file(&spec.vehicles, &vehicles)?;
    let mut inputs =
        [&source, &template].into_iter().chain(&vehicles).map(|input| PathBuf::from(&*input.name)).collect::<Vec<_>>();
    let (vehicles, template) = both(all(vehicles.iter().map(VehicleSpec::read)), TemplateSpec::read(&template))?;
    let printer = match &spec.printer {
        PrinterChoice::Given(printer) => printer.clone(),
        PrinterChoice::Named(name) => {
            let (printer, path) = profiles::open(name, &from(args.sheets.printer.is_some()))?;
            inputs.push(path);
            printer
        }
    };
    spec.precision = printer.precision(spec.precision);
    let format = SheetFormat {
        paper: spec.paper.clone(),
        margins: printer.margins,
        overlap: spec.overlap,
        correction: printer.correction,
    };
    let roll = spec.roll.as_ref().map(|roll| SheetFormat {
        paper: roll.value.page(LONGEST_PAGE_MM),
        // The generic profile knows sheet printers only.
        margins: if printer == Printer::default() { Roll::MARGINS } else { printer.margins },
        ..format.clone()
    });
    let laid = Laid::of(&spec, roll.as_ref().unwrap_or(&format));
    let Resolved { plan, mat } = resolve(&vehicles, &template, &spec, with_lays.then_some(laid))?;
    Ok(Job {
        plan,
        mat,
        laid,
        format,
        roll,
        mode: spec.mode,
        precision: spec.precision,
        decision: spec.decision,
        printer: printer.label(),
        inches: spec.inches,
        record: spec.record,
        inputs,
    })
}

/// What exercises are made from.
pub(super) struct PracticeJob {
    pub vehicle: Vehicle,
    pub template: TemplateSpec,
    pub values: Vec<Setting>,
    pub precision: Precision,
    pub inches: bool,
    pub paper: Paper,
}

/// The vehicle that stands for one of the built-in body classes, varied.
const RANDOM: &str = "random";

/// Reads what the exercises are about: as [`load`], but for one vehicle alone, which may be left to the draw.
pub(super) fn load_practice(args: &PracticeArgs) -> Result<PracticeJob, Failure> {
    let sheets = SheetFlags { paper: args.paper.clone(), ..SheetFlags::default() };
    let job = JobArgs { job: args.job.clone(), layout: args.layout.clone(), sheets, ..JobArgs::default() };
    let mut spec = JobSpec::read(&job_source(&job)?)?;
    let folder = args.job.as_deref().and_then(Path::parent).unwrap_or(Path::new("")).to_owned();
    lay_flags_over(&mut spec, &job)?;
    let from = |flag: bool| if flag { PathBuf::new() } else { folder.clone() };
    let [name] = &spec.vehicles.names[..] else {
        let message = "exercises are about one vehicle, not about a mat of several; name one of them (--vehicle)";
        return Err(Faults::from(spec.vehicles.at.fault(message)).into());
    };
    let template = open(&spec.template, &TEMPLATES, &from(args.layout.template.is_some()), "template")
        .and_then(|source| TemplateSpec::read(&source));
    let from_flag = !args.layout.vehicles.is_empty();
    if name.value == RANDOM && !from_flag {
        let message = "a vehicle that is drawn by lot is for exercises alone; name a vehicle here, and ask for the drawn one by --vehicle random";
        return Err(Faults::from(name.place.fault(message)).into());
    }
    let vehicle = if name.value == RANDOM {
        all(VEHICLES.iter().map(|class| VehicleSpec::read(&class.source()))).map(Vehicle::Random)
    } else {
        open(name, &VEHICLES, &from(from_flag), "vehicle")
            .and_then(|source| VehicleSpec::read(&source))
            .map(|vehicle| Vehicle::Given(Box::new(vehicle)))
    };
    let (vehicle, template) = both(vehicle, template)?;
    let paper = spec.paper.office_size();
    // A job's large paper is for its stencils; one that is typed for exercises is meant for them.
    if args.paper.is_some() && paper.name != spec.paper.name {
        let message = format!(
            "exercises go on A4 or Letter, not on {}; leave --paper out, or name one of these",
            spec.paper.name
        );
        return Err(Faults::from(Place::whole("--paper").fault(message)).into());
    }
    let (values, precision, inches) = (spec.settings, spec.precision, spec.inches);
    Ok(PracticeJob { vehicle, template, values, precision, inches, paper })
}

/// How marks come to the floor.
#[derive(Clone, Copy)]
struct Laid {
    method: Method,
    /// Longer side of what a sheet shows, mm.
    sheet_length: f64,
}

impl Laid {
    /// The job's own way; else what its sheets are made for.
    fn of(spec: &JobSpec, format: &SheetFormat) -> Self {
        let by_sheets = match spec.mode {
            Mode::Keys => Method::KeyStencils,
            _ if spec.roll.is_some() => Method::RollStrips,
            _ => Method::TapedSheets,
        };
        let window = format.printable().size();
        Self { method: spec.laid_by.unwrap_or(by_sheets), sheet_length: window.width.max(window.height) }
    }
}

/// What a job lays on the floor.
struct Resolved {
    plan: FloorPlan,
    mat: Vec<FloorPlan>,
}

/// The layout of one vehicle, or the mat of several with each one's own layout; with the lays to check them by where it is
/// said how they are laid.
fn resolve(
    vehicles: &[VehicleSpec],
    template: &TemplateSpec,
    spec: &JobSpec,
    laid: Option<Laid>,
) -> Result<Resolved, Faults> {
    let one = |vehicle| FloorPlan::resolve(vehicle, template, &spec.settings, spec.bay.as_ref());
    // What is wrong with a setting is wrong for every vehicle, and is told once.
    let mut plans = vehicles.iter().map(one).collect::<Result<Vec<_>, _>>()?;
    if let Some(Laid { method, sheet_length }) = laid {
        for plan in &mut plans {
            let planner = LayPlanner {
                plan,
                precision: &spec.precision,
                laid: (method, sheet_length),
                longest: spec.longest_pull,
                step: if spec.inches { LIMIT_STEP_INCH_MM } else { LIMIT_STEP_MM },
            };
            *plan = planner.apply(spec.checks);
        }
    }
    if plans.len() == 1 {
        return Ok(Resolved { plan: plans.remove(0), mat: Vec::new() });
    }
    let JoinedPlans { whole, each } = join(plans, &spec.vehicles.at)?;
    Ok(Resolved { plan: whole, mat: each })
}

impl Job {
    /// How the marks of the whole layout were laid.
    pub fn prior(&self) -> LayingPrior {
        LayingPrior::of(&self.plan, &self.precision, self.laid.method, self.laid.sheet_length)
    }

    /// The layouts of its vehicles: the mat's, or the only one.
    pub fn layouts(&self) -> &[FloorPlan] {
        if self.mat.is_empty() { std::slice::from_ref(&self.plan) } else { &self.mat }
    }

    /// Longer side in mm of what a sheet shows: of the job's paper, which beside a roll is that of the pages to
    /// carry. The profile is then the roll printer's, and nothing is known of the one that prints sheets.
    pub fn sheet_length(&self) -> f64 {
        let sheet = match self.roll {
            Some(_) => {
                SheetFormat { margins: Margins::default(), correction: Correction::default(), ..self.format.clone() }
            }
            None => self.format.clone(),
        };
        let shown = sheet.printable().size();
        shown.width.max(shown.height)
    }
}

fn job_source(args: &JobArgs) -> Result<Source, Faults> {
    match &args.job {
        Some(path) => read_file(path, "job", &Place::whole(&path.display().to_string())),
        None => Ok(DEMONSTRATION.source()),
    }
}

fn lay_flags_over(spec: &mut JobSpec, args: &JobArgs) -> Result<(), Faults> {
    let mut faults = Vec::new();
    if !args.layout.vehicles.is_empty() {
        spec.vehicles = JobVehicles::from_flags(&args.layout.vehicles);
    }
    if let Some(template) = &args.layout.template {
        spec.template = Placed { value: template.clone(), place: Place::whole("--template") };
        // The values were meant for the job's own template.
        spec.settings.clear();
    }
    if let Some(printer) = &args.sheets.printer {
        spec.printer = PrinterChoice::Named(Placed { value: printer.clone(), place: Place::whole("--printer") });
    }
    let set = |(name, text): &(String, String)| Setting {
        name: name.clone(),
        text: text.clone(),
        place: Place::whole(&format!("--set {name}={text}")),
    };
    spec.settings.extend(args.layout.settings.iter().map(set));
    if let Some(text) = &args.sheets.paper {
        match Paper::parse(text) {
            Ok(paper) => (spec.paper, spec.roll) = (paper, None),
            Err(message) => faults.push(Place::whole("--paper").fault(message)),
        }
    }
    if let Some(text) = &args.sheets.roll {
        let place = Place::whole("--roll");
        match Roll::parse(text) {
            Ok(value) => spec.roll = Some(Placed { value, place }),
            Err(message) => faults.push(place.fault(message)),
        }
    }
    if let Some(text) = &args.sheets.overlap {
        match length_within(text, "--overlap", &OVERLAP_MM, "an overlap") {
            Ok(overlap) => spec.overlap = overlap,
            Err(fault) => faults.push(fault),
        }
    }
    if let Some(checks) = args.pulls.checks {
        spec.checks = checks;
    }
    if let Some(text) = &args.pulls.longest_pull {
        match length_within(text, "--longest-pull", &LONGEST_PULL_MM, "a longest distance to tape") {
            Ok(longest) => spec.longest_pull = Some(longest),
            Err(fault) => faults.push(fault),
        }
    }
    if let Some(mode) = args.sheets.mode {
        spec.mode = mode;
    }
    if let Some(roll) = spec.roll.as_ref().filter(|_| spec.mode == Mode::Keys) {
        let message = "keys are printed on sheets, not on a roll; leave the roll out, or take another mode than keys";
        faults.push(roll.place.fault(message));
    }
    if let Some(units) = args.layout.units {
        spec.inches = matches!(units, Units::Inch);
    }
    Faults::none_in(faults)
}

fn length_within(text: &str, flag: &str, range: &RangeInclusive<f64>, what: &str) -> Result<f64, Fault> {
    let place = Place::whole(flag);
    let length = parse_length(text).map_err(|error| place.fault(error.to_string()))?;
    if range.contains(&length) {
        return Ok(length);
    }
    Err(place.fault(format!(
        "{what} of {} mm is out of range; expected {} to {} mm",
        mm_exact(length, 1),
        range.start(),
        range.end()
    )))
}

/// A text that names a file (it ends in .toml or has a folder in it), else a built-in name.
fn open(name: &Placed<String>, built_in: &[BuiltIn], folder: &Path, what: &str) -> Result<Source, Faults> {
    let text = &name.value;
    if text.ends_with(".toml") || text.contains(['/', '\\']) {
        return read_file(&folder.join(text), what, &name.place);
    }
    match built_in.iter().find(|item| item.name == text) {
        Some(item) => Ok(item.source()),
        None => {
            let names: Vec<&str> = built_in.iter().map(|item| item.name).collect();
            let message = format!(
                "there is no built-in {what} \"{text}\"; expected one of {}, or the path of a file ending in .toml",
                names.join(", ")
            );
            Err(name.place.fault(message).into())
        }
    }
}

/// Reads a file; what hinders is a fault at the place that names it.
pub(super) fn read_file(path: &Path, what: &str, named_at: &Place) -> Result<Source, Faults> {
    let fault = |why: String| Faults::from(named_at.fault(why));
    let shown = path.display().to_string();
    let bytes = fs::read(path)
        .map_err(|error| fault(format!("the {what} \"{shown}\" cannot be read ({error}); check the path")))?;
    let text = String::from_utf8(bytes)
        .map_err(|_| fault(format!("the {what} \"{shown}\" is not UTF-8 text; save it as UTF-8")))?;
    Ok(Source::new(&shown, text.trim_start_matches('\u{feff}')))
}

/// Two spellings of one path name one vehicle.
fn refuse_same_file(vehicles: &JobVehicles, sources: &[Source]) -> Result<(), Faults> {
    let paths: Vec<Option<PathBuf>> =
        sources.iter().map(|source| Path::new(&*source.name).canonicalize().ok()).collect();
    let twice = (1..paths.len()).filter(|&index| paths[index].is_some() && paths[..index].contains(&paths[index]));
    let fault = |index: usize| {
        let Placed { value, place } = &vehicles.names[index];
        place.fault(format!(
            "the vehicle file \"{value}\" is named twice, if spelled differently; name each vehicle of a mat once"
        ))
    };
    Faults::none_in(twice.map(fault).collect())
}

/// All results, or the faults of all that failed.
fn all<T>(results: impl Iterator<Item = Result<T, Faults>>) -> Result<Vec<T>, Faults> {
    let mut done = Ok(Vec::new());
    for next in results {
        done = both(done, next).map(|(mut done, next)| {
            done.push(next);
            done
        });
    }
    done
}

/// Both results, or the faults of both.
fn both<A, B>(a: Result<A, Faults>, b: Result<B, Faults>) -> Result<(A, B), Faults> {
    match (a, b) {
        (Ok(a), Ok(b)) => Ok((a, b)),
        (Err(a), Err(b)) => {
            let faults = a.list().iter().chain(b.list()).cloned().collect();
            Err(Faults::none_in(faults).expect_err("two lists of faults make one"))
        }
        (Err(faults), _) | (_, Err(faults)) => Err(faults),
    }
}
