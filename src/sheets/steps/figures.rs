//! Small pictures of what recurs in the steps: plumbing the middle, a right angle, strings past the wheels, a wheel centre
//! carried to its string. They show how, not how far: nothing in them is to scale.

use kurbo::{Point, Rect, Vec2};

use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Tone, heights, widths},
    page::{Fragment, paragraph},
    survey::{Instruction, Step},
    words::printed::figures as said,
};

/// Size of a picture, and clear width between two, mm.
const SIZE: (f64, f64) = (40.0, 21.0);
const GAP: f64 = 4.0;
/// Height of names in a picture, mm.
const NAME: f64 = heights::TEXT;
/// Radius of a point, mm.
const DOT: f64 = 0.6;

/// A kind of picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Middle,
    RightAngle,
    Strings,
    Wheels,
}

/// The pictures that belong to steps, side by side with their captions; nothing where no step has one.
#[must_use]
pub fn figures(steps: &[Step], width: f64) -> Option<Fragment> {
    let mut shown: Vec<(Kind, Vec<usize>)> = Vec::new();
    let mut wheel = ["", ""];
    for step in steps {
        if let Instruction::CarryWheels { wheels, starts, .. } = &step.instruction {
            wheel = [wheels[0].as_str(), starts[0].as_str()];
        }
        let Some(kind) = kind(&step.instruction) else {
            continue;
        };
        match shown.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, numbers)) => numbers.push(step.number),
            None => shown.push((kind, vec![step.number])),
        }
    }
    if shown.is_empty() {
        return None;
    }
    let pitch = (width + GAP) / 4.0;
    let mut piece = Fragment::new(width);
    for (place, (kind, numbers)) in shown.into_iter().enumerate() {
        let left = pitch * place as f64;
        let room = pitch - GAP;
        let mut one = Fragment::new(room);
        one.height = SIZE.1;
        let corner = Point::new((room - SIZE.0).max(0.0) / 2.0, -SIZE.1);
        draw(one.canvas(), corner, kind, wheel);
        one.stack(
            &paragraph(&said::caption(&numbers, words(kind)), room, heights::TEXT),
            1.0,
        );
        one.place(piece.canvas(), left, 0.0);
        piece.height = piece.height.max(one.height);
    }
    Some(piece)
}

const fn kind(instruction: &Instruction) -> Option<Kind> {
    match instruction {
        Instruction::PlumbMiddles { .. } => Some(Kind::Middle),
        Instruction::SquareOff { .. } | Instruction::SquareOut { .. } => Some(Kind::RightAngle),
        Instruction::Strings { .. } => Some(Kind::Strings),
        Instruction::CarryWheels { .. } => Some(Kind::Wheels),
        _ => None,
    }
}

const fn words(kind: Kind) -> &'static str {
    match kind {
        Kind::Middle => said::MIDDLE,
        Kind::RightAngle => said::RIGHT_ANGLE,
        Kind::Strings => said::STRINGS,
        Kind::Wheels => said::WHEELS,
    }
}

fn draw(canvas: &mut Drawing, corner: Point, kind: Kind, wheel: [&str; 2]) {
    let mut pen = Pen { canvas, corner };
    match kind {
        Kind::Middle => middle(&mut pen),
        Kind::RightAngle => right_angle(&mut pen),
        Kind::Strings => strings(&mut pen),
        Kind::Wheels => wheels(&mut pen, wheel),
    }
}

/// Draws from a picture's lower left corner.
struct Pen<'c> {
    canvas: &'c mut Drawing,
    corner: Point,
}

impl Pen<'_> {
    fn at(&self, (x, y): (f64, f64)) -> Point {
        self.corner + Vec2::new(x, y)
    }

    fn line(&mut self, from: (f64, f64), to: (f64, f64), stroke: Stroke) {
        let (from, to) = (self.at(from), self.at(to));
        self.canvas.line(Layer::Labels, from, to, stroke);
    }

    fn rect(&mut self, rect: (f64, f64, f64, f64), fill: Option<Tone>) {
        let (x0, y0, x1, y1) = rect;
        let rect = Rect::from_points(self.at((x0, y0)), self.at((x1, y1)));
        let stroke = Stroke::solid(widths::THIN);
        self.canvas.rect(Layer::Vehicle, rect, fill, Some(stroke));
    }

    fn dot(&mut self, at: (f64, f64)) {
        let at = self.at(at);
        self.canvas
            .circle(Layer::Marks, at, DOT, Some(Tone::BLACK), None);
    }

    /// Words with the left end of their baseline at a place.
    fn text(&mut self, at: (f64, f64), words: &str) {
        let at = self.at(at);
        self.canvas.text(Text::new((at.x, at.y), NAME, words));
    }
}

/// From ahead: a body on its wheels, two equal points, the bob half-way between them.
fn middle(pen: &mut Pen<'_>) {
    let (thin, quiet) = (Stroke::solid(widths::THIN), Stroke::solid(widths::FINE));
    pen.line((0.0, 0.5), (40.0, 0.5), thin);
    pen.rect((8.0, 5.0, 32.0, 17.0), None);
    pen.rect((9.0, 0.5, 13.0, 6.5), Some(Tone::QUIET));
    pen.rect((27.0, 0.5, 31.0, 6.5), Some(Tone::QUIET));
    for x in [11.0, 29.0] {
        pen.dot((x, 12.0));
        pen.line((x, 13.2), (x, 19.5), quiet);
    }
    // Half and half, with equal signs.
    pen.line((11.0, 18.5), (29.0, 18.5), quiet);
    pen.line((20.0, 19.5), (20.0, 3.0), thin);
    for x in [15.2, 24.2] {
        pen.line((x, 19.3), (x + 0.6, 17.7), thin);
        pen.line((x + 0.7, 19.3), (x + 1.3, 17.7), thin);
    }
    let bob = [(19.0, 3.4), (21.0, 3.4), (20.0, 0.8)].map(|at| pen.at(at));
    pen.canvas
        .polygon(Layer::Marks, &bob, Some(Tone::BLACK), None);
}

/// From above: the bumper, the line, and a triangle ahead of it.
fn right_angle(pen: &mut Pen<'_>) {
    let (thin, medium) = (Stroke::solid(widths::THIN), Stroke::solid(widths::MEDIUM));
    pen.rect((0.0, -0.5, 9.0, 11.0), None);
    pen.line((9.5, 3.0), (40.0, 3.0), Stroke::chain(widths::FINE));
    pen.line((17.0, 3.0), (28.5, 3.0), medium);
    pen.line((17.0, 3.0), (17.0, 18.3), medium);
    pen.line((28.5, 3.0), (17.0, 18.3), thin);
    pen.line((17.0, 4.6), (18.6, 4.6), thin);
    pen.line((18.6, 4.6), (18.6, 3.0), thin);
    pen.dot((17.0, 3.0));
    pen.text((22.0, -0.3), "3");
    pen.text((14.2, 9.5), "4");
    pen.text((24.2, 10.5), "5");
    pen.text((32.5, 4.2), said::LINE);
}

/// From above, front to the right: the body, its wheels, the line and a string on each side.
fn strings(pen: &mut Pen<'_>) {
    let medium = Stroke::solid(widths::MEDIUM);
    pen.rect((5.0, 5.0, 30.0, 16.0), None);
    for (x, y) in [(8.0, 5.2), (8.0, 13.8), (22.0, 5.2), (22.0, 13.8)] {
        pen.rect((x, y, x + 5.0, y + 2.0), Some(Tone::QUIET));
    }
    pen.line((0.0, 10.5), (5.0, 10.5), Stroke::chain(widths::FINE));
    pen.line((30.0, 10.5), (38.0, 10.5), Stroke::chain(widths::FINE));
    for (y, names) in [(18.5, ["h2", "h1"]), (2.5, ["h4", "h3"])] {
        pen.line((2.0, y), (36.0, y), medium);
        pen.dot((2.0, y));
        pen.dot((36.0, y));
        let beside = if y > 10.0 { y - 3.6 } else { y + 1.2 };
        pen.text((0.0, beside), names[0]);
        pen.text((34.4, beside), names[1]);
    }
    for x in [2.0, 36.0] {
        pen.line((x, 14.2), (x, 6.8), Stroke::dashed(widths::FINE));
    }
}

/// From above: a wheel below the body's edge, its plumbed centre, and the way square to the string.
fn wheels(pen: &mut Pen<'_>, [plumbed, carried]: [&str; 2]) {
    let (thin, medium) = (Stroke::solid(widths::THIN), Stroke::solid(widths::MEDIUM));
    pen.rect((0.0, -0.5, 38.0, 6.0), None);
    pen.rect((8.0, 0.6, 26.0, 6.0), Some(Tone::QUIET));
    pen.line((0.0, 15.5), (40.0, 15.5), medium);
    pen.line((17.0, 6.0), (17.0, 15.5), thin);
    pen.line((17.0, 13.9), (18.6, 13.9), thin);
    pen.line((18.6, 13.9), (18.6, 15.5), thin);
    pen.dot((17.0, 6.0));
    pen.dot((17.0, 15.5));
    pen.text((19.0, 7.3), plumbed);
    pen.text((14.0, 17.0), carried);
    pen.text((29.0, 16.9), said::STRING);
}
