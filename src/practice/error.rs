//! Why exercises cannot be made.

use std::fmt;

use super::{Kind, Level};
use crate::source::Faults;

/// Why exercises cannot be made.
#[derive(Clone, Debug)]
pub enum PracticeError {
    /// A generator finds no exercise with one sure answer.
    Unsound {
        /// Kind of exercise.
        kind: Kind,
        /// Level that was asked for.
        level: Level,
        /// What stands in the way and how to mend it, a sentence without a full stop.
        reason: String,
    },
    /// A sheet's vehicle does not go with the template.
    Layout(Faults),
}

impl fmt::Display for PracticeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unsound { kind, level, reason } => write!(
                f,
                "no sound exercise of the kind \"{}\" at level {}: {reason}; take another level or vehicle, or leave the kind out (--kinds)",
                kind.word(),
                level.number()
            ),
            Self::Layout(faults) => write!(f, "{faults}"),
        }
    }
}

impl std::error::Error for PracticeError {}

impl From<Faults> for PracticeError {
    fn from(faults: Faults) -> Self {
        Self::Layout(faults)
    }
}
