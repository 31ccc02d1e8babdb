//! Sheet sizes, what a printer leaves of them, and how true it prints.

mod correction;
mod printer;
mod size;

pub use correction::{BAR_MM, Correction, DIAGONALS_MM, Excess};
pub use printer::{MARGIN_MM, Margins, Printer};
pub use size::Paper;
