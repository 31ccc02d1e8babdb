//! Which distances of an exercise's layout to tape between marks alone, and what they find.
//!
//! The marks are a free network: nothing is taken as given, only where marks lie against each other is asked.
//! A mark counts as displaced when its place against the best rigid fit of all others is off by more than
//! chance allows at α = 0.001 (χ² with two degrees of freedom); [`Detectable`] says which displacements that finds with
//! 80 %. The full plan has every mark's tolerance found in every direction, and every reading checked by the
//! others. Uncertainties are propagated by JCGM 100:2008, 5.1.2, from [`Precision`](crate::survey::Precision).
//!
//! Nothing is assumed of how the layout was laid: that is what a trainee can work out.

mod candidates;
mod cofactor;
mod detectable;
mod make;
mod model;
mod power;
mod select;
mod square;
#[cfg(test)]
mod tests;
mod vehicle;

pub use candidates::LongestPull;
pub use detectable::Detectable;
pub use make::CheckPlanner;
pub use model::{CheckPlan, PlannedPull, VehicleCheck};
pub use square::out_of_square;

/// Least redundancy of a reading in the full plan: an error of 13 standard deviations (4.13/√0.1), a finger's breadth on a
/// tape, is then found with 80 %.
pub const LEAST_REDUNDANCY: f64 = 0.1;
