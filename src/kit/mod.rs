//! What a kit is made of: a resolved job on its way to the files that it is printed, cut and checked from.
//!
//! Nothing here reads arguments, asks a clock or writes to a disk: [`Kit`] composes drawings and data into an
//! [`OutputSet`](crate::output::OutputSet), whose files are then written at once.

mod budget;
mod carried;
mod class_set;
mod compose;
mod error;
mod floor;
mod judged;
#[cfg(test)]
mod judged_tests;
mod keep;
mod measuring;
#[cfg(feature = "serve")]
mod preview;
mod record;
mod scale_test;
mod stencils;

pub use carried::{Carried, Form};
pub use class_set::{ClassSet, ClassWanted};
pub use compose::{Kit, KitFiles, SHEETS_WITHOUT_ASKING, Wanted};
pub use error::KitError;
pub use floor::{FloorError, JudgedFloor};
#[cfg(feature = "serve")]
pub use judged::within_limit;
pub use judged::{JudgeError, Judged, JudgedMark, JudgedReading};
pub use keep::{FormRefused, Kept};
pub use measuring::{measuring_picture, measuring_sheet};
#[cfg(feature = "serve")]
pub use preview::{Preview, template_picture};
pub use scale_test::{
    Measured, MeasuredFields, MeasuredTexts, PRINTER_TEST_FILE, PrinterTest, drops_correction,
};
pub use stencils::AGAIN_FILE;
