//! A job: one vehicle or several for a mat, one template, and everything that the paper for it needs to know. Also the
//! library of what is built in, since a job names things from it.

mod library;
mod record;
mod spec;
mod vehicles;

pub use library::{BuiltIn, DEMONSTRATION, TEMPLATES, VEHICLES};
pub use record::Record;
pub use spec::{DEFAULT_OVERLAP_MM, JobSpec, LONGEST_PULL_MM, OVERLAP_MM, PrinterChoice};
pub use vehicles::JobVehicles;
