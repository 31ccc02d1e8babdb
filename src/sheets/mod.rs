//! The sheets: each takes resolved numbers and gives a [`Drawing`](crate::drawing::Drawing).

mod assembly_map;
mod budget_table;
mod clip;
mod context;
mod cover_page;
mod cover_text;
mod cut_sheet;
mod desk_outline;
mod desk_pages;
mod exercise;
#[cfg(test)]
mod fixture;
mod floor;
mod floor_art;
mod fragment;
mod frame;
mod key_page;
mod key_text;
pub mod lay_words;
mod legend;
mod lettering;
mod overview;
#[cfg(test)]
mod overview_fixture;
mod placement;
mod plan_art;
mod printer_test;
mod record;
mod roll_text;
mod scale_test;
mod single_page;
mod steps;
mod strip;
mod table;
mod text_flow;
mod tile;
mod tile_frame;
mod tile_lettering;
mod tile_ticks;
mod title_block;
mod vehicle_lines;
mod wrap;

pub use context::Context;
pub use cover_page::cover_page;
pub use cut_sheet::{CutSheets, cut_sheets};
pub use desk_pages::desk_pages;
pub use exercise::{PracticePaper, answer_sheet, exercise_sheet, key_table};
pub use floor::floor;
pub use floor_art::{FloorArt, SheetArt};
pub use key_page::key_page;
pub use overview::overview;
pub use printer_test::printer_test;
pub use record::{RecordInput, RecordReading, record};
pub use single_page::single_page;
pub use steps::steps;
pub use tile::{PageNumber, tile};
