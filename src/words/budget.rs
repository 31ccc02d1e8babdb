//! Ways of bringing a layout to the floor, and what makes each inexact.

use std::fmt;

use crate::survey::{Cause, Method};

impl fmt::Display for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Chained => "sheets joined one to the next",
            Self::TapedSheets => "sheets placed by tape",
            Self::KeyStencils => "key stencils placed by tape",
            Self::RollStrips => "roll strips placed by tape",
            Self::TapeOnly => "tape strips alone",
        })
    }
}

impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Plumb => "plumb bob",
            Self::Tape => "tape",
            Self::Reading => "reading",
            Self::Centreline => "centreline",
            Self::Perpendicular => "right angle",
            Self::MarkWidth => "mark width",
            Self::Joint => "joints",
            Self::Strip => "strip by hand",
            Self::PrinterScale => "printer scale",
            Self::Paper => "paper",
        })
    }
}
