//! Why a printer's correction is refused.

use std::fmt;

use crate::{
    paper::{Excess, MOST_CORRECTED, SKEW},
    units::mm_exact,
};

impl fmt::Display for Excess {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = |part: f64| mm_exact(part * 100.0, 2);
        match self.which() {
            SKEW => write!(f, "upright lines lean by {} %", percent(self.part() - 1.0)),
            which => write!(
                f,
                "{which} measures {} % of what it should be",
                percent(self.part())
            ),
        }?;
        if !self.can_be_forced() {
            return f.write_str(", which no printer does: check the number and its unit");
        }
        write!(
            f,
            ", more than the {} % that are corrected; the likely cause is \"fit to page\" or \"shrink\" in the print dialog, not the \
             printer: print the scale test again at 100 % (\"actual size\")",
            MOST_CORRECTED * 100.0
        )
    }
}
