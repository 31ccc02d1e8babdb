//! Title blocks: rows of named fields.

use kurbo::Rect;

use super::{Fragment, LEADING, wrap_to};
use crate::drawing::{Layer, Stroke, Text, Weight, heights, text_width, widths};

/// Height of a row of fields whose values have one line, mm: a name of 1.8 mm over it, or room for handwriting.
const ROW: f64 = 8.4;
/// Clear space within a field at left and right, mm.
const PADDING: f64 = 1.2;
/// Baseline of a field's name below the field's upper edge, mm.
const NAME_BASELINE: f64 = 2.5;
/// Baseline of a value on one line below the field's upper edge, mm.
const VALUE_BASELINE: f64 = 6.8;
/// What a second line of a value adds to its row, mm.
const SECOND_LINE: f64 = heights::TEXT * LEADING;

/// A field of a title block: its name in small letters, its value below.
pub struct Field<'a> {
    name: &'a str,
    value: &'a str,
    /// Share of the row's width.
    share: f64,
    /// Largest lettering of the value, mm.
    lettering: f64,
    weight: Weight,
}

impl<'a> Field<'a> {
    /// A value in plain lettering; `share` is its part of the row's width.
    #[must_use]
    pub const fn new(name: &'a str, value: &'a str, share: f64) -> Self {
        Self {
            name,
            value,
            share,
            lettering: heights::TEXT,
            weight: Weight::Regular,
        }
    }

    /// The value in bold, `lettering` mm high where it fits.
    #[must_use]
    pub const fn strong(self, lettering: f64) -> Self {
        Self {
            lettering,
            weight: Weight::Bold,
            ..self
        }
    }

    /// The value's lettering and lines in so much room: one line, in the field's lettering or in that of running text, or two of
    /// that.
    fn set(&self, room: f64) -> (f64, Vec<String>) {
        let value = self.value.split_whitespace().collect::<Vec<_>>().join(" ");
        let fits = |height: &f64| text_width(&value, *height, self.weight) <= room;
        match [self.lettering, heights::TEXT].into_iter().find(fits) {
            Some(height) => (height, vec![value]),
            None => (
                heights::TEXT,
                wrap_to(&value, room, heights::TEXT, self.weight, 2),
            ),
        }
    }
}

/// Rows of fields, `width` mm wide. Values too long for their field get smaller lettering, then a
/// second line that makes their row higher, then an ellipsis; empty ones leave room to write by hand.
#[must_use]
pub fn fields(rows: &[Vec<Field<'_>>], width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    for row in rows {
        draw_row(&mut piece, row, width);
    }
    piece
}

fn draw_row(piece: &mut Fragment, row: &[Field<'_>], width: f64) {
    let total: f64 = row.iter().map(|field| field.share).sum();
    let top = -piece.height;
    let mut left = 0.0;
    let room = |field: &Field<'_>| width * field.share / total - 2.0 * PADDING;
    let split = row.iter().any(|field| field.set(room(field)).1.len() > 1);
    let height = if split { ROW + SECOND_LINE } else { ROW };
    piece.canvas().line(
        Layer::Labels,
        (0.0, top),
        (width, top),
        Stroke::solid(widths::THIN),
    );
    for (index, field) in row.iter().enumerate() {
        let cell = Rect::new(left, top - height, left + width * field.share / total, top);
        if index > 0 {
            let stroke = Stroke::solid(widths::FINE);
            piece.canvas().line(
                Layer::Labels,
                (cell.x0, cell.y0),
                (cell.x0, cell.y1),
                stroke,
            );
        }
        draw_field(piece, field, cell);
        left = cell.x1;
    }
    piece.height += height;
}

fn draw_field(piece: &mut Fragment, field: &Field<'_>, cell: Rect) {
    let (x, room) = (cell.x0 + PADDING, cell.width() - 2.0 * PADDING);
    let canvas = piece.canvas();
    let name = wrap_to(field.name, room, heights::SMALL, Weight::Regular, 1).concat();
    canvas.text(Text::new(
        (x, cell.y1 - NAME_BASELINE),
        heights::SMALL,
        name,
    ));
    let weighted = |text: Text| {
        if field.weight == Weight::Bold {
            text.bold()
        } else {
            text
        }
    };
    let (height, lines) = field.set(room);
    for (index, line) in lines.into_iter().enumerate() {
        let below = VALUE_BASELINE + SECOND_LINE * index as f64;
        canvas.text(weighted(Text::new((x, cell.y1 - below), height, line)));
    }
}
