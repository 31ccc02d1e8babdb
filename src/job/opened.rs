//! What a job names, opened and read: all that is wrong with any of it is told in one run.

use std::path::PathBuf;

use super::{
    BuiltIn, Folders, JobSpec, PrinterChoice, TEMPLATES, VEHICLES, files::refuse_same_file,
    profiles,
};
use crate::{
    paper::Printer,
    plan::FloorPlan,
    source::{Fault, Faults, Place, Source},
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// What a job names.
pub(super) struct Opened {
    pub vehicles: Vec<VehicleSpec>,
    pub template: TemplateSpec,
    /// The texts that these were read from.
    pub sources: (Vec<Source>, Source),
    pub printer: Printer,
    /// Paths of those that are files.
    pub inputs: Vec<PathBuf>,
}

impl Opened {
    /// Opens and reads what a job names. A thing that is wrong keeps nothing else from being looked at: a value is
    /// checked beside a vehicle that cannot be read, and a layout is tried with every vehicle that can.
    pub fn of(spec: &mut JobSpec, folders: &Folders) -> Result<Self, Faults> {
        let mut faults = spec.faults();
        let sources = sources(spec, folders, &mut faults);
        let (vehicle_sources, template_source) = sources;
        let vehicles: Vec<VehicleSpec> = vehicle_sources
            .iter()
            .filter_map(|source| Faults::kept(VehicleSpec::read(source), &mut faults))
            .collect();
        let template = template_source
            .as_ref()
            .and_then(|source| Faults::kept(TemplateSpec::read(source), &mut faults));
        let printer = printer(&spec.printer, folders, &mut faults);
        if let Some(template) = &template {
            faults.extend(spec.misplaced(template));
            try_layouts(spec, &vehicles, template, &mut faults);
        }
        Faults::none_in(faults)?;
        let (Some(template), Some(source), Some((printer, profile))) =
            (template, template_source, printer)
        else {
            let nothing = Place::whole("the job").fault("`template` is missing; name one");
            return Err(nothing.into());
        };
        let inputs = std::iter::once(&source).chain(&vehicle_sources);
        let inputs = inputs.map(|input| PathBuf::from(&*input.name));
        Ok(Self {
            inputs: inputs.chain(profile).collect(),
            vehicles,
            template,
            sources: (vehicle_sources, source),
            printer,
        })
    }
}

/// The texts of the vehicles and of the template, as far as they can be opened.
fn sources(
    spec: &JobSpec,
    folders: &Folders,
    faults: &mut Vec<Fault>,
) -> (Vec<Source>, Option<Source>) {
    Faults::kept(spec.vehicles.check(), faults);
    let names = &spec.vehicles.names;
    let vehicles: Vec<Source> = names
        .iter()
        .filter_map(|name| {
            let opened = BuiltIn::open(name, &VEHICLES, &folders.vehicles, "vehicle");
            Faults::kept(opened, faults)
        })
        .collect();
    if vehicles.len() == names.len() {
        Faults::kept(refuse_same_file(&spec.vehicles, &vehicles), faults);
    }
    let template = spec.template.as_ref().and_then(|name| {
        let opened = BuiltIn::open(name, &TEMPLATES, &folders.template, "template");
        Faults::kept(opened, faults)
    });
    (vehicles, template)
}

/// The printer's profile, and its path where it is a file.
fn printer(
    choice: &PrinterChoice,
    folders: &Folders,
    faults: &mut Vec<Fault>,
) -> Option<(Printer, Option<PathBuf>)> {
    match choice {
        PrinterChoice::Given(printer) => Some((printer.clone(), None)),
        PrinterChoice::Named(name) => {
            let opened = Faults::kept(profiles::open(name, &folders.printer), faults)?;
            Some((opened.0, Some(opened.1)))
        }
    }
}

/// Resolves the layout with every vehicle there is for its faults; what is wrong with a value for itself is told but once.
fn try_layouts(
    spec: &JobSpec,
    vehicles: &[VehicleSpec],
    template: &TemplateSpec,
    faults: &mut Vec<Fault>,
) {
    Faults::kept(FloorPlan::check_settings(template, &spec.settings), faults);
    // What is whole is resolved once, with its lays, by whoever asked for it.
    if faults.is_empty() {
        return;
    }
    for vehicle in vehicles {
        let plan = FloorPlan::resolve(vehicle, template, &spec.settings, spec.bay.as_ref());
        Faults::kept(plan, faults);
    }
}
