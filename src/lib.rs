//! From a vehicle's dimensions and a layout template to marks on a workshop floor, and to the
//! full-scale paper that puts them there.
//!
//! The rooms, from bottom to top; each imports only rooms named before it (`DEVELOPERS.md` has the
//! table):
//!
//! `units` → `source` → `vehicle` → `template` → `plan` → `survey` → `paper` → `cover` → `job` →
//! `practice` → `stencil` → `words` → `drawing` → `sheets` → `output` → `cli`

pub mod cli;
pub mod cover;
pub mod drawing;
pub mod job;
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
