//! Cut geometry: the layout as a stencil that a knife, a laser or a router makes from sheet material.
//!
//! The stencil is a mat over the layout's extent. Three kinds of opening go through it: slots along
//! the tape strips, at the strip's width; at every mark a centre hole and four windows, through which
//! the mark's cross is drawn on the floor; and pen slots along the edges of the layout's panels. What
//! is not cut through is scored: centreline, axle lines and the crosses' arms.
//!
//! Why nothing falls out: openings are placed one after the other, each a single closed shape
//! without a hole in it, each at least a bridge's width away from all others and from the edges and
//! joints of the mat. What remains about such shapes hangs together, and no web in it is narrower
//! than a bridge, save the ring between a mark's centre hole and its windows. [`cut`] also has the
//! polygon difference counted before it returns: one piece per panel, or [`CutError::Loose`].
//!
//! In this room a *piece* is what one sheet of material becomes (the command line's `--panel`), so
//! that it is not mixed up with the panels of a layout.
//!
//! Slots along strips stop at nodes by a formula, so that crossings come out symmetrical; whatever
//! else is near is found by distance, and said as a note. Above 5070 mm a mat is divided also
//! without `--panel`, in both cut files alike: one geometry, and no `UserUnit` that a cutter might
//! ignore.

mod bed;
mod distance;
mod edges;
mod error;
mod joints;
mod make;
mod marks;
mod opening;
mod options;
mod outline;
mod pens;
mod piece;
mod score;
mod strips;
#[cfg(test)]
mod tests;
mod whole;

pub use error::{Arm, CutError, CutNote};
pub use make::cut;
pub use opening::Opening;
pub use options::{CutOption, CutOptions, LARGEST_PIECE_MM, PAGE_EDGE_MM, SPOT_NAMES, Spot};
pub use piece::{CutPlan, Piece};
