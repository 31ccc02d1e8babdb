//! Why a kit cannot be made.

use std::fmt;

use crate::{cover::CoverError, output::OutputError, stencil::CutError, words::kit};

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
    /// A paper is too small for a page, and what to take, in words.
    Paper(String),
    /// A file cannot be made.
    Output(OutputError),
}

impl fmt::Display for KitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Cover(error) => write!(f, "{error}"),
            Self::Cut(error) => write!(f, "{error}"),
            Self::ManySheets { count, most } => f.write_str(&kit::many_sheets(*count, *most)),
            Self::NoSheet { number, last } => f.write_str(&kit::no_sheet(*number, *last)),
            Self::SinglePage { width, height } => f.write_str(&kit::single_page(*width, *height)),
            Self::Paper(why) => f.write_str(why),
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
