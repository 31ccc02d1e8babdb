//! Which lays of tape and string prove a layout with the least effort, and what they prove.
//!
//! People count lays, not readings: with the tape along a side every mark on it is read, and a string shows all marks that
//! lie on it. So lays are the candidates, and minutes what they cost. What is known before anything is taped is the laying
//! prior ([`LayingPrior`](super::LayingPrior)); readings are added to the same linear model that the judgement
//! of a taped layout uses, so that the plan promises what the judgement will find. [`figures`] holds every number that
//! the choice rests on.
//!
//! A lay's common zero is eliminated into its weight (Sherman and Morrison), so the unknowns stay
//! the same whatever is taken; lays come, go and lose readings by changes of rank k, held to a
//! solution from the beginning by a test. What is demanded is a mark's 95 % radius, its mistake of
//! laying estimated without its own promise, the grid's, and each reading's smallest detectable
//! error. Taken is what relieves most of what is missing for its minutes; what is missing is
//! counted by eigenvalues of information, so that a mark's first reading counts before a second one
//! crosses it. Then lays and single readings are left out while all demands hold, redundancies kept
//! beside the chosen lays. A heuristic without a bound. Up to 400 candidates all are weighed anew
//! at each step; beyond, what they relieved last counts as the most they can: worked out anew at
//! every step, 300 marks took minutes (`cargo bench --bench plan`).
//!
//! What lays cannot prove is said, not hidden: the goal of such a mark is 1.2 times what all lays
//! together prove. Limits on paper are what careful work keeps, not what proves: 90 % of the floors
//! drawn from the laying budget keep all of a list, by one factor for all readings. They send gross
//! mistakes back to the tape at once; all else is the judgement's.
//!
//! The figures here and in `assessment/risk.rs` were set together by simulated floors: change them
//! together, and play `tests/outside/technician.py` before and after. A turn of 0.2° is held to
//! 2.45 standard deviations of what plumbed wheels of a short vehicle say.

mod candidates;
mod checked;
mod choose;
mod demand;
mod figures;
mod ground;
mod have_checked;
mod leave_out;
mod limits;
mod make;
mod order;
mod radius;
mod runs;
mod spare;
mod state;
#[cfg(test)]
mod tests;

pub use make::{CheckChoice, LayPlanner};
pub use spare::spare;
