//! The title block: fields after ISO 7200, and what a floor layout needs beside them.

use kurbo::Rect;

use super::{Context, fragment::Fragment, wrap::wrap_to};
use crate::drawing::{Layer, Stroke, Text, Weight, heights, text_width, widths};

/// Height of a row of fields, mm: a name of 1.8 mm over two lines of 1.8 mm, or room for handwriting.
const ROW: f64 = 8.4;
/// Clear space within a field at left and right, mm.
const PADDING: f64 = 1.2;
/// Baseline of a field's name below the field's upper edge, mm.
const NAME_BASELINE: f64 = 2.5;
/// Baseline of a value on one line below the field's upper edge, mm.
const VALUE_BASELINE: f64 = 6.8;
/// Baselines of a value on two lines below the field's upper edge, mm.
const SPLIT_BASELINES: [f64; 2] = [5.2, 7.8];

/// What differs from sheet to sheet.
#[derive(Clone, Debug)]
pub struct Title<'a> {
    /// Document type, e.g. "floor layout overview".
    pub document_type: &'a str,
    /// Scale, e.g. "1:50"; empty where there is none.
    pub scale: &'a str,
    /// Sheet number and count, e.g. "1/1".
    pub sheet: &'a str,
}

struct Field<'a> {
    name: &'a str,
    value: &'a str,
    /// Share of the row's width.
    share: f64,
    /// Largest lettering of the value, mm.
    lettering: f64,
    weight: Weight,
}

const fn field<'a>(name: &'a str, value: &'a str, share: f64) -> Field<'a> {
    Field {
        name,
        value,
        share,
        lettering: heights::TEXT,
        weight: Weight::Regular,
    }
}

const fn strong<'a>(name: &'a str, value: &'a str, share: f64, lettering: f64) -> Field<'a> {
    Field {
        name,
        value,
        share,
        lettering,
        weight: Weight::Bold,
    }
}

/// A title block of `width` mm. Values too long for their field get smaller lettering, then a
/// second line, then an ellipsis; empty ones leave room to write by hand.
#[must_use]
pub fn title_block(context: &Context<'_>, title: &Title<'_>, width: f64) -> Fragment {
    let (plan, record) = (context.plan, context.record);
    let tool = concat!("baystencil ", env!("CARGO_PKG_VERSION"));
    let unit = if context.inches { "mm (in)" } else { "mm" };
    let vehicle = match (&plan.mat, plan.own_letter()) {
        (Some(mat), Some(letter)) => format!("vehicle {letter} of {}", mat.vehicles.len()),
        _ => "vehicle".to_owned(),
    };
    let rows = [
        vec![
            strong("title", &plan.template.name, 68.0, heights::HEADING),
            field("document type", title.document_type, 38.0),
            field("identification (order)", &record.order, 36.0),
            field("date of issue", &record.date, 24.0),
            field("sheet", title.sheet, 14.0),
        ],
        vec![
            strong(&vehicle, &plan.vehicle.name, 68.0, heights::TEXT),
            field("vehicle identification", &record.vehicle_id, 38.0),
            field("legal owner (workshop)", &record.workshop, 50.0),
            strong("scale", title.scale, 12.0, heights::TEXT),
            field("unit", unit, 12.0),
        ],
        vec![
            field(
                "source of the numbers: service information",
                &record.service_information,
                68.0,
            ),
            field("vehicle dimensions from", &plan.vehicle.source, 38.0),
            field("created by (technician)", &record.technician, 37.0),
            field("approved by", "", 37.0),
        ],
        vec![
            field("note", &record.note, 142.0),
            field("made with", tool, 38.0),
        ],
    ];
    let mut piece = Fragment::new(width);
    for row in &rows {
        draw_row(&mut piece, row, width);
    }
    piece
}

fn draw_row(piece: &mut Fragment, row: &[Field<'_>], width: f64) {
    let total: f64 = row.iter().map(|field| field.share).sum();
    let top = -piece.height;
    let mut left = 0.0;
    piece.canvas().line(
        Layer::Labels,
        (0.0, top),
        (width, top),
        Stroke::solid(widths::THIN),
    );
    for (index, field) in row.iter().enumerate() {
        let cell = Rect::new(left, top - ROW, left + width * field.share / total, top);
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
    piece.height += ROW;
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
    let value = field.value.split_whitespace().collect::<Vec<_>>().join(" ");
    let one_line = [field.lettering, heights::TEXT, 2.2]
        .into_iter()
        .find(|&height| {
            height <= field.lettering && text_width(&value, height, field.weight) <= room
        });
    if let Some(height) = one_line {
        canvas.text(weighted(Text::new(
            (x, cell.y1 - VALUE_BASELINE),
            height,
            value,
        )));
        return;
    }
    let lines = wrap_to(
        &value,
        room,
        heights::SMALL,
        field.weight,
        SPLIT_BASELINES.len(),
    );
    if let [line] = lines.as_slice() {
        canvas.text(weighted(Text::new(
            (x, cell.y1 - VALUE_BASELINE),
            heights::SMALL,
            line.clone(),
        )));
        return;
    }
    for (line, below) in lines.into_iter().zip(SPLIT_BASELINES) {
        canvas.text(weighted(Text::new(
            (x, cell.y1 - below),
            heights::SMALL,
            line,
        )));
    }
}
