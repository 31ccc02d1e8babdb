//! From arguments to a resolved job: opens what is named, lays flags over the file, resolves.

use std::{
    fs,
    path::{Path, PathBuf},
};

use super::{
    args::{JobArgs, Units},
    failure::Failure,
    profiles,
};
use crate::{
    cover::{Mode, SheetFormat},
    job::{BuiltIn, DEMONSTRATION, JobSpec, OVERLAP_MM, PrinterChoice, Record, TEMPLATES, VEHICLES},
    paper::Paper,
    plan::{FloorPlan, Setting},
    source::{Fault, Faults, Place, Placed, Source},
    survey::Precision,
    template::TemplateSpec,
    units::{mm_exact, parse_length},
    vehicle::VehicleSpec,
};

/// A job with everything that it names opened and resolved.
pub(super) struct Job {
    pub plan: FloorPlan,
    pub format: SheetFormat,
    pub mode: Mode,
    pub precision: Precision,
    pub printer: String,
    pub inches: bool,
    pub record: Record,
    /// Paths of job, vehicle, template and printer profile, where they are files.
    pub inputs: Vec<PathBuf>,
}

/// Reads the job that the arguments name, or the built-in one, and resolves it.
pub(super) fn load(args: &JobArgs) -> Result<Job, Failure> {
    let source = job_source(args)?;
    let mut spec = JobSpec::read(&source)?;
    let folder = args.job.as_deref().and_then(Path::parent).unwrap_or(Path::new("")).to_owned();
    lay_flags_over(&mut spec, args)?;
    let from_flag = |flag: &Option<String>| if flag.is_some() { PathBuf::new() } else { folder.clone() };
    let vehicle = open(&spec.vehicle, &VEHICLES, &from_flag(&args.vehicle), "vehicle");
    let template = open(&spec.template, &TEMPLATES, &from_flag(&args.template), "template");
    let (vehicle, template) = both(vehicle, template)?;
    let mut inputs = [&source, &vehicle, &template].map(|input| PathBuf::from(&*input.name)).to_vec();
    let (vehicle, template) = both(VehicleSpec::read(&vehicle), TemplateSpec::read(&template))?;
    let printer = match spec.printer {
        PrinterChoice::Given(printer) => printer,
        PrinterChoice::Named(name) => {
            let (printer, path) = profiles::open(&name, &from_flag(&args.printer))?;
            inputs.push(path);
            printer
        }
    };
    let plan = FloorPlan::resolve(&vehicle, &template, &spec.settings, spec.bay.as_ref())?;
    let format = SheetFormat {
        paper: spec.paper,
        margins: printer.margins,
        overlap: spec.overlap,
        correction: printer.correction,
    };
    Ok(Job {
        plan,
        format,
        mode: spec.mode,
        precision: spec.precision,
        printer: printer.label(),
        inches: spec.inches,
        record: spec.record,
        inputs,
    })
}

fn job_source(args: &JobArgs) -> Result<Source, Faults> {
    match &args.job {
        Some(path) => read_file(path, "job", &Place::whole(&path.display().to_string())),
        None => Ok(DEMONSTRATION.source()),
    }
}

fn lay_flags_over(spec: &mut JobSpec, args: &JobArgs) -> Result<(), Faults> {
    let mut faults = Vec::new();
    if let Some(vehicle) = &args.vehicle {
        spec.vehicle = Placed { value: vehicle.clone(), place: Place::whole("--vehicle") };
    }
    if let Some(template) = &args.template {
        spec.template = Placed { value: template.clone(), place: Place::whole("--template") };
        // The values were meant for the job's own template.
        spec.settings.clear();
    }
    if let Some(printer) = &args.printer {
        spec.printer = PrinterChoice::Named(Placed { value: printer.clone(), place: Place::whole("--printer") });
    }
    let set = |(name, text): &(String, String)| Setting {
        name: name.clone(),
        text: text.clone(),
        place: Place::whole(&format!("--set {name}={text}")),
    };
    spec.settings.extend(args.settings.iter().map(set));
    if let Some(text) = &args.paper {
        match Paper::parse(text) {
            Ok(paper) => spec.paper = paper,
            Err(message) => faults.push(Place::whole("--paper").fault(message)),
        }
    }
    if let Some(text) = &args.overlap {
        match overlap(text) {
            Ok(overlap) => spec.overlap = overlap,
            Err(fault) => faults.push(fault),
        }
    }
    if let Some(mode) = args.mode {
        spec.mode = mode;
    }
    if let Some(units) = args.units {
        spec.inches = matches!(units, Units::Inch);
    }
    Faults::none_in(faults)
}

fn overlap(text: &str) -> Result<f64, Fault> {
    let place = Place::whole("--overlap");
    let overlap = parse_length(text).map_err(|error| place.fault(error.to_string()))?;
    if OVERLAP_MM.contains(&overlap) {
        return Ok(overlap);
    }
    Err(place.fault(format!(
        "an overlap of {} mm is out of range; expected {} to {} mm",
        mm_exact(overlap, 1),
        OVERLAP_MM.start(),
        OVERLAP_MM.end()
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
