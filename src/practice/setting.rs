//! What a sheet's exercises are about.

use std::sync::OnceLock;

use super::{Exercise, Kind, Level};
use crate::{
    paper::Paper,
    plan::{FloorPlan, Setting as Value},
    survey::{CheckChoice, CheckPlan, CheckPlanner, Precision},
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
    /// The full check plan once it has been asked for; starts empty.
    pub full_checks: OnceLock<CheckPlan>,
}

impl Setting {
    /// The full check plan of the layout. It takes far longer than anything else on a sheet, so it is made once for all
    /// sheets of the setting.
    #[must_use]
    pub fn full_checks(&self) -> &CheckPlan {
        let planner = CheckPlanner { plan: &self.plan, precision: &self.precision, longest: None };
        self.full_checks.get_or_init(|| planner.make(CheckChoice::Full))
    }

    /// A sheet with nothing on it but what it is about.
    #[must_use]
    pub fn sheet(&self, kind: Kind, level: Level, seed: u64, number: usize) -> Exercise {
        Exercise {
            kind,
            level,
            seed,
            number,
            subject: format!("{} · {}", self.plan.vehicle.name, self.plan.template.name),
            given: Vec::new(),
            questions: Vec::new(),
            worked: Vec::new(),
            wrong: Vec::new(),
            facts: Vec::new(),
            model: None,
        }
    }
}
