//! What was measured on the floor, as it was written down, and the network that it makes with a layout.
//!
//! [`Readings`] come from the filled form of a kit or from TOML; marks are still names. With
//! [`Readings::resolve`] they become a [`Survey`]: points, observations, and what the points should be.
//!
//! Points are the layout's marks, then marks given in the file, then the wheel marks that were
//! taped, each with its own x and y as observations. A given mark is judged only where it has a
//! tolerance; else its place is a start. Marks of a file of their own are adjusted about their
//! middle, taken off in whole mm here (`TapedLayout::origin`) and added where a place is shown;
//! nothing in between knows of it, and a `pose` is about that middle.

mod csv;
mod fault;
#[cfg(test)]
mod form_tests;
mod model;
mod names;
mod plausible;
mod resolve;
mod standing;
#[cfg(test)]
mod tests;
mod toml;

pub(crate) use csv::{PRINTED as PRINTED_COLUMNS, READING_COLUMNS};
pub(crate) use fault::{Absurd, FormRow, ReadingFault};
pub use model::{GivenMark, Reading, ReadingKind, Readings, ShouldBe};
pub use standing::FormRows;
