//! From a vehicle's dimensions and a layout template to marks on a workshop floor, and to the
//! full-scale paper that puts them there.
//!
//! A job names a vehicle, a template and the paper. [`Job`] opens and resolves it, [`Kit`] makes its files:
//!
//! ```
//! use baystencil::{Folders, Job, JobSpec, Kit, Source, Wanted};
//!
//! let text = r#"
//!     format = "job/1"
//!     vehicle = "delivery-van"
//!     template = "target-line"
//! "#;
//! let job = Job::resolve(JobSpec::read(&Source::new("job.toml", text))?, &Folders::default(), true)?;
//! let made = Kit::of(job).files(&Wanted::default())?;
//! # let parent = tempfile::tempdir()?;
//! # let folder = parent.path().join("my-kit");
//! # let folder = folder.as_path();
//! made.files.write(folder)?; // a path of yours
//! # assert!(folder.join("stencils.pdf").exists());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! [`Job::read`] takes a file. [`FloorPlan`] has the marks in mm, x forward and y left; [`assess`] judges a layout from what was taped
//! on it, and [`Assessment`] is what it finds.
//!
//! The rooms, from bottom to top; each imports only rooms named before it (`DEVELOPERS.md` has the
//! table):
//!
//! `units` → `source` → `vehicle` → `template` → `plan` → `paper` → `survey` → `cover` → `job` →
//! `practice` → `stencil` → `words` → `drawing` → `sheets` → `output` → `kit` → `cli`

pub mod cli;
pub mod cover;
pub mod drawing;
pub mod job;
pub mod kit;
pub mod output;
pub mod paper;
pub mod plan;
pub mod practice;
pub mod sheets;
pub mod source;
pub mod stencil;
pub mod survey;
pub mod template;
pub mod units;
pub mod vehicle;
pub mod words;

pub use job::{Folders, Job, JobSpec};
pub use kit::{Kit, KitError, Wanted};
pub use plan::FloorPlan;
pub use source::{Faults, Source};
pub use survey::{Assessment, Verdict, assess};
