//! What can go wrong between a finished drawing and a file.

use std::fmt;
use std::io;
use std::path::PathBuf;

use super::Kept;
use crate::source::{CLOSE_SOME, too_many_open};

/// Why something could not be written.
#[derive(Debug)]
pub enum OutputError {
    /// A PDF was asked for without a single page.
    NoPages,
    /// A page is smaller or larger than a plain PDF page may be.
    PageSize {
        /// Title of the drawing.
        title: String,
        /// Width asked for, mm.
        width: f64,
        /// Height asked for, mm.
        height: f64,
    },
    /// A coordinate, a width or a height is infinite or not a number.
    NotFinite {
        /// Title of the drawing.
        title: String,
    },
    /// A date is not of the form 2026-03-02.
    Date {
        /// The text that was given.
        text: String,
    },
    /// A file could not be put together where files wait for their place.
    Spool {
        /// What the system said.
        source: io::Error,
    },
    /// The SVG that was to become an image could not be read.
    Svg {
        /// What the SVG library said.
        reason: String,
    },
    /// An image would have no pixels or too many.
    ImageSize {
        /// Width in pixels.
        width: f64,
        /// Height in pixels.
        height: f64,
        /// The resolution asked for.
        dots_per_inch: f64,
    },
    /// The image could not be encoded.
    Png {
        /// What the PNG library said.
        reason: String,
    },
    /// The name of an output file is not a plain file name, or was given twice.
    FileName {
        /// The name.
        name: String,
    },
    /// A file stands where the output folder should be.
    FolderIsFile {
        /// The path.
        path: PathBuf,
    },
    /// A link that leads nowhere stands where the output folder, or one above it, should be.
    DanglingLink {
        /// The path.
        path: PathBuf,
    },
    /// Another run writes into the folder.
    Busy {
        /// The folder.
        folder: PathBuf,
    },
    /// Something in the folder is not replaced without being told to.
    Kept(Kept),
    /// The program was asked to stop while it wrote. The old files are in their places.
    Stopped,
    /// A stopped run left a folder unfinished, and somebody worked on one of its new files since.
    WorkedOn {
        /// That file.
        path: PathBuf,
        /// Where its older self is.
        older: PathBuf,
    },
    /// New files could not all take their places, and those that had could not be taken back.
    Unfinished {
        /// The folder.
        folder: PathBuf,
        /// Names of the new files that are there beside old ones.
        still_new: Vec<String>,
        /// What the file system said.
        source: io::Error,
    },
    /// A folder stands where an output file should be.
    FileIsFolder {
        /// The path.
        path: PathBuf,
    },
    /// The file system refused.
    Io {
        /// What was being done, as in "create the folder".
        doing: &'static str,
        /// The folder or file it was done to.
        path: PathBuf,
        /// What the file system said.
        source: io::Error,
    },
}

impl fmt::Display for OutputError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPages => write!(
                f,
                "the PDF would have no pages: give it at least one drawing"
            ),
            Self::PageSize {
                title,
                width,
                height,
            } => write!(
                f,
                "page \"{title}\" is {width} × {height} mm: a PDF page measures at least 1.06 mm and at most 5080 mm \
                 each way (50 800 mm as a single page); split the drawing into strips, or write it as SVG"
            ),
            Self::NotFinite { title } => write!(
                f,
                "drawing \"{title}\" contains a coordinate that is infinite or not a number: \
                 check the dimensions it was made from"
            ),
            Self::Date { text } => {
                write!(
                    f,
                    "\"{text}\" is no date: write year, month and day as in 2026-03-02"
                )
            }
            Self::Spool { source } if too_many_open(source) => {
                write!(
                    f,
                    "a file could not be put together: {source}; {CLOSE_SOME}"
                )
            }
            Self::Spool { source } => write!(
                f,
                "a file could not be put together in the folder for temporary files: {source}; free some space there, \
                 or name another folder in the variable TMPDIR"
            ),
            Self::Svg { reason } => {
                write!(f, "the SVG could not be turned into an image: {reason}")
            }
            Self::ImageSize {
                width,
                height,
                dots_per_inch,
            } => write!(
                f,
                "an image of {width:.0} × {height:.0} pixels ({dots_per_inch} dots per inch) cannot be made: \
                 choose another resolution"
            ),
            Self::Png { reason } => write!(f, "the image could not be encoded as PNG: {reason}"),
            Self::FileName { name } => write!(
                f,
                "\"{name}\" cannot be the name of an output file: it must be a plain name, without folders, \
                 and be used once"
            ),
            Self::FolderIsFile { path } => {
                write!(
                    f,
                    "{} is a file, not a folder: choose another folder or move the file away",
                    path.display()
                )
            }
            Self::DanglingLink { path } => write!(
                f,
                "{} is a link that leads to nothing: make the folder that it leads to, remove the link, or choose another folder",
                path.display()
            ),
            Self::Busy { folder } => write!(
                f,
                "another run of baystencil writes into {}; nothing was written: try again when it is done",
                folder.display()
            ),
            Self::Kept(kept) => write!(f, "{kept}"),
            Self::Stopped => write!(f, "stopped; nothing was written"),
            Self::WorkedOn { path, older } => write!(
                f,
                "an earlier run was stopped while it replaced files here, and {} was changed since: move it away, or copy what it has into {}, \
                 which the next run puts back in its place",
                path.display(),
                older.display()
            ),
            Self::Unfinished {
                folder,
                still_new,
                source,
            } => write!(
                f,
                "the files of {} could not all be replaced, and not all be put back: {source}; new are: {}; all others are those of before. \
                 UNFINISHED.toml in the folder says so. Close the programs that have these files open, and run the command again",
                folder.display(),
                listed(still_new)
            ),
            Self::FileIsFolder { path } => write!(
                f,
                "{} is a folder, but a file of that name must be written: move the folder away or choose another \
                 output folder",
                path.display()
            ),
            Self::Io {
                doing,
                path,
                source,
            } => {
                write!(
                    f,
                    "could not {doing} {}: {source}; {}",
                    path.display(),
                    remedy(source)
                )
            }
        }
    }
}

impl fmt::Display for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherJob { folder, there, own } => write!(
                f,
                "{} holds files of another job ({there}), and these are of {own}",
                folder.display()
            ),
            Self::OtherSettings { folder, names } => write!(
                f,
                "{} holds files that were made with other settings, and they would lie beside these as if they were one kit ({})",
                folder.display(),
                listed(names)
            ),
            Self::Changed { paths } => {
                let paths: Vec<String> = paths
                    .iter()
                    .map(|path| path.display().to_string())
                    .collect();
                let (was, it) = if paths.len() == 1 {
                    ("was", "it")
                } else {
                    ("were", "them")
                };
                write!(
                    f,
                    "{} {was} changed since baystencil wrote {it}, or put there by someone, and would be lost",
                    listed(&paths)
                )
            }
        }
    }
}

/// Most names that a message lists.
const LISTED: usize = 12;

/// Names with commas, and how many more there are.
fn listed(names: &[String]) -> String {
    let shown = names[..names.len().min(LISTED)].join(", ");
    match names.len().saturating_sub(LISTED) {
        0 if names.is_empty() => "none".to_owned(),
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

fn remedy(source: &io::Error) -> &'static str {
    if too_many_open(source) {
        return CLOSE_SOME;
    }
    match source.kind() {
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "choose a folder that you may write to, or change its permissions"
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "free some space or choose a folder on another disk"
        }
        io::ErrorKind::ResourceBusy | io::ErrorKind::ExecutableFileBusy => {
            "close the program that has it open, and run the command again"
        }
        _ => "check the path or choose another folder",
    }
}

impl std::error::Error for OutputError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Io { source, .. } | Self::Spool { source } | Self::Unfinished { source, .. } => {
                Some(source)
            }
            _ => None,
        }
    }
}
