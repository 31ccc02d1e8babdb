//! What a shop's folder refuses.

use std::{fmt, io, path::PathBuf};

use crate::output::OutputError;

/// Why something in the shop's folder could not be read or written. The messages say what to do.
#[derive(Debug)]
pub enum ShopError {
    /// A name that no file can have everywhere.
    Name {
        /// Why, and what is expected: a whole sentence.
        why: String,
    },
    /// There is nothing of that name.
    Missing {
        /// What was asked for: "vehicle".
        what: &'static str,
        /// By what name.
        name: String,
    },
    /// There is something of that name already.
    Taken {
        /// What was to be made: "vehicle".
        what: &'static str,
        /// By what name.
        name: String,
    },
    /// Somebody changed it in the meantime; nothing was written.
    Changed {
        /// What stands there now.
        now: String,
    },
    /// A text that is no TOML or CSV of its kind, so that no part of it can be changed.
    Unreadable {
        /// The file.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// The file system refuses.
    Io {
        /// What was tried.
        doing: &'static str,
        /// Where.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// A file could not be written.
    Output(OutputError),
}

impl fmt::Display for ShopError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Name { why } => f.write_str(why),
            Self::Missing { what, name } => {
                write!(f, "there is no {what} \"{name}\" in the shop's folder")
            }
            Self::Taken { what, name } => write!(
                f,
                "there is a {what} \"{name}\" already; choose another name"
            ),
            Self::Changed { .. } => f.write_str(
                "somebody else changed this in the meantime; nothing of yours was written",
            ),
            Self::Unreadable { path, why } => {
                write!(f, "{} cannot be read: {why}", path.display())
            }
            Self::Io {
                doing,
                path,
                source,
            } => write!(f, "could not {doing} {}: {source}", path.display()),
            Self::Output(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for ShopError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Io { source, .. } => Some(source),
            Self::Output(error) => Some(error),
            _ => None,
        }
    }
}

impl From<OutputError> for ShopError {
    fn from(error: OutputError) -> Self {
        Self::Output(error)
    }
}
