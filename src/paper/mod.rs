//! Sheet sizes, and what a printer leaves of them.

mod printer;
mod size;

pub use printer::{Margins, Printer};
pub use size::Paper;
