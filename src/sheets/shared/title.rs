//! What the title block of a sheet says: fields after ISO 7200, and what a floor layout needs beside them.

use kurbo::Rect;

use super::Context;
use crate::{
    drawing::{Drawing, heights},
    page::{Field, Fragment, drawing_space, fields, frame},
    paper::Paper,
};

/// Clear space between the frame and what stands in it, mm.
const INSET: f64 = 2.0;

/// An upright sheet with a frame and the title block at its foot.
pub struct TitledSheet<'a> {
    context: &'a Context<'a>,
    paper: &'a Paper,
    /// Document type, e.g. "layout overview".
    document_type: &'a str,
    /// Room for what the sheet shows, mm.
    pub body: Rect,
}

impl<'a> TitledSheet<'a> {
    /// A sheet of a document type with so much clear height above its title block, mm.
    #[must_use]
    pub fn new(
        context: &'a Context<'a>,
        paper: &'a Paper,
        document_type: &'a str,
        above_title: f64,
    ) -> Self {
        let space = drawing_space(paper);
        let title = Title::default();
        let block = title_block(context, document_type, &title, space.width());
        let mut body = space.inset(-INSET);
        body.y0 = space.y0 + block.height + above_title;
        Self {
            context,
            paper,
            document_type,
            body,
        }
    }

    /// Draws frame and title block about what is in the body.
    #[must_use]
    pub fn draw(&self, name: &str, title: &Title<'_>, body: impl FnOnce(&mut Drawing)) -> Drawing {
        let mut page = Drawing::new(name, self.paper.width, self.paper.height);
        // The title first: some readers go by the order of drawing.
        let space = drawing_space(self.paper);
        let block = title_block(self.context, self.document_type, title, space.width());
        block.place(&mut page, space.x0, space.y0 + block.height);
        body(&mut page);
        frame(&mut page, self.paper);
        page
    }
}

/// What differs from sheet to sheet.
#[derive(Clone, Debug, Default)]
pub struct Title<'a> {
    /// Scale, e.g. "1:50"; empty where there is none.
    pub scale: &'a str,
    /// Sheet number and count, e.g. "1/1".
    pub sheet: &'a str,
    /// Unit of the lengths; empty for mm with inches beside them where the job is in inches.
    pub unit: &'a str,
}

/// A title block of `width` mm.
#[must_use]
fn title_block(
    context: &Context<'_>,
    document_type: &str,
    title: &Title<'_>,
    width: f64,
) -> Fragment {
    let (plan, record) = (context.plan, context.record);
    let tool = concat!("baystencil ", env!("CARGO_PKG_VERSION"));
    let unit = match title.unit {
        "" if context.inches => "mm (in)",
        "" => "mm",
        unit => unit,
    };
    let vehicle = match (&plan.mat, plan.own_letter()) {
        (Some(mat), Some(letter)) => format!("vehicle {letter} of {}", mat.vehicles.len()),
        _ => "vehicle".to_owned(),
    };
    let rows = [
        vec![
            Field::new("title", &plan.template.name, 86.0).strong(heights::HEADING),
            Field::new("document type", document_type, 33.0),
            Field::new("identification (order)", &record.order, 26.0),
            Field::new("date of issue", &record.date, 22.0),
            Field::new("sheet", title.sheet, 13.0),
        ],
        vec![
            Field::new(&vehicle, &plan.vehicle.name, 60.0).strong(heights::TEXT),
            Field::new("vehicle identification", &record.vehicle_id, 38.0),
            Field::new("legal owner (workshop)", &record.workshop, 52.0),
            Field::new("scale", title.scale, 13.0).strong(heights::TEXT),
            Field::new("unit", unit, 17.0),
        ],
        vec![
            Field::new(
                "source: service information",
                &record.service_information,
                90.0,
            ),
            Field::new("vehicle dimensions from", &plan.vehicle.source, 90.0),
        ],
        vec![
            Field::new("note", &record.note, 70.0),
            Field::new("created by (technician)", &record.technician, 40.0),
            Field::new("approved by", "", 40.0),
            Field::new("made with", tool, 30.0),
        ],
    ];
    fields(&rows, width)
}
