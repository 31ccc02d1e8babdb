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
    /// An exercise of a set cannot be made, with what can be made in its place.
    Sheet(Box<SheetError>),
}

/// The sheet that stands in the way of a set.
#[derive(Clone, Debug)]
pub struct SheetError {
    /// Number of the sheet.
    pub number: usize,
    /// Its vehicle and layout in a line.
    pub subject: String,
    /// Kind that cannot be made.
    pub kind: Kind,
    /// Level that was asked for.
    pub level: Level,
    /// Why not.
    pub cause: PracticeError,
    /// Levels of this kind that this vehicle and layout do for.
    pub levels: Vec<Level>,
    /// The other kinds of the set, those alone that this vehicle and layout do for at the level.
    pub kinds: Vec<Kind>,
}

impl fmt::Display for SheetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "sheet {} ({}): {}; ",
            self.number, self.subject, self.cause
        )?;
        if !self.levels.is_empty() {
            let levels: Vec<String> = self
                .levels
                .iter()
                .map(|level| level.number().to_string())
                .collect();
            write!(f, "take --level {}, or ", levels.join(" or "))?;
        }
        write!(f, "take another vehicle or template")?;
        if !self.kinds.is_empty() {
            let kinds: Vec<&str> = self.kinds.iter().map(|kind| kind.word()).collect();
            write!(
                f,
                ", or leave \"{}\" out: --kinds {}",
                self.kind.word(),
                kinds.join(",")
            )?;
        }
        Ok(())
    }
}

impl fmt::Display for PracticeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unsound {
                kind,
                level,
                reason,
            } => {
                write!(
                    f,
                    "no sound exercise of the kind \"{}\" at level {}: {reason}",
                    kind.word(),
                    level.number()
                )
            }
            Self::Layout(faults) => write!(f, "{faults}"),
            Self::Sheet(error) => write!(f, "{error}"),
        }
    }
}

impl std::error::Error for PracticeError {}

impl From<Faults> for PracticeError {
    fn from(faults: Faults) -> Self {
        Self::Layout(faults)
    }
}
