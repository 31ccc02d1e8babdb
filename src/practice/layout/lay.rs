//! A lay of the check plan on a form.

use crate::plan::{FloorPlan, Lay, LayKind};

/// From what a row is taped: the mark at which the tape is held, or the string with both of its ends.
pub(in crate::practice) fn from_name(plan: &FloorPlan, lay: &Lay) -> String {
    match lay.kind {
        LayKind::Tape => lay.start_name(plan),
        LayKind::String => format!("string {}–{}", lay.start_name(plan), lay.to_name(plan)),
    }
}
