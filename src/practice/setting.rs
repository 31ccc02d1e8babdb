//! What a sheet's exercises are about.

use std::sync::OnceLock;

use crate::{
    paper::Paper,
    plan::{FloorPlan, Setting as Value},
    survey::{CheckPlan, CheckPlanner, Precision},
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
    /// The check plan of a page once it has been asked for; starts empty.
    pub few_checks: OnceLock<CheckPlan>,
}

/// Most readings, wheel marks included, that stand on a page with the questions on them.
const READINGS_OF_A_PAGE: usize = 39;

/// How many times its tolerance a mark may lie off before a plan of fewer readings has to find it: tried one after the
/// other. Mistakes in exercises are six times the usual tolerance and more.
const COARSER: [f64; 6] = [1.1, 1.2, 1.3, 1.4, 1.5, 2.0];

impl Setting {
    /// The full check plan of the layout. It takes far longer than anything else on a sheet, so it is made once for all
    /// sheets of the setting.
    #[must_use]
    pub fn full_checks(&self) -> &CheckPlan {
        self.full_checks.get_or_init(|| self.checks_of(&self.plan))
    }

    /// The full check plan of marks that may lie off by more, just so much that it stands on a page; of large layouts the
    /// coarsest there is.
    #[must_use]
    pub fn few_checks(&self) -> &CheckPlan {
        let readings = |checks: &CheckPlan| checks.pulls.len() + checks.vehicle_checks.len();
        let coarser = |factor: f64| {
            let mut plan = self.plan.clone();
            plan.marks
                .iter_mut()
                .for_each(|mark| mark.tolerance *= factor);
            self.checks_of(&plan)
        };
        self.few_checks.get_or_init(|| {
            let mut checks = self.full_checks().clone();
            for factor in COARSER {
                if readings(&checks) <= READINGS_OF_A_PAGE {
                    break;
                }
                checks = coarser(factor);
            }
            checks
        })
    }

    fn checks_of(&self, plan: &FloorPlan) -> CheckPlan {
        CheckPlanner {
            plan,
            precision: &self.precision,
            longest: None,
        }
        .full()
    }

    /// Vehicle and layout in a line.
    #[must_use]
    pub fn subject(&self) -> String {
        format!("{} · {}", self.plan.vehicle.name, self.plan.template.name)
    }
}
