//! What can be typed after `baystencil printer`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::args::Units;

#[derive(Args)]
pub(super) struct PrinterArgs {
    #[command(subcommand)]
    pub command: PrinterCommand,
}

#[derive(Subcommand)]
pub(super) enum PrinterCommand {
    /// Write the scale test: one page to print and to measure
    Test(TestArgs),
    /// Store what was measured on the scale test as a printer's profile
    Set(Box<SetArgs>),
    /// List the stored profiles
    List(ListArgs),
}

#[derive(Args)]
pub(super) struct TestArgs {
    /// Paper: A4, Letter, A3, Tabloid, Legal, A2, A1, A0, or a size of at least 209 mm x 276 mm [default: A4; Letter with --units inch]
    #[arg(long, value_name = "PAPER", allow_hyphen_values = true)]
    pub paper: Option<String>,
    /// Show mm alone, or inches beside them
    #[arg(long, value_name = "UNITS", default_value = "mm")]
    pub units: Units,
    /// Print the test through this profile's correction, to see whether it is right
    #[arg(long, value_name = "NAME|FILE")]
    pub printer: Option<String>,
    /// Folder to write printer-test.pdf into; made when missing
    #[arg(long, short, value_name = "DIR", default_value = ".")]
    pub out: PathBuf,
    /// Replace printer-test.pdf in the folder also where it was changed since, or is someone else's
    #[arg(long)]
    pub replace: bool,
}

/// Lengths are mm, or text with a unit.
#[derive(Args)]
pub(super) struct SetArgs {
    /// Name of the profile, which jobs and sheets use
    pub name: String,
    /// What the bar across the upright page measures, e.g. 199.2
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "y",
        allow_hyphen_values = true
    )]
    pub x: Option<String>,
    /// What the bar along the upright page measures, e.g. 200.3
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "x",
        allow_hyphen_values = true
    )]
    pub y: Option<String>,
    /// What both bars should measure
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "200",
        allow_hyphen_values = true
    )]
    pub of: String,
    /// What the diagonal A–C of the scale test measures (should be 250 mm)
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "diagonal_down",
        requires = "x",
        allow_hyphen_values = true
    )]
    pub diagonal_up: Option<String>,
    /// What the diagonal D–B of the scale test measures (should be 250 mm)
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "diagonal_up",
        requires = "x",
        allow_hyphen_values = true
    )]
    pub diagonal_down: Option<String>,
    /// Left edge that is not printed: the smallest number of the ruler whose stroke can be seen
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub margin_left: Option<String>,
    /// The same at the right edge
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub margin_right: Option<String>,
    /// The same at the top edge
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub margin_top: Option<String>,
    /// The same at the bottom edge
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub margin_bottom: Option<String>,
    /// The page that was measured had been printed through the profile as it is stored: add to it
    #[arg(long, conflicts_with = "replace")]
    pub on_top: bool,
    /// Drop the stored profile of this name with its correction
    #[arg(long)]
    pub replace: bool,
    /// Store a correction even if it is more than 3 %
    #[arg(long)]
    pub force: bool,
    /// Write to this file (ending in .toml) and not into the user's configuration folder
    #[arg(long, value_name = "PATH")]
    pub file: Option<PathBuf>,
}

#[derive(Args)]
pub(super) struct ListArgs {
    /// Print the list as JSON
    #[arg(long)]
    pub json: bool,
}
