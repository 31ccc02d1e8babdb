//! Sentences that people read, made from findings and numbers.
//!
//! Whoever calculates returns data, whoever draws or prints takes sentences from here, so that report, record and
//! sheets say the same of the same thing.
//!
//! The room stands below `drawing` and knows `survey`, which returns findings with numbers and no
//! sentences (`check.rs` where a way of laying is known, `network.rs` where not).

mod budget;
mod check;
mod faults;
mod length;
mod levels;
mod network;
mod reading;
mod slip;
mod steps;
#[cfg(test)]
mod tests;

pub use check::CheckWords;
pub use length::off_in_words;
