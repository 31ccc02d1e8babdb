//! Outlines of pieces, with the notches that align the mat with the vehicle and pieces with each
//! other.

use kurbo::{Line, ParamCurveNearest, Point, Rect, Vec2};

use super::{CutNote, bed::Bed, joints::Joints, shape::Shape};
use crate::{
    plan::{FloorPlan, corners},
    units::ROUND_OFF_MM,
};

/// Depth of an alignment notch at the mat's edge, mm; its tip lies on the centreline or axle line.
pub(super) const NOTCH_DEPTH_MM: f64 = 10.0;

/// Half of its width at the edge, mm.
const NOTCH_HALF_MM: f64 = 6.0;

/// Distance that a joint keeps from the middle of an alignment notch, mm.
pub(super) const NOTCH_KEEP_OFF_MM: f64 = 30.0;

/// Half of the width, and the depth, of a notch at a joint, mm. Two of them make a square hole that
/// stands on its corner: it is true when the pieces are.
const JOINT_NOTCH_MM: f64 = 5.0;

/// Cosine below which a line counts as square to an edge.
const SQUARE: f64 = 0.02;

/// Distance that a joint's notches keep from its ends, mm.
const JOINT_ENDS_MM: f64 = 20.0;

/// Distance that the middle of a joint's notch keeps from scores, mm.
const JOINT_KEEP_OFF_MM: f64 = 10.0;

/// Where a joint's notches are wanted, as parts of its length; not symmetrical, so that a piece
/// turned round does not match its neighbour.
const JOINT_NOTCHES: [f64; 2] = [0.22, 0.7];

/// Step in mm by which a joint's notch moves off an opening.
const SEARCH_MM: f64 = 5.0;

/// A V in the outline: where its middle lies on the edge, half of its width, its depth.
#[derive(Clone, Copy, Debug)]
struct Notch {
    at: Point,
    half: f64,
    depth: f64,
}

/// The notches of all edges of all pieces.
pub(super) struct Notches {
    notches: Vec<Notch>,
    /// Lines that have no notch because they lie beyond the mat.
    pub notes: Vec<CutNote>,
}

/// The x of an axle on the left and on the right side.
pub(super) struct Axle {
    pub front: bool,
    pub left: f64,
    pub right: f64,
}

/// The vehicle's axles, each side by its own wheel.
pub(super) fn axles(plan: &FloorPlan) -> [Axle; 2] {
    let [front_left, front_right, rear_left, rear_right] =
        plan.vehicle.wheels.map(|wheel| wheel.centre.x);
    [
        Axle {
            front: true,
            left: front_left,
            right: front_right,
        },
        Axle {
            front: false,
            left: rear_left,
            right: rear_right,
        },
    ]
}

impl Notches {
    /// Sets the notches of a mat: on the centreline at both ends, at both axles on both sides, and
    /// two on every joint between two pieces, clear of openings and of scores.
    pub(super) fn set(
        mat: Rect,
        plan: &FloorPlan,
        joints: &Joints,
        bed: &Bed,
        scores: &[Line],
    ) -> Self {
        let mut notes = Vec::new();
        let mut places = vec![Point::new(mat.x0, 0.0), Point::new(mat.x1, 0.0)];
        for axle in axles(plan) {
            let inside = |x: f64| x > mat.x0 + NOTCH_KEEP_OFF_MM && x < mat.x1 - NOTCH_KEEP_OFF_MM;
            if inside(axle.left) && inside(axle.right) {
                places.extend([
                    Point::new(axle.left, mat.y1),
                    Point::new(axle.right, mat.y0),
                ]);
            } else {
                notes.push(CutNote::AxleBeyond { front: axle.front });
            }
        }
        let mut notches: Vec<Notch> = places
            .into_iter()
            .map(|at| Notch {
                at,
                half: NOTCH_HALF_MM,
                depth: NOTCH_DEPTH_MM,
            })
            .collect();
        for (from, to) in joint_sections(joints) {
            let found = joint_notches(from, to, bed, scores);
            if found.is_empty() {
                notes.push(CutNote::JointWithoutNotch(from, to));
            }
            notches.extend(found);
        }
        Self { notches, notes }
    }

    /// The outline of a piece, counter-clockwise.
    pub(super) fn outline(&self, area: Rect) -> Vec<Point> {
        let corners = corners(area);
        let mut outline = Vec::new();
        for index in 0..4 {
            let (from, to) = (corners[index], corners[(index + 1) % 4]);
            let along = (to - from).normalize();
            let inward = Vec2::new(-along.y, along.x);
            let length = (to - from).hypot();
            let station = |notch: &Notch| along.dot(notch.at - from);
            let on_edge = |notch: &&Notch| {
                inward.dot(notch.at - from).abs() < ROUND_OFF_MM
                    && station(notch) > 0.0
                    && station(notch) < length
            };
            let mut notches: Vec<&Notch> = self.notches.iter().filter(on_edge).collect();
            notches.sort_by(|a, b| station(a).total_cmp(&station(b)));
            outline.push(from);
            for notch in notches {
                let half = along * notch.half;
                outline.extend([
                    notch.at - half,
                    notch.at + inward * notch.depth,
                    notch.at + half,
                ]);
            }
        }
        outline
    }
}

/// Triangles to be taken out of a frame's edges, their tips on the centreline and on the axle lines, wherever
/// these cross an edge of the material squarely.
pub(super) fn alignment_bites(shape: &Shape, plan: &FloorPlan) -> Vec<Vec<Point>> {
    let far = 1.0;
    let mut lines = vec![(Line::new(Point::ZERO, (far, 0.0)), None)];
    for axle in axles(plan) {
        lines.push((Line::new((axle.left, 0.0), (axle.left, far)), Some(true)));
        lines.push((Line::new((axle.right, 0.0), (axle.right, far)), Some(false)));
    }
    let mut bites = Vec::new();
    for (line, on_left) in lines {
        let along = line.p1 - line.p0;
        for side in shape.sides() {
            let edge = (side.p1 - side.p0).normalize();
            let Some(at) = side.crossing_point(line) else {
                continue;
            };
            let station = edge.dot(at - side.p0);
            let within = NOTCH_KEEP_OFF_MM..=(side.p1 - side.p0).hypot() - NOTCH_KEEP_OFF_MM;
            let wanted = on_left.is_none_or(|left| (at.y > 0.0) == left);
            if !wanted || !within.contains(&station) || edge.dot(along).abs() > SQUARE {
                continue;
            }
            // Contours run with the material on their left.
            let inward = Vec2::new(-edge.y, edge.x);
            let half = edge * NOTCH_HALF_MM;
            bites.push(vec![
                at - half - inward,
                at - half,
                at + inward * NOTCH_DEPTH_MM,
                at + half,
                at + half - inward,
            ]);
        }
    }
    bites
}

/// The sections of joints that lie between two pieces.
fn joint_sections(joints: &Joints) -> Vec<(Point, Point)> {
    let inner = |ends: &[f64]| ends[1..ends.len() - 1].to_vec();
    let mut sections = Vec::new();
    for x in inner(&joints.xs) {
        sections.extend(
            joints
                .ys
                .windows(2)
                .map(|y| (Point::new(x, y[0]), Point::new(x, y[1]))),
        );
    }
    for y in inner(&joints.ys) {
        sections.extend(
            joints
                .xs
                .windows(2)
                .map(|x| (Point::new(x[0], y), Point::new(x[1], y))),
        );
    }
    sections
}

fn joint_notches(from: Point, to: Point, bed: &Bed, scores: &[Line]) -> Vec<Notch> {
    let length = (to - from).hypot();
    let along = (to - from) / length * JOINT_NOTCH_MM;
    let across = Vec2::new(-along.y, along.x);
    let range = JOINT_ENDS_MM..=length - JOINT_ENDS_MM;
    let mut found: Vec<Notch> = Vec::new();
    for wanted in JOINT_NOTCHES.map(|part| part * length) {
        let steps = (length / SEARCH_MM).ceil() as i32;
        let places = (0..=steps)
            .flat_map(|step| [f64::from(step), -f64::from(step)])
            .map(|step| wanted + step * SEARCH_MM);
        let fits = |place: &f64| {
            let at = from.lerp(to, place / length);
            range.contains(place)
                && found
                    .iter()
                    .all(|other| other.at.distance(at) > 2.0 * JOINT_ENDS_MM)
                && scores.iter().all(|score| {
                    score.nearest(at, ROUND_OFF_MM).distance_sq > JOINT_KEEP_OFF_MM.powi(2)
                })
                && bed.is_clear(&[at - along, at - across, at + along, at + across])
        };
        let place = places.into_iter().find(fits);
        found.extend(place.map(|place| Notch {
            at: from.lerp(to, place / length),
            half: JOINT_NOTCH_MM,
            depth: JOINT_NOTCH_MM,
        }));
    }
    found
}

/// A counter-clockwise polygon whose sides are moved outwards by `by` mm and meet in sharp corners.
/// Meant for offsets far smaller than its sides.
pub(super) fn grown(polygon: &[Point], by: f64) -> Vec<Point> {
    let count = polygon.len();
    let outward = |from: Point, to: Point| {
        let along = (to - from).normalize();
        Vec2::new(along.y, -along.x)
    };
    (0..count)
        .map(|index| {
            let (before, here, after) = (
                polygon[(index + count - 1) % count],
                polygon[index],
                polygon[(index + 1) % count],
            );
            let (one, other) = (outward(before, here), outward(here, after));
            here + (one + other) * (by / (1.0 + one.dot(other)))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grown_rectangle_is_larger_by_the_offset_on_every_side() {
        let grown = grown(&corners(Rect::new(0.0, 0.0, 10.0, 20.0)), 0.5);
        assert_eq!(grown, corners(Rect::new(-0.5, -0.5, 10.5, 20.5)));
    }

    #[test]
    fn a_notch_points_inwards_and_its_tip_lies_at_its_depth() {
        let notch = Notch {
            at: Point::new(100.0, 40.0),
            half: 6.0,
            depth: 10.0,
        };
        let notches = Notches {
            notches: vec![notch],
            notes: vec![],
        };
        let outline = notches.outline(Rect::new(0.0, 0.0, 100.0, 80.0));
        assert_eq!(outline.len(), 7);
        assert!(outline.contains(&Point::new(90.0, 40.0)));
        assert_eq!(
            notches.outline(Rect::new(100.0, 0.0, 200.0, 80.0))[5 + 1],
            Point::new(100.0, 34.0)
        );
    }
}
