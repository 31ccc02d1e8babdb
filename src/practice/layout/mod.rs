//! A layout as an exercise needs it: with drawn values, and with every number spelled out as a sum of what was given.

mod drawn;
mod given;
mod lay;
mod measurements;
mod pair;
mod picture;
mod rectangle;
mod relations;
mod rules;
mod sum;

pub(super) use drawn::{Drawn, placing};
pub(super) use given::{dimensions, frame, given};
pub(super) use lay::from_name;
pub(super) use measurements::measurements;
pub(super) use pair::{Slant, longest_pair};
pub(super) use picture::picture;
pub(super) use rectangle::{mirrors, rectangles};
pub(super) use relations::{Relations, WorkedOut, spaced};
pub(super) use sum::Sum;

use kurbo::Point;

use crate::plan::FloorPlan;

/// Said of a layout whose [`Relations`] do not come out.
pub(super) const NO_SUMS: &str =
    "the layout's stations and offsets cannot be written as sums of its dimensions";

/// Offsets below this are on the centreline, mm.
pub(super) const ON_CENTRELINE_MM: f64 = 1e-6;

/// The marks beside the centreline.
pub(super) fn beside(plan: &FloorPlan) -> Vec<usize> {
    (0..plan.marks.len())
        .filter(|&mark| plan.marks[mark].at.y.abs() > ON_CENTRELINE_MM)
        .collect()
}

/// Outlines of the panels at the wanted marks, floor mm.
pub(super) fn outlines(plan: &FloorPlan, wanted: impl Fn(usize) -> bool) -> Vec<Vec<Point>> {
    let panels = plan.panels.iter().filter(|panel| wanted(panel.mark));
    panels.flat_map(|panel| panel.parts(&plan.marks)).collect()
}
