//! Fuzzing that stays: inputs made from a seed, each held to what must be true of what was read or refused.
//!
//! A target makes its cases by proptest: edits of files that are right, or layouts put together from parts. So it runs on a stable
//! compiler without another tool, and what fails is made smaller by itself. An input that makes the program say something that it
//! had not said before is edited further, which takes the place of measured coverage.
//!
//! Without more, a target plays its corpus and one round from a fixed seed. With `BAYSTENCIL_FUZZ_MINUTES` it goes on with new seeds for so
//! long and prints its figures:
//!
//! ```text
//! BAYSTENCIL_FUZZ_MINUTES=10 cargo test --release --test fuzz -- --nocapture
//! ```
//!
//! What fails is written to a file that the failure names. Put it into `tests/fuzz/corpus` with the mend.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]
#![expect(
    clippy::neg_cmp_op_on_partial_ord,
    reason = "what is no number at all is wrong as well"
)]

mod drive;
mod edit;
mod edited;
mod forms;
mod kits;
mod layouts;
mod lengths;
mod messages;
mod program_door;
mod texts;

#[path = "../program/mod.rs"]
mod program;
