//! A piece of a page: drawn first, placed once its size is known.

use kurbo::{Affine, Rect, Vec2};

use crate::drawing::{Drawing, Item};

/// A drawn piece with its size in mm. Inside, the upper left corner is the origin, x runs right
/// and y up, so that content has negative y.
#[derive(Clone, Debug)]
pub struct Fragment {
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    canvas: Drawing,
}

impl Fragment {
    /// An empty piece, `width` mm wide and without height.
    #[must_use]
    pub fn new(width: f64) -> Self {
        Self {
            width,
            height: 0.0,
            canvas: Drawing::new("", width, 0.0),
        }
    }

    /// A piece from something drawn in any frame of its own; `bounds` is what it takes up there.
    #[must_use]
    pub fn around(canvas: &Drawing, bounds: Rect) -> Self {
        let mut piece = Self::new(bounds.width());
        piece.height = bounds.height();
        copy(canvas, &mut piece.canvas, Vec2::new(-bounds.x0, -bounds.y1));
        piece
    }

    /// Where to draw.
    pub const fn canvas(&mut self) -> &mut Drawing {
        &mut self.canvas
    }

    /// Adds another piece below what is there, `gap` mm further down (no gap when still empty).
    pub fn stack(&mut self, below: &Self, gap: f64) {
        let gap = if self.height > 0.0 { gap } else { 0.0 };
        copy(
            &below.canvas,
            &mut self.canvas,
            Vec2::new(0.0, -self.height - gap),
        );
        self.height += gap + below.height;
    }

    /// Puts the piece on a page with its upper left corner at (`left`, `top`), mm.
    pub fn place(&self, page: &mut Drawing, left: f64, top: f64) {
        copy(&self.canvas, page, Vec2::new(left, top));
    }
}

fn copy(from: &Drawing, to: &mut Drawing, by: Vec2) {
    to.items.extend(from.items.iter().cloned().map(|mut item| {
        match &mut item {
            Item::Path(path) => path.outline.apply_affine(Affine::translate(by)),
            Item::Text(text) => text.at += by,
        }
        item
    }));
}
