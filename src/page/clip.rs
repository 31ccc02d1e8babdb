//! Booleans on floor polygons and clipping of straight lines, in the words the sheets need.

use i_overlay::{
    core::{fill_rule::FillRule, overlay_rule::OverlayRule},
    float::{clip::FloatClip, single::SingleFloatOverlay},
    string::clip::ClipRule,
};
use kurbo::{BezPath, Line, Point};

use crate::units::SAME_DRAWN_MM;

/// A closed polygon; outer ones run counter-clockwise, holes clockwise.
pub type Contour = Vec<Point>;

/// How far two unit directions may differ and still count as parallel: 0.1 mm over 10 m.
const SAME_DIRECTION: f64 = 1e-5;

/// The union of counter-clockwise polygons, as disjoint contours with their holes.
#[must_use]
pub fn union(polygons: &[Contour]) -> Vec<Contour> {
    overlay(polygons, &[], OverlayRule::Union)
}

/// What of `subject` lies within `clip`.
#[must_use]
pub fn intersection(subject: &[Contour], clip: &[Contour]) -> Vec<Contour> {
    overlay(subject, clip, OverlayRule::Intersect)
}

/// What of `subject` lies outside `clip`.
#[must_use]
pub fn difference(subject: &[Contour], clip: &[Contour]) -> Vec<Contour> {
    overlay(subject, clip, OverlayRule::Difference)
}

fn overlay(subject: &[Contour], clip: &[Contour], rule: OverlayRule) -> Vec<Contour> {
    if subject.is_empty() {
        return Vec::new();
    }
    let shapes = raw(subject).overlay_as::<i64>(&raw(clip), rule, FillRule::NonZero);
    shapes
        .into_iter()
        .flatten()
        .map(|contour| contour.into_iter().map(|[x, y]| Point::new(x, y)).collect())
        .collect()
}

fn raw(contours: &[Contour]) -> Vec<Vec<[f64; 2]>> {
    contours
        .iter()
        .map(|contour| contour.iter().map(|p| [p.x, p.y]).collect())
        .collect()
}

/// The parts of a straight line within polygons, their boundary included.
#[must_use]
pub fn line_within(line: Line, polygons: &[Contour]) -> Vec<Line> {
    clip_line(line, polygons, false)
}

/// The parts of a straight line outside polygons, their boundary not included.
#[must_use]
pub fn line_outside(line: Line, polygons: &[Contour]) -> Vec<Line> {
    if polygons.is_empty() {
        vec![line]
    } else {
        clip_line(line, polygons, true)
    }
}

/// Lines go one by one: clipped together, crossing lines are split where they cross and put
/// together anew, and a dash pattern would turn the corner.
fn clip_line(line: Line, polygons: &[Contour], invert: bool) -> Vec<Line> {
    let rule = ClipRule {
        invert,
        boundary_included: !invert,
    };
    let path = vec![[line.p0.x, line.p0.y], [line.p1.x, line.p1.y]];
    let along = line.p1 - line.p0;
    path.clip_by_as::<i64>(&raw(polygons), FillRule::NonZero, rule)
        .into_iter()
        .filter_map(|points| {
            let (first, last) = (points.first()?, points.last()?);
            let part = Line::new((first[0], first[1]), (last[0], last[1]));
            Some(if (part.p1 - part.p0).dot(along) < 0.0 {
                Line::new(part.p1, part.p0)
            } else {
                part
            })
        })
        .collect()
}

/// The edges of contours, in order.
#[must_use]
pub fn edges(contours: &[Contour]) -> Vec<Line> {
    contours
        .iter()
        .flat_map(|contour| {
            let next = contour.iter().skip(1).chain(contour.first());
            contour.iter().zip(next).map(|(&p, &q)| Line::new(p, q))
        })
        .filter(|edge| (edge.p1 - edge.p0).hypot() > SAME_DRAWN_MM)
        .collect()
}

/// Lines on one straight that touch or overlap become one line, so that nothing is stroked twice.
#[must_use]
pub fn merged(lines: &[Line]) -> Vec<Line> {
    let mut straights: Vec<Straight> = Vec::new();
    for &line in lines {
        if (line.p1 - line.p0).hypot() <= SAME_DRAWN_MM {
            continue;
        }
        match straights.iter_mut().find(|straight| straight.holds(line)) {
            Some(straight) => straight.add(line),
            None => straights.push(Straight::through(line)),
        }
    }
    straights.into_iter().flat_map(Straight::lines).collect()
}

/// A straight with the stretches of it that are drawn, as distances from its start.
pub struct Straight {
    pub start: Point,
    pub along: kurbo::Vec2,
    stretches: Vec<(f64, f64)>,
}

impl Straight {
    pub fn through(line: Line) -> Self {
        let length = (line.p1 - line.p0).hypot();
        Self {
            start: line.p0,
            along: (line.p1 - line.p0) / length,
            stretches: vec![(0.0, length)],
        }
    }

    pub fn holds(&self, line: Line) -> bool {
        let direction = (line.p1 - line.p0).normalize();
        self.along.cross(direction).abs() < SAME_DIRECTION
            && [line.p0, line.p1]
                .iter()
                .all(|&end| self.along.cross(end - self.start).abs() < SAME_DRAWN_MM)
    }

    fn add(&mut self, line: Line) {
        let ends = [line.p0, line.p1].map(|end| self.along.dot(end - self.start));
        self.stretches
            .push((ends[0].min(ends[1]), ends[0].max(ends[1])));
    }

    fn lines(mut self) -> Vec<Line> {
        self.stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut joined: Vec<(f64, f64)> = Vec::new();
        for &(from, to) in &self.stretches {
            match joined.last_mut() {
                Some(last) if from <= last.1 + SAME_DRAWN_MM => last.1 = last.1.max(to),
                _ => joined.push((from, to)),
            }
        }
        let at = |distance: f64| self.start + self.along * distance;
        joined
            .into_iter()
            .map(|(from, to)| Line::new(at(from), at(to)))
            .collect()
    }
}

/// Lines as one path; a line that starts where the last one ended goes on from it, so that
/// corners are joined.
#[must_use]
pub fn strokes(lines: &[Line]) -> BezPath {
    let mut path = BezPath::new();
    let mut pen = None;
    for line in lines {
        if !pen.is_some_and(|at: Point| at.distance(line.p0) < SAME_DRAWN_MM) {
            path.move_to(line.p0);
        }
        path.line_to(line.p1);
        pen = Some(line.p1);
    }
    path
}

/// Contours as one closed path.
#[must_use]
pub fn areas(contours: &[Contour]) -> BezPath {
    let mut path = BezPath::new();
    for contour in contours {
        for (index, &point) in contour.iter().enumerate() {
            if index == 0 {
                path.move_to(point);
            } else {
                path.line_to(point);
            }
        }
        path.close_path();
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Contour {
        [(x, y), (x + side, y), (x + side, y + side), (x, y + side)]
            .map(Point::from)
            .to_vec()
    }

    #[test]
    fn two_crossing_strips_have_one_outline_of_twelve_edges() {
        let along = [(0.0, 40.0), (100.0, 40.0), (100.0, 60.0), (0.0, 60.0)]
            .map(Point::from)
            .to_vec();
        let across = [(40.0, 0.0), (60.0, 0.0), (60.0, 100.0), (40.0, 100.0)]
            .map(Point::from)
            .to_vec();
        let outline = union(&[along, across]);
        assert_eq!((outline.len(), edges(&outline).len()), (1, 12));
    }

    #[test]
    fn a_line_keeps_its_direction_when_clipped_and_may_come_in_two_parts() {
        let hole = [square(40.0, -5.0, 10.0)];
        let parts = line_outside(Line::new((100.0, 0.0), (0.0, 0.0)), &hole);
        let mut spans: Vec<(f64, f64)> = parts
            .iter()
            .map(|p| (p.p0.x.round(), p.p1.x.round()))
            .collect();
        spans.sort_by(|a, b| b.0.total_cmp(&a.0));
        assert_eq!(spans, [(100.0, 50.0), (40.0, 0.0)]);
    }

    #[test]
    fn a_line_along_the_windows_boundary_counts_as_within() {
        let parts = line_within(
            Line::new((-5.0, 0.0), (15.0, 0.0)),
            &[square(0.0, 0.0, 10.0)],
        );
        assert_eq!(parts.len(), 1);
        assert!(
            (parts[0].p0.x - 0.0).abs() < SAME_DRAWN_MM
                && (parts[0].p1.x - 10.0).abs() < SAME_DRAWN_MM
        );
    }

    #[test]
    fn shared_sides_of_neighbouring_cells_are_stroked_once() {
        let cells = [square(0.0, 0.0, 10.0), square(10.0, 0.0, 10.0)];
        let lines = merged(&edges(&cells));
        let total: f64 = lines.iter().map(|line| (line.p1 - line.p0).hypot()).sum();
        // Two long sides of 20 mm and three short ones of 10 mm.
        assert_eq!((lines.len(), total), (5, 70.0));
    }
}
