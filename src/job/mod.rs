//! A job: one vehicle or several for a mat, one template, and everything that the paper for it needs to know. Also the
//! library of what is built in, since a job names things from it.

mod cut;
mod files;
mod library;
mod opened;
pub mod profiles;
mod record;
mod resolve;
mod spec;
mod texts;
mod vehicles;
mod written;

pub use cut::parse_bed;
pub use files::{is_path, read_file};
pub use library::{BuiltIn, DEMONSTRATION, TEMPLATES, VEHICLES};
pub use record::Record;
pub use resolve::{Folders, Job};
pub use spec::{DEFAULT_OVERLAP_MM, JobSpec, LONGEST_PULL_MM, OVERLAP_MM, PrinterChoice};
pub use vehicles::JobVehicles;
pub use written::{JOB_FILE, MadeFrom};
