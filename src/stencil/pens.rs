//! Pen slots along the edges of a layout's panels.
//!
//! A stencil shows where a panel lies, and of a chequer which cells are dark: every edge between
//! fields is drawn through a slot a felt tip wide, whose middle is the edge. Slots stop before the
//! corners of fields, so that every field is held at each of its corners, also the dark fields of a
//! chequer that touch nowhere else.

use std::f64::consts::{FRAC_1_SQRT_2, TAU};

use kurbo::{Line, Point, Vec2};

use super::{
    CutNote, CutOptions,
    bed::{Bed, Outcome},
    distance::left_over,
    edges::{Edges, edges_of},
    joints::Joints,
    opening::Opening,
};
use crate::{
    plan::{FloorPlan, MarkShape},
    units::SAME_TAPED_MM,
};

/// Steps in which a circle is searched for what is in its way, mm.
const SEARCH_MM: f64 = 0.5;

/// Least number of bridges on a circle: its inside is held on all sides.
const LEAST_BRIDGES: f64 = 4.0;

/// What a bridge on a circle is made wider than asked, radians: far below what can be cut, and more
/// than computing loses.
const ROUNDING: f64 = 1e-6;

/// Shortest slot on a circle, mm.
const SHORTEST_MM: f64 = 5.0;

/// Cuts the edges of all panels; says what could not be cut as wanted.
pub(super) fn cut_panels(
    bed: &mut Bed,
    plan: &FloorPlan,
    joints: &Joints,
    options: &CutOptions,
) -> Vec<CutNote> {
    let mut notes = Vec::new();
    for panel in &plan.panels {
        let outcomes = match edges_of(plan, panel) {
            Edges::Straight(lines) => lines
                .into_iter()
                .map(|line| cut_edge(bed, line, plan, joints, options))
                .collect::<Vec<_>>(),
            Edges::Circle { centre, radius } => {
                vec![cut_circle(bed, centre, radius, joints, options)]
            }
        };
        let missing = outcomes
            .iter()
            .filter(|outcome| **outcome == Outcome::Nothing)
            .count();
        let shortened = outcomes.contains(&Outcome::Shortened);
        if missing > 0 || shortened {
            notes.push(CutNote::Panel {
                shape: panel.shape.clone(),
                mark: plan.marks[panel.mark].id.clone(),
                missing,
                edges: outcomes.len(),
            });
        }
    }
    notes
}

fn cut_edge(
    bed: &mut Bed,
    edge: Line,
    plan: &FloorPlan,
    joints: &Joints,
    options: &CutOptions,
) -> Outcome {
    let pen = options.pen();
    let length = (edge.p1 - edge.p0).hypot();
    // Slots that meet at a right angle leave a bridge between their corners from here on.
    let corner = options.bridge * FRAC_1_SQRT_2 + pen / 2.0;
    let mut taken = vec![(0.0, corner), (length - corner, length)];
    taken.extend(joints.stretches(edge, pen, options.bridge));
    let along = (edge.p1 - edge.p0) / length;
    let on_edge = plan
        .marks
        .iter()
        .filter(|mark| along.cross(mark.at - edge.p0).abs() < SAME_TAPED_MM);
    let pad = MarkShape::FULL.arm + options.bridge;
    taken.extend(
        on_edge
            .map(|mark| along.dot(mark.at - edge.p0))
            .map(|at| (at - pad, at + pad)),
    );
    bed.cut_along(edge, pen, pen / 2.0, taken)
}

fn cut_circle(
    bed: &mut Bed,
    centre: Point,
    radius: f64,
    joints: &Joints,
    options: &CutOptions,
) -> Outcome {
    let pen = options.pen();
    let reach = options.bridge + pen / 2.0;
    // Bridges lie between the arms of the mark's cross, where a straight edge is laid to them.
    let bridges = (TAU * radius / options.bridge_every)
        .ceil()
        .max(LEAST_BRIDGES);
    let from = TAU / bridges / 2.0;
    // A bridge is narrowest along its inner side.
    let sine = options.bridge / 2.0 / (radius - pen / 2.0);
    if !(0.0..0.5).contains(&sine) {
        return Outcome::Nothing;
    }
    let half = sine.asin() + ROUNDING;
    let mut taken: Vec<(f64, f64)> = (0..=bridges as usize)
        .map(|index| index as f64 * TAU / bridges)
        .map(|middle| (middle - half, middle + half))
        .collect();
    let steps = (TAU * radius / SEARCH_MM).ceil() as usize;
    let step = TAU / steps as f64;
    let in_the_way = |angle: f64| {
        let point = centre + Vec2::from_angle(from + angle) * radius;
        !bed.is_clear_at(point, reach + SEARCH_MM) || joints.is_near(point, reach)
    };
    let blocked = (0..=steps)
        .map(|index| index as f64 * step)
        .filter(|angle| in_the_way(*angle));
    let before = taken.len();
    taken.extend(blocked.map(|angle| (angle - step, angle + step)));
    let free_of_others = taken.len() == before;
    let (mut any, mut missing) = (false, false);
    for (start, end) in left_over((0.0, TAU), taken) {
        // What runs on beyond the last bridge begins again at the first.
        if (end - start) * radius < SHORTEST_MM.max(pen + 1.0) {
            continue;
        }
        let cap = pen / 2.0 / radius;
        let opening = Opening::Arc {
            centre,
            radius,
            width: pen,
            start: from + start + cap,
            sweep: end - start - 2.0 * cap,
        };
        let placed = bed.place(opening, None);
        any |= placed;
        missing |= !placed;
    }
    match (any, free_of_others && !missing) {
        (true, true) => Outcome::Cut,
        (true, false) => Outcome::Shortened,
        (false, _) => Outcome::Nothing,
    }
}
