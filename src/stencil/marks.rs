//! Centre holes, and windows for the crosses of marks.

use kurbo::{Point, Vec2};

use super::{Arm, CutNote, CutOptions, bed::Bed, opening::Opening};
use crate::plan::{FloorPlan, MarkShape};

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
                diameter: MarkShape::FULL.hole,
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
        from: at + arm * MarkShape::WINDOW_FROM_MM,
        to: at + arm * MarkShape::FULL.arm,
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
