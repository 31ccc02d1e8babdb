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
    keep_off::KeepOff,
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
    joints: &impl KeepOff,
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
    joints: &impl KeepOff,
    options: &CutOptions,
) -> Outcome {
    let pen = options.pen();
    let length = (edge.p1 - edge.p0).hypot();
    // Slots that meet at a right angle leave a bridge between their corners from here on.
    let corner = options.bridge * FRAC_1_SQRT_2 + pen / 2.0;
    let mut taken = vec![(0.0, corner), (length - corner, length)];
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
    bed.cut_along(edge, pen, options.pen_corner(), taken, joints)
}

/// The bearing of a bridge that no seam crosses, from which the circle is gone round.
fn first_bridge(spacing: f64, crossed: impl Fn(f64) -> bool) -> f64 {
    let count = (TAU / spacing).round() as usize;
    let mut bearings = (0..count).map(|index| spacing * (index as f64 + 0.5));
    bearings
        .find(|bearing| !crossed(*bearing))
        .unwrap_or(spacing / 2.0)
}

fn cut_circle(
    bed: &mut Bed,
    centre: Point,
    radius: f64,
    joints: &impl KeepOff,
    options: &CutOptions,
) -> Outcome {
    let pen = options.pen();
    let reach = options.bridge + pen / 2.0;
    // Bridges lie between the arms of the mark's cross, where a straight edge is laid to them.
    let bridges = (TAU * radius / options.bridge_every)
        .ceil()
        .max(LEAST_BRIDGES);
    let crossed = |bearing: f64| {
        let at = centre + Vec2::from_angle(bearing) * radius;
        joints.crosses_bridge(at, (options.bridge + pen) / 2.0)
    };
    let from = first_bridge(TAU / bridges, crossed);
    // A bridge is narrowest along its inner side.
    let sine = options.bridge / 2.0 / (radius - pen / 2.0);
    if !(0.0..0.5).contains(&sine) {
        return Outcome::Nothing;
    }
    let half = sine.asin() + ROUNDING;
    let at = |angle: f64| centre + Vec2::from_angle(from + angle) * radius;
    let mut taken: Vec<(f64, f64)> = (0..=bridges as usize)
        .map(|index| index as f64 * TAU / bridges)
        .filter(|middle| !crossed(from + middle))
        .map(|middle| (middle - half, middle + half))
        .collect();
    let steps = (TAU * radius / SEARCH_MM).ceil() as usize;
    let step = TAU / steps as f64;
    let beside = (0..=steps)
        .map(|index| index as f64 * step)
        .filter(|angle| joints.has_bridge(at(*angle), pen, options.bridge));
    taken.extend(beside.map(|angle| (angle - step, angle + step)));
    let in_the_way = |angle: f64| {
        let point = at(angle);
        !bed.is_clear_at(point, reach + SEARCH_MM) || joints.is_near(point, pen, options.bridge)
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
