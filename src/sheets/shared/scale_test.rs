//! Figures of a known size, by which a page proves its scale.

use kurbo::{Line, Point, Rect, Size, Vec2};

use crate::{
    drawing::{Drawing, Layer, Stroke, heights, widths},
    page::{
        Block,
        clip::strokes,
        labels::{Footprint, Part},
    },
};

/// Length in mm of the bar that reads 4 in.
pub const FOUR_INCHES_MM: f64 = 101.6;

/// Depth in mm of the strip along a side of the check square that its graduations take.
const GRADUATION_MM: f64 = 2.6;

/// Half the widest line, mm: what a figure's strokes stick out over its nominal extent.
const HALF_LINE_MM: f64 = widths::MEDIUM / 2.0;

/// Height in mm of a bar's end strokes.
const BAR_END_MM: f64 = 3.0;

/// Distance in mm between lettering and the line it names.
const LETTERING_GAP_MM: f64 = 0.8;

/// A square whose sides say how long they are.
#[derive(Clone, Debug)]
pub struct CheckSquare {
    side: f64,
    size: Size,
    label: Block,
}

impl CheckSquare {
    /// A square of `side` × `side` mm.
    #[must_use]
    pub fn new(side: f64) -> Self {
        let label = Block::line(format!("{side} mm"), heights::TEXT);
        Self {
            side,
            size: Size::new(side, side),
            label,
        }
    }

    /// Extent on the page, mm.
    #[must_use]
    pub const fn size(&self) -> Size {
        self.size
    }

    /// Its alternatives: the lettering at the bottom or the top, at the left or the right.
    #[must_use]
    pub fn footprints(&self) -> Vec<Footprint> {
        let Size { width, height } = self.size;
        let outer = Rect::from_origin_size(Point::ZERO, self.size).inset(HALF_LINE_MM);
        let sides = [
            Rect {
                y1: GRADUATION_MM,
                ..outer
            },
            Rect {
                y0: height - GRADUATION_MM,
                ..outer
            },
            Rect {
                x1: GRADUATION_MM,
                ..outer
            },
            Rect {
                x0: width - GRADUATION_MM,
                ..outer
            },
        ];
        (0..4)
            .map(|option| {
                let mut parts: Vec<_> = sides.iter().map(|&side| (Part::Outline, side)).collect();
                parts.extend(self.labels(option).map(|rect| (Part::Solid, rect)));
                Footprint {
                    size: self.size,
                    parts,
                    penalty: option as u64,
                }
            })
            .collect()
    }

    /// Where the lettering of an alternative lies: that of the lying sides, that of the upright ones.
    fn labels(&self, option: usize) -> [Rect; 2] {
        let (flat, upright) = (self.label.turned_size(false), self.label.turned_size(true));
        let inset = GRADUATION_MM + LETTERING_GAP_MM;
        let y = if option & 1 == 0 {
            inset
        } else {
            self.size.height - inset - flat.height
        };
        let x = if option & 2 == 0 {
            inset
        } else {
            self.size.width - inset - upright.width
        };
        [
            Rect::from_origin_size(((self.size.width - flat.width) / 2.0, y), flat),
            Rect::from_origin_size((x, (self.size.height - upright.height) / 2.0), upright),
        ]
    }

    /// Draws the square with its lower left corner at `origin`.
    pub fn draw(&self, drawing: &mut Drawing, origin: Point, option: usize) {
        let square = Rect::from_origin_size(origin, self.size);
        drawing.rect(
            Layer::Labels,
            square,
            None,
            Some(Stroke::solid(widths::THIN)),
        );
        let mut graduation = Vec::new();
        for centimetre in 1..(self.side / 10.0).round() as usize {
            let length = if centimetre % 5 == 0 { 2.4 } else { 1.6 };
            let along = 10.0 * centimetre as f64;
            let (x, y) = (square.x0 + along, square.y0 + along);
            graduation.push(Line::new((x, square.y0), (x, square.y0 + length)));
            graduation.push(Line::new((x, square.y1), (x, square.y1 - length)));
            graduation.push(Line::new((square.x0, y), (square.x0 + length, y)));
            graduation.push(Line::new((square.x1, y), (square.x1 - length, y)));
        }
        drawing.path(
            Layer::Labels,
            strokes(&graduation),
            None,
            Some(Stroke::solid(widths::FINE)),
        );
        let [flat, upright] = self.labels(option);
        self.label.draw(
            drawing,
            Layer::Labels,
            origin + flat.origin().to_vec2(),
            false,
        );
        self.label.draw(
            drawing,
            Layer::Labels,
            origin + upright.origin().to_vec2(),
            true,
        );
    }
}

/// A straight bar of a known length, lying or upright.
#[derive(Clone, Debug)]
pub struct ScaleBar {
    length: f64,
    step: f64,
    label: Block,
}

impl ScaleBar {
    /// A bar of `length` mm with a stroke every `step` mm.
    #[must_use]
    pub fn new(length: f64, step: f64, label: &str) -> Self {
        Self {
            length,
            step,
            label: Block::line(label, heights::TEXT),
        }
    }

    /// The same bar with a label of its own lettering.
    #[must_use]
    pub fn labelled(self, label: Block) -> Self {
        Self { label, ..self }
    }

    /// The bar of four inches.
    #[must_use]
    pub fn four_inches() -> Self {
        Self::new(FOUR_INCHES_MM, FOUR_INCHES_MM / 4.0, "4 in")
    }

    /// Its alternatives: lying, or upright at a price of `turned`.
    #[must_use]
    pub fn footprints(&self, turned: u64) -> [Footprint; 2] {
        let thickness = BAR_END_MM + LETTERING_GAP_MM + self.label.size.height;
        let length = self.length + 2.0 * HALF_LINE_MM;
        [false, true].map(|upright| {
            let parts = [
                (
                    Part::Outline,
                    Rect::new(0.0, 0.0, length, BAR_END_MM + HALF_LINE_MM),
                ),
                (
                    Part::Solid,
                    Rect::from_origin_size(self.label_place(length), self.label.size),
                ),
            ];
            let size = Size::new(length, thickness);
            if upright {
                let turn = |r: Rect| Rect::new(thickness - r.y1, r.x0, thickness - r.y0, r.x1);
                let parts = parts.map(|(part, rect)| (part, turn(rect))).to_vec();
                Footprint {
                    size: Size::new(size.height, size.width),
                    parts,
                    penalty: turned,
                }
            } else {
                Footprint {
                    size,
                    parts: parts.to_vec(),
                    penalty: 0,
                }
            }
        })
    }

    fn label_place(&self, length: f64) -> Point {
        Point::new(
            (length - self.label.size.width) / 2.0,
            BAR_END_MM + LETTERING_GAP_MM,
        )
    }

    /// From the lower left corner of its extent to its zero.
    #[must_use]
    pub fn start(&self, upright: bool) -> Vec2 {
        let axis = BAR_END_MM / 2.0;
        let thickness = BAR_END_MM + LETTERING_GAP_MM + self.label.size.height;
        if upright {
            Vec2::new(thickness - axis, HALF_LINE_MM)
        } else {
            Vec2::new(HALF_LINE_MM, axis)
        }
    }

    /// Draws the bar with the lower left corner of its extent at `origin`.
    pub fn draw(&self, drawing: &mut Drawing, origin: Point, upright: bool) {
        let length = self.length + 2.0 * HALF_LINE_MM;
        let thickness = BAR_END_MM + LETTERING_GAP_MM + self.label.size.height;
        let place = |x: f64, y: f64| {
            origin
                + if upright {
                    Vec2::new(thickness - y, x)
                } else {
                    Vec2::new(x, y)
                }
        };
        let axis = BAR_END_MM / 2.0;
        let far = length - HALF_LINE_MM;
        drawing.line(
            Layer::Labels,
            place(HALF_LINE_MM, axis),
            place(far, axis),
            Stroke::solid(widths::THIN),
        );
        let count = (self.length / self.step).round() as usize;
        let mut ticks = Vec::new();
        for tick in 0..=count {
            let x = HALF_LINE_MM + self.step * tick as f64;
            let half = if tick == 0 || tick == count {
                axis
            } else {
                axis / 2.0
            };
            ticks.push(Line::new(place(x, axis - half), place(x, axis + half)));
        }
        drawing.path(
            Layer::Labels,
            strokes(&ticks),
            None,
            Some(Stroke::solid(widths::THIN)),
        );
        let label = self.label_place(length);
        let corner = if upright {
            place(label.x, label.y + self.label.size.height)
        } else {
            place(label.x, label.y)
        };
        self.label.draw(drawing, Layer::Labels, corner, upright);
    }
}
