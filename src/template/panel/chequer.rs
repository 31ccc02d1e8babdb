//! A chequered field of square cells, its rear right cell dark.

use kurbo::{Point, Vec2};

use super::{Field, PanelKind, PanelShape, kind::rectangle};

pub(super) const CHEQUER: PanelKind = PanelKind {
    word: "chequer",
    cells: &["along", "across"],
    lengths: &["cell"],
    contradiction: |_| None,
    fields,
    convex_parts: |shape| {
        let [along, across] = cells(shape).map(|count| count as f64 * shape.lengths[0]);
        vec![rectangle(Point::ZERO, along, across)]
    },
    radius: |_| None,
};

fn cells(shape: &PanelShape) -> [usize; 2] {
    [shape.cells[0], shape.cells[1]]
}

fn fields(shape: &PanelShape) -> Vec<Field> {
    let (cells, cell) = (cells(shape), shape.lengths[0]);
    let [x, y] = cells.map(|count| -(count as f64 - 1.0) * cell / 2.0);
    let start = Point::new(x, y);
    (0..cells[0])
        .flat_map(|i| (0..cells[1]).map(move |j| (i, j)))
        .map(|(i, j)| Field {
            outline: rectangle(start + Vec2::new(i as f64, j as f64) * cell, cell, cell),
            dark: (i + j) % 2 == 0,
        })
        .collect()
}
