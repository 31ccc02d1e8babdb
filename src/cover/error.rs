//! Why sheets cannot be laid. Their words are in `words/faults`.

use super::SheetFormat;

/// Least printable width and height, mm: a check square of 100 mm with its lettering, and the
/// seams on both sides.
const LEAST_PRINTABLE_MM: f64 = 125.0;

/// More sheets than this nobody lays: a floor of 12 m × 8 m takes some 1 900 of A4 with its blank ones.
pub(super) const MOST_SHEETS: usize = 2_000;

/// More paper of a roll than this nobody lays, m: ten rolls of 50 m.
const MOST_ROLL_M: f64 = 500.0;

/// Why sheets cannot be laid.
#[derive(Clone, Debug, PartialEq)]
pub enum CoverError {
    /// The printable part of a page is too small.
    Printable {
        /// Width and height of the printable part, mm.
        size: (f64, f64),
        /// Least width and height, mm.
        least: f64,
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
    /// More paper of a roll than anyone lays.
    RollLong {
        /// Length of paper, m.
        metres: f64,
        /// Most that is laid, m.
        most: f64,
    },
    /// The layout has neither line nor panel nor mark.
    Nothing,
    /// More sheets than anyone lays.
    TooMany {
        /// Number of sheets, on a grid where the layout is too large for a search.
        count: usize,
        /// Most that are laid.
        most: usize,
    },
}

impl std::error::Error for CoverError {}

pub(super) fn refuse_small(format: &SheetFormat) -> Result<(), CoverError> {
    let printable = format.printable();
    let (width, height) = (printable.width(), printable.height());
    if width < LEAST_PRINTABLE_MM || height < LEAST_PRINTABLE_MM {
        return Err(CoverError::Printable {
            size: (width, height),
            least: LEAST_PRINTABLE_MM,
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

pub(super) fn refuse_many(count: usize) -> Result<(), CoverError> {
    if count > MOST_SHEETS {
        Err(CoverError::TooMany {
            count,
            most: MOST_SHEETS,
        })
    } else {
        Ok(())
    }
}

pub(super) fn refuse_long(metres: f64) -> Result<(), CoverError> {
    if metres > MOST_ROLL_M {
        return Err(CoverError::RollLong {
            metres,
            most: MOST_ROLL_M,
        });
    }
    Ok(())
}
