//! What is believed of a taped layout: places, tape and mistakes, from the laying prior and the readings together.
//!
//! Everything that is known is a row of one linear model: a reading, a mark laid where it was designed, a wheel plumbed
//! where the vehicle's dimensions put it, a tape that is true to its class. Each row has a standard deviation, and each
//! may be wrong altogether: a mistake ([`Fault`]) is nothing but a row whose standard deviation is widened by what such
//! a mistake usually comes to. So a mark laid in a wrong place, a misread tape, a worn hook and a grid turned against
//! the vehicle are weighed against each other by one rule, the marginal likelihood of the readings
//! (Bayes' theorem; widening a variance is the mean-shift outlier model with a normal prior on the shift).
//!
//! The unknowns are displacements from the designed places in mm, x forward and y left in the layout's frame, so a
//! layout that lies as designed has them all at nought.
//!
//! Shared causes of laying stand apart from each mark's own, tape zero and scale are by MI-008, and
//! each lay has a zero. Sets of mistakes are weighed without adjusting anew, through M = W − W A Q
//! Aᵀ W (`alternatives.rs` has the formulas); how likely mistakes are stands in `fault.rs`.

mod alternatives;
mod columns;
mod fault;
mod model;
mod posterior;
#[cfg(test)]
mod tests;

pub(super) use alternatives::{Explanation, RARER, Weighing, log_likelihood};
pub(super) use columns::Columns;
pub use fault::Fault;
pub(super) use model::{AT_REST_MM, Model, ModelRow, Setup, Taped, with_pose};
pub(super) use posterior::Posterior;
