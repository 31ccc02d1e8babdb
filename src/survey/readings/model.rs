//! Readings as they were written down.

use std::ops::RangeInclusive;

use kurbo::Point;

use super::ReadingFault;
use crate::{
    source::{Faults, MOST_BYTES, Place, Placed, Source},
    survey::Precision,
};

/// Numbers that a lay may have.
pub(super) const LAYS: RangeInclusive<i64> = 1..=99_999;

/// Most readings of one file: what is more has not been taped by hand.
pub(super) const MOST_READINGS: usize = 5_000;

/// Standard deviations that a reading may be given, mm: also those of long ranges and of models.
pub(super) const SIGMA_MM: RangeInclusive<f64> = 1e-6..=1e5;

/// A file of readings: `readings.csv` of a kit, or TOML with `format = "readings/1"`. Marks are names as
/// written; lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// The job that the layout was made for, as written in the file.
    pub job: Option<Placed<String>>,
    /// Marks that the file itself gives.
    pub marks: Vec<GivenMark>,
    /// What was read, in the order of the file.
    pub readings: Vec<Reading>,
    /// Rows of a form that have no reading yet.
    pub blank: usize,
    /// A-priori standard deviations, where the file has a `[precision]` of its own.
    pub precision: Option<Precision>,
}

/// A mark that the file itself gives.
#[derive(Clone, Debug, PartialEq)]
pub struct GivenMark {
    /// Its name.
    pub id: String,
    /// Where it is, or roughly is, mm; `None` for a mark of the layout that stays where it is designed.
    pub at: Option<Point>,
    /// True when it is not to be adjusted.
    pub fixed: bool,
    /// How far it may lie off, mm; given, the place is a design that the mark is judged by.
    pub tolerance: Option<f64>,
    /// Where it is written.
    pub place: Place,
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Name of the check that it is for, such as `D3`.
    pub label: Option<String>,
    /// Number of the lay of tape or string that it was read from; readings of one lay share its zero.
    pub lay: Option<u32>,
    /// What was read, between which marks.
    pub kind: ReadingKind,
    /// What was read, mm: a distance is above 0, an offset is positive to the left.
    pub value: f64,
    /// Its standard deviation, mm, where it was given.
    pub sd: Option<f64>,
    /// What the form that it was written into says that it should be.
    pub should_be: Option<ShouldBe>,
    /// Where it is written.
    pub place: Place,
}

/// A form's own word on what a reading should be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShouldBe {
    /// The length, mm, rounded as the form has it.
    pub mm: f64,
    /// True where the form has it in inches, to 1/16.
    pub inches: bool,
}

/// What a reading is of, by the marks' names as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadingKind {
    /// Distance between two marks.
    Distance {
        /// The mark at the zero of the tape.
        from: String,
        /// The mark at the reading.
        to: String,
    },
    /// Distance of a mark from the line through two others, positive to the left of the line seen from
    /// its first mark to its second.
    Offset {
        /// The mark beside the line.
        mark: String,
        /// The marks of the line.
        line: [String; 2],
    },
    /// A mark seen on the string through two others; the value is 0, or how far it is seen to the left.
    Inline {
        /// The mark that is judged.
        mark: String,
        /// The marks that hold the string.
        line: [String; 2],
    },
}

impl Readings {
    /// Reads a file's bytes: TOML where the name ends in `.toml`, else a table. `file` is the name that
    /// faults give.
    ///
    /// # Errors
    /// All faults of the file: too large, no text, values that are none, marks given twice, and a file
    /// without any reading.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Faults> {
        if !file.to_ascii_lowercase().ends_with(".toml") {
            return Self::read_csv(file, bytes);
        }
        let refuse = |message: ReadingFault| Faults::from(Place::whole(file).fault(message));
        if bytes.len() > MOST_BYTES {
            return Err(refuse(ReadingFault::TooLarge));
        }
        let text = std::str::from_utf8(bytes).map_err(|_| refuse(ReadingFault::NotText))?;
        Self::read_toml(&Source::new(file, text.trim_start_matches('\u{feff}')))
    }
}
