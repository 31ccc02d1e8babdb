//! Centre holes, and windows for the crosses of marks.

use kurbo::{Point, Vec2};

use super::{CutOptions, bed::Bed, opening::Opening};
use crate::plan::{FloorPlan, MarkShape};

/// Cuts hole and windows of every mark; says what had no room.
///
/// The pad between the slots that meet at a mark holds the hole. Windows run ahead, rearward, left
/// and right as the arms of the printed crosses do.
pub(super) fn cut_marks(bed: &mut Bed, plan: &FloorPlan, options: &CutOptions) -> Vec<String> {
    let mut notes = Vec::new();
    for (index, mark) in plan.marks.iter().enumerate() {
        if !bed.place(
            Opening::Hole {
                at: mark.at,
                diameter: MarkShape::FULL.hole,
            },
            Some(index),
        ) {
            notes.push(format!(
                "mark {} has no centre hole: another mark's hole is closer than a bridge",
                mark.id
            ));
        }
    }
    for (index, mark) in plan.marks.iter().enumerate() {
        let missing = windows(mark.at, options.pen())
            .into_iter()
            .filter(|(_, window)| {
                let window = window.clone();
                !bed.place(window, Some(index))
            });
        let missing: Vec<&str> = missing.map(|(side, _)| side).collect();
        if !missing.is_empty() {
            let sides = missing.join(", ");
            notes.push(format!(
                "mark {} has no window {sides}: another mark is too near",
                mark.id
            ));
        }
    }
    notes
}

fn windows(at: Point, width: f64) -> [(&'static str, Opening); 4] {
    let window = |arm: Vec2| Opening::Slot {
        from: at + arm * MarkShape::WINDOW_FROM_MM,
        to: at + arm * MarkShape::FULL.arm,
        width,
        corner: width / 2.0,
    };
    [
        ("ahead", window(Vec2::new(1.0, 0.0))),
        ("rearward", window(Vec2::new(-1.0, 0.0))),
        ("left", window(Vec2::new(0.0, 1.0))),
        ("right", window(Vec2::new(0.0, -1.0))),
    ]
}
