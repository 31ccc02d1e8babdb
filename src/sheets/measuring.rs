//! The measuring sheet: a blank page on which a vehicle's dimensions are written at the vehicle, with the picture that shows where
//! each is taken, and sums that show a slip before the vehicle has left.
//!
//! Blanks are 8 mm high and more, for a pencil on a clipboard. What paper has over goes to the rows, so that a larger page has larger
//! blanks. The page has no frame: what is filled in by hand needs the room.

use kurbo::{Point, Rect};

use crate::{
    drawing::{Drawing, Layer, Stroke, Text, heights, widths},
    page::{Fragment, drawing_space, heading, paragraph},
    paper::Paper,
    words::printed::measuring as words,
};

mod dimension;
mod rows;
mod views;

use rows::{rows, sums};
pub use views::measuring_views;

/// Least paper, mm: the width of A4 and the height of Letter.
const LEAST_PAPER_MM: (f64, f64) = (209.5, 279.0);
/// Clear height between the parts, mm.
const GAP_MM: f64 = 2.0;
/// Clear height between a heading and its rows, mm.
const BELOW_HEADING_MM: f64 = 1.1;
/// Height of the fields at the top, mm.
const FIELD_MM: f64 = 10.0;
/// Clear height below the last baseline for its descenders, mm.
const DESCENT_MM: f64 = 0.9;
/// Most that a row is made higher where the paper has room, mm.
const MOST_AIR_MM: f64 = 4.0;

/// Composes the measuring sheet; `inches` says what is written into its blanks, and what its limits are in.
///
/// # Errors
/// A sentence when the paper is too small for rows that can be written in.
pub fn measuring_sheet(paper: &Paper, inches: bool) -> Result<Drawing, String> {
    let (width, height) = LEAST_PAPER_MM;
    if paper.width < width || paper.height < height {
        return Err(format!(
            "{} is too small for blanks that can be written in; expected at least 210 × 279 mm: take A4, Letter or larger",
            paper.name
        ));
    }
    let space = drawing_space(paper);
    let bare = content(space.width(), inches, 0.0);
    let count = words::ROWS.len() + words::sums(inches).len();
    let air = ((space.height() - bare.height - DESCENT_MM) / count as f64).clamp(0.0, MOST_AIR_MM);
    let mut page = Drawing::new(words::TITLE, paper.width, paper.height);
    content(space.width(), inches, air).place(&mut page, space.x0, space.y1);
    Ok(page)
}

/// All of the page with rows so much higher than they need be, mm.
fn content(width: f64, inches: bool, air: f64) -> Fragment {
    let mut piece = title(width);
    piece.stack(&fields(width), GAP_MM);
    piece.stack(
        &paragraph(&words::before(inches), width, heights::CROWDED),
        GAP_MM,
    );
    piece.stack(&picture(width), GAP_MM);
    piece.stack(&rows(width, inches, air), GAP_MM);
    piece.stack(
        &heading(words::SUMS_HEADING, words::SUMS_REMARK, width),
        GAP_MM,
    );
    piece.stack(&sums(width, inches, air), BELOW_HEADING_MM);
    piece.stack(&paragraph(words::FOOT, width, heights::CROWDED), GAP_MM);
    piece
}

fn title(width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    let text = Text::new((0.0, -heights::TITLE), heights::TITLE, words::TITLE).bold();
    piece.canvas().text(text);
    let tool = concat!("baystencil ", env!("CARGO_PKG_VERSION"));
    let tool = Text::new((width, -heights::TITLE), heights::SMALL, tool).right();
    piece.canvas().text(tool);
    piece.height = heights::TITLE;
    piece
}

/// Boxes for what is said of the vehicle, their names small at the top.
fn fields(width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    piece.height = FIELD_MM;
    let all: f64 = words::FIELDS.iter().map(|(_, share)| share).sum();
    let mut left = 0.0;
    for (name, share) in words::FIELDS {
        let right = left + width * share / all;
        let stroke = Stroke::solid(widths::MEDIUM);
        let field = Rect::new(left, -FIELD_MM, right, 0.0);
        piece
            .canvas()
            .rect(Layer::Labels, field, None, Some(stroke));
        let at = Point::new(left + 1.0, -heights::SMALL - 0.8);
        piece.canvas().text(Text::new(at, heights::SMALL, name));
        left = right;
    }
    piece
}

/// The views in the middle of the width.
fn picture(width: f64) -> Fragment {
    let size = views::PICTURE_MM;
    let inset = (width - size.width) / 2.0;
    let bounds = Rect::new(-inset, 0.0, size.width + inset, size.height);
    Fragment::around(&measuring_views(None), bounds)
}

#[cfg(test)]
mod tests;
