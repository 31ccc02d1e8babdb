//! What several kinds of sheet have in common.

mod context;
mod cut_art;
#[cfg(test)]
pub mod fixture;
mod floor_art;
mod knife_art;
mod legend;
mod notes;
#[cfg(test)]
pub mod overview_fixture;
mod plan_art;
mod scale_test;
mod scissors;
mod title;
mod vehicle_lines;
mod ways;
mod window;

pub use context::{Context, PageNumber};
pub use floor_art::{FloorArt, MarkArt, OwnArt, SheetArt};
pub use legend::Legend;
pub use notes::{arrow, notes};
pub use plan_art::{VehicleArt, draw_bands, draw_panels, draw_vehicle};
pub use scale_test::{CheckSquare, ScaleBar};
pub use scissors::{SCISSORS_MM, scissors};
pub use title::{Title, TitledSheet};
pub use vehicle_lines::{SharedOut, share_out, users_stroke, vehicle_stroke};
pub use ways::{called, to_map, to_sheet};
