//! What every sheet of a kit needs beside its own content.

use crate::{job::Record, plan::FloorPlan};

/// The resolved layout with what the job adds for paper.
#[derive(Clone, Copy)]
pub struct Context<'a> {
    /// The layout.
    pub plan: &'a FloorPlan,
    /// The job's fields for the file.
    pub record: &'a Record,
    /// Show inches to 1/16 beside mm.
    pub inches: bool,
    /// The printer profile the pages were made for, with its correction, in words.
    pub printer: &'a str,
}

/// Where a page stands in its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PageNumber {
    /// Number of the page, from 1, sheet 0's pages included.
    pub page: usize,
    /// Number of pages in the file.
    pub of: usize,
}
