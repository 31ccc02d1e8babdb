//! What can be typed.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

use super::{measure::MeasureArgs, practice_args::PracticeArgs, printer_args::PrinterArgs};
use crate::{cover::Mode, stencil::CutBy, survey::CheckChoice};

/// Floor layouts for driver-assistance calibration work, from a vehicle's dimensions to paper on
/// the workshop floor. It lays out marks. Whether a system is calibrated, the vehicle maker's
/// procedure shows.
#[derive(Parser)]
#[command(version, max_term_width = 100)]
pub(super) struct Args {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Subcommand)]
pub(super) enum Command {
    /// Write everything for a job: stencils, overview, floor, plan and readings form
    Kit(WriteArgs),
    /// Show every mark and every check distance as a table
    Plan(PlanArgs),
    /// Write the full-scale sheets alone, or single ones again
    Stencils(StencilsArgs),
    /// Write the cut paths alone, for a cutter
    Cut(CutFilesArgs),
    /// Write the one-page overview alone
    Overview(OverviewArgs),
    /// Judge the floor's slope and evenness from heights read at marks and wheels
    Levels(LevelsArgs),
    /// Judge a taped layout from its readings: which mark to move, which reading to tape again
    Check(CheckArgs),
    /// Write paper exercises for trainees, and their answers
    Practice(PracticeArgs),
    /// List the built-in vehicles, templates and paper sizes
    Library(LibraryArgs),
    /// Write the measuring sheet: one page to fill in at a vehicle of your own
    Measure(MeasureArgs),
    /// Write the scale test of a printer; store what was measured on it
    Printer(PrinterArgs),
    /// Open the page in the browser: measure, lay out, print, type readings, keep records
    #[cfg(feature = "serve")]
    Serve(ServeArgs),
}

/// How the page is served.
#[cfg(feature = "serve")]
#[derive(clap::Args)]
pub(super) struct ServeArgs {
    /// The shop's folder: vehicles, templates, printers, jobs, records; without it one in the user's data folder
    #[arg(long, value_name = "DIR")]
    pub shop: Option<PathBuf>,
    /// Port to listen on; without it one that is free
    #[arg(long, value_name = "PORT", value_parser = clap::value_parser!(u16).range(1..))]
    pub port: Option<u16>,
    /// Let phones on the same Wi-Fi in, each with a one-time code; that Wi-Fi is not encrypted up to this computer
    #[arg(long)]
    pub lan: bool,
}

/// What a command takes that makes full-scale sheets of a job. Flags win over the job file.
#[derive(clap::Args, Default)]
pub(super) struct JobArgs {
    /// Job file (TOML), or the folder of a kit; without it the built-in demonstration job
    pub job: Option<PathBuf>,
    #[command(flatten)]
    pub layout: LayoutFlags,
    #[command(flatten)]
    pub sheets: SheetFlags,
    #[command(flatten)]
    pub pulls: PullFlags,
}

/// Flags that say what lies on the floor.
#[derive(clap::Args, Clone, Default)]
pub(super) struct LayoutFlags {
    /// Vehicle: a built-in name, or the path of a vehicle file; given several times, one mat for all of them
    #[arg(long = "vehicle", value_name = "NAME|FILE")]
    pub vehicles: Vec<String>,
    /// Template: a built-in name, or the path of a template file; drops the job's values
    #[arg(long, value_name = "NAME|FILE")]
    pub template: Option<String>,
    /// Set a value of the template, e.g. --set side_gap=420mm; may be given several times
    #[arg(long = "set", value_name = "NAME=VALUE", value_parser = setting)]
    pub settings: Vec<(String, String)>,
    /// Show mm alone, or inches to 1/16 beside them
    #[arg(long, value_name = "UNITS")]
    pub units: Option<Units>,
}

/// The same for a command that needs to know how the layout is laid, and draws no sheets.
#[derive(clap::Args)]
pub(super) struct LaidJobArgs {
    /// Job file (TOML), or the folder of a kit; without it the built-in demonstration job
    pub job: Option<PathBuf>,
    #[command(flatten)]
    pub layout: LayoutFlags,
    #[command(flatten)]
    pub paper: PaperFlags,
    #[command(flatten)]
    pub pulls: PullFlags,
}

impl LaidJobArgs {
    /// The job with these flags.
    pub fn job(&self) -> JobArgs {
        JobArgs {
            job: self.job.clone(),
            layout: self.layout.clone(),
            sheets: SheetFlags {
                paper: self.paper.clone(),
                overlap: None,
            },
            pulls: self.pulls.clone(),
        }
    }
}

/// Flags that say how it comes to paper.
#[derive(clap::Args, Default)]
pub(super) struct SheetFlags {
    #[command(flatten)]
    pub paper: PaperFlags,
    /// Width of the strip that neighbouring sheets share, e.g. 12mm
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub overlap: Option<String>,
}

impl SheetFlags {
    /// Only the paper.
    pub fn on(paper: Option<String>) -> Self {
        Self {
            paper: PaperFlags {
                paper,
                ..PaperFlags::default()
            },
            overlap: None,
        }
    }
}

/// Flags that say on what paper, and through which printer.
#[derive(clap::Args, Clone, Default)]
pub(super) struct PaperFlags {
    /// Paper: A4, Letter, A3, Tabloid, Legal, A5, A2, A1, A0, or a size such as "250 mm x 353 mm"; without
    /// --roll sheets of it, whatever roll the job names
    #[arg(long, value_name = "PAPER", allow_hyphen_values = true)]
    pub paper: Option<String>,
    /// Full-scale strips of a roll this wide instead of sheets, e.g. 36in or 610mm; the paper is then that of the
    /// pages to carry
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub roll: Option<String>,
    /// What the sheets are to show: lines with the fewest sheets, a regular grid, small keys for the marks
    /// alone, or the full grid with its blank sheets
    #[arg(long, value_name = "MODE", value_parser = mode)]
    pub mode: Option<Mode>,
    /// Printer profile: a stored name (see `printer list`), or the path of a file ending in .toml
    #[arg(long, value_name = "NAME|FILE")]
    pub printer: Option<String>,
}

/// What is to be taped once the layout lies.
#[derive(clap::Args, Clone, Default)]
pub(super) struct PullFlags {
    /// Lays to check by: full proves each mark's tolerance [default], quick proves twice that
    #[arg(long, value_name = "PLAN", value_parser = checks)]
    pub checks: Option<CheckChoice>,
    /// Longest distance to tape when checking, e.g. 5m
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub longest_pull: Option<String>,
}

impl LayoutFlags {
    /// True where they name another layout than the job's.
    pub fn name_a_layout(&self) -> bool {
        !(self.vehicles.is_empty() && self.template.is_none())
    }
}

#[derive(Clone, Copy, ValueEnum)]
pub(super) enum Units {
    Mm,
    Inch,
}

impl Units {
    /// As it is typed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "inch",
        }
    }
}

#[derive(clap::Args)]
pub(super) struct WriteArgs {
    #[command(flatten)]
    pub job: JobArgs,
    #[command(flatten)]
    pub to: OutArgs,
    /// Write more than 400 sheets
    #[arg(long)]
    pub yes: bool,
    /// Add floor-single.pdf, the whole floor at 1:1 on one page; beyond 5080 mm few programs print it at full size
    #[arg(long)]
    pub single_page: bool,
    /// Who cuts the stencil: a machine, from files of its own, or a hand, along knife lines on the printed sheets
    /// [default: machine]
    #[arg(long, value_name = "BY", value_parser = cut_by)]
    pub cut_by: Option<CutBy>,
    #[command(flatten)]
    pub cut: CutArgs,
}

#[derive(clap::Args)]
pub(super) struct StencilsArgs {
    #[command(flatten)]
    pub write: WriteArgs,
    /// Write these sheets alone, as they are among all others, into stencils-again.pdf; e.g. 7,12-14. Of keys, the
    /// numbers are those of their pages
    #[arg(long, value_name = "NUMBERS", allow_hyphen_values = true, value_parser = only, conflicts_with = "single_page")]
    pub only: Option<Numbers>,
}

/// Numbers of sheets, each once, in their order.
#[derive(Clone, Debug)]
pub(super) struct Numbers(pub Vec<usize>);

#[derive(clap::Args)]
pub(super) struct CutFilesArgs {
    /// Job file (TOML), or the folder of a kit; without it the built-in demonstration job
    pub job: Option<PathBuf>,
    #[command(flatten)]
    pub layout: LayoutFlags,
    #[command(flatten)]
    pub to: OutArgs,
    #[command(flatten)]
    pub cut: CutArgs,
}

/// How a stencil is cut.
#[derive(clap::Args)]
#[command(next_help_heading = "Stencil to cut")]
pub(super) struct CutArgs {
    /// The cutter's bed, or its sheet of material, e.g. 1200mmx800mm, or the width of a roll, e.g. 600mm
    /// [default: 1200mmx800mm]
    #[arg(long, value_name = "WxH|WIDTH", allow_hyphen_values = true)]
    pub bed: Option<String>,
    /// Material left around strips, marks and panels [default: 60mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub border: Option<String>,
    /// A mat over the whole layout in place of a frame
    #[arg(long, conflicts_with = "border")]
    pub field: bool,
    /// Make the stencil also where a strip or a mark cannot be cut whole
    #[arg(long)]
    pub partial: bool,
    /// Draw names, ticks and scores with a pen, on a layer of their own
    #[arg(long)]
    pub pen_names: bool,
    /// Width of the bridges that hold the stencil together [default: 8mm, by hand 6mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub bridge: Option<String>,
    /// Largest distance from bridge to bridge along a slot [default: 300mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub bridge_every: Option<String>,
    /// Width of what the tool takes away; paths run half of it inside the waste [default: 0]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub kerf: Option<String>,
    /// Radius of the corners of slots [default: 1mm, less in narrow slots]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub corner: Option<String>,
    /// Width of the strokes in the cut files [default: 0.1mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub hairline: Option<String>,
    /// Spot colour of through cuts, by the name that the cutter's software wants [default: Through]
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub spot: Option<String>,
    /// Spot colour of scores [default: Score]
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub score_spot: Option<String>,
    /// Colour that through cuts are shown in [default: #ff00ff]
    #[arg(
        long,
        alias = "cut-color",
        value_name = "#RRGGBB",
        allow_hyphen_values = true
    )]
    pub cut_colour: Option<String>,
    /// Colour that scores are shown in [default: #00ffff]
    #[arg(
        long,
        alias = "score-color",
        value_name = "#RRGGBB",
        allow_hyphen_values = true
    )]
    pub score_colour: Option<String>,
}

#[derive(clap::Args)]
pub(super) struct OverviewArgs {
    #[command(flatten)]
    pub job: LaidJobArgs,
    #[command(flatten)]
    pub to: OutArgs,
}

#[derive(clap::Args)]
pub(super) struct OutArgs {
    /// Folder to write; made when missing. Files that baystencil wrote there for the same job are replaced
    #[arg(long, short, value_name = "DIR", default_value = "kit")]
    pub out: PathBuf,
    /// Replace what is in the folder, also files that were changed since, readings that no longer stand, and another job's files
    #[arg(long)]
    pub replace: bool,
    /// Print what was written as JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(clap::Args)]
pub(super) struct PlanArgs {
    #[command(flatten)]
    pub job: LaidJobArgs,
    /// Print the whole plan as JSON
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,
    /// Print the marks as CSV
    #[arg(long)]
    pub csv: bool,
}

/// Exit code 0 when the floor is within its limits, or when there are none; 1 when it is not, or when the
/// readings do not decide; 3 when the readings cannot be used.
#[derive(clap::Args)]
pub(super) struct LevelsArgs {
    /// The heights: the kit's levels.csv filled in, or TOML (format = "levels/1")
    pub readings: PathBuf,
    /// Job whose marks, wheels and floor limits these are; wins over the one that the readings name, and over the
    /// job.toml beside them
    #[arg(long, value_name = "FILE")]
    pub job: Option<PathBuf>,
    #[command(flatten)]
    pub layout: LayoutFlags,
    /// Standard deviation of one height, e.g. 0.5mm [default: the readings', else the job's, else 1 mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub sigma: Option<String>,
    /// Print the report as JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(clap::Args)]
pub(super) struct CheckArgs {
    /// The readings: the kit's readings.csv filled in, or TOML (format = "readings/1")
    pub readings: PathBuf,
    /// Job that the layout was made from; wins over the one that the readings name, and over the job.toml beside
    /// them. Without any, and without marks in the readings, the built-in demonstration job
    #[arg(long, value_name = "FILE")]
    pub job: Option<PathBuf>,
    #[command(flatten)]
    pub layout: LayoutFlags,
    /// Folder for the record of the layout, record.pdf and record.svg; made when missing
    #[arg(long, short, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Replace a record in the folder also where it was changed since, or is another job's
    #[arg(long, requires = "out")]
    pub replace: bool,
    /// Heights of the floor for the record, as for `levels`
    #[arg(long, value_name = "FILE", requires = "out")]
    pub levels: Option<PathBuf>,
    /// Paper of the record: A4 or Letter goes with it
    #[arg(
        long,
        value_name = "PAPER",
        requires = "out",
        allow_hyphen_values = true
    )]
    pub paper: Option<String>,
    /// Judge by the readings alone, whatever way the marks were laid
    #[arg(long)]
    pub no_prior: bool,
    /// Print places, residuals and statistics below the report
    #[arg(long, conflicts_with = "json")]
    pub details: bool,
    /// Print the report as JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(clap::Args)]
pub(super) struct LibraryArgs {
    /// Print the list as JSON
    #[arg(long)]
    pub json: bool,
}

fn mode(text: &str) -> Result<Mode, String> {
    let found = Mode::ALL.into_iter().find(|(word, _)| *word == text);
    found.map(|(_, mode)| mode).ok_or_else(|| {
        format!(
            "expected one of {}",
            Mode::ALL.map(|(word, _)| word).join(", ")
        )
    })
}

fn cut_by(text: &str) -> Result<CutBy, String> {
    let found = CutBy::ALL.into_iter().find(|(word, _)| *word == text);
    let words = CutBy::ALL.map(|(word, _)| word).join(", ");
    found
        .map(|(_, by)| by)
        .ok_or_else(|| format!("expected one of {words}"))
}

fn checks(text: &str) -> Result<CheckChoice, String> {
    let found = CheckChoice::ALL.into_iter().find(|(word, _)| *word == text);
    let words = || CheckChoice::ALL.map(|(word, _)| word).join(", ");
    found
        .map(|(_, choice)| choice)
        .ok_or_else(|| format!("expected one of {}", words()))
}

/// Highest number that a list of sheets may reach.
const MOST_SHEETS: usize = 100_000;

fn only(text: &str) -> Result<Numbers, String> {
    let number = |text: &str| {
        let number = text.trim().parse::<usize>().ok();
        number.filter(|number| (1..=MOST_SHEETS).contains(number))
    };
    let mut numbers = std::collections::BTreeSet::new();
    for part in text.split(',') {
        let (first, last) = part.split_once('-').unwrap_or((part, part));
        match (number(first), number(last)) {
            (Some(first), Some(last)) if first <= last => numbers.extend(first..=last),
            _ => {
                return Err(format!(
                    "\"{}\" is no number of a sheet; expected numbers and ranges with commas, as in 7,12-14",
                    part.trim()
                ));
            }
        }
    }
    Ok(Numbers(numbers.into_iter().collect()))
}

fn setting(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value)) if !name.trim().is_empty() && !value.trim().is_empty() => {
            Ok((name.trim().to_owned(), value.trim().to_owned()))
        }
        _ => Err("expected NAME=VALUE, as in side_gap=420mm".to_owned()),
    }
}
