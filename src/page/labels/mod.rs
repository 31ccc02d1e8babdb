//! The label placer: free room on a page for lettering and small figures.
//!
//! Pages show whatever of the layout falls on them, so lettering has no fixed place. A [`Ground`]
//! holds what a page shows as a price per square millimetre; a [`Room`] above it holds what may not
//! be touched. Each thing to be placed comes with alternatives, and gets the cheapest free place,
//! the first found among equals, so that the same page always looks the same. Names of points are
//! tried round their points instead, with a leader where they have to stand far off.

mod ground;
mod names;
mod room;
mod search;

pub use ground::Ground;
pub use names::{FORBIDDEN, NameWish, Named, crosses};
#[cfg(test)]
pub use room::overlap;
pub use room::{Footprint, Part, Place, Room, Wish};
