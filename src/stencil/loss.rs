//! What of a layout cannot be cut whole.

use std::f64::consts::FRAC_PI_2;

use kurbo::Vec2;

use super::{CutOptions, Loss, opening::Opening, strips::Strip};
use crate::{
    plan::{FloorPlan, MarkShape},
    units::{ROUND_OFF, SAME_TAPED_MM},
};

/// Least part of a strip, besides pads and bridges, that must become slot.
const LEAST_PART: f64 = 0.9;

/// The strips and marks of a layout that its openings do not show whole.
pub(super) fn losses<'a>(
    plan: &FloorPlan,
    strips: &[Strip],
    openings: impl Iterator<Item = &'a Opening> + Clone,
    options: &CutOptions,
) -> Vec<Loss> {
    let of_strips = strips.iter().filter_map(|strip| {
        let part = part_of(strip, openings.clone(), options);
        (part < LEAST_PART).then(|| Loss::Strip(strip.name.clone(), part))
    });
    let of_marks = plan.marks.iter().filter_map(|mark| {
        let has_hole = openings.clone().any(|opening| match opening {
            Opening::Hole { at, diameter } => {
                *diameter == MarkShape::FULL.hole && at.distance(mark.at) < SAME_TAPED_MM
            }
            _ => false,
        });
        let has_window = |along: Vec2| {
            [along, -along].into_iter().any(|arm| {
                let start = mark.at + arm * MarkShape::WINDOW_FROM_MM;
                openings.clone().any(|opening| match opening {
                    Opening::Slot { from, .. } => from.distance(start) < SAME_TAPED_MM,
                    _ => false,
                })
            })
        };
        let axes = [0.0, FRAC_PI_2].map(Vec2::from_angle);
        let whole = has_hole && axes.into_iter().all(has_window);
        (!whole).then(|| Loss::Mark(mark.id.clone()))
    });
    of_strips.chain(of_marks).collect()
}

/// The part of a strip that becomes slot; what a pad takes at a mark or at a crossing, and bridges, is not missed.
fn part_of<'a>(
    strip: &Strip,
    openings: impl Iterator<Item = &'a Opening>,
    options: &CutOptions,
) -> f64 {
    let (start, along) = (strip.axis.p0, (strip.axis.p1 - strip.axis.p0).normalize());
    let length = (strip.axis.p1 - strip.axis.p0).hypot();
    let slot = |opening: &Opening| match *opening {
        Opening::Slot {
            from, to, width, ..
        } if width == strip.width => {
            let on = |point| along.cross(point - start).abs() < SAME_TAPED_MM;
            let at = |point| along.dot(point - start);
            (on(from) && on(to)).then(|| (at(from).min(at(to)), at(from).max(at(to))))
        }
        _ => None,
    };
    let mut slots: Vec<(f64, f64)> = openings
        .filter_map(slot)
        .filter(|(from, to)| *to > 0.0 && *from < length)
        .collect();
    if slots.is_empty() {
        return 0.0;
    }
    slots.sort_by(|a, b| a.0.total_cmp(&b.0));
    let pad = 2.0 * (MarkShape::FULL.arm + options.bridge) + strip.width;
    let ends = slots.iter().map(|slot| slot.1);
    let starts = slots.iter().map(|slot| slot.0).chain([length]);
    let missed: f64 = std::iter::once(0.0)
        .chain(ends)
        .zip(starts)
        .map(|(end, start)| start - end)
        .filter(|gap| *gap > pad + ROUND_OFF)
        .map(|gap| gap - pad)
        .sum();
    1.0 - missed / length
}
