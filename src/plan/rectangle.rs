//! Rectangles as polygons, and polygons as rectangles.

use kurbo::{Point, Rect};

/// The corners of a rectangle, counter-clockwise from the smallest coordinates.
#[must_use]
pub fn corners(rect: Rect) -> [Point; 4] {
    [
        (rect.x0, rect.y0),
        (rect.x1, rect.y0),
        (rect.x1, rect.y1),
        (rect.x0, rect.y1),
    ]
    .map(Point::from)
}

/// The smallest rectangle about points; about the origin when there are none.
#[must_use]
pub fn bounds(points: &[Point]) -> Rect {
    let first = points.first().copied().unwrap_or(Point::ZERO);
    points
        .iter()
        .fold(Rect::from_points(first, first), |rect, point| {
            rect.union_pt(*point)
        })
}
