//! What the taped readings say of a layout: which reading is wrong, which mark is, how the grid lies.
//!
//! Two mistakes are told apart. A reading that is wrong contradicts the others, and data snooping
//! finds it ([`Suspect`]). A mark in the wrong place contradicts nothing: all readings agree on where it is, and only the
//! design says that it should be elsewhere; the fit to the design finds it ([`MarkFinding::displaced`]).

mod advice;
mod assess;
mod cause;
mod compared;
mod displaced;
mod json;
mod model;
mod snooping;
#[cfg(test)]
mod tests;
mod triangles;
mod whole;

pub use assess::{AssessError, assess};
pub use compared::Compared;
pub use json::AssessmentJson;
pub use model::{Assessment, GlobalTest, MarkFinding, Pose, ReadingFinding, Suspect, TapedLayout};
