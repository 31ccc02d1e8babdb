//! Sheet and roll sizes, what a printer leaves of them, and how true it prints.

mod correction;
mod printer;
mod roll;
mod size;

pub use correction::{BAR_MM, Correction, DIAGONALS_MM, Excess};
pub(crate) use correction::{MOST as MOST_CORRECTED, SKEW};
pub use printer::{MARGIN_MM, Margins, Printer};
pub use roll::Roll;

pub use crate::units::{LONGEST_PAGE_MM, LONGEST_PAGE_UNITS};
pub use size::Paper;
