//! The record for the customer's file: what was laid out, what was measured of it, and whether it holds.
//!
//! One page for every layout. Everything is judged beforehand, in the room `survey`; here it is put into
//! plain words, a picture and two tables. Where there are more marks or readings than a page holds, the
//! worst stay and the rest are counted in words. The page records where marks lie; it never says that a
//! camera is calibrated.
//!
//! Pictures shrink to half first, inches go, then readings and marks. Arrows show displacements
//! against the vehicle where readings tie the grid to it, else within the grid; arrows, circles and
//! ellipses share one round enlargement. Disc, square and ring, bold words and filled arrows carry
//! verdicts, never colour.

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
mod words;

use kurbo::Rect;

pub use self::input::{RecordInput, RecordReading};

use self::{arrange::arrange, foot::foot, head::head};
use crate::{
    drawing::Drawing,
    page::{drawing_space, frame},
    paper::Paper,
    sheets::shared::{Context, Title, title_block},
};

/// Clear space between the frame and what stands in it, mm.
const INSET: f64 = 2.0;
/// Clear space between the foot and the title block, mm.
const ABOVE_TITLE: f64 = 2.0;
/// Clear height between two sections, mm.
const SECTION_GAP: f64 = 3.5;

/// The record on one upright sheet: verdict in words, picture with the displacements enlarged, marks,
/// readings, boxes to tick and to sign, cautions and title block. Made for A4, Letter and larger; lengths in
/// mm, and designed and taped ones in inches to 1/16 below them when the context asks for it and there is
/// room.
#[must_use]
pub fn record(context: &Context<'_>, input: &RecordInput<'_>, paper: &Paper) -> Drawing {
    let mut page = Drawing::new("Record", paper.width, paper.height);
    let space = drawing_space(paper);
    let measured = title_block(context, &title("1:50"), space.width());
    let space_left = Rect::new(
        space.x0 + INSET,
        space.y0 + measured.height + ABOVE_TITLE,
        space.x1 - INSET,
        space.y1 - INSET,
    );
    let head = head(context, input, space_left.width());
    let foot = foot(context, input, space_left.width());
    let (top, bottom) = (
        space_left.y1 - head.height - SECTION_GAP,
        space_left.y0 + foot.height + SECTION_GAP,
    );
    let body = arrange(context, input, space_left.width(), top - bottom);
    head.place(&mut page, space_left.x0, space_left.y1);
    body.place(
        &mut page,
        Rect {
            y0: bottom,
            y1: top,
            ..space_left
        },
    );
    foot.place(&mut page, space_left.x0, space_left.y0 + foot.height);
    let block = title_block(context, &title(&body.scale.text()), space.width());
    block.place(&mut page, space.x0, space.y0 + block.height);
    frame(&mut page, paper);
    page
}

const fn title(scale: &str) -> Title<'_> {
    Title {
        document_type: "record of a floor layout",
        scale,
        sheet: "1/1",
    }
}
