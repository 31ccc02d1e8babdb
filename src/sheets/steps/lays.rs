//! The check that follows the steps: a line for each lay, in the order of walking.

use kurbo::Point;

use crate::{
    drawing::{Text, Weight, heights, text_width},
    page::{Fragment, paragraph, tick_box},
    plan::FloorPlan,
    words::printed::lays,
};

/// Lettering of a line, mm: read by people who kneel.
const LETTERING: f64 = 3.0;
/// Clear height above and below a line, mm.
const PADDING: f64 = 1.6;
/// Side of the box to tick, mm.
const TICK: f64 = 3.0;

/// A line for each lay, those below the body behind a heading of their own.
pub(super) fn lay_rows(plan: &FloorPlan, inches: bool, width: f64) -> Vec<Fragment> {
    let mut rows = Vec::new();
    let mut below = false;
    for lay in &plan.lays {
        if lay.below_body && !below {
            rows.push(heading(lays::BELOW_BODY, width));
        }
        below = lay.below_body;
        rows.push(row(
            &lay.number.to_string(),
            &lays::line(plan, lay, inches),
            width,
        ));
    }
    rows
}

fn heading(words: &str, width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    piece
        .canvas()
        .text(Text::new((0.0, -PADDING - heights::TEXT), heights::TEXT, words).bold());
    piece.height = heights::TEXT + PADDING;
    piece.stack(&paragraph(lays::HOW_BELOW, width, LETTERING), PADDING);
    piece.height += PADDING;
    piece
}

fn row(number: &str, words: &str, width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    let first = -PADDING - LETTERING;
    tick_box(piece.canvas(), Point::new(0.0, first), TICK);
    let left = TICK * 1.15 + 2.0;
    piece
        .canvas()
        .text(Text::new((left, first), LETTERING, number).bold());
    let left = left + text_width("000", LETTERING, Weight::Bold) + 1.5;
    let text = paragraph(words, width - left, LETTERING);
    text.place(piece.canvas(), left, -PADDING);
    piece.height = text.height + 2.0 * PADDING;
    piece
}
