//! Which sheets lie where on the floor.
//!
//! [`cover`] is the one door: content in, a [`SheetPlan`] out. Behind it stands `grid`, the
//! regular mat with the offset that needs the fewest sheets, `free`, which lays them wherever they
//! serve best and proves how few could do, and `keys`, the small stencils for marks alone.
//! [`cover_roll`] is the door for strips of a roll.
//!
//! `microlp` solves the integer programmes of `free`; limits are counts of branches, since a limit
//! by time would make bytes depend on the machine.

mod begin;
mod bound;
mod content;
mod cores;
mod error;
mod format;
mod free;
mod grid;
mod island;
mod joints;
mod keys;
mod lay;
mod model;
mod network;
mod programme;
#[cfg(test)]
mod property_tests;
mod registration;
mod roll;
mod roll_bound;
mod routes;

pub use begin::{Anchor, Beginning};
pub use content::Content;
pub use error::CoverError;
pub use format::SheetFormat;
#[cfg(test)]
pub(crate) use joints::Join;
pub use keys::KeyRaster;
#[cfg(test)]
pub(crate) use lay::{ChosenCell, lay};
pub use model::{
    Edge, Heading, Joint, Mode, PlacedSheet, RegistrationMark, RollUse, Seam, SheetPlan,
};
pub use roll::cover_roll;

/// Refuses at once what is too large for sheets of a format, before anything is worked out.
///
/// # Errors
/// Content that needs more sheets than anyone could lay, wherever they lie.
pub fn refuse_large(content: &Content, format: &SheetFormat, mode: Mode) -> Result<(), CoverError> {
    error::refuse_small(format)?;
    let sizes = Heading::ALL.map(|heading| format.cell(heading));
    match grid::bound_of_large(content, sizes) {
        Some(least) if mode != Mode::Keys => free::of_large(content, sizes, least).map(|_| ()),
        _ => Ok(()),
    }
}

/// Lays sheets of a format over all content.
///
/// # Errors
/// `CoverError` when the page leaves too little room, there is nothing to cover, or the content
/// needs more sheets than anyone could lay.
pub fn cover(content: &Content, format: &SheetFormat, mode: Mode) -> Result<SheetPlan, CoverError> {
    error::refuse_small(format)?;
    if mode == Mode::Keys {
        return keys::cover(content, format);
    }
    if content.regions.is_empty() {
        return Err(CoverError::Nothing);
    }
    let sizes = Heading::ALL.map(|heading| format.cell(heading));
    let choice = match grid::bound_of_large(content, sizes) {
        Some(least) => free::of_large(content, sizes, least)?,
        None => free::choose(content, format),
    };
    let mut plan = match mode {
        Mode::Lines => free::cover(&choice, content, format),
        Mode::Grid | Mode::Full | Mode::Keys => grid::cover(content, format, mode)?,
    };
    error::refuse_many(plan.sheets.len())?;
    plan.lower_bound = choice.lower_bound.max(bound::lower_bound(content, format));
    Ok(plan)
}
