//! The record for the customer's file: what was laid out, what was measured of it, and whether it holds.
//!
//! One page for every layout. Everything is judged beforehand, in the room `survey`; here it is put into
//! plain words, a picture and two tables. Where there are more marks or readings than a page holds, the
//! worst stay and the rest are counted in words. The page records where marks lie; it never says that a
//! camera is calibrated.
//!
//! Pictures shrink to a third first, then lettering, then readings and marks go. Arrows show displacements
//! against the vehicle where readings tie the grid to it, else within the grid; arrows, circles and
//! ellipses share one round enlargement. Disc, square and ring, bold words and filled arrows carry
//! verdicts, never colour.

mod alone;
mod arrange;
mod enlarge;
mod foot;
mod head;
mod input;
mod picture;
mod symbols;
mod tables;
#[cfg(test)]
mod tests;

use kurbo::Rect;

pub use self::{
    alone::displacements,
    input::{RecordInput, RecordReading},
};

use self::{arrange::arrange, foot::foot, head::head};
use crate::{
    drawing::Drawing,
    paper::Paper,
    sheets::shared::{Context, Title, TitledSheet},
};

/// Clear space between the foot and the title block, mm.
const ABOVE_TITLE: f64 = 2.0;
/// Clear height between two sections, mm.
const SECTION_GAP: f64 = 3.5;

/// The record on one upright sheet: verdict in words, picture with the displacements enlarged, marks,
/// readings, boxes to tick and to sign, cautions and title block. Made for A4, Letter and larger; lengths in
/// mm, or in inches to 1/16 when the context asks for it, what is off then to 1/32 with mm beside it where
/// there is room.
#[must_use]
pub fn record(context: &Context<'_>, input: &RecordInput<'_>, paper: &Paper) -> Drawing {
    let sheet = TitledSheet::new(context, paper, "layout record", ABOVE_TITLE);
    let space = sheet.body;
    let head = head(context, input, space.width());
    let foot = foot(context, input, space.width());
    let middle = Rect {
        y0: space.y0 + foot.height + SECTION_GAP,
        y1: space.y1 - head.height - SECTION_GAP,
        ..space
    };
    let body = arrange(context, input, middle.width(), middle.height());
    let title = Title {
        unit: if context.inches { "in (mm)" } else { "" },
        scale: &body.scale.text(),
        sheet: "1/1",
    };
    sheet.draw("Record", &title, |page| {
        head.place(page, space.x0, space.y1);
        body.place(page, middle);
        foot.place(page, space.x0, space.y0 + foot.height);
    })
}
