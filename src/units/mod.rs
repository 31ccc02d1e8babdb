//! Lengths and angles, read and written. Everything inside the program is f64 millimetres and
//! degrees; only this room knows inches and feet.

mod accuracy;
mod angle;
mod length;
#[cfg(test)]
mod property_tests;
mod slip;
mod unit;
mod write;

pub use accuracy::{ROUND_OFF, ROUND_OFF_MM, SAME_DRAWN_MM, SAME_TAPED_MM, SAME_WRITTEN_MM};
pub use angle::{is_sane_angle, parse_angle};
pub(crate) use length::without_hard_spaces;
pub use length::{
    LONGEST_PAGE_MM, LONGEST_PAGE_UNITS, LengthError, MM_PER_INCH, is_sane_coordinate,
    is_sane_length, parse_coordinate, parse_length,
};
pub use write::{
    SIXTEENTH_MM, feet_text_to, inch_cell, inch_text, inch_text_to, mm_exact, mm_text,
};
