//! Names in a figure, each where nothing else is.

use kurbo::{Line, Point, Rect, Size};

use crate::drawing::{Drawing, Layer, Stroke, Text, Tone, widths};

/// Clear distances at which a name is tried about its mark, mm.
const REACHES: [f64; 7] = [0.7, 2.0, 4.0, 6.5, 9.5, 13.0, 17.0];
/// Beyond this distance a thin line leads from the mark to its name, mm.
const LEADER_FROM: f64 = 3.0;
/// Step along a line that is to be kept clear, and half of the width that is, mm.
const LINE_STEP: f64 = 1.5;
const LINE_HALF: f64 = 0.5;
/// Room of lettering below its baseline and in all, as a part of the height of the capitals.
const DEPTH: f64 = 0.32;
const RISE: f64 = 1.4;

/// What is taken in a figure.
pub struct Labels {
    /// Where names may stand.
    pub space: Rect,
    taken: Vec<Rect>,
    lines: Vec<Rect>,
    leaders: Vec<Line>,
}

impl Labels {
    /// Nothing is taken of `space`.
    pub const fn new(space: Rect) -> Self {
        Self { space, taken: Vec::new(), lines: Vec::new(), leaders: Vec::new() }
    }

    /// Keeps names off a rectangle.
    pub fn keep_off(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// Keeps names off a line as long as they find room elsewhere.
    pub fn keep_off_line(&mut self, from: Point, to: Point) {
        let steps = ((to - from).hypot() / LINE_STEP).ceil().max(1.0);
        let square = (2.0 * LINE_HALF, 2.0 * LINE_HALF);
        let at = |step: usize| Rect::from_center_size(from.lerp(to, step as f64 / steps), square);
        self.lines.extend((0..=steps as usize).map(at));
    }

    /// Writes a name near its point. Where no place is free, the one with the least in its way is taken: a mark without
    /// a name would be no exercise.
    pub fn write(&mut self, canvas: &mut Drawing, at: Point, text: Text, clear: f64, on_squares: bool) {
        let size = Size::new(text.width() + 0.6, text.height * RISE);
        let (reach, place) = self.place(at, size, clear);
        self.taken.push(place);
        if on_squares {
            canvas.rect(Layer::Marks, place, Some(Tone::WHITE), None);
        }
        if reach > LEADER_FROM {
            let end = Point::new(at.x.clamp(place.x0, place.x1), at.y.clamp(place.y0, place.y1));
            let leader = Line::new(at + (end - at).normalize() * clear, end);
            canvas.line(Layer::Labels, leader.p0, leader.p1, Stroke::solid(widths::FINE));
            self.keep_off_line(leader.p0, leader.p1);
            self.leaders.push(leader);
        }
        let baseline = Point::new(place.x0 + 0.3, place.y0 + DEPTH * text.height);
        canvas.text(Text { at: baseline, ..text });
    }

    fn place(&self, at: Point, size: Size, clear: f64) -> (f64, Rect) {
        let (w, h) = (size.width / 2.0 + clear, size.height / 2.0 + clear);
        let away =
            [(0.0, 1.0), (0.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0), (1.0, 0.0), (-1.0, 0.0)];
        // A point below the middle is named below, so that names keep off what lies between.
        let side = if at.y < self.space.center().y { -1.0 } else { 1.0 };
        let places = REACHES.iter().flat_map(|&reach| {
            away.iter().map(move |(x, y)| {
                let centre = Point::new(at.x + x * (w + reach), at.y + side * y * (h + reach));
                (reach, Rect::from_center_size(centre, size))
            })
        });
        let inside = |rect: &Rect| self.space.contains_rect(*rect);
        let hits =
            |among: &[Rect], rect: Rect| among.iter().filter(|taken| !taken.intersect(rect).is_zero_area()).count();
        let cost = |(reach, rect): &(f64, Rect)| {
            let outside = usize::from(!inside(rect));
            (outside * 1000 + hits(&self.taken, *rect) * 100) as f64 + hits(&self.lines, *rect) as f64 * 3.0 + reach
        };
        places.min_by(|a, b| cost(a).total_cmp(&cost(b))).unwrap_or((0.0, Rect::from_center_size(at, size)))
    }
}
