//! The whole layout as a figure.

use crate::{
    plan::FloorPlan,
    practice::{Figure, FigureMark},
};

use super::outlines;

/// Clear floor about what is shown, mm.
const ABOUT_MM: f64 = 150.0;

/// Vehicle, marks with their names, tape strips and panels, front to the right; nothing of it is an answer.
pub(in crate::practice) fn picture(plan: &FloorPlan) -> Figure {
    let marks = plan.marks.iter();
    let lines = plan.lines.iter();
    let panels = outlines(plan, |_| true);
    let corners = panels.iter().flatten();
    let taken = corners
        .chain(plan.marks.iter().map(|mark| &mark.at))
        .fold(plan.vehicle.body(), |all, at| all.union_pt(*at));
    Figure {
        vehicle: Some(plan.vehicle.clone()),
        marks: marks
            .map(|mark| FigureMark::given(&mark.id, mark.at))
            .collect(),
        lines: lines
            .map(|line| [line.from, line.to].map(|end| plan.marks[end].at))
            .collect(),
        panels,
        extent: taken.inflate(ABOUT_MM, ABOUT_MM),
        caption: caption(plan),
        ..Figure::default()
    }
}

/// How it is read.
fn caption(plan: &FloorPlan) -> String {
    let mut text =
        "Seen from above, front to the right, so left lies above. Dots are marks".to_owned();
    if !plan.lines.is_empty() {
        text.push_str(", thin lines tape strips");
    }
    if !plan.panels.is_empty() {
        text.push_str(", bold outlines panels");
    }
    text.push('.');
    text
}
