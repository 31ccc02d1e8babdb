//! Centre holes, and windows for the crosses of marks.

use kurbo::{Point, Vec2};

use super::{Arm, CutNote, CutOptions, bed::Bed, opening::Opening};
use crate::plan::FloorPlan;

/// Diameter of a mark's centre hole, mm: a pencil, a centre punch or the tip of a marker goes through.
pub(super) const HOLE_MM: f64 = 6.0;

/// Where the windows of a mark's cross begin, mm from its centre. The ring between hole and
/// windows holds the centre; it is as wide as this less the hole's radius.
const WINDOW_FROM_MM: f64 = 7.0;

/// Where the arms of a mark's cross end, mm from its centre; the same as on the printed sheets.
pub(super) const PAD_MM: f64 = 15.0;

/// Cuts hole and windows of every mark; says what had no room.
///
/// The pad between the slots that meet at a mark holds the hole. Windows run ahead, rearward, left
/// and right as the arms of the printed crosses do.
pub(super) fn cut_marks(bed: &mut Bed, plan: &FloorPlan, options: &CutOptions) -> Vec<CutNote> {
    let mut notes = Vec::new();
    for (index, mark) in plan.marks.iter().enumerate() {
        if !bed.place(
            Opening::Hole {
                at: mark.at,
                diameter: HOLE_MM,
            },
            Some(index),
        ) {
            notes.push(CutNote::NoHole(mark.id.clone()));
        }
    }
    for (index, mark) in plan.marks.iter().enumerate() {
        let missing = windows(mark.at, options.pen())
            .into_iter()
            .filter(|(_, window)| {
                let window = window.clone();
                !bed.place(window, Some(index))
            });
        let missing: Vec<Arm> = missing.map(|(arm, _)| arm).collect();
        if !missing.is_empty() {
            notes.push(CutNote::NoWindow(mark.id.clone(), missing));
        }
    }
    notes
}

fn windows(at: Point, width: f64) -> [(Arm, Opening); 4] {
    let window = |arm: Vec2| Opening::Slot {
        from: at + arm * WINDOW_FROM_MM,
        to: at + arm * PAD_MM,
        width,
        corner: width / 2.0,
    };
    [
        (Arm::Ahead, window(Vec2::new(1.0, 0.0))),
        (Arm::Rearward, window(Vec2::new(-1.0, 0.0))),
        (Arm::Left, window(Vec2::new(0.0, 1.0))),
        (Arm::Right, window(Vec2::new(0.0, -1.0))),
    ]
}
