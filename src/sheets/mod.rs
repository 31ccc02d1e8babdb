//! The sheets: each takes resolved numbers and gives a [`Drawing`](crate::drawing::Drawing).

mod assembly_map;
mod clip;
mod context;
mod cover_page;
mod cover_text;
#[cfg(test)]
mod fixture;
mod floor;
mod floor_art;
mod fragment;
mod frame;
mod lettering;
mod overview;
#[cfg(test)]
mod overview_fixture;
mod placement;
mod roll_text;
mod scale_test;
mod single_page;
mod strip;
mod table;
mod text_flow;
mod tile;
mod tile_frame;
mod tile_lettering;
mod title_block;
mod wrap;

pub use context::Context;
pub use cover_page::cover_page;
pub use floor::floor;
pub use floor_art::{FloorArt, MarkArt, SheetArt};
pub use overview::overview;
pub use single_page::single_page;
pub use tile::{PageNumber, tile};
