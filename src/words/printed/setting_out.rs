//! What stands above the steps of a way.

use crate::{
    plan::FloorPlan,
    survey::{LayingFloor, SettingOutSteps, Step, Way},
    units::{inch_text, mm_exact},
};

/// Above the columns of the steps.
pub const HEADINGS: [&str; 4] = ["step", "what to do", "tape", "check at once"];

/// Above the steps of a way.
#[must_use]
pub fn title(way: Way, continued: bool) -> String {
    let number = if way == Way::Perpendicular { 1 } else { 2 };
    let more = if continued { ", continued" } else { "" };
    format!("Way {number}: {way}{more}")
}

/// What is read before the first step.
#[must_use]
pub fn how_to_follow(plan: &FloorPlan, way: Way, floor: LayingFloor, inches: bool) -> String {
    let unit = if inches { "mm, inches beside" } else { "mm" };
    format!(
        "{} One way is enough. Take the next step only when the check of the last one is good. Lengths in {unit}. “Within” is \
         how far the worst mark of a step may lie from its place against the vehicle (95 %) before anything is checked. The \
         check list, and the moves that “baystencil check” asks for, bring the marks within their tolerances.",
        what(plan, way, floor)
    )
}

/// How far off the worst mark of a step may lie, as it is set and once it is checked; nothing where that is not known.
#[must_use]
pub fn expectation(
    plan: &FloorPlan,
    steps: &SettingOutSteps,
    way: Way,
    step: &Step,
    inches: bool,
) -> String {
    let Some((mark, error)) = steps.worst(way, step) else {
        return String::new();
    };
    let length = |mm: f64| {
        let text = format!("{} mm", mm_exact(mm, 1));
        if inches {
            format!("{} in ({text})", inch_text(mm))
        } else {
            text
        }
    };
    let as_set = format!("{} within {} as set", plan.marks[mark].id, length(error));
    match steps.worst_after(step) {
        Some(after) => format!("{as_set}, {} once checked and moved", length(after)),
        None => as_set,
    }
}

/// What a way is, and whether the vehicle stands there.
#[must_use]
pub fn what(plan: &FloorPlan, way: Way, floor: LayingFloor) -> String {
    let [front, rear] = plan.tape_base.map(|base| plan.marks[base].id.as_str());
    match (way, floor) {
        (Way::Perpendicular, LayingFloor::VehicleStands) => {
            "The vehicle stands in its place, wheels chocked. Work beside it, ahead of it and behind it: no tape runs below it \
             or through a wheel, and nobody reaches below."
                .to_owned()
        }
        (Way::Perpendicular, LayingFloor::Empty) => {
            "No vehicle stands here yet: it is driven on in the last step. Stations along a snapped line from one zero point, \
             offsets square to it."
                .to_owned()
        }
        (Way::TwoTape, _) => format!(
            "No vehicle stands here yet: it is driven on in the last step. Each mark lies where the distances from {front} and \
             {rear} meet, level and taut."
        ),
    }
}
