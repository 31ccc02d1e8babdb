//! Why exercises cannot be made. The words are in `words/faults`.

use super::{Kind, Level};
use crate::source::Faults;

/// Why exercises cannot be made.
#[derive(Clone, Debug)]
pub enum PracticeError {
    /// A generator finds no exercise with one sure answer: what stands in the way and how to mend it, without a full stop.
    Unsound(String),
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

impl std::error::Error for PracticeError {}

impl From<Faults> for PracticeError {
    fn from(faults: Faults) -> Self {
        Self::Layout(faults)
    }
}

impl From<&str> for PracticeError {
    fn from(reason: &str) -> Self {
        Self::Unsound(reason.to_owned())
    }
}

impl From<String> for PracticeError {
    fn from(reason: String) -> Self {
        Self::Unsound(reason)
    }
}
