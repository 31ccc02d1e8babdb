//! Why a command could not do its work.

use std::{fmt, path::PathBuf};

use super::paperwork::{named, rows};
use crate::{
    cover::CoverError,
    kit::{Carried, Kit, KitError},
    output::OutputError,
    practice::PracticeError,
    source::{Faults, Named},
    stencil::CutOption,
    survey::Verdict,
    words::Spelling,
};

#[derive(Debug)]
pub(super) enum Failure {
    /// Something is wrong with what was given.
    Input(Faults),
    /// A kit cannot be made.
    Kit { error: KitError, spelling: Spelling },
    /// The floor is not within its limits, or that is undecided. The report is out already.
    Floor(Verdict),
    /// The layout cannot be judged.
    Assess { file: String, why: String },
    /// A record is asked for, but nothing says of which layout.
    RecordWithoutJob,
    /// The layout is not proven to be within its tolerances. The report is out already.
    Layout(Option<Verdict>),
    /// Exercises cannot be made.
    Practice(PracticeError),
    /// A file could not be made or written.
    Output(OutputError),
    /// A file to be written is one that was read.
    Overwrites { path: PathBuf },
    /// A form in the folder has readings that the new form has no place for.
    RowsLost { path: PathBuf, carried: Carried },
    /// A form in the folder cannot be read, so that nobody knows what is in it.
    FormUnread { path: PathBuf, faults: Faults },
    /// The kit that a form lies in is unfinished.
    Unfinished { folder: PathBuf },
    /// stdout cannot be written.
    Stdout(std::io::Error),
    /// `SOURCE_DATE_EPOCH` is no date.
    Epoch { text: String },
}

impl Failure {
    /// What hinders a kit, in the words of its job.
    pub(super) fn of(kit: &Kit) -> impl Fn(KitError) -> Self {
        |error| Self::Kit {
            error,
            spelling: Spelling::of(&kit.job),
        }
    }

    /// The exit code: 1 for a floor or a layout that is not proven to be inside, whose report is out; 3 for all else. (2 is a
    /// command that is not understood, and is given where arguments are read.)
    pub(super) const fn code(&self) -> u8 {
        match self {
            Self::Floor(_) | Self::Layout(_) => 1,
            _ => 3,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Input(faults) => {
                let count = faults.count();
                for fault in faults.kept_ones().take(FAULTS_SHOWN) {
                    writeln!(f, "{fault}{}", fault.by_naming.map_or("", named_by))?;
                }
                if let Some(more) = count.checked_sub(FAULTS_SHOWN).filter(|more| *more > 0) {
                    writeln!(f, "and {more} more of them")?;
                }
                write!(
                    f,
                    "{count} {} in the input; nothing was written",
                    if count == 1 { "fault" } else { "faults" }
                )
            }
            Self::Kit { error, spelling } => {
                let error_text = spelling.message(&error.to_string());
                write!(f, "{error_text}{}; nothing was written", remedy(error))
            }
            Self::Floor(verdict) => write!(f, "the floor: {}", verdict.word()),
            Self::Assess { file, why } => write!(f, "{file}: {why}"),
            Self::RecordWithoutJob => write!(
                f,
                "a record is of a job's layout, and these readings bring marks of their own and no job; nothing was written: name the job with --job, or leave --out away"
            ),
            Self::Layout(Some(verdict)) => write!(f, "the layout: {}", verdict.word()),
            Self::Layout(None) => {
                write!(
                    f,
                    "the readings contradict each other, or nothing checks them; see the report"
                )
            }
            Self::Practice(error) => {
                let flags = match error {
                    PracticeError::Sheet(_) => " (--level, --kinds)",
                    PracticeError::Unsound(_) | PracticeError::Layout(_) => "",
                };
                write!(f, "{error}{flags}; nothing was written")
            }
            Self::Output(error @ OutputError::Kept(_)) => {
                write!(f, "{error}; nothing was written: {ELSEWHERE}")
            }
            Self::Output(error @ OutputError::WorkedOn { .. }) => {
                write!(f, "{error}; or drop it with --replace")
            }
            Self::Output(error) => write!(f, "{error}"),
            Self::Overwrites { path } => write!(
                f,
                "{} is one of the job's own input files and would be overwritten; nothing was written: choose another folder with --out",
                path.display()
            ),
            Self::RowsLost { path, carried } => write!(
                f,
                "{}: {} with readings, of {}, no longer stand: {}; nothing was written: {ELSEWHERE}",
                path.display(),
                rows(carried.lost.len()),
                carried.rows + carried.lost.len(),
                named(&carried.lost)
            ),
            Self::FormUnread { path, faults } => write!(
                f,
                "{} cannot be read, so its readings cannot be carried over ({}); nothing was written: correct it, {ELSEWHERE}",
                path.display(),
                faults
                    .list()
                    .first()
                    .map_or("", |fault| fault.message.as_str())
            ),
            Self::Unfinished { folder } => write!(
                f,
                "the kit in {} is unfinished: some of its files are new, some are old (UNFINISHED.toml); run the command again that writes it, or name the job with --job",
                folder.display()
            ),
            Self::Stdout(error) => write!(
                f,
                "stdout cannot be written ({error}); check where it leads to"
            ),
            Self::Epoch { text } => write!(
                f,
                "SOURCE_DATE_EPOCH is \"{text}\"; expected seconds since 1970-01-01 as a whole number: set it right, or unset it"
            ),
        }
    }
}

/// Most faults that are shown: whoever has more corrects these first.
const FAULTS_SHOWN: usize = 50;

/// What to do about something that would be lost.
const ELSEWHERE: &str =
    "move it away, choose another folder with --out, or replace it with --replace";

/// What a flag can do about it.
fn remedy(error: &KitError) -> &'static str {
    match error {
        KitError::ManySheets { .. } => "; or add --yes to go on",
        KitError::NoSheet { .. } => " (--only)",
        KitError::SinglePage { .. } => {
            "; leave --single-page out, and for strips name the paper with --roll"
        }
        KitError::Cover(CoverError::Printable { .. }) => " (--paper, --roll, --printer)",
        KitError::Cut(error) => error.option().map_or("", cut_flag),
        KitError::Paper(_) => " (--paper)",
        KitError::Output(_) | KitError::Cover(_) => "",
    }
}

/// The flag that names a thing beside an input, as it stands behind a fault.
const fn named_by(thing: Named) -> &'static str {
    match thing {
        Named::Job => " (--job FILE)",
        Named::Layout => " (--job FILE, or --vehicle, --template and --set)",
    }
}

/// What sets an option of the stencil to cut, as it stands behind an error.
const fn cut_flag(option: CutOption) -> &'static str {
    match option {
        CutOption::Bed => " (--bed, or the job's [cut])",
        CutOption::Border => " (--border, or the job's [cut])",
        CutOption::Partial => " (--partial, or the job's [cut])",
        CutOption::Bridge => " (--bridge, or the job's [cut])",
        CutOption::Spacing => " (--bridge-every, --bridge, or the job's [cut])",
        CutOption::Kerf => " (--kerf, or the job's [cut])",
        CutOption::Corner => " (--corner, or the job's [cut])",
        CutOption::Hairline => " (--hairline, or the job's [cut])",
        CutOption::Spot => " (--spot, --score-spot, or the job's [cut])",
        CutOption::Colour => " (--cut-colour, --score-colour, or the job's [cut])",
    }
}

impl From<Faults> for Failure {
    fn from(faults: Faults) -> Self {
        Self::Input(faults)
    }
}

impl From<PracticeError> for Failure {
    fn from(error: PracticeError) -> Self {
        match error {
            PracticeError::Layout(faults) => Self::Input(faults),
            error @ (PracticeError::Unsound(_) | PracticeError::Sheet(_)) => Self::Practice(error),
        }
    }
}

impl From<KitError> for Failure {
    fn from(error: KitError) -> Self {
        Self::Kit {
            error,
            spelling: Spelling::default(),
        }
    }
}

impl From<OutputError> for Failure {
    fn from(error: OutputError) -> Self {
        Self::Output(error)
    }
}
