//! The frame of a drawing sheet.

use kurbo::Rect;

use crate::{
    drawing::{Drawing, Layer, Stroke, widths},
    paper::Paper,
};

/// Left border, mm: room for the file (ISO 5457:1999, read in a secondary copy).
const FILING_BORDER: f64 = 20.0;
/// The other borders, mm (same source).
const BORDER: f64 = 10.0;
/// How far a centring mark reaches outward from the frame, mm: to where the reference border would
/// be. The standard's marks reach inward as well (from memory); here the drawing space is kept for
/// what has to be read.
const CENTRING_MARK: f64 = 5.0;

/// The drawing space within the frame of a sheet, mm.
#[must_use]
pub fn drawing_space(paper: &Paper) -> Rect {
    Rect::new(
        FILING_BORDER,
        BORDER,
        paper.width - BORDER,
        paper.height - BORDER,
    )
}

/// Draws the frame and its centring marks, which lie on the symmetry axes of the sheet.
pub fn frame(page: &mut Drawing, paper: &Paper) {
    let space = drawing_space(paper);
    let stroke = Stroke::solid(widths::FRAME);
    page.rect(Layer::Labels, space, None, Some(stroke));
    let (x, y) = (paper.width / 2.0, paper.height / 2.0);
    page.line(
        Layer::Labels,
        (x, space.y1),
        (x, space.y1 + CENTRING_MARK),
        stroke,
    );
    page.line(
        Layer::Labels,
        (x, space.y0),
        (x, space.y0 - CENTRING_MARK),
        stroke,
    );
    page.line(
        Layer::Labels,
        (space.x0, y),
        (space.x0 - CENTRING_MARK, y),
        stroke,
    );
    page.line(
        Layer::Labels,
        (space.x1, y),
        (space.x1 + CENTRING_MARK, y),
        stroke,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_a4_sheet_leaves_180_by_277_to_draw_on() {
        // 210 − 20 − 10 and 297 − 10 − 10, borders of ISO 5457.
        let space = drawing_space(&Paper {
            name: "A4".into(),
            width: 210.0,
            height: 297.0,
        });
        assert_eq!((space.width(), space.height()), (180.0, 277.0));
    }
}
