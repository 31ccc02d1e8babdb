//! Plans in exercises, front to the right.

use kurbo::{Affine, Line, Point, Rect, Size};

use super::{Reader, squared::squared};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, Weight, heights, widths},
    page::{
        Fragment,
        labels::{FORBIDDEN, NameWish, Named, Room},
        wrap,
    },
    plan::{VehicleOnFloor, Wheel},
    practice::{Figure, FigureScale},
};

/// Clear space about the floor for names, mm: at the sides, and before and behind the vehicle.
const EDGE: f64 = 9.0;
const ENDS: f64 = 18.0;
/// Radius of a mark, mm, and reach of its cross.
const DOT: f64 = 0.9;
const CROSS: f64 = 2.0;
/// Height of names, mm.
const NAME: f64 = heights::TEXT;
/// Room of a name below its baseline and in all, as a part of the height of the capitals, and at its sides, mm.
const DEPTH: f64 = 0.32;
const RISE: f64 = 1.4;
const ASIDE: f64 = 0.3;
/// What it costs a name to run over a line: as much as to stand 8 mm further off.
pub const OVER_LINE: u64 = 200;
/// How far the centreline runs on past the floor that is shown, mm.
const OVERRUN: f64 = 4.0;

/// Draws a figure: to scale as large as that makes it, else `width` mm wide and at most `height` mm high.
pub fn figure(figure: &Figure, reader: Reader, width: f64, height: f64) -> Fragment {
    let mut piece = match figure.scale {
        FigureScale::Fitting => fitting(figure, reader, width, height),
        FigureScale::Squared { n, ruling } => squared(figure, reader, n, ruling),
    };
    for line in wrap(&figure.caption, piece.width, heights::TEXT, Weight::Regular) {
        let baseline = -piece.height - 1.6 * heights::TEXT;
        piece
            .canvas()
            .text(Text::new((0.0, baseline), heights::TEXT, line));
        piece.height = -baseline + 0.6 * heights::TEXT;
    }
    piece
}

/// As large as there is room.
fn fitting(figure: &Figure, reader: Reader, width: f64, height: f64) -> Fragment {
    let extent = figure.extent;
    let front = Text::new((0.0, 0.0), NAME, "FRONT").bold();
    let ends = ENDS.max(front.width() + OVERRUN + 1.5);
    let scale =
        ((width - 2.0 * ends) / extent.width()).min((height - 2.0 * EDGE) / extent.height());
    let height = extent.height() * scale + 2.0 * EDGE;
    let space = Rect::new(0.0, -height, width, 0.0);
    let to_paper = Affine::translate(space.center().to_vec2())
        * Affine::scale(scale)
        * Affine::translate(-extent.center().to_vec2());
    let mut piece = Fragment::new(width);
    piece.height = height;
    let mut view = View {
        to_paper,
        room: Room::default(),
        space,
        reader,
        on_squares: false,
    };
    let canvas = piece.canvas();
    let [rear, nose] = [extent.x0, extent.x1].map(|x| to_paper * Point::new(x, 0.0));
    if space.y0 < rear.y && rear.y < space.y1 {
        let (start, end) = (rear - (OVERRUN, 0.0), nose + (OVERRUN, 0.0));
        canvas.line(Layer::Vehicle, start, end, Stroke::chain(widths::THIN));
        view.room.line(Line::new(start, end), OVER_LINE);
        let words = Text {
            at: end + (1.0, -NAME / 2.0),
            ..front
        };
        view.room
            .block(Rect::from_origin_size(words.at, (words.width(), NAME)));
        canvas.text(words);
    }
    view.vehicle(canvas, figure.vehicle.as_ref());
    view.lines(canvas, figure);
    view.marks(canvas, figure);
    piece
}

/// A figure on its way to paper.
pub struct View {
    /// From the floor to the fragment.
    pub to_paper: Affine,
    /// What names have to keep off.
    pub room: Room,
    /// Where names may stand.
    pub space: Rect,
    /// Who reads it.
    pub reader: Reader,
    /// True where it is to be measured from: outlines stay thin and open, names get a white ground.
    pub on_squares: bool,
}

impl View {
    /// Outline and wheels of the vehicle.
    pub fn vehicle(&mut self, canvas: &mut Drawing, vehicle: Option<&VehicleOnFloor>) {
        let Some(vehicle) = vehicle else { return };
        let body = self.to_paper.transform_rect_bbox(vehicle.body());
        canvas.rect(
            Layer::Vehicle,
            body,
            None,
            Some(Stroke::solid(widths::MEDIUM)),
        );
        self.room.outline(body, OVER_LINE);
        for wheel in &vehicle.wheels {
            self.wheel(canvas, wheel);
        }
    }

    fn wheel(&mut self, canvas: &mut Drawing, wheel: &Wheel) {
        let tyre = self.to_paper.transform_rect_bbox(wheel.footprint());
        let fill = (!self.on_squares).then_some(Tone::PANEL);
        canvas.rect(
            Layer::Vehicle,
            tyre,
            fill,
            Some(Stroke::solid(widths::THIN)),
        );
        self.room.block(tyre);
        if self.on_squares {
            let (at, thin) = (tyre.center(), Stroke::solid(widths::FINE));
            canvas.line(Layer::Vehicle, at - (CROSS, 0.0), at + (CROSS, 0.0), thin);
            canvas.line(Layer::Vehicle, at - (0.0, CROSS), at + (0.0, CROSS), thin);
            self.room
                .block(Rect::from_center_size(at, (2.0 * CROSS, 2.0 * CROSS)));
        }
    }

    /// Tape strips, strings and panels; those of the answer dashed.
    pub fn lines(&mut self, canvas: &mut Drawing, figure: &Figure) {
        let answers: &[[Point; 2]] = if self.reader == Reader::Teacher {
            &figure.answer_lines
        } else {
            &[]
        };
        let given = figure
            .lines
            .iter()
            .map(|line| (line, Stroke::solid(widths::THIN)));
        let panels: &[Vec<Point>] = if self.reader == Reader::Teacher {
            &figure.answer_panels
        } else {
            &[]
        };
        let sides = |panels: &[Vec<Point>]| -> Vec<[Point; 2]> {
            let around = panels.iter().flat_map(|corners| {
                let next = corners.iter().cycle().skip(1);
                corners.iter().zip(next).map(|(from, to)| [*from, *to])
            });
            around.collect()
        };
        let (own, more) = (sides(&figure.panels), sides(panels));
        let given = given.chain(own.iter().map(|line| (line, Stroke::solid(widths::MEDIUM))));
        let dashed = answers.iter().chain(&more);
        let dashed = dashed.map(|line| (line, Stroke::dashed(widths::WIDE)));
        for (line, stroke) in given.chain(dashed) {
            let [from, to] = line.map(|end| self.to_paper * end);
            canvas.line(Layer::Lines, from, to, stroke);
            self.room.line(Line::new(from, to), OVER_LINE);
        }
    }

    /// Marks with their names; the answer's are filled and bold.
    pub fn marks(&mut self, canvas: &mut Drawing, figure: &Figure) {
        let shown = || {
            figure
                .marks
                .iter()
                .filter(|mark| !mark.answer || self.reader == Reader::Teacher)
        };
        let places: Vec<Point> = shown().map(|mark| self.to_paper * mark.at).collect();
        let marks: Vec<_> = shown().cloned().collect();
        for &at in &places {
            self.room
                .block(Rect::from_center_size(at, (2.4 * DOT, 2.4 * DOT)));
        }
        let thin = Stroke::solid(widths::THIN);
        for (mark, &at) in marks.iter().zip(&places) {
            let fill = if mark.answer || !self.on_squares {
                Tone::BLACK
            } else {
                Tone::WHITE
            };
            if self.on_squares {
                canvas.line(Layer::Marks, at - (CROSS, 0.0), at + (CROSS, 0.0), thin);
                canvas.line(Layer::Marks, at - (0.0, CROSS), at + (0.0, CROSS), thin);
            }
            canvas.circle(Layer::Marks, at, DOT, Some(fill), Some(thin));
        }
        for (mark, &at) in marks.iter().zip(&places) {
            let words = if mark.note.is_empty() {
                mark.id.clone()
            } else {
                format!("{}  {}", mark.id, mark.note)
            };
            let weight = if mark.answer || !self.on_squares {
                Weight::Bold
            } else {
                Weight::Regular
            };
            let text = Text {
                weight,
                ..Text::new((0.0, 0.0), NAME, words)
            };
            self.name(canvas, at, text);
        }
    }

    /// Writes a name near its point. Where no place is free it gets the one with the least in its way: a mark without
    /// a name would be no exercise.
    fn name(&mut self, canvas: &mut Drawing, at: Point, text: Text) {
        self.room.bound(self.space, FORBIDDEN);
        let size = Size::new(text.width() + 2.0 * ASIDE, text.height * RISE);
        // A point below the middle is named below, so that names keep off what lies between.
        let below = at.y < self.space.center().y;
        let wish = NameWish {
            below,
            anyway: true,
            ..NameWish::new(at, size)
        };
        let Some(Named { space, leader }) = self.room.name(wish) else {
            return;
        };
        if self.on_squares {
            canvas.rect(Layer::Marks, space, Some(Tone::WHITE), None);
        }
        if let Some(Line { p0, p1 }) = leader {
            canvas.line(Layer::Labels, p0, p1, Stroke::solid(widths::FINE));
        }
        canvas.text(Text {
            at: space.origin() + (ASIDE, DEPTH * text.height),
            ..text
        });
    }
}
