//! From arguments to a resolved job: flags are laid over the job's file.

use std::{
    ops::RangeInclusive,
    path::{Path, PathBuf},
};

use super::{
    args::{CutArgs, JobArgs, SheetFlags, Units},
    cut::{for_machines, lay_over},
    data::message,
    failure::Failure,
    practice_args::PracticeArgs,
    progress::working,
};
use crate::{
    job::{
        BuiltIn, DEMONSTRATION, Folders, JOB_FILE, Job, JobSpec, JobVehicles, LONGEST_PULL_MM,
        OVERLAP_MM, PrinterChoice, Record, TEMPLATES, VEHICLES, read_file,
    },
    output::is_unfinished,
    paper::{Paper, Roll},
    plan::{FloorPlan, Setting},
    practice::Vehicle,
    source::{Fault, Faults, Place, Placed, Source},
    stencil::CutBy,
    survey::Precision,
    template::TemplateSpec,
    units::{mm_exact, parse_length},
    vehicle::VehicleSpec,
    words::Spelling,
};

/// Flags of a command that cuts.
pub(super) struct Cut<'a> {
    /// Who cuts, where that is not the job's to say.
    pub by: Option<CutBy>,
    pub flags: &'a CutArgs,
    pub single_page: bool,
}

/// Reads the job that the arguments name, or the built-in one, and resolves it; with the lays that the layout is to be
/// checked by, if they are wanted.
pub(super) fn load(args: &JobArgs, cut: Option<&Cut<'_>>, lays: bool) -> Result<Job, Failure> {
    let mut spec = JobSpec::read_on(&job_source(args)?)?;
    let faults = lay_flags_over(&mut spec, args);
    spec.found_wrong(faults);
    if let Some(cut) = cut {
        if let Some(by) = cut.by {
            spec.change_cut_by(by);
        }
        let mut faults = lay_over(&mut spec.cut, cut.flags);
        if spec.cut_by == CutBy::Hand {
            faults.extend(for_machines(cut.flags));
        }
        spec.found_wrong(faults);
        spec.single_page |= cut.single_page;
    }
    let spelling = Spelling::sparing(spec.inches, &[]);
    if args.job.is_none() && args.layout.name_a_layout() {
        // The demonstration's order and bay belong to its own vehicle.
        (spec.record, spec.bay) = (Record::default(), None);
    }
    let job = Job::resolve(spec, &folders(args), false);
    let mut job = job.map_err(|faults| faults.reworded(|text| spelling.fault(text)))?;
    job.inputs.extend(args.job.as_deref().map(job_file));
    if lays { Ok(with_lays(job)?) } else { Ok(job) }
}

/// The job with the lays that its layout is to be checked by.
pub(super) fn with_lays(job: Job) -> Result<Job, Faults> {
    working("choosing the distances to check by", || job.with_lays())
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
    if args.sheets.paper.printer.is_some() {
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
    let job = JobArgs {
        job: args.job.clone(),
        layout: args.layout.clone(),
        sheets: SheetFlags::on(args.paper.clone()),
        ..JobArgs::default()
    };
    let mut spec = JobSpec::read_on(&job_source(&job)?)?;
    let mut faults = lay_flags_over(&mut spec, &job);
    faults.extend(spec.faults());
    let folders = folders(&job);
    let template = spec.template.as_ref().and_then(|name| {
        let source = BuiltIn::open(name, &TEMPLATES, &folders.template, "template");
        Faults::kept(
            source.and_then(|source| TemplateSpec::read(&source)),
            &mut faults,
        )
    });
    if let Some(template) = &template {
        faults.extend(spec.misplaced(template));
        Faults::kept(
            FloorPlan::check_settings(template, &spec.settings),
            &mut faults,
        );
    }
    let vehicle = practice_vehicle(&spec, args, &folders);
    let vehicle = Faults::kept(vehicle, &mut faults);
    let paper = spec.paper.office_size();
    // A job's large paper is for its stencils; one that is typed for exercises is meant for them.
    if args.paper.is_some() && paper.name != spec.paper.name {
        let message = format!(
            "exercises go on A4 or Letter, not on {}; leave --paper out, or name one of these",
            spec.paper.name
        );
        faults.push(Place::whole("--paper").fault(message));
    }
    Faults::none_in(faults)?;
    let (values, precision, inches) = (spec.settings, spec.precision, spec.inches);
    let vehicle = vehicle.expect("a vehicle that cannot be read has left a fault");
    let template = template.expect("a template that cannot be read has left a fault");
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

/// The vehicle of exercises: the one that is named, or all that may be drawn.
fn practice_vehicle(
    spec: &JobSpec,
    args: &PracticeArgs,
    folders: &Folders,
) -> Result<Vehicle, Faults> {
    let [name] = &spec.vehicles.names[..] else {
        let message = "exercises are about one vehicle, not about a mat of several; name one of them (--vehicle)";
        return Err(spec.vehicles.at.fault(message).into());
    };
    let from_flag = !args.layout.vehicles.is_empty();
    if name.value == RANDOM && !from_flag {
        let message = "a vehicle that is drawn by lot is for exercises alone; name a vehicle here, and ask for the drawn one by --vehicle random";
        return Err(name.place.fault(message).into());
    }
    if name.value == RANDOM {
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
    }
}

/// The job of a form of readings: that of the flag; else the one that the form names, relative to it; else, for a
/// kit's form, the `job.toml` of the kit that it lies in, which is said.
pub(super) fn job_of_form(
    flag: Option<&Path>,
    named: Option<&str>,
    form: &Path,
    of_a_kit: bool,
) -> Result<Option<PathBuf>, Failure> {
    let of_a_kit = of_a_kit
        && form
            .extension()
            .is_some_and(|end| end.eq_ignore_ascii_case("csv"));
    let folder = form.parent().unwrap_or(Path::new(""));
    let given = flag
        .map(Path::to_owned)
        .or_else(|| named.map(|name| folder.join(name)));
    if given.is_some() || !of_a_kit {
        return Ok(given);
    }
    if is_unfinished(folder) {
        let folder = Some(folder).filter(|folder| !folder.as_os_str().is_empty());
        return Err(Failure::Unfinished {
            folder: folder.unwrap_or(Path::new(".")).to_path_buf(),
        });
    }
    let beside = Some(folder.join(JOB_FILE)).filter(|file| file.is_file());
    if let Some(beside) = &beside {
        message(&format!(
            "judged by the job beside it, {}",
            beside.display()
        ));
    }
    Ok(beside)
}

/// The job of a kit's folder is said, since it is not the folder that was typed.
fn say_kits_job(args: &JobArgs) {
    if let Some(path) = args.job.as_deref().filter(|path| path.is_dir()) {
        message(&format!("the kit's own job, {}", job_file(path).display()));
    }
    let folder = args.job.as_deref().map(job_file);
    let folder = folder.as_deref().and_then(Path::parent);
    if let Some(folder) = folder.filter(|folder| is_unfinished(folder)) {
        message(&format!(
            "the kit in {} is unfinished: some of its files are new, some are old (UNFINISHED.toml); the next run that writes it puts the old ones back first",
            folder.display()
        ));
    }
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
    say_kits_job(args);
    match args.job.as_deref().map(job_file) {
        Some(path) => read_file(&path, "job", &Place::whole(&path.display().to_string())),
        None => Ok(DEMONSTRATION.source()),
    }
}

/// Lays the flags over the job; what is wrong with them.
fn lay_flags_over(spec: &mut JobSpec, args: &JobArgs) -> Vec<Fault> {
    let mut faults = Vec::new();
    if !args.layout.vehicles.is_empty() {
        spec.vehicles = JobVehicles::from_flags(&args.layout.vehicles);
    }
    if let Some(template) = &args.layout.template {
        spec.template = Some(Placed {
            value: template.clone(),
            place: Place::whole("--template"),
        });
        // The values were meant for the job's own template.
        spec.settings.clear();
    }
    if let Some(printer) = &args.sheets.paper.printer {
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
    if let Some(text) = &args.sheets.paper.paper {
        match Paper::parse(text) {
            Ok(paper) => (spec.paper, spec.roll) = (paper, None),
            Err(message) => faults.push(Place::whole("--paper").fault(message)),
        }
    }
    if let Some(text) = &args.sheets.paper.roll {
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
    spec.mode = args.sheets.paper.mode.unwrap_or(spec.mode);
    if let Some(units) = args.layout.units {
        spec.change_units(
            matches!(units, Units::Inch),
            args.sheets.paper.paper.is_some(),
        );
    }
    faults
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
