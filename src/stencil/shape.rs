//! Polygons with holes: what is left of material, what it is made of, how it is divided.

use i_overlay::{
    core::{fill_rule::FillRule, overlay_rule::OverlayRule},
    float::{simplify::SimplifyShape, single::SingleFloatOverlay, slice::FloatSlice},
};
use kurbo::{Line, ParamCurveNearest, Point, Rect};

use super::distance::sides;
use crate::{plan::bounds, units::ROUND_OFF_MM};

/// Shorter sides of a contour are taken out, mm: less than any tool resolves, and far more than what rounding leaves.
const CRUMB_MM: f64 = 0.001;

/// A polygon with holes. The outer contour runs counter-clockwise, holes run clockwise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shape {
    /// The outer contour.
    pub outer: Vec<Point>,
    /// Contours of its holes.
    pub holes: Vec<Vec<Point>>,
}

type Raw = Vec<[f64; 2]>;

impl Shape {
    fn of(contours: Vec<Raw>) -> Option<Self> {
        let mut contours = contours
            .into_iter()
            .map(|contour| without_crumbs(points(contour)));
        Some(Self {
            outer: contours.next()?,
            holes: contours.collect(),
        })
    }

    fn raw(&self) -> Vec<Raw> {
        self.contours().map(raw).collect()
    }

    /// The outer contour, then those of the holes.
    pub fn contours(&self) -> impl Iterator<Item = &[Point]> {
        let holes = self.holes.iter().map(Vec::as_slice);
        std::iter::once(self.outer.as_slice()).chain(holes)
    }

    /// Its area less that of its holes, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.contours().map(signed_area).sum()
    }

    /// The rectangle about it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        bounds(&self.outer)
    }

    /// All its sides.
    pub(super) fn sides(&self) -> impl Iterator<Item = Line> + '_ {
        self.contours().flat_map(sides)
    }

    /// True when a point lies in it.
    #[must_use]
    pub fn holds(&self, point: Point) -> bool {
        let far = Line::new(point, (point.x + 1.0, point.y));
        let ahead = |side: &Line| crosses(*side, far).is_some_and(|at| at > 0.0);
        self.sides().filter(ahead).count() % 2 == 1
    }

    /// True where a point lies at least `reach` mm from every edge, within or without.
    pub(super) fn keeps(&self, point: Point, reach: f64) -> bool {
        let reach_sq = (reach - ROUND_OFF_MM).powi(2);
        self.sides()
            .all(|side| side.nearest(point, ROUND_OFF_MM).distance_sq >= reach_sq)
    }

    /// The stretches of a straight line that lie in it, as distances from its start, in order. The line counts as endless.
    #[must_use]
    pub fn stretches_on(&self, line: Line) -> Vec<(f64, f64)> {
        inside(self.sides(), line)
    }
}

/// The stretches of an endless straight line between sides that it crosses, the first to the second, the third to the fourth.
pub(super) fn inside(sides: impl Iterator<Item = Line>, line: Line) -> Vec<(f64, f64)> {
    let mut places: Vec<f64> = sides.filter_map(|side| crosses(side, line)).collect();
    places.sort_by(f64::total_cmp);
    places
        .chunks_exact(2)
        .map(|pair| (pair[0], pair[1]))
        .collect()
}

/// Where an endless line crosses a side, as the distance from the line's start. An end of a side that lies on the line belongs
/// to what is right of it, so that a line through a corner crosses once or twice, and never by halves.
fn crosses(side: Line, line: Line) -> Option<f64> {
    let along = (line.p1 - line.p0).normalize();
    let [one, other] = [side.p0, side.p1].map(|end| along.cross(end - line.p0));
    if (one > 0.0) == (other > 0.0) {
        return None;
    }
    let at = side.p0.lerp(side.p1, one / (one - other));
    Some(along.dot(at - line.p0))
}

/// Twice halved: the area of a contour, positive when it runs counter-clockwise, mm².
pub(super) fn signed_area(contour: &[Point]) -> f64 {
    let cross = |side: Line| side.p0.to_vec2().cross(side.p1.to_vec2());
    sides(contour).map(cross).sum::<f64>() / 2.0
}

/// What polygons cover together, whichever way round each runs.
pub(super) fn united(parts: &[Vec<Point>]) -> Vec<Shape> {
    let one_way = |part: &Vec<Point>| {
        let mut part = raw(part);
        if signed_area(&points(part.clone())) < 0.0 {
            part.reverse();
        }
        part
    };
    let parts: Vec<Raw> = parts.iter().map(one_way).collect();
    let shapes = parts.simplify_shape_as::<i64>(FillRule::NonZero);
    shapes.into_iter().filter_map(Shape::of).collect()
}

/// A shape divided along lines, each a run of points.
pub(super) fn divided(shape: &Shape, lines: &[Vec<Point>]) -> Vec<Shape> {
    let lines: Vec<Raw> = lines.iter().map(|line| raw(line)).collect();
    let shapes = shape.raw().slice_by_as::<i64>(&lines, FillRule::NonZero);
    shapes.into_iter().filter_map(Shape::of).collect()
}

/// Two shapes that touch as one; `None` where they do not.
pub(super) fn joined(one: &Shape, other: &Shape) -> Option<Shape> {
    let shapes = one
        .raw()
        .overlay_as::<i64>(&other.raw(), OverlayRule::Union, FillRule::NonZero);
    let mut shapes = shapes.into_iter().filter_map(Shape::of);
    let whole = shapes.next()?;
    shapes.next().is_none().then_some(whole)
}

/// What remains of a shape when openings are taken away.
pub(super) fn remaining(shape: &Shape, openings: &[Vec<Point>]) -> Vec<Shape> {
    let openings: Vec<Raw> = openings.iter().map(|opening| raw(opening)).collect();
    let shapes =
        shape
            .raw()
            .overlay_as::<i64>(&openings, OverlayRule::Difference, FillRule::NonZero);
    shapes.into_iter().filter_map(Shape::of).collect()
}

/// A contour without sides so short that their direction is rounding alone: offsets would shoot out at them.
fn without_crumbs(mut contour: Vec<Point>) -> Vec<Point> {
    contour.dedup_by(|a, b| a.distance(*b) < CRUMB_MM);
    while contour.len() > 1 && contour[0].distance(contour[contour.len() - 1]) < CRUMB_MM {
        contour.pop();
    }
    contour
}

fn raw(contour: &[Point]) -> Raw {
    contour.iter().map(|p| [p.x, p.y]).collect()
}

fn points(contour: Raw) -> Vec<Point> {
    contour.into_iter().map(|[x, y]| Point::new(x, y)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::corners;

    fn square(x: f64, y: f64, side: f64) -> Vec<Point> {
        corners(Rect::new(x, y, x + side, y + side)).to_vec()
    }

    #[test]
    fn a_frame_of_four_bars_is_one_shape_with_a_hole_whichever_way_its_parts_run() {
        let bar = |x0, y0, x1, y1| corners(Rect::new(x0, y0, x1, y1)).to_vec();
        let mut parts = vec![
            bar(0.0, 0.0, 100.0, 10.0),
            bar(0.0, 90.0, 100.0, 100.0),
            bar(0.0, 0.0, 10.0, 100.0),
            bar(90.0, 0.0, 100.0, 100.0),
        ];
        parts[1].reverse();
        let shapes = united(&parts);
        assert_eq!(shapes.len(), 1);
        assert!((shapes[0].area() - 3600.0).abs() < 1e-6, "{shapes:?}");
        assert_eq!(shapes[0].holes.len(), 1);
        assert!(shapes[0].holds(Point::new(5.0, 50.0)) && !shapes[0].holds(Point::new(50.0, 50.0)));
        let across = Line::new((50.0, -10.0), (50.0, 0.0));
        assert_eq!(
            shapes[0].stretches_on(across),
            [(10.0, 20.0), (100.0, 110.0)]
        );
    }

    #[test]
    fn a_side_of_no_length_is_taken_out() {
        let mut corners = square(0.0, 0.0, 100.0);
        corners.insert(1, Point::new(100.0 - 1e-7, 1e-7));
        let shape = united(&[corners]).remove(0);
        assert_eq!(shape.outer.len(), 4, "{shape:?}");
    }

    #[test]
    fn a_bent_line_across_divides_a_shape_and_both_parts_have_its_bends() {
        let shape = united(&[square(0.0, 0.0, 100.0)]).remove(0);
        let line = [
            (50.0, -1.0),
            (50.0, 40.0),
            (60.0, 40.0),
            (60.0, 60.0),
            (50.0, 60.0),
            (50.0, 101.0),
        ];
        let parts = divided(&shape, &[line.map(Point::from).to_vec()]);
        let mut areas: Vec<f64> = parts.iter().map(Shape::area).collect();
        areas.sort_by(f64::total_cmp);
        assert!(
            (areas[0] - 4800.0).abs() < 1e-6 && (areas[1] - 5200.0).abs() < 1e-6,
            "{areas:?}"
        );
        assert!(parts.iter().all(|part| part.outer.len() == 8), "{parts:?}");
    }

    #[test]
    fn a_shape_with_a_hole_is_one_part_and_one_cut_across_is_two() {
        let sheet = united(&[square(0.0, 0.0, 100.0)]).remove(0);
        assert_eq!(remaining(&sheet, &[square(20.0, 20.0, 30.0)]).len(), 1);
        let across = corners(Rect::new(-10.0, 40.0, 110.0, 50.0)).to_vec();
        assert_eq!(remaining(&sheet, &[across]).len(), 2);
    }
}
