//! Cut geometry: the layout as a stencil that a knife, a laser or a router makes from sheet material, or that is cut by hand
//! from the printed sheets (`hand.rs`).
//!
//! A machine's stencil is a frame about what is cut (`frame/`), or a mat over the layout's extent. Three kinds of opening go
//! through it: slots along the tape strips, at the strip's width; at every mark a centre hole and four windows, through which
//! the mark's cross is drawn on the floor; and pen slots along the edges of the layout's panels. What
//! is not cut through is scored: centreline, axle lines, the crosses' arms, names and ticks (`names.rs`).
//!
//! Why nothing falls out: openings are placed one after the other, each a single closed shape
//! without a hole in it, each at least a bridge's width away from all others and from the edges and
//! joints of the material. What remains about such shapes hangs together, and no web in it is narrower
//! than a bridge, save the ring between a mark's centre hole and its windows, and the tabs of joints. [`cut`] also has the
//! polygon difference counted before it returns: one part per piece, or [`CutError::Loose`].
//!
//! In this room a *piece* is what is cut in one, so that it is not mixed up with the panels of a layout; a *load* is what lies
//! on the cutter's bed at once (`nest.rs`).
//!
//! By hand a stencil is cut from the printed sheets, with the same openings; see `hand` and `seams`.
//!
//! Slots along strips stop at nodes by a formula, so that crossings come out symmetrical; whatever
//! else is near is found by distance, and said as a note. No load is longer than a plain PDF page, so that no file needs
//! `UserUnit`, which a cutter might ignore.

mod bed;
mod board;
mod contour;
mod cut_by;
mod distance;
mod edges;
mod error;
mod frame;
mod hand;
mod ink;
mod joints;
mod keep_off;
mod load_size;
mod loss;
mod made;
mod make;
mod marks;
mod names;
mod nest;
mod opening;
mod options;
mod order;
mod outline;
mod pens;
mod piece;
mod score;
mod seams;
mod shape;
mod strips;
mod stroke_font;
#[cfg(test)]
mod tests;
mod whole;

pub use contour::{Contour, Vertex};
pub use cut_by::CutBy;
pub use error::{Arm, CutError, CutNote, Loss};
pub use frame::Joint;
pub use hand::{HandCut, cut_by_hand};
pub use ink::{Colour, Ink, Inks, Spot};
pub use made::Stencil;
pub use make::cut;
pub use nest::{Laid, Load};
pub use opening::Opening;
pub use options::{CutBed, CutOption, CutOptions, REGISTER_HOLE_MM};
pub use order::{Ordered, PieceContours, ordered};
pub use piece::{CutPlan, Piece};
