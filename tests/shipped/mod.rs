//! The shipped vehicles and templates as floor plans, for tests and benches.

use baystencil::{
    FloorPlan,
    inside::{
        BuiltIn, DEFAULT_OVERLAP_MM, Paper, Printer, SheetFormat, TEMPLATES, TemplateSpec,
        VEHICLES, VehicleSpec,
    },
};

/// Every vehicle with every template: their names and the plan with the template's own values.
pub fn plans() -> Vec<(&'static str, &'static str, FloorPlan)> {
    let pairs = VEHICLES
        .iter()
        .flat_map(|vehicle| TEMPLATES.iter().map(move |template| (vehicle, template)));
    pairs
        .map(|(vehicle, template)| (vehicle.name, template.name, plan(vehicle, template)))
        .collect()
}

fn plan(vehicle: &BuiltIn, template: &BuiltIn) -> FloorPlan {
    let vehicle = VehicleSpec::read(&vehicle.source()).unwrap();
    let template = TemplateSpec::read(&template.source()).unwrap();
    FloorPlan::resolve(&vehicle, &template, &[], None).unwrap()
}

/// A paper with the margins and the overlap of a job that names none.
pub fn format(paper: &str) -> SheetFormat {
    let Printer {
        margins,
        correction,
        ..
    } = Printer::default();
    SheetFormat {
        paper: Paper::parse(paper).unwrap(),
        margins,
        overlap: DEFAULT_OVERLAP_MM,
        correction,
    }
}
