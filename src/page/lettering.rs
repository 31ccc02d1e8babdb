//! Blocks of lettering: several lines that are measured, placed and turned together.

use kurbo::{Point, Size, Vec2};

use crate::drawing::{Anchor, Drawing, Layer, Text, Weight};

/// Room that lettering keeps below its baseline, as a fraction of the height of its capitals: the
/// face's descenders reach 0.32 below.
const DEPTH: f64 = 0.34;

/// The same above the baseline: accents and brackets of the face reach 1.05.
const RISE: f64 = 1.06;

/// Distance of baselines as a fraction of the height of the capitals.
const PITCH: f64 = 1.65;

/// A block of left-aligned lines.
#[derive(Clone, Debug)]
pub struct Block {
    lines: Vec<Text>,
    /// Extent in mm, clearance not included.
    pub size: Size,
}

impl Block {
    /// Stacks lines from the top; each is (text, height of the capitals, weight).
    #[must_use]
    pub fn new(lines: &[(String, f64, Weight)]) -> Self {
        let mut texts = Vec::with_capacity(lines.len());
        let (mut width, mut y, mut depth) = (0.0_f64, 0.0, 0.0);
        for (index, (content, height, weight)) in lines.iter().enumerate() {
            // Below a much larger line, its descenders call for more than the pitch of the small one.
            y -= if index == 0 {
                height * RISE
            } else {
                (height * PITCH).max(y - depth + height * RISE)
            };
            let text = Text {
                weight: *weight,
                ..Text::new((0.0, y), *height, content.clone())
            };
            width = width.max(text.width());
            depth = y - height * DEPTH;
            texts.push(text);
        }
        for text in &mut texts {
            text.at.y -= depth;
        }
        Self {
            lines: texts,
            size: Size::new(width, -depth),
        }
    }

    /// One line of regular lettering.
    #[must_use]
    pub fn line(content: impl Into<String>, height: f64) -> Self {
        Self::new(&[(content.into(), height, Weight::Regular)])
    }

    /// One line of bold lettering.
    #[must_use]
    pub fn bold(content: impl Into<String>, height: f64) -> Self {
        Self::new(&[(content.into(), height, Weight::Bold)])
    }

    /// Extent once turned by a quarter, or not.
    #[must_use]
    pub fn turned_size(&self, turned: bool) -> Size {
        if turned {
            Size::new(self.size.height, self.size.width)
        } else {
            self.size
        }
    }

    /// Draws the block with the lower left corner of its extent at `origin`; turned, it reads
    /// from bottom to top.
    pub fn draw(&self, drawing: &mut Drawing, layer: Layer, origin: Point, turned: bool) {
        for line in &self.lines {
            let place = line.at.to_vec2();
            let (place, turn) = if turned {
                (Vec2::new(self.size.height - place.y, place.x), 90.0)
            } else {
                (place, 0.0)
            };
            drawing.text(Text {
                layer,
                at: origin + place,
                turn,
                ..line.clone()
            });
        }
    }
}

/// The upright rectangle that a line of text takes on the page, descenders and accents included.
#[must_use]
pub fn text_box(text: &Text) -> kurbo::Rect {
    let width = text.width();
    let start = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let flat = kurbo::Rect::new(
        start,
        -DEPTH * text.height,
        start + width,
        RISE * text.height,
    );
    let turn = kurbo::Affine::rotate(text.turn.to_radians());
    turn.transform_rect_bbox(flat) + text.at.to_vec2()
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::*;

    #[test]
    fn a_drawn_block_fills_its_extent_and_no_more_turned_or_not() {
        let block = Block::new(&[
            ("1L".to_owned(), 7.0, Weight::Bold),
            ("x 900 · y −850 mm".to_owned(), 1.8, Weight::Regular),
        ]);
        for turned in [false, true] {
            let mut drawing = Drawing::new("", 100.0, 100.0);
            block.draw(&mut drawing, Layer::Labels, Point::new(10.0, 20.0), turned);
            let boxes = drawing.items.iter().map(|item| match item {
                crate::drawing::Item::Text(text) => text_box(text),
                crate::drawing::Item::Path(_) => unreachable!("a block is text alone"),
            });
            let all = boxes.reduce(|a, b| a.union(b)).unwrap();
            let expected = Rect::from_origin_size((10.0, 20.0), block.turned_size(turned));
            assert!(
                (all.origin() - expected.origin()).hypot() < 1e-9,
                "{all:?} {expected:?}"
            );
            assert!(
                (all.width() - expected.width()).abs() < 1e-9
                    && (all.height() - expected.height()).abs() < 1e-9
            );
        }
    }
}
