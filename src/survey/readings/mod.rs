//! What was measured on the floor, as it was written down, and the network that it makes with a layout.
//!
//! [`Readings`] come from the filled form of a kit or from TOML; marks are still names. With
//! [`Readings::resolve`] they become a [`Survey`]: points, observations, and what the points should be.

mod csv;
mod model;
mod names;
mod plausible;
mod resolve;
#[cfg(test)]
mod tests;
mod toml;

pub use model::{GivenMark, Reading, ReadingKind, Readings, ShouldBe};
