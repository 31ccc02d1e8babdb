//! The sheets: each takes resolved numbers and gives a [`Drawing`](crate::drawing::Drawing).
//!
//! A folder, or a file, for each kind of sheet. It imports only what stands here:
//!
//! | folder | imports |
//! |---|---|
//! | `shared` | |
//! | `assembly_map` | `shared` |
//! | `tile` | `shared` |
//! | `keys` | `shared` |
//! | `cover_page` | `shared`, `assembly_map` |
//! | `floor` | `shared` |
//! | `cut_map` | `shared` |
//! | `cut_sheet` | |
//! | `check_plans` | `shared` |
//! | `overview` | `shared` |
//! | `steps` | `shared` |
//! | `record` | `shared` |
//! | `exercise` | |
//! | `desk` | `shared`, `assembly_map`, `tile` |
//! | `printer_test` | `shared` |
//! | `measuring` | `shared` |
//! | `small_plan` | `shared` |
//!
//! A panel's dark fields are printed in a grey on which black lettering stays legible: a sheet
//! shows where a panel lies, it is not the panel.

mod assembly_map;
mod check_plans;
mod cover_page;
mod cut_map;
mod cut_sheet;
mod desk;
mod exercise;
mod floor;
mod keys;
mod measuring;
mod overview;
mod printer_test;
mod record;
mod shared;
#[cfg(feature = "serve")]
mod small_plan;
mod steps;
mod tile;

pub use assembly_map::assembly_map;
pub use check_plans::check_plans;
pub use cover_page::cover_page;
pub use cut_map::cut_map;
#[cfg(test)]
pub use cut_sheet::PiecePaths;
pub use cut_sheet::{CutSheet, cut_sheets};
pub use desk::desk_pages;
pub use exercise::{
    PracticePaper, answer_sheet, course_pages, exercise_sheet, key_table, marking_pages,
};
pub use floor::{floor, single_page};
pub use keys::key_page;
pub use measuring::{measuring_sheet, measuring_views};
pub use overview::overviews;
pub use printer_test::printer_test;
pub use record::{RecordInput, RecordReading, displacements, record};
#[cfg(test)]
pub(crate) use shared::fixture;
pub use shared::{Context, FloorArt, PageNumber};
#[cfg(feature = "serve")]
pub use small_plan::small_plan;
pub use steps::steps;
pub use tile::tile;
