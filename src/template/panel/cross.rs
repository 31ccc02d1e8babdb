//! A dark upright cross.

use kurbo::Point;

use super::{Field, PanelKind, PanelShape, kind::rectangle};

/// Lengths: from tip to tip, and the width of the arms.
pub(super) const CROSS: PanelKind = PanelKind {
    word: "cross",
    cells: &[],
    lengths: &["span", "arm"],
    contradiction: |shape| {
        let [span, arm] = lengths(shape);
        (arm >= span).then_some([1, 0])
    },
    fields: |shape| vec![Field::dark(outline(shape))],
    convex_parts: |shape| {
        let [span, arm] = lengths(shape);
        vec![
            rectangle(Point::ZERO, span, arm),
            rectangle(Point::ZERO, arm, span),
        ]
    },
    radius: |_| None,
};

fn lengths(shape: &PanelShape) -> [f64; 2] {
    [shape.lengths[0], shape.lengths[1]]
}

fn outline(shape: &PanelShape) -> Vec<Point> {
    let [tip, half] = lengths(shape).map(|length| length / 2.0);
    let corners = [
        (tip, -half),
        (tip, half),
        (half, half),
        (half, tip),
        (-half, tip),
        (-half, half),
        (-tip, half),
        (-tip, -half),
        (-half, -half),
        (-half, -tip),
        (half, -tip),
        (half, -half),
    ];
    corners.into_iter().map(Point::from).collect()
}
