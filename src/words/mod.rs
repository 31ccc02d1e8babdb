//! Sentences that people read, made from findings and numbers.
//!
//! Whoever calculates returns data, whoever draws or prints takes sentences from here, so that report, record and
//! sheets say the same of the same thing.

mod check;
mod length;
mod network;
mod reading;
mod slip;
#[cfg(test)]
mod tests;

pub use check::CheckWords;
pub use length::off_in_words;
