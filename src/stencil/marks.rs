//! Centre holes, and windows for the crosses of marks.

use kurbo::{Point, Vec2};

use super::{Arm, CutNote, CutOptions, bed::Bed, keep_off::KeepOff, opening::Opening};
use crate::plan::{FloorPlan, MarkShape};

/// Cuts hole and windows of every mark; says what had no room.
///
/// The pad between the slots that meet at a mark holds the hole. Windows run ahead, rearward, left
/// and right as the arms of the printed crosses do, as far as `seams` let them.
pub(super) fn cut_marks(
    bed: &mut Bed,
    plan: &FloorPlan,
    options: &CutOptions,
    seams: &impl KeepOff,
) -> Vec<CutNote> {
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
        let missing = windows(mark.at, options, seams)
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

fn windows(at: Point, options: &CutOptions, seams: &impl KeepOff) -> [(Arm, Opening); 4] {
    let window = |arm: Vec2| Opening::Slot {
        from: at + arm * MarkShape::WINDOW_FROM_MM,
        to: at + arm * seams.window_end(at, arm, options.pen()),
        width: options.pen(),
        corner: options.pen_corner(),
    };
    [
        (Arm::Ahead, window(Vec2::new(1.0, 0.0))),
        (Arm::Rearward, window(Vec2::new(-1.0, 0.0))),
        (Arm::Left, window(Vec2::new(0.0, 1.0))),
        (Arm::Right, window(Vec2::new(0.0, -1.0))),
    ]
}
