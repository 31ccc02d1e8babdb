//! Every sentence that a person reads is made here, from findings and numbers.
//!
//! Whoever calculates returns data, whoever draws or prints takes sentences from here, so that report, record and
//! sheets say the same of the same thing, and other languages need one door. Errors and notes of the rooms below are enums there
//! and have their `Display` in `faults`: a trait may be implemented anywhere in a crate, and a lower room can then pass its own
//! data on (`place.fault(…)`) without knowing the words. What a check says stands in `check.rs` where a way of laying is known,
//! in `network.rs` where not.
//!
//! What stays elsewhere: faults that name keys, columns and what belongs there, beside the reader that knows them (`source`,
//! `vehicle`, `template`, `job`, `survey/readings`, `survey/levels`); words of a JSON contract beside its enum; exercises in
//! `practice`; help and flags in `cli`, which adds a flag to an error that names its thing (`cli/failure.rs`). Numbers are
//! written by `units/write.rs`, since those readers quote lengths too.

mod budget;
mod check;
mod faults;
mod floor;
mod inches;
pub(crate) mod kit;
mod length;
mod levels;
mod network;
mod place;
pub(crate) mod printed;
mod reading;
#[cfg(feature = "serve")]
mod row;
mod slip;
mod spelling;
mod steps;
pub(crate) mod takes;
#[cfg(test)]
mod tests;

pub use check::CheckWords;
pub use faults::left_out;
pub(crate) use floor::HEIGHTS_PER_INCH;
pub use floor::floor_sentences;
pub use kit::laid_in_words;
pub use length::{Lengths, long};
pub use place::{ARROWS, floor_place, pointed};
pub use printed::{
    CAUTIONS, NO_BREAK, Section, caution, caution_at_the_bay, demonstration, measured, values,
};
#[cfg(feature = "serve")]
pub use row::usual_mistake;
pub use spelling::Spelling;
