//! A single numbered dimension after ISO 129: extension lines, a dimension line with filled arrowheads, and the row's number in a
//! circle on it. Where the line is too short for its arrows, they point at it from outside and the circle stands behind one.

use kurbo::{Point, Vec2};

use crate::drawing::{Drawing, Layer, Stroke, Text, Tone, heights, widths};

/// Radius of a number's circle, mm: two digits of running text.
pub const CIRCLE_MM: f64 = 2.8;
/// Clear distance between a circle and its line, mm.
const CLEAR_MM: f64 = 0.4;
/// How far extension lines run past the dimension line, mm.
const OVERRUN_MM: f64 = 1.2;
/// Length of an arrowhead, drawn as all are and drawn heavy, mm.
const HEAD_MM: (f64, f64) = (2.4, 4.2);
/// Half width of an arrowhead as a part of its length.
const HEAD_SHARE: f64 = 0.2;
/// Length of the line behind an arrow that points from outside, mm.
const TAIL_MM: f64 = 4.5;
/// Width of a heavy dimension line, mm: wider than anything else in the picture, also on a small screen.
const HEAVY_MM: f64 = 1.1;

/// A dimension in the picture, in mm of the page.
#[derive(Clone, Copy, Debug)]
pub struct Dimension {
    /// Number or letter of its row.
    pub number: &'static str,
    /// What is measured: where the extension lines begin.
    pub feet: [Point; 2],
    /// Ends of the dimension line, in the same order.
    pub ends: [Point; 2],
    /// Where the circle stands on the line, from 0 at its first end to 1; of a short line, behind its last end.
    pub at: f64,
}

impl Dimension {
    fn along(&self) -> Vec2 {
        (self.ends[1] - self.ends[0]).normalize()
    }

    /// True where arrows and circle find no room between the ends.
    fn is_short(&self) -> bool {
        self.ends[0].distance(self.ends[1]) < 2.0 * (CIRCLE_MM + HEAD_MM.0)
    }

    /// Middle of the circle.
    pub fn circle(&self) -> Point {
        if self.is_short() {
            self.ends[1] + self.along() * (TAIL_MM + CIRCLE_MM + CLEAR_MM)
        } else {
            self.ends[0].lerp(self.ends[1], self.at)
        }
    }

    /// Draws it; `heavy` where it is the one that is asked for.
    pub fn draw(&self, page: &mut Drawing, heavy: bool) {
        let line = if heavy {
            Stroke::solid(HEAVY_MM)
        } else {
            Stroke::solid(widths::THIN)
        };
        let help = if heavy {
            Stroke::solid(widths::MEDIUM)
        } else {
            Stroke::solid(widths::FINE).toned(Tone::QUIET)
        };
        for (foot, end) in self.feet.into_iter().zip(self.ends) {
            let out = end - foot;
            if out.hypot() > CLEAR_MM {
                let past = end + out.normalize() * OVERRUN_MM;
                page.line(Layer::Labels, foot, past, help);
            }
        }
        let head = if heavy { HEAD_MM.1 } else { HEAD_MM.0 };
        let along = self.along();
        let [from, to] = self.ends;
        let mut run = |a: Point, b: Point| page.line(Layer::Labels, a, b, line);
        // A heavy line ends inside its arrowheads, or it would blunt their tips.
        let inset = along * (head * 0.8);
        if self.is_short() {
            run(from - inset, from - along * TAIL_MM);
            run(to + inset, to + along * TAIL_MM);
        } else {
            let gap = along * (CIRCLE_MM + CLEAR_MM);
            run(from + inset, self.circle() - gap);
            run(self.circle() + gap, to - inset);
        }
        let outward = if self.is_short() { -along } else { along };
        for (tip, way) in [(from, -outward), (to, outward)] {
            let across = Vec2::new(-way.y, way.x) * (head * HEAD_SHARE);
            let neck = tip - way * head;
            let corners = [tip, neck + across, neck - across];
            page.polygon(Layer::Labels, &corners, Some(Tone::BLACK), None);
        }
        number(page, self.circle(), self.number, heavy);
    }
}

/// A row's number in its circle: black on white, or white on black where the row is the one that is asked for.
pub fn number(page: &mut Drawing, middle: Point, number: &str, heavy: bool) {
    let (fill, ink) = if heavy {
        (Tone::BLACK, Tone::WHITE)
    } else {
        (Tone::WHITE, Tone::BLACK)
    };
    let stroke = Stroke::solid(widths::MEDIUM);
    page.circle(Layer::Labels, middle, CIRCLE_MM, Some(fill), Some(stroke));
    let low = middle - Vec2::new(0.0, heights::TEXT / 2.0);
    let text = Text::new(low, heights::TEXT, number).centred().bold();
    page.text(text.toned(ink));
}
