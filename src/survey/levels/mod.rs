//! Heights of the floor, read with a level or a rotating laser, held against the template's limits.
//!
//! A plane by `LinearFit`, places centred and in metres. For the verdict on its slope the larger of
//! the given and the computed standard deviation counts, so that an uneven floor is never the
//! better known; deviations and wheels are judged by the given one alone, since unevenness is what
//! they show. The largest of many deviations is judged as if it had been the only one, which errs
//! towards undecided and outside. Twist is the height between the wheels' diagonals where they
//! cross: for equal tracks the difference of the diagonals' means, and 0 on every plane also where
//! they differ. `LinearFit` is held to NIST's Norris data, `propagate` to JCGM 100, H.2.

mod assess;
mod csv;
mod places;
mod read;
mod readings;
mod wheels;

pub use assess::{FloorAssessment, FloorQuantity, FloorSurface, Judgement};
pub use places::{LevelPlace, PlaceMeaning, level_places};
pub(crate) use readings::LevelFault;
pub use readings::{LevelReading, LevelReadings};
