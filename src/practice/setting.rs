//! What a sheet's exercises are about.

use std::sync::OnceLock;

use super::Ruling;
use crate::{
    paper::Paper,
    plan::{FloorPlan, Setting as Value},
    survey::{CheckChoice, CheckPlan, CheckPlanner, LayPlanner, LayingPrior, Method, Precision},
    template::TemplateSpec,
    units::SIXTEENTH_MM,
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
    /// Sheets are in inches to 1/16, not in mm.
    pub inches: bool,
    /// Nothing of the layout is drawn: sheets are about the vehicle and the values as they are.
    pub as_is: bool,
    /// The full check plan once it has been asked for; starts empty.
    pub full_checks: OnceLock<CheckPlan>,
    /// The check plan of a page once it has been asked for; starts empty.
    pub few_checks: OnceLock<CheckPlan>,
    /// The layout with the lays of the short check plan once it has been asked for; starts empty.
    pub short_plan: OnceLock<FloorPlan>,
    /// The layout with the lays of the full check plan once it has been asked for; starts empty.
    pub full_plan: OnceLock<FloorPlan>,
    /// What laying promises of the marks once it has been asked for; starts empty.
    pub laying: OnceLock<LayingPrior>,
}

/// How the layout of an exercise came to the floor: as with the kit of a job that says nothing of it.
const LAID_BY: Method = Method::TapedSheets;

/// Limits are rounded up to this, mm, and to 1/16 in, as those of a kit.
const LIMIT_STEP_MM: f64 = 0.5;

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

    /// The layout with the lays of tape and string of the short check plan, the one of the real form. It is made once for all
    /// sheets of the setting.
    #[must_use]
    pub fn short_plan(&self) -> &FloorPlan {
        self.short_plan
            .get_or_init(|| self.lays_of(CheckChoice::Quick))
    }

    /// The same with the lays of the full check plan.
    #[must_use]
    pub fn full_plan(&self) -> &FloorPlan {
        self.full_plan
            .get_or_init(|| self.lays_of(CheckChoice::Full))
    }

    fn lays_of(&self, choice: CheckChoice) -> FloorPlan {
        LayPlanner {
            plan: &self.plan,
            precision: &self.precision,
            laid: (LAID_BY, self.sheet_length()),
            longest: None,
            step: self.ruling().pick(LIMIT_STEP_MM, SIXTEENTH_MM),
        }
        .apply(choice)
    }

    /// What laying promises of the marks before anything is taped.
    pub(super) fn prior(&self) -> &LayingPrior {
        self.laying.get_or_init(|| {
            LayingPrior::of(&self.plan, &self.precision, LAID_BY, self.sheet_length())
        })
    }

    /// The longer side of a sheet of its paper, mm.
    fn sheet_length(&self) -> f64 {
        self.paper.width.max(self.paper.height)
    }

    /// What its lengths are written in.
    #[must_use]
    pub fn ruling(&self) -> Ruling {
        Ruling::of(self.inches)
    }

    /// Vehicle and layout in a line.
    #[must_use]
    pub fn subject(&self) -> String {
        format!("{} · {}", self.plan.vehicle.name, self.plan.template.name)
    }
}
