//! Figures to scale on squared paper, to be drawn in and measured from.

use kurbo::{Affine, Line, Point, Rect, Vec2};

use super::{
    Reader,
    figure::{OVER_LINE, View},
};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, heights, widths},
    page::{Fragment, labels::Room},
    practice::{Figure, Ruling},
    units::MM_PER_INCH,
};

/// Squared paper of a ruling.
struct Squares {
    /// Side of a square, mm.
    side: f64,
    /// It in words.
    name: &'static str,
    /// How many make a darker line.
    darker: i64,
    /// The scale bar is the longest of these that stays within `LONGEST_BAR` on paper: mm of floor, with its words.
    bars: [(f64, &'static str); 4],
}

/// Squares of 5 mm, darker at every 50.
const METRIC: Squares = Squares {
    side: 5.0,
    name: "5 mm",
    darker: 10,
    bars: [
        (2000.0, "2000 mm"),
        (1000.0, "1000 mm"),
        (500.0, "500 mm"),
        (200.0, "200 mm"),
    ],
};

/// Squares of 1/4 in, darker at every inch.
const INCHES: Squares = Squares {
    side: 0.25 * MM_PER_INCH,
    name: "1/4 in",
    darker: 4,
    bars: [
        (72.0 * MM_PER_INCH, "6 ft"),
        (48.0 * MM_PER_INCH, "4 ft"),
        (24.0 * MM_PER_INCH, "2 ft"),
        (12.0 * MM_PER_INCH, "1 ft"),
    ],
};

/// Greys of the squares' lines: they survive a copy and still let a pencil line be seen.
const PALE: Tone = Tone(0.75);
/// Rounding allowed when squares are counted, as a part of one.
const ROUNDING: f64 = 1e-6;
/// Clear space between a name and the edge of the squares, mm.
const EDGE: f64 = 1.0;
/// Height below the squares for the scale bar, mm.
const BAR_ROOM: f64 = 8.0;
/// The scale bar is no longer than this on paper, mm.
const LONGEST_BAR: f64 = 50.0;

/// Draws a figure exactly at 1:`scale`; the floor's origin lies on a crossing of darker lines. Its size is what its
/// scale makes it, so generators keep within [`FIGURE_ROOM`](crate::practice::FIGURE_ROOM).
pub fn squared(figure: &Figure, reader: Reader, scale: u32, ruling: Ruling) -> Fragment {
    let squared = match ruling {
        Ruling::Metric => &METRIC,
        Ruling::Inches => &INCHES,
    };
    let side = squared.side;
    let scale = f64::from(scale.max(1));
    let squares = |mm: f64| mm / scale / side;
    let (left, right) = (
        (squares(figure.extent.x0) + ROUNDING).floor() as i64,
        (squares(figure.extent.x1) - ROUNDING).ceil() as i64,
    );
    let (low, high) = (
        (squares(figure.extent.y0) + ROUNDING).floor() as i64,
        (squares(figure.extent.y1) - ROUNDING).ceil() as i64,
    );
    let width = (right - left) as f64 * side;
    let height = (high - low) as f64 * side;
    let origin = Vec2::new(-(left as f64) * side, -(high as f64) * side);
    let field = Rect::new(0.0, -height, width, 0.0);
    let mut piece = Fragment::new(width);
    piece.height = height;
    let canvas = piece.canvas();
    paper(canvas, squared, (left..=right, low..=high), origin);
    let to_paper = Affine::translate(origin) * Affine::scale(1.0 / scale);
    let mut view = View {
        to_paper,
        room: Room::default(),
        space: field.inflate(-EDGE, -EDGE),
        reader,
        on_squares: true,
    };
    let middle = origin.y;
    if field.y0 < middle && middle < field.y1 {
        let line = Line::new((field.x0, middle), (field.x1, middle));
        canvas.line(
            Layer::Vehicle,
            line.p0,
            line.p1,
            Stroke::chain(widths::THIN),
        );
        view.room.line(line, OVER_LINE);
    }
    view.vehicle(canvas, figure.vehicle.as_ref());
    view.lines(canvas, figure);
    if let Some(vehicle) = &figure.vehicle {
        front(canvas, &mut view, vehicle.front_x);
    }
    view.marks(canvas, figure);
    bar(&mut piece, squared, scale);
    piece
}

/// The squares; numbers are those of the lines, counted from the floor's origin.
fn paper(
    canvas: &mut Drawing,
    squared: &Squares,
    (columns, rows): (std::ops::RangeInclusive<i64>, std::ops::RangeInclusive<i64>),
    origin: Vec2,
) {
    let at = |column: i64, row: i64| {
        Point::new(
            origin.x + column as f64 * squared.side,
            origin.y + row as f64 * squared.side,
        )
    };
    let stroke = |dark: bool| {
        if dark {
            Stroke::solid(widths::THIN).toned(Tone::QUIET)
        } else {
            Stroke::solid(widths::FINE).toned(PALE)
        }
    };
    // The darker ones last, so that no pale line runs over them.
    for dark in [false, true] {
        let of_this_kind = |line: &i64| (line.rem_euclid(squared.darker) == 0) == dark;
        for column in columns.clone().filter(of_this_kind) {
            canvas.line(
                Layer::Panels,
                at(column, *rows.start()),
                at(column, *rows.end()),
                stroke(dark),
            );
        }
        for row in rows.clone().filter(of_this_kind) {
            canvas.line(
                Layer::Panels,
                at(*columns.start(), row),
                at(*columns.end(), row),
                stroke(dark),
            );
        }
    }
}

/// Says which end is the front, within the body.
fn front(canvas: &mut Drawing, view: &mut View, front_x: f64) {
    let nose = view.to_paper * Point::new(front_x, 0.0);
    let words = Text::new((nose.x - 1.5, nose.y + 1.2), heights::TEXT, "FRONT")
        .bold()
        .right();
    let ground = Rect::new(
        words.at.x - words.width() - 0.4,
        words.at.y - 0.4,
        words.at.x + 0.4,
        words.at.y + heights::TEXT + 0.4,
    );
    canvas.rect(Layer::Vehicle, ground, Some(Tone::WHITE), None);
    view.room.block(ground);
    canvas.text(words);
}

/// The scale bar and the words that go with it, below the squares.
fn bar(piece: &mut Fragment, squared: &Squares, scale: f64) {
    let bars = squared.bars;
    let fits = bars
        .into_iter()
        .find(|(floor, _)| floor / scale <= LONGEST_BAR);
    let (floor, floor_words) = fits.unwrap_or(bars[bars.len() - 1]);
    let (length, top) = (floor / scale, -piece.height - 3.0);
    let canvas = piece.canvas();
    let stroke = Stroke::solid(widths::MEDIUM);
    canvas.line(Layer::Labels, (0.0, top), (length, top), stroke);
    for x in [0.0, length / 2.0, length] {
        canvas.line(Layer::Labels, (x, top - 1.2), (x, top + 1.2), stroke);
    }
    let words = format!(
        "= {floor_words} on the floor · 1:{scale:.0}, print at 100 % · squares of {}",
        squared.name
    );
    let words = Text::new(
        (length + 2.5, top - heights::TEXT / 2.0),
        heights::TEXT,
        words,
    );
    let right = words.at.x + words.width();
    canvas.text(words);
    // Few squares are narrower than the words below them: the figure is then as wide as these, and stays in the frame.
    piece.width = piece.width.max(right);
    piece.height += BAR_ROOM - 2.0;
}
