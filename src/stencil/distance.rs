//! Distances between convex polygons, and the stretch of a line that comes too near to one.

use crate::units::ROUND_OFF_MM;
use kurbo::{Line, ParamCurveNearest, Point};

/// The edges of a closed polygon.
pub(super) fn sides(polygon: &[Point]) -> impl Iterator<Item = Line> + '_ {
    let next = polygon.iter().skip(1).chain(polygon.first());
    polygon.iter().zip(next).map(|(&p, &q)| Line::new(p, q))
}

/// True when a point lies within a convex polygon, its corners either way round.
pub(super) fn holds(polygon: &[Point], point: Point) -> bool {
    let mut turns = sides(polygon).map(|side| (side.p1 - side.p0).cross(point - side.p0));
    let Some(first) = turns.next() else {
        return false;
    };
    turns.all(|turn| turn * first > 0.0)
}

/// Distance from a point to a convex polygon, 0 within it.
pub(super) fn from_point(polygon: &[Point], point: Point) -> f64 {
    if holds(polygon, point) {
        return 0.0;
    }
    sides(polygon)
        .map(|side| side.nearest(point, ROUND_OFF_MM).distance_sq)
        .fold(f64::INFINITY, f64::min)
        .sqrt()
}

/// Distance between two convex polygons, 0 where they meet.
pub(super) fn between(one: &[Point], other: &[Point]) -> f64 {
    let crossing = sides(one).any(|a| sides(other).any(|b| cross(a, b)));
    if crossing {
        return 0.0;
    }
    let reach = |from: &[Point], to: &[Point]| {
        from.iter()
            .map(|&corner| from_point(to, corner))
            .fold(f64::INFINITY, f64::min)
    };
    reach(one, other).min(reach(other, one))
}

fn cross(a: Line, b: Line) -> bool {
    let turn = |line: Line, point: Point| (line.p1 - line.p0).cross(point - line.p0);
    turn(a, b.p0) * turn(a, b.p1) < 0.0 && turn(b, a.p0) * turn(b, a.p1) < 0.0
}

/// The stretch of a straight line, as distances from its start, that lies nearer than `reach` to a
/// convex polygon or within it; `None` where all of it keeps off. What is near to something convex
/// is one stretch.
pub(super) fn near_stretch(line: Line, polygon: &[Point], reach: f64) -> Option<(f64, f64)> {
    let length = (line.p1 - line.p0).hypot();
    let along = (line.p1 - line.p0) / length;
    let mut stretch: Option<(f64, f64)> = None;
    let mut take = |from: f64, to: f64| {
        let (from, to) = (from.max(0.0), to.min(length));
        if from <= to {
            stretch = Some(stretch.map_or((from, to), |(a, b)| (a.min(from), b.max(to))));
        }
    };
    for side in sides(polygon) {
        let middle = along.dot(side.p0 - line.p0);
        let off = along.cross(side.p0 - line.p0);
        if off.abs() < reach {
            let half = (reach * reach - off * off).sqrt();
            take(middle - half, middle + half);
        }
        if let Some((from, to)) = beside(line.p0, along, side, reach) {
            take(from, to);
        }
    }
    stretch
}

/// Where a straight from `start` along the unit vector `along` lies in the rectangle `reach` to both
/// sides of a segment.
fn beside(start: Point, along: kurbo::Vec2, side: Line, reach: f64) -> Option<(f64, f64)> {
    let length = (side.p1 - side.p0).hypot();
    if length == 0.0 {
        return None;
    }
    let direction = (side.p1 - side.p0) / length;
    let from = start - side.p0;
    let slabs = [
        (direction.dot(from), direction.dot(along), 0.0, length),
        (direction.cross(from), direction.cross(along), -reach, reach),
    ];
    let mut stretch = (f64::NEG_INFINITY, f64::INFINITY);
    for (at, speed, least, most) in slabs {
        if speed == 0.0 {
            if at < least || at > most {
                return None;
            }
            continue;
        }
        let (one, other) = ((least - at) / speed, (most - at) / speed);
        stretch = (stretch.0.max(one.min(other)), stretch.1.min(one.max(other)));
    }
    (stretch.0 <= stretch.1).then_some(stretch)
}

/// What of `whole` no stretch of `taken` covers, in order.
pub(super) fn left_over(whole: (f64, f64), mut taken: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    taken.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut rest = Vec::new();
    let mut from = whole.0;
    for (start, end) in taken {
        if start > from {
            rest.push((from, start.min(whole.1)));
        }
        from = from.max(end);
        if from >= whole.1 {
            return rest;
        }
    }
    rest.push((from, whole.1));
    rest
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::*;
    use crate::plan::corners;

    #[test]
    fn squares_apart_crossing_and_one_in_the_other_have_their_distances() {
        let square = |x: f64, y: f64, side: f64| corners(Rect::new(x, y, x + side, y + side));
        let unit = square(0.0, 0.0, 10.0);
        for (other, distance) in [
            (square(13.0, 14.0, 5.0), 5.0),
            (square(5.0, 5.0, 10.0), 0.0),
            (square(4.0, 4.0, 2.0), 0.0),
            (square(-20.0, 0.0, 12.0), 8.0),
        ] {
            assert!(
                (between(&unit, &other) - distance).abs() < 1e-9,
                "{other:?}"
            );
            assert!(
                (between(&other, &unit) - distance).abs() < 1e-9,
                "{other:?}"
            );
        }
    }

    #[test]
    fn a_line_past_a_square_is_near_it_as_far_as_its_rounded_surroundings_reach() {
        let square = corners(Rect::new(0.0, 0.0, 10.0, 10.0));
        let line = Line::new((-50.0, 13.0), (50.0, 13.0));
        // 3 mm above the square, reach 5: 4 mm beyond each corner.
        assert_eq!(near_stretch(line, &square, 5.0), Some((46.0, 64.0)));
        assert_eq!(near_stretch(line, &square, 2.0), None);
        assert_eq!(
            near_stretch(Line::new((-50.0, 5.0), (50.0, 5.0)), &square, 1.0),
            Some((49.0, 61.0))
        );
    }

    #[test]
    fn what_is_left_over_of_a_stretch_comes_in_order_and_without_what_was_taken() {
        let taken = vec![(5.0, 6.0), (-1.0, 2.0), (5.5, 7.0), (9.0, 20.0)];
        assert_eq!(left_over((0.0, 10.0), taken), [(2.0, 5.0), (7.0, 9.0)]);
        assert_eq!(left_over((0.0, 10.0), vec![]), [(0.0, 10.0)]);
        assert_eq!(left_over((0.0, 10.0), vec![(0.0, 10.0)]), []);
    }
}
