//! Sheet and roll sizes, and what a printer leaves of them.

mod printer;
mod roll;
mod size;

pub use printer::{Margins, Printer};
pub use roll::{LONGEST_PAGE_MM, Roll};
pub use size::Paper;
