//! Why sheets cannot be laid.

use std::fmt;

use super::SheetFormat;
use crate::units::mm_exact;

/// Least printable width and height, mm: a check square of 100 mm with its lettering, and the
/// seams on both sides.
const LEAST_PRINTABLE_MM: f64 = 125.0;

/// More sheets than this are a mistake in the input, whatever the shop's patience.
const MOST_SHEETS: usize = 20_000;

/// Why sheets cannot be laid.
#[derive(Clone, Debug, PartialEq)]
pub enum CoverError {
    /// The printable part of a page is too small.
    Printable {
        /// Width and height of the printable part, mm.
        size: (f64, f64),
    },
    /// Neighbours would share more than a third of a sheet.
    Overlap {
        /// Overlap asked for, mm.
        overlap: f64,
        /// The shorter printable side, mm.
        side: f64,
    },
    /// A roll's margins leave nothing of it.
    RollMargins {
        /// Width of the roll, mm.
        width: f64,
        /// Both side margins together, mm.
        margins: f64,
    },
    /// A tape strip is wider than what one strip of a roll shows of it.
    RollNarrow {
        /// Printable width of the roll, mm.
        printable: f64,
        /// Width of the layout's widest tape strip, mm.
        line: f64,
        /// Overlap, mm.
        overlap: f64,
    },
    /// The layout has neither line nor panel nor mark.
    Nothing,
    /// At least this many sheets would be needed.
    TooMany {
        /// Number of sheets.
        at_least: usize,
    },
}

impl fmt::Display for CoverError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Printable {
                size: (width, height),
            } => write!(
                f,
                "paper and margins leave {} × {} mm to print on; expected at least {LEAST_PRINTABLE_MM} mm each way: take a larger paper or a wider roll (--paper, --roll), or smaller margins in the printer's profile",
                mm_exact(*width, 1),
                mm_exact(*height, 1)
            ),
            Self::Overlap { overlap, side } => write!(
                f,
                "an overlap of {} mm takes more than a third of the {} mm that can be printed; make it smaller",
                mm_exact(*overlap, 1),
                mm_exact(*side, 1)
            ),
            Self::RollMargins { width, margins } => write!(
                f,
                "margins of {} mm in all leave nothing of a roll {} mm wide; take a wider roll or a printer with smaller margins",
                mm_exact(*margins, 1),
                mm_exact(*width, 1)
            ),
            Self::RollNarrow {
                printable,
                line,
                overlap,
            } => write!(
                f,
                "the roll prints {} mm of its width, less than the widest tape strip of {} mm with an overlap of {} mm; take a wider roll, or narrower strips in the template",
                mm_exact(*printable, 1),
                mm_exact(*line, 1),
                mm_exact(*overlap, 1)
            ),
            Self::Nothing => write!(
                f,
                "the layout has no marks, lines or panels to print; add some to the template"
            ),
            Self::TooMany { at_least } => write!(
                f,
                "the layout needs at least {at_least} sheets; expected at most {MOST_SHEETS}: check its distances, or take a larger paper"
            ),
        }
    }
}

impl std::error::Error for CoverError {}

pub(super) fn refuse_small(format: &SheetFormat) -> Result<(), CoverError> {
    let printable = format.printable();
    let (width, height) = (printable.width(), printable.height());
    if width < LEAST_PRINTABLE_MM || height < LEAST_PRINTABLE_MM {
        return Err(CoverError::Printable {
            size: (width, height),
        });
    }
    let side = width.min(height);
    if format.overlap > side / 3.0 {
        return Err(CoverError::Overlap {
            overlap: format.overlap,
            side,
        });
    }
    Ok(())
}

pub(super) fn refuse_many(at_least: usize) -> Result<(), CoverError> {
    if at_least > MOST_SHEETS {
        Err(CoverError::TooMany { at_least })
    } else {
        Ok(())
    }
}
