//! The display list that every format is written from.
//!
//! A [`Drawing`] is a page (or a whole floor) in millimetres: origin at the lower left, x to the
//! right, y up. Sheets fill it, writers read it. PDF, SVG and PNG of one sheet come from the same
//! list, so they cannot differ; and because paths arrive here already clipped and in their final
//! place, a writer never computes geometry.

mod face;
mod list;
mod style;

pub use face::{Face, text_width};
pub use list::{Drawing, Item, Link, Path, Text};
pub use style::{Anchor, Layer, LineType, Stroke, Tone, Weight, heights, widths};
