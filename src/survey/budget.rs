//! What to expect of every mark, by method.

use kurbo::{Point, Rect};

use super::{
    Cause, Covariance, Influence, Joint, Method, Precision, chain::Chain, roll::Roll,
    setting_out::SettingOut,
};
use crate::{plan::FloorPlan, units::ROUND_OFF};

/// Expected position errors of a layout's marks against the vehicle's true centreline and origin.
#[derive(Clone, Debug)]
pub struct ErrorBudget {
    /// The inputs.
    pub precision: Precision,
    /// One for each of [`Method::ALL`], in that order.
    pub methods: Vec<MethodBudget>,
    /// Radius in mm about its place that holds each of the plan's marks with 95 % after the check list was taped and
    /// marks were moved as asked; `None` as long as no check plan says it. That depends on what is taped, and
    /// hardly on the way of laying.
    pub after: Option<Vec<f64>>,
}

/// Expected errors by one method.
#[derive(Clone, Debug)]
pub struct MethodBudget {
    /// The method.
    pub method: Method,
    /// Errors of the plan's marks, in their order.
    pub marks: Vec<MarkError>,
    /// Index of the mark with the largest error.
    pub worst: usize,
}

/// Expected error of one mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkError {
    /// Covariance of its place, mm².
    pub covariance: Covariance,
    /// The cause that adds most to the variance.
    pub leading: Cause,
    /// False for a mark that no path of joints leads to and that was therefore placed by tape although
    /// the method joins sheets.
    pub as_method: bool,
}

impl MarkError {
    fn of(influences: &[Influence], as_method: bool) -> Self {
        Self {
            covariance: Covariance::of(influences),
            leading: leading(influences),
            as_method,
        }
    }

    /// How far in mm the mark lies from its place at most in 95 % of cases, as laid, see [`Covariance::radius_95`].
    #[must_use]
    pub fn radius_95(&self) -> f64 {
        self.covariance.radius_95()
    }
}

impl ErrorBudget {
    /// The budget of a layout.
    ///
    /// `paths[i]` are the joints from the datum sheet, the one that carries the front mark of
    /// [`FloorPlan::tape_base`], to the sheet that carries mark `i`; an empty path is the datum sheet
    /// itself. `None`, or a list that ends before, is a mark on sheets that do not hang together with
    /// the datum sheet: these are placed by tape. `sheet_length` is the longer side of what a sheet of
    /// the job's paper shows, mm, whatever this kit is made of: strips and keys have their own lengths, so that a way has
    /// the same errors in every kit.
    #[must_use]
    pub fn of(
        plan: &FloorPlan,
        precision: &Precision,
        paths: &[Option<Vec<Joint>>],
        sheet_length: f64,
    ) -> Self {
        let setting_out = SettingOut {
            vehicle: &plan.vehicle,
            precision,
        };
        let chain = Chain {
            setting_out,
            datum: plan.marks[plan.tape_base[0]].at,
            sheet_length,
        };
        let roll = Roll::over(extent(plan));
        let error = |method: Method, index: usize| {
            let mark = plan.marks[index].at;
            let by_tape = || setting_out.taped_sheet(mark, sheet_length);
            match (method, paths.get(index)) {
                (Method::Chained, Some(Some(path))) => {
                    MarkError::of(&chain.influences(mark, path), true)
                }
                (Method::Chained, _) => MarkError::of(&by_tape(), false),
                (Method::TapedSheets, _) => MarkError::of(&by_tape(), true),
                (Method::KeyStencils, _) => MarkError::of(&setting_out.key_stencil(mark), true),
                (Method::RollStrips, _) => MarkError::of(&roll.influences(setting_out, mark), true),
                (Method::TapeOnly, _) => MarkError::of(&setting_out.tape_only(mark), true),
            }
        };
        let methods = Method::ALL
            .into_iter()
            .map(|method| {
                let marks = (0..plan.marks.len())
                    .map(|index| error(method, index))
                    .collect();
                MethodBudget::of(method, marks)
            })
            .collect();
        Self {
            precision: *precision,
            methods,
            after: None,
        }
    }

    /// The same with what checks and moves bring the marks to, see [`ErrorBudget::after`].
    #[must_use]
    pub fn after_checks(self, after: Option<Vec<f64>>) -> Self {
        Self { after, ..self }
    }

    /// Radius in mm that holds the worst mark after checks and moves, where that is known.
    #[must_use]
    pub fn worst_after(&self) -> Option<f64> {
        self.after.as_ref()?.iter().copied().reduce(f64::max)
    }
}

impl MethodBudget {
    fn of(method: Method, marks: Vec<MarkError>) -> Self {
        let errors: Vec<f64> = marks.iter().map(MarkError::radius_95).collect();
        // Of errors that are alike the first mark's stands for all, not the one that rounding made larger.
        let worst = (0..errors.len()).fold(0, |worst, index| {
            if errors[index] > errors[worst] * (1.0 + ROUND_OFF) {
                index
            } else {
                worst
            }
        });
        Self {
            method,
            worst,
            marks,
        }
    }

    /// The error of the mark [`MethodBudget::worst`].
    #[must_use]
    pub fn worst_error(&self) -> &MarkError {
        &self.marks[self.worst]
    }

    /// Number of marks that are placed by tape because no path of joints leads to them.
    #[must_use]
    pub fn islands(&self) -> usize {
        self.marks.iter().filter(|mark| !mark.as_method).count()
    }
}

pub(super) fn extent(plan: &FloorPlan) -> Rect {
    let points: Vec<Point> = plan.marks.iter().map(|mark| mark.at).collect();
    let start = Rect::from_points(points[0], points[0]);
    points
        .iter()
        .fold(start, |extent, point| extent.union_pt(*point))
}

/// The cause whose influences add most to the variance; the first of equals.
fn leading(influences: &[Influence]) -> Cause {
    let mut sums = [0.0_f64; Cause::ALL.len()];
    for influence in influences {
        sums[influence.cause as usize] += influence.effect.hypot2();
    }
    let most = Cause::ALL.into_iter().reduce(|most, cause| {
        if sums[cause as usize] > sums[most as usize] * (1.0 + ROUND_OFF) {
            cause
        } else {
            most
        }
    });
    most.expect("there are causes")
}
