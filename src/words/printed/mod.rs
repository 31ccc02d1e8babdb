//! What stands on sheets in whole sentences. Where it stands there is the business of `sheets`.

pub(crate) mod bay;
pub(crate) mod budget_notes;
mod caution;
pub(crate) mod cut_map;
pub(crate) mod figures;
pub(crate) mod hand_cut;
pub(crate) mod joining;
pub(crate) mod keys;
pub(crate) mod labels;
pub(crate) mod lays;
mod measured;
pub(crate) mod measuring;
pub(crate) mod pieces;
pub(crate) mod record;
mod section;
pub(crate) mod setting_out;
pub(crate) mod sheet_zero;
pub(crate) mod strips;

pub use caution::{CAUTIONS, caution, caution_at_the_bay, demonstration, values};
pub use measured::measured;
pub use section::{NO_BREAK, Section};
