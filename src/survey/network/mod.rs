//! Taped distances between floor points as a network: what was measured, and its adjustment by least
//! squares.
//!
//! A [`Network`] is points with approximate places and [`Observation`]s between them. Nothing in it knows
//! of vehicles or templates, so a network of any kind can be adjusted.

mod adjust;
mod factor;
mod held;
mod model;
mod normal;
mod relative;
mod row;
mod settle;
#[cfg(test)]
mod tests;
mod update;

pub use adjust::{AdjustError, Adjusted, Adjustment, Datum};
pub(super) use factor::Factor;
pub use held::HeldPart;
pub use model::{Geometry, Network, NetworkPoint, Observation};
pub use row::DesignRow;
