//! One dark disc.

use std::f64::consts::TAU;

use kurbo::{Point, Vec2};

use super::{Field, PanelKind, PanelShape};

/// Corners of the polygon that stands for a disc. A 24-sided wheel would show; with 180 corners a
/// 1 m disc strays less than 0.08 mm from the circle.
const CORNERS: usize = 180;

pub(super) const DISC: PanelKind = PanelKind {
    word: "disc",
    cells: &[],
    lengths: &["diameter"],
    contradiction: |_| None,
    fields: |shape| vec![Field::dark(outline(shape))],
    convex_parts: |shape| vec![outline(shape)],
    radius: |shape| Some(radius(shape)),
};

fn radius(shape: &PanelShape) -> f64 {
    shape.lengths[0] / 2.0
}

fn outline(shape: &PanelShape) -> Vec<Point> {
    (0..CORNERS)
        .map(|i| Point::ZERO + Vec2::from_angle(TAU * i as f64 / CORNERS as f64) * radius(shape))
        .collect()
}
