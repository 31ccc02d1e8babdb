//! Heights of the floor, read with a level or a rotating laser, held against the template's limits.

mod assess;
mod csv;
mod places;
mod read;
mod readings;
mod wheels;

pub use assess::{FloorAssessment, FloorQuantity, FloorSurface, Judgement};
pub use places::{LevelPlace, level_places};
pub use readings::{LevelReading, LevelReadings};
