//! Where the marks of a layout lie before anything is taped: what their way of laying promises.
//!
//! Errors that several marks share (the plumbed centreline and origin, the tape that the stations were read from) are
//! kept apart from those that each mark has by itself, so that a whole layout which lies off is not mistaken for many
//! marks that do.

use kurbo::Vec2;

use super::{Covariance, Influence, Method, Precision, roll::Roll, setting_out::SettingOut};
use crate::plan::FloorPlan;

/// Least standard deviation in mm, in each direction, of a mark laid by itself: hands on a workshop floor scatter by 1.8 to
/// 2.5 mm whatever the causes that are counted add up to (our own measurement by simulated layouts, no other source).
const LEAST_LAYING_SD_MM: f64 = 1.8;

/// The places of a layout's marks as its way of laying promises them, about their designed places.
#[derive(Clone, Debug)]
pub struct LayingPrior {
    /// The way of laying.
    pub method: Method,
    /// Errors that marks share: for each, what one standard deviation of it does to every mark, mm.
    pub shared: Vec<Vec<Vec2>>,
    /// Standard deviations of what each mark has by itself, mm, along x and y.
    pub own: Vec<Vec2>,
}

impl LayingPrior {
    /// The prior of a layout laid by `method`, from the same influences as [`super::ErrorBudget`]. `sheet_length` is the
    /// longer side of what an office sheet shows, mm, and counts for sheets alone. Sheets joined one to the next are taken as sheets placed by tape: after
    /// the joints are made the marks lie on the paper, but what holds the whole is the tape again.
    #[must_use]
    pub fn of(plan: &FloorPlan, precision: &Precision, method: Method, sheet_length: f64) -> Self {
        let setting_out = SettingOut {
            vehicle: &plan.vehicle,
            precision,
        };
        let roll = Roll::over(super::budget::extent(plan));
        let marks = plan.marks.iter().map(|mark| mark.at);
        let all = marks.map(|mark| match method {
            Method::Chained | Method::TapedSheets => setting_out.taped_sheet(mark, sheet_length),
            Method::KeyStencils => setting_out.key_stencil(mark),
            Method::RollStrips => roll.influences(setting_out, mark),
            Method::TapeOnly => setting_out.tape_only(mark),
        });
        // Every way begins with the plumbed datum and the tape, in this order; what follows is each mark's own.
        let all: Vec<Vec<Influence>> = all.collect();
        let shared = (0..SettingOut::SHARED)
            .map(|cause| {
                all.iter()
                    .map(|influences| influences[cause].effect)
                    .collect()
            })
            .collect();
        let own = all.iter().map(|influences| {
            let Covariance { xx, yy, .. } = Covariance::of(&influences[SettingOut::SHARED..]);
            Vec2::new(
                xx.sqrt().max(LEAST_LAYING_SD_MM),
                yy.sqrt().max(LEAST_LAYING_SD_MM),
            )
        });
        Self {
            method,
            shared,
            own: own.collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{
        ErrorBudget,
        fixture::{self, PERIMETER, SHEET_MM, VAN},
    };

    fn plan() -> FloorPlan {
        fixture::plan(VAN, PERIMETER)
    }

    #[test]
    fn shared_errors_and_own_ones_add_up_to_the_budget_and_no_mark_is_better_than_hands_are() {
        let (plan, precision) = (
            plan(),
            Precision {
                joint: 3.0,
                strip: 3.0,
                ..Precision::default()
            },
        );
        let budget = ErrorBudget::of(&plan, &precision, &[], SHEET_MM);
        let mut compared = 0;
        for of in &budget.methods {
            let prior = LayingPrior::of(&plan, &precision, of.method, SHEET_MM);
            for (mark, error) in of.marks.iter().enumerate() {
                let (expected, own) = (error.covariance, prior.own[mark]);
                let effects = prior.shared.iter().map(|cause| cause[mark]);
                let (xx, xy, yy) = effects
                    .fold((own.x.powi(2), 0.0, own.y.powi(2)), |(xx, xy, yy), by| {
                        (xx + by.x * by.x, xy + by.x * by.y, yy + by.y * by.y)
                    });
                assert!(own.x >= LEAST_LAYING_SD_MM && own.y >= LEAST_LAYING_SD_MM);
                for (found, expected, own) in [(xx, expected.xx, own.x), (yy, expected.yy, own.y)] {
                    if own > LEAST_LAYING_SD_MM {
                        assert!(
                            (found - expected).abs() < 1e-9 * expected,
                            "{:?} {mark}: {found} {expected}",
                            of.method
                        );
                        compared += 1;
                    } else {
                        assert!(
                            found >= expected - 1e-9,
                            "{:?} {mark}: {found} {expected}",
                            of.method
                        );
                    }
                }
                // What a mark has by itself is the same in both directions' own axes.
                assert!(
                    (xy - expected.xy).abs() < 1e-9 * expected.xx.max(expected.yy),
                    "{:?} {mark}",
                    of.method
                );
            }
        }
        assert!(compared > plan.marks.len(), "{compared}");
    }

    #[test]
    fn exact_tools_leave_what_hands_do() {
        let plan = plan();
        let exact = Precision {
            reading: 0.0,
            centreline: 0.0,
            perpendicular: 0.0,
            mark_width: 0.0,
            joint: 0.0,
            ..Precision::default()
        };
        let prior = LayingPrior::of(&plan, &exact, Method::KeyStencils, SHEET_MM);
        assert!(
            prior
                .own
                .iter()
                .all(|own| *own == Vec2::new(LEAST_LAYING_SD_MM, LEAST_LAYING_SD_MM))
        );
    }
}
