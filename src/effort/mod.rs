//! What a layout takes: what to bring, paper, floor, people and time.
//!
//! All of it is calculated from the plan, its steps and its sheets. How long hands take has no source: every such number is
//! a constant with a name, marked as common practice or as an own estimate.

mod minutes;
mod takes;

pub use minutes::Minutes;
pub use takes::{PaperTaken, Takes};
