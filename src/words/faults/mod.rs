//! What is wrong, in words: `Display` of the errors and notes that the rooms below return as data. A flag is never named here;
//! an error names the thing, and the command line adds how it is set.

mod cover;
mod paper;
mod plan;
mod practice;
mod readings;
mod stencil;
mod survey;

pub use practice::left_out;
