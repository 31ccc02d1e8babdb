//! What a sheet's exercises are about.

use crate::{
    paper::Paper,
    plan::{FloorPlan, Setting as Value},
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// A vehicle on a resolved layout, with everything else that a generator may ask for.
#[derive(Clone, Debug)]
pub struct Setting {
    /// The layout of this one vehicle; never a mat of several.
    pub plan: FloorPlan,
    /// The vehicle's dimensions as they were checked.
    pub vehicle: VehicleSpec,
    /// The template, for generators that resolve it anew with drawn values.
    pub template: TemplateSpec,
    /// The values that the job sets for it.
    pub values: Vec<Value>,
    /// A-priori precision of tools and hands.
    pub precision: Precision,
    /// Paper that sheets are printed on.
    pub paper: Paper,
    /// Inches to 1/16 beside mm are wanted.
    pub inches: bool,
}

impl Setting {
    /// Vehicle and layout in a line, for [`Exercise::subject`](super::Exercise::subject).
    #[must_use]
    pub fn subject(&self) -> String {
        format!("{} · {}", self.plan.vehicle.name, self.plan.template.name)
    }
}
