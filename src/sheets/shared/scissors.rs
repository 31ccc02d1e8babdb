//! The sign for a line to cut along.

use kurbo::{Point, Size, Vec2};

use crate::drawing::{Drawing, Layer, Stroke, widths};

/// Length and width in mm of the sign.
pub const SCISSORS_MM: Size = Size::new(9.0, 5.0);

/// Radius in mm of a handle's ring.
const RING_MM: f64 = 1.1;

/// Draws open scissors about `middle` that point along the unit vector `along`.
pub fn scissors(drawing: &mut Drawing, middle: Point, along: Vec2) {
    let across = Vec2::new(-along.y, along.x);
    let at = |ahead: f64, aside: f64| middle + along * ahead + across * aside;
    let ring = SCISSORS_MM.height / 2.0 - RING_MM;
    let back = SCISSORS_MM.width / 2.0 - RING_MM;
    for side in [1.0, -1.0] {
        let handle = at(-back, side * ring);
        let tip = at(SCISSORS_MM.width / 2.0, -side * ring);
        let start = handle + (tip - handle).normalize() * RING_MM;
        drawing.line(Layer::Labels, start, tip, Stroke::solid(widths::MEDIUM));
        drawing.circle(
            Layer::Labels,
            handle,
            RING_MM,
            None,
            Some(Stroke::solid(widths::MEDIUM)),
        );
    }
}
