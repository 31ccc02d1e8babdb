//! `baystencil measure`: the sheet on which a vehicle's dimensions are written at the vehicle.

use std::path::PathBuf;

use clap::Args;

use super::{
    args::Units,
    data::message,
    failure::Failure,
    paperwork::{document_date, put_alone},
};
use crate::{
    kit,
    paper::Paper,
    source::{Faults, Place},
    words::Spelling,
};

#[derive(Args)]
pub(super) struct MeasureArgs {
    /// Paper: A4, Letter, A3, Tabloid, Legal, A2, A1, A0, or a size of at least 210 mm x 279 mm [default: A4; Letter with --units inch]
    #[arg(long, value_name = "PAPER", allow_hyphen_values = true)]
    pub paper: Option<String>,
    /// What is written into the blanks: mm, or inches to 1/16
    #[arg(long, value_name = "UNITS", default_value = "mm")]
    pub units: Units,
    /// Folder to write measuring-sheet.pdf into; made when missing
    #[arg(long, short, value_name = "DIR", default_value = ".")]
    pub out: PathBuf,
    /// Replace measuring-sheet.pdf in the folder also where it was changed since, or is someone else's
    #[arg(long)]
    pub replace: bool,
}

pub(super) fn measure(args: &MeasureArgs) -> Result<(), Failure> {
    let inches = matches!(args.units, Units::Inch);
    let paper = args.paper.as_deref().map(Paper::parse);
    let paper = paper
        .unwrap_or_else(|| Ok(Paper::usual(inches)))
        .map_err(|why| Faults::from(Place::whole("--paper").fault(why)))?;
    let date = document_date("")?;
    let files = kit::measuring_sheet(&paper, inches, date).map_err(|error| Failure::Kit {
        error,
        spelling: Spelling::sparing(inches, &[]),
    })?;
    let written = put_alone(&files, &args.out, args.replace)?;
    message(&format!(
        "{}: print it, fill it in at the vehicle and do its sums there; then type the numbers in on the page (baystencil serve), or row by row into a vehicle file (copy one from vehicle-specs/)",
        written[0].display()
    ));
    Ok(())
}
