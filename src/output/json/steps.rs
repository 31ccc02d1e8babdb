//! The steps as they stand in `plan.json`. Lengths in mm, angles in degrees.

use serde::Serialize;

use super::write::round;
use crate::{
    plan::FloorPlan,
    survey::{MarkErrors, SettingOutSteps, Spot, Step, TapedLength, Way},
};

/// The steps of both ways for a machine.
#[derive(Serialize)]
pub(super) struct SettingOutJson<'s> {
    points: Vec<PointJson<'s>>,
    perpendicular: Vec<StepJson<'s>>,
    two_tape: Vec<StepJson<'s>>,
    errors: Vec<ErrorJson<'s>>,
}

#[derive(Serialize)]
struct PointJson<'s> {
    id: &'s str,
    x_mm: f64,
    y_mm: f64,
}

#[derive(Serialize)]
struct StepJson<'s> {
    step: usize,
    text: String,
    marks: Vec<&'s str>,
    tape: Vec<PullJson<'s>>,
    check: Vec<PullJson<'s>>,
}

#[derive(Serialize)]
struct PullJson<'s> {
    from: &'s str,
    to: &'s str,
    distance_mm: f64,
    through_wheel: bool,
}

#[derive(Serialize)]
struct ErrorJson<'s> {
    mark: &'s str,
    perpendicular: PlaceJson,
    two_tape: Option<PlaceJson>,
    /// Angle between the two tapes; `None` on the line through the base marks.
    crossing_deg: Option<f64>,
    too_flat: bool,
}

#[derive(Serialize)]
struct PlaceJson {
    sd_x_mm: f64,
    sd_y_mm: f64,
    /// Covariance of x and y.
    xy_mm2: f64,
    /// Of the circle that holds the mark, as set, with 95 %.
    radius_mm: f64,
}

impl<'s> SettingOutJson<'s> {
    pub(super) fn of(plan: &'s FloorPlan, steps: &'s SettingOutSteps) -> Self {
        let list = |way| {
            steps
                .way(way)
                .iter()
                .map(|step| self::step(plan, step))
                .collect()
        };
        Self {
            points: steps.help.iter().map(point).collect(),
            perpendicular: list(Way::Perpendicular),
            two_tape: list(Way::TwoTape),
            errors: plan
                .marks
                .iter()
                .zip(&steps.errors)
                .map(|(mark, errors)| error(&mark.id, errors))
                .collect(),
        }
    }
}

fn point(spot: &Spot) -> PointJson<'_> {
    PointJson {
        id: &spot.name,
        x_mm: round(spot.at.x),
        y_mm: round(spot.at.y),
    }
}

fn step<'s>(plan: &'s FloorPlan, step: &'s Step) -> StepJson<'s> {
    StepJson {
        step: step.number,
        text: step.instruction.to_string(),
        marks: step
            .marks
            .iter()
            .map(|&mark| plan.marks[mark].id.as_str())
            .collect(),
        tape: step.tape.iter().map(pull).collect(),
        check: step.check.iter().map(pull).collect(),
    }
}

fn pull(pull: &TapedLength) -> PullJson<'_> {
    PullJson {
        from: &pull.from.name,
        to: &pull.to.name,
        distance_mm: round(pull.distance()),
        through_wheel: pull.through_wheel,
    }
}

fn error<'s>(mark: &'s str, errors: &MarkErrors) -> ErrorJson<'s> {
    let place = |way| {
        errors.covariance(way).map(|covariance| PlaceJson {
            sd_x_mm: round(covariance.sd_x()),
            sd_y_mm: round(covariance.sd_y()),
            xy_mm2: round(covariance.xy),
            radius_mm: round(covariance.radius_95()),
        })
    };
    ErrorJson {
        mark,
        perpendicular: place(Way::Perpendicular)
            .expect("every mark can be set perpendicular to the line"),
        two_tape: place(Way::TwoTape),
        crossing_deg: errors.crossing.map(|crossing| round(crossing.angle)),
        too_flat: errors.crossing.is_some_and(|crossing| crossing.is_flat()),
    }
}
