//! From arguments to a resolved job: flags are laid over the job's file.

use std::{
    ops::RangeInclusive,
    path::{Path, PathBuf},
};

use super::{
    args::{JobArgs, SheetFlags, Units},
    data::message,
    failure::Failure,
    practice_args::PracticeArgs,
};
use crate::{
    cover::Mode,
    job::{
        BuiltIn, DEMONSTRATION, Folders, JOB_FILE, Job, JobSpec, JobVehicles, LONGEST_PULL_MM,
        OVERLAP_MM, PrinterChoice, Record, TEMPLATES, VEHICLES, read_file,
    },
    paper::{Paper, Roll},
    plan::Setting,
    practice::Vehicle,
    source::{Fault, Faults, Place, Placed, Source},
    survey::Precision,
    template::TemplateSpec,
    units::{mm_exact, parse_length},
    vehicle::VehicleSpec,
    words::Spelling,
};

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
    let inches = args
        .layout
        .units
        .map_or(spec.inches, |units| matches!(units, Units::Inch));
    let spelling = Spelling::sparing(inches, &[]);
    let in_units = |faults: Faults| faults.reworded(|text| spelling.fault(text));
    lay_flags_over(&mut spec, args).map_err(in_units)?;
    if args.job.is_none() && args.layout.name_a_layout() {
        // The demonstration's order and bay belong to its own vehicle.
        (spec.record, spec.bay) = (Record::default(), None);
    }
    let mut job = Job::resolve(spec, &folders(args), with_lays).map_err(in_units)?;
    job.inputs.extend(args.job.as_deref().map(job_file));
    Ok(job)
}

/// Paths in a job begin beside it, those of flags where the program runs.
fn folders(args: &JobArgs) -> Folders {
    let job = args.job.as_deref().map(job_file);
    let mut folders = job.as_deref().map(Folders::beside).unwrap_or_default();
    if !args.layout.vehicles.is_empty() {
        folders.vehicles = PathBuf::new();
    }
    if args.layout.template.is_some() {
        folders.template = PathBuf::new();
    }
    if args.sheets.printer.is_some() {
        folders.printer = PathBuf::new();
    }
    folders
}

/// What exercises are made from.
pub(super) struct PracticeJob {
    pub vehicle: Vehicle,
    pub template: TemplateSpec,
    pub values: Vec<Setting>,
    pub precision: Precision,
    pub inches: bool,
    pub spelling: Spelling,
    pub paper: Paper,
}

/// The vehicle that stands for one of the built-in body classes, varied.
const RANDOM: &str = "random";

/// Reads what the exercises are about: as [`load`], but for one vehicle alone, which may be left to the draw.
pub(super) fn load_practice(args: &PracticeArgs) -> Result<PracticeJob, Failure> {
    let sheets = SheetFlags {
        paper: args.paper.clone(),
        ..SheetFlags::default()
    };
    let job = JobArgs {
        job: args.job.clone(),
        layout: args.layout.clone(),
        sheets,
        ..JobArgs::default()
    };
    let mut spec = JobSpec::read(&job_source(&job)?)?;
    lay_flags_over(&mut spec, &job)?;
    let folders = folders(&job);
    let [name] = &spec.vehicles.names[..] else {
        let message = "exercises are about one vehicle, not about a mat of several; name one of them (--vehicle)";
        return Err(Faults::from(spec.vehicles.at.fault(message)).into());
    };
    let template = BuiltIn::open(&spec.template, &TEMPLATES, &folders.template, "template")
        .and_then(|source| TemplateSpec::read(&source));
    let from_flag = !args.layout.vehicles.is_empty();
    if name.value == RANDOM && !from_flag {
        let message = "a vehicle that is drawn by lot is for exercises alone; name a vehicle here, and ask for the drawn one by --vehicle random";
        return Err(Faults::from(name.place.fault(message)).into());
    }
    let vehicle = if name.value == RANDOM {
        Faults::in_all(
            VEHICLES
                .iter()
                .map(|class| VehicleSpec::read(&class.source())),
        )
        .map(Vehicle::Random)
    } else {
        BuiltIn::open(name, &VEHICLES, &folders.vehicles, "vehicle")
            .and_then(|source| VehicleSpec::read(&source))
            .map(|vehicle| Vehicle::Given(Box::new(vehicle)))
    };
    let (vehicle, template) = Faults::in_both(vehicle, template)?;
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
    let mut own = match &vehicle {
        Vehicle::Given(vehicle) if !vehicle.demonstration => vec![vehicle.name.as_str()],
        _ => Vec::new(),
    };
    if !template.demonstration {
        let values = template.values.iter().map(|value| value.meaning.as_str());
        own.extend(values.chain([template.name.as_str()]));
    }
    let spelling = Spelling::sparing(inches, &own);
    Ok(PracticeJob {
        vehicle,
        template,
        values,
        precision,
        inches,
        spelling,
        paper,
    })
}

/// The job of a form of readings: that of the flag; else the one that the form names, relative to it; else, for a
/// kit's form, the `job.toml` of the kit that it lies in, which is said.
pub(super) fn job_of_form(
    flag: Option<&Path>,
    named: Option<&str>,
    form: &Path,
    of_a_kit: bool,
) -> Option<PathBuf> {
    let of_a_kit = of_a_kit
        && form
            .extension()
            .is_some_and(|end| end.eq_ignore_ascii_case("csv"));
    let folder = form.parent().unwrap_or(Path::new(""));
    let given = flag
        .map(Path::to_owned)
        .or_else(|| named.map(|name| folder.join(name)));
    given.or_else(|| {
        let beside = Some(folder.join(JOB_FILE)).filter(|file| of_a_kit && file.is_file())?;
        message(&format!(
            "judged by the job beside it, {}",
            beside.display()
        ));
        Some(beside)
    })
}

/// The file of a job; a folder stands for the job of the kit in it.
fn job_file(path: &Path) -> PathBuf {
    if path.is_dir() {
        path.join(JOB_FILE)
    } else {
        path.to_owned()
    }
}

fn job_source(args: &JobArgs) -> Result<Source, Faults> {
    match args.job.as_deref().map(job_file) {
        Some(path) => read_file(&path, "job", &Place::whole(&path.display().to_string())),
        None => Ok(DEMONSTRATION.source()),
    }
}

fn lay_flags_over(spec: &mut JobSpec, args: &JobArgs) -> Result<(), Faults> {
    let mut faults = Vec::new();
    if !args.layout.vehicles.is_empty() {
        spec.vehicles = JobVehicles::from_flags(&args.layout.vehicles);
    }
    if let Some(template) = &args.layout.template {
        spec.template = Placed {
            value: template.clone(),
            place: Place::whole("--template"),
        };
        // The values were meant for the job's own template.
        spec.settings.clear();
    }
    if let Some(printer) = &args.sheets.printer {
        spec.printer = PrinterChoice::Named(Placed {
            value: printer.clone(),
            place: Place::whole("--printer"),
        });
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
    let mut length = |text: &Option<String>, flag: &str, range: &_, what: &str| {
        let read = length_within(text.as_ref()?, flag, range, what);
        read.map_err(|fault| faults.push(fault)).ok()
    };
    let overlap = length(&args.sheets.overlap, "--overlap", &OVERLAP_MM, "an overlap");
    let longest = length(
        &args.pulls.longest_pull,
        "--longest-pull",
        &LONGEST_PULL_MM,
        "a longest distance to tape",
    );
    spec.overlap = overlap.unwrap_or(spec.overlap);
    spec.longest_pull = longest.or(spec.longest_pull);
    spec.checks = args.pulls.checks.unwrap_or(spec.checks);
    spec.mode = args.sheets.mode.unwrap_or(spec.mode);
    if let Some(roll) = spec.roll.as_ref().filter(|_| spec.mode == Mode::Keys) {
        let message = "keys are printed on sheets, not on a roll; leave the roll out, or take another mode than keys";
        faults.push(roll.place.fault(message));
    }
    if let Some(units) = args.layout.units {
        spec.change_units(matches!(units, Units::Inch), args.sheets.paper.is_some());
    }
    Faults::none_in(faults)
}

fn length_within(
    text: &str,
    flag: &str,
    range: &RangeInclusive<f64>,
    what: &str,
) -> Result<f64, Fault> {
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
