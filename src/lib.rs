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
//! `units` → `source` → `vehicle` → `template` → `plan` → `survey` → `paper` → `cover` → `stencil` → `job` →
//! `practice` → `words` → `drawing` → `page` → `sheets` → `output` → `kit` → `shop` → `serve` → `cli`

pub(crate) mod cli;
pub(crate) mod cover;
pub(crate) mod drawing;
pub(crate) mod effort;
pub(crate) mod job;
pub(crate) mod kit;
pub(crate) mod output;
mod page;
pub(crate) mod paper;
pub(crate) mod plan;
pub(crate) mod practice;
#[cfg(test)]
mod property_tests;
#[cfg(feature = "serve")]
pub(crate) mod serve;
pub(crate) mod sheets;
#[cfg(feature = "serve")]
pub(crate) mod shop;
pub(crate) mod source;
pub(crate) mod stencil;
pub(crate) mod survey;
pub(crate) mod template;
pub(crate) mod units;
pub(crate) mod vehicle;
pub(crate) mod words;

pub use cli::run;
pub use job::{Folders, Job, JobSpec};
pub use kit::{Kit, KitError, KitFiles, Wanted};
pub use plan::FloorPlan;
pub use source::{Faults, Source};
pub use survey::{Assessment, Readings, Verdict, assess, spare};
pub use words::CheckWords;

/// What the project's own tests, benches and samples look into; no part of the interface.
#[doc(hidden)]
pub mod inside {
    pub use crate::{
        cover::{Content, Mode, SheetFormat, cover},
        drawing::{Drawing, Layer, Stroke, Text, heights, widths},
        job::{BuiltIn, DEFAULT_OVERLAP_MM, DEMONSTRATION, TEMPLATES, VEHICLES},
        kit::{
            Carried, FloorError, Form, JudgeError, Judged, JudgedFloor, JudgedMark, JudgedReading,
            Measured, MeasuredFields, MeasuredTexts, PRINTER_TEST_FILE, PrinterTest,
            measuring_picture,
        },
        output::{
            Disk, DocumentInfo, FileLayer, Origin, OutputError, OutputFolder, OutputSet,
            check_json, is_unfinished, levels_json, pdf, png, svg,
        },
        paper::{Paper, Printer},
        practice::{
            Exercise, Kind, Level, PracticeError, Request, Vehicle, make as make_exercises,
        },
        sheets::{FloorArt, PracticePaper, answer_sheet, desk_pages, exercise_sheet},
        source::as_text,
        stencil::CutBy,
        survey::{
            FloorAssessment, LevelPoint, LevelReadings, Reading, ReadingKind, TapedLayout,
            level_places,
        },
        template::TemplateSpec,
        units::{
            SIXTEENTH_MM, feet_text_to, inch_cell, inch_text, parse_angle, parse_coordinate,
            parse_length,
        },
        vehicle::VehicleSpec,
    };
}
