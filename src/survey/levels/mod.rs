//! Heights of the floor, read with a level or a rotating laser, held against the template's limits.

mod assess;
mod csv;
mod json;
mod places;
mod read;
mod readings;
mod wheels;

pub use assess::{FloorAssessment, FloorQuantity, FloorSurface, Judgement};
pub use json::FloorJson;
pub use places::{LevelPlace, PlaceMeaning, level_places};
pub(crate) use readings::LevelFault;
pub use readings::{LevelReading, LevelReadings};
