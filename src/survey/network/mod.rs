//! Taped distances between floor points as a network: what was measured, and its adjustment by least
//! squares.
//!
//! A [`Network`] is points with approximate places and [`Observation`]s between them. Nothing in it knows
//! of vehicles or templates, so a network of any kind can be adjusted.
//!
//! Gauss–Newton on dense matrices, factorised by halves so that products of matrices do the work:
//! nalgebra's own Cholesky takes 1.3 s on 1 800 unknowns; `faer` takes 0.2 s, but more than three
//! minutes of one core to compile, and brings some forty crates. Steps are halved, and damped where
//! the normal equations cannot be solved on the way; what nothing holds is held by inner
//! constraints over all free points, found from the observations and not from a list of cases. A
//! network that stays ten times too rough is tried again from other starts: points put where most
//! of their distances meet, mirrored, multidimensional scaling.
//!
//! Vehicle points are observed places (`Geometry::X`, `Y`), so the datum is the vehicle without a
//! special case. Tape errors of single pulls are taken as independent: a scale common to all would
//! need a known length in the network.

mod adjust;
mod factor;
mod held;
mod model;
mod normal;
#[cfg(test)]
mod property_tests;
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
