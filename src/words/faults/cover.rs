//! Why sheets cannot be laid.

use std::fmt;

use crate::{cover::CoverError, units::mm_exact};

impl fmt::Display for CoverError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = |mm: f64| mm_exact(mm, 1);
        match *self {
            Self::Printable {
                size: (width, height),
                least,
            } => write!(
                f,
                "paper and margins leave {} × {} mm to print on; expected at least {least} mm each way: take a larger paper or a wider roll, or smaller margins in the printer's profile",
                mm(width),
                mm(height)
            ),
            Self::Overlap { overlap, side } => write!(
                f,
                "an overlap of {} mm takes more than a third of the {} mm that can be printed; make it smaller",
                mm(overlap),
                mm(side)
            ),
            Self::RollMargins { width, margins } => write!(
                f,
                "margins of {} mm in all leave nothing of a roll {} mm wide; take a wider roll or a printer with smaller margins",
                mm(margins),
                mm(width)
            ),
            Self::RollNarrow {
                printable,
                line,
                overlap,
            } => write!(
                f,
                "the roll prints {} mm of its width, less than the widest tape strip of {} mm with an overlap of {} mm; take a wider roll, or narrower strips in the template",
                mm(printable),
                mm(line),
                mm(overlap)
            ),
            Self::Nothing => f.write_str(
                "the layout has no marks, lines or panels to print; add some to the template",
            ),
            Self::RollLong { metres, most } => write!(
                f,
                "the layout takes {metres:.0} m of paper from the roll; expected at most {most:.0} m: check its distances, or take a wider roll"
            ),
            Self::TooMany { count, most } => write!(
                f,
                "the layout takes {count} sheets or more; expected at most {most}: check its distances, or take a larger paper or a roll"
            ),
        }
    }
}
