//! What the taped readings say of a layout: which reading is wrong, which mark is, how the grid lies.
//!
//! Two mistakes are told apart. A reading that is wrong contradicts the others, and data snooping
//! finds it ([`Suspect`]). A mark in the wrong place contradicts nothing: all readings agree on where it is, and only the
//! design says that it should be elsewhere; the fit to the design finds it ([`MarkFinding::displaced`]).

mod assess;
mod believed;
mod compared;
mod conformance;
mod constant;
mod displaced;
mod judge;
#[cfg(test)]
mod laid_fixture;
#[cfg(test)]
mod laid_tests;
mod model;
mod risk;
mod slip;
mod snooping;
#[cfg(test)]
mod tests;
mod todo;
mod triangles;
mod whole;

pub use assess::{AssessError, assess};
#[cfg(test)]
pub use model::GlobalTest;
pub use model::{
    Assessment, Decision, Finding, MarkFinding, PartVerdict, Pose, Spare, Suspect, TapedLayout,
    Todo,
};
pub use risk::TURN_THAT_NEVER_PASSES_DEG;
pub use slip::{Misread, Slip, UnitSlip};
pub use triangles::Impossible;
pub use whole::WholeFault;
