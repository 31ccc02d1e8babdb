//! The steps as they stand in `plan.json`. Lengths in mm, angles in degrees.

use serde::Serialize;

use super::write::round;
use crate::{
    plan::FloorPlan,
    survey::{LayingFloor, MarkErrors, SettingOutSteps, Spot, Step, TapedLength, Way},
};

/// The steps of both ways for a machine.
#[derive(Serialize)]
pub(super) struct SettingOutJson<'s> {
    /// What stands on the floor in the perpendicular way; in the other one it is empty.
    vehicle_stands: bool,
    /// Points that are no marks, of both ways.
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
    /// What to do: data for a program, so in British spelling whatever the job's units are; pages are spelled by them.
    text: String,
    marks: Vec<&'s str>,
    tape: Vec<PullJson<'s>>,
    check: Vec<PullJson<'s>>,
    /// Strings by the names of their ends.
    strings: Vec<[&'s str; 2]>,
    /// Corners of triangles that are taped for right angles.
    triangles_mm: Vec<[[f64; 2]; 3]>,
}

#[derive(Serialize)]
struct PullJson<'s> {
    from: &'s str,
    to: &'s str,
    distance_mm: f64,
}

#[derive(Serialize)]
struct ErrorJson<'s> {
    mark: &'s str,
    perpendicular: PlaceJson,
    two_tape: PlaceJson,
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
            vehicle_stands: steps.floor == LayingFloor::VehicleStands,
            points: points(steps),
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

/// Points of both ways, each name once: what both know has one place.
fn points(steps: &SettingOutSteps) -> Vec<PointJson<'_>> {
    let mut known: Vec<&Spot> = Vec::new();
    for spot in steps.help.iter().flatten() {
        if known.iter().all(|other| other.name != spot.name) {
            known.push(spot);
        }
    }
    known.into_iter().map(point).collect()
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
        strings: step
            .strings
            .iter()
            .map(|ends| ends.each_ref().map(|end| end.name.as_str()))
            .collect(),
        triangles_mm: step
            .triangles
            .iter()
            .map(|corners| corners.map(|at| [round(at.x), round(at.y)]))
            .collect(),
    }
}

fn pull(pull: &TapedLength) -> PullJson<'_> {
    PullJson {
        from: &pull.from.name,
        to: &pull.to.name,
        distance_mm: round(pull.distance()),
    }
}

fn error<'s>(mark: &'s str, errors: &MarkErrors) -> ErrorJson<'s> {
    let place = |way| {
        let covariance = errors.covariance(way);
        PlaceJson {
            sd_x_mm: round(covariance.sd_x()),
            sd_y_mm: round(covariance.sd_y()),
            xy_mm2: round(covariance.xy),
            radius_mm: round(covariance.radius_95()),
        }
    };
    ErrorJson {
        mark,
        perpendicular: place(Way::Perpendicular),
        two_tape: place(Way::TwoTape),
        crossing_deg: errors.crossing.map(|crossing| round(crossing.angle)),
        too_flat: errors.too_flat(),
    }
}
