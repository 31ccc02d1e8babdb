//! One dark square.

use kurbo::Point;

use super::{Field, PanelKind, PanelShape, kind::rectangle};

pub(super) const SQUARE: PanelKind = PanelKind {
    word: "square",
    cells: &[],
    lengths: &["side"],
    contradiction: |_| None,
    fields: |shape| vec![Field::dark(outline(shape))],
    convex_parts: |shape| vec![outline(shape)],
    radius: |_| None,
};

fn outline(shape: &PanelShape) -> Vec<Point> {
    let side = shape.lengths[0];
    rectangle(Point::ZERO, side, side)
}
