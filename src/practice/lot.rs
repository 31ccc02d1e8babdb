//! What a generator makes a sheet from, and how it refuses to.

use super::{Block, Draw, Exercise, Kind, Level, Question, Setting, WrongAnswer};
use crate::source::Faults;

/// One sheet to be made.
pub(super) struct Lot<'a> {
    /// What it is to train.
    pub kind: Kind,
    /// Vehicle and layout.
    pub setting: &'a Setting,
    /// How hard it is to be.
    pub level: Level,
    /// The seed.
    pub seed: u64,
    /// Number of the sheet within its kind, from 1.
    pub number: usize,
    /// Where everything random on it comes from.
    pub draw: Draw,
}

impl<'a> Lot<'a> {
    pub fn new(kind: Kind, setting: &'a Setting, level: Level, seed: u64, number: usize) -> Self {
        Self {
            kind,
            setting,
            level,
            seed,
            number,
            draw: Draw::of_sheet(seed, kind, level, number),
        }
    }

    /// The sheet.
    pub fn exercise(
        &self,
        given: Vec<Block>,
        questions: Vec<Question>,
        wrong: Vec<WrongAnswer>,
    ) -> Exercise {
        let Self {
            kind,
            level,
            seed,
            number,
            ..
        } = *self;
        let subject = self.setting.subject();
        Exercise {
            kind,
            level,
            seed,
            number,
            subject,
            given,
            questions,
            wrong,
            model: None,
        }
    }
}

/// Why a generator makes no sheet.
pub(super) enum Refusal {
    /// There is none with one sure answer: what stands in the way and how to mend it, without a full stop.
    Unsound(String),
    /// The vehicle does not go with the template.
    Layout(Faults),
}

impl From<&str> for Refusal {
    fn from(reason: &str) -> Self {
        Self::Unsound(reason.to_owned())
    }
}

impl From<String> for Refusal {
    fn from(reason: String) -> Self {
        Self::Unsound(reason)
    }
}

impl From<Faults> for Refusal {
    fn from(faults: Faults) -> Self {
        Self::Layout(faults)
    }
}
