//! Rows to write in: the dimensions with how each is taken, and the sums.

use kurbo::{Point, Rect};

use super::dimension::{CIRCLE_MM, number};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, widths},
    page::{Fragment, LEADING, tick_box, wrap},
    words::printed::measuring::{
        Blank, MeasuredRow, MeasuredSum, ROWS, SIDES, SOURCES, sums as all_sums,
    },
};

/// Height of a blank, mm: a number in pencil.
pub const BLANK_MM: f64 = 8.0;
/// Clear height within a row, above and below what stands in it, mm.
const PADDING_MM: f64 = 0.7;
/// Height of the small words over a blank, mm, their clearance included.
const CAPTION_MM: f64 = heights::SMALL + 0.9;
/// Widths of the parts of a row, mm: its number; one blank alone; several side by side; where the number is from. How it is taken has
/// the rest.
const NUMBER_MM: f64 = 8.0;
const ONE_MM: f64 = 44.0;
const SEVERAL_MM: f64 = 66.0;
const FROM_MM: f64 = 23.0;
/// Clear width between parts, mm.
const GUTTER_MM: f64 = 2.0;
/// Width that a sign between two blanks takes, mm.
const SIGN_MM: f64 = 4.0;
/// Width of the boxes for the badge's side, mm.
const SIDE_MM: f64 = 17.0;
/// Widths of the parts of a sum, mm: its name, and what must hold.
const NAME_MM: f64 = 19.0;
const HOLDS_MM: f64 = 38.0;
/// Widest blank of a sum, mm.
const WIDEST_MM: f64 = 30.0;
/// Most blanks of a sum.
const MOST_BLANKS: usize = 5;

/// The dimensions, each row `air` mm higher than it need be.
pub fn rows(width: f64, inches: bool, air: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    for row in &ROWS {
        piece.stack(&dimension(row, width, inches, air), 0.0);
    }
    rule(piece.height, width, piece.canvas());
    piece
}

/// The sums, in the same way.
pub fn sums(width: f64, inches: bool, air: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    for row in &all_sums(inches) {
        piece.stack(&sum(row, width, inches, air), 0.0);
    }
    rule(piece.height, width, piece.canvas());
    piece
}

/// A line across at a depth.
fn rule(depth: f64, width: f64, page: &mut Drawing) {
    let stroke = Stroke::solid(widths::FINE);
    page.line(Layer::Labels, (0.0, -depth), (width, -depth), stroke);
}

fn dimension(row: &MeasuredRow, width: f64, inches: bool, air: f64) -> Fragment {
    let blanks = match row.blanks {
        [_] => ONE_MM,
        _ => SEVERAL_MM,
    };
    let side = if row.side { SIDE_MM } else { 0.0 };
    let right = width - FROM_MM - GUTTER_MM - side;
    let left = right - blanks;
    let how = left - GUTTER_MM - NUMBER_MM;
    let lines = wrap(row.how, how, heights::CROWDED, Weight::Regular);
    let pitch = heights::CROWDED * LEADING;
    let words = heights::TEXT + pitch * lines.len() as f64;
    let captioned = row.blanks.iter().any(|blank| !blank.caption.is_empty());
    let high = BLANK_MM + if captioned { CAPTION_MM } else { 0.0 };
    let mut piece = Fragment::new(width);
    piece.height = words.max(high) + 2.0 * PADDING_MM + air;
    let (top, depth) = (-(piece.height - words) / 2.0, piece.height);
    let canvas = piece.canvas();
    rule(0.0, width, canvas);
    number(
        canvas,
        Point::new(CIRCLE_MM + 0.3, -depth / 2.0),
        row.number,
        false,
    );
    let mut line = top - heights::TEXT;
    canvas.text(Text::new((NUMBER_MM, line), heights::TEXT, row.name).bold());
    for text in lines {
        line -= pitch;
        canvas.text(Text::new((NUMBER_MM, line), heights::CROWDED, text));
    }
    if row.side {
        ticks(canvas, right + GUTTER_MM, depth, &SIDES);
    }
    let place = Rect::new(left, PADDING_MM - depth, right, -PADDING_MM);
    write_in(canvas, place, row.blanks, inches);
    ticks(canvas, width - FROM_MM, depth, &SOURCES);
    piece
}

/// Boxes to tick, one below the other about the middle of a row.
fn ticks(canvas: &mut Drawing, left: f64, depth: f64, names: &[&str]) {
    let pitch = heights::CROWDED * 1.9;
    let high = -depth / 2.0 + pitch * (names.len() as f64 - 1.0) / 2.0 - heights::CROWDED / 2.0;
    for (index, name) in names.iter().enumerate() {
        let at = Point::new(left, high - pitch * index as f64);
        tick_box(canvas, at, heights::CROWDED);
        let at = (left + 1.9 * heights::CROWDED, at.y);
        canvas.text(Text::new(at, heights::CROWDED, *name));
    }
}

/// Blanks side by side over the whole of a place, with their signs before them and their captions above.
fn write_in(canvas: &mut Drawing, place: Rect, blanks: &[Blank], inches: bool) {
    let captioned = blanks.iter().any(|blank| !blank.caption.is_empty());
    let top = place.y1 - if captioned { CAPTION_MM } else { 0.0 };
    let shares: f64 = blanks.iter().map(|blank| blank.share).sum();
    let room = place.width() - SIGN_MM * (blanks.len() as f64 - 1.0);
    let mut left = place.x0;
    for (index, blank) in blanks.iter().enumerate() {
        if index > 0 {
            let at = (
                left + SIGN_MM / 2.0,
                f64::midpoint(place.y0, top) - heights::TEXT / 2.0,
            );
            canvas.text(Text::new(at, heights::HEADING, blank.sign).centred());
            left += SIGN_MM;
        }
        let right = left + room * blank.share / shares;
        let frame = Rect::new(left, place.y0, right, top);
        canvas.rect(
            Layer::Labels,
            frame,
            None,
            Some(Stroke::solid(widths::MEDIUM)),
        );
        canvas.text(Text::new((left, top + 0.7), heights::SMALL, blank.caption));
        if blank.length {
            let unit = if inches { "in" } else { "mm" };
            let at = (right - 0.8, place.y0 + 0.9);
            let text = Text::new(at, heights::SMALL, unit).right();
            canvas.text(text.toned(Tone::QUIET));
        }
        left = right;
    }
}

fn sum(row: &MeasuredSum, width: f64, inches: bool, air: f64) -> Fragment {
    let pitch = heights::CROWDED * LEADING;
    let indent = 1.9 * heights::CROWDED;
    let holds = wrap(
        &row.holds,
        HOLDS_MM - indent,
        heights::CROWDED,
        Weight::Regular,
    );
    let name = wrap(row.name, NAME_MM, heights::CROWDED, Weight::Bold);
    let tall = |lines: usize| heights::CROWDED + pitch * (lines as f64 - 1.0);
    let words = tall(holds.len()).max(tall(name.len()));
    let mut piece = Fragment::new(width);
    piece.height = words.max(BLANK_MM + CAPTION_MM) + 2.0 * PADDING_MM + air;
    let depth = piece.height;
    let canvas = piece.canvas();
    rule(0.0, width, canvas);
    number(
        canvas,
        Point::new(CIRCLE_MM + 0.3, -depth / 2.0),
        row.letter,
        false,
    );
    let mut lines = |lines: Vec<String>, left: f64, bold: bool| {
        let mut at = -(depth - tall(lines.len())) / 2.0 - heights::CROWDED;
        for line in lines {
            let text = Text::new((left, at), heights::CROWDED, line);
            canvas.text(if bold { text.bold() } else { text });
            at -= pitch;
        }
    };
    let box_at = -(depth - tall(holds.len())) / 2.0 - heights::CROWDED;
    lines(name, NUMBER_MM, true);
    lines(holds, width - HOLDS_MM + indent, false);
    tick_box(
        canvas,
        Point::new(width - HOLDS_MM, box_at),
        heights::CROWDED,
    );
    let left = NUMBER_MM + NAME_MM;
    let whole = width - HOLDS_MM - GUTTER_MM - left;
    let count = row.blanks.len() as f64;
    let widest = count * WIDEST_MM.min(whole / MOST_BLANKS as f64 * 1.2) + (count - 1.0) * SIGN_MM;
    let right = left + whole.min(widest);
    let place = Rect::new(left, PADDING_MM - depth, right, -PADDING_MM);
    write_in(canvas, place, &row.blanks, inches);
    piece
}
