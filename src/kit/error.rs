//! Why a kit cannot be made.

use std::fmt;

use crate::{cover::CoverError, output::OutputError, stencil::CutError, units::mm_exact};

/// Why a kit cannot be made.
#[derive(Debug)]
pub enum KitError {
    /// Sheets cannot be laid.
    Cover(CoverError),
    /// The stencil cannot be cut.
    Cut(CutError),
    /// More sheets than anyone prints by accident.
    ManySheets {
        /// How many.
        count: usize,
        /// How many were allowed.
        most: usize,
    },
    /// A sheet is asked for that there is not.
    NoSheet {
        /// Its number.
        number: usize,
        /// The highest number.
        last: usize,
    },
    /// The whole floor is too large for one page, mm.
    SinglePage {
        /// Its width.
        width: f64,
        /// Its height.
        height: f64,
    },
    /// A file cannot be made.
    Output(OutputError),
}

impl fmt::Display for KitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Cover(error) => write!(f, "{error}"),
            Self::Cut(error) => write!(f, "{error}"),
            Self::ManySheets { count, most } => write!(
                f,
                "the layout takes {count} sheets, more than {most}: check the distances, or take a larger paper"
            ),
            Self::NoSheet { number, last } => write!(
                f,
                "there is no sheet {number}; the sheets of this job are 1 to {last}"
            ),
            Self::SinglePage { width, height } => write!(
                f,
                "the floor on one page would be {} × {} mm, more than any PDF page: take strips of a roll, or floor.svg",
                mm_exact(*width, 0),
                mm_exact(*height, 0)
            ),
            Self::Output(error) => write!(f, "{error}"),
        }
    }
}

impl std::error::Error for KitError {}

impl From<CoverError> for KitError {
    fn from(error: CoverError) -> Self {
        Self::Cover(error)
    }
}

impl From<CutError> for KitError {
    fn from(error: CutError) -> Self {
        Self::Cut(error)
    }
}

impl From<OutputError> for KitError {
    fn from(error: OutputError) -> Self {
        Self::Output(error)
    }
}
