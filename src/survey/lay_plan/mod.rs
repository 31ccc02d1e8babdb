//! Which lays of tape and string prove a layout with the least effort, and what they prove.
//!
//! People count lays, not readings: with the tape along a side every mark on it is read, and a string shows all marks that
//! lie on it. So lays are the candidates, and minutes what they cost. What is known before anything is taped is the laying
//! prior ([`LayingPrior`](super::LayingPrior)); readings are added to the same linear model that the judgement
//! of a taped layout uses, so that the plan promises what the judgement will find. [`figures`] holds every number that
//! the choice rests on.

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
