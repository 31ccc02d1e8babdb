//! Which sheets lie where on the floor.
//!
//! [`cover`] is the one door: content in, a [`SheetPlan`] out. Behind it stands `grid`, the
//! regular mat with the offset that needs the fewest sheets; `bound` says how few any other
//! placement could need at best.

mod bound;
mod content;
mod cores;
mod error;
mod format;
mod free;
mod grid;
mod island;
mod joints;
mod label;
mod lay;
mod model;
mod network;
mod programme;
mod routes;

pub use content::Content;
pub use error::CoverError;
pub use format::SheetFormat;
#[cfg(test)]
pub(crate) use joints::Join;
#[cfg(test)]
pub(crate) use lay::{ChosenCell, lay};
pub use model::{Edge, Heading, Joint, Mode, PlacedSheet, RegistrationMark, Seam, SheetPlan};

/// Lays sheets of a format over all content.
///
/// # Errors
/// [`CoverError`] when the page leaves too little room, there is nothing to cover, or the content
/// needs more sheets than anyone could lay.
pub fn cover(content: &Content, format: &SheetFormat, mode: Mode) -> Result<SheetPlan, CoverError> {
    error::refuse_small(format)?;
    let lower_bound = bound::lower_bound(content, format);
    error::refuse_many(lower_bound)?;
    let mut plan = match mode {
        Mode::Lines => free::cover(content, format)?,
        Mode::Grid | Mode::Full | Mode::Keys => grid::cover(content, format, mode)?,
    };
    error::refuse_many(plan.sheets.len())?;
    plan.lower_bound = plan.lower_bound.max(lower_bound);
    Ok(plan)
}
