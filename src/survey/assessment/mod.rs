//! What the taped readings say of a layout: which reading is wrong, which mark is, how the grid lies.
//!
//! Two mistakes are told apart. A reading that is wrong contradicts the others, and data snooping
//! finds it ([`Suspect`]). A mark in the wrong place contradicts nothing: all readings agree on where it is, and only the
//! design says that it should be elsewhere; the fit to the design finds it ([`MarkFinding::displaced`]).
//!
//! Without a prior (`--no-prior`, networks of a file's own, exercises) the judgement is data
//! snooping after Baarda: without a promise of where marks lie there is nothing that a mark's own
//! mistake could be weighed against. Readings are set aside one at a time, and taken back where
//! they fit after all; several gross ones at once, by what most readings agree on
//! (`agreed_places`). Cofactors are brought up to date for each, so that 900 marks do not cost a
//! new factor every time; above 200 readings each is tested more strictly (`critical_value_among`).
//! Of two mirror images the nearer to the given places is taken. Then marks are held against the
//! design by the best rigid fit, in which a mark that is no chance and not surely inside is left
//! out one at a time; at least half stay.
//!
//! Its verdicts are conformance probabilities over the tolerance circle (JCGM 106), with the
//! variance scaled up where the global test fails, never down; nothing is outside where no place
//! within its tolerance is ruled out, or where the readings fit the designed places as well as the
//! adjusted ones (a test of the likelihood ratio). A mark is unchecked when it would be loose, or
//! poorly known, without a reading whose redundancy is below 0.05. The verdict against the vehicle
//! allows for plumbing and is therefore often undecided at tolerances of a few millimetres: that is
//! true.

mod assess;
mod believed;
mod compared;
mod conformance;
mod constant;
mod displaced;
#[cfg(test)]
mod joint_tests;
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
mod unchecked;
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
