//! A shop's own folder: its vehicles, templates and printer profiles, its jobs with their readings, and its records.
//!
//! ```text
//! shop/
//!   vehicles/NAME.toml   templates/NAME.toml   printers/NAME.toml
//!   jobs/NAME/job.toml   jobs/NAME/readings.csv   jobs/NAME/levels.csv
//!   records/DATE NAME/   record.pdf, the readings, the job and its kit
//!   archive/…            what was put away, in the same folders
//! ```
//!
//! Every file is the one that the commands read: `baystencil kit shop/jobs/NAME` makes the same kit as the page does. There is no
//! database and no index, so that a folder may be copied, synchronised or mended by hand.
//!
//! *Two people at once.* A text is read with its [`Version`], a hash of its bytes. Whoever writes says which version the change was made
//! from; where the file has another one by then, nothing is written, and both texts are shown ([`ShopError::Changed`]). A reading is a
//! cell of a form, and is held against what the cell had when it was typed: two people may fill one form.

mod document;
mod error;
mod form_file;
mod name;
mod records;
mod store;

pub use document::Document;
pub use error::ShopError;
pub use form_file::FormFile;
pub use name::{Name, name_from};
pub use records::RecordEntry;
pub use store::{Kept, Shelf, Shop, Version};
